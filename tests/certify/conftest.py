"""A small office on disk for every test of records: keys, people, an adopted scheme."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from warmyard.certify import envelope
from warmyard.certify.adoption import adopted_scheme, keep_scheme, level_of
from warmyard.certify.bodies import Person, SchemeAdopted
from warmyard.certify.demo import make_demo
from warmyard.certify.envelope import SigningKey
from warmyard.certify.filing import Desk
from warmyard.certify.ledger import Ledger
from warmyard.certify.paper import Issued, Request, issue_paper, paper_parts
from warmyard.certify.sides import write_side
from warmyard.certify.state import State
from warmyard.course.workspace import Workspace, load_workspace

START = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)


@dataclass(slots=True)
class Office:
    """A records folder with its keys and the workspace that papers are drawn from."""

    records: Path
    ledger: Ledger
    key: SigningKey
    workspace: Workspace

    def issue(self, person: str = "ann", now: datetime = START) -> Issued:
        """Issue the paper of level 2."""
        state = self.ledger.verify()
        _, scheme = adopted_scheme(state)
        level = level_of(scheme, 2)
        part = paper_parts(level, None)[0]
        request = Request(person=person, level=level, part=part, scheme=scheme, now=now, signer=self.key)
        return issue_paper(self.ledger, state, self.workspace, request)


@pytest.fixture(scope="session")
def whole_workspace(workspace_root: Path) -> Workspace:
    """Give the workspace of this checkout, loaded once."""
    return load_workspace(workspace_root)


@pytest.fixture
def office(tmp_path: Path, whole_workspace: Workspace) -> Office:
    """Give a fresh office with four people; nothing was examined yet."""
    key = envelope.new_key()
    records = tmp_path / "records"
    ledger = Ledger.create(records, key, envelope.new_key(), START)
    people = {"ann": (), "ben": (), "ida": ("invigilator",), "eve": ("examiner",)}
    for person, roles in people.items():
        side = write_side(records, person, "person", {"name": f"{person.title()} Example"})
        ledger.append("person", person, Person(roles=roles, side=side), START.date(), START, key)
    scheme = whole_workspace.scheme
    body = SchemeAdopted(scheme=scheme.id, version=scheme.version, digest=keep_scheme(records, scheme))
    ledger.append("scheme", "", body, START.date(), START, key)
    return Office(records=records, ledger=ledger, key=key, workspace=whole_workspace)


@dataclass(frozen=True, slots=True)
class Demo:
    """A copy of the demo's records folder, and the moment at which it was made."""

    records: Path
    made: datetime

    def key(self, name: str) -> SigningKey:
        """Return one of the demo's keys."""
        pem = self.records / "keys" / f"{name}.pem"
        return envelope.load_key(pem, pem.with_suffix(".phrase").read_text("ascii"))

    def open(self) -> tuple[Ledger, State]:
        """Return the ledger and what it says."""
        ledger = Ledger.open(self.records)
        return ledger, ledger.verify()

    def desk(self, name: str = "office") -> Desk:
        """Return the office's desk a minute after the demo was made."""
        ledger, state = self.open()
        return Desk(self.records, ledger, state, self.made + timedelta(minutes=1), self.key(name))


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory, whole_workspace: Workspace) -> Demo:
    """Give the demo, made once; tests take `demo`, a copy."""
    made = datetime.now().astimezone().replace(microsecond=0)
    records = tmp_path_factory.mktemp("demo") / "records"
    records.mkdir()
    make_demo(records, whole_workspace, made)
    return Demo(records, made)


@pytest.fixture
def demo(demo_made: Demo, tmp_path: Path) -> Demo:
    """Give a copy of the demo to do anything with."""
    records = tmp_path / "records"
    shutil.copytree(demo_made.records, records)
    return Demo(records, demo_made.made)
