"""The lists that other sources point at: duties and skills, sources, terms, charts, items."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from warmyard.course.catalogue import by_id, documents, entries_of, listed, read_or_fault
from warmyard.course.model import Chart, Deck, Duty, Law, SheetField, Skill, Source, Term
from warmyard.errors import Place, SourceError
from warmyard.formats.items import ITEMS, bring_up_file, bring_up_item, kinds_in
from warmyard.formats.sources import version_named
from warmyard.item.kind_table import ITEM, KINDS
from warmyard.item.model import Item, Use
from warmyard.sources import Document, decode, part


@dataclass(frozen=True, slots=True)
class Skills:
    """The job analysis: duties, and the skills that belong to them."""

    duties: Mapping[str, Duty]
    skills: Mapping[str, Skill]


def load_skills(path: Path, root: Path, faults: list[SourceError]) -> Skills:
    """Return the duties and skills of course/skills.yaml."""
    document = read_or_fault(path, root, faults)
    if document is None:
        return Skills({}, {})
    duties = by_id(entries_of(document, "duties", Duty, faults), "duty", faults)
    return Skills(duties, by_id(entries_of(document, "skills", Skill, faults), "skill", faults))


def load_sources(path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Source]:
    """Return the sources of facts."""
    return by_id(listed(path, root, "sources", Source, faults), "source", faults)


def load_terms(path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Term]:
    """Return the words of the trade."""
    return by_id(listed(path, root, "terms", Term, faults), "term", faults)


@dataclass(frozen=True, slots=True)
class SheetLaws:
    """Unit and range of each field of a data sheet, none where the file names no fields; and what holds of them."""

    fields: Mapping[str, SheetField]
    laws: Mapping[str, Law]


def load_sheet_laws(path: Path, root: Path, faults: list[SourceError]) -> SheetLaws:
    """Return what course/sheet_laws.yaml says of every data sheet; a course without the file has no laws."""
    document = read_or_fault(path, root, faults) if path.exists() else None
    if document is None:
        return SheetLaws({}, {})
    written = part(document, "fields")
    names = [f"fields.{name}" for name in written] if isinstance(written, dict) else ["fields"] * (written is not None)
    fields = {}
    for name in names:
        field = decode(document, SheetField, faults, name)
        if field is None:
            faults[-1].loses = name.partition(".")[2] or None
        else:
            fields[name.partition(".")[2]] = field
    return SheetLaws(fields, by_id(entries_of(document, "laws", Law, faults), "law", faults))


def load_rule_laws(path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Law]:
    """Return what holds for the rules of every country; a course without the file has no such laws."""
    return by_id(listed(path, root, "laws", Law, faults), "law", faults) if path.exists() else {}


def load_charts(path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Chart]:
    """Return the charts of formulas; a course without the file has none."""
    return by_id(listed(path, root, "charts", Chart, faults), "chart", faults) if path.exists() else {}


def load_decks(path: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Deck]:
    """Return the decks of course/decks.yaml; a course without the file has none."""
    return by_id(listed(path, root, "decks", Deck, faults), "deck", faults) if path.exists() else {}


def load_items(bank: Path, exam: Path | None, root: Path, faults: list[SourceError]) -> Mapping[str, Item]:
    """Return all items of quizbank/; `exam` names a folder that stands in for quizbank/exam."""
    found: list[Item] = []
    folders: tuple[tuple[Use, Path], ...] = (("practice", bank / "practice"), ("exam", exam or bank / "exam"))
    for use, folder in folders:
        known = len(faults)
        for document in documents(folder, root, faults):
            for item in _items_of(document, faults):
                found.append(item)
                if item.use != use:
                    what = f"the item {item.id} is for {item.use}, its folder for {use}"
                    place, what_to_do = item.place.within("use"), "move it, or change its use"
                    faults.append(SourceError(place, what, what_to_do, loses=item.id))
    if exam is not None and len(faults) == known and not any(item.use == "exam" for item in found):
        faults.append(SourceError(Place(exam.as_posix(), 1), "the bank holds no items", "name a folder of item files"))
    return by_id(found, "item", faults)


def _items_of(document: Document, faults: list[SourceError]) -> list[Item]:
    version = version_named(ITEMS, document, faults)
    if version is None:
        return []
    written = part(document, "items")
    for at, one in enumerate(written if isinstance(written, list) else ()):
        kind = one.get("kind") if isinstance(one, dict) else None
        if kind in KINDS and kind not in kinds_in(version):
            what_to_do = "add it in builder/warmyard/formats/items.py"
            place = document.place(f"items.{at}.kind")
            faults.append(SourceError(place, f"format {version} of items holds no {kind}", what_to_do, loses=None))
            return []
    if isinstance(written, list):
        decode(document, dict, faults, read=partial(bring_up_file, version))
    return entries_of(document, "items", ITEM, faults, partial(bring_up_item, version))
