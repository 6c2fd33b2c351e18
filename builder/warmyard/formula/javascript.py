"""The register for the page: the same relations, refusals and words as a classic script that sets WY.formulas."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from warmyard.formula.compute import WORDS, Ready, Taken, ready
from warmyard.formula.expression import CONSTANTS, Binary, Call, Comparison, Joined, Minus, Name, Node, Number, Test
from warmyard.formula.notation import symbol_mathml
from warmyard.formula.printed import formula_mathml
from warmyard.formula.register import Register
from warmyard.formula.units import show_unit, unit_table

_HEAD = "var WY = globalThis.WY = globalThis.WY || {};"
_JOINS = {"and": " && ", "or": " || "}
_COMPARISONS = {"==": "===", "!=": "!=="}


def units_script() -> str:
    """Return the script that sets WY.units, which WY.number reads and shows quantities with."""
    return f"{_HEAD}\nWY.units = {as_script_value(unit_table())};\n"


def register_script(register: Register, ids: Iterable[str] | None = None) -> str:
    """Return the script that sets WY.units, WY.formulaWords and WY.formulas, for all formulas or those named."""
    chosen = register.formulas if ids is None else {id: register.formula(id) for id in ids}
    rows = ",\n".join(f"{as_script_value(id)}: {_formula(ready(formula))}" for id, formula in chosen.items())
    return (
        f"{units_script()}WY.formulaWords = {as_script_value(WORDS)};\n"
        f"WY.formulas = WY.formulas || {{}};\nObject.assign(WY.formulas, {{\n{rows}\n}});\n"
    )


def as_script_value(value: Any) -> str:
    """Return a value as JavaScript that is safe inside an HTML script element."""
    return json.dumps(value, separators=(",", ":")).replace("</", "<\\/")


def _formula(form: Ready) -> str:
    formula = form.formula
    facts = {
        "id": formula.id,
        "title": formula.title,
        "sense": formula.sense,
        "printed": formula_mathml(formula),
        "gives": {
            "symbol": formula.gives.symbol,
            "letter": symbol_mathml(formula.gives.symbol),
            "means": formula.gives.means,
            "unit": formula.gives.unit,
            "factor": form.factor,
            "zero": form.zero,
        },
        "needs": [_need(need) for need in form.needs],
    }
    refuse = ", ".join(f"[{_function(one.tree)}, {as_script_value(say)}]" for one, say in form.refuse)
    warn = ", ".join(f"[{_function(one.tree)}, {as_script_value(say)}]" for one, say in form.warn)
    divides = ", ".join(f"[{_function(one.tree)}, {as_script_value(text)}]" for one, text in form.divides)
    return (
        f"{{facts: {as_script_value(facts)},\n relation: {_function(form.relation.tree)},\n"
        f" refuse: [{refuse}],\n warn: [{warn}],\n divides: [{divides}]}}"
    )


def _need(need: Taken) -> dict[str, Any]:
    symbol = need.symbol
    return {
        "symbol": symbol.symbol,
        "letter": symbol_mathml(symbol.symbol),
        "means": symbol.means,
        "unit": symbol.unit,
        "shown": show_unit(symbol.unit),
        "default": symbol.default,
        "low": need.low if need.bounded or need.point else None,
        "high": need.high if need.bounded else None,
        "bounded": need.bounded,
        "free": need.point or symbol.signed,
        "point": need.point,
        "factor": need.factor,
        "zero": need.zero,
    }


def _function(node: Node | Test) -> str:
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
