"""A sentence that knows what it says: a word and its parts, so that it can be told again in other words.

The judge and the reports make sentences far from any words file, and keep some of them in memory. A `Sentence` is text
in the tool's own words for whoever only shows or compares it; whoever prints for readers tells it again with `retold`.
"""

from __future__ import annotations

from collections.abc import Mapping

from warmyard.words import own_words, say


class Sentence(str):
    """A sentence in the tool's own words, with the word that it says and the parts that were put in."""

    __slots__ = ("parts", "word")
    word: str
    parts: Mapping[str, object]


class Titled(str):
    """The id of a station or a lesson, which other words may know by its title: `title.station.ID`."""

    __slots__ = ("kind",)
    kind: str


def named(kind: str, id: str) -> Titled:
    """Return an id that is told by its title wherever the title is known."""
    made = Titled(id)
    made.kind = kind
    return made


def sentence(word: str, **parts: object) -> Sentence:
    """Return what a word says with its parts; a part may be a sentence itself."""
    made = Sentence(say(own_words(), word, **parts))
    made.word, made.parts = word, parts
    return made


def retold(words: Mapping[str, str], text: str) -> str:
    """Return a sentence in other words, its parts too; any other text is what it is: a name, a text of the scheme."""
    if isinstance(text, Titled):
        title = words.get(f"title.{text.kind}.{text}")
        return say(words, "judge.titled", title=title) if title else text
    if not isinstance(text, Sentence):
        return text
    parts = {name: retold(words, part) if isinstance(part, str) else part for name, part in text.parts.items()}
    return say(words, text.word, **parts)


def word_for(word: str, count: int) -> str:
    """Return the word of a group for one or for several: `WORD.one`, `WORD.several`."""
    return f"{word}.{'one' if count == 1 else 'several'}"
