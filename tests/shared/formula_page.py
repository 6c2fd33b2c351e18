"""A page of the register's formulas, and its answers against Python's on drawn inputs: for tests and benchmarks."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path

from playwright.sync_api import Page
from random_inputs import random_inputs

from warmyard.errors import InputError
from warmyard.formula.compute import compute
from warmyard.formula.model import Formula
from warmyard.formula.register import Register
from warmyard.page.formula_script import register_script
from warmyard.page.javascript import runtime_text

WITHIN = 1e-12
MANY = """draws => draws.map(([id, draw]) => { const found = WY.formula.compute(id, draw);
return found.problem ? null : found.value; })"""


def write_formula_page(register: Register, file: Path) -> None:
    """Write a page with the classic scripts of the formulas and nothing else."""
    scripts = [runtime_text("number.js"), runtime_text("formula.js"), register_script(register)]
    file.write_text("<!doctype html><meta charset=utf-8>" + "".join(f"<script>{one}</script>" for one in scripts))


def differing_draws(register: Register, page: Page, draws_each: int, seed: int) -> list[str]:
    """Return the draws on which the opened page and Python part by more than 1e-12, or only one of them refuses."""
    chance = random.Random(seed)
    draws = [
        (id_, random_inputs(formula, chance)) for id_, formula in register.formulas.items() for _ in range(draws_each)
    ]
    found = page.evaluate(MANY, json.loads(json.dumps(draws)))
    return [
        f"{id_} {draw}: {shown} in the page, {value} in Python"
        for (id_, draw), shown in zip(draws, found, strict=True)
        if not _is_equal(value := _value_or_none(register.formulas[id_], draw), shown)
    ]


def _is_equal(value: float | None, shown: float | None) -> bool:
    if value is None or shown is None:
        return value is shown
    return math.isclose(shown, value, rel_tol=WITHIN, abs_tol=WITHIN)


def _value_or_none(formula: Formula, draw: dict[str, float]) -> float | None:
    try:
        return compute(formula, draw)
    except InputError:
        return None
