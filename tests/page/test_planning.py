"""When a service is due: the page answers as the command line does, refusals included."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import quickjs

from warmyard.errors import InputError
from warmyard.formula.planning import plan
from warmyard.page.javascript import runtime_text

CASES = json.loads((Path(__file__).parents[1] / "contract" / "service_due.json").read_text(encoding="utf-8"))["cases"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["source"])
def test_python_gives_the_date_of_the_case(case: dict[str, Any]) -> None:
    """The command line's answer is the date of the case, or a refusal."""
    texts = {name: str(value) for name, value in case["given"].items()}
    if case.get("refused"):
        with pytest.raises(InputError):
            plan("service-due", texts)
    else:
        assert plan("service-due", texts).value == case["on"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["source"])
def test_the_page_gives_the_date_of_the_case(case: dict[str, Any]) -> None:
    """The page's answer is the date of the case and names which limit sets it, or it is a refusal with a word."""
    context = quickjs.Context()
    context.eval(runtime_text("planning.js"))
    answer = json.loads(context.eval(f"JSON.stringify(WY.planning.serviceDue({json.dumps(case['given'])}))"))
    if case.get("refused"):
        assert answer["problem"].startswith("plan.")
    else:
        assert (answer["on"], answer["by"]) == (case["on"], case["by"])
