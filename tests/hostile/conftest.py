"""The demo's records folder, for attackers: made once, copied for every attack."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from warmyard.certify import envelope
from warmyard.certify.demo import make_demo
from warmyard.certify.envelope import SigningKey
from warmyard.certify.filing import Desk
from warmyard.certify.ledger import Ledger
from warmyard.certify.state import State
from warmyard.course.workspace import Workspace, load_workspace
from warmyard.errors import VerificationError


@dataclass(frozen=True, slots=True)
class Target:
    """A records folder under attack, and the moment at which it was made."""

    records: Path
    made: datetime

    def key(self, name: str) -> SigningKey:
        """Return one of the demo's keys."""
        pem = self.records / "keys" / f"{name}.pem"
        return envelope.load_key(pem, pem.with_suffix(".phrase").read_text("ascii"))

    def state(self) -> State:
        """Return what the ledger says, verified."""
        return Ledger.open(self.records).verify()

    def desk(self, name: str = "office") -> Desk:
        """Return a desk a minute after the demo was made."""
        ledger = Ledger.open(self.records)
        return Desk(self.records, ledger, ledger.verify(), self.made + timedelta(minutes=1), self.key(name))

    def broken(self, *witnesses: str) -> VerificationError:
        """Return how the verification fails; that it does not is the attacker's success."""
        with pytest.raises(VerificationError) as caught:
            Ledger.open(self.records).verify(witnesses)
        return caught.value


@pytest.fixture(scope="session")
def hostile_workspace(workspace_root: Path) -> Workspace:
    """Give the workspace of this checkout, loaded once."""
    return load_workspace(workspace_root)


@pytest.fixture(scope="session")
def target_made(tmp_path_factory: pytest.TempPathFactory, hostile_workspace: Workspace) -> Target:
    """Give the demo, made once; attacks take `target`, a copy."""
    made = datetime.now().astimezone().replace(microsecond=0)
    records = tmp_path_factory.mktemp("target") / "records"
    records.mkdir()
    make_demo(records, hostile_workspace, made)
    return Target(records, made)


@pytest.fixture
def target(target_made: Target, tmp_path: Path) -> Target:
    """Give a copy of the demo to attack."""
    records = tmp_path / "records"
    shutil.copytree(target_made.records, records)
    return Target(records, target_made.made)
