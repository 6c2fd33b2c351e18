"""The proof that a relation's units agree: dimension, and temperature point against difference."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from warmyard.errors import InputError
from warmyard.formula.expression import (
    Binary,
    Call,
    Comparison,
    Joined,
    Minus,
    Name,
    Node,
    Number,
    Test,
    parse_condition,
    parse_relation,
    walk,
)
from warmyard.formula.units import Dimension, describe_dimension, unit_of

KELVIN: Dimension = (("[temperature]", Fraction(1)),)
LARGEST_WHOLE = 100


@dataclass(frozen=True, slots=True)
class Measure:
    """What a value measures; a literal zero fits every dimension."""

    dimension: Dimension = ()
    point: bool = False
    zero: bool = False

    @property
    def words(self) -> str:
        """The measure as a fault names it."""
        if self.point:
            return "a temperature point (degC)"
        return describe_dimension(self.dimension)


class UnitFault(InputError):  # noqa: N818 -- it names a fault of the source, not of the program
    """The units of a relation do not agree; the sentence names both sides."""


PLAIN = Measure()


def measure_of(unit: str) -> Measure:
    """Return what a unit measures; raise InputError when the table has no such unit."""
    found = unit_of(unit)
    return Measure(found.dimension, found.point)


def prove_relation(text: str, units: Mapping[str, str], gives: str) -> None:
    """Raise UnitFault or GrammarError unless the relation gives the unit; units: symbol -> unit."""
    tree = parse_relation(text).tree
    found = _measure(tree, {name: measure_of(unit) for name, unit in units.items()})
    wanted = measure_of(gives)
    if not found.zero and (found.dimension, found.point) != (wanted.dimension, wanted.point):
        says = "a temperature point (degC)" if wanted.point else gives if gives != "1" else "a plain number"
        raise UnitFault(f"the relation gives {found.words}, but gives says {says}")


def prove_condition(text: str, units: Mapping[str, str]) -> None:
    """Raise UnitFault or GrammarError unless both sides of every comparison measure the same."""
    _prove_test(parse_condition(text).tree, {name: measure_of(unit) for name, unit in units.items()})


def find_conversion(text: str) -> str | None:
    """Return a literal that looks like a typed unit conversion (3600, 1000, 273.15), or None."""
    for node in walk(parse_relation(text).tree):
        if isinstance(node, Number) and (
            (node.value > LARGEST_WHOLE and node.value.is_integer()) or node.value in (60.0, 273.15)
        ):
            return node.text
    return None


def _prove_test(test: Test, known: Mapping[str, Measure]) -> None:
    match test:
        case Joined(parts=parts):
            for part in parts:
                _prove_test(part, known)
        case Comparison(left=left, right=right):
            _alike("compares", _measure(left, known), _measure(right, known))


def _alike(verb: str, left: Measure, right: Measure) -> Measure:
    if left.zero and not right.point:
        return right
    if right.zero and not left.point:
        return left
    if (left.dimension, left.point) != (right.dimension, right.point):
        raise UnitFault(f"it {verb} {left.words} with {right.words}")
    return left


def _measure(node: Node, known: Mapping[str, Measure]) -> Measure:
    match node:
        case Number(value=value):
            return Measure(zero=value == 0.0)
        case Name(name="pi"):
            return PLAIN
        case Name(name="zero_celsius"):
            return Measure(KELVIN, point=True)
        case Name(name=name):
            if name not in known:
                raise UnitFault(f"it uses {name}, which is not among its symbols ({', '.join(sorted(known))})")
            return known[name]
        case Minus(of=of):
            return _no_point(_measure(of, known), "turns the sign of")
        case Binary(sign=sign, left=left, right=right):
            return _binary(sign, _measure(left, known), _measure(right, known), right)
        case Call(function=function, arguments=arguments):
            return _call(function, [_measure(one, known) for one in arguments])


def _no_point(measure: Measure, verb: str) -> Measure:
    if measure.point:
        raise UnitFault(f"it {verb} a temperature point; use a difference, or kelvin() for the absolute temperature")
    return measure


def _binary(sign: str, left: Measure, right: Measure, exponent: Node) -> Measure:
    if sign in ("+", "-"):
        return _sum(sign, left, right)
    verb = {"*": "multiplies", "/": "divides with", "**": "raises"}[sign]
    _no_point(left, verb)
    _no_point(right, verb)
    if sign == "**":
        return _power(left, right, exponent)
    return Measure(_times(left.dimension, right.dimension, 1 if sign == "*" else -1))


def _sum(sign: str, left: Measure, right: Measure) -> Measure:
    if left.point and right.point:
        if sign == "+":
            raise UnitFault("it adds two temperature points; subtract them, or add a difference")
        return Measure(KELVIN)
    if left.point or right.point:
        other = right if left.point else left
        if (other.dimension != KELVIN and not other.zero) or (right.point and sign == "-"):
            verb = "adds" if sign == "+" else "subtracts"
            raise UnitFault(f"it {verb} {left.words} and {right.words}")
        return left if left.point else right
    return _alike("adds" if sign == "+" else "subtracts", left, right)


def _power(base: Measure, power: Measure, exponent: Node) -> Measure:
    if power.dimension:
        raise UnitFault(f"its exponent measures {power.words}; an exponent is a plain number")
    if not base.dimension:
        return PLAIN
    if not isinstance(exponent, Number):
        raise UnitFault(f"it raises {base.words} to a power that is not written as a number; divide the unit out first")
    share = Fraction(exponent.text)
    return Measure(tuple((key, size * share) for key, size in base.dimension if size * share))


def _times(left: Dimension, right: Dimension, turn: int) -> Dimension:
    sizes = dict(left)
    for key, size in right:
        sizes[key] = sizes.get(key, Fraction(0)) + turn * size
    return tuple(sorted((key, size) for key, size in sizes.items() if size))


def _call(function: str, given: list[Measure]) -> Measure:
    if function in ("min", "max"):
        found = given[0]
        for one in given[1:]:
            found = _alike("compares", found, one)
        return found
    (one,) = given
    if function == "kelvin":
        if not one.point:
            raise UnitFault(f"kelvin() takes a temperature point in degC, here it has {one.words}")
        return Measure(KELVIN)
    _no_point(one, f"takes {function} of")
    if function == "sqrt":
        return Measure(tuple((key, size / 2) for key, size in one.dimension))
    if one.dimension:
        raise UnitFault(f"it takes {function} of {one.words}; divide the unit out first")
    return PLAIN
