"""The words of a stop rule in a text: for staff, for customers, one part of them, or words of the page."""

from __future__ import annotations

from dataclasses import replace

import pytest

from warmyard.course.grammar import Inline, read_inline
from warmyard.course.shelf import Shelf
from warmyard.course.stop_rule import StopRule, Told
from warmyard.course.values import meaning, plain_text
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.item.model import Edition

RULE = StopRule(
    id="bang",
    title="A bang",
    when="It banged.",
    customer=Told(first="Leave it off.", then=("Call [[company office_phone]].",), ends="Never by you."),
    staff=Told(first="Look into it.", ends="It is dry."),
    restart_level=3,
    sources=(),
    speaks=("bang",),
)


@pytest.fixture
def shelf(whole_workspace: Workspace) -> Shelf:
    """Give a shelf with one rule."""
    return replace(whole_workspace.shelf, stop_rules={"bang": RULE})


def inline(text: str) -> Inline:
    """Return what stands between the brackets as an inline."""
    found = read_inline(text, Place("p.md", 3), [])
    assert found
    return found


@pytest.mark.parametrize(
    ("text", "reader", "expected"),
    [
        ("stop bang", "staff", "Look into it."),
        ("stop bang", "customer", "Leave it off. Call {phone}."),
        ("stop bang first", "customer", "Leave it off."),
        ("stop bang ends", "staff", "It is dry."),
        ("stop bang when", "staff", "It banged."),
        ("stop bang customer", "staff", "Leave it off. Call {phone}."),
        ("stop bang|after a thump", "staff", "after a thump"),
    ],
)
def test_each_reader_has_their_words(shelf: Shelf, text: str, reader: Edition, expected: str) -> None:
    """All of them, the first act, what ends it; inlines in them are put in; shown words stay as they are."""
    assert meaning(shelf, inline(text), reader).text == expected.format(phone=shelf.company.office_phone)
    assert plain_text(shelf, f"So: [[{text}]]", reader) == f"So: {expected.format(phone=shelf.company.office_phone)}"


@pytest.mark.parametrize(
    ("text", "says"),
    [("stop bank", "write bang"), ("stop bang last", "names no part of a stop rule"), ("stop bank|x", "write bang")],
)
def test_what_names_nothing_is_a_fault(shelf: Shelf, text: str, says: str) -> None:
    """A rule that is not there, with the nearest; a part that no rule has."""
    with pytest.raises(SourceError) as caught:
        meaning(shelf, inline(text))
    assert says in str(caught.value)
    assert caught.value.place.line == 3
