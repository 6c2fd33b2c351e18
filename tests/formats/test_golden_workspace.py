"""A workspace as authors kept it when files named no format: read, proved and drawn from in every run, as it was then.

tests/golden/workspace-1 is never edited, nor is workspace-1.json beside it: that is what `described` gave with the code
of the day before formats had names.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec
import pytest

from warmyard.course.fences.calculator import CalculatorNode
from warmyard.course.workspace import Workspace, counts, read_workspace
from warmyard.item.kinds.numeric import left_out
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import NumberKey, OrderKey

GOLDEN = Path(__file__).resolve().parents[1] / "golden"
SEED = 7


def described(workspace: Workspace) -> dict[str, Any]:
    """Return what authors wrote that matters to readers: a few values of each kind of source, and two problems."""
    lesson, scheme = workspace.lessons["L08"], workspace.scheme
    (level,) = scheme.levels
    calculator = next(block.node for block in lesson.blocks if isinstance(block.node, CalculatorNode))
    found = {
        "counts": counts(workspace),
        "lesson": [lesson.front.title, lesson.front.minutes, list(lesson.front.skills), list(lesson.front.editions)],
        "outcomes": {outcome.text: list(outcome.items) for outcome in lesson.front.outcomes},
        "fences": [type(block.node).__struct_config__.tag for block in lesson.blocks],
        "calculator": [calculator.formula, dict(calculator.start), calculator.place.line],
        "items": {item.id: [item.skill, item.use, item.minutes, item.critical] for item in workspace.items.values()},
        "scheme": [scheme.id, scheme.version, scheme.declare_months, scheme.parallel_percent],
        "cuts": {part.id: part.cut and [part.cut.percent, part.cut.set_on] for part in level.parts},
        "re_sit": [level.re_sit.wait_days, level.re_sit.attempts, level.re_sit.within_months],
        "grace_days": level.surveillance.grace_days,
        "variants": [drawn_sum(workspace, "q-bund"), drawn_order(workspace, "q-filter-order")],
    }
    plain: dict[str, Any] = json.loads(msgspec.json.encode(found))
    return plain


LEFT_OUT = left_out.ID
"""How the id of a derived slip begins, for a factor that was left out."""


def drawn_sum(workspace: Workspace, item: str) -> list[Any]:
    """Return a sum as a seed draws it: what is asked, what is right within what, and the slips that its author named.

    A slip that is derived from the relation came later, and takes none of the author's away.
    """
    variant = make_variant(workspace.items[item], SEED, workspace.surroundings)
    key = variant.key
    assert isinstance(key, NumberKey)
    slips = {slip.id: f"{slip.value:.10g}" for slip in key.slips if not slip.id.startswith(LEFT_OUT)}
    return [variant.question.ask, f"{key.value:.10g}", key.shown, f"{key.tolerance:.10g}", slips]


def drawn_order(workspace: Workspace, item: str) -> list[Any]:
    """Return an ordering as a seed mixes it: the steps as shown, what comes before what, and one right order."""
    variant = make_variant(workspace.items[item], SEED, workspace.surroundings)
    key = variant.key
    assert isinstance(key, OrderKey)
    steps = [option.id for option in variant.question.options]
    return [variant.question.ask, steps, sorted(map(list, key.before)), list(key.reference)]


@pytest.fixture(scope="module")
def then() -> dict[str, Any]:
    """Give what the code of that day read."""
    found: dict[str, Any] = json.loads((GOLDEN / "workspace-1.json").read_text("utf-8"))
    return found


@pytest.fixture(scope="module")
def now() -> dict[str, Any]:
    """Give what today's code reads in the same files."""
    return described(read_workspace(GOLDEN / "workspace-1"))


def test_the_golden_workspace_names_no_format() -> None:
    """It is of version 1, as every file was before formats had names."""
    files = [*(GOLDEN / "workspace-1").rglob("*.yaml"), *(GOLDEN / "workspace-1").rglob("*.md")]
    assert len(files) == 26
    assert not [file for file in files if "\nformat:" in f"\n{file.read_text('utf-8')}"]


def test_the_golden_workspace_is_sound_and_says_what_it_said(now: dict[str, Any], then: dict[str, Any]) -> None:
    """No fault, and every value that its lessons, items and scheme gave, the defaults among them."""
    assert {key: now[key] for key in now if key != "variants"} == {key: then[key] for key in then if key != "variants"}


def test_the_golden_workspace_draws_the_same_problems(now: dict[str, Any], then: dict[str, Any]) -> None:
    """One seed gives the same numbers, order and key as it did."""
    assert now["variants"] == then["variants"]
