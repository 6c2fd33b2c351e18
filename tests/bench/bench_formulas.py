"""10,000 random draws of every formula: Python against the page's JavaScript, and how fast each is."""

from __future__ import annotations

import json
import math
import random
import sys
import time
from pathlib import Path

import quickjs
from random_inputs import random_inputs

from warmyard.errors import InputError
from warmyard.formula.compute import compute
from warmyard.formula.model import Formula
from warmyard.formula.register import NO_COUNTRY, Register, check_register, load_register
from warmyard.page.formula_script import register_script

ROOT = Path(__file__).resolve().parents[2]
DRAWS = 10_000
WITHIN = 1e-12


def main(draws_each: int = DRAWS) -> int:
    """Print the largest difference and the speeds; return 1 when a draw differs by more than 1e-12."""
    began = time.perf_counter()
    register, _ = load_register(ROOT / "course" / "formulas", ROOT, NO_COUNTRY)
    load_s = time.perf_counter() - began
    check_register(register)
    proof_s = time.perf_counter() - began - load_s
    page = page_scripts(register)
    largest, where, python_s, page_s, answered = 0.0, "", 0.0, 0.0, 0
    for formula in register.formulas.values():
        chance = random.Random(formula.id)
        draws = [random_inputs(formula, chance) for _ in range(draws_each)]
        began = time.perf_counter()
        here = [value_or_none(formula, draw) for draw in draws]
        python_s += time.perf_counter() - began
        began = time.perf_counter()
        there = json.loads(page.eval(f"many({json.dumps(formula.id)}, {json.dumps(json.dumps(draws))})"))
        page_s += time.perf_counter() - began
        for value, shown, draw in zip(here, there, draws, strict=True):
            apart = difference(value, shown)
            answered += value is not None
            if apart > largest:
                largest, where = apart, f"{formula.id} {draw}"
    count = draws_each * len(register.formulas)
    print(f"formula-agreement  {largest:.1e}  largest relative difference in {count} draws, {answered} answered")
    besides = f"in the page's engine {page_s / count * 1e6:.2f} us; load {load_s:.2f} s, proof {proof_s:.2f} s"
    print(f"formula-python  {python_s / count * 1e6:.2f}  us each; {besides}")
    if largest > WITHIN:
        print(f"too far apart: {where}", file=sys.stderr)
        return 1
    return 0


def page_scripts(register: Register) -> quickjs.Context:
    """Return the page's formulas in a bare engine, with a loop over many draws."""
    page = quickjs.Context()
    for name in ("number.js", "formula.js"):
        page.eval((ROOT / "builder/warmyard/page/runtime" / name).read_text("utf-8"))
    page.eval(register_script(register))
    page.eval(
        "function many(id, draws) { return JSON.stringify(JSON.parse(draws).map(function (draw) {"
        " var found = WY.formula.compute(id, draw); return found.problem ? null : found.value; })); }"
    )
    return page


def value_or_none(formula: Formula, draw: dict[str, float]) -> float | None:
    """Return the value, or None for a refusal."""
    try:
        return compute(formula, draw)
    except InputError:
        return None


def difference(here: float | None, there: float | None) -> float:
    """Return how far apart two answers are; a refusal against a value is endlessly far."""
    if here is None or there is None:
        return 0.0 if here is there else math.inf
    return abs(here - there) / max(abs(here), 1.0 if abs(here) < 1e-9 else abs(here))


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
