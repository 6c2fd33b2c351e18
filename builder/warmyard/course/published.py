"""What was published by others: which edition, when it is looked at again, and what may rest on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from warmyard.course.model import Source
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.formula.model import Known

MOVING = ("law", "norm", "guidance")
"""Kinds of publication of which a new edition replaces the old one; a study stays as it was printed."""


@dataclass(frozen=True, slots=True)
class Claim:
    """A value, the source that it names, and how it says that it is known."""

    what: str
    source: str
    known: Known
    place: Place


def overdue(sources: Iterable[Source], on: date) -> list[Source]:
    """Return the sources that are to be looked at again on this day or before it, the longest overdue first."""
    due = [(source.look_again, source.id, source) for source in sources if source.look_again is not None]
    return [source for day, _, source in sorted(due, key=lambda one: one[:2]) if day <= on]


def of_no_kind(workspace: Workspace) -> list[str]:
    """Return the sources that rules and tables were read in and that say no kind of publication yet."""
    named = {rule.source for rule in workspace.rules.values() if rule.known == "read"}
    named |= {table.source for table in workspace.tables.values() if table.known == "read"}
    return sorted(id for id in named if id in workspace.sources and workspace.sources[id].kind is None)


def check_published(sources: Iterable[Source]) -> list[SourceError]:
    """Return the faults of sources: a moving publication without edition or day, a day that lies before its reading."""
    return [fault for source in sources for fault in _check_one(source)]


def _check_one(source: Source) -> Iterator[SourceError]:
    if source.kind in MOVING:
        if not source.edition:
            what_to_do = "write edition:, with its year"
            yield SourceError(source.place, f"{source.id} is a {source.kind} and names no edition", what_to_do)
        if source.look_again is None:
            what_to_do = "write look_again:, a day such as 2027-03-31"
            yield SourceError(source.place, f"nobody is to look at {source.id} again", what_to_do)
    elif source.kind is None and (source.edition or source.clause):
        what_to_do = "write kind: law, norm, guidance or study"
        yield SourceError(source.place, f"{source.id} has an edition or a clause and no kind", what_to_do)
    if source.read_on is not None and source.look_again is not None and source.look_again <= source.read_on:
        place = source.place.within("look_again")
        yield SourceError(place, f"{source.id} is looked at again before it was read", "correct one of the days")


def check_claims(workspace: Workspace) -> list[SourceError]:
    """Return a fault for every value that says it was read where nobody read, or sets a law for the demo."""
    return [fault for claim in _claims(workspace) for fault in _check_claim(claim, workspace.sources.get(claim.source))]


def _check_claim(claim: Claim, source: Source | None) -> Iterator[SourceError]:
    if source is None:
        return
    if claim.known == "read" and source.known in ("memory", "demo"):
        what = f"{claim.what} says that it was read, and nobody read {source.id}"
        yield SourceError(claim.place, what, "name the source that was read, or write how it is known")
    if claim.known == "demo" and source.kind in ("law", "norm"):
        what = f"{claim.what} is set for the demo and names the {source.kind} {source.id}"
        yield SourceError(claim.place, what, "read it there, or write known: memory; a law is never set for a demo")


def _claims(workspace: Workspace) -> Iterator[Claim]:
    for formula in workspace.register.formulas.values():
        yield Claim(f"the formula {formula.id}", formula.source, formula.known, formula.place)
    for rules in workspace.rules_by_country.values():
        for rule in rules.values():
            yield Claim(f"the rule {rule.id}", rule.source, rule.known, rule.place)
    for table in workspace.tables.values():
        for at, row in enumerate(table.rows):
            what = f"the line {row.key} of the table {table.id}"
            yield Claim(what, table.source, row.known or table.known, table.place.within(f"rows.{at}"))
    for fuel in workspace.fuels.values():
        for at, value in enumerate(fuel.values):
            what = f"{value.symbol} of the fuel {fuel.id}"
            yield Claim(what, value.source, value.known, fuel.place.within(f"values.{at}"))
