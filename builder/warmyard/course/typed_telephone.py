"""Telephone numbers that somebody typed into a text: the public ones of a country and the company's own are inlines.

A typed number stays as it is when the company or the country changes, and no telephone makes a link of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from warmyard.course.grammar import lines_outside
from warmyard.course.lesson import Lesson
from warmyard.course.rules import NUMBERS
from warmyard.course.texts import texts_at
from warmyard.course.workspace import Workspace
from warmyard.errors import FollowingError, Place, SourceError, SourceKind
from warmyard.formula.units import find_unit
from warmyard.sources import read_document
from warmyard.words import own_words, say

PHONES = ("emergency_phone", "office_phone", "technician_phone")
SHORTEST_OWN = 5
"""A number of the company with fewer digits is a public one, and is looked for as such."""
COMPUTED = frozenset(("keep", "holds", "when", "draw"))
"""Fields of items and formulas that hold conditions and numbers to compute with, no text that a reader sees."""
_INLINE = re.compile(r"\[\[[^\[\]\n]*\]\]")
_WORD_AFTER = re.compile(r"[ \u00a0\u202f]?(%|°?[A-Za-zΩµ][\w°²³/·]*)")
_TWO_DIGITS = re.compile(r"[0-9][^0-9A-Za-z]{0,4}[0-9]")
_BETWEEN = r"[ ()/.\u00a0-]*"
_BEFORE = r"(?<![\w.,])(?:\+[0-9]{1,3}[ .-]*)?(?:\(0\)|\(?0)?"
"""The code of a country and the 0 of the own one may stand before a number, or not."""
_ANY_OTHER = rf"(?<![\w.,(/])(?:\+[0-9]{{2}}|\(?0[0-9]{{2}})(?:{_BETWEEN}[0-9]){{6,}}"
"""What can only be a telephone number: nobody writes so many digits behind a 0 or a + for anything else."""
Owner = tuple[SourceKind, str]
"""The inline that says a number: rule and its id, company and its field."""


class NumbersTyped:
    """Finds telephone numbers in texts; made once for a workspace."""

    def __init__(self, workspace: Workspace) -> None:
        spelled = {_short(number): owner for number, owner in public_numbers(workspace).items()}
        for field in PHONES:
            digits = re.sub(r"\D", "", getattr(workspace.company, field)).lstrip("0")
            if len(digits) >= SHORTEST_OWN:
                spelled.setdefault(_BEFORE + _BETWEEN + _BETWEEN.join(digits) + r"(?![0-9])", ("company", field))
        self._names = {frozenset(_names_in(number)) for number in public_numbers(workspace)}
        self._owners: tuple[Owner | None, ...] = (*spelled.values(), None)
        self._pattern = re.compile("|".join(f"({one})" for one in (*spelled, _ANY_OTHER)), re.IGNORECASE)

    def may_hold(self, text: str) -> bool:
        """Say whether to look closer: most texts hold no two digits together, and not all the words of a number."""
        if _TWO_DIGITS.search(text) is not None:
            return True
        low = text.lower()
        return any(all(name in low for name in names) for names in self._names)

    def find(self, text: str) -> Iterator[tuple[str, Owner | None]]:
        """Yield each number in a text outside inlines as it is typed, and whose it is where one is known."""
        if not self.may_hold(text):
            return
        plain = _INLINE.sub(" ", text)
        for match in self._pattern.finditer(plain):
            after = _WORD_AFTER.match(plain, match.end())
            if after is None or find_unit(after.group(1)) is None:
                yield match.group(0), self._owners[(match.lastindex or 1) - 1]

    def faults(self, text: str, place: Place) -> Iterator[SourceError]:
        """Yield a fault for each number in a text."""
        for typed, owner in self.find(text):
            if owner is None:
                what_to_do = "write [[company emergency_phone]] or whose it is, numbers stand in site_config/"
                yield SourceError(place, f"the telephone number {typed} is typed", what_to_do)
            else:
                kind, name = owner
                what = f"the telephone number {typed} is typed, and {kind} {name} says it"
                yield FollowingError(place, what, f"write [[{kind} {name}]] in its stead", owner)


def public_numbers(workspace: Workspace) -> Mapping[str, Owner]:
    """Return the public numbers of all countries, each with the rule that says it, that of the country chosen first."""
    rules = [rule for rules in workspace.rules_by_country.values() for rule in rules.values() if rule.telephone]
    if not rules:
        return {}
    listed = (one.number for numbers in workspace.public_numbers.values() for one in numbers)
    named = {number: rule.id for rule in rules for number in NUMBERS.findall(str(rule.value))}
    return {number: ("rule", named.get(number, rules[0].id)) for number in (*named, *listed)}


def _names_in(number: str) -> list[str]:
    """Return the digits of a number as they are said."""
    names = dict(zip("0123456789", say({}, "language.digits").split(), strict=False))
    return [names.get(digit, digit) for digit in number]


def _short(number: str) -> str:
    """Return what a public number looks like in digits, close or spaced, and in words."""
    close = "[ -]?".join(map(re.escape, number))
    spoken = r"[ ,-]+".join(map(re.escape, _names_in(number)))
    return rf"(?<![\w.,+*=<>-]){close}(?![\w*=<>]|[.,/-][0-9])|\b{spoken}\b"


def faults_of_typed_telephones(workspace: Workspace) -> dict[SourceKind, list[SourceError]]:
    """Return by kind of source a fault for every telephone number that is typed into what readers see."""
    typed = NumbersTyped(workspace)
    machine = workspace.machine
    spoken_of: dict[SourceKind, tuple[Mapping[str, Any], ...]] = {
        "item": (workspace.items,),
        "procedure": (workspace.procedures,),
        "station": (workspace.stations,),
        "picture": (workspace.pictures,),
        "term": (workspace.terms,),
        "chart": (workspace.charts,),
        "deck": (workspace.decks,),
        "stop": (workspace.shelf.stop_rules,),
        "machine": (
            {question.id: question for question in machine.questions},
            {bar.id: bar for bar in machine.bars},
            *(machine.symptoms, machine.checks, machine.modes, machine.states, machine.preconditions),
            machine.call_outs,
        ),
    }
    found = {
        kind: [fault for things in tables for thing in things.values() for fault in _faults_in(typed, thing)]
        for kind, tables in spoken_of.items()
    }
    words = ((text, machine.word_places.get(name, Place())) for name, text in machine.words.items())
    found["machine"] += [fault for text, place in words for fault in typed.faults(text, place)]
    found["page"] = [fault for lesson in workspace.lessons.values() for fault in _faults_of_page(typed, lesson)]
    found["words"] = list(_faults_of_words(typed, workspace))
    return found


def _faults_of_words(typed: NumbersTyped, workspace: Workspace) -> Iterator[SourceError]:
    own = own_words()
    typing = [name for name, text in workspace.words.items() if own.get(name) != text and any(typed.find(text))]
    if typing:
        document = read_document(workspace.root / "course" / "words.yaml", workspace.root)
        for name in typing:
            yield from typed.faults(workspace.words[name], document.place(name))


def _faults_in(typed: NumbersTyped, thing: Any) -> Iterator[SourceError]:
    for path, text in texts_at(thing):
        if typed.may_hold(text) and COMPUTED.isdisjoint(path.split(".")):
            yield from typed.faults(text, thing.place.within(path))


def _faults_of_page(typed: NumbersTyped, lesson: Lesson) -> Iterator[SourceError]:
    for name in ("title", "description"):
        yield from typed.faults(getattr(lesson.front, name), lesson.place.within(name))
    for at, outcome in enumerate(lesson.front.outcomes):
        yield from typed.faults(outcome.text, lesson.place.within(f"outcomes.{at}.text"))
    for at, line in lines_outside(lesson.body):
        yield from typed.faults(line, Place(lesson.place.file, lesson.body_line + at))
    for block in lesson.blocks:
        yield from _faults_in(typed, block.node)
