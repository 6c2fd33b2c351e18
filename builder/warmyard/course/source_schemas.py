"""JSON Schemas (2020-12) of every kind of source file, made from the types that read them, for editors."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

import msgspec

from warmyard.course.fence_table import NODES
from warmyard.course.lesson import Front
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
from warmyard.course.scheme_model import Scheme
from warmyard.course.stop_rule import PhraseGroup, StopAct, StopRule
from warmyard.errors import Place
from warmyard.fields import NOT_WRITTEN, meanings
from warmyard.formats.items import ITEMS
from warmyard.formats.lessons import LESSONS
from warmyard.formats.parts import NAME
from warmyard.formats.register import Format
from warmyard.formats.schemes import SCHEMES
from warmyard.formula.fuel import Fuel
from warmyard.formula.model import Formula
from warmyard.formula.table import LookUpTable
from warmyard.item.instrument import Instrument
from warmyard.item.kind_table import ITEM
from warmyard.machine.load import LISTS, ONES, TEXTS

DIALECT = "https://json-schema.org/draft/2020-12/schema"
ENDING = ".schema.json"
FENCE = "fence"
Schema = dict[str, Any]


@dataclass(frozen=True, slots=True)
class KindOfFile:
    """One kind of source file: where such files lie in a workspace, and how they are made up."""

    files: tuple[str, ...]
    """Patterns below the workspace."""
    title: str
    make: Callable[[], Schema]


def schemas() -> Mapping[str, Schema]:
    """Return name of kind -> its schema."""
    return {
        name: {"$schema": DIALECT, **_without_unwritten(kind.make()), "title": kind.title}
        for name, kind in FILES.items()
    }


def _entry(kind: Any, format_: Format | None = None) -> Callable[[], Schema]:
    """Return what makes the schema of a file that is one object."""

    def make() -> Schema:
        (root,), parts = _components(kind)
        whole: Schema = parts.pop(root["$ref"].rpartition("/")[2])
        if format_ is not None:
            whole["properties"] = {NAME: _format(format_), **whole["properties"]}
        return {**whole, "$defs": parts}

    return make


def _lists(format_: Format | None = None, **kinds: Any) -> Callable[[], Schema]:
    """Return what makes the schema of a file that holds lists of entries under their names."""

    def make() -> Schema:
        refs, parts = _components(*kinds.values())
        named = {name: {"type": "array", "items": ref} for name, ref in zip(kinds, refs, strict=True)}
        if format_ is not None:
            named = {NAME: _format(format_), **named}
        return {"type": "object", "properties": named, "required": list(kinds), "$defs": parts}

    return make


def _sheet_laws() -> Schema:
    """Return the schema of the file whose fields are named and whose laws are a list."""
    (field, law), parts = _components(SheetField, Law)
    fields = {"type": "object", "additionalProperties": field}
    laws = {"type": "array", "items": law}
    return {"type": "object", "properties": {"fields": fields, "laws": laws}, "required": ["laws"], "$defs": parts}


def _formulas() -> Schema:
    (ref,), parts = _components(Formula)
    return {"type": "array", "minItems": 1, "items": ref, "$defs": parts}


def _machine() -> Schema:
    refs, parts = _components(*LISTS.values(), *ONES.values())
    text: Schema = {"type": "object", "additionalProperties": {"type": "string"}}
    lists = {name: {"type": "array", "items": ref} for name, ref in zip(LISTS, refs, strict=False)}
    ones = dict(zip(ONES, refs[len(LISTS) :], strict=True))
    sections = {**lists, **ones, **dict.fromkeys(TEXTS, text)}
    return {"type": "object", "properties": sections, "additionalProperties": False, "minProperties": 1, "$defs": parts}


def _words() -> Schema:
    inner: Schema = {"anyOf": [{"type": "string"}, {"$ref": "#/$defs/words"}]}
    says = "Key to text; a group of words is named fields inside a key."
    group: Schema = {"type": "object", "description": says, "additionalProperties": inner}
    return {**group, "type": ["object", "null"], "$defs": {"words": group}}  # no entry at all is right


def _page() -> Schema:
    """Return the schema of a page's front matter, with that of each fence among its parts."""
    front = _entry(Front, LESSONS)()
    refs, parts = _components(*NODES.values())
    for name, ref in zip(NODES, refs, strict=True):
        fence = parts.pop(ref["$ref"].rpartition("/")[2])
        fence["properties"].pop(FENCE)
        fence["required"] = [field for field in fence.get("required", ()) if field != FENCE]
        parts[name] = fence
    return {**front, "$defs": {**front["$defs"], **parts}}


def _format(format_: Format) -> Schema:
    says = f"Format of the file; the newest is {format_.version}. A file without a format is of format 1."
    fits = list(range(format_.grown_since or format_.version, format_.version + 1))
    return {"enum": fits, "description": says}


def _components(*kinds: Any) -> tuple[tuple[Schema, ...], Schema]:
    refs, parts = msgspec.json.schema_components(kinds, ref_template="#/$defs/{name}")
    for struct in {found.__name__: found for kind in kinds for found in _structs(kind, set())}.values():
        told = meanings(struct)
        for name, field in parts.get(struct.__name__, {}).get("properties", {}).items():
            if name in told:
                field["description"] = f"{told[name]}."
    parts.pop(Place.__name__, None)
    return refs, parts


def _structs(kind: Any, seen: set[Any]) -> Iterator[Any]:
    """Yield every struct that a type is made of."""
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct) and kind not in seen:
        seen.add(kind)
        yield kind
        for field in msgspec.structs.fields(kind):
            yield from _structs(field.type, seen)
    for inner in get_args(kind):
        yield from _structs(inner, seen)


def _without_unwritten(schema: Any) -> Any:
    """Return a schema without the fields that no author writes."""
    if isinstance(schema, list):
        return [_without_unwritten(inner) for inner in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: _without_unwritten(inner) for key, inner in schema.items()}
    if isinstance(found.get("properties"), dict):
        found["properties"] = {name: inner for name, inner in found["properties"].items() if name not in NOT_WRITTEN}
    return found


FILES: Mapping[str, KindOfFile] = {
    "company": KindOfFile(("site_config/company.yaml",), "The company", _entry(Company)),
    "rules": KindOfFile(
        ("site_config/rules/*.yaml",), "Values that a country sets", _lists(public_numbers=PublicNumber, rules=Rule)
    ),
    "sheet": KindOfFile(("site_config/fleet/*.yaml",), "Data sheet of a machine", _entry(Sheet)),
    "scheme": KindOfFile(("site_config/scheme.yaml",), "Certification scheme", _entry(Scheme, SCHEMES)),
    "items": KindOfFile(
        ("quizbank/practice/*.yaml", "quizbank/exam/*.yaml"), "Items of the question bank", _lists(ITEMS, items=ITEM)
    ),
    "formulas": KindOfFile(("course/formulas/*.yaml",), "Formulas of the register", _formulas),
    "machine": KindOfFile(("course/machine/*.yaml",), "Sections of the machine model", _machine),
    "picture": KindOfFile(("course/pictures/*.yaml",), "Description of a drawing", _entry(Picture)),
    "instruments": KindOfFile(("course/pictures/instruments.yaml",), "Instruments", _lists(instruments=Instrument)),
    "procedure": KindOfFile(("course/procedures/*.yaml",), "Procedure as a partial order", _entry(Procedure)),
    "station": KindOfFile(("course/stations/*.yaml",), "Practical observation", _entry(Station)),
    "skills": KindOfFile(("course/skills.yaml",), "Duties and skills", _lists(duties=Duty, skills=Skill)),
    "sources": KindOfFile(("course/sources.yaml",), "Sources of facts", _lists(sources=Source)),
    "glossary": KindOfFile(("course/glossary.yaml",), "Words of the trade", _lists(terms=Term)),
    "decks": KindOfFile(("course/decks.yaml",), "Cards to turn over", _lists(decks=Deck)),
    "charts": KindOfFile(("course/charts.yaml",), "Charts of formulas", _lists(charts=Chart)),
    "sheet_laws": KindOfFile(("course/sheet_laws.yaml",), "What holds for every data sheet", _sheet_laws),
    "rule_laws": KindOfFile(("course/rule_laws.yaml",), "What holds for every country's rules", _lists(laws=Law)),
    "stop_rules": KindOfFile(
        ("course/stop_rules.yaml",), "Stop and go-on rules", _lists(groups=PhraseGroup, acts=StopAct, rules=StopRule)
    ),
    "tables": KindOfFile(("course/tables.yaml",), "What the trade looks up", _lists(tables=LookUpTable)),
    "fuels": KindOfFile(("course/fuels.yaml",), "Values of fuels", _lists(fuels=Fuel)),
    "words": KindOfFile(("course/words.yaml",), "Words of the pages", _words),
    "page": KindOfFile(("course/lessons/*/*.md",), "Front matter of a page; its fences stand in $defs", _page),
}
"""Where a file fits two patterns, the longer one holds."""


def kind_of(file: str) -> str | None:
    """Return the kind of a file by its name from the workspace, or None when no source is named so."""
    from fnmatch import fnmatch

    fitting = [(len(pattern), name) for name, kind in FILES.items() for pattern in kind.files if fnmatch(file, pattern)]
    return max(fitting)[1] if fitting else None
