"""Sentences that can be told again: in our own words they stay as they are, in others every part of them is told."""

from __future__ import annotations

import json

import msgspec
import pytest

from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.errors import InputError
from warmyard.words import own_words
from warmyard.words.sentence import Sentence, named, retold, sentence, word_for


def test_a_sentence_is_text_in_our_own_words() -> None:
    """It compares, is written and is empty as any text is."""
    said = sentence("judge.expired", day="2027-03-31")
    assert said == "expired on 2027-03-31"
    assert (json.dumps(said), bool(said)) == ('"expired on 2027-03-31"', True)
    assert retold(own_words(), said) == said


def test_the_parts_are_told_again_too() -> None:
    """A reason inside a reason takes the other words; names and numbers stay."""
    why = sentence("judge.station_failed", station="hand-over", day="2027-03-31")
    said = sentence("judge.no_certificate", level=2, why=why)
    other = {
        "judge.no_certificate": "Stufe {level}: {why}",
        "judge.station_failed": "{station} nicht bestanden ({day})",
    }
    assert retold(other, said) == "Stufe 2: hand-over nicht bestanden (2027-03-31)"
    assert said == "no certificate of level 2: station hand-over was not passed on 2027-03-31"


def test_an_id_is_told_by_its_title_where_the_title_is_known() -> None:
    """With titles among the words a reader is told the title; without, and in our own words, the id."""
    said = sentence("judge.station_unseen", station=named("station", "hand-over"))
    assert said == "station hand-over is missing: nobody has observed it yet"
    assert retold(own_words(), said) == said
    titled = {**own_words(), "title.station.hand-over": "Hand over"}
    assert retold(titled, said) == "station “Hand over” is missing: nobody has observed it yet"
    assert retold({**own_words(), "title.lesson.hand-over": "A lesson"}, said) == said


def test_any_other_text_is_what_it_is() -> None:
    """A name or a text of the scheme has no other words."""
    assert retold({"judge.expired": "x"}, "expired on 2027-03-31") == "expired on 2027-03-31"
    assert not isinstance(sentence("judge.erased").upper(), Sentence)


def test_a_word_that_is_not_there_is_no_sentence() -> None:
    """A misspelt id fails where it is written, not before a reader."""
    with pytest.raises(InputError, match="there is no word"):
        sentence("judge.expried", day="2027-03-31")


@pytest.mark.parametrize(("count", "word"), [(0, "several"), (1, "one"), (2, "several")])
def test_one_and_several_have_their_own_word(count: int, word: str) -> None:
    """Only one thing is said in the word for one."""
    assert word_for("figures.item", count) == f"figures.item.{word}"
    assert word_for("figures.item", count) in own_words()


def test_a_sentence_is_never_stored() -> None:
    """What is signed or written to the record refuses it: a stored text would keep the words of one day."""
    said = sentence("judge.erased")
    with pytest.raises(InputError, match="this cannot be signed"):
        canonical_bytes({"because": said})
    with pytest.raises(TypeError):
        msgspec.json.encode({"because": said})
