"""The worked steps of the page are those of Python, line for line, for every formula of the register."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
import quickjs
from random_inputs import random_inputs

from warmyard.errors import InputError
from warmyard.formula.compute import compute, read_inputs
from warmyard.formula.printed import worked_steps
from warmyard.formula.register import NO_COUNTRY, Register, load_register
from warmyard.page.formula_script import register_script
from warmyard.page.javascript import runtime_text
from warmyard.page.working_script import working_script

DRAWS_EACH = 12


@pytest.fixture(scope="module")
def register(workspace_root: Path) -> Register:
    """Give every formula of the course."""
    found, _ = load_register(workspace_root / "course" / "formulas", workspace_root, NO_COUNTRY)
    return found


@pytest.fixture(scope="module")
def context(register: Register) -> quickjs.Context:
    """Give a bare engine with the formulas and their working."""
    made = quickjs.Context()
    for script in (
        *(runtime_text(name) for name in ("number.js", "formula.js", "working.js")),
        register_script(register),
        working_script(register, register.formulas),
    ):
        made.eval(script)
    return made


def in_page(context: quickjs.Context, id: str, values: dict[str, float]) -> list[str]:
    """Return the lines that the page writes."""
    given = f"{json.dumps(id)}, {json.dumps(values)}"
    found: Any = context.eval(f"JSON.stringify(WY.working.lines({given}, WY.formula.compute({given}).value))")
    return list(json.loads(found))


def test_every_formula_is_worked_as_in_python(register: Register, context: quickjs.Context) -> None:
    """Drawn inputs over the whole ranges: the same lines with the same numbers and units."""
    chance, looked_at = random.Random(11), set()
    for id, formula in register.formulas.items():
        for _ in range(DRAWS_EACH):
            values = random_inputs(formula, chance)
            try:
                compute(formula, values)
            except InputError:
                continue
            looked_at.add(id)
            assert in_page(context, id, values) == [str(line) for line in worked_steps(formula, values)], (id, values)
    assert len(looked_at) > len(register.formulas) - 5


def test_worked_values_are_worked_as_in_python(register: Register, context: quickjs.Context) -> None:
    """The inputs that people type, whole numbers among them, give the same lines too."""
    for id, formula in register.formulas.items():
        for worked in formula.worked:
            values = read_inputs(formula, {name: str(value) for name, value in worked.inputs.items()})
            assert in_page(context, id, values) == [str(line) for line in worked_steps(formula, values)], id
