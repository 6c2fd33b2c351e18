"""The course's machine, loaded once, a toy machine that shares nothing with it, and the exact search of a best way."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from pathlib import Path

import pytest

from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine
from warmyard.machine.policy import Plan

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


@pytest.fixture(scope="session")
def best_policy() -> Callable[..., tuple[Plan, bool]]:
    """Give the exact search: the best way through a case, and whether the case was small enough for it."""
    spec = importlib.util.spec_from_file_location("exact_search", Path(__file__).with_name("exact_search.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    search: Callable[..., tuple[Plan, bool]] = module.best_policy
    return search
