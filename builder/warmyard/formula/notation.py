"""A checked tree as a reader sees it: MathML in the author's order, and plain text."""

from __future__ import annotations

import re
from collections.abc import Callable

from markupsafe import Markup

from warmyard.formula.expression import Binary, Call, Minus, Name, Node, Number
from warmyard.markup import element
from warmyard.words import say

_GREEK = {
    "rho": "ρ",
    "eta": "η",
    "lam": "λ",
    "nu": "ν",
    "alpha": "α",
    "beta": "β",
    "pi": "π",
}
_WHOLE_WORDS = {"zero_celsius": ("0 °C", "")}
_DIFFERENCE = re.compile(r"d([TpURt])\Z")
_FORMULA_OF_GAS = re.compile(r"(CO|O)2\Z")
STRENGTH = {"+": 1, "-": 1, "*": 2, "/": 2, "**": 4}
"""How strongly a sign binds."""
HIGHEST = 5
"""What nothing binds more strongly than: a number, a symbol, a function."""
_SIGN = {"+": "+", "-": "−", "*": "·"}

ROUNDS = {"ceil": "formula.round-up", "floor": "formula.round-down"}

Leaf = Callable[[Name], Markup]
"""How a symbol is printed: as its letter, or as a number with its unit."""
TextLeaf = Callable[[Name], str]
"""The same in plain text."""


def round_word(function: str) -> str:
    """Return what is said for rounding to whole things: round up, round down."""
    return say({}, ROUNDS[function])


def letters(symbol: str) -> tuple[str, str, bool]:
    """Return a symbol's main letters, its subscript, and whether a dot stands over it (V_dot)."""
    if symbol in _WHOLE_WORDS:
        return (*_WHOLE_WORDS[symbol], False)
    main, *rest = symbol.split("_")
    dotted = rest[:1] == ["dot"]
    subscript = ", ".join(rest[1:] if dotted else rest)
    gas, difference = _FORMULA_OF_GAS.match(main), _DIFFERENCE.match(main)
    if gas:
        return gas.group(1), ", ".join(part for part in ("2", subscript) if part), dotted
    if difference:
        return f"Δ{difference.group(1)}", subscript, dotted
    return _GREEK.get(main, main), subscript, dotted


def symbol_text(symbol: str) -> str:
    """Return a symbol in plain text: q_r, V̇, ΔT, ρ, CO₂."""
    main, subscript, dotted = letters(symbol)
    text = main + ("\u0307" if dotted else "")
    if subscript.startswith("2") and main in ("CO", "O"):
        text, subscript = f"{text}₂", subscript.removeprefix("2").removeprefix(", ")
    return f"{text}_{subscript}" if subscript else text


def symbol_mathml(symbol: str) -> Markup:
    """Return a symbol as MathML with its subscript, dot or Greek letter."""
    main, subscript, dotted = letters(symbol)
    body = element("mi", main)
    if main.startswith("Δ"):
        body = element("mrow", element("mi", "Δ", mathvariant="normal"), element("mi", main[1:]))
    if dotted:
        body = element("mover", element("mi", main), element("mo", "˙"))
    return element("msub", body, element("mtext", subscript)) if subscript else body


def symbol_leaf(name: Name) -> Markup:
    """Print a symbol as its letter."""
    return symbol_mathml(name.name)


def symbol_text_leaf(name: Name) -> str:
    """Print a symbol as its letter in plain text."""
    return symbol_text(name.name)


def strength(node: Node) -> int:
    """Return how strongly a part of a formula holds together."""
    match node:
        case Binary(sign=sign):
            return STRENGTH[sign]
        case Minus():
            return 1
    return HIGHEST


def _begins_with_minus(node: Node) -> bool:
    while isinstance(node, Binary) and node.sign != "/":
        node = node.left
    return isinstance(node, Minus)


def _needs_bracket(parent: Binary, child: Node, right: bool) -> bool:
    """Say whether a part of a sum or product must be bracketed to be read as the author meant."""
    inner, outer = strength(child), STRENGTH[parent.sign]
    if isinstance(child, Minus):
        return right or parent.sign == "**"
    if right and parent.sign != "/" and _begins_with_minus(child):
        return True
    return inner < outer or (right and inner == outer and parent.sign in "-*")


def mathml(node: Node, leaf: Leaf = symbol_leaf, times: str = "·") -> Markup:
    """Return a tree as MathML; a division is a fraction, a fraction under a power is bracketed."""
    match node:
        case Number(text=text):
            return element("mn", text)
        case Name():
            return leaf(node)
        case Minus(of=of):
            inner = mathml(of, leaf, times)
            return element("mrow", element("mo", "−"), _fenced(inner) if strength(of) == 1 else inner)
        case Binary(sign="/", left=left, right=right):
            return element("mfrac", mathml(left, leaf, times), mathml(right, leaf, times))
        case Binary(sign="**", left=left, right=right):
            base = mathml(left, leaf, times)
            simple = isinstance(left, Name | Number) and "<mtext" not in base.replace("<mtext>", "", 1)
            base = base if simple and leaf is symbol_leaf else _fenced(base)
            return element("msup", base, mathml(right, leaf, times))
        case Binary(sign=sign, left=left, right=right):
            first, second = _side(node, left, leaf, times, False), _side(node, right, leaf, times, True)
            return element("mrow", first, element("mo", _sign(sign, times)), second)
        case Call(arguments=arguments):
            return _call_mathml(node, [mathml(one, leaf, times) for one in arguments])


def _sign(sign: str, times: str) -> str:
    return times if sign == "*" else _SIGN[sign]


def bracketed_side(parent: Binary, child: Node, right: bool) -> bool:
    """Say whether one side of a sum, product or quotient stands in brackets."""
    kept = child.bracketed and isinstance(child, Binary) and strength(child) == 1
    return kept or _needs_bracket(parent, child, right)


def _side(parent: Binary, child: Node, leaf: Leaf, times: str, right: bool) -> Markup:
    body = mathml(child, leaf, times)
    if isinstance(child, Binary) and child.sign == "/":
        return body
    return _fenced(body) if bracketed_side(parent, child, right) else body


def _fenced(*body: Markup) -> Markup:
    return element("mrow", element("mo", "("), *body, element("mo", ")"))


def _is_tall(node: Node) -> bool:
    """Say whether a term is higher than a letter, or has more than one."""
    return not isinstance(node, Name | Number)


def _call_mathml(node: Call, arguments: list[Markup]) -> Markup:
    function = node.function
    if function == "sqrt":
        # Without a font for mathematics a browser draws a short root beside a tall term: brackets hold the term then.
        return element("msqrt", _fenced(arguments[0]) if _is_tall(node.arguments[0]) else arguments[0])
    if function == "kelvin":
        return _fenced(arguments[0], element("mo", "+"), element("mn", "273.15"))
    if function == "exp":
        return element("msup", element("mi", "e"), arguments[0])
    if function in ROUNDS:
        return element("mrow", element("mtext", round_word(function)), _fenced(arguments[0]))
    name = element("mi", function)
    if function == "log10":
        name = element("msub", element("mi", "log"), element("mn", "10"))
    return element("mrow", name, _fenced(element("mo", ",").join(arguments)))


def plain(node: Node, leaf: TextLeaf = symbol_text_leaf) -> str:
    """Return a tree as one line of text that a person can key into a calculator."""
    match node:
        case Number(text=text):
            return text
        case Name():
            return leaf(node)
        case Minus(of=of):
            inner = plain(of, leaf)
            return f"−({inner})" if strength(of) == 1 else f"−{inner}"
        case Binary(sign=sign, left=left, right=right):
            first, second = plain(left, leaf), plain(right, leaf)
            first = f"({first})" if _plain_bracket(node, left, False) or _is_phrase(sign, left, first) else first
            second = f"({second})" if _plain_bracket(node, right, True) or _is_phrase(sign, right, second) else second
            return {"*": f"{first} × {second}", "/": f"{first} / {second}", "**": f"{first}^{second}"}.get(
                sign, f"{first} {_SIGN.get(sign, sign)} {second}"
            )
        case Call(function="kelvin", arguments=(one,)):
            return f"({plain(one, leaf)} + 273.15)"
        case Call(function="sqrt", arguments=(one,)):
            return f"√({plain(one, leaf)})"
        case Call(function=function, arguments=arguments):
            name = f"{round_word(function)} " if function in ROUNDS else function
            return f"{name}({', '.join(plain(one, leaf) for one in arguments)})"


def _is_phrase(sign: str, child: Node, text: str) -> bool:
    """Say whether a function under a power, or a number with its unit, would be misread: 2 kWh/K / 2 kW/K."""
    if isinstance(child, Call):
        return sign == "**"
    if not isinstance(child, Name) or text.startswith("("):
        return False
    return (sign == "**" and " " in text) or (sign == "/" and "/" in text)


def _plain_bracket(parent: Binary, child: Node, right: bool) -> bool:
    kept = child.bracketed and isinstance(child, Binary)
    same = right and strength(child) == STRENGTH[parent.sign] and parent.sign in "-/"
    return kept or _needs_bracket(parent, child, right) or same
