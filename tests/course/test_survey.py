"""A survey: every step takes what it needs by name, waits for what is not there, and is proved for the whole fleet."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pytest
from survey_cases import CASES, HEAD, STEPS, contract_shelf, filled_of

from warmyard.course.fence_table import fence_of
from warmyard.course.fences.survey import SurveyNode
from warmyard.course.shelf import Shelf
from warmyard.course.survey import Ask, AskGroup, StepResult, start_of, work_survey
from warmyard.errors import Place


@pytest.fixture(scope="module")
def shelf(workspace_root: Path) -> Shelf:
    """Give the real register with the machines of the contract."""
    return contract_shelf(workspace_root)


def meets(found: StepResult, wanted: Any) -> bool:
    """Say whether a step came to what the contract says."""
    if isinstance(wanted, dict) and "waits" in wanted:
        return [f"{one.kind} {one.name}" for one in found.waits] == wanted["waits"] and found.value is None
    if isinstance(wanted, dict):
        return wanted["refused"] in found.refused and found.value is None
    return found.value is not None and math.isclose(found.value, wanted, rel_tol=1e-7)


@pytest.mark.parametrize("case", CASES, ids=[case["source"] for case in CASES])
def test_contract(shelf: Shelf, case: dict[str, Any]) -> None:
    """Every step of a case comes to its value, its refusal or its waiting."""
    results = work_survey(shelf, STEPS, filled_of(case), Place())
    assert [step.name for step in STEPS if not meets(results[step.name], case[step.name])] == []


def test_the_contract_is_a_sound_survey(shelf: Shelf) -> None:
    """What the contract begins with refuses nothing, for either machine."""
    node = SurveyNode(title="All", head=HEAD, steps=STEPS)
    assert list(fence_of(node).check(shelf, node)) == []


def test_a_survey_begins_with_what_the_sources_say(workspace_root: Path) -> None:
    """A start that names a table, a rule or a sheet stands in the head as its value."""
    shelf = contract_shelf(workspace_root)
    asks = (Ask(name="skin", start="table single-skin-u wall"), Ask(name="inside", start="rule comfort-low"))
    filled = start_of(shelf, (AskGroup(title="Tent", asks=asks),), "gull", Place())
    wall = next(row.value for row in shelf.tables["single-skin-u"].rows if row.key == "wall")
    inside = shelf.rules["comfort-low"].value
    assert dict(filled.head) == {"skin": f"{wall} W/m2K", "inside": f"{inside:g} degC"}


def test_a_survey_that_refuses_for_one_machine_says_which(shelf: Shelf) -> None:
    """The head's first values are worked for the whole fleet; a refusal names its step and the machines."""
    tern = msgspec.structs.replace(shelf.sheets["tern"], values={"tank-volume": "0.01 L"})
    node = SurveyNode(title="All", head=HEAD, steps=STEPS)
    (fault,) = fence_of(node).check(replace(shelf, sheets={**shelf.sheets, "tern": tern}), node)
    assert fault.what.startswith("the step bund refuses for Tern: V_1, volume of the largest container, must lie")
