"""What no page may hold: code that runs, and numbers beside the rule or the sheet that says them."""

from __future__ import annotations

import shutil
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest

from warmyard.course.lesson import Lesson, parse_lesson
from warmyard.course.model import Rule
from warmyard.course.proof import prove_workspace
from warmyard.course.prose import check_markup, check_typed_numbers
from warmyard.course.workspace import Workspace, load_workspace, read_workspace
from warmyard.errors import SourceError, SourceKind

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


def page(text: str) -> Lesson:
    """Return a staff page with a text, which begins in line 6."""
    lesson = parse_lesson(f"---\nid: p\ntitle: P\nkind: page\n---\n{text}\n", "p.md", "staff", "p.md", [])
    assert lesson
    return lesson


@pytest.fixture(scope="module")
def small() -> Workspace:
    """Give the small yard: clear-in-front is 3 m there, a bund holds 110 %, the first tank 65 L."""
    return read_workspace(SMALL_YARD)


@pytest.mark.parametrize(
    "text",
    [
        "<script>x</script>", "< ScRiPt src=x>", "<style>p {}</style>", "<iframe src=x>", "<p onclick='x()'>",
        "<svg/onload=x>", "<p\n  onmouseover = 'x'>", "## A {: onclick='x'}", "<p style='color:red'>",
        "[a](javascript:x)", "[a](JAVA&#115;CRIPT:x)", "<a href='java\tscript:x'>", "[a](data:text/html,x)",
        "<object data=x>", "<base href=x>", "<meta http-equiv=refresh>",
    ],
)  # fmt: skip
def test_what_can_run_or_style_is_a_fault(text: str) -> None:
    """Elements, handlers and addresses that run, style or load something, in whatever spelling."""
    (fault,) = check_markup(page(f"Words.\n\n{text}"))
    assert fault.place.line in (8, 9)
    assert fault.what.startswith("the page holds ")


@pytest.mark.parametrize(
    "text",
    ["Go on = go.", "a < b and c > d", "<br>", "One data: two", "```html\n<script>x</script>\n```", "**on** {x}"],
)
def test_plain_words_and_shown_code_are_none(text: str) -> None:
    """Prose, line breaks, and code that is shown in a fence."""
    assert list(check_markup(page(text))) == []


@pytest.mark.parametrize(
    "typed", ["3 m", "3.0 m", "300 cm", "3m", "3\u00a0m"],
)  # fmt: skip
def test_a_number_beside_its_rule_is_a_fault(small: Workspace, typed: str) -> None:
    """The same length in any spelling, in a page that names the rule, at the line where it is typed."""
    lesson = page(f"Keep [[rule clear-in-front]] clear.\n\nSo {typed} it is.")
    (fault,) = check_typed_numbers(lesson, small.shelf)
    assert fault.place.line == 8
    assert "write [[rule clear-in-front]]" in fault.what_to_do


def test_a_fence_and_a_sheet_are_looked_at_too(small: Workspace) -> None:
    """What a caution says, and what a machine's sheet holds."""
    caution = page("Keep [[rule clear-in-front]].\n\n```wy-caution\nsay: Never nearer than 3 m.\n```")
    assert [fault.place.line for fault in check_typed_numbers(caution, small.shelf)] == [9]
    tank = page("It holds [[sheet tank]], 65 L.")
    assert [fault.place.line for fault in check_typed_numbers(tank, small.shelf)] == [6]


@pytest.mark.parametrize(
    "text",
    [
        "A hose of three metres.", "A share of 110 %.", "Keep [[rule clear-in-front]], then 3 minutes.",
        "Keep [[rule clear-in-front]], 4 m or 13 m.",
        "Keep [[rule clear-in-front]] in 3 steps.",
        'It is [[rule clear-in-front]], not [[work containment V_1="3 m"]].',
    ],
)  # fmt: skip
def test_another_number_is_none(small: Workspace, text: str) -> None:
    """In words, a share whose rule the page does not name, another unit, another value, no unit, an input."""
    assert list(check_typed_numbers(page(text), small.shelf)) == []


def test_a_rule_that_the_page_does_not_name_owns_its_number(small: Workspace) -> None:
    """The fault says which rule it is, and how else the number may stand there."""
    (fault,) = check_typed_numbers(page("A hose of 3 m."), small.shelf)
    assert fault.what == "3 m is typed, and rule clear-in-front says it"
    assert "[[rule clear-in-front]] in its stead, or in words" in fault.what_to_do


def test_a_rule_of_words_owns_no_number(small: Workspace) -> None:
    """A rule whose value is a text is never typed as a number."""
    rule = next(iter(small.rules.values()))
    rules = {"words": replace_rule(rule, "999 or 112")}
    shelf = replace(small.shelf, rules=rules)
    assert list(check_typed_numbers(page("Call [[rule words]], within 112 m."), shelf)) == []


def replace_rule(rule: Rule, value: str) -> Rule:
    """Return a rule with a text for its value."""
    return msgspec.structs.replace(rule, id="words", value=value, unit="")


def test_a_number_that_another_countrys_rule_owns_is_no_fault_of_a_page(tmp_path: Path) -> None:
    """Where the rules of the country are lost, others stand in: what they own is not held against what is typed."""
    yard = Path(shutil.copytree(SMALL_YARD, tmp_path / "yard"))
    rules = yard / "site_config" / "rules" / "england.yaml"
    shutil.copy(rules, rules.with_name("eu.yaml"))
    page = next((yard / "course" / "lessons" / "staff").glob("L*.md"))
    owned = read_workspace(yard).rules["clear-in-front"]
    page.write_text(f"{page.read_text('utf-8')}\n[[rule clear-in-front]] or {owned.value:g} {owned.unit}.\n", "utf-8")
    faults: defaultdict[SourceKind, list[SourceError]] = defaultdict(list)
    assert [fault.what for fault in prove_workspace(load_workspace(yard, faults), faults)] == [
        f"{owned.value:g} {owned.unit} is typed, and rule clear-in-front says it"
    ]
    rules.unlink()
    faults.clear()
    lost = [fault.what for fault in prove_workspace(load_workspace(yard, faults), faults)]
    assert lost == ["there are no rules for the country 'england'"]
