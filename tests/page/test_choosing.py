"""Which problem comes next, and which problems make a mock paper: the page's own JavaScript, without a page."""

from __future__ import annotations

import itertools
import json
from datetime import datetime
from typing import Any

import pytest
import quickjs

from warmyard.page.javascript import runtime_text

TODAY = "2026-03-02"


def item(name: str, skill: str, duty: str = "fuel", **more: Any) -> dict[str, Any]:
    """Return one item of a plan."""
    own = {"id": name, "skill": skill, "duty": duty, "demand": "apply", "kind": "choice", "critical": False}
    return {**own, "audience": ["new-hire", "technician"], "level": 0, "enemies": [], **more}


PLAN: dict[str, Any] = {
    "items": [
        *(item(f"fuel-{n}", "pour") for n in range(4)),
        *(item(f"flue-{n}", "fit-flue", "flue", demand="judge") for n in range(4)),
        *(item(f"stop-{n}", "co-stop", "respond", critical=True) for n in range(3)),
    ],
    "skills": {"pour": "Pour fuel", "fit-flue": "Fit the flue", "co-stop": "Stop for CO"},
    "lessons": [
        {"id": "L05", "title": "Flue", "skills": ["fit-flue"]},
        {"id": "L08", "title": "Fuel", "skills": ["pour"]},
    ],
}
EMPTY: dict[str, Any] = {"answers": [], "states": {}, "seen": {}, "assessments": []}
PAPER = {
    "audience": "new-hire",
    "level": 2,
    "cut": 75,
    "critical": 1,
    "cells": [
        {"duty": "fuel", "demand": "apply", "count": 2, "kinds": []},
        {"duty": "respond", "demand": "apply", "count": 1, "kinds": ["choice"]},
    ],
}


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the scripts, and a generator of chances that repeats."""
    context = quickjs.Context()
    for name in ("wy.js", "vendored/fsrs.js", "recall.js", "standing.js", "choosing.js"):
        context.eval(runtime_text(name))
    context.eval(
        "var state = 7; function chance() { state = (state * 16807) % 2147483647; return state / 2147483647; }"
    )
    return context


def run(page: quickjs.Context, script: str, **values: Any) -> Any:
    """Return the value of an expression over JSON values."""
    for name, value in values.items():
        page.eval(f"var {name} = {json.dumps(value)};")
    return json.loads(page.eval(f"JSON.stringify({script})"))


def ask(page: quickjs.Context, record: dict[str, Any], asked: list[str], scope: str = "all") -> Any:
    """Return the next problem."""
    script = f"WY.choosing.next(plan, record, '{TODAY}', '{scope}', asked, chance)"
    return run(page, script, plan=PLAN, record=record, asked=asked)


def missed(skill: str, day: str) -> dict[str, Any]:
    """Return a record in which a skill was missed on a day."""
    at = int(datetime.fromisoformat(f"{day}T12:00:00+00:00").timestamp() * 1000)
    answer = {"day": day, "at": at, "item": "x", "skill": skill, "step": "", "right": False, "share": 0}
    return {**EMPTY, "answers": [{**answer, "seconds": 9, "tries": 1, "hints": 0, "shown": False}]}


def test_what_is_due_comes_first(page: quickjs.Context) -> None:
    """A skill missed on an earlier day is asked before anything else; missed today it waits for another day."""
    for _ in range(20):
        found = ask(page, missed("pour", "2026-03-01"), [])
        assert (found["item"]["skill"], found["due"]) == ("pour", True)
    assert ask(page, missed("pour", TODAY), [])["due"] is False


def test_a_missed_critical_problem_is_asked_before_all_else(page: quickjs.Context) -> None:
    """Missed today, it comes before what is due; passed over once, it does not block the way."""
    answer = {**missed("co-stop", TODAY)["answers"][0], "item": "stop-1"}
    kept = {**EMPTY, "answers": [missed("pour", "2026-03-01")["answers"][0], answer]}
    found = ask(page, kept, [])
    assert (found["item"]["id"], found["again"]) == ("stop-1", True)
    assert ask(page, kept, ["stop-1"])["again"] is False


def test_the_lowest_recall_comes_first(page: quickjs.Context) -> None:
    """Of two skills that are due, the one missed longer ago is asked first, whatever chance says."""
    both = {
        **EMPTY,
        "answers": [missed(*one)["answers"][0] for one in (("pour", "2026-02-20"), ("fit-flue", "2026-03-01"))],
    }
    assert {ask(page, both, [])["item"]["skill"] for _ in range(20)} == {"pour"}


def test_a_due_skill_that_was_passed_over_does_not_block_the_way(page: quickjs.Context) -> None:
    """Pressing Next without an answer shows something else, and the skill stays due."""
    due = missed("pour", "2026-03-01")
    assert ask(page, due, ["fuel-1"])["due"] is False


def test_skills_of_an_older_course_are_left_in_peace(page: quickjs.Context) -> None:
    """A due skill that no item asks any more is neither asked nor counted."""
    old = missed("gone", "2026-03-01")
    assert ask(page, old, [])["due"] is False
    assert run(page, f"WY.choosing.dueSkills(plan, record, '{TODAY}')", plan=PLAN, record=old) == []


def test_duties_take_turns_and_no_item_comes_twice_in_a_row(page: quickjs.Context) -> None:
    """Two problems in a row are of different duties while there are others."""
    asked: list[str] = []
    duties: list[str] = []
    for _ in range(30):
        found = ask(page, EMPTY, asked)["item"]
        asked.append(found["id"])
        duties.append(found["duty"])
    assert all(one != other for one, other in itertools.pairwise(asked))
    assert set(asked) == {one["id"] for one in PLAN["items"]}
    assert sum(one == other for one, other in itertools.pairwise(duties[:8])) == 0


def test_what_was_never_asked_comes_before_what_is_kept(page: quickjs.Context) -> None:
    """Where nothing is due, a skill without an answer is asked; where there is none, the one that is kept least."""
    right = [{**missed(skill, TODAY)["answers"][0], "right": True} for skill in ("pour", "fit-flue")]
    assert {ask(page, {**EMPTY, "answers": right}, [])["item"]["skill"] for _ in range(20)} == {"co-stop"}
    early = [{**missed("co-stop", "2026-03-01")["answers"][0], "right": True, "day": "2026-03-01", "hints": 1}]
    later = [{**one, "tries": 1} for one in right]
    many = [{**later[0], "at": later[0]["at"] + n} for n in range(9)]
    kept = {**EMPTY, "answers": [*early, *later, *many]}
    assert {ask(page, kept, [])["item"]["skill"] for _ in range(20)} == {"co-stop"}


def test_the_level_aimed_at_says_what_is_asked(page: quickjs.Context) -> None:
    """Only items of skills that its papers can ask come in turn; a level without papers leaves all of them."""
    plan = {**PLAN, "papers": [PAPER]}
    aimed = {**EMPTY, "aimed": {"level": 2, "at": 1}}
    script = f"WY.choosing.next(plan, record, '{TODAY}', 'all', [], chance)"
    found = {run(page, script, plan=plan, record=aimed)["item"]["skill"] for _ in range(30)}
    assert found == {"pour", "co-stop"}
    aimed["aimed"] = {"level": 5, "at": 1}
    assert len({run(page, script, plan=plan, record=aimed)["item"]["skill"] for _ in range(40)}) == 3


def test_the_scope_keeps_to_lessons_that_were_scored(page: quickjs.Context) -> None:
    """With one lesson scored its skills alone are asked; with none there is nothing."""
    record = {**EMPTY, "assessments": [{"id": "L05", "items": []}]}
    assert {ask(page, record, [], "done")["item"]["skill"] for _ in range(20)} == {"fit-flue"}
    assert ask(page, EMPTY, [], "done") is None


def draw(page: quickjs.Context, items: list[dict[str, Any]], paper: dict[str, Any] = PAPER) -> Any:
    """Return a paper drawn from items."""
    return run(page, "WY.choosing.drawPaper(paper, items, chance)", paper=paper, items=items)


def test_a_paper_asks_only_what_its_readers_are_taught(page: quickjs.Context) -> None:
    """An item for others never stands in a paper, even where the blueprint then stays short."""
    others = [{**one, "audience": ["technician"]} for one in PLAN["items"] if one["skill"] == "pour"]
    ours = [one for one in PLAN["items"] if one["skill"] != "pour"]
    made = draw(page, [*ours, *others])
    assert [one["cell"]["duty"] for one in made["short"]] == ["fuel"]
    assert not {one["id"] for one in made["items"]} & {one["id"] for one in others}
    above = [{**one, "level": 3} if one["skill"] == "pour" else one for one in PLAN["items"]]
    assert [one["cell"]["duty"] for one in draw(page, above)["short"]] == ["fuel"]


def test_a_paper_follows_its_blueprint(page: quickjs.Context) -> None:
    """Every cell has its count, no item stands twice, the critical set is as asked, and draws differ."""
    seen = set()
    for _ in range(20):
        made = draw(page, PLAN["items"])
        ids = [one["id"] for one in made["items"]]
        assert made["short"] == []
        assert made["critical"] == 1
        assert len(set(ids)) == 3
        assert sorted(one["duty"] for one in made["items"]) == ["fuel", "fuel", "respond"]
        seen.add(tuple(sorted(ids)))
    assert len(seen) > 5


def test_enemies_never_meet(page: quickjs.Context) -> None:
    """Two items that give each other away are not drawn together, whichever of them says so."""
    items = [item("a", "s", enemies=["b"]), item("b", "s"), item("c", "s"), item("x", "s", "respond", critical=True)]
    for _ in range(20):
        assert not {"a", "b"} <= {one["id"] for one in draw(page, items)["items"]}


def test_a_cell_that_cannot_be_filled_is_named(page: quickjs.Context) -> None:
    """The paper becomes shorter and says which cell lacks how many."""
    made = draw(page, [item("a", "s"), item("x", "s", "respond", kind="ordering")])
    assert sorted((one["cell"]["duty"], one["have"]) for one in made["short"]) == [("fuel", 1), ("respond", 0)]
    assert [one["id"] for one in made["items"]] == ["a"]


@pytest.mark.parametrize(
    ("right", "critical_right", "reached", "passed"),
    [(3, True, True, True), (3, False, True, False), (2, True, False, False), (4, True, True, True)],
)
def test_the_outcome_is_that_of_the_scheme(
    page: quickjs.Context, right: int, critical_right: bool, reached: bool, passed: bool
) -> None:
    """Right answers against the cut of 75 %, and a critical miss is never made up for."""
    rest = right - critical_right
    answers = [{"right": critical_right, "critical": True}]
    answers += [{"right": at < rest, "critical": False} for at in range(3)]
    found = run(page, "WY.choosing.outcome(paper, items)", paper=PAPER, items=answers)
    assert (found["reached"], found["passed"]) == (reached, passed)
