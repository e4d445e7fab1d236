"""Makes ready what the first pages need before the desk opens: templates, languages, terms.

A template is compiled when it is asked for first, which was a good part of the wait for the first
page of a desk that had just begun.
"""

import gc

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


def settle() -> None:
    """Make ready, and let the collector of garbage leave alone what stays as long as the process.

    For a process that does nothing but serve one application, which is built by now: what it and
    the libraries hold is half a million objects, gone through again and again while a page asks
    for many new ones. It was a third of the first page of a student of years.
    """
    warm()
    gc.collect()
    gc.freeze()
