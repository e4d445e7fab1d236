"""Asks the vulnerability service about every package of a lock file: ``audit.py LOCK [AUDITOR]``.

A known vulnerability is a failure. Where the service can't be reached, or does not know a package,
nothing was audited: that is said in plain words on stderr, and is never a silent pass.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

AWAY = ("connect", "timed out", "timeout", "resolve", "retries", "unreachable", "proxy", "ssl")
"""Words by which an auditor says that the service could not be reached."""
LONGEST_S = 300


def main() -> int:
    """Audit, say what came of it, and give the exit code."""
    lock, auditor = sys.argv[1], sys.argv[2] if len(sys.argv) > 2 else "pip-audit"
    with tempfile.TemporaryDirectory(prefix="leadfoot-") as folder:
        report = Path(folder, "report.json")
        words = [auditor, "--disable-pip", "--require-hashes", "-r", lock, "--format", "json"]
        words += ["--progress-spinner", "off", "--timeout", "10", "-o", str(report)]
        try:
            done = subprocess.run(  # noqa: S603  (words of our own)
                words, capture_output=True, text=True, timeout=LONGEST_S, check=False
            )
        except subprocess.TimeoutExpired:
            return _not_done(lock, f"the service did not answer within {LONGEST_S} s")
        text = report.read_text(encoding="utf-8") if report.exists() else ""
    if not text:
        return _without_report(lock, done.stderr.strip())
    return _judge(lock, json.loads(text)["dependencies"])


def _judge(lock: str, packages: list[dict[str, Any]]) -> int:
    skipped = [one for one in packages if "skip_reason" in one]
    bad = [one for one in packages if one.get("vulns")]
    for one in bad:
        for found in one["vulns"]:
            fixed = ", ".join(found.get("fix_versions", [])) or "no version yet"
            _say(f"{one['name']} {one['version']}: {found['id']}, fixed in {fixed}")
    if bad:
        _say(f"AUDIT FAILED: {len(bad)} packages of {lock} have a known vulnerability.")
        return 1
    if not packages or len(skipped) == len(packages):
        reason = skipped[0]["skip_reason"] if skipped else "the lock file names no package"
        return _not_done(lock, reason)
    if skipped:
        names = ", ".join(one["name"] for one in skipped)
        _say(f"AUDITED IN PART: of {lock}, {len(skipped)} were not audited: {names}")
        return 0
    sys.stdout.write(f"Audited: {len(packages)} packages of {lock}, no known vulnerability.\n")
    return 0


def _without_report(lock: str, told: str) -> int:
    last = told.splitlines()[-1] if told else "it said nothing"
    if any(word in told.lower() for word in AWAY):
        return _not_done(lock, last)
    _say(f"AUDIT FAILED: {lock} could not be audited: {last}")
    return 1


def _not_done(lock: str, why: str) -> int:
    _say(f"NOT AUDITED: {lock} was not compared with known vulnerabilities: {why}")
    _say("Run make check again where the service can be reached, before a release.")
    return 0


def _say(words: str) -> None:
    sys.stderr.write(words + "\n")


if __name__ == "__main__":
    sys.exit(main())
