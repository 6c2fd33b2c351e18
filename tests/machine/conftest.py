"""The course's machine, loaded once, and a toy machine that shares nothing with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine

TOY = Path(__file__).parent / "toy"


@pytest.fixture(scope="session")
def machine(workspace_root: Path) -> Machine:
    """Give the machine of the course."""
    found, faults = load_machine(workspace_root / "course" / "machine", workspace_root)
    assert found is not None, [str(fault) for fault in faults]
    return found


@pytest.fixture(scope="session")
def toy() -> Machine:
    """Give a rain-water pump: other states, other faults, other words."""
    found, faults = load_machine(TOY, TOY)
    assert found is not None, [str(fault) for fault in faults]
    return found
