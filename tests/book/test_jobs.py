"""Long work: asked for once, done by whoever is there, and done also when that one dies."""

import subprocess
import sys
import threading
import time
from collections.abc import Callable

import pytest

from leadfoot.book import server_queue
from leadfoot.book.server_queue import ServerQueue
from leadfoot.book.store import SqlBook
from leadfoot.desk.job_port import Job
from tests.book.samples import AT, some_student

PATIENCE_S = 30.0

HANGS = """
import sys, time
from leadfoot.book import server_queue
from leadfoot.book.store import open_book

server_queue.BEAT_S = 0.3

def hang(job_id):
    print("begun", flush=True)
    time.sleep(3600)

book = open_book(sys.argv[1])
book.jobs.queue(hang).put(int(sys.argv[2]))
time.sleep(3600)
"""


def doing(book: SqlBook, done: list[int]) -> Callable[[int], None]:
    def do(job_id: int) -> None:
        if book.jobs.begin(job_id):
            book.jobs.tell(job_id, 3, 4)
            done.append(job_id)
            book.jobs.end(job_id, failed=False, result_json="[1]", at=AT)

    return do


def ended(book: SqlBook, job_id: int) -> Job:
    until = time.monotonic() + PATIENCE_S
    while not (job := book.jobs.job(job_id)).has_ended:
        assert time.monotonic() < until, job
        time.sleep(0.02)
    return job


def test_a_job_is_asked_for_once_until_it_has_ended(reopen: Callable[[], SqlBook]) -> None:
    book = reopen()
    some_student(book)
    seen = book.last_change()
    assert book.jobs.newest("works") is None
    job, is_new = book.jobs.ask("works", at=AT)
    assert (job.state, job.n_done, job.n_steps, job.change, is_new) == ("waiting", 0, 1, seen, True)
    assert book.jobs.ask("works", at=AT) == (job, False)
    assert book.jobs.ask("backup", at=AT)[1]
    assert book.jobs.begin(job.id)
    book.jobs.tell(job.id, 5, 9)
    at_work = reopen().jobs.job(job.id)
    assert (at_work.state, at_work.n_done, at_work.n_steps) == ("at work", 5, 9)
    book.jobs.end(job.id, failed=True, result_json="{}", at=AT)
    failed = book.jobs.newest("works")
    assert failed is not None
    assert (failed.state, failed.n_done, failed.ended_at, failed.has_ended) == (
        "failed", 9, AT, True,
    )  # fmt: skip
    assert not book.jobs.begin(job.id)
    again, is_new = book.jobs.ask("works", at=AT)
    assert is_new
    book.jobs.begin(again.id)
    book.jobs.end(again.id, failed=False, result_json="[]", at=AT)
    assert not book.jobs.begin(job.id)  # the earlier one is forgotten
    assert book.last_change() == seen  # no page is woken by any of it


def test_a_queue_does_what_it_is_given_and_what_was_left(reopen: Callable[[], SqlBook]) -> None:
    book, done = reopen(), list[int]()
    queue = book.jobs.queue(doing(book, done))
    job, _ = book.jobs.ask("works", at=AT)
    queue.put(job.id)
    assert ended(book, job.id).result_json == "[1]"
    queue.stop()
    assert done == [job.id]


def test_a_job_that_was_cut_off_is_done_at_the_next_start(
    reopen: Callable[[], SqlBook], address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    book, done = reopen(), list[int]()
    if "://" in address:
        monkeypatch.setattr(server_queue, "DEAD_AFTER_S", 1.0)
        monkeypatch.setattr(server_queue, "BEAT_S", 0.3)
    job, _ = book.jobs.ask("works", at=AT)
    with subprocess.Popen(
        [sys.executable, "-c", HANGS, address, str(job.id)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "begun\n"
        process.kill()
    queue = book.jobs.queue(doing(book, done))
    queue.start()
    queue.start()
    assert ended(book, job.id).state == "done"
    queue.stop()
    assert done == [job.id]


def test_two_desks_share_the_jobs_of_a_server(reopen: Callable[[], SqlBook], address: str) -> None:
    if "://" not in address:
        return  # a file is served by one desk
    one, other, done = reopen(), reopen(), list[int]()
    turn = threading.Lock()

    def do(job_id: int) -> None:
        with turn:
            doing(one, done)(job_id)

    queues = [one.jobs.queue(do), other.jobs.queue(do)]
    for queue in queues:
        assert isinstance(queue, ServerQueue)
        queue.start()
    jobs = [one.jobs.ask(kind, at=AT)[0] for kind in "abcdef"]
    for n, job in enumerate(jobs):
        queues[n % 2].put(job.id)
        queues[(n + 1) % 2].put(job.id)  # asked for twice, done once
    for job in jobs:
        ended(one, job.id)
    for queue in queues:
        queue.stop()
    assert sorted(done) == [job.id for job in jobs]


def test_who_is_erased_is_in_no_result(book: SqlBook) -> None:
    student = some_student(book)
    job, _ = book.jobs.ask("works", at=AT)
    book.jobs.begin(job.id)
    book.jobs.end(job.id, failed=False, result_json='"Ana Example"', at=AT)
    book.file.erase(student.id)
    assert book.jobs.newest("works") is None
    book.jobs.end(job.id, failed=False, result_json='"Ana Example"', at=AT)
    assert book.jobs.newest("works") is None
