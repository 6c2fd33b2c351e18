"""Requirements shown: the 26 requirements of course/requirements.yaml, each with what the record shows of it today.

The words are data; which evidence belongs to which requirement is one function for each, in `people_requirements` and
in `paper_requirements`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
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
from warmyard.fields import offer
from warmyard.sources import decode, read_document
from warmyard.words import names_in
from warmyard.words.sentence import retold

FILE = Path("course") / "requirements.yaml"
HOW_MANY = 26
NAMES: Mapping[str, tuple[str, ...]] = {
    "intro": ("day", "entries", "witness"), "basis": ("basis",), "also": ("also",),
    "count": ("met", "not_met", "cannot"),
}  # fmt: skip
"""Sentence of the report -> the names that are filled in; those of a requirement are what its evidence has."""
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
    if found is None:
        raise SourceErrors(faults)
    for at, requirement in enumerate(found.requirements):
        if requirement.id not in PROBES:
            what = f"nothing in the record shows {requirement.id}"
            place = found.place.within(f"requirements.{at}.id")
            faults.append(SourceError(place, what, offer(requirement.id, PROBES)))
    for name, known in NAMES.items():
        faults += _check_names(found.place.within(name), name, getattr(found, name), known)
    if faults:
        raise SourceErrors(faults)
    return found


def _check_names(place: Place, what: str, text: str, known: Collection[str]) -> Iterator[SourceError]:
    """Yield a fault for each {name} of a sentence that nothing fills in, and for braces that hold no name."""
    try:
        unknown = sorted(names_in(text) - set(known))
    except ValueError as problem:
        yield SourceError(place, f"{what}: {problem}".replace(";", ","), "write {name}, or {{ for a brace")
        return
    for name in unknown:
        yield SourceError(place, f"{what}: nothing fills in {{{name}}}", offer(name, sorted(known)))


def show_requirements(
    wanted: Requirements, records: Path, state: State, workspace: Workspace, on: date, measured: Measured
) -> list[RequirementShown]:
    """Return every requirement with its verdict and the evidence found, from a verified state.

    Raises SourceErrors for a sentence with a {name} that the evidence does not have.
    """
    looked = Looked(records, state, workspace, on, measured)
    rows, faults = [], list[SourceError]()
    for number, requirement in enumerate(wanted.requirements, start=1):
        finding = PROBES[requirement.id](looked)
        told = "shows" if finding.verdict == "met" else "lacks"
        place = wanted.place.within(f"requirements.{number - 1}.{told}")
        unknown = list(_check_names(place, f"{requirement.id}, {told}", getattr(requirement, told), finding.facts))
        faults += unknown
        if unknown:
            continue
        rows.append(_row(number, requirement, finding, workspace.words))
    if faults:
        raise SourceErrors(faults)
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
