"""What an entry changes: the only writer of the state, once the entry was found to stand in its place."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import (
    Decision,
    Erase,
    Irregularity,
    Key,
    KeyPair,
    Notice,
    Observation,
    Open,
    Paper,
    Person,
    SchemeAdopted,
    Sitting,
    Void,
    Waiver,
)
from warmyard.certify.ledger.state import Fact, HeldKey, Member, State


def apply(state: State, fact: Fact[Any]) -> None:
    """Take an entry in that `admission.place_entry` let stand here."""
    entry = fact.entry
    _CHANGE.get(entry.kind, _nothing_more)(state, fact)
    if entry.person:
        state.facts[entry.person].append(fact)
        state.of_kind[entry.person, type(fact.body)].append(fact)
    state.by_number[entry.number] = fact
    state.count, state.tip, state.last_recorded_at = entry.number, entry.digest, entry.recorded_at
    state.format = entry.format
    state.forces.clear()
    side = getattr(fact.body, "side", "")
    if side:
        state.sides.setdefault(side, entry.number)
    state.digests.append(entry.digest)


def _nothing_more(state: State, fact: Fact[Any]) -> None:
    del state, fact


def _pin(state: State, number: int, pair: KeyPair, use: str, owner: str = "", signed_with: str = "") -> None:
    public = envelope.decode_base64url(pair.public)
    state.keys[pair.id] = HeldKey(pair.id, public, use, owner, number, added_with=signed_with)


def _open(state: State, fact: Fact[Open]) -> None:
    _pin(state, 1, fact.body.office, "office")
    _pin(state, 1, fact.body.recovery, "recovery")
    state.office, state.recovery = fact.body.office.id, fact.body.recovery.id


def _scheme(state: State, fact: Fact[SchemeAdopted]) -> None:
    state.adopted.append(fact)


def _person(state: State, fact: Fact[Person]) -> None:
    person = fact.entry.person
    known = state.people.get(person)
    since = known.since_entry if known else fact.entry.number
    state.people[person] = Member(person, tuple(fact.body.roles), fact.body.side, since)


def _key(state: State, fact: Fact[Key]) -> None:
    entry, body = fact.entry, fact.body
    pair = KeyPair(id=body.key, public=body.public)
    if body.action == "add":
        _pin(state, entry.number, pair, "person", entry.person, entry.key)
        return
    old = state.keys[body.replaces if body.action == "replace" else body.key]
    if body.action == "replace":
        _pin(state, entry.number, pair, old.use, old.owner, entry.key)
        if old.use != "person":
            setattr(state, old.use, body.key)
    old.until_entry = entry.number
    if body.action == "stolen" or body.since_entry:
        old.stolen_since, old.stolen_by_entry = max(body.since_entry, 1), entry.number


def _paper(state: State, fact: Fact[Paper]) -> None:
    state.papers[fact.body.paper] = fact


def _sitting(state: State, fact: Fact[Sitting]) -> None:
    state.sittings[fact.body.paper] = fact
    state.records_seen[fact.body.record] = fact.entry.number


def _irregularity(state: State, fact: Fact[Irregularity]) -> None:
    if fact.body.record:
        state.records_seen.setdefault(fact.body.record, fact.entry.number)


def _observation(state: State, fact: Fact[Observation]) -> None:
    if fact.body.form:
        state.forms[fact.body.form] = fact.entry.number


def _decision(state: State, fact: Fact[Decision]) -> None:
    if fact.body.action == "grant":
        state.grants[fact.body.certificate] = fact
        if fact.body.index:
            state.indexes.add(fact.body.index)


def _waiver(state: State, fact: Fact[Waiver]) -> None:
    state.waivers.add(fact.body.waiver)


def _void(state: State, fact: Fact[Void]) -> None:
    state.voided[fact.body.entry] = fact.entry.number


def _notice(state: State, fact: Fact[Notice]) -> None:
    state.notices[fact.body.notice] = fact


def _erase(state: State, fact: Fact[Erase]) -> None:
    state.people[fact.entry.person].erased = True
    for key in state.person_keys(fact.entry.person):
        key.until_entry = fact.entry.number


_CHANGE: dict[str, Callable[[State, Fact[Any]], None]] = {
    "open": _open,
    "scheme": _scheme,
    "person": _person,
    "key": _key,
    "paper": _paper,
    "sitting": _sitting,
    "irregularity": _irregularity,
    "observation": _observation,
    "decision": _decision,
    "waiver": _waiver,
    "void": _void,
    "notice": _notice,
    "erase": _erase,
}
