"""What comes back when: the page's own JavaScript over records, without a page."""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import quickjs
from pure_scripts import context_of, run

FIRST = date(2026, 3, 2)


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the scripts of recall and standing."""
    return context_of("vendored/fsrs.js", "recall.js", "standing.js")


def on(days: int) -> str:
    """Return the day so many days after the first."""
    return str(FIRST + timedelta(days=days))


def answer(days: int, skill: str = "pour", right: bool = True, item: str = "fuel-1", **more: Any) -> dict[str, Any]:
    """Return one answer, days after the first."""
    at = int(datetime.fromisoformat(f"{on(days)}T09:00:00+00:00").timestamp() * 1000) + more.pop("later", 0)
    own = {"day": on(days), "at": at, "item": item, "skill": skill, "step": "", "right": right, "share": int(right)}
    return {**own, "seconds": 9, "tries": 1, "hints": 0, "shown": False, **more}


def record(*answers: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return a record of answers."""
    return {"answers": list(answers), "states": {}, "seen": {}, "own": {}, "assessments": [], **more}


def of_skill(page: quickjs.Context, kept: dict[str, Any], days: int, skill: str = "pour") -> Any:
    """Return how a skill is kept, days after the first."""
    return run(page, f"WY.recall.ofSkill(r, {skill!r}, {on(days)!r})", r=kept)


@pytest.mark.parametrize(
    ("told", "rating"),
    [
        ({"right": True}, 3),
        ({"right": True, "tries": 2}, 2),
        ({"right": True, "hints": 1}, 2),
        ({"right": True, "shown": True}, 1),
        ({"right": False, "tries": 3}, 1),
        ({"right": False, "share": 0.9}, 1),
    ],
)
def test_an_answer_is_rated_by_right_tries_and_hints(page: quickjs.Context, told: dict[str, Any], rating: int) -> None:
    """Wrong or shown: again. Right with help or at a later try: hard. Right at once: good. Nothing is rated easy."""
    assert run(page, "WY.recall.rating(a)", a={**answer(0), **told}) == rating


def test_until_ten_answers_days_expand(page: quickjs.Context) -> None:
    """Right each time it comes, a skill comes back after 1, 2, 4 and 8 days."""
    kept: list[dict[str, Any]] = []
    at, due = 0, []
    for _ in range(5):
        kept.append(answer(at))
        found = of_skill(page, record(*kept), at)["due"]
        at = (date.fromisoformat(found) - FIRST).days
        due.append(at)
    assert due == [1, 3, 7, 15, 23]


def test_a_missed_skill_comes_back_on_the_next_day(page: quickjs.Context) -> None:
    """However well it was kept before, whatever the model says, with few answers and with many."""
    few = record(answer(0, right=False))
    many = record(*(answer(3 * n) for n in range(12)), answer(60, right=False))
    assert of_skill(page, few, 0)["due"] == on(1)
    assert of_skill(page, many, 60)["due"] == on(61)


def test_from_ten_answers_on_the_model_says_the_day(page: quickjs.Context) -> None:
    """The due day is that of a recall of nine in ten, which falls with days and rises with answers."""
    others = [answer(0, skill="other", later=n) for n in range(1, 10)]
    kept = record(answer(0), *others)
    found = of_skill(page, kept, 0)
    assert found["due"] == on(2)
    assert of_skill(page, kept, 2)["share"] == pytest.approx(0.9, abs=0.02)
    shares = [of_skill(page, kept, days)["share"] for days in range(15)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] == 1
    again = record(answer(0), *others, answer(2, later=1))
    assert of_skill(page, again, 10)["share"] > of_skill(page, kept, 10)["share"]


def test_every_answer_of_a_day_counts(page: quickjs.Context) -> None:
    """A miss and a right answer on one day are not a right answer alone."""
    once = of_skill(page, record(answer(0, later=1)), 4)
    twice = of_skill(page, record(answer(0, right=False), answer(0, later=1)), 4)
    assert (once["answers"], twice["answers"]) == (1, 2)
    assert twice["share"] < once["share"]


def test_answers_may_come_in_any_order(page: quickjs.Context) -> None:
    """A record joined from two devices gives the same as one that was written in time."""
    answers = [answer(0, right=False), answer(1), answer(4, hints=1), answer(9)]
    assert of_skill(page, record(*reversed(answers)), 12) == of_skill(page, record(*answers), 12)


def test_a_clock_that_was_put_back_takes_nothing_away(page: quickjs.Context) -> None:
    """A day before the last answer is as that day."""
    assert of_skill(page, record(answer(5)), 1)["share"] == 1


def test_a_skill_that_was_never_asked_is_not_due(page: quickjs.Context) -> None:
    """It has no recall and no day."""
    assert of_skill(page, record(), 5) == {"share": 0, "due": "", "answers": 0, "right": False}
    assert run(page, f"WY.recall.isDue(r, 'pour', {on(99)!r})", r=record()) is False


def test_an_answer_that_is_added_is_seen_at_once(page: quickjs.Context) -> None:
    """What was worked out before is not told again when the record has grown."""
    page.eval(f"var r = {json.dumps(record(answer(0)))}; WY.recall.ofSkill(r, 'pour', '{on(1)}');")
    page.eval(f"r.answers.push({json.dumps(answer(1, right=False))});")
    assert page.eval(f"WY.recall.ofSkill(r, 'pour', '{on(1)}').answers") == 2


MOVED = {"on": on(5), "at": answer(5)["at"], "stability": 20, "difficulty": 5, "answers": 4, "right": True}


def test_a_state_of_another_device_is_the_start_of_what_comes_after(page: quickjs.Context) -> None:
    """Without own answers it stands alone; later answers go on from it."""
    kept = record(states={"pour": MOVED})
    found = of_skill(page, kept, 6)
    assert (found["answers"], found["right"]) == (4, True)
    assert found["share"] > 0.98
    after = of_skill(page, record(answer(6, right=False), states={"pour": MOVED}), 6)
    assert (after["answers"], after["right"]) == (5, False)


def test_a_state_is_not_counted_beside_the_answers_that_made_it(page: quickjs.Context) -> None:
    """Once the whole record came over too, the answers alone are told."""
    answers = [answer(n) for n in (0, 1, 3, 5)]
    assert of_skill(page, record(*answers, states={"pour": MOVED}), 6) == of_skill(page, record(*answers), 6)


def item(name: str, skill: str, duty: str, **more: Any) -> dict[str, Any]:
    """Return one item of a plan."""
    own = {"id": name, "skill": skill, "duty": duty, "demand": "apply", "kind": "choice", "critical": False}
    return {**own, "audience": ["new-hire"], "level": 0, **more}


PLAN: dict[str, Any] = {
    "items": [
        item("fuel-1", "pour", "fuel"),
        item("fuel-2", "smell", "fuel"),
        item("stop-1", "co-stop", "respond", critical=True),
        item("set-1", "set-air", "combustion"),
    ],
    "skills": {"pour": "", "smell": "", "co-stop": "", "set-air": ""},
    "papers": [
        {
            "level": 2,
            "audience": "new-hire",
            "cells": [
                {"duty": "fuel", "demand": "apply", "count": 2, "kinds": []},
                {"duty": "respond", "demand": "apply", "count": 1, "kinds": ["choice"]},
            ],
        }
    ],
    "lessons": [
        {
            "id": "L08",
            "steps": [
                {"id": "pour", "title": "", "idea": "", "minutes": 3, "items": ["fuel-1", "fuel-2"]},
                {"id": "stop", "title": "", "idea": "", "minutes": 3, "items": ["stop-1"]},
                {"id": "read", "title": "", "idea": "", "minutes": 3, "items": []},
            ],
        }
    ],
}


def test_a_level_needs_the_skills_of_its_blueprint(page: quickjs.Context) -> None:
    """Those whose items fit a cell; without a level, all; what is critical says so."""
    assert run(page, "WY.recall.needed(plan, 2)", plan=PLAN) == {
        "pour": {"critical": False},
        "smell": {"critical": False},
        "co-stop": {"critical": True},
    }
    assert set(run(page, "WY.recall.needed(plan, 0)", plan=PLAN)) == set(PLAN["skills"])
    for change in ({"audience": ["technician"]}, {"level": 3}, {"kind": "numeric", "duty": "respond"}):
        plan = {**PLAN, "items": [{**PLAN["items"][0], **change}]}
        assert run(page, "WY.recall.needed(plan, 2)", plan=plan) == {}


def test_due_skills_stand_in_the_order_in_which_to_ask_them(page: quickjs.Context) -> None:
    """What the level needs, lowest recall first; at the same recall the critical one; then the rest."""
    kept = record(
        answer(3, "pour", right=False),
        answer(0, "smell", right=False),
        answer(3, "co-stop", right=False),
        answer(0, "set-air", right=False),
        answer(0, "gone", right=False),
    )
    found = run(page, f"WY.recall.due(plan, r, {on(4)!r}, 2)", plan=PLAN, r=kept)
    assert [one["skill"] for one in found] == ["smell", "co-stop", "pour", "set-air"]
    assert [one["needed"] for one in found] == [True, True, True, False]
    assert set(run(page, f"WY.recall.dueSkills(r, {on(4)!r})", r=kept)) == {*PLAN["skills"], "gone"}


def standing(page: quickjs.Context, kept: dict[str, Any], days: int, step: str = "pour") -> Any:
    """Return where a step stands."""
    return run(page, f"WY.standing.ofStep(r, plan, 'L08', {step!r}, {on(days)!r})", plan=PLAN, r=kept)


def test_a_step_is_seen_then_can_then_kept(page: quickjs.Context) -> None:
    """Each state asks for what it says, and nothing less."""
    seen = {"L08#pour": on(0)}
    both = [answer(0), answer(0, "smell", item="fuel-2")]
    later = [*both, answer(1, later=1), answer(1, "smell", item="fuel-3")]
    assert standing(page, record(), 0) == ""
    assert standing(page, record(both[0], seen=seen), 0) == "seen"
    assert standing(page, record(*both), 0) == "can"
    assert standing(page, record(*later), 1) == "kept"
    assert standing(page, record(*later[:3]), 1) == "can"
    assert standing(page, record(*later), 300) == "can"
    assert standing(page, record(seen={"L08#read": on(0)}), 0, "read") == "seen"
    assert standing(page, record(), 0, "no-such-step") == ""


def test_the_last_answer_counts_and_a_shown_one_is_none(page: quickjs.Context) -> None:
    """A problem missed last, or right only after the whole answer was shown, takes the step back."""
    both = [answer(0), answer(0, "smell", item="fuel-2")]
    assert standing(page, record(*both, answer(1, right=False), seen={"L08#pour": on(0)}), 1) == "seen"
    assert standing(page, record(*both, answer(1, shown=True)), 1) == "seen"


def test_an_answer_makes_a_step_seen_and_a_tap_does_not(page: quickjs.Context) -> None:
    """Gone on from without an answer it is as it was; answered, it is seen though nobody went on."""
    assert standing(page, record(seen={"L08#pour": on(0)}), 0) == ""
    assert standing(page, record(answer(0)), 0) == "seen"
    assert standing(page, record(answer(0, right=False)), 0) == "seen"
    assert standing(page, record(answer(0)), 0, "read") == ""


def test_a_missed_critical_item_opens_its_step_again(page: quickjs.Context) -> None:
    """It is named until it was right; a missed item that is not critical opens nothing."""
    missed = record(answer(0, "co-stop", right=False, item="stop-1"), answer(0, right=False))
    assert run(page, "WY.standing.missed(r, plan, 'L08', 'stop')", plan=PLAN, r=missed) == ["stop-1"]
    assert run(page, "WY.standing.again(r, plan, 'L08', 'pour')", plan=PLAN, r=missed) is False
    mended = record(*missed["answers"], answer(0, "co-stop", item="stop-1", later=9))
    lesson = run(page, f"WY.standing.ofLesson(r, plan, 'L08', {on(0)!r})", plan=PLAN, r=mended)
    assert [(one["id"], one["state"], one["again"]) for one in lesson] == [
        ("pour", "seen", False),
        ("stop", "can", False),
        ("read", "", False),
    ]


RECALL = json.loads((Path(__file__).parents[1] / "contract" / "recall.json").read_text(encoding="utf-8"))
FOLD = """stories.map((one) => {
  let memory = null;
  return {after: one.reviews.map((review) => {
    memory = WY.recall.after(memory, review.day, review.rating);
    const due = WY.recall.dayAfter(memory.on, WY.recall.interval(memory.stability));
    return {stability: memory.stability, difficulty: memory.difficulty, due};
  }), shares: Object.keys(one.shares).map((days) => WY.recall.share(Number(days), memory.stability))};
})"""


def test_the_page_and_the_reference_agree_on_every_review(page: quickjs.Context) -> None:
    """Same parameters; for the same reviews the same stability, difficulty, due day and recall, within a millionth."""
    assert run(page, "Array.from(WY.fsrs.generatorParameters({}).w)") == RECALL["parameters"]
    assert run(page, "WY.recall.WANTED") == RECALL["wanted"]
    stories = RECALL["cases"]
    for made, wanted in zip(run(page, FOLD, stories=stories), stories, strict=True):
        for after, review in zip(made["after"], wanted["reviews"], strict=True):
            assert after["stability"] == pytest.approx(review["stability"], rel=1e-6, abs=1e-6)
            assert after["difficulty"] == pytest.approx(review["difficulty"], rel=1e-6, abs=1e-6)
            assert after["due"] == review["due"]
        assert made["shares"] == pytest.approx(list(wanted["shares"].values()), abs=1e-6)
