"""The evidence about one candidate for one level: what is missing first, then tables; one page to print and sign."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.page.shell import Page, fill_sheet, make_page


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of a table: each cell is one or more lines of text. `look` is bad, faded or nothing."""

    cells: Sequence[Sequence[str]]
    look: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One part of the evidence; `empty` is what it says without a row."""

    title: str
    heads: Sequence[str]
    lines: Sequence[Line]
    empty: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidencePage:
    """Everything that the page says."""

    title: str
    name: str
    subtitle: Sequence[str]
    intro: str
    photograph: str
    """A data address, or nothing."""
    missing_head: str
    missing: Sequence[str]
    nothing_missing: str
    notes_head: str
    notes: Sequence[str]
    tables: Sequence[Table]
    sign_head: str
    sign: Sequence[str]


def evidence_page(page: EvidencePage, company: Company, words: Mapping[str, str]) -> str:
    """Return the evidence as HTML; raise SourceError when a word is missing from course/words.yaml."""
    shell = Page(
        name="wy-board", title=page.title, subtitle=page.subtitle, body=fill_sheet("evidence", page=page), scripts=(),
        styles=("wy.css", "sheet.css", "board.css", "evidence.css"),
    )  # fmt: skip
    return make_page(shell, company, words)
