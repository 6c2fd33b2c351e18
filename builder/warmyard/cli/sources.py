"""The few sources that the commands on the record need, read alone: the company, and the words of printed forms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from warmyard.cli.where import workspace_root
from warmyard.errors import SourceError, SourceErrors
from warmyard.words import load_words

if TYPE_CHECKING:
    from warmyard.course.model import Company


def company() -> Company:
    """Return the company of this workspace; raise SourceErrors."""
    from warmyard.course.company import check_company, load_company

    root = workspace_root()
    faults: list[SourceError] = []
    found = load_company(root / "site_config" / "company.yaml", root, faults)
    faults += check_company(found)
    if faults:
        raise SourceErrors(faults)
    return found


def words() -> Mapping[str, str]:
    """Return the words of course/words.yaml, with the titles of stations and lessons; raise SourceErrors."""
    from warmyard.course.titles import titles

    root = workspace_root()
    faults: list[SourceError] = []
    found = load_words(root / "course" / "words.yaml", root, faults)
    if faults:
        raise SourceErrors(faults)
    return {**found, **titles(root)}
