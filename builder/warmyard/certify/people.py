"""People: ids, names, roles, and who is in a conflict of interest about whom."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from warmyard.certify.bodies import Evidence, Observation, Waiver
from warmyard.certify.dates import add_months
from warmyard.certify.envelope import new_name
from warmyard.certify.sides import read_side
from warmyard.certify.state import Fact, State
from warmyard.errors import InputError

ROLES = ("trainer", "examiner", "invigilator", "decider", "custodian")
_ID = re.compile(r"[a-z0-9-]{1,40}\Z")
LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class Conflict:
    """One reason why somebody may not decide about a candidate."""

    kind: Literal["trained", "examined"]
    on: date
    entry: int


def new_person_id() -> str:
    """Return a random id: a person's id says nothing about the person."""
    return f"p-{new_name(10)}"


def read_person_id(text: str) -> str:
    """Return a person id; raise InputError when it has another shape."""
    if not _ID.match(text):
        raise InputError(f"{text[:40]!r} is not a person id; it has 1 to 40 small letters, digits and dashes")
    return text


def known_person(state: State, text: str) -> str:
    """Return the id of a person who is entered and not erased; raise InputError otherwise."""
    person = read_person_id(text)
    member = state.people.get(person)
    if member is None:
        raise InputError(f"nobody with the id {person} is entered; enter the person first")
    if member.erased:
        raise InputError(f"the person {person} was erased; nothing more can be entered about them")
    return person


def name_of(records: Path, state: State, person: str) -> str:
    """Return a person's name from the side file, or the id of one who was erased."""
    member = state.people.get(person)
    if member is None or member.erased:
        return person
    name = read_side(records, person, member.side).get("name")
    return name if isinstance(name, str) else person


def names(records: Path, state: State) -> Mapping[str, str]:
    """Return id -> name of everybody."""
    return {person: name_of(records, state, person) for person in state.people}


def conflicts(state: State, decider: str, candidate: str, on: date, months: int) -> list[Conflict]:
    """Return why a person may not decide about a candidate: trained or examined the candidate in the last months.

    Vouching for evidence counts as training: who vouches does not decide on the file alone.
    """
    earliest = add_months(on, -months)
    found = []
    for evidence in state.of(candidate, Evidence):
        when = evidence.entry.effective_on
        if earliest <= when <= on and decider in (evidence.body.by, *evidence.body.trained_by):
            found.append(Conflict("trained", when, evidence.entry.number))
    for seen in state.of(candidate, Observation):
        when = seen.entry.effective_on
        if earliest <= when <= on and decider in seen.body.observers:
            found.append(Conflict("examined", when, seen.entry.number))
    return found


def waiver_for(
    state: State, decider: str, candidate: str, level: int, wanted: list[Conflict], before: int
) -> Fact[Waiver] | None:
    """Return the last waiver entered before an entry that covers every conflict, or None."""
    kinds = {conflict.kind for conflict in wanted}
    covering = [
        fact
        for fact in state.of(candidate, Waiver)
        if fact.body.decider == decider
        and fact.body.level == level
        and fact.entry.number < before
        and kinds <= set(fact.body.conflicts)
    ]
    return covering[-1] if covering else None


def people_with(state: State, role: str) -> list[str]:
    """Return everybody who holds a role now."""
    return [member.id for member in state.people.values() if state.has_role(member.id, role)]


def people_involved(state: State, candidate: str, entries: tuple[int, ...]) -> tuple[list[str], list[str]]:
    """Return who trained and who examined a candidate, as the given entries say."""
    trainers: dict[str, None] = {}
    examiners: dict[str, None] = {}
    for fact in state.facts.get(candidate, ()):
        if fact.entry.number not in entries:
            continue
        if isinstance(fact.body, Evidence):
            trainers.update(dict.fromkeys((fact.body.by, *fact.body.trained_by)))
        elif isinstance(fact.body, Observation):
            examiners.update(dict.fromkeys(fact.body.observers))
    return list(trainers), list(examiners)
