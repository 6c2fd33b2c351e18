"""How easily a customer reads a page: Flesch and Kincaid's grade (1975), syllables by hyphens and groups of vowels.

A pronouncing dictionary takes seconds to load; over our customer pages this measure lies within a year of it. The
tests hold our own pages to the dictionary as well.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from warmyard.course.lesson import Lesson
from warmyard.course.prose import text_lines
from warmyard.course.shelf import Shelf
from warmyard.course.values import plain_text
from warmyard.errors import Place, SourceError

OLDEST_YEARS = 11
"""The common advice for public information is a reading age of 9 to 11 (common practice, no source)."""
LONGEST_WORDS = 20
MEAN_WORDS = 10
FEWEST_SENTENCES = 3
"""Of fewer sentences an average says nothing."""
_WORD = re.compile(r"[A-Za-z]+(?:['’][A-Za-z]+)?")
_VOWELS = re.compile(r"[aeiouy]+")
_BEGINS = re.compile(r"\s*(?:[-*+>|]|#+|\d+[.)])\s")
_MARKS = re.compile(r"!?\[([^\[\]]*)\]\([^()]*\)|<[^<>]*>|\{:?[^{}]*\}|[*_`#>]")
_ENDS = re.compile(r"(?<=[.!?])\s+|:\s+|\|")


@dataclass(frozen=True, slots=True)
class SentenceRead:
    """A sentence as a customer reads it, and where it begins."""

    place: Place
    words: tuple[str, ...]


def check_reading(lesson: Lesson, shelf: Shelf) -> list[SourceError]:
    """Return a fault for each sentence of a customer's page that is too long, and for a page that is too hard."""
    if lesson.edition != "customer":
        return []
    found = list(sentences(lesson, shelf))
    faults = [
        SourceError(
            sentence.place,
            f"a sentence of {len(sentence.words)} words, “{' '.join(sentence.words[:4])} ...”",
            f"make two of it; customers are asked to read {LONGEST_WORDS} at most",
        )
        for sentence in found
        if len(sentence.words) > LONGEST_WORDS
    ]
    if faults or len(found) < FEWEST_SENTENCES:
        return faults
    hardest = max(found, key=lambda sentence: grade([sentence]))
    mean = sum(len(sentence.words) for sentence in found) / len(found)
    if mean > MEAN_WORDS:
        what, what_to_do = f"its sentences have {mean:.1f} words on average", f"come to {MEAN_WORDS} at most"
        return [SourceError(hardest.place, f"the page is hard to read, {what}", f"{what_to_do}, begin here")]
    years = grade(found) + 5
    if years > OLDEST_YEARS:
        what = f"the page reads at an age of {years:.1f} years, this sentence above all"
        return [SourceError(hardest.place, what, f"write shorter words; {OLDEST_YEARS} is the most")]
    return []


def sentences(lesson: Lesson, shelf: Shelf) -> Iterator[SentenceRead]:
    """Yield the sentences of a page; a colon, a cell and a line of a list end one, a line of a paragraph does not."""
    for first, lines in _paragraphs(lesson):
        text = "\n".join(_MARKS.sub(r"\1", plain_text(shelf, line, lesson.edition)) for line in lines)
        start = 0
        joined = text.replace("\n", " ")
        for match in (*_ENDS.finditer(joined), None):
            part = joined[start : match.start() if match else None]
            words = tuple(_WORD.findall(part))
            if words:
                line = first.line + text.count("\n", 0, start + len(part) - len(part.lstrip()))
                yield SentenceRead(Place(first.file, line), words)
            start = match.end() if match else start


def _paragraphs(lesson: Lesson) -> Iterator[tuple[Place, list[str]]]:
    """Yield the lines that are read in one go: a paragraph, a line of a list, a text of a fence."""
    begun: Place | None = None
    lines: list[str] = []
    for place, line in text_lines(lesson):
        follows = begun is not None and place.line == begun.line + len(lines)
        if begun is not None and (not follows or not line.strip() or _BEGINS.match(line)):
            yield begun, lines
            begun, lines = None, []
        if line.strip():
            begun = begun or place
            lines.append(_BEGINS.sub("", line, count=1))
    if begun is not None:
        yield begun, lines


@cache
def _hyphens() -> Any:
    import pyphen

    return pyphen.Pyphen(lang="en_GB")


@cache
def syllables(word: str) -> int:
    """Return the syllables of a word, by its hyphens and its groups of vowels, whichever are more."""
    plain = word.lower().replace("’", "'").removesuffix("'s")
    groups = len(_VOWELS.findall(plain.removesuffix("e") or plain))
    return max(1, len(_hyphens().positions(plain)) + 1, groups)


def grade(text: Sequence[SentenceRead]) -> float:
    """Return the grade of sentences: 0.39 words a sentence + 11.8 syllables a word - 15.59."""
    words = [word for sentence in text for word in sentence.words]
    return 0.39 * len(words) / len(text) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
