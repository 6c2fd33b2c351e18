"""Requirements shown: the 26 requirements of course/requirements.yaml, each with what the record shows of it today.

The words are data; which evidence belongs to which requirement is one function for each, in `people_requirements` and
in `paper_requirements`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Meta

from warmyard.certify.ledger.state import State
from warmyard.certify.ledger.witness import witness_text
from warmyard.certify.report.paper_requirements import PAPER_PROBES
from warmyard.certify.report.people_requirements import PEOPLE_PROBES
from warmyard.certify.report.requirement import Finding, Looked, Measured, Verdict
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError, SourceErrors
from warmyard.sources import decode, read_document
from warmyard.words.sentence import retold

FILE = Path("course") / "requirements.yaml"
HOW_MANY = 26
PROBES = {**PEOPLE_PROBES, **PAPER_PROBES}


class Requirement(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One requirement; `shows` and `lacks` are sentences with the evidence's names in braces."""

    id: str
    asks: str
    basis: str
    shows: str
    lacks: str
    also: str = ""
    """What no program can show of it."""
    place: Place = Place()


class Requirements(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The requirements in their order, and every word of the report."""

    title: str
    intro: str
    verdicts: dict[Verdict, str]
    heads: dict[str, str]
    basis: str
    also: str
    count: str
    claims_head: str
    can_head: str
    cannot_head: str
    can: tuple[str, ...]
    cannot: tuple[str, ...]
    requirements: Annotated[tuple[Requirement, ...], Meta(min_length=HOW_MANY, max_length=HOW_MANY)]
    place: Place = Place()


@dataclass(frozen=True, slots=True, kw_only=True)
class RequirementShown:
    """One row of the report."""

    number: int
    id: str
    asks: str
    verdict: Verdict
    found: str
    basis: str
    also: str

    def as_record(self) -> dict[str, object]:
        """Return the row as `--json` gives it."""
        return {"number": self.number, "id": self.id, "verdict": self.verdict, "found": self.found}


def load_requirements(root: Path) -> Requirements:
    """Return the requirements of a workspace; raise SourceErrors when one is missing or nobody can show it."""
    faults: list[SourceError] = []
    try:
        found: Requirements | None = decode(read_document(root / FILE, root), Requirements, faults)
    except SourceError as problem:
        raise SourceErrors([problem]) from None
    for requirement in found.requirements if found else ():
        if requirement.id not in PROBES:
            what = f"nothing in the record shows {requirement.id}"
            faults.append(SourceError(requirement.place, what, f"ids are {', '.join(PROBES)}"))
    if faults or found is None:
        raise SourceErrors(faults)
    return found


def show_requirements(
    wanted: Requirements, records: Path, state: State, workspace: Workspace, on: date, measured: Measured
) -> list[RequirementShown]:
    """Return every requirement with its verdict and the evidence found, from a verified state."""
    looked = Looked(records, state, workspace, on, measured)
    rows = []
    for number, requirement in enumerate(wanted.requirements, start=1):
        finding = PROBES[requirement.id](looked)
        rows.append(_row(number, requirement, finding, workspace.words))
    return rows


def _row(number: int, requirement: Requirement, finding: Finding, words: Mapping[str, str]) -> RequirementShown:
    text = requirement.shows if finding.verdict == "met" else requirement.lacks
    facts = {name: retold(words, fact) if isinstance(fact, str) else fact for name, fact in finding.facts.items()}
    return RequirementShown(
        number=number, id=requirement.id, asks=requirement.asks, verdict=finding.verdict,
        found=text.format_map(facts), basis=requirement.basis, also=requirement.also,
    )  # fmt: skip


def intro_facts(state: State, on: date) -> Mapping[str, object]:
    """Return what the report's first sentence names: day, entries, witness digest."""
    return {"day": on.isoformat(), "entries": state.count, "witness": witness_text(state.tip)}


def count_verdicts(rows: Sequence[RequirementShown]) -> dict[str, int]:
    """Return how many rows have each verdict, for the sentence that counts them."""
    found = [row.verdict for row in rows]
    return {"met": found.count("met"), "not_met": found.count("not-met"), "cannot": found.count("cannot")}
