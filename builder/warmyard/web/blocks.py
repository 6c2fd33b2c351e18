"""Typed nodes of a page into HTML: values with their sources beside them, pictures, worked examples, problems."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup, escape

from warmyard.course.fences import (
    AssessmentNode,
    CalculatorNode,
    CardNode,
    CautionNode,
    ChartNode,
    Inline,
    Node,
    PictureNode,
    PracticeNode,
    ProcedureNode,
    ScriptNode,
    ServiceDueNode,
    WorkedNode,
    YourMachineNode,
    find_inlines,
)
from warmyard.course.fleet import find_value, shown_value
from warmyard.course.references import SEQUENCE
from warmyard.course.rules import NUMBERS
from warmyard.course.values import input_text, meaning, quantities
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.formula.model import Symbol
from warmyard.formula.planning import SERVICE_SYMBOLS, form_of
from warmyard.formula.printed import formula_mathml, worked_steps
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.model import Edition
from warmyard.item.render import assessment_html, practice_html
from warmyard.item.variant_model import Variant
from warmyard.page.charts import sketch_chart
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import runtime_text
from warmyard.page.sequence_chart import sketch_sequence
from warmyard.web.calls import write_call
from warmyard.web.cards import write_card
from warmyard.web.drawing import inline_svg
from warmyard.web.fill import FOLDER, fill
from warmyard.web.notes import Notes
from warmyard.words import say

UNBROKEN = 16
"""A value of up to this many letters is kept on one line."""
_PHONES = ("emergency_phone", "office_phone", "technician_phone")


PLANNING = f"{FOLDER}/planning.js"


@dataclass(slots=True)
class Writer:
    """Writes the nodes of one page and remembers what the page will need: sources, items, formulas."""

    workspace: Workspace
    edition: Edition
    page: str
    """Id of the page, under which an assessment keeps its record."""
    draws: Callable[[str], Sequence[Variant]]
    """Gives the draws of an item that a page carries."""
    base: str
    """Way from the page to the start page's folder: "" or "../"."""
    notes: Notes
    items: list[str] = field(default_factory=list)
    """Items on the page, whose variants the page needs."""
    formulas: list[str] = field(default_factory=list)
    """Formulas that the page computes."""
    scripts: dict[str, bytes] = field(default_factory=dict)
    """Scripts of this page alone, in their order, by their place in the site."""
    more_files: dict[str, bytes] = field(default_factory=dict)
    """Files that its scripts load when they are wanted."""
    pictures: int = 0
    calls: int = 0

    def block(self, node: Node) -> str:
        """Return the HTML of a fence."""
        match node:
            case PictureNode():
                return self.picture(node)
            case WorkedNode():
                return self.worked(node)
            case PracticeNode() | AssessmentNode():
                return self.problems(node)
            case CalculatorNode():
                return self.calculator(node)
            case ServiceDueNode():
                return self.service_due(node)
            case ProcedureNode():
                return self.procedure(node.procedure)
            case ChartNode():
                return self.chart(node)
            case YourMachineNode():
                return self.your_machine(node)
            case CautionNode():
                return fill("caution", say=self.rich(node.say, node.place))
            case ScriptNode():
                return self.script(node.symptom)
            case CardNode():
                return self.card(node)
        raise TypeError(f"no block for {type(node).__name__}")

    def inline(self, inline: Inline) -> Markup:
        """Return the HTML of an inline: the value, its source beside it, and how it is known when nobody read it."""
        means = meaning(self.workspace.shelf, inline)
        if inline.kind == "term":
            return self._term(means.name, means.text, means.title)
        if inline.kind == "company":
            return company_line(means.name, means.text)
        if inline.kind == "source":
            return Markup("<cite>{}</cite>{}").format(means.text, self.notes.mark(means.source, means.known))
        if inline.kind == "rule" and self.workspace.rules[means.name].telephone:
            return public_numbers(means.name, means.text)
        mark = self.notes.mark(means.source, means.known, f"{means.kind} {means.name}")
        return Markup('<span class="wy-value" data-wy-{}="{}" title="{}">{}</span>{}').format(
            Markup(means.kind), means.name, means.title, unbroken(means.text), mark
        )

    def _term(self, name: str, shown: str, means: str) -> Markup:
        return Markup('<a class="wy-term" href="{}glossary.html#term-{}" title="{}">{}</a>').format(
            self.base, name, means, shown
        )

    def rich(self, text: str, place: Place) -> Markup:
        """Return plain text as HTML with its inlines put in."""
        faults: list[SourceError] = []
        html = str(escape(text))
        for inline in find_inlines(text, place.file, place.line, faults):
            html = html.replace(str(escape(inline.text)), str(self.inline(inline)), 1)
        return Markup(html)

    def plain(self, inline: Inline) -> str:
        """Return an inline as plain text, for headings."""
        return meaning(self.workspace.shelf, inline).text

    def picture(self, node: PictureNode) -> Markup:
        """Return a drawing with its text alternative and its named parts."""
        picture = self.workspace.pictures[node.picture]
        self.pictures += 1
        prefix = f"{self.page}-p{self.pictures}-"
        svg = inline_svg(self.workspace.drawings[picture.id], picture.describes, prefix)
        say = self.rich(node.say, node.place)
        return fill("picture", picture=picture, svg=svg, say=say, prefix=prefix, edition=self.edition)

    def worked(self, node: WorkedNode) -> Markup:
        """Return a worked example, every step with numbers and units put in."""
        formula = self.workspace.register.formulas[node.formula]
        inputs = quantities(self.workspace.shelf, formula, node.inputs, node.place)
        steps = [Markup(step) for step in worked_steps(formula, inputs)]
        mark = self.notes.mark(formula.source, formula.known, f"work {formula.id}")
        given = [
            (symbol, plain_number(inputs[symbol.symbol]), show_unit(symbol.unit))
            for symbol in formula.needs
            if symbol.symbol in inputs
        ]
        say = self.rich(node.say, node.place)
        return fill("worked", formula=formula, steps=steps, given=given, say=say, mark=mark)

    def calculator(self, node: CalculatorNode) -> Markup:
        """Return a formula to fill in, with first numbers from the sheet or the rules."""
        formula = self.workspace.register.formulas[node.formula]
        if formula.id not in self.formulas:
            self.formulas.append(formula.id)
        starts = {name: input_text(self.workspace.shelf, value, node.place) for name, value in node.start.items()}
        rows = [self._calculator_row(symbol, starts) for symbol in formula.needs]
        mark = self.notes.mark(formula.source, formula.known, f"work {formula.id}")
        return fill(
            "calculator",
            formula=formula,
            mathml=Markup(formula_mathml(formula)),
            rows=rows,
            unit=show_unit(formula.gives.unit),
            say=self.rich(node.say, node.place),
            mark=mark,
            key=f"{formula.id}-{len(self.formulas)}-{node.place.line}",
        )

    def _calculator_row(self, symbol: Symbol, starts: dict[str, str]) -> dict[str, Any]:
        start = _without_own_unit(starts.get(symbol.symbol, ""), symbol.unit)
        if not start and symbol.default is not None:
            start = plain_number(symbol.default)
        mark = self.notes.mark(symbol.source, None) if symbol.source else Markup("")
        return {"symbol": symbol, "unit": show_unit(symbol.unit), "start": start, "mark": mark}

    def service_due(self, node: ServiceDueNode) -> Markup:
        """Return the boxes from which the page works out when a service is due."""
        self.scripts[PLANNING] = (units_script() + runtime_text("planning.js")).encode()
        starts = {name: input_text(self.workspace.shelf, value, node.place) for name, value in node.start.items()}
        rows = [
            {
                "name": name,
                "means": say({}, f"service.{name}"),
                "form": form_of(name),
                "start": starts.get(name, ""),
            }
            for name in SERVICE_SYMBOLS
        ]
        said = self.rich(node.say, node.place)
        return fill("service-due", rows=rows, say=said, key=f"service-{node.place.line}")

    def procedure(self, name: str) -> Markup:
        """Return a procedure in its reference order, each step with its reasons."""
        procedure = self.workspace.procedures[name]
        text = {step.id: step.do for step in procedure.steps}
        fatal = {fail.must_precede: fail.because for fail in procedure.immediate_fail}
        steps = [
            {
                "do": self.rich(text[step], procedure.place),
                "why": [before.because for before in procedure.before if before.first == step and before.because],
                "fatal": fatal.get(step, ""),
            }
            for step in procedure.reference
        ]
        caution = self.rich(procedure.caution, procedure.place)
        return fill("procedure", procedure=procedure, steps=steps, caution=caution, edition=self.edition)

    def your_machine(self, node: YourMachineNode) -> Markup:
        """Return the fields to find on the machine, beside the value of the demo fleet."""
        rows = []
        for at, asked in enumerate(node.values):
            found = find_value(self.workspace.sheets, asked.field)
            sheet, value = found if found else (None, "")
            rows.append(
                {
                    "field": asked.field,
                    "say": self.rich(asked.say, node.place.within(f"values.{at}")),
                    "machine": sheet.name if sheet else "",
                    "value": unbroken(shown_value(value)),
                }
            )
        return fill("your-machine", rows=rows)

    def problems(self, node: PracticeNode | AssessmentNode) -> str:
        """Return a set of problems: practice, or the scored assessment."""
        self.items += [name for name in node.items if name not in self.items]
        questions = [self.draws(name)[0].question for name in node.items]
        words = self.workspace.words
        minutes = sum(self.workspace.items[name].minutes for name in node.items)
        if isinstance(node, AssessmentNode):
            return assessment_html(self.page, node.title, questions, words, minutes)
        return practice_html(node.title, questions, words, minutes)

    def chart(self, node: ChartNode) -> Markup:
        """Return the start sequence, or a chart of a formula."""
        if node.chart == SEQUENCE:
            mode = None if node.mode in (None, "none") else node.mode
            return fill("chart", drawing=Markup(sketch_sequence(self.workspace.machine, mode)))
        chart = self.workspace.charts[node.chart]
        formula = self.workspace.register.formulas[chart.formula]
        fixed = quantities(self.workspace.shelf, formula, chart.fixed, chart.place.within("fixed"))
        return fill("chart", drawing=Markup(sketch_chart(chart, formula, fixed)))

    def script(self, symptom: str) -> Markup:
        """Return what to look at before calling, and the words to read out."""
        self.calls += 1
        folded = self.edition == "customer" or self.page == "telephone"
        return write_call(self.workspace.machine, symptom, first=self.calls == 1, folded=folded)

    def card(self, node: CardNode) -> Markup:
        """Return a card to print and hang on the heater."""
        lines = [self.rich(line, node.place.within(f"lines.{at}")) for at, line in enumerate(node.lines)]
        page = next((page for page in self.workspace.lessons.values() if page.id == self.page), None)
        hung = page is None or page.front.kind == "card"
        return write_card(node.title, lines, self.workspace.company, self.notes.words, hung)


def unbroken(text: str) -> str:
    """Return a value that does not break between number and unit."""
    return text.replace(" ", "\u00a0") if len(text) <= UNBROKEN else text


def public_numbers(rule: str, text: str) -> Markup:
    """Return a rule's public numbers, each a link that dials; no mark stands where it could be read as a digit."""
    dialled = NUMBERS.sub(lambda number: _dials(number.group(), number.group()), str(escape(text)))
    return Markup('<span class="wy-value wy-numbers" data-wy-rule="{}">{}</span>').format(rule, Markup(dialled))


def _dials(number: str, shown: str) -> Markup:
    return Markup('<a class="wy-phone" href="tel:{}">{}</a>').format(re.sub(r"[^0-9+]", "", number), shown)


def company_line(name: str, text: str) -> Markup:
    """Return a line of the company; telephone numbers and the mail address can be tapped."""
    if name in _PHONES:
        return _dials(text, unbroken(text))
    if name == "email":
        return Markup('<a href="mailto:{}">{}</a>').format(text, text)
    return escape(text)


def _without_own_unit(typed: str, unit: str) -> str:
    """Return what stands in a box: the unit beside it is not said again, another unit is shown as readers see it."""
    number, _, own = typed.partition(" ")
    return number if own in ("", unit, show_unit(unit)) else f"{number} {show_unit(own)}"
