"""No line of a formula is wider than a telephone: every formula of the course, printed, worked, and in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

from warmyard.course.workspace import Workspace
from warmyard.formula.everyday import said_first
from warmyard.formula.printed import formula_mathml, worked_steps
from warmyard.formula.register import read_inputs
from warmyard.page.face import face_css
from warmyard.page.javascript import runtime_text

pytestmark = pytest.mark.browser
ROOM_PX = 300
"""What a page of 390 px leaves of a line inside a worked example or a problem."""


def test_no_formula_line_is_clipped_on_a_phone(browser_page: Page, whole_workspace: Workspace, tmp_path: Path) -> None:
    """The lines of every formula, of every worked value of the register, and its words: none runs out of its frame."""
    lines: list[str] = []
    for formula in whole_workspace.register.formulas.values():
        lines += [formula_mathml(formula), said_first(formula, whole_workspace.fuels)]
        for worked in formula.worked:
            inputs = read_inputs(formula, {name: str(one) for name, one in worked.inputs.items()})
            lines += worked_steps(formula, inputs)
    body = "".join(f'<div class="wy-step-line" style="width:{ROOM_PX}px">{line}</div>' for line in lines)
    style = f"{face_css()}{runtime_text('wy.css')}body{{font:17px/1.5 sans-serif}}"
    page = tmp_path / "lines.html"
    page.write_text(f"<!doctype html><meta charset=utf-8><style>{style}</style><main>{body}</main>", encoding="utf-8")
    browser_page.set_viewport_size({"width": 390, "height": 844})
    browser_page.goto(page.as_uri())
    clipped = browser_page.evaluate(
        """() => [...document.querySelectorAll(".wy-step-line")].filter(line => {
            const edge = line.getBoundingClientRect().right + 1;
            return [...line.querySelectorAll("math, p")].some(one => one.getBoundingClientRect().right > edge
                || one.scrollWidth > one.clientWidth + 1 && one.tagName === "P");
        }).map(line => line.textContent)"""
    )
    assert len(lines) > 500
    assert clipped == []
