"""The audit of dependencies: a vulnerability fails it, and silence is never taken for health."""

import json
import re
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
GOOD = {"name": "good", "version": "1.0", "vulns": []}
UNKNOWN = {"name": "unknown", "skip_reason": "Dependency not found and could not be audited"}
BAD = {
    "name": "bad",
    "version": "2.0",
    "vulns": [{"id": "PYSEC-0000-1", "fix_versions": ["2.1"]}, {"id": "X-2", "fix_versions": []}],
}


def audited(
    folder: Path, packages: list[dict[str, Any]] | None, *, told: str = "", code: int = 0
) -> subprocess.CompletedProcess[str]:
    """Run the audit with an auditor that reports these packages, or none at all."""
    auditor = folder / "auditor"
    report = "" if packages is None else json.dumps({"dependencies": packages, "fixes": []})
    auditor.write_text(
        f"#!{sys.executable}\n"
        "import sys\n"
        f"report, told = {report!r}, {told!r}\n"
        "if report:\n"
        "    open(sys.argv[sys.argv.index('-o') + 1], 'w').write(report)\n"
        "print(told, file=sys.stderr)\n"
        f"sys.exit({code})\n",
        encoding="utf-8",
    )
    auditor.chmod(auditor.stat().st_mode | stat.S_IXUSR)
    return subprocess.run(
        [sys.executable, str(ROOT / "tools" / "audit.py"), "run.lock", str(auditor)],
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_clean_lock_passes_and_says_how_many(tmp_path: Path) -> None:
    done = audited(tmp_path, [GOOD, GOOD])
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "Audited: 2 packages of run.lock, no known vulnerability.\n"


def test_a_vulnerability_fails(tmp_path: Path) -> None:
    done = audited(tmp_path, [GOOD, UNKNOWN, BAD], code=1)
    assert done.returncode == 1
    assert done.stderr == (
        "bad 2.0: PYSEC-0000-1, fixed in 2.1\n"
        "bad 2.0: X-2, fixed in no version yet\n"
        "AUDIT FAILED: 1 packages of run.lock have a known vulnerability.\n"
    )


@pytest.mark.parametrize(
    "told",
    [
        "ERROR:pip_audit._cli:Failed to connect to PyPI",
        "requests.exceptions.ConnectTimeout: Read timed out",
        "Max retries exceeded with url: /pypi/x/json",
    ],
)
def test_a_service_that_is_away_is_said_aloud(tmp_path: Path, told: str) -> None:
    done = audited(tmp_path, None, told=told, code=1)
    assert done.returncode == 0
    assert done.stdout == ""
    assert done.stderr == (
        f"NOT AUDITED: run.lock was not compared with known vulnerabilities: {told}\n"
        "Run make check again where the service can be reached, before a release.\n"
    )


def test_a_service_that_knows_no_package_audits_nothing(tmp_path: Path) -> None:
    done = audited(tmp_path, [UNKNOWN, UNKNOWN])
    assert done.returncode == 0
    assert done.stderr.startswith("NOT AUDITED: run.lock")
    assert "Audited" not in done.stdout
    assert audited(tmp_path, []).stderr.startswith("NOT AUDITED: run.lock")


def test_what_was_left_out_is_named(tmp_path: Path) -> None:
    done = audited(tmp_path, [GOOD, UNKNOWN])
    assert (done.returncode, done.stdout) == (0, "")
    assert done.stderr == "AUDITED IN PART: of run.lock, 1 were not audited: unknown\n"


def test_an_auditor_that_breaks_is_a_failure(tmp_path: Path) -> None:
    done = audited(tmp_path, None, told="ValueError: invalid requirement", code=1)
    assert done.returncode == 1
    assert done.stderr == (
        "AUDIT FAILED: run.lock could not be audited: ValueError: invalid requirement\n"
    )


def test_make_check_audits_what_is_installed_to_run() -> None:
    check = re.search(r"^check:.*?\n((?:\t.*\n)+)", (ROOT / "Makefile").read_text(), re.MULTILINE)
    assert check is not None
    assert "$(BIN)/python tools/audit.py requirements/run.lock $(BIN)/pip-audit" in check[1]
