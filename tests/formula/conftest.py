"""The real register with one country's values, and the page's scripts in a bare JavaScript engine."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import quickjs

from warmyard.formula.register import Register, load_register
from warmyard.page.formula_script import register_script

RULES = {
    "containment-single-share": (110.0, "%", "containment-rule"),
    "containment-total-share": (25.0, "%", "containment-rule"),
    "carriage-weight-diesel": (1.0, "1/L", "carriage-points-rule"),
    "carriage-weight-petrol": (3.0, "1/L", "carriage-points-rule"),
    "earth-limit": (0.1, "ohm", "portable-testing"),
}


class Browser:
    """WY.number and WY.formula as the page has them, without a page."""

    def __init__(self, root: Path, register: Register) -> None:
        self.context = quickjs.Context()
        for name in ("number.js", "formula.js"):
            self.context.eval((root / "builder/warmyard/page/runtime" / name).read_text("utf-8"))
        self.context.eval(register_script(register))

    def call(self, function: str, *arguments: Any) -> Any:
        """Return what a function of the page returns, through JSON."""
        words = ", ".join(json.dumps(one) for one in arguments)
        return json.loads(self.context.eval(f"JSON.stringify({function}({words}))"))

    def work(self, id: str, texts: Mapping[str, str]) -> dict[str, Any]:
        """Return {value, unit, warn} or {problem}."""
        answer: dict[str, Any] = self.call("WY.formula.work", id, dict(texts))
        return answer


@pytest.fixture(scope="session")
def register(workspace_root: Path) -> Register:
    """Give every formula of the course; a fault of its form fails the test."""
    found, faults = load_register(workspace_root / "course" / "formulas", workspace_root, RULES)
    assert faults == []
    return found


@pytest.fixture(scope="session")
def browser(workspace_root: Path, register: Register) -> Browser:
    """Give the formulas as the page computes them."""
    return Browser(workspace_root, register)
