"""The page computes as Python does: one contract file, every worked value, random draws, and the same words."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, Protocol

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_inputs import random_inputs

from warmyard.errors import InputError
from warmyard.formula.check import allowed_difference
from warmyard.formula.compute import compute, read_inputs, warnings_of
from warmyard.formula.quantity import plain_number, show
from warmyard.formula.register import Register
from warmyard.formula.typed import read_typed, unit_table
from warmyard.page.formula_script import register_script, units_script

CASES = json.loads((Path(__file__).parents[1] / "contract" / "formulas.json").read_text("utf-8"))["cases"]
DRAWS_EACH = 60


class Browser(Protocol):
    """What conftest gives: the page's scripts in a bare engine."""

    def call(self, function: str, *arguments: Any) -> Any:
        """Return what a function returns."""

    def work(self, id: str, texts: dict[str, str]) -> dict[str, Any]:
        """Return {value, unit, warn} or {problem}."""


def outcome(work: Callable[[], float]) -> float | str:
    """Return the value, or the sentence of the refusal."""
    try:
        return work()
    except InputError as refusal:
        return str(refusal)


def in_python(register: Register, id: str, texts: dict[str, str]) -> float | str:
    """Return what the formula comes to for typed texts."""
    formula = register.formulas[id]
    return outcome(lambda: compute(formula, read_inputs(formula, texts)))


def name_of(case: dict[str, Any]) -> str:
    """Return a short name for a case."""
    return f"{case['id']} {' '.join(f'{key}={value[:12]}' for key, value in case['inputs'].items())}"


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_contract(register: Register, browser: Browser, case: dict[str, Any]) -> None:
    """Python and the page both meet the stated value or both refuse in the same words."""
    found = in_python(register, case["id"], case["inputs"])
    shown = browser.work(case["id"], case["inputs"])
    if "refused" in case:
        assert isinstance(found, str)
        assert case["refused"] in found
        assert shown["problem"] == found
    else:
        assert isinstance(found, float), found
        assert abs(found - case["value"]) <= allowed_difference(case["within"], case["value"])
        assert math.isclose(shown["value"], found, rel_tol=1e-12, abs_tol=1e-300)
        assert shown["unit"] == register.formulas[case["id"]].gives.unit


def test_the_contract_refuses_in_every_formula(register: Register) -> None:
    """Each formula of the register has at least one refusal in the contract."""
    assert {case["id"] for case in CASES if "refused" in case} == set(register.formulas)


def test_worked_values_in_the_page(register: Register, browser: Browser) -> None:
    """Every worked value comes out of the page too."""
    for formula in register.formulas.values():
        for worked in formula.worked:
            shown = browser.work(formula.id, {key: str(value) for key, value in worked.inputs.items()})
            assert "value" in shown, (formula.id, shown)
            assert abs(shown["value"] - worked.result) <= allowed_difference(worked.within, worked.result), formula.id


def test_random_draws_agree(register: Register, browser: Browser) -> None:
    """Draws over the whole ranges: the same value within 1e-12, the same refusal, the same warnings."""
    chance = random.Random(20270101)
    for formula in register.formulas.values():
        for _ in range(DRAWS_EACH):
            inputs = random_inputs(formula, chance)
            shown = browser.call("WY.formula.compute", formula.id, inputs)
            found = outcome(partial(compute, formula, inputs))
            if isinstance(found, str):
                assert shown.get("problem") == found, (formula.id, inputs)
                continue
            assert math.isclose(shown["value"], found, rel_tol=1e-12, abs_tol=1e-12), (formula.id, inputs)
            assert tuple(shown["warn"]) == warnings_of(formula, inputs)
            assert math.isfinite(found)


@settings(max_examples=300, deadline=None)
@given(st.text(alphabet="0123456789+-.,eE %barPLpsikdegCFm³/h°()_\u2212\u00a0x\n\t\x1c\x85\u2028", max_size=16))
def test_the_page_reads_as_python_does(browser: Browser, text: str) -> None:
    """Whatever is typed: the same number, or the same sentence."""
    for unit in ("bar", "K", "degC", "%"):
        shown = browser.call("WY.number.read", text, unit)
        found = outcome(partial(read_typed, text, unit))
        if isinstance(found, str):
            assert shown.get("problem") == found
        else:
            assert math.isclose(shown["value"], found, rel_tol=1e-15)


@settings(max_examples=200, deadline=None)
@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e14, max_value=1e14))
def test_the_page_shows_numbers_as_python_does(browser: Browser, value: float) -> None:
    """The same digits, up to the last one where a half is rounded."""
    shown = browser.call("WY.number.plain", value)
    assert math.isclose(
        float(shown.replace("×10^", "e")), float(plain_number(value).replace("×10^", "e")), rel_tol=1e-9
    )


def test_shows_with_units(browser: Browser) -> None:
    """The page writes a value with its unit as the command line does."""
    for value, unit, decimals in [(12.5, "bar", 1), (20, "degC", 0), (-0.01, "K", 1), (3, "1", 0), (5.88, "W/m2K", 2)]:
        assert browser.call("WY.number.show", value, unit, decimals) == show(value, unit, decimals)


def test_the_script_is_safe_inside_a_page(register: Register) -> None:
    """No element can be closed from inside, nothing is fetched or evaluated."""
    script = register_script(register)
    assert "</" not in script
    for word in ("eval(", "import(", "fetch(", "http:", "https:", "new Function"):
        assert word not in script.replace("http://www.w3.org/1998/Math/MathML", "")


def test_only_those_asked_for(register: Register) -> None:
    """A page carries the formulas that it uses, and the units always."""
    script = register_script(register, ["nozzle-flow"])
    assert '"nozzle-flow"' in script
    assert '"flue-loss"' not in script
    assert script.startswith(units_script())
    assert json.loads(units_script().partition("WY.units = ")[2].rstrip(";\n")) == unit_table()
