"""What the ledger says: people, keys, facts, built by applying one entry after another; and as it stood at any place.

A `View` is what the first N entries say. The judge looks at a decision from its own place, so that nothing that
was entered later gives it force; the record as it is now is only the view at its end.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Generic, TypeAlias, TypeVar

import msgspec

from warmyard.certify.ledger.bodies import Body, Decision, Notice, Paper, SchemeAdopted, Sitting
from warmyard.certify.ledger.entry import NOTHING_BEFORE, Entry
from warmyard.course.scheme_model import Scheme

B = TypeVar("B", bound=Body)


class Fact(msgspec.Struct, Generic[B], frozen=True):
    """An entry with its typed body."""

    entry: Entry
    body: B


@dataclass(slots=True)
class HeldKey:
    """A key of the ledger: whose it is, and between which entries it may sign."""

    id: str
    public: bytes
    use: str
    owner: str
    from_entry: int
    until_entry: int = 0
    """Entry that ended it; 0 while it holds."""
    stolen_since: int = 0
    """Entry from which what it signed is to be confirmed; 0 when it was not stolen."""
    stolen_by_entry: int = 0
    """Entry that reported the theft."""
    added_with: str = ""
    """Id of the key that signed its entry."""


@dataclass(slots=True)
class Member:
    """A person: roles held, digests of side files, whether forgotten."""

    id: str
    roles: tuple[str, ...]
    side: str
    since_entry: int
    erased: bool = False


@dataclass(slots=True)
class State:
    """What the ledger says; `application.apply` is its only writer, everything else only reads."""

    count: int = 0
    format: int = 1
    """Version of the last entry's format; it never decreases."""
    tip: str = NOTHING_BEFORE
    """Digest of the last record."""
    last_recorded_at: datetime | None = None
    office: str = ""
    recovery: str = ""
    digests: list[str] = field(default_factory=list)
    keys: dict[str, HeldKey] = field(default_factory=dict)
    people: dict[str, Member] = field(default_factory=dict)
    adopted: list[Fact[SchemeAdopted]] = field(default_factory=list)
    schemes: dict[str, Scheme] = field(default_factory=dict)
    """Digest -> scheme, as read from schemes/; filled by the ledger after verification."""
    facts: dict[str, list[Fact[Any]]] = field(default_factory=lambda: defaultdict(list))
    """Person -> facts in the order of entries."""
    of_kind: dict[tuple[str, type[Body]], list[Fact[Any]]] = field(default_factory=lambda: defaultdict(list))
    """The same by person and kind, since the judge asks for one kind at a time."""
    papers: dict[str, Fact[Paper]] = field(default_factory=dict)
    sittings: dict[str, Fact[Sitting]] = field(default_factory=dict)
    """Paper id -> its sitting."""
    records_seen: dict[str, int] = field(default_factory=dict)
    """Digest of handed-in bytes -> entry number."""
    forms: dict[str, int] = field(default_factory=dict)
    """Id of an observation form -> entry number."""
    grants: dict[str, Fact[Decision]] = field(default_factory=dict)
    """Certificate id -> the grant."""
    notices: dict[str, Fact[Notice]] = field(default_factory=dict)
    by_number: dict[int, Fact[Any]] = field(default_factory=dict)
    """Facts that other entries may point at."""
    voided: dict[int, int] = field(default_factory=dict)
    """Entry that counts no longer -> the entry that made it void."""
    at_their_places: dict[tuple[int, bool], Any] = field(default_factory=dict)
    """What the judge found about a decision from its own place: entries before it never change, so it stays true."""
    waivers: set[str] = field(default_factory=set)
    """Ids of the waivers that were entered."""
    sides: dict[str, int] = field(default_factory=dict)
    """Digest of a side file -> the entry that bound it first."""
    forces: dict[tuple[int, int, bool], bool] = field(default_factory=dict)
    """Place of a view, entry and strictness -> whether the decision has force there; emptied by every entry."""
    indexes: set[int] = field(default_factory=set)
    """Places in the status lists that are taken."""

    def view(self) -> View:
        """Return what all entries say."""
        return View(self, self.count)

    def of(self, person: str, kind: type[B]) -> Iterator[Fact[B]]:
        """Yield a person's facts of one kind that are not void, in order."""
        return self.view().of(person, kind)

    def key_at(self, key_id: str) -> HeldKey | None:
        """Return a key that may sign the next entry, or None."""
        key = self.keys.get(key_id)
        return key if key is not None and key.until_entry == 0 else None

    def person_keys(self, person: str) -> list[HeldKey]:
        """Return the keys of a person that hold."""
        return [key for key in self.keys.values() if key.owner == person and key.until_entry == 0]

    def scheme_now(self) -> Scheme | None:
        """Return the scheme adopted last, or None."""
        return self.view().scheme_now()

    def may_be_forged(self, entry: Entry) -> bool:
        """Say whether an entry is to be confirmed: signed with a key after it was stolen, or with one added by such."""
        return self.view().may_be_forged(entry)

    def has_role(self, person: str, role: str) -> bool:
        """Say whether a person holds a role."""
        member = self.people.get(person)
        return member is not None and not member.erased and role in member.roles


@dataclass(frozen=True, slots=True)
class View:
    """What the first `count` entries of a record say; whatever came later is not there."""

    whole: State
    count: int
    strict: bool = False
    """True to judge every decision by today's rules, whatever the format of its entry: to see what would change."""

    def before(self, number: int) -> View:
        """Return the view from the place of an entry: what was there when it was made."""
        return View(self.whole, number - 1, self.strict)

    def of(self, person: str, kind: type[B]) -> Iterator[Fact[B]]:
        """Yield a person's facts of one kind that are not void, in order."""
        facts, voided = self.whole.of_kind.get((person, kind), ()), self.whole.voided
        # Asked a hundred times about everybody: mostly nothing is there, or all of it counts.
        if not facts or (not voided and facts[-1].entry.number <= self.count):
            return iter(facts)
        return (
            fact
            for fact in facts
            if fact.entry.number <= self.count and voided.get(fact.entry.number, self.count + 1) > self.count
        )

    def is_void(self, number: int) -> bool:
        """Say whether an entry was made void by now."""
        return self.whole.voided.get(number, self.count + 1) <= self.count

    def may_be_forged(self, entry: Entry) -> bool:
        """Say whether an entry is to be confirmed: signed with a key after it was stolen, or with one added by such."""
        return self.may_be_forged_with(entry.key, entry.number)

    def may_be_forged_with(self, key_id: str, number: int) -> bool:
        """Say whether a signature in an entry of that number is to be confirmed, by the key that made it."""
        key = self.whole.keys.get(key_id)
        while key is not None:
            if key.stolen_since and number >= key.stolen_since and key.stolen_by_entry <= self.count:
                return True
            number, key = key.from_entry, self.whole.keys.get(key.added_with)
        return False

    def adopted(self) -> Fact[SchemeAdopted] | None:
        """Return the adoption that holds, or None."""
        return next((fact for fact in reversed(self.whole.adopted) if fact.entry.number <= self.count), None)

    def scheme_now(self) -> Scheme | None:
        """Return the scheme adopted last, or None."""
        adopted = self.adopted()
        return self.whole.schemes.get(adopted.body.digest) if adopted else None

    def notices(self) -> list[Fact[Notice]]:
        """Return the notices that are not void, in the order of entries."""
        return [
            fact
            for fact in self.whole.notices.values()
            if fact.entry.number <= self.count and not self.is_void(fact.entry.number)
        ]


Record: TypeAlias = State | View
"""What a rule may be asked about: the record as it is, or as it stood at a place."""


def view_of(record: Record) -> View:
    """Return the view that a rule looks at."""
    return record if isinstance(record, View) else record.view()
