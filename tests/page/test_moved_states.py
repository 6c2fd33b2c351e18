"""Where skills stand, as the text of a QR picture: told and read back by the page's own JavaScript, without a page."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import quickjs
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from pure_scripts import context_of, run

COURSE = yaml.safe_load((Path(__file__).parents[2] / "course" / "skills.yaml").read_text("utf-8"))
TODAY = "2026-03-20"
AT = 1774000000000
SKILLS = [f"a-skill-of-the-course-{n}" for n in range(150)]


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the scripts that tell and read."""
    names = ("vendored/fsrs.js", "recall.js", "record_format.js", "record_merge.js", "seal.js", "moved_states.js")
    return context_of("wy.js", *names)


def record(answers: list[tuple[str, int, bool]], **more: Any) -> dict[str, Any]:
    """Return a record of (skill, day of March, right)."""
    own = {"item": "q", "step": "", "share": 0, "seconds": 9, "tries": 1, "hints": 0, "shown": False}
    made = [
        {**own, "day": f"2026-03-{day:02d}", "at": AT - 10**9 + day * 10**7 + at, "skill": skill, "right": right}
        for at, (skill, day, right) in enumerate(answers)
    ]
    return {"answers": made, "states": {}, "seen": {}, "own": {}, "assessments": [], **more}


ANSWERS = st.lists(st.tuples(st.sampled_from(SKILLS[:8]), st.integers(1, 19), st.booleans()), min_size=12, max_size=60)


@settings(max_examples=40, deadline=None)
@given(ANSWERS)
def test_recall_and_due_days_are_the_same_on_the_other_device(page: quickjs.Context, answers: Any) -> None:
    """Told and read back, each skill has its due day, its answers and its recall within a thousandth."""
    page.eval(f"var r = {json.dumps(record(sorted(answers, key=lambda one: one[1])))}, s = {json.dumps(SKILLS)};")
    page.eval(
        "var m = WY.movedStates.recordOf(WY.movedStates.read(WY.movedStates.told(r, s, " + str(AT) + ").text, s));"
    )
    for skill in {one[0] for one in answers}:
        here = run(page, f"WY.recall.ofSkill(r, {skill!r}, {TODAY!r})")
        there = run(page, f"WY.recall.ofSkill(m, {skill!r}, {TODAY!r})")
        assert there["share"] == pytest.approx(here["share"], abs=0.001)
        assert {**there, "share": 0} == {**here, "share": 0}


def test_the_aim_goes_with_it_and_the_text_may_be_typed(page: quickjs.Context) -> None:
    """Small letters, spaces and hyphens do not matter; the level aimed at is read back."""
    kept = record([("a-skill-of-the-course-3", 5, True)], aimed={"level": 3, "at": 5})
    text = run(page, f"WY.movedStates.told(r, s, {AT}).text", r=kept, s=SKILLS)
    found = run(page, "WY.movedStates.read(t, s)", t=f" {text[:7].lower()}-{text[7:20]} \n{text[20:]}", s=SKILLS)
    assert (found["count"], found["unknown"], found["aimed"]["level"]) == (1, 0, 3)


def test_any_letter_that_was_misread_is_found(page: quickjs.Context) -> None:
    """One letter changed, one left out or one too many: the check sign does not fit, and nothing is taken over."""
    text = run(page, f"WY.movedStates.told(r, s, {AT}).text", r=record([(SKILLS[0], 5, True)]), s=SKILLS)
    for at in range(len(text) - 1):
        wrong = text[:at] + ("A" if text[at] != "A" else "B") + text[at + 1 :]
        assert run(page, "WY.movedStates.read(t, s)", t=wrong, s=SKILLS) == {"problem": "move.misread"}
    for wrong in ("", "A", text[:-2], text[8:], text + text, "x" * 5000):
        assert run(page, "WY.movedStates.read(t, s)", t=wrong, s=SKILLS) == {"problem": "move.misread"}


def test_the_most_recent_go_where_not_all_fit(page: quickjs.Context) -> None:
    """Of 150 skills the 110 asked last are told, in a text that a QR code of version 25 holds; the rest is counted."""
    answers = [(skill, 1 + at // 10, True) for at, skill in enumerate(SKILLS)]
    made = run(page, f"WY.movedStates.told(r, s, {AT})", r=record(answers), s=SKILLS)
    assert (made["count"], made["left"]) == (110, 40)
    assert len(made["text"]) <= 1853
    found = run(page, "WY.movedStates.read(t, s)", t=made["text"], s=SKILLS)
    assert set(found["states"]) == set(SKILLS[40:])


def test_a_skill_that_the_course_does_not_know_is_counted(page: quickjs.Context) -> None:
    """It is left out and said."""
    kept = record([("gone", 2, True), (SKILLS[1], 2, True)])
    made = run(page, f"WY.movedStates.told(r, s, {AT})", r=kept, s=["gone", *SKILLS])
    found = run(page, "WY.movedStates.read(t, s)", t=made["text"], s=SKILLS)
    assert (list(found["states"]), found["unknown"]) == ([SKILLS[1]], 1)


def test_no_two_skills_of_the_course_share_a_name(page: quickjs.Context) -> None:
    """Three bytes tell the skills of the real course apart."""
    names = sorted(one["id"] for one in COURSE["skills"])
    for some in (names[:110], names[-110:]):
        kept = record([(name, 2, True) for name in some])
        text = run(page, f"WY.movedStates.told(r, s, {AT}).text", r=kept, s=some)
        assert set(run(page, "WY.movedStates.read(t, s)", t=text, s=names)["states"]) == set(some)
