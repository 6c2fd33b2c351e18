"""Every fault of the formulas: units, words, boundary values, worked values, round trips."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from itertools import combinations, product

from warmyard.errors import FollowingError, InputError, SourceError
from warmyard.formula.compute import Ready, compute, compute_slip, read_inputs, ready, take
from warmyard.formula.expression import NoValue, parse_condition, parse_relation, truth_of, value_of
from warmyard.formula.model import Formula, Symbol, Worked
from warmyard.formula.proof import find_conversion, prove_condition, prove_relation
from warmyard.formula.quantity import plain_number, read_quantity, show
from warmyard.formula.units import describe_dimension, find_unit, from_si, to_si

RESERVED = ("pi", "zero_celsius", "fuel", "sheet")
ROUND_TRIP_WITHIN = 1e-9

Reporter = Callable[[str, str, str], None]
"""Notes a fault: part of the formula, what, what to do."""


def check_formulas(formulas: Mapping[str, Formula]) -> list[SourceError]:
    """Return every fault of every formula; a formula whose units fail is not computed."""
    faults: list[SourceError] = []
    for formula in formulas.values():
        found = check_formula(formula)
        if not found:
            found += _check_inverses(formula, formulas)
        faults += found
    return faults


def check_formula(formula: Formula) -> list[SourceError]:
    """Return every fault of one formula by itself: symbols, units, boundary values, worked values, slips."""
    faults: list[SourceError] = []
    report = _reporter(formula, faults)
    _check_symbols(formula, report)
    if not faults:
        _check_units(formula, report)
    if not faults and _compare_worked(formula, report):
        _check_boundaries(formula, report)
        _check_slips(formula, report)
    return faults


def _reporter(formula: Formula, faults: list[SourceError]) -> Reporter:
    def report(part: str, what: str, what_to_do: str) -> None:
        faults.append(SourceError(formula.place.within(part), what, what_to_do, loses=formula.id))

    return report


def _check_symbols(formula: Formula, report: Reporter) -> None:
    seen: set[str] = set()
    for at, symbol in enumerate(formula.needs):
        part = f"needs.{at}"
        if symbol.symbol in seen or symbol.symbol == formula.gives.symbol or symbol.symbol in RESERVED:
            report(part, f"the symbol {symbol.symbol} stands twice or is reserved", "name it otherwise")
        seen.add(symbol.symbol)
        _check_symbol(part, symbol, report)
    _check_symbol("gives", formula.gives, report)
    if not formula.worked:
        report("worked", f"{formula.id} has no worked value", "add one from outside with its source")
    elif not any(one.outside for one in formula.worked):
        report("worked", f"no worked value of {formula.id} comes from outside", "add one and mark it outside: true")


def _check_symbol(part: str, symbol: Symbol, report: Reporter) -> None:
    unit = find_unit(symbol.unit)
    if unit is None:
        todo = "use a spelling of the closed table, such as bar, m3/h or W/m2K"
        report(f"{part}.unit", f"there is no unit {symbol.unit}", todo)
    if not symbol.means.strip():
        report(part, f"the symbol {symbol.symbol} has no meaning in words", "say what it is")
    if part == "gives":
        return
    if symbol.range is None:
        report(part, f"the symbol {symbol.symbol} has no range", "give the lowest and highest value that make sense")
        return
    low, high = symbol.range
    if low > high:
        report(f"{part}.range", f"the range of {symbol.symbol} runs backwards", "write the lower value first")
    if unit and not unit.point and low < 0 and not symbol.signed:
        todo = "start it at 0, or mark the symbol signed: true"
        report(f"{part}.range", f"the range of {symbol.symbol} holds negative values", todo)
    if symbol.default is not None and not symbol.rule and not low <= symbol.default <= high:
        report(part, f"the default of {symbol.symbol} lies outside its range", "correct one of them")
    if symbol.default is not None and not symbol.source and not symbol.rule:
        report(part, f"the default of {symbol.symbol} has no source", "name where it comes from")


def _check_units(formula: Formula, report: Reporter) -> None:
    units = {symbol.symbol: symbol.unit for symbol in formula.needs}
    sound = _try(partial(prove_relation, formula.relation, units, formula.gives.unit), "relation", report)
    for name in ("refuse", "warn"):
        for at, condition in enumerate(getattr(formula, name)):
            _try(partial(prove_condition, condition.when, units), f"{name}.{at}", report)
    for at, slip in enumerate(formula.slips if sound else ()):  # else each would repeat the relation's fault
        _try(partial(prove_relation, slip.relation, units, formula.gives.unit), f"slips.{at}", report)
    if not sound:
        return
    try:
        used = set(parse_relation(formula.relation).names)
        conversion = find_conversion(formula.relation)
        for condition in (*formula.refuse, *formula.warn):  # a bound of a warning is a symbol like any other
            used.update(parse_condition(condition.when).names)
    except InputError:
        return
    for at, symbol in enumerate(formula.needs):
        if symbol.symbol not in used:
            report(f"needs.{at}", f"the relation never uses {symbol.symbol}", "use it, or remove the symbol")
    if conversion:
        todo = "leave the units to the register, or make it a symbol with unit, default and source"
        report("relation", f"{conversion} looks like a unit conversion", todo)
    if "zero_celsius" in formula.relation:
        report("relation", "only a slip may use zero_celsius", "use a difference, or kelvin()")


def _try(prove: Callable[[], None], part: str, report: Reporter) -> bool:
    try:
        prove()
    except InputError as problem:
        report(part, str(problem), "correct the relation or the unit")
        return False
    return True


def _check_boundaries(formula: Formula, report: Reporter) -> None:
    """Look at boundary values two at a time for an accepted input with no finite real number."""
    form = ready(formula)
    for inputs in boundary_inputs(formula):
        problem = _accepted_without_value(form, inputs)
        if problem:
            shown = ", ".join(f"{name} = {plain_number(value)}" for name, value in inputs.items())
            report(
                "relation", f"{formula.id} accepts {shown} and {problem}", "add a refusal in words, or narrow a range"
            )
            return


def _accepted_without_value(form: Ready, inputs: Mapping[str, float]) -> str | None:
    try:
        values = take(form, inputs)
    except InputError:
        return None
    try:
        if any(truth_of(condition, values) for condition, _ in form.refuse):
            return None
    except NoValue:
        return "a refusal cannot be decided"
    try:
        for relation, text in form.divides:
            if not value_of(relation, values) > 0:
                return f"divides by {text}, which is not above 0"
        value_of(form.relation, values)
    except NoValue:
        return "gives no finite number"
    return None


def boundary_inputs(formula: Formula) -> Iterator[dict[str, float]]:
    """Yield inputs with every two symbols at their boundaries, the others as in the first worked value."""
    usual = read_inputs(formula, {name: str(value) for name, value in formula.worked[0].inputs.items()}, read_quantity)
    for symbol in formula.needs:
        if symbol.symbol not in usual and symbol.default is not None:
            usual[symbol.symbol] = symbol.default
    edges = {symbol.symbol: _edges(symbol, usual, formula.needs) for symbol in formula.needs}
    names = list(edges)
    for first, second in combinations(names, 2):
        for one, other in product(edges[first], edges[second]):
            yield {**usual, first: one, second: other}
    if len(names) == 1:
        for one in edges[names[0]]:
            yield {**usual, names[0]: one}


def _edges(symbol: Symbol, usual: Mapping[str, float], needs: tuple[Symbol, ...]) -> list[float]:
    """Return both ends of a range, zero, next to the ends, and where it meets another symbol of the same kind."""
    low, high = symbol.range or (0.0, 1.0)
    step = (high - low) * 1e-9
    edges = [low, low + step, high, high - step, 0.0]
    unit = find_unit(symbol.unit)
    for other in needs:
        second = find_unit(other.unit)
        if unit and second and other.symbol != symbol.symbol and unit.dimension == second.dimension:
            others = [*(other.range or ()), usual.get(other.symbol, 0.0)]
            edges += [from_si(to_si(value, other.unit), symbol.unit) for value in others]
    return [edge for edge in dict.fromkeys(edges) if low <= edge <= high]


def _compare_worked(formula: Formula, report: Reporter) -> bool:
    """Report each worked value that the relation does not meet; return whether all their inputs can be read."""
    readable = True
    for at, worked in enumerate(formula.worked):
        part = f"worked.{at}"
        try:
            found = compute(
                formula, read_inputs(formula, {key: str(one) for key, one in worked.inputs.items()}, read_quantity)
            )
            allowed = allowed_difference(worked.within, worked.result)
        except InputError as problem:
            report(part, f"the worked value cannot be computed: {problem}", "correct its inputs or its tolerance")
            readable = False
            continue
        if not abs(found - worked.result) <= allowed:
            report(part, _differs(formula, worked, found), "correct the relation, a default or the worked value")
    return readable


def _differs(formula: Formula, worked: Worked, found: float) -> str:
    shown, here = show(worked.result, formula.gives.unit, 4), show(found, formula.gives.unit, 4)
    return f"the worked value of {worked.source} is {shown}, the relation gives {here}"


def allowed_difference(within: str, value: float) -> float:
    """Return a tolerance such as "0.1 %" (of the value) or "0.05" (absolute) as an absolute difference."""
    text, percent = within.strip(), False
    if text.endswith("%"):
        text, percent = text[:-1].strip(), True
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not (math.isfinite(number) and number >= 0):
        raise InputError(f"the tolerance {within!r} is neither a share such as 1 % nor a number such as 0.5")
    return abs(value) * number / 100 if percent else number


def _check_slips(formula: Formula, report: Reporter) -> None:
    """Every slip must come to another answer than the formula at the worked values."""
    ids: set[str] = set()
    for at, slip in enumerate(formula.slips):
        if slip.id in ids:
            report(f"slips.{at}", f"the slip {slip.id} stands twice", "give each its own id")
        ids.add(slip.id)
        if all(_same_answer(formula, slip.relation, worked) for worked in formula.worked):
            todo = "correct it, or add a worked value at which they differ"
            report(f"slips.{at}", f"the slip {slip.id} never differs from the right answer", todo)


def _same_answer(formula: Formula, relation: str, worked: Worked) -> bool:
    inputs = read_inputs(formula, {key: str(one) for key, one in worked.inputs.items()}, read_quantity)
    try:
        right, wrong = compute(formula, inputs), compute_slip(formula, relation, inputs)
    except InputError:
        return True
    return math.isclose(right, wrong, rel_tol=1e-6)


def _check_inverses(formula: Formula, formulas: Mapping[str, Formula]) -> list[SourceError]:
    """Return why a formula is not the inverse of those that it names; their own faults come first."""
    return [
        FollowingError(formula.place.within(f"inverse_of.{at}"), *problem, ("formula", other), loses=formula.id)
        for at, other in enumerate(formula.inverse_of)
        if (problem := _why_no_inverse(formula, other, formulas.get(other)))
    ]


def _why_no_inverse(formula: Formula, id: str, other: Formula | None) -> tuple[str, str] | None:
    """Return what is wrong with one inverse and what to do, or None."""
    if other is None:
        return f"there is no formula {id} to be the inverse of", "correct the id"
    if formula.id not in other.inverse_of:
        return f"{id} does not name {formula.id} as its inverse", "name it there too"
    for worked in formula.worked:
        problem = _round_trip(formula, other, worked)
        if problem:
            return f"the round trip through {id} fails: {problem}", "correct one of the two"
    return None


def _round_trip(formula: Formula, other: Formula, worked: Worked) -> str | None:
    """Return why feeding this formula's answer to the other does not give this one's input back, or None."""
    inputs = read_inputs(formula, {key: str(one) for key, one in worked.inputs.items()}, read_quantity)
    known = {symbol.symbol: (inputs.get(symbol.symbol, symbol.default), symbol.unit) for symbol in formula.needs}
    known[formula.gives.symbol] = (compute(formula, inputs), formula.gives.unit)
    values = {name: to_si(value, unit) for name, (value, unit) in known.items() if value is not None}
    back: dict[str, float] = {}
    for symbol in other.needs:
        text = formula.returns.get(symbol.symbol, symbol.symbol)
        try:
            back[symbol.symbol] = from_si(value_of(parse_relation(text), values), symbol.unit)
        except InputError as problem:
            return f"{symbol.symbol} is not known ({problem})"
    try:
        found = to_si(compute(other, back), other.gives.unit)
        wanted = value_of(parse_relation(formula.returns.get(other.gives.symbol, other.gives.symbol)), values)
    except InputError as problem:
        return str(problem)
    if not math.isclose(found, wanted, rel_tol=ROUND_TRIP_WITHIN, abs_tol=1e-12):
        unit = describe_dimension(found_unit.dimension) if (found_unit := find_unit(other.gives.unit)) else ""
        return f"{other.gives.symbol} was {plain_number(wanted)} {unit} and came back as {plain_number(found)}"
    return None
