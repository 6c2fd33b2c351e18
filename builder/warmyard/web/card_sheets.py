"""A page of cards as PDF, A5 and A4, one card to a sheet; and the code that leads to the customer's pages."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import Any, Literal

from markupsafe import Markup

from warmyard.course.fences.card import CardNode
from warmyard.course.grammar import find_inlines
from warmyard.course.lesson import Lesson
from warmyard.course.model import Company
from warmyard.course.values import meaning
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.words import language_of

PAPERS: tuple[Literal["a4", "a5"], ...] = ("a5", "a4")
_SIZE = re.compile(r'width="(\d+)" height="(\d+)"')
UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
"""A built site has no day: the same sources give the same bytes."""


def site_code(company: Company) -> Markup:
    """Return the QR code of the customer's pages as a drawing, or nothing when the company names no address."""
    if not company.site_address:
        return Markup("")
    # Here and not above: the sheets' library is large, and most that import this module print nothing.
    from warmyard.page.print import qr_svg

    # Without a viewBox a drawing of another width is cut, not scaled.
    return Markup(_SIZE.sub(r'viewBox="0 0 \1 \2" \g<0>', qr_svg(company.site_address), count=1))


def card_pages(pages: Iterable[Lesson]) -> list[Lesson]:
    """Return the pages that are made of cards."""
    return [page for page in pages if page.front.kind == "card" and _cards(page)]


def _cards(page: Lesson) -> list[CardNode]:
    return page.nodes(CardNode)


def sheet_path(page: Lesson, paper: str) -> str:
    """Return where the printed sheets of a page of cards lie."""
    return f"{page.url.removesuffix('.html')}-{paper}.pdf"


def card_sheets(workspace: Workspace, pages: Iterable[Lesson], words: Mapping[str, str]) -> dict[str, bytes]:
    """Return every page of cards as PDF, A5 and A4, one card to a sheet, by its place in the site."""
    from warmyard.page.print import print_sheet

    return {
        sheet_path(page, paper): print_sheet("cards", _sheet(workspace, page, paper, words), UNDATED)
        for page in card_pages(pages)
        for paper in PAPERS
    }


def _sheet(workspace: Workspace, page: Lesson, paper: str, words: Mapping[str, str]) -> dict[str, Any]:
    company, language = workspace.company, language_of(words)
    cards = [
        {"title": card.title, "lines": [plain_line(workspace, line, card.place) for line in card.lines]}
        for card in _cards(page)
    ]
    return {
        "paper": paper,
        "lang": language.primary,
        "region": language.region,
        "direction": language.direction,
        "title": page.front.title,
        "cards": cards,
        "company": company.name,
        "emergency_says": words["shell.emergency"],
        "emergency_phone": company.emergency_phone,
        "technician_says": f"{company.name}. {words['shell.technician']}",
        "technician_phone": company.technician_phone,
        "address": company.site_address,
        "code": str(site_code(company)),
        "code_says": company.site_address,
        "cautions": f"{words['cautions-plate']} {words['cautions-people']}",
    }


def plain_line(workspace: Workspace, line: str, place: Place) -> str:
    """Return a line of a card as plain text, its inlines put in."""
    faults: list[SourceError] = []
    for inline in find_inlines(line, place.file, place.line, faults):
        line = line.replace(inline.text, meaning(workspace.shelf, inline).text, 1)
    return line
