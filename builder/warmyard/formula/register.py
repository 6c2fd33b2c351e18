"""The register: every formula of the course, read from its sources, with the values that a country sets."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import msgspec

from warmyard.errors import FollowingError, InputError, SourceError
from warmyard.formula.compute import (
    compute,
    compute_relation,
    compute_slip,
    holds,
    read_inputs,
    warnings_of,
)
from warmyard.formula.model import Formula, Symbol
from warmyard.formula.units import convert, find_unit
from warmyard.sources import Document, decode_list, part, read_document, read_text

__all__ = [
    "Register",
    "check_register",
    "compute",
    "compute_relation",
    "compute_slip",
    "holds",
    "load_register",
    "read_inputs",
    "warnings_of",
]

RuleValues = Mapping[str, tuple[float, str, str]]
"""Rule id -> value, unit, source."""
NO_COUNTRY: RuleValues = {}
"""Given as the rule values it leaves every symbol as its file states it; a rule that is not there is no fault."""
_ID = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*\Z")


@dataclass(frozen=True, slots=True)
class Register:
    """Every formula by its id."""

    formulas: Mapping[str, Formula]

    def formula(self, id: str) -> Formula:
        """Return a formula; raise InputError that offers the nearest ids."""
        if id not in self.formulas:
            from difflib import get_close_matches

            near = get_close_matches(id, list(self.formulas), n=3, cutoff=0.5)
            hint = f"did you mean {' or '.join(near)}?" if near else "`warmyard work list` lists them all"
            raise InputError(f"there is no formula {id[:60]!r}; {hint}")
        return self.formulas[id]


def load_register(
    folder: Path, root: Path, rule_values: RuleValues, only: str | None = None
) -> tuple[Register, list[SourceError]]:
    """Return the register read from a folder of YAML files, and every fault of their form.

    Rule values replace the default of each symbol that names a rule; NO_COUNTRY leaves them out.
    `only` reads no more than the files that hold that id, for a quick answer.
    """
    formulas: dict[str, Formula] = {}
    faults: list[SourceError] = []
    for path in sorted(folder.glob("*.yaml")):
        try:
            if only is not None and f"- id: {only}\n" not in read_text(path, root):
                continue
            document = read_document(path, root)
        except SourceError as fault:
            faults.append(fault)
            continue
        for formula in decode_list(document, Formula, faults):
            if not _ID.match(formula.id) or formula.id in formulas:
                what = "stands twice" if formula.id in formulas else "is not a plain id"
                todo = "give each formula its own id of small letters and hyphens"
                says = f"the formula id {formula.id!r} {what}"
                # Of two with one id, one was meant to be another, and nobody knows which.
                faults.append(SourceError(formula.place.within("id"), says, todo, loses=None))
                continue
            formulas[formula.id] = _with_rules(formula, rule_values, faults)
        _check_empty(document, faults)
    return Register(MappingProxyType(formulas)), faults


def _check_empty(document: Document, faults: list[SourceError]) -> None:
    if part(document, "") == []:
        faults.append(SourceError(document.place(), "the file holds no formula", "add one, or remove the file"))


def _with_rules(formula: Formula, rule_values: RuleValues, faults: list[SourceError]) -> Formula:
    if rule_values is NO_COUNTRY or not any(symbol.rule for symbol in formula.needs):
        return formula
    needs = tuple(_with_rule(formula, at, symbol, rule_values, faults) for at, symbol in enumerate(formula.needs))
    return msgspec.structs.replace(formula, needs=needs)


def _with_rule(formula: Formula, at: int, symbol: Symbol, rules: RuleValues, faults: list[SourceError]) -> Symbol:
    if symbol.rule is None:
        return symbol
    place = formula.place.within(f"needs.{at}.rule")
    if symbol.rule not in rules:
        if symbol.default is None:
            todo = "add it to site_config/rules, or give the symbol a default"
            what = f"no country's rule has the id {symbol.rule}"
            faults.append(FollowingError(place, what, todo, ("rule", symbol.rule), loses=formula.id))
        return symbol
    value, unit, source = rules[symbol.rule]
    if find_unit(unit or "1") is None or find_unit(symbol.unit) is None:
        what, todo = f"the rule {symbol.rule} has no known unit", f"give it in {symbol.unit}"
        faults.append(FollowingError(place, what, todo, ("rule", symbol.rule), loses=formula.id))
        return symbol
    try:
        default = convert(value, unit or "1", symbol.unit)
    except InputError as problem:
        what, todo = f"the rule {symbol.rule} does not fit: {problem}", f"give it in {symbol.unit}"
        faults.append(FollowingError(place, what, todo, ("rule", symbol.rule), loses=formula.id))
        return symbol
    return msgspec.structs.replace(symbol, default=default, source=source)


def check_register(register: Register) -> list[SourceError]:
    """Return every fault that the proofs, the boundary search, the worked values and the round trips find."""
    from warmyard.formula.check import check_formulas

    return check_formulas(register.formulas)
