"""The register for the page: the same relations, refusals and words as a classic script that sets WY.formulas."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from warmyard.formula.compute import Ready, Taken, ready, refusal_words
from warmyard.formula.javascript import javascript_function
from warmyard.formula.notation import symbol_mathml
from warmyard.formula.printed import formula_mathml
from warmyard.formula.register import Register
from warmyard.formula.typed import unit_table
from warmyard.formula.units import show_unit
from warmyard.page.javascript import inert_json, script_of


def units_script() -> str:
    """Return the script that sets WY.units, which WY.number reads and shows quantities with."""
    return script_of(units=unit_table())


def register_script(register: Register, ids: Iterable[str] | None = None) -> str:
    """Return the script that sets WY.units, WY.formulaWords and WY.formulas, for all formulas or those named."""
    chosen = register.formulas if ids is None else {id: register.formula(id) for id in ids}
    rows = ",\n".join(f"{inert_json(id)}: {_formula(ready(formula))}" for id, formula in chosen.items())
    return (
        f"{units_script()}WY.formulaWords = {inert_json(refusal_words())};\n"
        f"WY.formulas = WY.formulas || {{}};\nObject.assign(WY.formulas, {{\n{rows}\n}});\n"
    )


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
    refuse = ", ".join(f"[{javascript_function(one.tree)}, {inert_json(say)}]" for one, say in form.refuse)
    warn = ", ".join(f"[{javascript_function(one.tree)}, {inert_json(say)}]" for one, say in form.warn)
    divides = ", ".join(f"[{javascript_function(one.tree)}, {inert_json(text)}]" for one, text in form.divides)
    return (
        f"{{facts: {inert_json(facts)},\n relation: {javascript_function(form.relation.tree)},\n"
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
