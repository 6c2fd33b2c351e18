"""The worked steps for the page: frames of lines as a classic script that sets WY.workings, filled by working.js."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from markupsafe import escape

from warmyard.formula.compute import ready
from warmyard.formula.expression import Call
from warmyard.formula.javascript import javascript_function
from warmyard.formula.model import Formula, Symbol
from warmyard.formula.notation import ROUNDS
from warmyard.formula.printed import working_frames
from warmyard.formula.register import Register
from warmyard.formula.units import show_unit, si_spelling, unit_of
from warmyard.page.javascript import HEAD, inert_json


def working_script(register: Register, ids: Iterable[str]) -> str:
    """Return the script that sets WY.workings for the formulas named."""
    rows = ",\n".join(f"{inert_json(id)}: {_working(register.formula(id))}" for id in dict.fromkeys(ids))
    return f"{HEAD}WY.workings = WY.workings || {{}};\nObject.assign(WY.workings, {{\n{rows}\n}});\n"


def _working(formula: Formula) -> str:
    facts = {
        "frames": working_frames(formula),
        "gives": _units(formula.gives),
        "needs": {symbol.symbol: _units(symbol) for symbol in formula.needs},
    }
    tree = ready(formula).relation.tree
    inner = "null"
    if isinstance(tree, Call) and tree.function in ROUNDS:
        inner = javascript_function(tree.arguments[0])
    return f"{{facts: {inert_json(facts)},\n inner: {inner}}}"


def _units(symbol: Symbol) -> dict[str, Any]:
    """Return how a symbol's unit and the SI unit that it is computed in are written, as HTML."""
    spelling = si_spelling(symbol.unit)
    return {
        "shown": escape(show_unit(symbol.unit)),
        "si": spelling,
        "siShown": escape(show_unit(spelling)),
        "share": not unit_of(symbol.unit).dimension,
    }
