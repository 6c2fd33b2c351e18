"""A survey: what is asked once at its head, and steps of formulas that each take what they need by name.

page/runtime/survey_work.js works it out in the same way; tests/contract/survey.json pins the two.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import msgspec

from warmyard.course.shelf import Shelf
from warmyard.course.values import input_text
from warmyard.errors import InputError, Place
from warmyard.formula.compute import compute, warnings_of
from warmyard.formula.model import Formula, Symbol
from warmyard.formula.quantity import read_quantity
from warmyard.formula.register import Register
from warmyard.formula.typed import read_typed
from warmyard.formula.units import PLAIN, convert

OwnerKind = Literal["head", "step", "sheet", "table", "rule"]
OWNER_KINDS: tuple[OwnerKind, ...] = get_args(OwnerKind)
LOOKED_UP: tuple[OwnerKind, ...] = ("table", "rule")
"""Owners whose value is the same for every machine and every tent."""


class Ask(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something asked once at the head; its unit is that of the first symbol that takes it."""

    name: str
    start: str | int | float
    """First value, as in a worked example: "20 m", "rule ID" or "table ID LINE"."""
    means: str = ""
    """What it is called; where nothing stands, as the first symbol that takes it says."""
    table: str = ""
    """Id of a table whose lines may be chosen; the answers are given for its lowest and highest figure too."""


class AskGroup(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part of the head: the tent, the weather, the people."""

    title: str
    asks: tuple[Ask, ...]


class SurveyStep(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One formula of the survey; a symbol that is not named takes its field of the machine's sheet, or its default."""

    name: str
    formula: str
    takes: dict[str, str] = {}
    """Symbol -> "head NAME", "step NAME", "sheet FIELD", "table ID LINE" or "rule ID"."""
    part: str = ""
    """A title over this step and those that follow."""
    say: str = ""


@dataclass(frozen=True, slots=True)
class Owner:
    """Where an input comes from; of a default the kind is "usual"."""

    kind: OwnerKind | Literal["usual"]
    name: str = ""


@dataclass(frozen=True, slots=True)
class Filled:
    """What a person says: the machine, texts of the head by name, inputs by hand as "step.symbol" -> text."""

    machine: str
    head: Mapping[str, str]
    hand: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class StepResult:
    """What a step came to: a value, a refusal in the formula's words, or what it waits for."""

    value: float | None = None
    refused: str = ""
    waits: tuple[Owner, ...] = ()
    warn: tuple[str, ...] = ()


def owner_of(step: SurveyStep, symbol: Symbol) -> Owner | None:
    """Return where an input of a step comes from, or None when nothing gives it."""
    text = step.takes.get(symbol.symbol)
    if text is None and symbol.sheet:
        return Owner("sheet", symbol.sheet)
    if text is None:
        return None if symbol.default is None else Owner("usual")
    kind, _, name = text.partition(" ")
    known = next((one for one in OWNER_KINDS if one == kind), None)
    return Owner(known, name.strip()) if known and name.strip() else None


def takers(steps: Sequence[SurveyStep], register: Register) -> Iterator[tuple[SurveyStep, Formula, Symbol, Owner]]:
    """Yield every input that has an owner, step by step; a step without its formula has none."""
    for step in steps:
        formula = register.formulas.get(step.formula)
        for symbol in formula.needs if formula else ():
            owner = owner_of(step, symbol)
            if formula and owner:
                yield step, formula, symbol, owner


def first_takers(steps: Sequence[SurveyStep], register: Register) -> Mapping[str, Symbol]:
    """Return name in the head -> the first symbol that takes it: it says unit and words."""
    found: dict[str, Symbol] = {}
    for _, _, symbol, owner in takers(steps, register):
        if owner.kind == "head":
            found.setdefault(owner.name, symbol)
    return found


def start_of(shelf: Shelf, head: Sequence[AskGroup], machine: str, place: Place) -> Filled:
    """Return what stands in the survey before anybody writes into it; raise SourceError for a start that is nothing."""
    texts = {ask.name: input_text(shelf, ask.start, place) for group in head for ask in group.asks}
    return Filled(machine, texts, {})


def work_survey(shelf: Shelf, steps: Sequence[SurveyStep], given: Filled, place: Place) -> Mapping[str, StepResult]:
    """Return what every step comes to, in their order; nothing is rounded between them.

    A step that refuses, or that cannot read what was typed, lets the later ones wait for it. Raises SourceError where
    a sheet, a table or a rule has no such value.
    """
    work = _Work(shelf, given, first_takers(steps, shelf.register), place)
    for step in steps:
        work.results[step.name] = work.result(step, shelf.register.formulas[step.formula])
        work.units[step.name] = shelf.register.formulas[step.formula].gives.unit
    return work.results


class _WaitingError(Exception):
    """What an input rests on is not there."""

    def __init__(self, *waits: Owner) -> None:
        super().__init__()
        self.waits = waits


class _Work:
    """The results so far."""

    def __init__(self, shelf: Shelf, given: Filled, asked: Mapping[str, Symbol], place: Place) -> None:
        self.shelf = shelf
        self.given = given
        self.asked = asked
        self.place = place
        self.results: dict[str, StepResult] = {}
        self.units: dict[str, str] = {}

    def result(self, step: SurveyStep, formula: Formula) -> StepResult:
        values: dict[str, float] = {}
        waits: list[Owner] = []
        try:
            for symbol in formula.needs:
                try:
                    value = self._input(step, symbol)
                except _WaitingError as waiting:
                    waits += waiting.waits
                    continue
                if value is not None:
                    values[symbol.symbol] = value
            if waits:
                return StepResult(waits=tuple(dict.fromkeys(waits)))
            return StepResult(compute(formula, values), warn=warnings_of(formula, values))
        except InputError as refusal:
            return StepResult(refused=str(refusal))

    def _input(self, step: SurveyStep, symbol: Symbol) -> float | None:
        """Return an input in the unit of its symbol, None for a default; what was written by hand comes first."""
        by_hand = self.given.hand.get(f"{step.name}.{symbol.symbol}")
        if by_hand is not None:
            try:
                return read_typed(by_hand, symbol.unit)
            except InputError as problem:
                raise InputError(f"{symbol.symbol}: {problem}") from None
        owner = owner_of(step, symbol)
        if owner is None or owner.kind == "usual":
            return None
        if owner.kind == "head":
            return self._from_head(owner, symbol)
        if owner.kind == "step":
            return self._from_step(owner, symbol)
        name = f"{self.given.machine}.{owner.name}" if owner.kind == "sheet" else owner.name
        return read_quantity(input_text(self.shelf, f"{owner.kind} {name}", self.place), symbol.unit)

    def _from_head(self, owner: Owner, symbol: Symbol) -> float:
        unit = self.asked[owner.name].unit
        try:
            return convert(read_typed(self.given.head.get(owner.name, ""), unit), unit, symbol.unit)
        except InputError:
            raise _WaitingError(owner) from None

    def _from_step(self, owner: Owner, symbol: Symbol) -> float:
        before = self.results.get(owner.name)
        if before is None or before.value is None:
            raise _WaitingError(*(before.waits if before and before.waits else (owner,)))
        return convert(before.value, self.units.get(owner.name, PLAIN), symbol.unit)
