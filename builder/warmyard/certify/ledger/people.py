"""People: ids, names and roles."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from warmyard.certify.ledger.envelope import new_name
from warmyard.certify.ledger.side_files import read_side
from warmyard.certify.ledger.state import State
from warmyard.errors import InputError

_ID = re.compile(r"[a-z0-9-]{1,40}\Z")
LONGEST_NAME = 200


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
    # A side file made past the desk could hold line ends that forge a line of a list.
    return "".join(sign if sign.isprintable() else "?" for sign in name) if isinstance(name, str) else person


def names(records: Path, state: State) -> Mapping[str, str]:
    """Return id -> name of everybody."""
    return {person: name_of(records, state, person) for person in state.people}


def people_with(state: State, role: str) -> list[str]:
    """Return everybody who holds a role now."""
    return [member.id for member in state.people.values() if state.has_role(member.id, role)]
