"""The report of requirements shown: one self-contained page to print, its words handed in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.page.shell import Page, fill_sheet, make_page


@dataclass(frozen=True, slots=True, kw_only=True)
class RequirementRow:
    """One requirement; `kind` is wy-yes, wy-no or nothing, for its colour."""

    number: int
    id: str
    asks: str
    basis: str
    verdict: str
    kind: str
    found: str
    also: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RequirementsReport:
    """Everything that the page says."""

    title: str
    intro: str
    count: str
    heads: Mapping[str, str]
    rows: Sequence[RequirementRow]
    claims_head: str
    claims: Sequence[tuple[str, Sequence[str]]]


def requirements_page(report: RequirementsReport, company: Company, words: Mapping[str, str]) -> str:
    """Return the report as HTML; raise SourceError when a word is missing from course/words.yaml."""
    page = Page(
        name="wy-board", title=report.title, body=fill_sheet("requirements", report=report), scripts=(),
        styles=("wy.css", "sheet.css", "board.css"),
    )  # fmt: skip
    return make_page(page, company, words)
