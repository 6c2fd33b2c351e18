"""Drawing a call in the page: none comes again before all of its difficulty were played."""

from __future__ import annotations

import json

import quickjs

from warmyard.page.javascript import runtime_text


def test_no_call_comes_twice_before_all_were_played() -> None:
    """Whatever the chances are, the first draws are all different; after that any may come."""
    context = quickjs.Context()
    context.eval(runtime_text("calls.js"))
    ids = ["a", "b", "c", "d"]
    for chances in ([0.0] * 4, [0.999999] * 4, [0.5, 0.1, 0.9, 0.3]):
        played: list[str] = []
        for chance in chances:
            script = f"WY.drawCall({json.dumps(ids)}, {json.dumps(played)}, {chance})"
            played.append(str(context.eval(script)))
        assert sorted(played) == ids
        assert context.eval(f"WY.drawCall({json.dumps(ids)}, {json.dumps(played)}, 1)") in ids


def test_who_is_new_begins_with_a_call_within_the_level_aimed_at() -> None:
    """The lowest where none is aimed; the highest that is not above the aim; none once a call was answered."""
    context = quickjs.Context()
    context.eval(runtime_text("calls.js"))
    guided = {"1": ["a"], "2": ["b"], "3": ["c"]}
    calls = {"easy": ["a", "b", "c"], "middle": [], "hard": ["d"], "written": [], "guided": guided}

    def first(**record: object) -> list[str]:
        kept = {"answers": [], **record}
        found: list[str] = json.loads(
            context.eval(f"JSON.stringify(WY.firstCalls({json.dumps(calls)}, {json.dumps(kept)}))")
        )
        return found

    assert first() == ["a"]
    assert first(aimed={"level": 2}) == ["b"]
    assert first(aimed={"level": 4}) == ["c"]
    assert first(answers=[{"item": "d"}]) == []
    assert first(answers=[{"item": "a-sum"}]) == ["a"]
