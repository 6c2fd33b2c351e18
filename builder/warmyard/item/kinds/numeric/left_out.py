"""The slip of somebody who left a factor out of a product or quotient: derived from the relation, typed by nobody."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from warmyard.errors import InputError
from warmyard.formula.compute import Ready
from warmyard.formula.everyday import factors_of
from warmyard.formula.expression import value_of
from warmyard.formula.model import Symbol
from warmyard.formula.units import unit_of
from warmyard.words import say

ID = "without-"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """One factor that may be left out: its symbol, what to say, and what the relation gives without it."""

    symbol: str
    say: str
    find: Callable[[Mapping[str, float], Mapping[str, float]], float]


def left_out(form: Ready, given: Mapping[str, str]) -> Iterator[LeftOut]:
    """Yield a slip for each factor that is given, `given` saying symbol -> the unit in which its number is read.

    Left out, a factor is one: one of the unit that its number has, and a share is the whole.
    """
    factors = factors_of(form.formula)
    for need in form.formula.needs:
        if need.symbol in factors and need.symbol in given:
            yield LeftOut(need.symbol, _said(need), _without(form, need.symbol, given[need.symbol]))


def _without(form: Ready, symbol: str, spelling: str) -> Callable[[Mapping[str, float], Mapping[str, float]], float]:
    unit = unit_of(spelling)
    one = 1.0 if unit.quantity == "plain-number" else unit.factor

    def find(values: Mapping[str, float], inputs: Mapping[str, float]) -> float:
        if inputs[symbol] == one:
            raise InputError("it is one already")
        return value_of(form.relation, {**inputs, symbol: one}) / form.factor + form.zero

    return find


def _said(symbol: Symbol) -> str:
    bare = symbol.means.split(" ", 1)[0] in say({}, "marking.left_out_bare").split(", ")
    return say({}, "marking.left_out_plain" if bare else "marking.left_out", factor=symbol.means)
