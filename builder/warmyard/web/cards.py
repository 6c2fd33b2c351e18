"""Cards to print and hang on the heater, with telephone numbers and cautions; and, in a lesson, sheets to fill in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from markupsafe import Markup

from warmyard.course.model import Company
from warmyard.web.card_sheets import site_code
from warmyard.web.fill import fill


def write_card(
    title: str, lines: Sequence[Markup], company: Company, words: Mapping[str, str], hung: bool = True
) -> Markup:
    """Return a card as HTML; print CSS puts it on one sheet of A5, or of A4 when the reader asks for that.

    One that is not hung on a heater stands in the text of a lesson: no telephone numbers, no sheet of its own.
    """
    code = site_code(company) if hung else ""
    return fill("card", title=title, lines=lines, company=company, words=words, code=code, hung=hung)
