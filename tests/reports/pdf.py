"""Reading a PDF back with another program's engine (PDFium), as text, facts and pixels."""

import ctypes
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from PIL import Image

# Without type information, so imported by name.
pdfium: Any = import_module("pypdfium2")
raw: Any = import_module("pypdfium2.raw")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pdf:
    """What a reader finds in a PDF; ``fonts`` is name without its subset tag to embedded or not."""

    pages: tuple[str, ...]
    size_pt: tuple[float, float]
    title: str
    tagged: bool
    language: str
    fonts: dict[str, bool]

    @property
    def text(self) -> str:
        return "\n".join(self.pages)


def _flat(text: str) -> str:
    return " ".join(text.replace("\u00a0", " ").replace("\u200b", "").split())


def _font(item: Any) -> tuple[str, bool]:
    font = raw.FPDFTextObj_GetFont(item)
    length = raw.FPDFFont_GetBaseFontName(font, None, 0)
    name = ctypes.create_string_buffer(length)
    raw.FPDFFont_GetBaseFontName(font, name, length)
    return name.value.decode().split("+")[-1], bool(raw.FPDFFont_GetIsEmbedded(font))


def _language(document: Any) -> str:
    length = raw.FPDFCatalog_GetLanguage(document, None, 0)
    text = ctypes.create_string_buffer(length)
    raw.FPDFCatalog_GetLanguage(
        document, ctypes.cast(text, ctypes.POINTER(ctypes.c_ushort)), length
    )
    return text.raw.decode("utf-16-le").rstrip("\0")


def read(data: bytes) -> Pdf:
    document = pdfium.PdfDocument(data)
    try:
        pages = list(document)
        return Pdf(
            pages=tuple(_flat(page.get_textpage().get_text_range()) for page in pages),
            size_pt=pages[0].get_size(),
            title=document.get_metadata_value("Title"),
            tagged=bool(raw.FPDFCatalog_IsTagged(document)),
            language=_language(document),
            fonts=dict(
                _font(item)
                for page in pages
                for item in page.get_objects(max_depth=8)
                if item.type == raw.FPDF_PAGEOBJ_TEXT
            ),
        )
    finally:
        document.close()


def drawn(data: bytes, *, page: int = 0, scale: float = 1.0) -> Image.Image:
    """A page as pixels, 72 an inch times `scale`."""
    document = pdfium.PdfDocument(data)
    try:
        image: Image.Image = document[page].render(scale=scale).to_pil().convert("RGB")
        return image
    finally:
        document.close()
