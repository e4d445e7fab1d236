"""A second opinion on a C3D file: agreement, difference, and a program that fails or hangs."""

from dataclasses import replace

import numpy as np
import pytest

from leadfoot.desk import second_reader
from leadfoot.desk.second_reader import second_opinion
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Choices
from tests.ground.c3d_files import DEC, INTEL, MIPS, written
from tests.ground.people import swaying


def test_both_agree() -> None:
    data = written([swaying(2)])
    (remark,) = second_opinion(data, read_c3d(data, Choices(target="+x", hand="left")))
    assert remark.weight == "note"
    assert remark.text.startswith("An independent program agrees on plate 1: place within 0.000 mm")


@pytest.mark.parametrize("processor", [INTEL, DEC, MIPS])
def test_both_agree_on_an_origin_with_the_wrong_sign(processor: int) -> None:
    made = swaying(3)
    made.written_origin_mm = (120.0, 200.0, 52.0)
    data = written([made], processor=processor)
    (remark,) = second_opinion(data, read_c3d(data))
    assert remark.weight == "note", remark.text


def test_a_difference_is_named() -> None:
    data = written([swaying(2)])
    read = read_c3d(data)
    other = replace(read, source=replace(read.source, length_unit="cm"))
    (remark,) = second_opinion(data, other)
    assert remark.weight == "doubt"
    assert remark.text.startswith("An independent program differs on plate 1: place by ")
    assert remark.fix == "Compare the centre of pressure with where the feet stood."


@pytest.mark.parametrize("missing", ["POINT:UNITS", None])
def test_lengths_without_a_unit_are_compared_as_read(missing: str | None) -> None:
    parameters = {("POINT", "UNITS"): None} if missing else {}
    data = written([swaying(2)], parameters=parameters)
    (remark,) = second_opinion(data, read_c3d(data))
    assert remark.weight == "note"


def test_a_program_that_fails_does_no_harm() -> None:
    made = swaying(2)
    data = written([made, swaying(2)], parameters={("FORCE_PLATFORM", "TYPE"): [2, 21]})
    (remark,) = second_opinion(data, read_c3d(data))
    assert remark.weight == "note"
    assert remark.text.startswith("The file was not compared with an independent program: ")


def test_a_program_that_hangs_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_reader, "LONGEST_S", 0.001)
    data = written([swaying(2)])
    (remark,) = second_opinion(data, read_c3d(data))
    assert remark.text.endswith("it did not answer in 0.001 s.")


def test_an_empty_plate_is_not_compared() -> None:
    empty = swaying(2, weight_n=1.0)
    empty.force_n *= np.float64(0.01)
    data = written([swaying(2), empty])
    _, remark = second_opinion(data, read_c3d(data))
    assert remark.plate == "plate 2"
    assert "nobody stood on plate 2" in remark.text
