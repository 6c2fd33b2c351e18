"""A formula on paper: MathML in the author's order, and worked steps with numbers and units put in."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from markupsafe import Markup

from warmyard.formula.breaking import MOST_SIGNS, parts_of_line, signs_in
from warmyard.formula.compute import Ready, compute, ready, take
from warmyard.formula.expression import Call, Name, NoValue, relation_of, value_of
from warmyard.formula.model import Formula
from warmyard.formula.notation import ROUNDS, plain, round_word, symbol_leaf, symbol_mathml, symbol_text
from warmyard.formula.quantity import plain_number, short_number
from warmyard.formula.units import show_unit, si_spelling, unit_of
from warmyard.markup import element, empty_element, joined

Shown = TypeVar("Shown", bound=str)
RESULT_FIGURES = 5
"""Significant figures that the steps show of what is reached on the way."""
FINAL_FIGURES = 3
"""Significant figures of the result, as a person would write it."""
_HOLE = re.compile(r"\{([^{}]*)\}")
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def formula_mathml(formula: Formula) -> Markup:
    """Return the formula as one line of MathML, in the author's order and digits."""
    tree = ready(formula).relation.tree
    return _line(symbol_mathml(formula.gives.symbol), parts_of_line(tree, symbol_leaf, "·"))


def formula_text(formula: Formula) -> str:
    """Return the formula as one line of plain text."""
    return f"{symbol_text(formula.gives.symbol)} = {plain(ready(formula).relation.tree)}"


@dataclass(frozen=True, slots=True)
class Step:
    """One worked step: the quantities put in, or a value reached."""

    quantities: Mapping[str, tuple[float, str]] | None
    value: float = 0.0
    unit: str = ""
    rounding: str = ""
    is_last: bool = False
    in_si: bool = False
    """Only a detour through SI units, for a hand calculator that is given no factor."""


def worked_steps(formula: Formula, inputs: Mapping[str, float]) -> tuple[Markup, ...]:
    """Return the worked solution as HTML lines with MathML: formula, numbers put in, result.

    Inputs are in the symbols' units; raises InputError where the formula refuses them.
    """
    return tuple(line for line, _ in worked_lines(formula, inputs))


def worked_lines(formula: Formula, inputs: Mapping[str, float]) -> tuple[tuple[Markup, bool], ...]:
    """Return the lines of `worked_steps`, each with whether it is only a detour through SI units."""
    gives = symbol_mathml(formula.gives.symbol)
    frame = _frame_of(formula)
    lines = [(frame.line, False)]
    for step in plan_steps(formula, inputs):
        if step.quantities is not None:
            numbers = {name: _mathml_number(*quantity) for name, quantity in step.quantities.items()}
            line = joined(numbers[part] if at % 2 else part for at, part in enumerate(frame.put))
        elif step.rounding:
            inner = _mathml_number(step.value, "1", _rounded)
            line = _block(_equals(gives, _rounding(step.rounding, inner)))
        else:
            line = _block(_equals(gives, _mathml_number(step.value, step.unit, _rounded_for(step))))
        lines.append((line, step.in_si))
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class _Frame:
    """What every working of a formula has in common."""

    formula: Formula
    line: Markup
    put: tuple[Markup, ...]
    """The line into which numbers are put: MathML and, at each second place, the symbol whose number stands there."""


_FRAMES: dict[tuple[object, ...], _Frame] = {}


def _frame_of(formula: Formula) -> _Frame:
    """Return the frame of a formula in the words that are spoken, made once: items draw from it again and again."""
    key = (id(formula), *map(round_word, ROUNDS))
    known = _FRAMES.get(key)
    if known is None or known.formula is not formula:
        # The entry holds the formula itself, so its id cannot come back as another formula's.
        put = tuple(map(Markup, _HOLE.split(working_frames(formula)["put"])))
        known = _FRAMES[key] = _Frame(formula, formula_mathml(formula), put)
    return known


def working_frames(formula: Formula) -> dict[str, str]:
    """Return the lines of the worked steps for the page to put numbers in: {symbol} for each input, {result}, {inner}.

    `put` takes the inputs, `reached` a result; `rounded` is there for whole things only.
    """
    tree = ready(formula).relation.tree
    gives = symbol_mathml(formula.gives.symbol)
    needed = {symbol.symbol for symbol in formula.needs}

    def leaf(name: Name) -> Markup:
        return Markup(f"{{{name.name}}}") if name.name in needed else symbol_mathml(name.name)

    frames = {
        "put": str(_line(gives, parts_of_line(tree, leaf, "×"))),
        "reached": str(_block(_equals(gives, Markup("{result}")))),
    }
    if isinstance(tree, Call) and tree.function in ROUNDS:
        body = _rounding(f"{round_word(tree.function)} ", Markup("{inner}"))
        frames["rounded"] = str(_block(_equals(gives, body)))
    return frames


def _rounding(word: str, inner: Markup) -> Markup:
    return element("mrow", element("mtext", word), element("mo", "("), inner, element("mo", ")"))


def steps_text(formula: Formula, inputs: Mapping[str, float]) -> tuple[str, ...]:
    """Return the worked solution as plain lines, for a console; its result has as many figures as the way there."""
    tree = ready(formula).relation.tree
    gives = symbol_text(formula.gives.symbol)
    lines = [formula_text(formula)]
    for step in plan_steps(formula, inputs):
        if step.quantities is not None:
            lines.append(f"{gives} = {plain(tree, _number_leaf(step.quantities, _text_number, symbol_text))}")
        elif step.rounding:
            lines.append(f"{gives} = {step.rounding}({_text_number(step.value, '1', _rounded)})")
        else:
            lines.append(f"{gives} = {_text_number(step.value, step.unit, _rounded)}")
    return tuple(lines)


def plan_steps(formula: Formula, inputs: Mapping[str, float]) -> list[Step]:
    """Return what the steps show: numbers as given; where that does not compute, shares as decimals, else SI units."""
    result = compute(formula, inputs)
    form = ready(formula)
    si = take(form, inputs)
    given = {
        need.symbol.symbol: (inputs.get(need.symbol.symbol, need.symbol.default or 0.0), need.symbol.unit)
        for need in form.needs
    }
    steps = [Step(given)]
    decimals = {name: _share_as_decimal(one) for name, one in given.items()}
    if not _computes(form, given, result):
        if _computes(form, decimals, result):
            steps.append(Step(decimals))
        else:
            steps += _through_si(form, si, given, result)
    tree = form.relation.tree
    if isinstance(tree, Call) and tree.function in ROUNDS:
        steps = [step for step in steps if step.quantities is not None]
        steps.append(Step(None, _inner_value(form, si), "1", f"{round_word(tree.function)} "))
    return [*steps, Step(None, result, formula.gives.unit, is_last=True)]


def _through_si(
    form: Ready, si: Mapping[str, float], given: Mapping[str, tuple[float, str]], result: float
) -> list[Step]:
    """Return the steps that a hand calculator needs where the given units do not fit together."""
    spelling, value = si_spelling(form.formula.gives.unit), (result - form.zero) * form.factor
    steps = []
    put_in = {name: (si[name], si_spelling(unit)) for name, (_, unit) in given.items()}
    if put_in != given and not (spelling == "1" and _computes(form, given, value)):
        steps.append(Step(put_in, in_si=True))
    return [*steps, Step(None, value, spelling, in_si=True)] if spelling != form.formula.gives.unit else steps


def _inner_value(form: Ready, si: Mapping[str, float]) -> float:
    tree = form.relation.tree
    assert isinstance(tree, Call)
    return value_of(relation_of(tree.arguments[0]), si)


def _computes(form: Ready, quantities: Mapping[str, tuple[float, str]], result: float) -> bool:
    """Say whether the bare numbers, keyed in as they stand, come to the result."""
    try:
        found = value_of(form.relation, {name: value for name, (value, _) in quantities.items()})
    except NoValue:
        return False
    return math.isclose(found, result, rel_tol=1e-9, abs_tol=1e-12)


def _share_as_decimal(quantity: tuple[float, str]) -> tuple[float, str]:
    value, spelling = quantity
    unit = unit_of(spelling)
    return (value * unit.factor, "1") if not unit.dimension else quantity


def _number_leaf(
    quantities: Mapping[str, tuple[float, str]], show: Callable[[float, str], Shown], letter: Callable[[str], Shown]
) -> Callable[[Name], Shown]:
    def leaf(name: Name) -> Shown:
        return show(*quantities[name.name]) if name.name in quantities else letter(name.name)

    return leaf


def _rounded(value: float) -> str:
    """Write a result, which nobody typed."""
    return plain_number(value, RESULT_FIGURES)


def _final(value: float) -> str:
    """Write the result."""
    return plain_number(value, FINAL_FIGURES)


def _rounded_for(step: Step) -> Callable[[float], str]:
    return _final if step.is_last else _rounded


def _mathml_number(value: float, unit: str, write: Callable[[float], str] = short_number) -> Markup:
    digits, _, power = write(abs(value)).partition("×10^")
    shown = show_unit(unit)
    body = element("mn", digits)
    if power:
        # Raised digits and no <msup>: without a font for mathematics that one stands apart, and copied it is 10−6.
        body = element("mrow", body, element("mo", "×"), element("mn", "10" + power.translate(_RAISED)))
    if shown:
        body = element("mrow", body, empty_element("mspace", width="0.2em"), element("mtext", shown))
    if value >= 0:
        return body
    minus = element("mo", "−")
    if write in (_rounded, _final):
        return element("mrow", minus, body)
    return element("mrow", element("mo", "("), minus, body, element("mo", ")"))


def _text_number(value: float, unit: str, write: Callable[[float], str] = short_number) -> str:
    text = f"{write(value)} {show_unit(unit)}".strip().replace("-", "−")
    return f"({text})" if value < 0 and write not in (_rounded, _final) else text


def _equals(left: Markup, right: Markup) -> Markup:
    return joined((left, element("mo", "="), right))


def _line(gives: Markup, parts: list[Markup]) -> Markup:
    """Return a line of MathML, in one piece where it is narrow and else in pieces between which it may break."""
    first = _equals(gives, parts[0])
    if len(parts) == 1 and signs_in(first) <= MOST_SIGNS:
        return _block(first)
    begin = [joined((gives, element("mo", "="))), parts[0]] if signs_in(first) > MOST_SIGNS else [first]
    pieces = [element("math", element("mrow", part), class_="wy-formula") for part in (*begin, *parts[1:])]
    spaced = [Markup(" ") if at % 2 else pieces[at // 2] for at in range(2 * len(pieces) - 1)]
    return element("span", *spaced, class_="wy-formula-line")


def _block(body: Markup) -> Markup:
    return element("math", element("mrow", body), display="block", class_="wy-formula")
