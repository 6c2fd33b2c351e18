"""The value of a formula for what a person gives: defaults filled, refusals in words, the result in its own unit."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from warmyard.errors import InputError
from warmyard.formula.expression import (
    Condition,
    NoValue,
    Relation,
    denominators,
    parse_condition,
    parse_relation,
    relation_of,
    truth_of,
    value_of,
)
from warmyard.formula.model import Formula, Symbol
from warmyard.formula.notation import plain
from warmyard.formula.proof import prove_condition, prove_relation
from warmyard.formula.quantity import plain_number
from warmyard.formula.typed import read_typed
from warmyard.formula.units import show_unit, unit_of
from warmyard.words import spoken

ABSOLUTE_ZERO_CELSIUS = -273.15
# The same sentences serve the command line and the page: WY.formulaWords hands them to the browser.
REFUSALS = (
    "unknown", "missing", "range", "negative", "range-here", "negative-here", "denominator", "no-value", "any-above",
    "plain-number",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Taken:
    """One symbol made ready: how to turn it into SI and what is accepted."""

    symbol: Symbol
    factor: float
    zero: float
    point: bool
    low: float
    high: float
    bounded: bool


@dataclass(frozen=True, slots=True)
class Ready:
    """A formula made ready to be computed many times."""

    formula: Formula
    needs: tuple[Taken, ...]
    relation: Relation
    refuse: tuple[tuple[Condition, str], ...]
    warn: tuple[tuple[Condition, str], ...]
    divides: tuple[tuple[Relation, str], ...]
    factor: float
    zero: float


_READY: dict[int, Ready] = {}


def ready(formula: Formula) -> Ready:
    """Return the formula made ready; raise InputError when it does not parse or names an unknown unit."""
    known = _READY.get(id(formula))
    if known is None or known.formula is not formula:
        # The entry holds the formula itself, so its id cannot come back as another formula's.
        known = _READY[id(formula)] = _made_ready(formula)
    return known


def _made_ready(formula: Formula) -> Ready:
    relation = parse_relation(formula.relation)
    gives = unit_of(formula.gives.unit)
    parts = [(denominator, plain(denominator)) for denominator in denominators(relation.tree)]
    return Ready(
        formula,
        tuple(_taken(symbol) for symbol in formula.needs),
        relation,
        tuple((parse_condition(one.when), one.say) for one in formula.refuse),
        tuple((parse_condition(one.when), one.say) for one in formula.warn),
        tuple((relation_of(node), text) for node, text in parts),
        gives.factor,
        gives.zero,
    )


def _taken(symbol: Symbol) -> Taken:
    unit = unit_of(symbol.unit)
    floor = unit.zero + ABSOLUTE_ZERO_CELSIUS / unit.factor if unit.point else float("-inf")
    low, high = symbol.range or (floor, float("inf"))
    return Taken(symbol, unit.factor, unit.zero, unit.point, low, high, symbol.range is not None)


def compute(formula: Formula, inputs: Mapping[str, float]) -> float:
    """Return the result in the unit of `gives` for inputs in the symbols' own units; refusals raise InputError."""
    form = ready(formula)
    return result_of(form, take(form, inputs))


def warnings_of(formula: Formula, inputs: Mapping[str, float]) -> tuple[str, ...]:
    """Return the sentences to print beside an accepted result."""
    form = ready(formula)
    values = take(form, inputs)
    return tuple(say for condition, say in form.warn if truth_of(condition, values))


def take(form: Ready, inputs: Mapping[str, float]) -> dict[str, float]:
    """Return the inputs in SI with defaults filled; raise InputError for a symbol unknown, missing or out of range."""
    values: dict[str, float] = {}
    for need in form.needs:
        name = need.symbol.symbol
        value = inputs.get(name, need.symbol.default)
        if value is None:
            raise _missing(need.symbol)
        if not need.low <= value <= need.high or (value < 0 and not need.point and not need.symbol.signed):
            raise _outside(need, value)
        values[name] = (value - need.zero) * need.factor
    if not inputs.keys() <= values.keys():
        name = next(name for name in inputs if name not in values)
        raise _refusal("unknown", id=form.formula.id, symbol=name, symbols=", ".join(values))
    return values


def result_of(form: Ready, values: Mapping[str, float]) -> float:
    """Return the result in the unit of `gives` for values in SI that `take` made ready; refusals raise InputError."""
    for condition, say in form.refuse:
        if truth_of(condition, values):
            raise InputError(say)
    for relation, text in form.divides:
        if not value_of(relation, values) > 0:
            raise _refusal("denominator", id=form.formula.id, part=text)
    try:
        return _in_unit(value_of(form.relation, values), form.factor, form.zero)
    except NoValue:
        raise NoValue(_said("no-value", id=form.formula.id)) from None


def _in_unit(value_si: float, factor: float, zero: float) -> float:
    """Return an SI value in a unit; raise NoValue where turning it runs over the largest number."""
    value = value_si / factor + zero
    if not math.isfinite(value):
        raise NoValue(_said("no-finite"))
    return value


def _missing(symbol: Symbol) -> InputError:
    unit = show_unit(symbol.unit) or _said("plain-number")
    return _refusal("missing", symbol=symbol.symbol, means=symbol.means, unit=unit)


def _outside(need: Taken, value: float) -> InputError:
    symbol = need.symbol

    def show(number: float) -> str:
        return f"{plain_number(number)} {show_unit(symbol.unit)}".strip()

    if not need.bounded:
        word = "negative" if not need.point else "range"
        low, high = show(need.low), _said("any-above")
        return _refusal(word, symbol=symbol.symbol, means=symbol.means, value=show(value), low=low, high=high)
    low, high = show(need.low), show(need.high)
    return _refusal("range", symbol=symbol.symbol, means=symbol.means, low=low, high=high, value=show(value))


def _refusal(word: str, **parts: str) -> InputError:
    return InputError(_said(word, **parts))


def _said(word: str, **parts: str) -> str:
    return spoken()[f"formula.{word}"].format_map(parts)


def refusal_words() -> dict[str, str]:
    """Return the sentences with which a formula refuses, for the page."""
    return {word: spoken()[f"formula.{word}"] for word in REFUSALS}


def read_inputs(
    formula: Formula, texts: Mapping[str, str], read: Callable[[str, str], float] = read_typed
) -> dict[str, float]:
    """Return typed texts as numbers in the symbols' units; raise InputError that names the symbol."""
    symbols = {symbol.symbol: symbol for symbol in formula.needs}
    values: dict[str, float] = {}
    for name, text in texts.items():
        if name not in symbols:
            raise _refusal("unknown", id=formula.id, symbol=name, symbols=", ".join(symbols))
        try:
            values[name] = read(text, symbols[name].unit)
        except InputError as problem:
            raise InputError(f"{name}: {problem}") from None
    return values


def compute_slip(formula: Formula, relation: str, inputs: Mapping[str, float]) -> float:
    """Return what a slip's relation gives, in the unit of `gives`, for inputs the formula accepts."""
    form = ready(formula)
    return _in_unit(value_of(parse_relation(relation), take(form, inputs)), form.factor, form.zero)


@lru_cache(maxsize=4096)
def _proved_relation(text: str, units: tuple[tuple[str, str], ...], gives: str) -> Relation:
    prove_relation(text, dict(units), gives)
    return parse_relation(text)


@lru_cache(maxsize=4096)
def _proved_condition(text: str, units: tuple[tuple[str, str], ...]) -> Condition:
    prove_condition(text, dict(units))
    return parse_condition(text)


def _in_si(quantities: Mapping[str, tuple[float, str]]) -> dict[str, float]:
    values = {}
    for name, (value, spelling) in quantities.items():
        unit = unit_of(spelling)
        values[name] = (value - unit.zero) * unit.factor
    return values


def compute_relation(text: str, quantities: Mapping[str, tuple[float, str]], unit: str) -> float:
    """Return a relation's value in a unit; quantities: name -> (value, unit). Its units are proved first."""
    relation = _proved_relation(text, tuple((name, one[1]) for name, one in quantities.items()), unit)
    gives = unit_of(unit)
    return _in_unit(value_of(relation, _in_si(quantities)), gives.factor, gives.zero)


def holds(text: str, quantities: Mapping[str, tuple[float, str]]) -> bool:
    """Return whether a condition holds; quantities: name -> (value, unit). Both sides must measure the same."""
    condition = _proved_condition(text, tuple((name, one[1]) for name, one in quantities.items()))
    return truth_of(condition, _in_si(quantities))
