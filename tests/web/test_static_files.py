"""What is shipped: vendored bundles as they were built, colours that can be read, no other host."""

import hashlib
import json
import re
from importlib.resources import files
from itertools import product
from pathlib import Path

import pytest

WEB = Path(str(files("leadfoot.web")))
STATIC = WEB / "static"
TOOLS = Path(__file__).parents[2] / "tools" / "vendor"


def test_vendored_files_are_those_that_were_built() -> None:
    sums = (STATIC / "vendor" / "SHA256SUMS").read_text().splitlines()
    listed = {name: digest for digest, _, name in (line.partition("  ") for line in sums)}
    there = {path.name for path in (STATIC / "vendor").iterdir()} - {"SHA256SUMS"}
    assert set(listed) == there
    for name, digest in listed.items():
        assert hashlib.sha256((STATIC / "vendor" / name).read_bytes()).hexdigest() == digest


def test_the_recipe_names_exact_versions_and_no_host() -> None:
    package = json.loads((TOOLS / "package.json").read_text())
    lock = (TOOLS / "package-lock.json").read_text()
    for name, version in package["devDependencies"].items():
        assert re.fullmatch(r"\d+\.\d+\.\d+", version), name
        assert json.loads(lock)["packages"][f"node_modules/{name}"]["version"] == version
    assert '"resolved"' not in lock


def test_no_page_style_or_script_of_ours_names_another_host() -> None:
    ours = [
        *WEB.rglob("templates/*.html"),
        *STATIC.glob("*.css"),
        *STATIC.glob("*.svg"),
        *STATIC.glob("js/*.js"),
    ]
    assert len(ours) > 20
    for path in ours:
        addresses = set(
            re.findall(r"(?:https?:)?//[a-z][\w.-]+\.[a-z]{2,}[\w/]*", path.read_text())
        )
        # The name of a format, asked of nobody.
        assert addresses <= {"http://www.w3.org/2000/svg"}, path


def inks() -> dict[str, dict[str, str]]:
    """Every colour of ink.css by look, from the blocks as they stand."""
    text = (STATIC / "ink.css").read_text()
    blocks = re.findall(r"([^{}]*)\{([^{}]*--paper[^{}]*)\}", text)
    assert len(blocks) == 3
    found = [dict(re.findall(r"--([\w-]+):\s*([^;]+);", body)) for _, body in blocks]
    assert found[1] == found[2], "slate by the machine and slate by the switch differ"
    return {"paper": found[0], "slate": found[1]}


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, section "Terms": relative luminance)."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, section "Terms": contrast ratio)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_of_black_on_white_is_21() -> None:
    # WCAG 2.2: contrast ratios can range from 1 to 21.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # known near miss


@pytest.mark.parametrize("look", ["paper", "slate"])
def test_text_has_a_contrast_of_4_5_to_1(look: str) -> None:
    ink = inks()[look]
    texts = ("ink", "soft", "turf", "flag", "after-ink")
    grounds = ("paper", "leaf", "sand-wash", "turf-wash")
    pairs = [*product(texts, grounds), ("paper", "turf"), ("paper", "ink")]
    low = {
        (text, ground): round(contrast(ink[text], ink[ground]), 2)
        for text, ground in pairs
        if contrast(ink[text], ink[ground]) < 4.5
    }
    assert low == {}


@pytest.mark.parametrize("look", ["paper", "slate"])
def test_marks_and_edges_have_a_contrast_of_3_to_1(look: str) -> None:
    ink = inks()[look]
    low = {
        (mark, ground): round(contrast(ink[mark], ink[ground]), 2)
        for mark, ground in product(("before", "after", "edge"), ("paper", "leaf"))
        if contrast(ink[mark], ink[ground]) < 3.0
    }
    assert low == {}
