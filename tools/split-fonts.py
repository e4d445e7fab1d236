"""Split the faces of words for the pages: Latin letters and signs first, all others when needed.

    python tools/split-fonts.py FOLDER_OF_TTF FOLDER_OF_WOFF2

Needs fontTools and brotli. A browser fetches the second file of a face only for a page that holds a
letter of it (`unicode-range` in fonts.css), so that a first page is light.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

LATIN = [
    *range(0x0180),  # Latin with the letters of European names
    *range(0x0218, 0x021C),  # Romanian
    *range(0x2000, 0x2070),  # dashes, quotation marks, spaces
    *range(0x20A0, 0x20C0),  # currencies
    *range(0x2190, 0x2200),  # arrows
    *range(0x2200, 0x2300),  # minus and other signs of numbers
]


def main() -> None:
    """Write both files of each face."""
    source, target = Path(sys.argv[1]), Path(sys.argv[2])
    for path in sorted(source.glob("SourceSerif4*.ttf")):
        everything = set(TTFont(path).getBestCmap())
        first = everything & set(LATIN)
        _write(path, first, target / f"{path.stem}.woff2")
        _write(path, everything - first, target / f"{path.stem}-More.woff2")


def _write(path: Path, letters: set[int], target: Path) -> None:
    options = subset.Options(flavor="woff2", layout_features=["*"], name_IDs=["*"])
    font = subset.load_font(str(path), options)
    kept = subset.Subsetter(options)
    kept.populate(unicodes=letters)
    kept.subset(font)
    subset.save_font(font, str(target), options)


if __name__ == "__main__":
    main()
