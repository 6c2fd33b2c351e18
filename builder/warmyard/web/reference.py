"""Pages that nobody writes: glossary, sources, formulas, machines, methods, telephone scripts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from warmyard.course.fleet import shown_value
from warmyard.course.lesson import Lesson
from warmyard.course.stop_rule import StopRule, Told
from warmyard.course.workspace import Workspace
from warmyard.formula.everyday import said_first
from warmyard.formula.printed import formula_mathml
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.model import Edition
from warmyard.markup import element, joined
from warmyard.page.what_next import SCRIPTS as WHAT_NEXT_SCRIPTS
from warmyard.page.what_next import machine_script, what_next_html
from warmyard.web.assets import scripts_of
from warmyard.web.blocks import Writer
from warmyard.web.coverage import coverage
from warmyard.web.decks import decks_page
from warmyard.web.drawn_calls import CALL_SCRIPTS, CALLS, call_scripts, calls_file, calls_html
from warmyard.web.fences.procedure import write_procedure
from warmyard.web.fences.script import write_script
from warmyard.web.fill import FOLDER, fill
from warmyard.web.fleet import field_name
from warmyard.web.packs import (
    MIXED_SCRIPTS,
    MOCK_SCRIPTS,
    PLAN,
    mixed_html,
    mock_html,
    packs,
    plan_file,
    practice_items,
)
from warmyard.web.ready import ready_page, ready_uri, record_page
from warmyard.web.scheme_page import scheme_page
from warmyard.words import say

MACHINE = f"{FOLDER}/data/machine.js"
REFERENCE = "reference"
"""The group of what is looked up."""
START = ""
"""The group of the start page."""
GLOSSARY = "glossary.md"


@dataclass(frozen=True, slots=True)
class MadePage:
    """A page that nobody writes: its title, its group in the navigation, and what fills it."""

    uri: str
    title: str
    group: str
    write: Callable[[Writer], Markup]


def made_pages(workspace: Workspace, edition: Edition, pages: Mapping[str, Lesson]) -> Iterator[MadePage]:
    """Yield the pages that are made for an edition, in their order."""
    if edition == "staff":
        if practice_items(workspace, edition):
            yield MadePage("practice.md", title("practice"), START, practice)
            yield MadePage("mock-paper.md", title("mock-paper"), START, mock_paper)
            for level in workspace.scheme.levels:
                yield MadePage(ready_uri(level), title("ready", level=str(level.level)), START, ready_page(level))
            yield MadePage("record.md", title("record"), START, record_page)
        yield MadePage("scheme.md", title("scheme"), START, scheme_page)
        if workspace.machine.drawn_calls is not None:
            yield MadePage("calls.md", title("calls"), START, calls)
        if workspace.decks:
            yield MadePage("decks.md", title("decks"), START, decks_page)
        if workspace.stops.rules:
            yield MadePage("stop-rules.md", title("stop-rules"), REFERENCE, stop_rules)
        yield MadePage("methods.md", title("methods"), REFERENCE, methods)
        yield MadePage("telephone.md", title("telephone"), REFERENCE, telephone)
        yield MadePage("van.md", title("van"), REFERENCE, van)
        yield MadePage("machines.md", title("machines"), REFERENCE, machines)
        yield MadePage("formulas.md", title("formulas"), REFERENCE, formulas)
        if workspace.tables:
            yield MadePage("tables.md", title("tables"), REFERENCE, tables)
        yield MadePage("rules.md", title("rules"), REFERENCE, rules)
        yield MadePage("coverage.md", title("coverage"), REFERENCE, coverage)
    if edition == "staff" or _terms_of(pages.values()):
        names = None if edition == "staff" else _terms_of(pages.values())
        yield MadePage(GLOSSARY, title("glossary"), REFERENCE, lambda writer: glossary(writer, names))
    yield MadePage("sources.md", title("sources"), REFERENCE, sources)


def title(page: str, **parts: str) -> str:
    """Return what a made page is called."""
    return say({}, f"title.{page}", **parts)


def _terms_of(pages: Iterable[Lesson]) -> set[str]:
    return {inline.name for page in pages for inline in page.inlines if inline.kind == "term"}


def glossary(writer: Writer, names: set[str] | None = None) -> Markup:
    """Return the words of the trade in alphabetical order, all or those named."""
    terms = [term for term in writer.workspace.terms.values() if names is None or term.id in names]
    rows = [
        {"id": term.id, "term": term.term, "also": term.also, "means": writer.rich(term.means, term.place)}
        for term in sorted(terms, key=lambda term: term.term.casefold())
    ]
    return fill("glossary", rows=rows)


def sources(writer: Writer) -> Markup:
    """Return every source with where it is found and how it is known."""
    rows = sorted(writer.workspace.sources.values(), key=lambda source: source.title.casefold())
    if writer.edition == "customer":
        return fill("sources-page", rows=[row for row in rows if row.known == "read"], known=writer.notes.words)
    return fill("sources-page", rows=rows, known=writer.notes.words)


def formulas(writer: Writer) -> Markup:
    """Return every formula with its symbols, where it comes from and how it is known."""
    rows = []
    for formula in writer.workspace.register.formulas.values():
        symbols = [
            {
                "symbol": symbol,
                "unit": show_unit(symbol.unit),
                "default": "" if symbol.default is None else f"{plain_number(symbol.default)} {show_unit(symbol.unit)}",
                "rule": symbol.rule or "",
                "mark": writer.notes.mark(symbol.source, None) if symbol.source else Markup(""),
            }
            for symbol in formula.needs
        ]
        rows.append(
            {
                "formula": formula,
                "words": said_first(formula, writer.workspace.fuels) if writer.edition == "staff" else "",
                "mathml": formula_mathml(formula),
                "unit": show_unit(formula.gives.unit),
                "symbols": symbols,
                "mark": writer.notes.mark(formula.source, formula.known, f"work {formula.id}"),
                "known": writer.notes.words[f"known-{formula.known}"],
            }
        )
    return fill("formulas", rows=rows)


def tables(writer: Writer) -> Markup:
    """Return every table that the trade looks up, each figure from memory marked as such."""
    notes = writer.notes
    rows = []
    for table in writer.workspace.tables.values():
        lines = [
            {
                "key": row.key,
                "value": plain_number(row.value) if not isinstance(row.value, str) else row.value,
                "memory": notes.words["known-memory"] if (row.known or table.known) == "memory" else "",
            }
            for row in table.rows
        ]
        mark = notes.mark(table.source, table.known, f"table {table.id}")
        rows.append({"table": table, "unit": show_unit(table.unit) if table.unit else "", "lines": lines, "mark": mark})
    return fill("tables", rows=rows)


def machines(writer: Writer) -> Markup:
    """Return the data sheets of the fleet side by side; on a telephone a script shows one of them."""
    sheets = list(writer.workspace.sheets.values())
    fields = list(dict.fromkeys(field for sheet in sheets for field in sheet.values))
    texts = list(dict.fromkeys(field for sheet in sheets for field in sheet.texts))
    words, known = writer.workspace.words, writer.workspace.sheet_fields
    rows = [
        (field_name(words, field, known), [shown_value(sheet.values.get(field, "")) for sheet in sheets])
        for field in fields
    ]
    rows += [(field_name(words, field, known), [sheet.texts.get(field, "") for sheet in sheets]) for field in texts]
    return fill("machines", sheets=sheets, rows=rows)


def rules(writer: Writer) -> Markup:
    """Return the country's rules with their sources."""
    workspace = writer.workspace
    rows = []
    for rule in workspace.rules.values():
        value = f"{plain_number(rule.value)} {show_unit(rule.unit)}" if not isinstance(rule.value, str) else rule.value
        rows.append(
            {"rule": rule, "value": value, "mark": writer.notes.mark(rule.source, rule.known, f"rule {rule.id}")}
        )
    return fill("rules", rows=rows, country=workspace.country, memory=writer.notes.words["known-memory"])


def stop_rules(writer: Writer) -> Markup:
    """Return every stop rule: when it holds, what staff and customers do, and who may start again."""
    rows = []
    for rule in writer.workspace.stops.rules:
        level = rule.restart_level
        rows.append(
            {
                "rule": rule,
                "when": writer.rich(rule.when, rule.place),
                "staff": _told(writer, rule, rule.staff),
                "customer": _told(writer, rule, rule.customer),
                "restarts": say({}, "stop-rules.restarts-level", level=str(level))
                if level
                else say({}, "stop-rules.restarts-customer"),
                "marks": [writer.notes.mark(name, writer.workspace.sources[name].known) for name in rule.sources],
            }
        )
    return fill("stop-rules", rows=rows)


def _told(writer: Writer, rule: StopRule, says: Told) -> Mapping[str, Markup | list[Markup]]:
    return {
        "first": writer.rich(says.first, rule.place),
        "then": [writer.rich(text, rule.place) for text in says.then],
        "ends": writer.rich(says.ends, rule.place),
    }


def practice(writer: Writer) -> Markup:
    """Return mixed practice: problems of all lessons in turn, what is due first."""
    made = packs(writer.workspace, writer.edition, writer.drawn)
    writer.scripts[PLAN] = made.pop(PLAN)
    writer.scripts |= scripts_of(MIXED_SCRIPTS)
    writer.more_files |= made
    return mixed_html()


def mock_paper(writer: Writer) -> Markup:
    """Return the mock paper of every level; its problems are those of mixed practice."""
    writer.scripts[PLAN] = plan_file(writer.workspace, writer.edition, writer.drawn)
    writer.scripts |= scripts_of(MOCK_SCRIPTS)
    return mock_html(writer.workspace)


def calls(writer: Writer) -> Markup:
    """Return the page of calls that are drawn from the machine model."""
    writer.scripts[CALLS] = calls_file(writer.workspace.machine, writer.drawn)
    writer.more_files |= call_scripts(writer.workspace.machine, writer.drawn)
    writer.scripts[MACHINE] = machine_script(writer.workspace.machine).encode()
    writer.scripts |= scripts_of(CALL_SCRIPTS)
    return calls_html()


def methods(writer: Writer) -> Markup:
    """Return every procedure of the edition as a card to print, what everybody may do first."""
    own = [entry for entry in writer.workspace.procedures.values() if writer.edition in entry.editions]
    own.sort(key=lambda entry: entry.level)
    return joined(write_procedure(writer, entry.id) for entry in own)


def telephone(writer: Writer) -> Markup:
    """Return a list of all symptoms, and the telephone script of each."""
    symptoms = writer.workspace.machine.symptoms.values()
    which = say(writer.workspace.words, "telephone-page.which")
    jumps = fill("jumps", called=which, parts=[(f"call-{symptom.id}", symptom.name) for symptom in symptoms])
    return joined([element("h2", which, id="which"), jumps]) + joined(
        element("h2", symptom.name, id=f"call-{symptom.id}") + write_script(writer, symptom.id) for symptom in symptoms
    )


def van(writer: Writer) -> Markup:
    """Return for every symptom the checks in their best order, for a technician without a network."""
    machine = writer.workspace.machine
    writer.scripts[MACHINE] = machine_script(machine).encode()
    writer.scripts |= scripts_of(WHAT_NEXT_SCRIPTS)
    return what_next_html(machine) + joined(
        element("h2", symptom.name, id=f"van-{symptom.id}") + writer.drawn.tree(symptom.id)
        for symptom in machine.symptoms.values()
    )
