"""The examples of the README and of the pages run as printed."""

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BLOCKS = re.findall(
    r"^```(\w+)\n(.*?)^```", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE | re.DOTALL
)
SHELL = [
    line
    for language, text in BLOCKS
    if language == "sh"
    for line in text.splitlines()
    if line.startswith("leadfoot ")
]

PAGES = [
    line.strip()
    for page in sorted((ROOT / "docs").rglob("*.md"))
    for line in page.read_text("utf-8").replace("\\\n", " ").splitlines()
    if line.startswith("    leadfoot ")
]
"""Commands that stand indented on a page; a line that ends with a backslash goes on."""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A folder that looks like the checkout to a reader of the README."""
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    (tmp_path / "out").mkdir()
    return tmp_path


@pytest.mark.parametrize("line", [*SHELL, *PAGES])
def test_the_shell_example_runs(line: str, checkout: Path) -> None:
    command = [sys.executable, "-m", "leadfoot.cli", *shlex.split(line)[1:]]
    done = subprocess.run(command, cwd=checkout, capture_output=True, text=True, check=False)
    assert done.returncode in {0, 4}, done.stderr
    assert done.stdout.strip()


def test_the_python_example_runs_and_is_ten_lines(checkout: Path) -> None:
    (code,) = [text for language, text in BLOCKS if language == "python"]
    assert len([line for line in code.splitlines() if line.strip()]) <= 10
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=checkout, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(("Keep it", "Let it go", "Cannot tell yet"))


def test_what_the_readme_points_to_is_there() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    for target in re.findall(r"\]\((?!http)([^)#]+)\)", text):
        assert (ROOT / target).exists(), target
    for target in re.findall(r"^make (\w+)", text, re.MULTILINE):
        assert re.search(rf"^{target}:", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE)
