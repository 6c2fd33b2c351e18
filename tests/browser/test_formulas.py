"""The formulas in a real browser, opened from a file: the same values as Python within 1e-12."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from formula_page import differing_draws, write_formula_page
from playwright.sync_api import Page

from warmyard.formula.register import NO_COUNTRY, load_register
from warmyard.page.formula_script import register_script

DRAWS = 20


@pytest.mark.browser
def test_draws_agree_in_a_real_browser(browser_page: Page, workspace_root: Path, tmp_path: Path) -> None:
    """Classic scripts on a page from disk; every formula over its whole ranges (bench browser_formulas draws more)."""
    register, _ = load_register(workspace_root / "course" / "formulas", workspace_root, NO_COUNTRY)
    page = tmp_path / "page.html"
    write_formula_page(register, page)
    browser_page.goto(page.as_uri())
    assert differing_draws(register, browser_page, DRAWS, seed=7) == []


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
