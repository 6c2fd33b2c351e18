"""How easily a customer reads a page, measured from its source, and the line of what is too hard."""

from __future__ import annotations

from pathlib import Path

import pytest
import reading as by_dictionary

from warmyard.course.lesson import Lesson, parse_lesson
from warmyard.course.reading import OLDEST_YEARS, check_reading, grade, sentences, syllables
from warmyard.course.shelf import Shelf
from warmyard.course.workspace import Workspace, read_workspace

LONG = "Walk to the tent and the yard and the field and the street and the road and the gate and the shed."
HARD = "Precautionary evacuation necessitates organisation. Authorisation necessitates identification. Verification."


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    """Give what texts take, of the small yard."""
    return read_workspace(Path(__file__).resolve().parents[1] / "small_yard").shelf


def page(text: str, edition: str = "customer") -> Lesson:
    """Return a page with a text, which begins in line 6."""
    lesson = parse_lesson(f"---\nid: p\ntitle: P\nkind: page\n---\n{text}\n", "p.md", edition, "p.md", [])  # type: ignore[arg-type]
    assert lesson
    return lesson


def test_a_sentence_ends_where_a_reader_stops(shelf: Shelf) -> None:
    """A point, a colon, a line of a list; not the end of a line of a paragraph. A link is its words."""
    text = "Get out\nof the tent. Call us:\n\n- [Fire](fire.md)\n- Keep [[rule clear-in-front]] clear\n"
    found = [(sentence.place.line, " ".join(sentence.words)) for sentence in sentences(page(text), shelf)]
    assert found == [(6, "Get out of the tent"), (7, "Call us"), (9, "Fire"), (10, "Keep m clear")]


def test_a_long_sentence_is_named_at_its_line(shelf: Shelf) -> None:
    """More than twenty words, in a text or a fence, are one fault each; staff may read them."""
    text = f"Short one.\n{LONG}\n\n```wy-caution\nsay: {LONG}\n```"
    assert [fault.place.line for fault in check_reading(page(text), shelf)] == [7, 10]
    assert check_reading(page(text, "staff"), shelf) == []


def test_a_hard_page_is_one_fault_at_its_hardest_sentence(shelf: Shelf) -> None:
    """The age and the place to begin; a page of the same length in plain words has none."""
    (fault,) = check_reading(page(f"Go out.\n\n{HARD}"), shelf)
    assert fault.place.line == 8
    assert str(OLDEST_YEARS) in fault.what_to_do
    assert check_reading(page("Go out.\n\nCall us.\n\nWait for us.\n"), shelf) == []


@pytest.mark.parametrize(("word", "count"), [("tent", 1), ("alarm", 2), ("heater's", 2), ("the", 1)])
def test_syllables_of_known_words(word: str, count: int) -> None:
    """Counted by hand."""
    assert syllables(word) == count


def test_it_lies_within_two_years_of_the_dictionary(whole_workspace: Workspace) -> None:
    """On each customer page that has text of its own; the dictionary takes seconds, so only tests ask it."""
    pages = [lesson for lesson in whole_workspace.lessons.values() if lesson.edition == "customer"]
    for lesson in pages:
        found = list(sentences(lesson, whole_workspace.shelf))
        if len(found) > 10:
            other = by_dictionary.grade([" ".join(sentence.words) for sentence in found])
            assert abs(grade(found) - other) < 1, lesson.file
