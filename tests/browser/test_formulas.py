"""The formulas in a real browser, opened from a file: the same values as Python within 1e-12."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path

import pytest
from playwright.sync_api import Page
from random_inputs import random_inputs

from warmyard.errors import InputError
from warmyard.formula.compute import compute
from warmyard.formula.model import Formula
from warmyard.formula.register import NO_COUNTRY, load_register
from warmyard.page.formula_script import register_script

DRAWS = 300
MANY = """draws => draws.map(([id, draw]) => { const found = WY.formula.compute(id, draw);
return found.problem ? null : found.value; })"""


def value_or_none(formula: Formula, draw: dict[str, float]) -> float | None:
    """Return the value, or None for a refusal."""
    try:
        return compute(formula, draw)
    except InputError:
        return None


@pytest.mark.browser
def test_draws_agree_in_a_real_browser(browser_page: Page, workspace_root: Path, tmp_path: Path) -> None:
    """Classic scripts on a page from disk; every formula over its whole ranges."""
    register, _ = load_register(workspace_root / "course" / "formulas", workspace_root, NO_COUNTRY)
    runtime = workspace_root / "builder" / "warmyard" / "page" / "runtime"
    scripts = [(runtime / "number.js").read_text("utf-8"), (runtime / "formula.js").read_text("utf-8")]
    scripts.append(register_script(register))
    page = tmp_path / "page.html"
    page.write_text(
        "<!doctype html><meta charset=utf-8>" + "".join(f"<script>{one}</script>" for one in scripts), "utf-8"
    )
    browser_page.goto(page.as_uri())
    chance = random.Random(7)
    draws = [(id, random_inputs(formula, chance)) for id, formula in register.formulas.items() for _ in range(DRAWS)]
    found = browser_page.evaluate(MANY, json.loads(json.dumps(draws)))
    for (id, draw), shown in zip(draws, found, strict=True):
        value = value_or_none(register.formulas[id], draw)
        if value is None or shown is None:
            assert value is shown, (id, draw)
        else:
            assert math.isclose(shown, value, rel_tol=1e-12, abs_tol=1e-12), (id, draw, shown, value)


@pytest.mark.browser
def test_refusals_in_a_real_browser(browser_page: Page, workspace_root: Path) -> None:
    """The contract's refusals come in the same words from a page on disk."""
    register, _ = load_register(workspace_root / "course" / "formulas", workspace_root, NO_COUNTRY)
    cases = json.loads((workspace_root / "tests" / "contract" / "formulas.json").read_text("utf-8"))["cases"]
    runtime = workspace_root / "builder" / "warmyard" / "page" / "runtime"
    for name in ("number.js", "formula.js"):
        browser_page.add_script_tag(path=runtime / name)
    browser_page.add_script_tag(content=register_script(register))
    refused = [case for case in cases if "refused" in case and case["id"] not in ("containment", "earth-margin")]
    for case in refused:
        shown = browser_page.evaluate("([id, texts]) => WY.formula.work(id, texts)", [case["id"], case["inputs"]])
        assert case["refused"] in shown["problem"]
