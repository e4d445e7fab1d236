import re
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

import leadfoot.reports.sheet

PACKAGE = Path(leadfoot.reports.sheet.__file__).parents[1]
PRINT = PACKAGE / "reports/fonts"
WEB = PACKAGE / "web/static/fonts"
FACES = sorted(path.stem for path in PRINT.glob("*.ttf"))

# Without type information, so imported by name.
tt_font: Any = import_module("fontTools.ttLib").TTFont


def substitutions(font: Any, feature: str) -> dict[str, str]:
    """Glyph to glyph, for a feature that swaps single glyphs."""
    table = font["GSUB"].table
    places = {
        index
        for record in table.FeatureList.FeatureRecord
        if record.FeatureTag == feature
        for index in record.Feature.LookupListIndex
    }
    found: dict[str, str] = {}
    for index in places:
        for part in table.LookupList.Lookup[index].SubTable:
            found |= getattr(part, "ExtSubTable", part).mapping
    return found


@pytest.mark.parametrize("face", FACES)
def test_tabular_figures_are_equally_wide(face: str) -> None:
    font = tt_font(PRINT / f"{face}.ttf")
    letters, swap = font.getBestCmap(), substitutions(font, "tnum")
    glyphs = [swap.get(letters[ord(digit)], letters[ord(digit)]) for digit in "0123456789"]
    assert len({font["hmtx"][glyph][0] for glyph in glyphs}) == 1


@pytest.mark.parametrize("face", FACES)
def test_each_face_has_the_letters_of_european_names_and_the_signs_of_numbers(face: str) -> None:
    letters = set(map(chr, tt_font(PRINT / f"{face}.ttf").getBestCmap()))
    assert set("ÄÖÜäöüßÅåÆæØøÉéÈèÇçÑñŁłŐőŠšŽžČčĞğİıŞşŢţÞþÐð") <= letters
    assert set("−–±×°…·’“”½") <= letters


@pytest.mark.parametrize("face", [face for face in FACES if "Italic" not in face])
def test_each_upright_face_has_true_small_caps(face: str) -> None:
    assert {"a", "b", "z"} <= set(substitutions(tt_font(PRINT / f"{face}.ttf"), "smcp"))


def test_the_pages_have_the_same_faces_as_the_sheet() -> None:
    faces = {path.stem.removesuffix("-More") for path in WEB.glob("*.woff2")}
    assert sorted(faces) == FACES
    for path in WEB.glob("*.woff2"):
        assert path.read_bytes()[:4] == b"wOF2"  # W3C WOFF File Format 2.0, section 4.1


def test_the_style_sheet_of_the_faces_names_files_that_are_there_and_no_other_host() -> None:
    css = (WEB / "fonts.css").read_text(encoding="utf-8")
    named = re.findall(r'url\("([^"]+)"\)', css)
    assert sorted(named) == sorted(path.name for path in WEB.glob("*.woff2"))
    assert "//" not in css.replace("https://openfontlicense.org", "")


def test_the_style_sheet_finds_each_letter_of_a_face_that_comes_in_two_files() -> None:
    css = (WEB / "fonts.css").read_text(encoding="utf-8")
    said = dict(re.findall(r'url\("([^"]+)\.woff2"\).*unicode-range: ([^;]+);', css))
    for face in (name for name in FACES if name.startswith("SourceSerif4")):
        letters = set(tt_font(PRINT / f"{face}.ttf").getBestCmap())
        for part in (face, f"{face}-More"):
            places = re.findall(r"U\+([0-9A-F]+)-([0-9A-F]+)", said[part])
            inside = {n for a, z in places for n in range(int(a, 16), int(z, 16) + 1)} & letters
            assert inside
            letters -= inside
        assert letters == set()


@pytest.mark.parametrize("folder", [PRINT, WEB])
def test_the_licence_stands_beside_the_faces(folder: Path) -> None:
    for family in ("SourceSerif4", "BarlowCondensed"):
        text = (folder / f"OFL-{family}.txt").read_text(encoding="utf-8")
        assert "SIL Open Font License, Version 1.1" in text
        assert "Copyright" in text
