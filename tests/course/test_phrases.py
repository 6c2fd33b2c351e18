"""Phrases: endings, alternatives, gaps and groups; and what a sentence forbids, tells of or only supposes."""

from __future__ import annotations

import pytest

from warmyard.course.phrases import PhraseBook, is_absent, is_phrase, is_told, sentences_of

GROUPS = {"it": ("it|heater*", "the thing")}


def found(phrase: str, text: str) -> list[str]:
    """Return the words of a text that a phrase finds."""
    book = PhraseBook({"x": (phrase,)}, GROUPS)
    return [sentence.shown(one) for sentence in sentences_of(text) for one in book.find(sentence.words)]


@pytest.mark.parametrize(
    ("phrase", "text", "expected"),
    [
        ("press*", "He presses it.", ["presses"]),
        ("push|put back", "Put the thing back. Push back!", ["Push back"]),
        ("push|put .. back", "Put the small thing back.", ["Put the small thing back"]),
        ("put .. back", "Put it away, and come back.", []),
        ("turn back? on", "Turn on. Turn back on.", ["Turn on", "Turn back on"]),
        ("start <it>", "Start the heaters. Start it. Start the thing.", ["Start the heaters", "Start it"]),
        ("start engine", "Start your engine.", ["Start your engine"]),
        ("go on .", "Go on to it. Go on.", ["Go on."]),
        ("run on", "The run-on ends.", ["run-on"]),
    ],
)
def test_a_phrase_finds_its_words(phrase: str, text: str, expected: list[str]) -> None:
    """Any ending, either word, a gap that ends at a mark, a word that may be missing, a group, an article."""
    assert found(phrase, text)[: len(expected)] == expected
    assert bool(found(phrase, text)) == bool(expected)


@pytest.mark.parametrize("text", ["", "..", ".. back", "press(", "<nobody>", "a||b", "[a]"])
def test_what_is_no_phrase(text: str) -> None:
    """It begins with a word, its parts are words, its groups are there."""
    assert not is_phrase(text, GROUPS)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Start it.", True),
        ("Never start it.", False),
        ("Nobody moves, covers or starts it.", False),
        ("Do not wait, start it.", True),
        ("Do not touch it, but start it.", True),
        ("Call before you start it.", False),
        ("Not only start it.", True),
        ("If you start it, watch.", False),
        ("When it is cool, start it.", True),
        ("Once cool start it.", True),
        ("Somebody had start it.", False),
        ("Start it only if it is dry.", False),
        ("Nothing that can start it.", False),
    ],
)
def test_what_is_told_and_what_is_not(text: str, told: bool) -> None:
    """A negation rules over its clause; a condition, an ability, what was and what is limited tell nobody."""
    (sentence,) = sentences_of(text)
    book = PhraseBook({"x": ("start|starts it",)}, {})
    assert [is_told(sentence.words, one) for one in book.find(sentence.words)] == [told]


@pytest.mark.parametrize(
    ("text", "absent"),
    [("An alarm sounds.", False), ("No alarm.", True), ("Nobody hears the alarm.", True), ("No, the alarm.", False)],
)
def test_what_is_not_there(text: str, absent: bool) -> None:
    """A situation that a sentence says is absent is none."""
    (sentence,) = sentences_of(text)
    book = PhraseBook({"x": ("alarm",)}, {})
    assert [is_absent(sentence.words, one) for one in book.find(sentence.words)] == [absent]


def test_sentences_and_questions() -> None:
    """A full stop inside a number ends none; a question tells nobody."""
    sentences = list(sentences_of("Was it moved? It takes 2.5 m. Go!"))
    assert [one.text for one in sentences] == ["Was it moved?", "It takes 2.5 m.", "Go!"]
    assert [one.asks for one in sentences] == [True, False, False]
