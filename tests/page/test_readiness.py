"""How far a reader is for a paper: the page's own JavaScript over records, without a page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import quickjs
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from pure_scripts import context_of, run

CHECKS = yaml.safe_load((Path(__file__).parents[1] / "contract" / "measurement_checks.yaml").read_text("utf-8"))


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the scripts of readiness."""
    return context_of("vendored/fsrs.js", "recall.js", "readiness.js")


@pytest.mark.parametrize("check", [one for one in CHECKS["rows"] if one["does"] == "wilson"], ids=lambda one: one["id"])
def test_the_range_of_a_share_is_the_published_one(page: quickjs.Context, check: dict[str, Any]) -> None:
    """The values printed by Newcombe and those of a library, which hold the office's own Wilson too."""
    given = check["give"]
    found = run(page, f"WY.readiness.wilson({given['hits']}, {given['n']})")
    assert [found["low"], found["high"]] == pytest.approx(check["expect"], abs=check["within"])


def item(number: int, duty: str = "fuel", **more: Any) -> dict[str, Any]:
    """Return one item of a plan; each of a skill of its own."""
    own = {
        "id": f"{duty}-{number}",
        "skill": f"{duty}-skill-{number}",
        "duty": duty,
        "demand": "apply",
        "kind": "choice",
    }
    return {**own, "critical": False, "audience": ["new-hire"], "level": 0, **more}


PAPER: dict[str, Any] = {
    "level": 2,
    "audience": "new-hire",
    "cut": 75,
    "cells": [
        {"duty": "fuel", "demand": "apply", "count": 6, "kinds": []},
        {"duty": "respond", "demand": "apply", "count": 2, "kinds": []},
    ],
}
PLAN: dict[str, Any] = {
    "items": [*(item(n) for n in range(12)), *(item(n, "respond", critical=n < 2) for n in range(4))],
    "papers": [PAPER],
}


def answer(name: str, right: bool = True, at: int = 1, **more: Any) -> dict[str, Any]:
    """Return one answer to an item."""
    duty, _, number = name.partition("-")
    own = {"day": "2026-03-02", "at": at, "item": name, "skill": f"{duty}-skill-{number}", "right": right}
    return {**own, "step": "", "share": int(right), "seconds": 9, "tries": 1, "hints": 0, "shown": False, **more}


def of_paper(page: quickjs.Context, *answers: dict[str, Any]) -> Any:
    """Return how a paper stands after answers."""
    return run(page, "WY.readiness.ofPaper(plan, r, paper)", plan=PLAN, paper=PAPER, r={"answers": list(answers)})


def test_a_cell_counts_the_last_answer_to_each_of_its_problems(page: quickjs.Context) -> None:
    """Right with a hint or at a second try is not right as a paper counts; another cell's answers are not in it."""
    found = of_paper(
        page,
        *(answer("fuel-0"), answer("fuel-1", right=False), answer("fuel-1", at=2)),
        *(answer("fuel-2", hints=1), answer("fuel-3", tries=2), answer("respond-0"), answer("gone-1")),
    )
    fuel = next(one for one in found["cells"] if one["cell"]["duty"] == "fuel")
    assert (fuel["items"], fuel["tried"], fuel["right"]) == (12, 4, 2)
    assert found["tried"] == 5


def test_the_weakest_cell_stands_first(page: quickjs.Context) -> None:
    """A cell with many misses before one that was not seen, and that before one that is right."""
    missed = of_paper(page, answer("fuel-0", right=False), answer("fuel-1", right=False))
    assert [one["cell"]["duty"] for one in missed["cells"]] == ["fuel", "respond"]
    right = of_paper(page, answer("fuel-0"), answer("fuel-1"))
    assert [one["cell"]["duty"] for one in right["cells"]] == ["respond", "fuel"]


def test_with_little_nothing_is_forecast(page: quickjs.Context) -> None:
    """Nine problems tried give no number, ten do."""
    assert of_paper(page, *(answer(f"fuel-{n}") for n in range(9)))["forecast"] is None
    assert of_paper(page, *(answer(f"fuel-{n}") for n in range(10)))["forecast"] is not None


def test_a_forecast_is_the_one_worked_by_hand(page: quickjs.Context) -> None:
    """Eleven of twelve and one of two: shares 12/14 and 2/4 by the rule; the spread is that of two beta-binomials."""
    answers = [answer(f"fuel-{n}", right=n > 0) for n in range(12)]
    found = of_paper(page, *answers, answer("respond-0"), answer("respond-1", right=False))["forecast"]
    share = (6 * 12 / 14 + 2 * 2 / 4) / 8
    spread = (6 * 12 / 14 * 2 / 14 * 20 / 15 + 2 * 0.25 * 6 / 5) ** 0.5 / 8
    assert found["share"] == pytest.approx(share)
    assert found["high"] == pytest.approx(min(1, share + 1.6448536269514722 * spread))
    assert found["low"] == pytest.approx(share - 1.6448536269514722 * spread)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.booleans(), min_size=10, max_size=12), st.integers(0, 9))
def test_one_more_right_never_makes_a_forecast_worse(page: quickjs.Context, marks: list[bool], which: int) -> None:
    """The share lies in its range, the range in 0 to 1; a miss turned right raises the share."""
    before = of_paper(page, *(answer(f"fuel-{n}", right=mark) for n, mark in enumerate(marks)))["forecast"]
    better = [mark or n == which for n, mark in enumerate(marks)]
    after = of_paper(page, *(answer(f"fuel-{n}", right=mark) for n, mark in enumerate(better)))["forecast"]
    assert 0 <= before["low"] <= before["share"] <= before["high"] <= 1
    assert after["share"] >= before["share"]


@pytest.mark.parametrize(("low", "high", "verdict"), [(0.2, 0.7, "below"), (0.5, 0.8, "either"), (0.75, 0.9, "above")])
def test_a_verdict_follows_the_range(page: quickjs.Context, low: float, high: float, verdict: str) -> None:
    """Only a whole range below or above what is needed says so."""
    assert run(page, f"WY.readiness.verdict({{low: {low}, high: {high}}}, 75)") == verdict


def test_what_is_critical_stands_apart_worst_first(page: quickjs.Context) -> None:
    """Missed last, then never asked, then right; a critical skill's other items say nothing."""
    plan = {**PLAN, "items": [*PLAN["items"], item(9, "respond", critical=True)]}
    kept = {"answers": [answer("respond-0"), answer("respond-1", right=False), answer("respond-3")]}
    found = run(page, "WY.readiness.critical(plan, r, 2)", plan=plan, r=kept)
    assert [(one["skill"], one["state"]) for one in found] == [
        ("respond-skill-1", "missed"),
        ("respond-skill-9", "new"),
        ("respond-skill-0", "right"),
    ]


def test_what_to_do_next_is_critical_first_and_no_more_than_asked(page: quickjs.Context) -> None:
    """Open critical skills come before the weakest sorts; what is all right, or has no problems, is no step."""
    weak = {"cell": {"count": 2}, "items": 4, "tried": 4, "right": 1}
    fresh = {"cell": {"count": 3}, "items": 4, "tried": 0, "right": 0}
    done = {"cell": {"count": 1}, "items": 2, "tried": 2, "right": 2}
    bare = {"cell": {"count": 1}, "items": 0, "tried": 0, "right": 0}
    critical = [{"skill": "a", "state": "missed"}, {"skill": "b", "state": "right"}]
    papers = [{"cells": [done, fresh]}, {"cells": [bare, weak]}]
    ask = "WY.readiness.next(papers, critical, {})"
    found = run(page, ask.format(9), papers=papers, critical=critical)
    assert found == [critical[0], weak, fresh]
    assert run(page, ask.format(2)) == [critical[0], weak]
