"""A demo's records folder, and what a test asks of it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from made_once import made_once

from warmyard.certify.acts.desk import Desk
from warmyard.certify.demo.story import make_demo
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.state import State
from warmyard.course.workspace import Workspace
from warmyard.errors import VerificationError

LAST_HOUR = 23


@dataclass(frozen=True, slots=True)
class Demo:
    """A records folder of the demo's people, and the moment at which it was made."""

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

    def state(self) -> State:
        """Return what the ledger says, verified."""
        return self.open()[1]

    def desk(self, name: str = "office", minutes: int = 1) -> Desk:
        """Return a desk some minutes after the demo was made."""
        ledger, _ = self.open()
        return Desk(ledger, self.made + timedelta(minutes=minutes), self.key(name))

    def broken(self, *witnesses: str) -> VerificationError:
        """Return how the verification fails; that it does not is the attacker's success."""
        with pytest.raises(VerificationError) as caught:
            Ledger.open(self.records).verify(witnesses)
        return caught.value


def new_demo(folder: Path, workspace: Workspace) -> Demo:
    """Return a demo just made in a folder."""
    # Desks work on for minutes after it: in the last hour of a day these would be minutes of another.
    now = datetime.now().astimezone().replace(microsecond=0)
    made = min(now, now.replace(hour=LAST_HOUR, minute=0, second=0))
    records = folder / "records"
    records.mkdir()
    make_demo(records, workspace, made)
    (folder / "made.txt").write_text(made.isoformat(), "utf-8")
    return Demo(records, made)


def demo_once(factory: pytest.TempPathFactory, name: str, workspace: Workspace) -> Demo:
    """Return this process's own copy of a demo that is made once in a run: nobody shares a database."""
    made = made_once(factory, name, lambda folder: new_demo(folder, workspace))
    own = shutil.copytree(made, factory.mktemp(name) / "copy")
    return Demo(own / "records", datetime.fromisoformat((own / "made.txt").read_text("utf-8")))
