"""The workspace: every source read, decoded and put together; whether they agree is for `proof.py` to say."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeAlias

from warmyard.course.company import load_company
from warmyard.course.edition import pages_of
from warmyard.course.fleet import load_sheets, timed_by_first
from warmyard.course.lesson import Lesson, load_pages
from warmyard.course.lists import (
    load_charts,
    load_decks,
    load_items,
    load_rule_laws,
    load_sheet_laws,
    load_skills,
    load_sources,
    load_terms,
)
from warmyard.course.model import (
    Chart,
    Company,
    Deck,
    Duty,
    Law,
    Picture,
    Procedure,
    PublicNumber,
    Rule,
    Sheet,
    SheetField,
    Skill,
    Source,
    Station,
    Term,
)
from warmyard.course.picture import INSTRUMENTS, load_pictures
from warmyard.course.procedure import load_procedures
from warmyard.course.results import work_results
from warmyard.course.rules import CountryRules, load_country, rule_values
from warmyard.course.scheme import NO_SCHEME, load_scheme
from warmyard.course.scheme_model import Scheme
from warmyard.course.shelf import Result, Shelf
from warmyard.course.station import load_stations
from warmyard.course.stop_rule import StopRules
from warmyard.course.stop_rules import load_stop_rules
from warmyard.course.surroundings import make_surroundings
from warmyard.errors import SourceError, SourceErrors, SourceKind, root_causes
from warmyard.formula.fuel import Fuel, load_fuels
from warmyard.formula.register import Register, load_register
from warmyard.formula.table import LookUpTable, load_tables
from warmyard.item.instrument import load_instruments
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine
from warmyard.words import load_words, speaking

Loader: TypeAlias = Callable[[Path, Path], tuple[Mapping[str, Any], list[SourceError]]]
FaultsFound: TypeAlias = defaultdict[SourceKind, list[SourceError]]
"""Kind of source -> its faults so far."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Workspace:
    """Everything that the sources say, for one country."""

    root: Path
    shelf: Shelf
    rules_by_country: Mapping[str, Mapping[str, Rule]]
    public_numbers: Mapping[str, tuple[PublicNumber, ...]]
    """Country -> the numbers that anybody may dial there."""
    machine: Machine
    items: Mapping[str, Item]
    procedures: Mapping[str, Procedure]
    stations: Mapping[str, Station]
    duties: Mapping[str, Duty]
    skills: Mapping[str, Skill]
    words: Mapping[str, str]
    pictures: Mapping[str, Picture]
    drawings: Mapping[str, str]
    """Picture id -> its SVG text."""
    charts: Mapping[str, Chart]
    decks: Mapping[str, Deck]
    """Cards to turn over."""
    sheet_fields: Mapping[str, SheetField]
    """Unit and range of each field of a data sheet, as far as the course says them."""
    sheet_laws: Mapping[str, Law]
    rule_laws: Mapping[str, Law]
    fuels: Mapping[str, Fuel]
    scheme: Scheme
    stops: StopRules
    """Stop rules with the acts and phrases by which texts are held against them."""
    lessons: Mapping[str, Lesson]
    """Page id -> page, staff pages first, each edition in the order of its files."""
    surroundings: Surroundings

    # What lies on the shelf, under the same names: most readers want a rule and need not know where it lies.

    @property
    def country(self) -> str:
        """Return the country whose rules hold."""
        return self.shelf.country

    @property
    def register(self) -> Register:
        """Return the formulas."""
        return self.shelf.register

    @property
    def rules(self) -> Mapping[str, Rule]:
        """Return the rules of the country."""
        return self.shelf.rules

    @property
    def sheets(self) -> Mapping[str, Sheet]:
        """Return the data sheets by machine."""
        return self.shelf.sheets

    @property
    def timed_by(self) -> str:
        """Return the name of the machine whose sheet gives the start its times; empty where the fleet has none."""
        return next((sheet.name for sheet in self.sheets.values()), "")

    @property
    def tables(self) -> Mapping[str, LookUpTable]:
        """Return what the trade looks up."""
        return self.shelf.tables

    @property
    def sources(self) -> Mapping[str, Source]:
        """Return the sources of facts."""
        return self.shelf.sources

    @property
    def terms(self) -> Mapping[str, Term]:
        """Return the words of the trade."""
        return self.shelf.terms

    @property
    def company(self) -> Company:
        """Return the company."""
        return self.shelf.company

    @property
    def results(self) -> Mapping[str, Result]:
        """Return what the worked examples gave, by name."""
        return self.shelf.results


def read_workspace(root: Path, *, country: str | None = None, bank: Path | None = None) -> Workspace:
    """Return the whole workspace, not proved; raise SourceErrors for what cannot be read, decoded or put together.

    `country` stands in for the company's; `bank` names a folder of exam items instead of quizbank/exam.
    """
    faults: FaultsFound = defaultdict(list)
    workspace = load_workspace(root, faults, country=country, bank=bank)
    if any(faults.values()):
        raise SourceErrors(each_once(root_causes(faults)))
    return workspace


def load_workspace(
    root: Path, faults: FaultsFound, *, country: str | None = None, bank: Path | None = None
) -> Workspace:
    """Return what can be read, with empty stand-ins for what cannot, and gather every fault of reading by its kind."""
    words = load_words(root / "course" / "words.yaml", root, faults["words"])
    with speaking(words):
        return _load_in_words(words, root, faults, country, bank)


def _load_in_words(
    words: Mapping[str, str], root: Path, faults: FaultsFound, country: str | None, bank: Path | None
) -> Workspace:
    course, config = root / "course", root / "site_config"
    company = load_company(config / "company.yaml", root, faults["company"])
    rules = load_country(config / "rules", root, company, country, faults["rule"])
    lessons = load_pages(course / "lessons", root, faults["page"])
    sheet_laws = load_sheet_laws(course / "sheet_laws.yaml", root, faults["sheet"])
    sheets = load_sheets(config / "fleet", root, faults["sheet"], sheet_laws.fields)
    stops = load_stop_rules(course / "stop_rules.yaml", root, faults["stop"])
    shelf = _load_shelf(root, company, rules, sheets, lessons, stops, faults)
    machine, found = load_machine(course / "machine", root)
    machine = timed_by_first(machine, shelf.sheets)
    faults["machine"] += found
    procedures = load_procedures(course / "procedures", root, faults["procedure"])
    pictures, drawings = load_pictures(course / "pictures", root, faults["picture"])
    instruments, found = load_instruments(course / "pictures" / INSTRUMENTS, root)
    faults["instrument"] += found
    skills = load_skills(course / "skills.yaml", root, faults["skill"])
    return Workspace(
        root=root,
        shelf=shelf,
        rules_by_country=rules.all,
        public_numbers=rules.public_numbers,
        machine=machine,
        items=load_items(root / "quizbank", bank, root, faults["item"]),
        procedures=procedures,
        stations=load_stations(course / "stations", root, faults["station"]),
        duties=skills.duties,
        skills=skills.skills,
        words=words,
        pictures=pictures,
        drawings=drawings,
        sheet_fields=sheet_laws.fields,
        sheet_laws=sheet_laws.laws,
        rule_laws=load_rule_laws(course / "rule_laws.yaml", root, faults["rule"]),
        decks=load_decks(course / "decks.yaml", root, faults["deck"]),
        charts=load_charts(course / "charts.yaml", root, faults["chart"]),
        fuels=_if_there(load_fuels, course / "fuels.yaml", root, faults["fuel"]),
        scheme=load_scheme(config / "scheme.yaml", root, faults["scheme"]) or NO_SCHEME,
        stops=stops,
        lessons=lessons,
        surroundings=make_surroundings(
            shelf,
            machine=machine,
            procedures=procedures,
            pictures=pictures,
            drawings=drawings,
            instruments=instruments,
        ),
    )


def _load_shelf(
    root: Path,
    company: Company,
    rules: CountryRules,
    sheets: Mapping[str, Sheet],
    lessons: Mapping[str, Lesson],
    stops: StopRules,
    faults: FaultsFound,
) -> Shelf:
    course = root / "course"
    register, found = load_register(course / "formulas", root, rule_values(rules.chosen))
    faults["formula"] += found
    shelf = Shelf(
        country=rules.country,
        register=register,
        rules=rules.chosen,
        sheets=sheets,
        tables=_if_there(load_tables, course / "tables.yaml", root, faults["table"]),
        sources=load_sources(course / "sources.yaml", root, faults["source"]),
        terms=load_terms(course / "glossary.yaml", root, faults["term"]),
        company=company,
        results={},
        stop_rules={rule.id: rule for rule in stops.rules},
    )
    return replace(shelf, results=work_results(shelf, lessons.values()))


def _if_there(load: Loader, path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Any]:
    """Return what a file holds; a course without the file has none of it."""
    if not path.exists():
        return {}
    entries, found = load(path, root)
    faults.extend(found)
    return entries


def each_once(faults: Iterable[SourceError]) -> list[SourceError]:
    """Return the faults without those that say the same of the same place."""
    return list({str(fault): fault for fault in faults}.values())


def counts(workspace: Workspace) -> dict[str, int]:
    """Return how much of everything there is, as `warmyard check --json` shows it."""
    items = workspace.items.values()
    return {
        "lessons": sum(page.front.kind == "lesson" for page in workspace.lessons.values()),
        "customer_pages": len(pages_of(workspace.lessons, "customer")),
        "items": len(items),
        "numeric_items": sum(any(kind_of(item).formulas(item)) for item in items),
        "exam_items": sum(item.use == "exam" for item in items),
        "formulas": len(workspace.register.formulas),
        "procedures": len(workspace.procedures),
        "failure_modes": len(workspace.machine.modes),
        "checks": len(workspace.machine.checks),
        "pictures": len(workspace.pictures),
        "stations": len(workspace.stations),
        "skills": len(workspace.skills),
    }
