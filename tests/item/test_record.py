"""The reader's record: what is due, what a file may hold, two records joined. Run in the page's own JavaScript."""

from __future__ import annotations

import json
from typing import Any

import pytest
import quickjs

from warmyard.page.javascript import runtime_text

GOOD: dict[str, Any] = {
    "format": "wy-practice-record-1",
    "skills": {"fuel": {"missed": "2026-01-05", "days": ["2026-01-06"]}},
    "assessments": [
        {
            "id": "L13",
            "title": "Filter",
            "on": "2026-01-05",
            "at": "2026-01-05T08:00:00Z",
            "share": 0.5,
            "items": [
                {"item": "a", "seed": 3, "share": 0.5, "right": False, "critical": False, "ask": "?", "reason": "!"}
            ],
        }
    ],
}


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the record's scripts without a page."""
    context = quickjs.Context()
    for name in ("wy.js", "due.js", "record_format.js", "record.js"):
        context.eval(runtime_text(name))
    return context


def run(page: quickjs.Context, script: str, **values: Any) -> Any:
    """Return the value of an expression over JSON values."""
    for name, value in values.items():
        page.eval(f"var {name} = JSON.parse({json.dumps(json.dumps(value))});")
    text = page.eval(f"JSON.stringify({script})")
    return None if text is None else json.loads(text)


def test_a_missed_skill_comes_back_on_three_different_days(page: quickjs.Context) -> None:
    """Missed on the first day; due on each later day until right on three; twice on one day counts once."""
    story = []
    skills: dict[str, Any] = {}
    for day, right in [(1, False), (1, True), (2, True), (2, True), (5, True), (9, True), (10, True)]:
        today = f"2026-01-{day:02d}"
        before = run(page, "WY.due.state(s, 'fuel', t)", s=skills, t=today)
        skills = run(page, "WY.due.note(s, 'fuel', r, t)", s=skills, r=right, t=today)
        story.append((before, run(page, "WY.due.state(s, 'fuel', t)", s=skills, t=today)))
    assert story == [
        ("new", "later"),
        ("later", "later"),
        ("open", "later"),
        ("later", "later"),
        ("open", "later"),
        ("open", "done"),
        ("done", "done"),
    ]


def test_missing_again_starts_over(page: quickjs.Context) -> None:
    """A skill that was right on two days and is missed again has three days before it once more."""
    skills = {"fuel": {"missed": "2026-01-01", "days": ["2026-01-02", "2026-01-03"]}}
    after = run(page, "WY.due.note(s, 'fuel', false, '2026-01-04')", s=skills)
    assert after == {"fuel": {"missed": "2026-01-04", "days": []}}
    assert run(page, "WY.due.list(s, '2026-01-05')", s=after) == ["fuel"]


def test_a_skill_never_missed_is_never_due(page: quickjs.Context) -> None:
    """Right from the first day on, a skill is not kept at all."""
    assert run(page, "WY.due.note({}, 'fuel', true, '2026-01-01')") == {}


def test_a_saved_record_reads_back_as_it_was(page: quickjs.Context) -> None:
    """What is saved is what is loaded."""
    found = run(page, "WY.record.read(f)", f=json.dumps(GOOD))
    assert found == {"record": GOOD, "count": 1}


@pytest.mark.parametrize(
    "text",
    [
        *("", "{", "[]", "null", '"x"', "{}", '{"format": "wy-practice-record-0", "skills": {}, "assessments": []}'),
        *('{"format": 1, "skills": {}, "assessments": []}', '{"format": "wy-practice-record-01"}'),
        json.dumps({**GOOD, "skills": []}),
        json.dumps({**GOOD, "assessments": {}}),
    ],
)
def test_a_file_that_is_no_record_is_refused_in_words(page: quickjs.Context, text: str) -> None:
    """Anything other than a record gives the id of a sentence, never an error of the page."""
    assert run(page, "WY.record.read(f)", f=text) == {"problem": "record.no_record"}


def test_a_huge_file_is_refused(page: quickjs.Context) -> None:
    """A file beyond half a million characters is not even parsed."""
    page.eval("var big = ' '.repeat(500001);")
    assert run(page, "WY.record.read(big)") == {"problem": "record.too_large"}


def test_what_is_wrong_in_a_record_is_put_right_or_left_out(page: quickjs.Context) -> None:
    """Strange ids, days, shares and lengths in a loaded file never reach the page; fields of another version stay."""
    bad = {
        "format": "wy-practice-record-1",
        "more": 1,
        "__proto__": {"polluted": 1},
        "<b>": 1,
        "skills": {"<img>": {"missed": "2026-01-01", "days": []}, "a": {"missed": "never"}, "b": 3},
        "assessments": [
            {**GOOD["assessments"][0], "share": 7, "title": "x" * 999, "extra": "y"},
            {**GOOD["assessments"][0], "id": "../up"},
            {**GOOD["assessments"][0], "on": "01/02/2026"},
            "no",
        ],
    }
    found = run(page, "WY.record.read(f)", f=json.dumps(bad))["record"]
    assert found.keys() == {"format", "skills", "assessments", "more"}
    assert run(page, "'polluted' in {}") is False
    assert found["skills"] == {}
    assert [(len(one["title"]), one["share"], "extra" in one) for one in found["assessments"]] == [(200, 0, True)]


def test_joining_keeps_every_assessment_once_and_the_later_state(page: quickjs.Context) -> None:
    """A record loaded twice changes nothing; of two states of a skill the later one stays."""
    later = {**GOOD, "skills": {"fuel": {"missed": "2026-01-09", "days": []}}}
    once = run(page, "WY.record.joined(a, b)", a=GOOD, b=GOOD)
    assert once == GOOD
    both = run(page, "WY.record.joined(a, b)", a=later, b=GOOD)
    assert both["skills"] == later["skills"]
    assert len(both["assessments"]) == 1
