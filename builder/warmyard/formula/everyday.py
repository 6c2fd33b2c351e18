"""A formula as it is said on the yard: words for its letters, everyday units, one number for all that never changes.

Nothing is typed here: the words are the symbols' own, the number is computed from the relation and its units.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from warmyard.errors import InputError
from warmyard.formula.compute import Ready, read_inputs, ready, result_of, take
from warmyard.formula.expression import Binary, Call, Minus, Name, Node, NoValue, Number, value_of
from warmyard.formula.fuel import Fuel, fill_from_fuel
from warmyard.formula.model import Formula, Symbol
from warmyard.formula.notation import HIGHEST, ROUNDS, STRENGTH, strength
from warmyard.formula.quantity import plain_number, read_quantity
from warmyard.formula.units import show_unit, unit_of
from warmyard.markup import element, joined
from warmyard.words import say, spoken

FIGURES = 3
"""Significant figures of a number that a person keeps in mind."""
_STIRS = (1.0, 0.96, 1.05, 0.91)
_ALIKE = 1e-9


@dataclass(frozen=True, slots=True)
class Everyday:
    """What stands between the bare numbers and the result, each in its own unit: result = factor * bare relation."""

    form: Ready
    factor: float

    @property
    def is_plain(self) -> bool:
        """Say whether the numbers come to the result as they stand."""
        return math.isclose(self.factor, 1.0, rel_tol=_ALIKE)


_EVERYDAY: dict[int, tuple[Formula, Everyday | None]] = {}


def everyday_of(formula: Formula) -> Everyday | None:
    """Return the one factor that everyday units ask for, made once; None where no single one serves."""
    known = _EVERYDAY.get(id(formula))
    if known is None or known[0] is not formula:
        # The entry holds the formula itself, so its id cannot come back as another formula's.
        known = _EVERYDAY[id(formula)] = (formula, _made_everyday(formula))
    return known[1]


def _made_everyday(formula: Formula) -> Everyday | None:
    form = ready(formula)
    factors = [factor for inputs in _samples(form) if (factor := _factor(form, inputs)) is not None]
    if len(factors) < 2 or any(not math.isclose(one, factors[0], rel_tol=_ALIKE) for one in factors):
        return None
    return Everyday(form, factors[0])


def _samples(form: Ready) -> Iterator[dict[str, float]]:
    """Yield the worked inputs, and others near them: each symbol stirred in another way."""
    usual = read_inputs(
        form.formula, {name: str(one) for name, one in form.formula.worked[0].inputs.items()}, read_quantity
    )
    given = {one.symbol.symbol: usual.get(one.symbol.symbol, one.symbol.default) for one in form.needs}
    known = {name: value for name, value in given.items() if value is not None}
    yield known
    for turn in range(len(_STIRS)):
        yield {name: value * _STIRS[(at + turn) % len(_STIRS)] for at, (name, value) in enumerate(known.items())}


def _factor(form: Ready, inputs: Mapping[str, float]) -> float | None:
    try:
        result = result_of(form, take(form, inputs)) * _share(form.formula.gives)
        bare = value_of(form.relation, {name: value * _share(_symbol(form, name)) for name, value in inputs.items()})
    except (InputError, NoValue):
        return None
    return result / bare if bare and math.isfinite(result / bare) else None


def _symbol(form: Ready, name: str) -> Symbol:
    return next(one.symbol for one in form.needs if one.symbol.symbol == name)


def _share(symbol: Symbol) -> float:
    """Return what a share is multiplied with to be a plain number; 1 for everything else."""
    unit = unit_of(symbol.unit)
    return unit.factor if unit.quantity == "plain-number" else 1.0


def folded(formula: Formula, values: Mapping[str, str]) -> str:
    """Return a product or quotient with what is known put into its factor, as a person would say it; else nothing.

    `values` are texts of symbols, such as those of a fuel: litres per hour = kilowatts ÷ 9.96.
    """
    everyday = everyday_of(formula)
    names = {one.symbol for one in formula.needs}
    left = names - values.keys()
    if everyday is None or len(left) != 1 or not values.keys() <= names:
        return ""
    name = left.pop()
    power = _power_of(everyday.form.relation.tree, name)
    if power not in (1, -1):
        return ""
    known = {
        **{
            one: _share(_symbol(everyday.form, one)) * v
            for one, v in read_inputs(formula, values, read_quantity).items()
        },
        name: 1.0,
    }
    try:
        number = everyday.factor * value_of(everyday.form.relation, known)
    except NoValue:
        return ""
    unit, gives = _said(_symbol(everyday.form, name)), _said(formula.gives)
    return _sentence(gives, unit, number, power)


def said_first(formula: Formula, fuels: Mapping[str, Fuel]) -> Markup:
    """Return what a page says of a formula before its letters: it in words, and for each fuel one short line."""
    lines = []
    for id, fuel in fuels.items():
        try:
            line = folded(formula, fill_from_fuel(fuels, id, formula))
        except InputError:
            line = ""
        lines += [say({}, "everyday.fuel", fuel=fuel.name, line=line)] if line else []
    return joined(element("p", line, class_="wy-said-first") for line in (in_words(formula), *lines))


def _sentence(gives: str, unit: str, number: float, power: int) -> str:
    """Return the line with a number above one: people divide by 10, they do not multiply by 0.1."""
    if math.isclose(number, 1.0, rel_tol=0.02) or gives == unit:
        return ""
    if power < 0:
        return say({}, "everyday.over", gives=gives, unit=unit, number=plain_number(number, FIGURES))
    if number < 1:
        return say({}, "everyday.divided", gives=gives, unit=unit, number=plain_number(1 / number, FIGURES))
    return say({}, "everyday.times", gives=gives, unit=unit, number=plain_number(number, FIGURES))


def _said(symbol: Symbol) -> str:
    return unit_in_words(symbol.unit) or symbol.means


def unit_in_words(spelling: str) -> str:
    """Return a unit as it is said, such as litres per hour; nothing where its parts have no names."""
    above, stroke, below = spelling.partition("/")
    words = spoken()

    def name(part: str, at: int) -> str:
        names = [one.strip() for one in words.get(f"named.{part}", "").split(",")]
        return names[min(at, len(names) - 1)]

    if stroke and above == "1":
        above_said = ""
    else:
        above_said = name(above, 1)
        if not above_said:
            return ""
    if not stroke:
        return above_said
    below_said = name(below, 0) if below != "day" else "day"
    per = name("per", 0)
    return f"{above_said} {per} {below_said}".strip() if below_said else ""


def _power_of(node: Node, name: str) -> int | None:
    """Return the power with which a symbol stands as a factor of a product or quotient; None where it is none."""
    match node:
        case Name(name=own):
            return 1 if own == name else 0
        case Binary(sign="*" | "/" as sign, left=left, right=right):
            first, second = _power_of(left, name), _power_of(right, name)
            return None if first is None or second is None else first + (second if sign == "*" else -second)
    return None if any(one.name == name for one in _names(node)) else 0


def factors_of(formula: Formula) -> dict[str, int]:
    """Return every symbol that is a factor of the whole relation, by its power, 1 or -1; rounding stands aside."""
    tree = ready(formula).relation.tree
    tree = tree.arguments[0] if isinstance(tree, Call) and tree.function in ROUNDS else tree
    powers = {one.symbol: _power_of(tree, one.symbol) for one in formula.needs}
    return {name: power for name, power in powers.items() if power in (1, -1)}


def _names(node: Node) -> Iterator[Name]:
    match node:
        case Name():
            yield node
        case Minus(of=of):
            yield from _names(of)
        case Binary(left=left, right=right):
            yield from _names(left)
            yield from _names(right)
        case Call(arguments=arguments):
            for one in arguments:
                yield from _names(one)


def in_words(formula: Formula, given: Container[str] = ()) -> Markup:
    """Return the formula with words for its letters, one line that breaks anywhere, in the units of its symbols.

    Numbers, factors of units, and usual values that nobody gave stand together as one number.
    """
    form = ready(formula)
    everyday = everyday_of(formula)
    symbols = {one.symbol: one for one in formula.needs}
    usual = {one.symbol: one for one in formula.needs if _is_usual(one) and one.symbol not in given}
    above, below = _flat(form.relation.tree)
    number = everyday.factor if everyday else 1.0
    if everyday:
        above, number = _folded(above, number, 1, usual)
        below, number = _folded(below, number, -1, usual)
    parts = [_product(above, symbols, alone=not below)] if above else []
    if not math.isclose(number, 1.0, rel_tol=_ALIKE):
        kept = number >= 1 or not parts
        text = plain_number(number if kept else 1 / number, FIGURES)
        parts.append(joined((" × " if kept else " ÷ ", text)) if parts else Markup(text))
    if below:
        bottom = _product(below, symbols, alone=False)
        parts += [Markup("" if parts else "1"), Markup(" ÷ "), joined(("(", bottom, ")")) if len(below) > 1 else bottom]
    told = (
        say({}, "everyday.in-si")
        if not everyday
        else _told([one for one in usual.values() if one.symbol in factors_of(formula)])
    )
    note = joined((" ", element("small", told))) if told else Markup("")
    return element("span", _quantity(formula.gives), " = ", *parts, note, class_="wy-in-words")


def _is_usual(symbol: Symbol) -> bool:
    return symbol.default is not None and not (symbol.rule or symbol.sheet)


def _told(usual: list[Symbol]) -> str:
    """Return with which usual values the number was made."""
    values = [f"{one.means} {plain_number(one.default or 0.0)} {show_unit(one.unit)}".strip() for one in usual]
    return say({}, "everyday.with", values=", ".join(values)) if values else ""


def _flat(node: Node) -> tuple[list[Node], list[Node]]:
    """Return what stands above and below the line of a product or quotient."""
    if isinstance(node, Binary) and node.sign in "*/" and node.sign != "**":
        above, below = _flat(node.left)
        more, less = _flat(node.right)
        return (above + more, below + less) if node.sign == "*" else (above + less, below + more)
    return [node], []


def _folded(nodes: list[Node], number: float, power: int, usual: Mapping[str, Symbol]) -> tuple[list[Node], float]:
    """Return the factors that a reader gives, and the number with the others in it."""
    kept: list[Node] = []
    for node in nodes:
        value = node.value if isinstance(node, Number) else None
        if isinstance(node, Name):
            symbol = usual.get(node.name)
            value = math.pi if node.name == "pi" else (symbol.default or 0.0) * _share(symbol) if symbol else None
        if value:
            number *= value**power
        else:
            kept.append(node)
    return kept, number


def _product(nodes: list[Node], symbols: Mapping[str, Symbol], *, alone: bool) -> Markup:
    least = 0 if alone and len(nodes) == 1 else 2
    parts: list[Markup | str] = []
    for at, node in enumerate(nodes):
        parts += [" × "] * bool(at) + [_bracketed(node, symbols, least)]
    return joined(parts)


def _quantity(symbol: Symbol) -> Markup:
    unit = show_unit(symbol.unit)
    return element(
        "span", symbol.means, joined((" ", element("small", f"({unit})"))) if unit else "", class_="wy-quantity"
    )


def _words(node: Node, symbols: Mapping[str, Symbol]) -> Markup:
    match node:
        case Number(text=text):
            return Markup.escape(text)
        case Name(name=name):
            return _quantity(symbols[name]) if name in symbols else Markup.escape("π" if name == "pi" else name)
        case Minus(of=of):
            return joined(("−", _bracketed(of, symbols, 2)))
        case Binary(sign="**", left=left, right=right):
            return joined((_bracketed(left, symbols, HIGHEST), element("sup", _words(right, symbols))))
        case Binary(sign=sign, left=left, right=right):
            own = STRENGTH[sign]
            signs = {"*": " × ", "/": " ÷ ", "+": " + ", "-": " − "}
            return joined(
                (_bracketed(left, symbols, own), signs[sign], _bracketed(right, symbols, own + (sign in "-/")))
            )
        case Call(function=function, arguments=arguments):
            inner = Markup(", ").join(_words(one, symbols) for one in arguments)
            return joined((say({}, f"everyday.{function}"), " (", inner, ")"))


def _bracketed(node: Node, symbols: Mapping[str, Symbol], least: int) -> Markup:
    body = _words(node, symbols)
    return joined(("(", body, ")")) if strength(node) < least else body
