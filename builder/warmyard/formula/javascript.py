"""A relation or a condition of the grammar as JavaScript, for the page to compute what Python computes."""

from __future__ import annotations

from warmyard.formula.expression import CONSTANTS, Binary, Call, Comparison, Joined, Minus, Name, Node, Number, Test

_JOINS = {"and": " && ", "or": " || "}
_COMPARISONS = {"==": "===", "!=": "!=="}


def javascript_function(node: Node | Test) -> str:
    """Return a tree as a function of the values `v` and the functions `F` of formula.js."""
    return f"function (v, F) {{ return {javascript_text(node)}; }}"


def javascript_text(node: Node | Test) -> str:
    """Return a tree as JavaScript over an object `v` and the functions `F` of formula.js."""
    match node:
        case Number(text=text):
            return text
        case Name(name=name):
            return f"F.{name}" if name in CONSTANTS else f"v.{name}"
        case Minus(of=of):
            return f"(-{javascript_text(of)})"
        case Binary(sign="/", left=left, right=right):
            return f"F.divide({javascript_text(left)}, {javascript_text(right)})"
        case Binary(sign="**", left=left, right=right):
            return f"F.power({javascript_text(left)}, {javascript_text(right)})"
        case Binary(sign=sign, left=left, right=right):
            return f"({javascript_text(left)} {sign} {javascript_text(right)})"
        case Comparison(sign=sign, left=left, right=right):
            return f"({javascript_text(left)} {_COMPARISONS.get(sign, sign)} {javascript_text(right)})"
        case Call(function=function, arguments=arguments):
            return f"F.{function}({', '.join(javascript_text(one) for one in arguments)})"
        case Joined(word=word, parts=parts):
            return f"({_JOINS[word].join(javascript_text(one) for one in parts)})"
