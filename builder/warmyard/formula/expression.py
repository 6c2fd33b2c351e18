"""A line of text into a checked tree, and the tree into a value.

Grammar: + - * / **, sqrt exp ln log10 min max ceil floor kelvin, pi, names, numbers; conditions add < <= > >= == !=
with `and`, `or`. Nothing else parses. The tree keeps the author's digits, order and brackets.
A slip may also name zero_celsius, the point 0 degC, to say what comes of taking a reading for a difference.
"""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import CodeType

from warmyard.errors import InputError
from warmyard.words import say

LONGEST_TEXT = 500
MOST_NODES = 200
FUNCTIONS = {"sqrt": 1, "exp": 1, "ln": 1, "log10": 1, "min": 0, "max": 0, "ceil": 1, "floor": 1, "kelvin": 1}
"""Function -> how many arguments; 0 means two or more."""
CONSTANTS = {"pi": math.pi, "zero_celsius": 0.0}
KELVIN_AT_ZERO_CELSIUS = 273.15
_DECIMALS_KEPT = 1e9


@dataclass(frozen=True, slots=True)
class Number:
    """A literal with the author's digits."""

    value: float
    text: str
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Name:
    """A symbol, or one of the constants pi and zero_celsius."""

    name: str
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Minus:
    """A leading minus."""

    of: Node
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Binary:
    """One of + - * / **."""

    sign: str
    left: Node
    right: Node
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Call:
    """A function of the grammar."""

    function: str
    arguments: tuple[Node, ...]
    bracketed: bool = False


@dataclass(frozen=True, slots=True)
class Comparison:
    """A comparison of two values."""

    sign: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Joined:
    """Comparisons joined by `and` or `or`."""

    word: str
    parts: tuple[Test, ...]


Node = Number | Name | Minus | Binary | Call
Test = Comparison | Joined


class GrammarError(InputError):
    """The text is not a relation or a condition of the grammar; the sentence says what is allowed."""


class NoValue(InputError):  # noqa: N818 -- it is an answer: there is no value
    """The relation has no finite real value for these numbers."""


@dataclass(frozen=True, slots=True)
class Relation:
    """A checked relation, ready to be evaluated, printed or proved."""

    text: str
    tree: Node
    names: tuple[str, ...]
    function: Callable[[Mapping[str, float]], float]


@dataclass(frozen=True, slots=True)
class Condition:
    """A checked condition."""

    text: str
    tree: Test
    names: tuple[str, ...]
    function: Callable[[Mapping[str, float]], float]


_SIGNS: dict[type[ast.AST], str] = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}
_COMPARISONS: dict[type[ast.AST], str] = {
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.Eq: "==",
    ast.NotEq: "!=",
}
_DIGITS = re.compile(r"[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]{1,3})?\Z")
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(_[A-Za-z0-9]+)*\Z")
ALLOWED = "write only + - * / **, sqrt exp ln log10 min max ceil floor kelvin, pi, symbols and numbers"


@lru_cache(maxsize=4096)
def parse_relation(text: str) -> Relation:
    """Return a relation as a checked tree; raise GrammarError for anything outside the grammar."""
    tree = _Reader(text).node(_parsed(text))
    return Relation(text, tree, tuple(sorted(names_in(tree))), _compiled(python_text(tree)))


def relation_of(node: Node) -> Relation:
    """Return a part of a tree as a relation of its own."""
    return Relation("", node, tuple(sorted(names_in(node))), _compiled(python_text(node)))


@lru_cache(maxsize=4096)
def parse_condition(text: str) -> Condition:
    """Return a condition as a checked tree; raise GrammarError for anything outside the grammar."""
    tree = _Reader(text).test(_parsed(text))
    return Condition(text, tree, tuple(sorted(names_in(tree))), _compiled(python_text(tree)))


def parts_joined_by_and(condition: Condition) -> tuple[Condition, ...]:
    """Return the conditions that must all hold for this one to hold; itself where none is joined by `and`."""
    match condition.tree:
        case Joined(word="and", parts=parts):
            return tuple(one for part in parts for one in parts_joined_by_and(_condition_of(part)))
    return (condition,)


@lru_cache(maxsize=4096)
def _condition_of(tree: Test) -> Condition:
    return Condition("", tree, tuple(sorted(names_in(tree))), _compiled(python_text(tree)))


def _parsed(text: str) -> ast.expr:
    if len(text) > LONGEST_TEXT:
        raise GrammarError(f"the relation has {len(text)} characters; keep below {LONGEST_TEXT}")
    if not text.isascii() or "\n" in text.strip() or "#" in text:
        raise GrammarError(f"the relation holds a character that is not allowed; {ALLOWED}")
    try:
        return ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError):
        raise GrammarError(f"“{text[:60]}” is not a relation; {ALLOWED}") from None


class _Reader:
    """Turns Python's tree into ours, refusing every node that is not on the list."""

    def __init__(self, text: str) -> None:
        self.text, self.count = text.strip(), 0

    def refuse(self, node: ast.AST) -> GrammarError:
        piece = ast.get_source_segment(self.text, node) or type(node).__name__
        return GrammarError(f"“{piece[:60]}” is not allowed in a relation; {ALLOWED}")

    def bracketed(self, node: ast.expr) -> bool:
        before = self.text[: node.col_offset].rstrip()
        after = self.text[node.end_col_offset or 0 :].lstrip()
        return before.endswith("(") and after.startswith(")")

    def node(self, node: ast.expr, *, of_call: bool = False) -> Node:
        self.count += 1
        if self.count > MOST_NODES:
            raise GrammarError(f"the relation has more than {MOST_NODES} parts; split it into two formulas")
        bracketed = not of_call and self.bracketed(node)
        if isinstance(node, ast.Constant):
            return self.number(node, bracketed)
        if isinstance(node, ast.Name) and _NAME.match(node.id) and node.id not in FUNCTIONS:
            return Name(node.id, bracketed)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            return Minus(self.node(node.operand), bracketed)
        if isinstance(node, ast.BinOp) and type(node.op) in _SIGNS:
            return Binary(_SIGNS[type(node.op)], self.node(node.left), self.node(node.right), bracketed)
        if isinstance(node, ast.Call):
            return self.call(node, bracketed)
        raise self.refuse(node)

    def number(self, node: ast.Constant, bracketed: bool) -> Number:
        text = ast.get_source_segment(self.text, node) or ""
        if type(node.value) not in (int, float) or not _DIGITS.match(text) or not math.isfinite(float(text)):
            raise self.refuse(node)
        return Number(float(text), text, bracketed)

    def call(self, node: ast.Call, bracketed: bool) -> Call:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        count = len(node.args)
        if name not in FUNCTIONS or node.keywords or any(isinstance(one, ast.Starred) for one in node.args):
            raise self.refuse(node)
        if (count < 2) if FUNCTIONS[name] == 0 else (count != FUNCTIONS[name]):
            wanted = "two or more values" if FUNCTIONS[name] == 0 else "one value"
            raise GrammarError(f"{name} takes {wanted}, here it has {count}; correct the brackets")
        return Call(name, tuple(self.node(one, of_call=count == 1) for one in node.args), bracketed)

    def test(self, node: ast.expr) -> Test:
        if isinstance(node, ast.BoolOp):
            word = "and" if isinstance(node.op, ast.And) else "or"
            return Joined(word, tuple(self.test(part) for part in node.values))
        if isinstance(node, ast.Compare) and all(type(sign) in _COMPARISONS for sign in node.ops):
            values = [self.node(part) for part in (node.left, *node.comparators)]
            pairs = zip(node.ops, values, values[1:], strict=False)
            parts = tuple(Comparison(_COMPARISONS[type(sign)], left, right) for sign, left, right in pairs)
            return parts[0] if len(parts) == 1 else Joined("and", parts)
        raise GrammarError("a condition must compare two values, such as dT >= P/H; join several with and, or")


def walk(node: Node | Test) -> Iterator[Node | Test]:
    """Yield a node and everything in it, in the author's order."""
    yield node
    for part in parts_of(node):
        yield from walk(part)


def parts_of(node: Node | Test) -> tuple[Node | Test, ...]:
    """Return the direct parts of a node."""
    match node:
        case Minus(of=of):
            return (of,)
        case Binary(left=left, right=right) | Comparison(left=left, right=right):
            return (left, right)
        case Call(arguments=arguments):
            return arguments
        case Joined(parts=parts):
            return parts
    return ()


def names_in(node: Node | Test) -> set[str]:
    """Return the symbols of a tree; pi and zero_celsius are none."""
    return {part.name for part in walk(node) if isinstance(part, Name) and part.name not in CONSTANTS}


def denominators(node: Node) -> tuple[Node, ...]:
    """Return everything that the tree divides by and that holds a symbol, in the author's order."""
    found = [part.right for part in walk(node) if isinstance(part, Binary) and part.sign == "/"]
    return tuple(one for one in found if names_in(one))


def python_text(node: Node | Test) -> str:
    """Return the tree as Python over a mapping `v`; only what the tree can hold can come out."""
    match node:
        case Number(value=value):
            return repr(value)
        case Name(name=name):
            return name if name in CONSTANTS else f'v["{name}"]'
        case Minus(of=of):
            return f"(-{python_text(of)})"
        case Binary(sign="**", left=left, right=right):
            return f"power({python_text(left)}, {python_text(right)})"
        case Binary(sign=sign, left=left, right=right) | Comparison(sign=sign, left=left, right=right):
            return f"({python_text(left)} {sign} {python_text(right)})"
        case Call(function=function, arguments=arguments):
            return f"{function}({', '.join(python_text(one) for one in arguments)})"
        case Joined(word=word, parts=parts):
            return "(" + f" {word} ".join(python_text(one) for one in parts) + ")"


def _rounded_up(value: float) -> float:
    # Whole things are counted after rounding to 9 decimals: 315/(45*0.7) is 10 heaters, not 11.
    return float(math.ceil(math.floor(value * _DECIMALS_KEPT + 0.5) / _DECIMALS_KEPT))


def _rounded_down(value: float) -> float:
    return float(math.floor(math.floor(value * _DECIMALS_KEPT + 0.5) / _DECIMALS_KEPT))


_MEANINGS = {
    "__builtins__": {},
    **CONSTANTS,
    "sqrt": math.sqrt,
    "exp": math.exp,
    "ln": math.log,
    "log10": math.log10,
    "min": min,
    "max": max,
    "ceil": _rounded_up,
    "floor": _rounded_down,
    "power": math.pow,
    "kelvin": lambda celsius: celsius + KELVIN_AT_ZERO_CELSIUS,
}


def _compiled(text: str) -> Callable[[Mapping[str, float]], float]:
    # The text was printed from the checked tree above, so it can name nothing but these meanings.
    code: CodeType = compile(f"lambda v: {text}", "<relation>", "eval")
    function: Callable[[Mapping[str, float]], float] = eval(code, dict(_MEANINGS))
    return function


def value_of(relation: Relation, values_si: Mapping[str, float]) -> float:
    """Return the value of a parsed relation for values in SI (temperature points in degrees Celsius)."""
    try:
        value = relation.function(values_si)
    except KeyError as missing:
        raise InputError(f"the symbol {missing.args[0]} has no value; give it one") from None
    except (ArithmeticError, ValueError):
        value = math.nan
    if not math.isfinite(value):
        raise NoValue(say({}, "formula.no-finite"))
    return value


def truth_of(condition: Condition, values: Mapping[str, float]) -> bool:
    """Return whether a parsed condition holds for values in SI."""
    try:
        return bool(condition.function(values))
    except KeyError as missing:
        raise InputError(f"the symbol {missing.args[0]} has no value; give it one") from None
    except (ArithmeticError, ValueError):
        raise NoValue(say({}, "formula.no-finite")) from None
