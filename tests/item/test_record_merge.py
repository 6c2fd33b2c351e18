"""Two records of one reader joined, in the page's own JavaScript: the laws that keep every answer, once."""

from __future__ import annotations

import json
from typing import Any

import pytest
import quickjs
from hypothesis import given, settings
from hypothesis import strategies as st

from warmyard.page.javascript import runtime_text

DAYS = st.sampled_from(["2026-01-05", "2026-01-06", "2026-01-09"])
INSTANTS = st.integers(1767600000000, 1767600000003)
SKILLS = st.sampled_from(["fuel", "flue", "gone"])
ROWS = st.tuples(
    DAYS,
    INSTANTS,
    st.sampled_from(["a", "b", ""]),
    SKILLS,
    st.sampled_from(["", "L1", "L1#x"]),
    st.sampled_from([0, 1]),
    st.sampled_from([0, 0.5, 1]),
    st.integers(0, 2),
    st.integers(0, 2),
    st.just(0),
    st.just(0),
)
SETS = st.builds(
    lambda at, share, title: {"id": "L1", "title": title, "on": "2026-01-05", "at": at, "share": share, "items": []},
    st.sampled_from(["2026-01-05T08:00:00Z", "2026-01-05T09:00:00Z"]),
    st.sampled_from([0, 1]),
    st.sampled_from(["One", "Two"]),
)
RECORDS = st.fixed_dictionaries(
    {
        "format": st.just("wy-practice-record-2"),
        "seen": st.dictionaries(st.sampled_from(["L1#x", "L1#y"]), DAYS),
        "own": st.dictionaries(
            st.just("wren-20"),
            st.dictionaries(
                st.sampled_from(["nozzle", "fuse"]),
                st.builds(lambda value, at: {"value": value, "unit": "", "at": at}, st.integers(0, 3), INSTANTS),
            ),
        ),
        "states": st.dictionaries(
            SKILLS,
            st.builds(
                lambda on, at, n: {"on": on, "at": at, "stability": 2, "difficulty": 5, "answers": n, "right": True},
                DAYS,
                INSTANTS,
                st.integers(1, 3),
            ),
        ),
        "assessments": st.lists(SETS, max_size=4),
        "answers": st.lists(ROWS, max_size=8),
    },
    optional={
        "aimed": st.builds(lambda level, at: {"level": level, "at": at}, st.integers(1, 3), INSTANTS),
        "stopped": st.builds(lambda step, at: {"step": step, "at": at}, st.sampled_from(["L1#x", "L2"]), INSTANTS),
        "later": st.integers(0, 3),
    },
)


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the scripts that read and join."""
    context = quickjs.Context()
    for name in ("wy.js", "record_format.js", "record_merge.js"):
        context.eval(runtime_text(name))
    context.eval(
        "function read(t) { return WY.recordFormat.parsed(t).record; }"
        "function told(r) { return WY.recordFormat.fileText(r); }"
        "function joined() { return Array.from(arguments).map(read).reduce(WY.joinRecords); }"
    )
    return context


def joined(page: quickjs.Context, *records: Any) -> Any:
    """Return what several records joined in that order make, as the file holds it."""
    texts = ", ".join(json.dumps(json.dumps(record)) for record in records)
    return json.loads(page.eval(f"told(joined({texts}))"))


@settings(max_examples=60, deadline=None)
@given(RECORDS, RECORDS, RECORDS)
def test_no_answer_is_lost_and_none_counts_twice(page: quickjs.Context, one: Any, two: Any, three: Any) -> None:
    """Joining is commutative, associative and idempotent; an answer and its second try are one, the later try stays."""
    both = joined(page, one, two)
    assert both == joined(page, two, one)
    assert joined(page, both, three) == joined(page, one, joined(page, two, three))
    assert joined(page, both, both) == joined(page, both, one) == both
    rows = [tuple(row) for row in both["answers"]]
    given_rows = [tuple(row) for row in [*one["answers"], *two["answers"]]]
    assert len(rows) == len({row[:5] for row in rows})
    assert {row[:5] for row in rows} == {row[:5] for row in given_rows}
    for row in rows:
        assert row in given_rows
        assert row[8] == max(other[8] for other in given_rows if other[:5] == row[:5])


def test_of_what_can_only_be_one_the_later_stays(page: quickjs.Context) -> None:
    """A step keeps its first day; place, aim and a value of the machine are those of the later instant."""
    blank = {"format": "wy-practice-record-2", "own": {}, "states": {}, "assessments": [], "answers": []}
    one = {**blank, "seen": {"L1": "2026-01-05"}, "aimed": {"level": 2, "at": 5}, "stopped": {"step": "L1", "at": 9}}
    two = {**blank, "seen": {"L1": "2026-01-04"}, "aimed": {"level": 3, "at": 6}, "stopped": {"step": "L2", "at": 8}}
    made = joined(page, one, two)
    assert (made["seen"], made["aimed"]["level"], made["stopped"]["step"]) == ({"L1": "2026-01-04"}, 3, "L1")
