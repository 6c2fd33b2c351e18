"""The words that readers see: the tool's own are whole, and another's over them can take their place or are faults."""

from __future__ import annotations

import pytest

from warmyard.errors import SourceError
from warmyard.sources import parse_document
from warmyard.words import gather, names_in, own_words, say, words_over


def said(text: str) -> list[str]:
    """Return the faults of a words file."""
    faults: list[SourceError] = []
    words_over(parse_document(text, "course/words.yaml"), faults)
    return [str(fault) for fault in faults]


def test_every_own_word_says_something_and_can_be_filled_in() -> None:
    """No word of the tool is empty, and its braces are names."""
    for word, text in own_words().items():
        assert text.strip(), word
        names_in(text)


def test_another_word_takes_the_place_of_ours() -> None:
    """A workspace's word is said under the same id, and the others stay."""
    faults: list[object] = []
    words = words_over(parse_document("shell:\n  office: Yard\n", "course/words.yaml"), faults)  # type: ignore[arg-type]
    assert not faults
    assert (words["shell.office"], words["shell.emergency"]) == ("Yard", own_words()["shell.emergency"])


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("paper:\n  phrase: ''\n", "course/words.yaml:2: the word paper.phrase says nothing"),
        ("paper:\n  phrasse: A\n", "course/words.yaml:2: there is no word paper.phrasse; did you mean paper.phrase"),
        ("zzz: A\n", "course/words.yaml:1: there is no word zzz; remove it"),
        ("paper:\n  level: 'Level {level}'\n", "course/words.yaml:2: the word paper.level lost {name}"),
        ("paper:\n  level: 'L {level} {nam}'\n", "lost {name} and has {nam}, which nothing fills; use {level}, {name}"),
        ("paper:\n  level: 'L {level} {name'\n", "course/words.yaml:2: the word paper.level cannot be filled in"),
        ("paper:\n  level: 'L {level} {name!r}'\n", "cannot be filled in ({name} is no name)"),
        ("paper:\n  level: 3\n", "course/words.yaml:2: the word paper.level is not text"),
        ("- A\n", "course/words.yaml:1: the word list is not text"),
        ("language:\n  direction: left\n", "course/words.yaml:2: the word language.direction cannot be 'left'; write"),
        ("language:\n  code: deutsch!\n", "course/words.yaml:2: the word language.code cannot be 'deutsch!'; write"),
    ],
)
def test_a_word_that_cannot_take_the_place_is_a_fault(text: str, line: str) -> None:
    """Empty, unknown, a lost or misspelt name in braces, or no text at all: named at its line."""
    found = said(text)
    assert len(found) == 1
    assert line in found[0]


def test_a_file_without_words_is_the_tools_own() -> None:
    """Comments alone are no fault."""
    assert said("# nothing\n") == []
    assert not list(gather(parse_document("# nothing\n", "course/words.yaml"), []))


def test_an_empty_part_leaves_no_gap() -> None:
    """A sentence with an empty part has one space where it stood."""
    assert say({"a": "One {two} three."}, "a", two="") == "One three."
