"""A survey on a page: a form for paper and for those without scripts, which the page fills and works out."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from warmyard.course.fences.survey import SurveyNode
from warmyard.course.survey import Ask, Owner, SurveyStep, first_takers, owner_of
from warmyard.course.values import input_text
from warmyard.formula.model import Symbol
from warmyard.formula.printed import formula_mathml
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import runtime_text, script_of
from warmyard.page.survey_plan import survey_plan, where_from
from warmyard.page.working_script import working_script
from warmyard.web.blocks import Writer
from warmyard.web.fill import FOLDER, fill
from warmyard.web.fleet import load_fleet, machine_choice

DATA_ENDING = ".data.js"
SCRIPTS = ("working.js", "survey_work.js", "survey_step.js", "survey.js")


def write(writer: Writer, node: SurveyNode) -> Markup:
    """Return the head to fill in and every step with its formula, its inputs, and room for its result."""
    shelf = writer.workspace.shelf
    names = [step.formula for step in node.steps]
    writer.formulas += [name for name in dict.fromkeys(names) if name not in writer.formulas]
    key = f"{writer.page}-survey-{1 + sum(path.endswith(DATA_ENDING) for path in writer.scripts)}"
    plan = {
        **survey_plan(shelf, node.head, node.steps, node.place),
        "key": key,
        "answers": list(node.answers),
    }
    load_fleet(writer)
    data = script_of(surveys={key: plan}) + working_script(shelf.register, names)
    writer.scripts[f"{FOLDER}/data/{key}{DATA_ENDING}"] = (units_script() + data).encode()
    writer.scripts |= {f"{FOLDER}/{name}": runtime_text(name).encode() for name in SCRIPTS}
    return fill(
        "survey",
        key=key,
        title=node.title,
        say=writer.rich(node.say, node.place.within("say")),
        machine=machine_choice(writer),
        groups=[{"title": group.title, "asks": [_ask(writer, node, ask) for ask in group.asks]} for group in node.head],
        parts=_parts(writer, node),
    )


def _ask(writer: Writer, node: SurveyNode, ask: Ask) -> dict[str, Any]:
    shelf = writer.workspace.shelf
    symbol = first_takers(node.steps, shelf.register)[ask.name]
    table = shelf.tables.get(ask.table)
    lines = [(row.key, row.value, f"{row.value} {table.unit}") for row in table.rows] if table else []
    return {
        "name": ask.name,
        "means": ask.means or symbol.means,
        "start": input_text(shelf, ask.start, node.place).removesuffix(f" {symbol.unit}"),
        "unit": show_unit(symbol.unit),
        "lines": lines,
        "mark": writer.notes.mark(table.source, table.known) if table else Markup(""),
    }


def _parts(writer: Writer, node: SurveyNode) -> list[dict[str, Any]]:
    """Return the steps under the titles that stand over them."""
    numbers = {step.name: at + 1 for at, step in enumerate(node.steps)}
    parts: list[dict[str, Any]] = []
    for at, step in enumerate(node.steps):
        if step.part or not parts:
            parts.append({"title": step.part, "first": numbers[step.name], "steps": []})
        parts[-1]["steps"].append(_step(writer, node, at, numbers))
    return parts


def _step(writer: Writer, node: SurveyNode, at: int, numbers: dict[str, int]) -> dict[str, Any]:
    step = node.steps[at]
    formula = writer.workspace.register.formulas[step.formula]
    return {
        "name": step.name,
        "formula": formula,
        "unit": show_unit(formula.gives.unit),
        "mathml": formula_mathml(formula),
        "say": writer.rich(step.say, node.place.within(f"steps.{at}.say")),
        "mark": writer.notes.mark(formula.source, formula.known, f"work {formula.id}"),
        "inputs": [_input(writer, node, step, symbol, numbers) for symbol in formula.needs],
    }


def _input(
    writer: Writer, node: SurveyNode, step: SurveyStep, symbol: Symbol, numbers: dict[str, int]
) -> dict[str, Any]:
    """Return one input as the form shows it: what is the same for every job stands there already."""
    owner = owner_of(step, symbol) or Owner("usual")
    value = plain_number(symbol.default) if owner.kind == "usual" and symbol.default is not None else ""
    return {
        "means": symbol.means,
        "value": value,
        "unit": show_unit(symbol.unit),
        "from": where_from(writer.workspace.shelf, owner, numbers, node.place),
    }
