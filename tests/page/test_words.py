"""The words that a page needs: there, or a fault of course/words.yaml."""

from __future__ import annotations

import pytest

from warmyard.errors import SourceError
from warmyard.page.words import need_words, words_of

WORDS = {"shell.cautions": "Plate first.", "paper.title": "Paper"}


def test_a_missing_word_is_a_fault_of_the_words() -> None:
    """A word that course/words.yaml lacks is named; a group without any word too."""
    with pytest.raises(SourceError, match=r"course/words\.yaml:1: there is no word paper\.start"):
        need_words(WORDS, ["paper.start"])
    with pytest.raises(SourceError, match=r"no word verify\.title"):
        words_of(WORDS, "paper", "verify")
    assert words_of(WORDS, "paper") == {"paper.title": "Paper"}
