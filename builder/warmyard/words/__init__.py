"""Every word that a reader sees, by dotted id: the tool's own English, and what another words file puts over it.

The words of the tool lie beside this file, one file for each kind of reader; a workspace may put others over them in
course/words.yaml. Which ids there are and which {names} each takes is said by the tool's own words alone.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from types import MappingProxyType

from warmyard.errors import InputError, SourceError
from warmyard.sources import Document, join, read_document

PACKAGE = Path(__file__).resolve().parents[1]
OWN = PACKAGE / "words" / "en"
"""The words of pages and papers; a kind of item keeps its own in its folder."""
SHAPES = {
    "language.code": re.compile(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*"),
    "language.direction": re.compile("ltr|rtl"),
}
"""Words that a browser or a printed sheet takes as they are, not as text."""


@cache
def own_words() -> Mapping[str, str]:
    """Return the tool's own words; raise SourceError for a file of ours that cannot be read."""
    found: dict[str, str] = {}
    for path in [*sorted(OWN.glob("*.yaml")), *sorted(PACKAGE.glob("*/kinds/*/words.yaml"))]:
        faults: list[SourceError] = []
        for word, text in gather(read_document(path, PACKAGE), faults):
            if word in found:
                raise ValueError(f"the word {word} stands twice, once in {path}")
            found[word] = text
        if faults:
            raise faults[0]
    return MappingProxyType(found)


def words_over(document: Document, faults: list[SourceError]) -> Mapping[str, str]:
    """Return the tool's words with those of a document over them; one that cannot take its place is a fault.

    It must be known, say something, and take the very {names} of the word that it replaces.
    """
    words = dict(own_words())
    for word, text in gather(document, faults):
        fault = _fault_in(word, text)
        if fault is None:
            words[word] = text
        else:
            faults.append(SourceError(document.place(word), *fault))
    return words


@dataclass(frozen=True, slots=True)
class Language:
    """The language of the words: its tag after BCP 47, and the direction in which it is written, ltr or rtl."""

    code: str
    direction: str

    @property
    def primary(self) -> str:
        """The language without its region, such as en."""
        return self.code.partition("-")[0]

    @property
    def region(self) -> str:
        """The region of the tag, such as GB; nothing where it names none."""
        return next((part for part in self.code.split("-")[1:] if len(part) == 2 and part.isupper()), "")


def language_of(words: Mapping[str, str]) -> Language:
    """Return the language of some words: the one place from which pages and papers take `lang` and `dir`."""
    return Language(say(words, "language.code"), say(words, "language.direction"))


_SPOKEN: ContextVar[Mapping[str, str] | None] = ContextVar("spoken", default=None)


def spoken() -> Mapping[str, str]:
    """Return the words that are spoken here: those of the workspace that something is made of, else the tool's own.

    Units, formulas, drawings and templates lie too deep to be handed them in every call.
    """
    return _SPOKEN.get() or own_words()


@contextmanager
def speaking(words: Mapping[str, str]) -> Iterator[None]:
    """Speak the words of a workspace while something is made of it."""
    before = _SPOKEN.set(words)
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def load_words(path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, str]:
    """Return the tool's words with those of a file over them; without the file, or with one unreadable, the tool's."""
    if not path.exists():
        return own_words()
    try:
        document = read_document(path, root)
    except SourceError as fault:
        faults.append(fault)
        return own_words()
    return words_over(document, faults)


def _fault_in(word: str, text: str) -> tuple[str, str] | None:
    """Return what is wrong with another's word and what to do about it."""
    own = own_words().get(word)
    if own is None:
        near = get_close_matches(word, own_words(), 3, 0.7)
        return f"there is no word {word}", f"did you mean {' or '.join(near)}?" if near else "remove it"
    if not text.strip():
        return f"the word {word} says nothing", f"write it, or remove the line for the tool's own: {own}"
    if word in SHAPES and not SHAPES[word].fullmatch(text):
        return f"the word {word} cannot be {text!r}", "write a tag after BCP 47, such as en or ar, and ltr or rtl"
    try:
        takes = names_in(text)
    except ValueError as problem:
        return f"the word {word} cannot be filled in ({problem})", "write each {name} with both braces"
    wants = names_in(own)
    if takes != wants:
        lost, strange = sorted(wants - takes), sorted(takes - wants)
        said = [f"lost {_braced(lost)}"] * bool(lost) + [f"has {_braced(strange)}, which nothing fills"] * bool(strange)
        return f"the word {word} {' and '.join(said)}", f"use {_braced(sorted(wants)) or 'no name in braces'}"
    return None


def _braced(names: Iterable[str]) -> str:
    return ", ".join(f"{{{name}}}" for name in names)


def names_in(text: str) -> frozenset[str]:
    """Return the {names} that a word takes; raise ValueError for braces that are no name."""
    found = set()
    for _, name, form, conversion in string.Formatter().parse(text):
        if name is None:
            continue
        if not name.isidentifier() or form or conversion:
            raise ValueError(f"{{{name}}} is no name")
        found.add(name)
    return frozenset(found)


def gather(document: Document, faults: list[SourceError]) -> Iterator[tuple[str, str]]:
    """Yield the words of a file by dotted id; a group of words is named fields inside a key."""
    yield from _gather(document, document.value, "", faults)


def _gather(document: Document, value: object, path: str, faults: list[SourceError]) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _gather(document, inner, join(path, key), faults)
    elif isinstance(value, str):
        yield path, value
    elif value is not None or path:
        faults.append(SourceError(document.place(path), f"the word {path or 'list'} is not text", "write it in quotes"))


def one_word(word: str) -> str:
    """Return a word as it is spoken here; raise InputError when a template or a module names one that nobody wrote."""
    text = spoken().get(word)
    if text is None:
        raise InputError(f"there is no word {word}; write it in builder/warmyard/words/en/, or correct who names it")
    return text


def say(words: Mapping[str, str], word: str, **parts: object) -> str:
    """Return a sentence with its parts put in, without the space that an empty part leaves."""
    return " ".join((words.get(word) or one_word(word)).format_map(parts).split())
