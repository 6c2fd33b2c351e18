"""The reader's record: what a file may hold, what is written, two records joined. Run in the page's own JavaScript."""

from __future__ import annotations

import json
from typing import Any

import pytest
import quickjs

from warmyard.page.javascript import runtime_text

AT = 1767600000000
GOOD: dict[str, Any] = {
    "format": "wy-practice-record-2",
    "seen": {"L13#filter": "2026-01-05"},
    "own": {"wren-20": {"nozzle": {"value": 0.5, "unit": "US_gal/h", "at": AT}}},
    "states": {},
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
    "answers": [["2026-01-05", AT, "a", "fuel", "L13#filter", 1, 1, 20, 1, 0, 0]],
}
STORE = """
WY.store = {texts: {}, room: 1e9, get: (name) => WY.store.texts[name] || null,
  set: (name, text) => text.length <= WY.store.room && Boolean(WY.store.texts[name] = text),
  remove: (name) => { delete WY.store.texts[name]; }};
function kept() { return WY.recordFormat.fileText(WY.recordStore.current().record); }
function again() { WY.recordStore.current().whole = "read it again"; return kept(); }
var events = []; var document = {dispatchEvent: (e) => events.push(e.name)};
var CustomEvent = function (name) { this.name = name; };
WY.today = () => new Date().toISOString().slice(0, 10);
"""


@pytest.fixture
def page() -> quickjs.Context:
    """Give the record's scripts without a page."""
    context = quickjs.Context()
    for name in ("wy.js", "standing.js", "record_format.js", "record_merge.js", "record_store.js", "record.js"):
        context.eval(runtime_text(name))
    context.eval(STORE)
    return context


def run(page: quickjs.Context, script: str, **values: Any) -> Any:
    """Return the value of an expression over JSON values."""
    for name, value in values.items():
        page.eval(f"var {name} = JSON.parse({json.dumps(json.dumps(value))});")
    text = page.eval(f"JSON.stringify({script})")
    return None if text is None else json.loads(text)


def test_a_saved_record_reads_back_as_it_was(page: quickjs.Context) -> None:
    """What is saved is what is loaded."""
    found = run(page, "WY.record.read(f)", f=json.dumps(GOOD))
    assert found["count"] == 1
    assert json.loads(run(page, "WY.recordFormat.fileText(r)", r=found["record"])) == GOOD


@pytest.mark.parametrize(
    "text",
    [
        *("", "{", "[]", "null", '"x"', "{}", '{"format": "wy-practice-record-0", "skills": {}, "assessments": []}'),
        *('{"format": 1, "skills": {}, "assessments": []}', '{"format": "wy-practice-record-01"}'),
        json.dumps({**GOOD, "answers": {}}),
        json.dumps({**GOOD, "assessments": {}}),
        '{"format": "wy-practice-record-1", "skills": [], "assessments": []}',
    ],
)
def test_a_file_that_is_no_record_is_refused_in_words(page: quickjs.Context, text: str) -> None:
    """Anything other than a record gives the id of a sentence, never an error of the page."""
    assert run(page, "WY.record.read(f)", f=text) == {"problem": "record.no_record"}


def test_a_huge_file_is_refused(page: quickjs.Context) -> None:
    """A file beyond twenty million characters is not even parsed."""
    page.eval("var big = ' '.repeat(20000001);")
    assert run(page, "WY.record.read(big)") == {"problem": "record.too_large"}


def test_what_is_wrong_in_a_record_is_put_right_or_left_out(page: quickjs.Context) -> None:
    """Strange ids, days, shares and lengths in a loaded file never reach the page; fields of another version stay."""
    row = GOOD["answers"][0]
    bad = {
        **GOOD,
        "more": 1,
        "__proto__": {"polluted": 1},
        "<b>": 1,
        "seen": {"<img>": "2026-01-01", "L1": "never", "L2#a": "2026-01-01"},
        "own": {"wren-20": {"x": {"value": {}, "at": 1}, "<": {"value": 1, "at": 1}}, "../": {}},
        "states": {"a": {"on": "2026-01-01", "at": 1, "stability": -1, "difficulty": 5}},
        "stopped": {"step": "<b>", "at": 1},
        "aimed": {"level": "two", "at": 1},
        "assessments": [
            {**GOOD["assessments"][0], "share": 7, "title": "x" * 999, "extra": "y"},
            {**GOOD["assessments"][0], "id": "../up"},
            {**GOOD["assessments"][0], "on": "01/02/2026"},
            "no",
        ],
        "answers": [
            row[:10],
            "no",
            [*row[:3], "<b>", *row[4:]],
            [*row[:3], None, *row[4:]],
            ["2026-99-01", *row[1:]],
            [row[0], -1, *row[2:]],
            [*row[:4], "<b>", "yes", 9, -5, 1e9, 0.4, None, "later"],
        ],
    }
    found = run(page, "WY.record.read(f)", f=json.dumps(bad))["record"]
    assert found.keys() == {"format", "seen", "own", "states", "assessments", "answers", "more"}
    assert run(page, "'polluted' in {}") is False
    assert (found["seen"], found["own"], found["states"]) == ({"L2#a": "2026-01-01"}, {"wren-20": {}}, {})
    assert [(len(one["title"]), one["share"], "extra" in one) for one in found["assessments"]] == [(200, 0, True)]
    own = {"day": row[0], "at": AT, "item": "a", "skill": "fuel", "step": "", "right": False, "share": 0, "seconds": 0}
    assert found["answers"] == [{**own, "tries": 99, "hints": 0, "shown": False, "more": ["later"]}]


def test_every_answer_is_kept_with_what_led_to_it(page: quickjs.Context) -> None:
    """Day, item, skill, step, seconds, tries and hints stand in the storage; the older way of telling works on."""
    page.eval(
        "WY.record.answered({item: 'a', skill: 'fuel', step: 'L13#filter', right: true, share: 1, seconds: 31.4,"
        " tries: 2, hints: 3, shown: false})"
    )
    page.eval("WY.record.answered({item: 'b', skill: 'flue', ask: '?'}, false)")
    rows = json.loads(run(page, "again()"))["answers"]
    today = run(page, "WY.today()")
    assert [[row[0], *row[2:]] for row in rows] == [
        [today, "a", "fuel", "L13#filter", 1, 1, 31, 2, 3, 0],
        [today, "b", "flue", "", 0, 0, 0, 1, 0, 0],
    ]
    assert rows[0][1] < rows[1][1]


FIRST = "{item: 'a', skill: 'fuel', right: false, tries: 1}"


def test_a_wrong_first_try_is_kept_and_the_second_takes_its_place(page: quickjs.Context) -> None:
    """One answer of one problem: wrong until the second try, then what became of it, with its tries; others stay."""
    page.eval("WY.record.answered({item: 'b', skill: 'fuel', right: true})")
    page.eval(f"var at = WY.record.tried({FIRST})")
    first = json.loads(run(page, "again()"))["answers"]
    assert [(row[2], row[5], row[8]) for row in first] == [("b", 1, 1), ("a", 0, 1)]
    page.eval("WY.record.answered({item: 'a', skill: 'fuel', right: true, tries: 2, since: at})")
    then = json.loads(run(page, "again()"))["answers"]
    assert [(row[2], row[5], row[8]) for row in then] == [("b", 1, 1), ("a", 1, 2)]
    assert then[1][1] == first[1][1]


def test_the_second_try_counts_once_where_the_first_was_saved_elsewhere(page: quickjs.Context) -> None:
    """A file saved between the tries, and the store's small text written into the whole, give the same one answer."""
    page.eval(f"var at = WY.record.tried({FIRST}); var file = kept()")
    page.eval("WY.record.keep(WY.record.load())")
    page.eval("WY.record.answered({item: 'a', skill: 'fuel', right: true, tries: 2, since: at})")
    assert [row[8] for row in json.loads(run(page, "again()"))["answers"]] == [2]
    page.eval("WY.record.keep(WY.record.joined(WY.record.load(), WY.record.read(file).record))")
    assert [(row[5], row[8]) for row in json.loads(run(page, "again()"))["answers"]] == [(1, 2)]


def test_a_scored_set_is_kept_and_each_of_its_answers_counts(page: quickjs.Context) -> None:
    """The set stays with its texts; the skill of every mark stands among the answers."""
    page.eval(
        "WY.record.scored({id: 'L13', title: 'T', on: '2026-01-05', at: 'x', share: .5, items: [], marks: ["
        "{item: 'a', skill: 'fuel', right: true, share: 1}, {item: 'b', skill: 'flue', right: false, share: .5}]})"
    )
    kept = json.loads(run(page, "again()"))
    assert [(row[0], *row[2:7]) for row in kept["answers"]] == [
        ("2026-01-05", "a", "fuel", "L13", 1, 1),
        ("2026-01-05", "b", "flue", "L13", 0, 0.5),
    ]
    assert [(one["id"], "marks" in one) for one in kept["assessments"]] == [("L13", False)]


def test_steps_place_aim_and_own_values_are_kept(page: quickjs.Context) -> None:
    """Each is in the storage at once; a step keeps its first day, and the same again writes nothing."""
    page.eval("WY.record.sawStep('L13', 'filter')")
    page.eval("WY.record.stopped({page: 'L13', step: 'bowl'})")
    page.eval("WY.record.aim(2)")
    page.eval("WY.record.ownValue('wren-20', 'nozzle', 0.5, 'US_gal/h')")
    kept = json.loads(run(page, "again()"))
    assert kept["seen"] == {"L13#filter": run(page, "WY.today()")}
    assert (kept["stopped"]["step"], kept["aimed"]["level"]) == ("L13#bowl", 2)
    own = kept["own"]["wren-20"]["nozzle"]
    assert (own["value"], own["unit"]) == (0.5, "US_gal/h")
    before = run(page, "events.length")
    page.eval("WY.record.sawStep('L13', 'filter'); WY.record.stopped({page: 'L13', step: 'bowl'})")
    assert run(page, "events.length") == before


def test_an_answer_more_leaves_the_others_alone(page: quickjs.Context) -> None:
    """However many there are, a small text is written; opened again, all of them are there."""
    run(page, "WY.store.texts.record = t", t=json.dumps(GOOD))
    page.eval("WY.record.answered({item: 'b', skill: 'flue', right: true}); WY.record.sawStep('L13', 'bowl')")
    assert run(page, "WY.store.texts.record") == json.dumps(GOOD)
    kept = json.loads(run(page, "again()"))
    assert [row[2] for row in kept["answers"]] == ["a", "b"]
    assert {**kept, "answers": None, "seen": None} == {**GOOD, "answers": None, "seen": None}


def test_much_that_came_is_joined_when_the_page_opens_again(page: quickjs.Context) -> None:
    """Then the small text is empty again; cut off between the two writes, nothing is lost and nothing doubled."""
    long = "-of-a-long-name" * 5
    for at in range(400):
        page.eval(f"WY.record.answered({{item: 'q-{at}{long}', skill: 'fuel', right: true, at: {AT + at}}})")
    since = run(page, "WY.store.texts['record-since']")
    assert run(page, "WY.store.texts.record || ''") == ""
    whole = run(page, "again()")
    assert run(page, "WY.store.texts['record-since'] || ''") == ""
    assert len(json.loads(whole)["answers"]) == 400
    run(page, "WY.store.texts['record-since'] = t", t=since)
    assert json.loads(run(page, "again()")) == json.loads(whole)


def test_another_tab_that_wrote_is_seen(page: quickjs.Context) -> None:
    """What another tab answered is there at the next look, and is not written over."""
    page.eval("WY.record.answered({item: 'a', skill: 'fuel', right: true})")
    other = json.loads(run(page, "WY.store.texts['record-since']"))
    other["answers"].append(["2026-01-07", AT + 9, "z", "fuel", "", 1, 1, 0, 1, 0, 0])
    run(page, "WY.store.texts['record-since'] = t", t=json.dumps(other))
    page.eval("WY.record.answered({item: 'b', skill: 'fuel', right: true})")
    assert {row[2] for row in json.loads(run(page, "again()"))["answers"]} == {"a", "b", "z"}


def test_a_full_storage_loses_nothing_on_this_page(page: quickjs.Context) -> None:
    """Without room the page says so and holds what was answered; with room again all of it is written."""
    page.eval("WY.record.answered({item: 'a', skill: 'fuel', right: true}); WY.store.room = 10")
    assert run(page, "WY.record.answered({item: 'b', skill: 'fuel', right: true})") is False
    assert run(page, "events.slice(-2)") == ["wy-record", "wy-record-full"]
    assert run(page, "WY.record.load().answers.length") == 2
    assert run(page, "WY.record.dueLine(0)").endswith("[record.full]")
    page.eval("WY.store.room = 1e9; WY.record.answered({item: 'c', skill: 'fuel', right: true})")
    assert run(page, "WY.recordStore.current().unsaved") is False
    assert [row[2] for row in json.loads(run(page, "again()"))["answers"]] == ["a", "b", "c"]
