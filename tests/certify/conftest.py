"""A small office on disk for every test of records: keys, people, an adopted scheme."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.paper import Issued, issue_paper
from warmyard.certify.acts.scheme import enter_scheme
from warmyard.certify.exam.paper import Request, paper_parts
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Person, Role
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.ledger.side_files import write_side
from warmyard.course.workspace import Workspace

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
        request = Request(person=person, level=level, part=part, scheme=scheme, now=now)
        return issue_paper(Desk(self.ledger, now, self.key), self.workspace, request)


@pytest.fixture
def office(tmp_path: Path, small_workspace: Workspace) -> Office:
    """Give a fresh office with four people; nothing was examined yet."""
    key = envelope.new_key()
    records = tmp_path / "records"
    ledger = Ledger.create(records, key, envelope.new_key(), START)
    people: dict[str, tuple[Role, ...]] = {"ann": (), "ben": (), "ida": ("invigilator",), "eve": ("examiner",)}
    for person, roles in people.items():
        side = write_side(records, person, "person", {"name": f"{person.title()} Example"})
        ledger.append("person", person, Person(roles=roles, side=side), START.date(), START, key)
    enter_scheme(Desk(ledger, START, key), small_workspace.scheme)
    return Office(records=records, ledger=ledger, key=key, workspace=small_workspace)
