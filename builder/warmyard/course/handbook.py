"""The handbook: what people read and go by (pages, data sheets, rules), taken without what they are asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from warmyard.course.company import load_company
from warmyard.course.fleet import load_sheets
from warmyard.course.lesson import Lesson, load_pages
from warmyard.course.model import Company, Rule, Sheet
from warmyard.course.rules import load_country
from warmyard.errors import SourceError, SourceErrors
from warmyard.words import load_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Handbook:
    """What a notice may send its readers to, and what its sheet prints."""

    root: Path
    lessons: Mapping[str, Lesson]
    sheets: Mapping[str, Sheet]
    rules: Mapping[str, Rule]
    company: Company
    words: Mapping[str, str]


def read_handbook(root: Path) -> Handbook:
    """Return the handbook of a workspace, not proved; raise SourceErrors. The question bank is not opened."""
    faults: list[SourceError] = []
    config = root / "site_config"
    company = load_company(config / "company.yaml", root, faults)
    handbook = Handbook(
        root=root,
        lessons=load_pages(root / "course" / "lessons", root, faults),
        sheets=load_sheets(config / "fleet", root, faults),
        rules=load_country(config / "rules", root, company, None, faults).chosen,
        company=company,
        words=load_words(root / "course" / "words.yaml", root, faults),
    )
    if faults:
        raise SourceErrors(faults)
    return handbook
