"""What the page needs to work a survey out, and the data sheets from which a machine is chosen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from warmyard.course.fleet import shown_value
from warmyard.course.grammar import Inline
from warmyard.course.model import Sheet
from warmyard.course.shelf import Shelf
from warmyard.course.survey import LOOKED_UP, AskGroup, Owner, SurveyStep, first_takers, owner_of
from warmyard.course.values import Meaning, input_text, meaning
from warmyard.errors import Place
from warmyard.formula.model import Symbol
from warmyard.formula.quantity import plain_number, split_quantity
from warmyard.formula.units import show_unit, unit_of
from warmyard.words import say


def survey_plan(shelf: Shelf, head: Sequence[AskGroup], steps: Sequence[SurveyStep], place: Place) -> dict[str, Any]:
    """Return a survey as survey_work.js takes it; raises SourceError for a start that names nothing."""
    first = first_takers(steps, shelf.register)
    return {
        "asks": [
            {
                "name": ask.name,
                "means": ask.means or first[ask.name].means,
                "start": input_text(shelf, ask.start, place),
                "band": _band(shelf, ask.table),
                **_unit(first[ask.name].unit),
            }
            for group in head
            for ask in group.asks
        ],
        "steps": [
            {
                "name": step.name,
                "formula": step.formula,
                "title": shelf.register.formula(step.formula).title,
                "inputs": [_input(shelf, step, symbol, place) for symbol in shelf.register.formula(step.formula).needs],
            }
            for step in steps
        ],
    }


def _band(shelf: Shelf, table: str) -> list[str]:
    """Return the lowest and the highest figure of a table as a person types them."""
    if table not in shelf.tables:
        return []
    figures = [row.value for row in shelf.tables[table].rows if not isinstance(row.value, str)]
    return [f"{plain_number(end(figures))} {shelf.tables[table].unit}" for end in (min, max)]


def _unit(spelling: str) -> dict[str, Any]:
    unit = unit_of(spelling)
    return {"unit": spelling, "shown": show_unit(spelling), "factor": unit.factor, "zero": unit.zero}


def _input(shelf: Shelf, step: SurveyStep, symbol: Symbol, place: Place) -> dict[str, str]:
    owner = owner_of(step, symbol) or Owner("usual")
    found = {"symbol": symbol.symbol, "kind": owner.kind, "name": owner.name}
    if owner.kind in LOOKED_UP:
        taken = _looked_up(shelf, owner, place)
        found |= {"text": taken.typed or taken.text, "from": taken.title}
    return found


def _looked_up(shelf: Shelf, owner: Owner, place: Place) -> Meaning:
    return meaning(shelf, Inline(owner.kind, owner.name, "", (), f"{owner.kind} {owner.name}", place))


def fleet_data(sheets: Mapping[str, Sheet]) -> dict[str, Any]:
    """Return every machine with its name and the fields of its sheet: as shown, and as typed where it is a number."""
    return {
        machine: {
            "name": sheet.name,
            "fields": {
                **{name: {"shown": text} for name, text in _texts(sheet).items()},
                **{name: {"shown": shown_value(text), "typed": _typed(text)} for name, text in sheet.values.items()},
            },
        }
        for machine, sheet in sheets.items()
    }


def _texts(sheet: Sheet) -> dict[str, str]:
    named = {"name": sheet.name, "serial": sheet.serial, "supply": sheet.supply, "fuel": sheet.fuel}
    return {**named, **sheet.texts}


def _typed(text: str) -> str:
    return " ".join(split_quantity(text) or (text,)).strip()


def where_from(shelf: Shelf, owner: Owner, numbers: Mapping[str, int], place: Place) -> str:
    """Return in words where an input comes from, for a survey that is filled in on paper."""
    if owner.kind == "step":
        return say({}, "survey.from-step", number=numbers[owner.name])
    if owner.kind in LOOKED_UP:
        return _looked_up(shelf, owner, place).title
    return say({}, f"survey.from-{owner.kind}")
