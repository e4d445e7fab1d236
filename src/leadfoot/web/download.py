"""What a page hands out as a file: a picture, a table, a printed page."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from fastapi.responses import Response

from leadfoot.figures.look import DAY, NIGHT, PRINT, Look
from leadfoot.figures.picture import Picture

PictureKind = Literal["svg", "png"]
LookName = Literal["paper", "slate", "print"]
LOOKS: Mapping[LookName, Look] = MappingProxyType({"paper": DAY, "slate": NIGHT, "print": PRINT})
"""Grounds on which a picture may lie: by day, by night, on white paper."""


def download(data: bytes, kind: str, name: str) -> Response:
    """A file that the browser keeps under `name`."""
    return Response(
        data, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


def picture_file(picture: Picture, kind: PictureKind, stem: str) -> Response:
    """A picture as the file ``stem.kind``."""
    if kind == "svg":
        return download(picture.svg(), "image/svg+xml", f"{stem}.svg")
    return download(picture.png(), "image/png", f"{stem}.png")


def csv_file(data: bytes, stem: str) -> Response:
    """A table as the file ``stem.csv``."""
    return download(data, "text/csv", f"{stem}.csv")


def pdf_page(data: bytes, name: str) -> Response:
    """A printed page that the browser shows."""
    return Response(
        data,
        media_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )
