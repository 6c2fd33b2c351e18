"""The whole workspace: every source loaded and held against every other, or the list of all faults."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeAlias

from warmyard.course.catalogue import read_or_fault
from warmyard.course.edition import check_edition, check_first_pages, pages_of
from warmyard.course.fleet import load_sheets
from warmyard.course.lesson import Lesson, load_pages
from warmyard.course.lists import load_charts, load_items, load_skills, load_sources, load_terms, load_words
from warmyard.course.model import (
    Chart,
    Company,
    Duty,
    Picture,
    Procedure,
    Rule,
    Sheet,
    Skill,
    Source,
    Station,
    Term,
)
from warmyard.course.picture import INSTRUMENTS, load_pictures
from warmyard.course.procedure import load_procedures
from warmyard.course.references import check_pages, check_references
from warmyard.course.results import work_results
from warmyard.course.rules import load_country, rule_values
from warmyard.course.scheme import NO_SCHEME, check_scheme, load_scheme
from warmyard.course.scheme_model import Scheme
from warmyard.course.station import load_stations
from warmyard.course.surroundings import faulty_formulas, make_surroundings, sound_items
from warmyard.course.values import FollowingError, Result
from warmyard.errors import SourceError, SourceErrors
from warmyard.formula.fuel import Fuel, check_fuels, load_fuels
from warmyard.formula.register import Register, check_register, load_register
from warmyard.formula.table import Table, load_tables
from warmyard.item.check import check_items
from warmyard.item.instrument import load_instruments
from warmyard.item.kinds import Item, Numeric
from warmyard.item.surroundings import Surroundings
from warmyard.machine.load import check_machine, load_machine
from warmyard.machine.model import Likelihoods, Machine
from warmyard.sources import decode, read_document, read_text

NO_COMPANY = Company(
    name="", address="", country="", emergency_phone="", office_phone="", technician_phone="", email="",
    verify_address="",
)  # fmt: skip
NO_MACHINE = Machine(
    states={}, invariants=(), symptoms={}, preconditions={}, ladder=(), checks={}, modes={}, contexts={},
    likelihoods=Likelihoods(),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Workspace:
    """Everything that the sources say, for one country."""

    root: Path
    country: str
    register: Register
    machine: Machine
    items: Mapping[str, Item]
    procedures: Mapping[str, Procedure]
    stations: Mapping[str, Station]
    duties: Mapping[str, Duty]
    skills: Mapping[str, Skill]
    sources: Mapping[str, Source]
    terms: Mapping[str, Term]
    words: Mapping[str, str]
    pictures: Mapping[str, Picture]
    drawings: Mapping[str, str]
    """Picture id -> its SVG text."""
    charts: Mapping[str, Chart]
    tables: Mapping[str, Table]
    fuels: Mapping[str, Fuel]
    sheets: Mapping[str, Sheet]
    rules: Mapping[str, Rule]
    rules_by_country: Mapping[str, Mapping[str, Rule]]
    company: Company
    scheme: Scheme
    lessons: Mapping[str, Lesson]
    """Page id -> page, staff pages first, each edition in the order of its files."""
    results: Mapping[str, Result]
    """Name -> what the worked example of that name gave."""
    surroundings: Surroundings


Loader: TypeAlias = Callable[[Path, Path], tuple[Mapping[str, Any], list[SourceError]]]
Faults: TypeAlias = defaultdict[str, list[SourceError]]
"""Kind of source -> its faults: names of a kind that has faults of its own are not reported missing."""


def load_workspace(root: Path, *, country: str | None = None, bank: Path | None = None) -> Workspace:
    """Return the whole workspace; raise SourceErrors with every fault of every file.

    `country` stands in for the company's; `bank` names a folder of exam items instead of quizbank/exam.
    """
    faults: Faults = defaultdict(list)
    workspace = _load(root, country, bank, faults)
    together = [fault for fault in check_together(workspace, faults) if not _follows(fault, workspace, faults)]
    every = [fault for found in faults.values() for fault in found] + together
    if every:
        raise SourceErrors(_once(every))
    return workspace


def _load(root: Path, country: str | None, bank: Path | None, faults: Faults) -> Workspace:
    """Return what can be read, with empty stand-ins for what cannot, and gather every fault."""
    course, config = root / "course", root / "site_config"
    company = load_company(config / "company.yaml", root, faults["company"])
    rules = load_country(config / "rules", root, company, country, faults["rule"])
    register, found = load_register(course / "formulas", root, rule_values(rules.chosen))
    faults["formula"] += [*found, *check_register(register)]
    machine, found = load_machine(course / "machine", root)
    faults["machine"] += found or (check_machine(machine) if machine else [])
    procedures = load_procedures(course / "procedures", root, faults["procedure"])
    pictures, drawings = load_pictures(course / "pictures", root, faults["picture"])
    sheets = load_sheets(config / "fleet", root, faults["sheet"])
    skills = load_skills(course / "skills.yaml", root, faults["skill"])
    results: dict[str, Result] = {}
    workspace = Workspace(
        root=root,
        country=rules.country,
        register=register,
        machine=machine or NO_MACHINE,
        items=load_items(root / "quizbank", bank, root, faults["item"]),
        procedures=procedures,
        stations=load_stations(course / "stations", root, faults["station"]),
        duties=skills.duties,
        skills=skills.skills,
        sources=load_sources(course / "sources.yaml", root, faults["source"]),
        terms=load_terms(course / "glossary.yaml", root, faults["term"]),
        words=load_words(course / "words.yaml", root, faults["words"]),
        pictures=pictures,
        drawings=drawings,
        charts=load_charts(course / "charts.yaml", root, faults["chart"]),
        tables=_if_there(load_tables, course / "tables.yaml", root, faults["table"]),
        fuels=_if_there(load_fuels, course / "fuels.yaml", root, faults["fuel"]),
        sheets=sheets,
        rules=rules.chosen,
        rules_by_country=rules.all,
        company=company,
        scheme=load_scheme(config / "scheme.yaml", root, faults["scheme"]) or NO_SCHEME,
        lessons=load_pages(course / "lessons", root, faults["page"]),
        results=results,
        surroundings=Surroundings(),
    )
    faults["result"] += work_results(workspace, results)
    instruments, found = load_instruments(course / "pictures" / INSTRUMENTS, root)
    faults["instrument"] += found
    return replace(workspace, surroundings=make_surroundings(workspace, instruments))


def _if_there(load: Loader, path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Any]:
    """Return what a file holds; a course without the file has none of it."""
    if not path.exists():
        return {}
    entries, found = load(path, root)
    faults.extend(found)
    return entries


def check_together(workspace: Workspace, faults: Faults) -> list[SourceError]:
    """Return the faults between sources: wrong names, wrong editions, an incomplete scheme, unsound items."""
    found = check_references(workspace) + check_pages_of(workspace)
    found += check_fuels(workspace.fuels, workspace.register.formulas)
    if workspace.scheme is not NO_SCHEME and not faults["item"] and not faults["skill"]:
        found += check_scheme(workspace.scheme, workspace.skills, workspace.stations, workspace.items)
    return found + check_items(sound_items(workspace, faults), workspace.surroundings, workspace.items)


def check_pages_of(workspace: Workspace) -> list[SourceError]:
    """Return the faults of the pages alone: names in them, and what does not belong in their edition."""
    found = check_pages(workspace) + check_first_pages(workspace.lessons)
    for lesson in workspace.lessons.values():
        found += check_edition(lesson, workspace.items, workspace.procedures)
    return found


def _follows(fault: SourceError, workspace: Workspace, faults: Faults) -> bool:
    """Say whether a fault only follows from one in the source that it names, such as an id in a file not read."""
    if not isinstance(fault, FollowingError) or not faults.get(fault.kind):
        return False
    if fault.kind == "formula" and fault.name in workspace.register.formulas:
        return fault.name in faulty_formulas(workspace, faults["formula"])
    files = {found.place.file for found in faults[fault.kind]}
    return any(_may_hold(workspace.root / file, fault.name) for file in files)


def _may_hold(path: Path, name: str) -> bool:
    """Say whether a faulty file could hold a name: it cannot be read as YAML, or the name stands in it."""
    try:
        read_document(path, path.parent)
        return re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", read_text(path, path.parent)) is not None
    except SourceError:
        return True


def _once(faults: Iterable[SourceError]) -> list[SourceError]:
    return list({str(fault): fault for fault in faults}.values())


def load_company(path: Path, root: Path, faults: list[SourceError]) -> Company:
    """Return the company; a telephone number that is blank is a fault."""
    document = read_or_fault(path, root, faults)
    company: Company | None = None if document is None else decode(document, Company, faults)
    if company is None:
        return NO_COMPANY
    for name in ("name", "emergency_phone", "office_phone", "technician_phone"):
        if not getattr(company, name).strip():
            what = f"the company has no {name.replace('_', ' ')}"
            faults.append(SourceError(company.place.within(name), what, "write it; pages and cards print it"))
    if company.site_address and not company.site_address.startswith("https://"):
        what = f"{company.site_address!r} is no address that a telephone opens safely"
        faults.append(SourceError(company.place.within("site_address"), what, "begin it with https://"))
    return company


def load_register_only(root: Path, country: str | None = None) -> Register:
    """Return the formula register with a country's values; raise SourceErrors. Nothing else is looked at."""
    faults: list[SourceError] = []
    company = load_company(root / "site_config" / "company.yaml", root, faults)
    rules = load_country(root / "site_config" / "rules", root, company, country, faults)
    register, found = load_register(root / "course" / "formulas", root, rule_values(rules.chosen))
    if faults or found:
        raise SourceErrors(_once([*faults, *found]))
    return register


def counts(workspace: Workspace) -> dict[str, int]:
    """Return how much of everything there is, as `warmyard check --json` shows it."""
    items = workspace.items.values()
    return {
        "lessons": sum(page.front.kind == "lesson" for page in workspace.lessons.values()),
        "customer_pages": len(pages_of(workspace.lessons, "customer")),
        "items": len(items),
        "numeric_items": sum(isinstance(item, Numeric) for item in items),
        "exam_items": sum(item.use == "exam" for item in items),
        "formulas": len(workspace.register.formulas),
        "procedures": len(workspace.procedures),
        "failure_modes": len(workspace.machine.modes),
        "checks": len(workspace.machine.checks),
        "pictures": len(workspace.pictures),
        "stations": len(workspace.stations),
        "skills": len(workspace.skills),
    }
