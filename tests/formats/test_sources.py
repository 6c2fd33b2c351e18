"""Sources that name a format, or one that cannot be read: one fault in its place, and the author's own fields named."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from warmyard.course.lesson import parse_lesson
from warmyard.course.lists import load_items
from warmyard.course.scheme import load_scheme
from warmyard.course.workspace import read_workspace
from warmyard.errors import SourceError, SourceErrors
from warmyard.formats.items import ITEMS as ITEM_FORMAT
from warmyard.formats.lessons import LESSONS
from warmyard.formats.schemes import SCHEMES
from warmyard.item.kinds.choice.schema import Choice

YARD = Path(__file__).resolve().parents[1] / "small_yard"
ITEMS = "quizbank/practice/fuel.yaml"
LESSON = "course/lessons/staff/L08-filter.md"
SCHEME = "site_config/scheme.yaml"
NEWEST = {ITEMS: ITEM_FORMAT.version, LESSON: LESSONS.version, SCHEME: SCHEMES.version}


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Give a fresh copy of the smallest complete workspace."""
    return Path(shutil.copytree(YARD, tmp_path / "yard"))


def faults_with(yard: Path, file: str, old: str, new: str) -> list[str]:
    """Return the faults of a workspace after a text in one file was replaced."""
    path = yard / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    try:
        read_workspace(yard)
    except SourceErrors as problem:
        return [str(fault) for fault in problem.faults]
    return []


@pytest.mark.parametrize(
    ("file", "line", "what"), [(ITEMS, 1, "this file of items"), (LESSON, 2, "this page"), (SCHEME, 2, "the scheme")]
)
def test_a_source_newer_than_the_tool_is_one_fault(yard: Path, file: str, line: int, what: str) -> None:
    """It says what, which version and which this tool reads, on the line of the name; nothing that follows from it."""
    if file == SCHEME:
        (yard / file).write_text("# The scheme.\n" + (yard / file).read_text("utf-8"), "utf-8")
    newest = NEWEST[file]
    assert faults_with(yard, file, "format: 2", f"format: {newest + 1}") == [
        f"{file}:{line}: {what} is of format {newest + 1}, and this Warmyard reads formats up to {newest}; "
        "install a newer Warmyard"
    ]


@pytest.mark.parametrize("file", [ITEMS, LESSON, SCHEME])
@pytest.mark.parametrize("name", ["x", "0", "1", "-2", '"2"', "2.5", "true", "", "[2]", "{number: 2}"])
def test_what_names_no_format_is_a_fault_with_what_to_do(yard: Path, file: str, name: str) -> None:
    """Anything but a whole number from 2 is named on its line, with both ways out; no other fault follows from it."""
    (fault,) = faults_with(yard, file, "format: 2", f"format: {name}")
    assert fault.startswith(f"{file}:{2 if file == LESSON else 1}: ")
    assert "is no format that" in fault
    assert fault.endswith(f"; write `format: {NEWEST[file]}`, or remove the line where a file is of format 1")


@pytest.mark.parametrize("file", [ITEMS, LESSON, SCHEME])
def test_a_source_without_a_name_is_of_format_1(yard: Path, file: str) -> None:
    """Every file from before formats had names reads as it did."""
    assert faults_with(yard, file, "format: 2\n", "") == []


@pytest.mark.parametrize("named", ["format: 2\n", ""])
@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        (ITEMS, "{id: smell, text:", "{id: smell, texd:", "there is no field texd in options.1"),
        (ITEMS, "criticality: 2", "criticality: 7", "criticality is 7"),
        (ITEMS, "kind: reading", "kind: reeding", "kind is 'reeding'"),
        (LESSON, "minutes: 30", "minutes: half", "expected a whole number, found text in minutes"),
        (LESSON, "  - text: Work", "  - tekst: Work", "there is no field tekst in outcomes.1"),
        (LESSON, "picture: filter", "pictures: filter", "there is no field pictures"),
        (LESSON, "field: tank", "field: 3", "expected text, found a whole number in values.0.field"),
        (SCHEME, "percent: ", "per_cent: ", "there is no field per_cent in levels.0.parts.0.cut"),
        (SCHEME, "notice_days: ", "notice_days: 1.5 #", "expected a whole number, found a number in notice_days"),
    ],
)
def test_a_wrong_field_is_named_on_its_own_line(
    yard: Path, file: str, old: str, new: str, says: str, named: str
) -> None:
    """Whatever format a file names, a fault names the field that the author wrote, and its line."""
    path = yard / file
    path.write_text(path.read_text("utf-8").replace("format: 2\n", named, 1), "utf-8")
    text = path.read_text("utf-8")
    line = text[: text.index(old)].count("\n") + 1
    found = faults_with(yard, file, old, new)
    assert any(fault.startswith(f"{file}:{line}: {says}; ") for fault in found)


def test_every_faulty_item_of_a_file_is_named_and_the_sound_ones_are_read(tmp_path: Path) -> None:
    """A field that no file has and a fault in each of two items are three faults; the third item is read."""
    sound = "kind: choice, skill: s, criticality: 1, use: exam, demand: recall, ask: Why?"
    option = "options: [{id: a, text: A, why: w, right: true}]"
    rows = [
        f"  - {{id: one, {sound}, {option}, place: here}}",
        f"  - {{id: two, {sound}, {option}}}",
        f"  - {{id: three, {sound}, options: none}}",
    ]
    (tmp_path / "exam").mkdir()
    text = "\n".join(["# Three items.", "format: 2", "title: Mine", "items:", *rows])
    (tmp_path / "exam" / "own.yaml").write_text(text + "\n", "utf-8")
    faults: list[SourceError] = []
    (item,) = load_items(tmp_path, None, tmp_path, faults).values()
    assert isinstance(item, Choice)
    assert (item.id, item.minutes, item.place.line, item.place.within("options.0.why").line) == ("two", 1.5, 6, 6)
    assert [str(fault).partition(";")[0] for fault in faults] == [
        "exam/own.yaml:3: there is no field title",
        "exam/own.yaml:5: place is not a field for authors",
        "exam/own.yaml:7: expected a list, found text in options",
    ]


def test_what_stood_beside_the_items_of_a_nameless_file_stays_unread(yard: Path) -> None:
    """Version 1 never looked at it, so it does not begin to."""
    assert faults_with(yard, ITEMS, "format: 2\nitems:", "title: Mine\nitems:") == []


def test_no_author_says_where_a_part_of_the_scheme_stands(tmp_path: Path) -> None:
    """The place of a level comes from its line; a file cannot give another."""
    text = (YARD / SCHEME).read_text("utf-8").replace("  - level: ", "  - place: {file: x, line: 1}\n    level: ", 1)
    (tmp_path / "scheme.yaml").write_text(text, "utf-8")
    faults: list[SourceError] = []
    assert load_scheme(tmp_path / "scheme.yaml", tmp_path, faults) is None
    assert "there is no field place" in str(faults[0])


def test_a_page_of_a_newer_format_hides_its_fences_too() -> None:
    """Its fences may be newer than this tool: only its format is named."""
    faults: list[SourceError] = []
    text = "---\nformat: 9999\nid: a\n---\n```wy-hologram\nx: 1\n```\n"
    assert parse_lesson(text, "a.md", "staff", "a.md", faults) is None
    assert [fault.place.line for fault in faults] == [2]


def test_a_bank_that_a_newer_tool_wrote_is_one_fault(tmp_path: Path) -> None:
    """That it holds no items follows from its format."""
    (tmp_path / "bank").mkdir()
    (tmp_path / "bank" / "a.yaml").write_text("format: 9999\nquestions: []\n", "utf-8")
    faults: list[SourceError] = []
    load_items(tmp_path / "quizbank", tmp_path / "bank", tmp_path, faults)
    assert [fault.what_to_do for fault in faults] == ["install a newer Warmyard"]
