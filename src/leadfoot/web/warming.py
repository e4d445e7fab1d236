"""Makes ready what the first pages need before the desk opens: templates, languages, terms.

A template is compiled when it is asked for first, which was a good part of the wait for the first
page of a desk that had just begun.
"""

from leadfoot.language.catalogue import languages
from leadfoot.shots.terms import terms
from leadfoot.web.page import templates


def warm() -> None:
    """Compile every template, and read every language and the terms of the trade."""
    environment = templates()
    for name in environment.list_templates(extensions=["html"]):
        environment.get_template(name)
    languages()
    terms()
