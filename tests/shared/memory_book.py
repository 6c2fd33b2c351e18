"""A ledger in memory, without a disk: the same entries, places and judge, a thousand times as fast as the real one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.admission import place_entry
from warmyard.certify.ledger.application import apply
from warmyard.certify.ledger.bodies import Body, KeyPair, Open, SchemeAdopted
from warmyard.certify.ledger.entry import Entry, make_entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.state import State
from warmyard.course.scheme_model import Scheme
from warmyard.errors import InputError, VerificationError

SIDE = "a" * 64
FIRST_DAY = date(2026, 1, 1)
LEVEL_2: dict[str, Any] = {
    "level": 2,
    "name": "Technician",
    "scope": "Services heaters alone.",
    "audience": "technician",
    "activities": ["service"],
    "prerequisites": [{"id": "hours", "text": "Hours", "count": 2}, {"id": "aid", "text": "Aid", "valid_months": 6}],
    "parts": [
        {"id": "paper", "title": "Paper", "kind": "paper", "minutes": 30, "critical_items": 1, "blueprint": [],
         "cut": {"percent": 70, "method": "m", "judges": 3, "standard_error": 3.5, "set_on": "2026-01-10",
                 "adopted_by": "the owner"}},
        {"id": "shown", "title": "Shown", "kind": "stations", "stations": ["filter"]},
    ],
    "valid_months": 12,
    "surveillance": {"every_months": 6, "text": "One observed job", "grace_days": 10},
    "renewal": "The station again.",
    "renews_with": {"parts": [], "stations": ["filter"], "months_after": 2},
    "lapse": "The certificate ends.",
    "re_sit": {"wait_days": 14, "attempts": 3, "within_months": 12, "text": "After 14 days."},
}  # fmt: skip
LEVEL_3 = {
    **LEVEL_2,
    "level": 3,
    "name": "Lead",
    "activities": ["service", "set"],
    "prerequisites": [{"id": "level-2", "text": "Level 2"}],
    "parts": [{"id": "shown", "title": "Shown", "kind": "stations", "stations": ["set"]}],
    "renews_with": None,
}
SCHEME = msgspec.convert(
    {
        "id": "book", "version": "1", "title": "A scheme", "owner": "Nobody", "job_analysis": "none",
        "job_analysis_on": "2026-01-05", "activities": [{"id": "service", "title": "S"}, {"id": "set", "title": "T"}],
        "levels": [LEVEL_2, LEVEL_3],
        "reasons": [{"id": action, "action": action, "text": action}
                    for action in ("grant", "suspend", "restore", "withdraw")],
        "conflict_months": 6, "notice_days": 14, "appeals": {"within_days": 30, "decided_within_days": 60, "by": "x"},
        "conduct": ["Work within your level."], "claim": "company authorisation; not accredited certification",
    },
    Scheme,
)  # fmt: skip
KEYS = {name: envelope.new_key() for name in ("office", "recovery", "ida", "ivo", "cora")}
"""Keys of the office, of two deciders, and of a custodian who decides nothing."""
PEOPLE = {
    "ida": ("decider",), "ivo": ("decider", "trainer"), "cora": ("custodian",), "eve": ("examiner",),
    "ned": ("examiner",), "tom": ("trainer",), "ann": (), "bob": (),
}  # fmt: skip


@dataclass(slots=True)
class Book:
    """Stands in for a Ledger: what is appended is looked at and applied as there, and kept nowhere."""

    folder: Path = Path("/nowhere")
    state: State = field(default_factory=State)

    def append(
        self,
        kind: str,
        person: str,
        body: Body | Mapping[str, Any] | Callable[[State], Body],
        on: date,
        at: datetime,
        signer: SigningKey,
    ) -> tuple[Entry, State]:
        """Return the entry and what the book says with it; raise InputError when it may not stand there."""
        made = body(self.state) if callable(body) else body
        plain = msgspec.to_builtins(made) if isinstance(made, msgspec.Struct) else dict(made)
        if plain.get("side") == SIDE:
            plain["side"] = f"{self.state.count + 1:064x}"  # a side file belongs to one entry
        entry = make_entry(
            number=self.state.count + 1, previous=self.state.tip, recorded_at=at, effective_on=on, kind=kind,
            person=person, body=plain, signer=signer,
        )  # fmt: skip
        try:
            apply(self.state, place_entry(self.state, entry))
        except VerificationError as problem:
            raise InputError(problem.what) from None
        return entry, self.state

    def add(self, kind: str, person: str, body: Any, day: int, *, by: str = "office", ago: int = 0) -> int:
        """Append on a day of the book, effective some days earlier (or later), and return the entry's number."""
        at = moment(day)
        return self.append(kind, person, body, at.date() - timedelta(days=ago), at, KEYS[by])[0].number


def moment(day: int) -> datetime:
    """Return noon of a day of the book."""
    return datetime(FIRST_DAY.year, FIRST_DAY.month, FIRST_DAY.day, 12, tzinfo=UTC) + timedelta(days=day)


def new_book() -> Book:
    """Return a book with its people, their keys and the scheme."""
    book = Book()

    def pair(name: str) -> KeyPair:
        return KeyPair(id=KEYS[name].id, public=envelope.encode_base64url(KEYS[name].public))

    book.add("open", "", Open(office=pair("office"), recovery=pair("recovery")), 0)
    for person, roles in PEOPLE.items():
        book.add("person", person, {"roles": roles, "side": SIDE}, 0)
    for person in ("ida", "ivo", "cora"):
        key = pair(person)
        book.add("key", person, {"action": "add", "key": key.id, "public": key.public}, 0)
    adopt(book, SCHEME, 0)
    return book


def adopt(book: Book, scheme: Scheme, day: int) -> None:
    """Adopt a scheme without its file."""
    digest = envelope.digest(f"{scheme.id} {scheme.version}".encode())
    book.add("scheme", "", SchemeAdopted(scheme=scheme.id, version=scheme.version, digest=digest), day)
    book.state.schemes[digest] = scheme
