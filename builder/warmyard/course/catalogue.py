"""Entries gathered by id, from one file or from every file of a folder; an id that stands twice is a fault."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from warmyard.errors import Place, SourceError
from warmyard.sources import Document, Reader, as_written, decode, decode_list, part, read_document

ID = re.compile(r"[A-Za-z0-9]+(-[A-Za-z0-9]+)*\Z")


def by_id(entries: Iterable[Any], what: str, faults: list[SourceError]) -> Mapping[str, Any]:
    """Return the entries by their id, in the order found; an id that stands twice or is not kebab-case is a fault."""
    found: dict[str, Any] = {}
    for entry in entries:
        place: Place = entry.place.within("id")
        if not ID.match(entry.id):
            faults.append(SourceError(place, f"{entry.id!r} is not an id", "use letters, digits and single hyphens"))
        if entry.id in found:
            first = found[entry.id].place
            what_to_do = f"rename one; the other stands in {first.file}:{first.line}"
            faults.append(SourceError(place, f"the {what} {entry.id} stands twice", what_to_do))
            continue
        found[entry.id] = entry
    return MappingProxyType(found)


def read_or_fault(path: Path, root: Path, faults: list[SourceError]) -> Document | None:
    """Return the document, or None and a fault."""
    try:
        return read_document(path, root)
    except SourceError as fault:
        faults.append(fault)
        return None


def documents(folder: Path, root: Path, faults: list[SourceError], leave_out: str = "") -> Iterator[Document]:
    """Yield every YAML file of a folder in the order of names."""
    for path in sorted(folder.glob("*.yaml")):
        if path.name != leave_out:
            document = read_or_fault(path, root, faults)
            if document is not None:
                yield document


def one_per_file(folder: Path, root: Path, kind: Any, faults: list[SourceError], leave_out: str = "") -> list[Any]:
    """Return one struct per file of a folder; the file carries the name of its id."""
    entries = []
    for document in documents(folder, root, faults, leave_out):
        entry = decode(document, kind, faults)
        if entry is None:
            continue
        name = document.file.rpartition("/")[2].removesuffix(".yaml")
        if entry.id != name:
            place = document.place("id")
            faults.append(SourceError(place, f"the file {name}.yaml holds the id {entry.id}", "give both one name"))
        entries.append(entry)
    return entries


def listed(path: Path, root: Path, key: str, kind: Any, faults: list[SourceError]) -> list[Any]:
    """Return the entries of one list of a file; the file or the list missing is a fault."""
    document = read_or_fault(path, root, faults)
    return [] if document is None else entries_of(document, key, kind, faults)


def entries_of(
    document: Document, key: str, kind: Any, faults: list[SourceError], read: Reader = as_written
) -> list[Any]:
    """Return the entries of the list `key` of a document; a list that is not there is a fault."""
    if not isinstance(part(document, key), list):
        faults.append(SourceError(document.place(), f"no list named {key}", f"begin the file with `{key}:`"))
        return []
    return list(decode_list(document, kind, faults, key, read))
