"""What to do now, in order, and what is left of the course: the page's own JavaScript, without a page."""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from typing import Any

import pytest
import quickjs
from hypothesis import given
from hypothesis import strategies as st
from pure_scripts import context_of, run

FIRST = date(2026, 3, 2)
STEPS = {"heater": ("paths", "plate"), "fuel": ("pour", "night"), "size": ("tent",)}
WHOLE = "filter"
"""A lesson of an older format, which is not cut into steps."""
LEVELS = {"heater": 2, "fuel": 2, "size": 3, WHOLE: 2}
MINUTES = 10


def item(name: str, skill: str, *, critical: bool) -> dict[str, Any]:
    """Return an item of the plan."""
    own = {
        "id": name,
        "skill": skill,
        "duty": "fuel",
        "demand": "apply",
        "kind": "numeric",
        "sum": True,
        "critical": critical,
    }
    return {**own, "audience": ["new-hire"], "level": 0, "minutes": 1.5, "enemies": []}


def two_of(part: str) -> list[str]:
    """Return the problems of a step, the first of them critical."""
    return [f"{part}-0", f"{part}-1"]


def plan() -> dict[str, Any]:
    """Return a plan of three lessons in steps and one without, two problems each."""
    parts = [part for steps in STEPS.values() for part in steps] + [WHOLE]
    lessons = [
        {
            "id": name,
            "title": name.title(),
            "url": f"{name}.html",
            "minutes": MINUTES * len(steps),
            "level": LEVELS[name],
            "skills": list(steps),
            "steps": [{"id": part, "title": part.title(), "minutes": MINUTES, "items": two_of(part)} for part in steps],
            "items": [],
        }
        for name, steps in STEPS.items()
    ]
    last = {"id": WHOLE, "title": "Filter", "url": "filter.html", "minutes": MINUTES, "level": 2, "skills": [WHOLE]}
    return {
        "items": [item(name, part, critical=name.endswith("0")) for part in parts for name in two_of(part)],
        "skills": {part: part.title() for part in parts},
        "lessons": [*lessons, {**last, "steps": [], "items": two_of(WHOLE)}],
        "papers": [],
        "calls": True,
    }


ITEMS = [one["id"] for one in plan()["items"]]
WHOLE_COURSE = MINUTES * (sum(len(steps) for steps in STEPS.values()) + 1)


def on(days: int) -> str:
    """Return the day so many days after the first."""
    return str(FIRST + timedelta(days=days))


def answer(name: str, days: int = 0, *, right: bool = True, shown: bool = False, order: int = 0) -> dict[str, Any]:
    """Return one answer; of one day the later has the larger order."""
    at = int(datetime.fromisoformat(f"{on(days)}T09:00:00+00:00").timestamp() * 1000) + order
    own = {"day": on(days), "at": at, "item": name, "skill": name[:-2], "step": "", "right": right, "share": int(right)}
    return {**own, "seconds": 9, "tries": 1, "hints": 0, "shown": shown}


def record(*answers: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return a record of answers."""
    return {"answers": list(answers), "states": {}, "seen": {}, "own": {}, "assessments": [], **more}


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the scripts."""
    context = context_of("vendored/fsrs.js", "recall.js", "standing.js", "today_list.js")
    context.eval(f"var plan = {json.dumps(plan())};")
    return context


def ask(page: quickjs.Context, script: str, kept: dict[str, Any]) -> Any:
    """Return the value of an expression over a record."""
    return run(page, script, kept=kept)


def entries(page: quickjs.Context, kept: dict[str, Any], days: int = 0) -> list[dict[str, Any]]:
    """Return the list of a record on a day."""
    found: list[dict[str, Any]] = ask(page, f"WY.todayList.list(plan, kept, '{on(days)}')", kept)
    return found


def left(page: quickjs.Context, kept: dict[str, Any], days: int = 0) -> float:
    """Return the minutes that are left on a day."""
    found: float = ask(page, f"WY.todayList.left(plan, kept, '{on(days)}')", kept)
    return found


def of_kind(found: list[dict[str, Any]], kind: str) -> list[str]:
    """Return the addresses of the entries of one kind."""
    return [one["address"] for one in found if one["kind"] == kind]


def test_who_is_new_is_told_one_step(page: quickjs.Context) -> None:
    """An empty record gives the first step of the course and nothing else."""
    found = entries(page, record())
    assert [(one["kind"], one["address"], one["reason"]) for one in found] == [
        ("step", "heater.html#step-paths", "today.why_first")
    ]
    assert left(page, record()) == WHOLE_COURSE


def test_the_list_goes_from_where_one_stopped_to_a_call(page: quickjs.Context) -> None:
    """Go on where you stopped, what is due, one new step, one sum, one call: in this order, each with minutes."""
    kept = record(
        *(answer(name, 0, order=at) for at, name in enumerate(two_of("paths"))),
        seen={"heater#paths": on(0)},
        stopped={"step": "heater#plate", "at": 1},
    )
    found = entries(page, kept, 3)
    assert [one["kind"] for one in found] == ["stopped", "due", "step", "sum", "call"]
    assert [one["address"] for one in found[:3]] == [
        "heater.html#step-plate",
        "practice.html",
        "fuel.html#step-pour",
    ]
    assert all(one["minutes"] >= 1 and one["reason"].startswith("today.why_") for one in found)


def test_a_missed_critical_problem_comes_first_and_opens_its_step_again(page: quickjs.Context) -> None:
    """First stands the step whose critical problem was missed; its minutes are left again until it is right."""
    done = [answer(name, 0, order=at) for at, name in enumerate(two_of("paths"))]
    missed = record(*done, answer("paths-0", 1, right=False), stopped={"step": "heater#plate", "at": 1})
    found = entries(page, missed, 2)
    assert (found[0]["kind"], found[0]["address"]) == ("again", "heater.html#step-paths")
    assert left(page, missed, 2) == WHOLE_COURSE
    mended = record(*missed["answers"], answer("paths-0", 2))
    assert of_kind(entries(page, mended, 2), "again") == []
    assert left(page, mended, 2) == WHOLE_COURSE - MINUTES


def test_a_critical_problem_that_no_step_asks_comes_again_by_itself(page: quickjs.Context) -> None:
    """Missed in mixed practice, it is the first entry, and the way to it is the problem itself."""
    lone = json.dumps(item("lone-0", "pour", critical=True))
    page.eval(f"var more = Object.assign({{}}, plan, {{items: plan.items.concat([{lone}])}});")
    kept = record({**answer("lone-0", 0, right=False), "skill": "pour"})
    found = ask(page, f"WY.todayList.list(more, kept, '{on(0)}')", kept)
    assert (found[0]["kind"], found[0]["address"]) == ("again", "practice.html#ask-lone-0")


def test_a_failed_check_takes_no_time_off(page: quickjs.Context) -> None:
    """Opened and asked, but one of its problems missed or shown whole: all minutes of the step are left."""
    for last in (answer("pour-1", 0, right=False), answer("pour-1", 0, shown=True)):
        kept = record(answer("pour-0", 0), last, seen={"fuel#pour": on(0)})
        assert left(page, kept) == WHOLE_COURSE
    assert left(page, record(answer("pour-0", 0), answer("pour-1", 0))) == WHOLE_COURSE - MINUTES


def test_a_lesson_without_steps_is_one(page: quickjs.Context) -> None:
    """It is led to by its own address, is seen when any of its problems was answered, and done when all are right."""
    begun = record(answer(f"{WHOLE}-0", 0))
    found = ask(page, f"WY.todayList.ofLesson(plan, kept, plan.lessons[3], '{on(0)}')", begun)
    assert (found["seen"], found["done"], len(found["steps"])) == (1, 0, 1)
    assert found["steps"][0]["address"] == "filter.html"
    assert left(page, record(*(answer(name, 0) for name in two_of(WHOLE)))) == WHOLE_COURSE - MINUTES


def test_new_steps_are_of_the_level_aimed_at_first(page: quickjs.Context) -> None:
    """With level 2 done the next step is of level 3; who aims at 3 takes the lessons as they come."""
    low = [answer(name, 0, order=at) for at, name in enumerate(ITEMS) if not name.startswith("tent")]
    assert of_kind(entries(page, record(*low)), "step") == ["size.html#step-tent"]
    but_filter = [one for one in low if one["skill"] != WHOLE]
    assert of_kind(entries(page, record(*but_filter)), "step") == ["filter.html"]
    aimed = record(*but_filter, aimed={"level": 3, "at": 1})
    assert of_kind(entries(page, aimed), "step") == ["size.html#step-tent"]


def test_when_nothing_is_new_what_is_unfinished_is_named(page: quickjs.Context) -> None:
    """Every step opened, one problem missed: its step is the one to finish."""
    made = [answer(name, 0, right=name != "night-1", order=at) for at, name in enumerate(ITEMS)]
    found = entries(page, record(*made, seen={"fuel#night": on(0)}))
    assert of_kind(found, "finish") == ["fuel.html#step-night"]
    assert of_kind(found, "step") == []


ANSWERS = st.lists(
    st.builds(answer, st.sampled_from(ITEMS), st.integers(0, 9), right=st.booleans(), shown=st.booleans()), max_size=30
)
PLACES = st.sampled_from([f"{name}#{part}" for name, steps in STEPS.items() for part in steps])


@given(made=ANSWERS, seen=st.sets(PLACES), stopped=st.none() | PLACES)
def test_laws_of_the_list(
    page: quickjs.Context, made: list[dict[str, Any]], seen: set[str], stopped: str | None
) -> None:
    """Never too many, no step twice, every critical miss before the rest, and only what is unopened is new."""
    more = {"stopped": {"step": stopped, "at": 1}} if stopped else {}
    kept = record(*made, seen={place: on(0) for place in seen}, **more)
    found = entries(page, kept, 9)
    kinds = [one["kind"] for one in found]
    assert len(found) <= ask(page, "WY.todayList.MOST", kept)
    assert kinds == sorted(kinds, key=["again", "stopped", "due", "step", "finish", "sum", "call"].index)
    ways = [one["address"] for one in found if one["kind"] in ("again", "stopped", "step", "finish")]
    assert len(ways) == len(set(ways))
    everything = f"[].concat(...plan.lessons.map(one => WY.todayList.ofLesson(plan, kept, one, '{on(9)}').steps))"
    steps = {one["address"]: one for one in ask(page, everything, kept)}
    assert all(steps[one]["state"] == "" for one in of_kind(found, "step"))
    assert all(steps[one]["state"] == "seen" for one in of_kind(found, "finish"))
    assert all(steps[one]["again"] for one in of_kind(found, "again"))
    assert ("again" in kinds) == any(one["again"] for one in steps.values())


@given(made=ANSWERS, name=st.sampled_from(ITEMS))
def test_a_right_answer_never_adds_a_minute(page: quickjs.Context, made: list[dict[str, Any]], name: str) -> None:
    """Whatever was answered before: what is left after one more right answer is not more."""
    before = record(*made)
    after = record(*made, answer(name, 9, order=1))
    assert left(page, after, 9) <= left(page, before, 9)
