"""What an inline or an input of a page stands for: text, unit, source, and how the fact is known."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from warmyard.course.fleet import find_value, shown_value
from warmyard.course.grammar import Inline, find_inlines
from warmyard.course.rules import rule_text
from warmyard.course.shelf import Result, Shelf
from warmyard.course.stop_rule import stop_words
from warmyard.errors import FollowingError, InputError, Place, SourceError, SourceKind
from warmyard.fields import nearest
from warmyard.formula.model import Formula, Known
from warmyard.formula.quantity import plain_number, read_quantity, show, split_quantity
from warmyard.formula.register import compute
from warmyard.formula.units import PLAIN, show_unit
from warmyard.item.model import Edition
from warmyard.words import say

Inputs = Mapping[str, str | int | float]
TAKEN = ("sheet", "rule", "table", "result")
"""What an input may take its value from."""
SIGNIFICANT_FIGURES = 3


@dataclass(frozen=True, slots=True)
class Meaning:
    """What an inline shows, and what stands behind it."""

    kind: str
    name: str
    text: str
    source: str = ""
    known: Known | None = None
    title: str = ""
    """Longer words for a hover text or a reader's ear."""
    typed: str = ""
    """A value as an input is written, its unit in the spelling of the table, whatever words readers see."""


WRITTEN_IN: Mapping[str, SourceKind] = {
    "rule": "rule", "sheet": "sheet", "table": "table", "result": "page", "work": "formula", "company": "company",
    "term": "term", "source": "source", "stop": "stop",
}  # fmt: skip
"""Kind of inline -> the sources that say what it stands for."""


def meaning(shelf: Shelf, inline: Inline, reader: Edition = "staff") -> Meaning:
    """Return what an inline stands for to a reader; raise SourceError when it names nothing."""
    if inline.kind == "rule":
        return _rule(shelf, inline)
    if inline.kind == "sheet":
        return _sheet(shelf, inline)
    if inline.kind == "table":
        return _table(shelf, inline)
    if inline.kind == "result":
        return _result(shelf, inline)
    if inline.kind == "work":
        return _work(shelf, inline)
    if inline.kind == "company":
        return _company(shelf, inline)
    if inline.kind == "term":
        return _term(shelf, inline)
    if inline.kind == "stop":
        return _stop(shelf, inline, reader)
    source = shelf.sources.get(inline.name)
    if source is None:
        raise _nothing(inline, "course/sources.yaml", shelf.sources)
    return Meaning("source", source.id, source.title, source.id, source.known, source.where)


def _nothing(inline: Inline, where: str, known: Mapping[str, object]) -> FollowingError:
    near = nearest(inline.name, known)
    what_to_do = f"write {near}, or add it to {where}" if near else f"add it to {where}"
    needs = needed_by(inline.kind, inline.name)
    return FollowingError(inline.place, f"{inline.text} names nothing", what_to_do, needs, names_nothing=True)


def needed_by(kind: str, name: str) -> tuple[SourceKind, str]:
    """Return what an inline rests on: the kind of its sources, and the id or field that is written there."""
    if kind == "sheet":
        name = name.rpartition(".")[2]
    return WRITTEN_IN[kind], name.partition(" ")[0]


def inputs_need(inputs: Inputs, results: Mapping[str, Result]) -> list[tuple[SourceKind, str]]:
    """Return what inputs rest on, each with the kind of its sources: what a result rests on as well."""
    parted = [value.partition(" ") for value in inputs.values() if isinstance(value, str)]
    taken = [(kind, name.strip()) for kind, _, name in parted if kind in TAKEN and name.strip()]
    behind = [need for kind, name in taken if kind == "result" and name in results for need in results[name].needs]
    return [needed_by(kind, name) for kind, name in taken] + behind


def _rule(shelf: Shelf, inline: Inline) -> Meaning:
    rule = shelf.rules.get(inline.name)
    if rule is None:
        raise _nothing(inline, f"site_config/rules/{shelf.country}.yaml", shelf.rules)
    typed = "" if isinstance(rule.value, str) else _as_input(float(rule.value), rule.unit or PLAIN)
    return Meaning("rule", rule.id, rule_text(rule), rule.source, rule.known, rule.means, typed)


def _sheet(shelf: Shelf, inline: Inline) -> Meaning:
    found = find_value(shelf.sheets, inline.name)
    if found is None:
        raise _nothing(inline, "site_config/fleet/", _sheet_names(shelf))
    sheet, text = found
    number, unit = split_quantity(text) or ("", "")
    title = say({}, "notes.sheet", machine=sheet.name)
    return Meaning("sheet", inline.name, shown_value(text), title=title, typed=f"{number} {unit}".strip())


def _sheet_names(shelf: Shelf) -> dict[str, object]:
    return {field: None for sheet in shelf.sheets.values() for field in (*sheet.values, *sheet.texts)}


def _table(shelf: Shelf, inline: Inline) -> Meaning:
    name, _, line = inline.name.partition(" ")
    table = shelf.tables.get(name)
    row = next((row for row in table.rows if row.key == line.strip()), None) if table else None
    if table is None or row is None:
        lines = {f"{one.id} {row.key}": None for one in shelf.tables.values() for row in one.rows}
        raise _nothing(inline, "course/tables.yaml", lines)
    title = say({}, "notes.table", title=table.title, line=row.key)
    known = row.known or table.known
    if isinstance(row.value, str):
        return Meaning("table", inline.name, row.value, table.source, known, title)
    text = f"{plain_number(row.value)} {show_unit(table.unit or PLAIN)}".strip()
    typed = _as_input(row.value, table.unit or PLAIN)
    return Meaning("table", inline.name, text, table.source, known, title, typed)


def _as_input(value: float, unit: str) -> str:
    return plain_number(value) if unit == PLAIN else f"{plain_number(value)} {unit}"


def _result(shelf: Shelf, inline: Inline) -> Meaning:
    result = shelf.results.get(inline.name)
    if result is None:
        raise _nothing(inline, "a worked example before it (called: NAME)", shelf.results)
    return Meaning("result", inline.name, show(result.value, result.unit, decimals_for(result.value)))


def _company(shelf: Shelf, inline: Inline) -> Meaning:
    text = getattr(shelf.company, inline.name, None)
    if not isinstance(text, str):
        fields = {name: None for name in shelf.company.__struct_fields__ if name != "place"}
        raise _nothing(inline, "site_config/company.yaml", fields)
    return Meaning("company", inline.name, text)


def _term(shelf: Shelf, inline: Inline) -> Meaning:
    term = shelf.terms.get(inline.name)
    if term is None:
        raise _nothing(inline, "course/glossary.yaml", shelf.terms)
    return Meaning("term", term.id, inline.shown or term.term, title=term.means)


def _stop(shelf: Shelf, inline: Inline, reader: Edition) -> Meaning:
    name, _, part = inline.name.partition(" ")
    rule = shelf.stop_rules.get(name)
    if rule is None:
        raise _nothing(replace(inline, name=name), "course/stop_rules.yaml", shelf.stop_rules)
    if inline.shown:
        return Meaning("stop", name, inline.shown, title=plain_text(shelf, rule.when, reader))
    said = stop_words(rule, part.strip(), reader)
    if said is None:
        what_to_do = "write [[stop ID]], [[stop ID first]], [[stop ID ends]], [[stop ID customer]] or [[stop ID|words]]"
        raise SourceError(inline.place, f"{inline.text} names no part of a stop rule", what_to_do)
    return Meaning("stop", name, plain_text(shelf, said, reader), title=plain_text(shelf, rule.when, reader))


def plain_text(shelf: Shelf, text: str, reader: Edition = "staff") -> str:
    """Return a text with its inlines written out; one that names nothing stays as it is and is reported elsewhere."""
    if "[[" not in text:
        return text
    faults: list[SourceError] = []
    for inline in find_inlines(text, "", 1, faults):
        try:
            text = text.replace(inline.text, meaning(shelf, inline, reader).text, 1)
        except SourceError:
            continue
    return text


def _work(shelf: Shelf, inline: Inline) -> Meaning:
    formula = shelf.register.formulas.get(inline.name)
    if formula is None:
        raise _nothing(inline, "course/formulas/", shelf.register.formulas)
    value = computed(shelf, formula, dict(inline.inputs), inline.place)
    text = show(value, formula.gives.unit, decimals_for(value))
    return Meaning("work", formula.id, text, formula.source, formula.known, formula.title)


def computed(shelf: Shelf, formula: Formula, inputs: Inputs, place: Place) -> float:
    """Return a formula's value in the unit of what it gives; raise SourceError when the inputs do not serve."""
    try:
        return compute(formula, quantities(shelf, formula, inputs, place))
    except InputError as problem:
        what = f"{formula.id}: {problem}".replace(";", ",")
        of_rules: list[tuple[SourceKind, str]] = [("rule", symbol.rule) for symbol in formula.needs if symbol.rule]
        needs = [("formula", formula.id), *inputs_need(inputs, shelf.results), *of_rules]
        raise FollowingError(place, what, "correct the inputs", *needs) from None


def quantities(shelf: Shelf, formula: Formula, inputs: Inputs, place: Place) -> dict[str, float]:
    """Return the inputs in the units of the formula's symbols; raise SourceError for one that cannot be read."""
    symbols = {symbol.symbol: symbol for symbol in formula.needs}
    found = {}
    for name, value in inputs.items():
        if name not in symbols:
            what_to_do = f"its symbols are {', '.join(symbols)}"
            what = f"the formula {formula.id} has no symbol {name}"
            raise FollowingError(place, what, what_to_do, ("formula", formula.id))
        try:
            found[name] = read_quantity(input_text(shelf, value, place), symbols[name].unit)
        except InputError as problem:
            what = f"{name}: {problem}".replace(";", ",")
            needs: list[tuple[SourceKind, str]] = [("formula", formula.id), *inputs_need({name: value}, shelf.results)]
            raise FollowingError(place, what, "write a value with its unit", *needs) from None
    return found


def input_text(shelf: Shelf, value: str | int | float, place: Place) -> str:
    """Return an input as a person would type it, or what `sheet F`, `rule ID`, `table ID LINE`, `result NAME` is."""
    text = f"{value!r}" if isinstance(value, float) else str(value)
    kind, _, name = text.partition(" ")
    if kind == "result" and name.strip() in shelf.results:
        return shelf.results[name.strip()].as_input()
    if kind in TAKEN and name.strip():
        found = meaning(shelf, Inline(kind, name.strip(), "", (), text, place))
        return found.typed or found.text
    return text


def decimals_for(value: float, figures: int = SIGNIFICANT_FIGURES) -> int:
    """Return how many decimals show a value with that many significant figures."""
    if value == 0 or not math.isfinite(value) or value == round(value):
        return 0
    return max(0, figures - 1 - math.floor(math.log10(abs(value))))
