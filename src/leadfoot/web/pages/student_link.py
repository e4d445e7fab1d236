"""What a private link opens beside its page: the printed plan of that one student."""

from typing import Literal

from fastapi import APIRouter
from fastapi.responses import Response

from leadfoot.desk.homework import homework_by_secret, homework_sheet
from leadfoot.web.download import pdf_page
from leadfoot.web.page import DeskHere, LanguageAsked

router = APIRouter()


@router.get("/h/{secret}/sheet.pdf")
def phone_sheet(
    desk: DeskHere,
    secret: str,
    paper: Literal["a4", "us-letter"] = "a4",
    language: LanguageAsked = None,
) -> Response:
    """The printed sheet of the plan behind a private link."""
    view = homework_by_secret(desk, secret)
    pdf = homework_sheet(desk, view.stored.id, paper, language=language)
    return pdf_page(pdf, f"homework-{paper}.pdf")
