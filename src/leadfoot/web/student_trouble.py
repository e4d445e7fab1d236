"""Bad news on a student's private page: in the language of the browser, with no word of the desk.

Who stands behind a link is not known where the link is wrong, and must not be told where it is
withdrawn; so the browser says in which language it reads.
"""

from babel import negotiate_locale
from fastapi import Request
from fastapi.responses import HTMLResponse

from leadfoot.language.catalogue import ENGLISH, languages
from leadfoot.language.say import noted, say, speaking
from leadfoot.web.page import page

_GONE = noted("This link opens nothing, or nothing any more.")
_ASK = noted("Ask your teacher for a new one.")
_UNREADABLE = noted("That could not be read.")
_ONCE_MORE = noted("Go back, and send it once more.")
_BROKEN = noted("Something broke in the program itself; what you sent before is kept.")


def is_of_student(path: str) -> bool:
    """Whether an address is one that a student opens by a private link.

    Examples
    --------
    >>> is_of_student("/h/abc"), is_of_student("/students/1")
    (True, False)
    """
    return path.startswith("/h/")


def language_of_browser(accepted: str) -> str:
    """The first language of a browser that there are texts in, else English.

    Parameters
    ----------
    accepted
        What the browser sends as ``Accept-Language`` (RFC 9110).

    Examples
    --------
    >>> language_of_browser("fr-CA, de;q=0.8, en;q=0.5"), language_of_browser("")
    ('de', 'en')
    """
    wanted = [_weighed(part) for part in accepted.split(",") if part.strip()]
    codes = [code for weight, code in sorted(wanted, key=lambda one: -one[0]) if weight > 0.0]
    found = negotiate_locale(codes, list(languages()), sep="-")
    return found if found is not None and found in languages() else ENGLISH


def _weighed(part: str) -> tuple[float, str]:
    code, _, weight = part.partition(";q=")
    try:
        return float(weight or 1.0), code.strip()
    except ValueError:
        return 0.0, code.strip()


def student_trouble(request: Request, status: int) -> HTMLResponse:
    """The page for bad news behind a private link."""
    what, fix = (
        (_GONE, _ASK)
        if status == 404
        else (_UNREADABLE, _ONCE_MORE)
        if status < 500
        else (_BROKEN, _ONCE_MORE)
    )
    with speaking(language_of_browser(request.headers.get("accept-language", ""))):
        return page(request, "phone_trouble.html", status=status, what=say(what), fix=say(fix))
