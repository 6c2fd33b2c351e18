"""The board of a ledger of 50,000 entries by the command, its start included: first verified in full, then again with
the verified point that this left; and the board alone."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import msgspec

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import (
    Body,
    Decision,
    Evidence,
    Key,
    Observation,
    Paper,
    Person,
    SchemeAdopted,
    Sitting,
)
from warmyard.certify.ledger.database import add_row, connected
from warmyard.certify.ledger.entry import Entry, make_entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import names
from warmyard.certify.ledger.schemes import scheme_bytes, scheme_path
from warmyard.certify.ledger.side_files import write_side
from warmyard.certify.rules.clearance import board
from warmyard.certify.rules.dates import last_day
from warmyard.course.scheme import load_scheme
from warmyard.course.scheme_model import Level
from warmyard.errors import SourceError, VerificationError

ROOT = Path(__file__).resolve().parents[2]
ENTRIES_WANTED = 50_000
START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
NO_DIGEST = "0" * 64


def main(wanted: int = ENTRIES_WANTED) -> None:
    """Print the seconds of the command without and with a verified point, how many times faster that is, and the board
    alone."""
    with tempfile.TemporaryDirectory() as name:
        records = Path(name) / "records"
        Office(records).fill(wanted)
        first, again = asked(records, Path(name) / "cache"), asked(records, Path(name) / "cache")
        board_s = board_taken(records)
    ratio = f"{first.wall_s / again.wall_s:.1f} x as fast, {first.processor_s / again.processor_s:.1f} x by processor"
    print(f"clearance-verified-in-full-{wanted}  {first}")
    print(f"clearance-from-the-point-{wanted}  {again}; {ratio}")
    print(f"clearance-board-{wanted}  {board_s:.2f}  s, from a state that is verified already")


@dataclass(frozen=True, slots=True)
class Taken:
    """What a command took: by the clock, and of the processor, which other work on the machine does not lengthen."""

    wall_s: float
    processor_s: float

    def __str__(self) -> str:
        return f"{self.wall_s:.2f}  s; {self.processor_s:.2f} s of the processor"


def asked(records: Path, cache: Path) -> Taken:
    """Return what the command takes on a ledger, with points in a cache folder."""
    words = [sys.executable, "-m", "warmyard.cli", "clearance", "--json", "--on", "2026-06-01"]
    before, began = os.times(), time.perf_counter()
    subprocess.run(
        [*words, "--records", str(records)], cwd=ROOT, check=True, stdout=subprocess.DEVNULL,
        env={**os.environ, "XDG_CACHE_HOME": str(cache)},
    )  # fmt: skip
    wall_s, after = time.perf_counter() - began, os.times()
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    return Taken(wall_s, spent)


def board_taken(records: Path) -> float:
    """Return the seconds of the board alone."""
    state = Ledger.open(records).verify()
    named = names(records, state)
    began = time.perf_counter()
    answers = board(state, date(2026, 6, 1), named=named)
    taken_s = time.perf_counter() - began
    if not any(answer.may_go_alone for answer in answers):
        raise VerificationError("bench", "nobody is cleared")
    return taken_s


class Office:
    """A ledger filled in bulk: the same bytes as one by one, without waiting for the disk."""

    def __init__(self, records: Path) -> None:
        self.records, self.office, self.decider = records, envelope.new_key(), envelope.new_key()
        self.ledger = Ledger.create(records, self.office, envelope.new_key(), START)
        self.entries = list(self.ledger.entries())

    def fill(self, wanted: int) -> None:
        """Enter a decider, a trainer, a scheme, and candidates with all that a grant rests on."""
        faults: list[SourceError] = []
        scheme = load_scheme(ROOT / "site_config" / "scheme.yaml", ROOT, faults)
        if scheme is None:
            raise SystemExit("the scheme has faults; run warmyard check")
        digest = envelope.digest(scheme_bytes(scheme))
        write_whole(scheme_path(self.records, digest), scheme_bytes(scheme))
        self.person("dan", ("decider",))
        self.person("tom", ("trainer", "examiner"))
        public = envelope.encode_base64url(self.decider.public)
        self.add("key", "dan", Key(action="add", key=self.decider.id, public=public))
        self.add("scheme", "", SchemeAdopted(scheme=scheme.id, version=scheme.version, digest=digest))
        level = next(level for level in scheme.levels if level.level == 2)
        for at in range(wanted):
            if len(self.entries) >= wanted:
                break
            self.candidate(f"c-{at}", level, digest, at)
        with connected(self.records, write=True) as connection:
            connection.execute("BEGIN")
            for entry in self.entries[1:]:
                add_row(connection, entry.number, entry.record)
                (ENTRIES.at(self.records) / f"{entry.number:06}.json").write_bytes(entry.record)
            connection.execute("COMMIT")

    def candidate(self, person: str, level: Level, digest: str, at: int) -> None:
        """Enter a candidate who is complete; every third waits for the decision."""
        self.person(person, ())
        first = len(self.entries)
        for wanted in level.prerequisites:
            self.add("evidence", person, Evidence(what=wanted.id, level=2, count=wanted.count, by="tom"))
        for part in level.parts:
            if part.kind == "paper":
                self.add("paper", person, Paper(
                    paper=f"{person}-{part.id}", level=2, part=part.id, scheme=digest, page=NO_DIGEST,
                    frozen_key=NO_DIGEST, questions=NO_DIGEST, attempt=1, minutes=60,
                ))  # fmt: skip
                self.add("sitting", person, Sitting(
                    paper=f"{person}-{part.id}", level=2, part=part.id, record=envelope.digest(person.encode()),
                    passed=True, right=8, of=8, cut_percent="75",
                ))  # fmt: skip
            for station in part.stations:
                self.add("observation", person, Observation(
                    station=station, level=2, observers=("tom",), points={"one": "pass"}, passed=True
                ))  # fmt: skip
        if at % 3:
            self.grant(person, level, digest, at, tuple(range(first + 1, len(self.entries) + 1)))

    def grant(self, person: str, level: Level, digest: str, at: int, entries: tuple[int, ...]) -> None:
        """Enter the grant that `decide` would make: one that says anything else has no force."""
        papers = {entry.number for entry in self.entries[entries[0] - 1 :] if entry.kind == "paper"}
        until = last_day(self.next_moment().date(), level.valid_months)
        self.add("decision", person, Decision(
            level=2, action="grant", because="requirements-met", decider="dan", scheme=digest,
            certificate=f"c-{at}", index=at + 1, activities=level.activities, until=until.isoformat(),
            surveillance_months=level.surveillance.every_months, grace_days=level.surveillance.grace_days,
            evidence=tuple(number for number in entries if number not in papers), trainers=("tom",),
            examiners=("tom",),
        ), self.decider)  # fmt: skip

    def person(self, person: str, roles: tuple[str, ...]) -> None:
        """Enter a person."""
        side = write_side(self.records, person, "person", {"name": person})
        self.add("person", person, msgspec.convert({"roles": roles, "side": side}, Person))

    def next_moment(self) -> datetime:
        """Return when the next entry is made."""
        return START + timedelta(minutes=self.entries[-1].number)

    def add(self, kind: str, person: str, body: Body, signer: SigningKey | None = None) -> Entry:
        """Make the next entry, a minute after the last."""
        last, recorded_at = self.entries[-1], self.next_moment()
        entry = make_entry(
            number=last.number + 1, previous=last.digest, recorded_at=recorded_at, effective_on=recorded_at.date(),
            kind=kind, person=person, body=msgspec.to_builtins(body), signer=signer or self.office,
        )  # fmt: skip
        self.entries.append(entry)
        return entry


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
