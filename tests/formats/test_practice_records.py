"""The learner's record: the golden one of the first site, the readers in the page, and the shape that both hold."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import msgspec
import pytest
import quickjs

from warmyard.formats.practice_records import PRACTICE_RECORD, Record1, Record2
from warmyard.formats.register import bring_up
from warmyard.page.javascript import runtime_text
from warmyard.words import own_words

GOLDENS = Path(__file__).resolve().parents[1] / "golden"
GOLDEN = GOLDENS / "learner-record-1.json"
GOLDEN_2 = GOLDENS / "learner-record-2.json"
RECORD_SCRIPTS = (
    "wy.js",
    "vendored/fsrs.js",
    "recall.js",
    "record_format.js",
    "record_merge.js",
    "record_store.js",
    "record.js",
)
STORE = """
WY.store = {kept: {}, get: (name) => WY.store.kept[name] || null, remove: (name) => delete WY.store.kept[name],
  set: (name, text) => Boolean(WY.store.kept[name] = text)};
"""
DOCUMENT = "var document = {dispatchEvent: () => true}; var CustomEvent = function () {};"


@pytest.fixture
def page() -> quickjs.Context:
    """Give the record's scripts without a page, with a storage that holds one text."""
    context = quickjs.Context()
    for name in RECORD_SCRIPTS:
        context.eval(runtime_text(name))
    context.eval(STORE + DOCUMENT)
    return context


def run(page: quickjs.Context, script: str, **values: Any) -> Any:
    """Return the value of an expression over JSON values."""
    for name, value in values.items():
        page.eval(f"var {name} = JSON.parse({json.dumps(json.dumps(value))});")
    text = page.eval(f"JSON.stringify({script})")
    return None if text is None else json.loads(text)


def test_the_golden_record_has_the_shape_of_its_version() -> None:
    """What the first site saved is read by the frozen struct, and every field that the struct names stands in it."""
    golden = json.loads(GOLDEN.read_text("utf-8"))
    record = msgspec.convert(golden, Record1, strict=True)
    assert json.loads(msgspec.json.encode(record)) == golden
    assert any(skill.days for skill in record.skills.values())
    assert any(isinstance(one.note, str) for one in record.assessments)


def test_the_page_takes_the_golden_record_of_the_first_site_over_whole(page: quickjs.Context) -> None:
    """Python and the page make the same of it: its sets as they were, an answer for each day that it knew of."""
    golden = json.loads(GOLDEN.read_text("utf-8"))
    found = json.loads(run(page, "WY.recordFormat.fileText(WY.record.read(f).record)", f=GOLDEN.read_text("utf-8")))
    assert found == json.loads(msgspec.json.encode(bring_up(PRACTICE_RECORD, 1, golden)))
    assert found["assessments"] == golden["assessments"]
    days = [(row[3], row[0], row[5]) for row in found["answers"]]
    known = golden["skills"].items()
    missed = [(skill, one["missed"], 0) for skill, one in known]
    assert sorted(days) == sorted(missed + [(skill, day, 1) for skill, one in known for day in one["days"]])
    assert run(page, "WY.record.read(f).count", f=GOLDEN.read_text("utf-8")) == 3


@pytest.mark.parametrize("text", ["fileText(r)", "textOf(r)"], ids=["file", "storage"])
def test_a_golden_record_of_version_2_reads_back_as_it_was(page: quickjs.Context, text: str) -> None:
    """Nothing of it is lost, in a file or in the storage, and every field of the frozen struct stands in it."""
    golden = json.loads(GOLDEN_2.read_text("utf-8"))
    page.eval(f"var r = WY.record.read({json.dumps(GOLDEN_2.read_text('utf-8'))}).record;")
    assert json.loads(run(page, f"WY.recordFormat.{text}")) == golden
    record = msgspec.convert(golden, Record2, strict=True)
    known = {**golden, "answers": [row[:11] for row in golden["answers"]]}
    assert json.loads(msgspec.json.encode(record)) == {name: known[name] for name in Record2.__struct_fields__}
    assert record.seen
    assert record.own
    assert record.states
    assert {one.item for one in record.answers} >= {"", "item-that-is-gone"}


def test_the_page_writes_the_newest_version_that_is_listed(page: quickjs.Context) -> None:
    """Readers in the page and shapes in formats/ count the same versions, and a new record is of the newest."""
    assert run(page, "WY.recordFormat.newest") == PRACTICE_RECORD.version
    newest = PRACTICE_RECORD.shapes[PRACTICE_RECORD.version]
    assert msgspec.convert(run(page, "WY.recordFormat.blank()"), newest, strict=True)


TABLES = """
var readers = {
  1: function (value) { return value.name ? {format: "wy-practice-record-1", name: value.name} : null; },
  2: function (value) { return value.title ? {format: "wy-practice-record-2", title: value.title} : null; },
  3: function (value) { return value; },
};
var upgrades = {
  1: function (value) { return {format: "wy-practice-record-2", title: value.name}; },
  2: function (value) { return {format: "wy-practice-record-3", titles: [value.title]}; },
};
"""


@pytest.mark.parametrize(
    ("value", "found"),
    [
        ({"format": "wy-practice-record-1", "name": "a"}, {"record": {"titles": ["a"]}}),
        ({"format": "wy-practice-record-2", "title": "a"}, {"record": {"titles": ["a"]}}),
        ({"format": "wy-practice-record-3", "titles": ["a", "b"]}, {"record": {"titles": ["a", "b"]}}),
        ({"format": "wy-practice-record-4", "anything": 1}, {"newer": True}),
        ({"format": "wy-practice-record-2", "name": "a"}, {}),
        ({"format": "wy-practice-record-04", "name": "a"}, {}),
        ({"format": 1, "name": "a"}, {}),
        (["wy-practice-record-1"], {}),
        (None, {}),
    ],
)
def test_an_older_record_comes_up_through_every_version_between(
    page: quickjs.Context, value: Any, found: dict[str, Any]
) -> None:
    """Each version is read by its own reader, then upgraded step by step; a newer one is called newer."""
    page.eval(TABLES)
    made = run(page, "WY.recordFormat.broughtUp(v, readers, upgrades)", v=value)
    if "record" in found:
        found = {"record": {"format": "wy-practice-record-3", **found["record"]}}
    assert made == found


def test_a_newer_record_on_this_device_is_never_written_over(page: quickjs.Context) -> None:
    """Answering, scoring and loading an older file leave it byte for byte; the page shows an empty record meanwhile."""
    text = '{"format": "wy-practice-record-3", "cards": [{"ease": 2.5}]}'
    run(page, "WY.store.kept.record = t", t=text)
    assert run(page, "WY.record.newer()") is True
    assert run(page, "WY.record.load()") == run(page, "WY.recordFormat.blank()")
    page.eval("WY.record.answered({item: 'q', skill: 'fuel'}, false)")
    page.eval("WY.record.sawStep('L1', 'first')")
    page.eval("WY.record.scored({id: 'L1', on: '2026-01-05', items: [], marks: []})")
    assert (
        run(
            page,
            "WY.record.keep(WY.record.joined(WY.record.load(), r))",
            r=run(page, "WY.record.read(f).record", f=GOLDEN.read_text()),
        )
        is True
    )
    assert run(page, "WY.store.kept") == {"record": text}


def test_a_newer_file_is_one_sentence(page: quickjs.Context) -> None:
    """It is not called no record: its reader is told where to load it."""
    assert run(page, "WY.record.read(f)", f='{"format": "wy-practice-record-3"}') == {"problem": "record.newer_file"}


def test_the_sentences_are_written() -> None:
    """The scripts of the record say nothing that the words do not hold."""
    scripts = "".join(map(runtime_text, ("record.js", "assessment.js", "mixed.js", "mock.js")))
    for word in set(re.findall(r'"record\.([a-z_]+)"', scripts)):
        assert f"record.{word}" in own_words()
