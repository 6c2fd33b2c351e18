"""Entries gathered by id, from one file or from every file of a folder; an id that stands twice is a fault."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

import msgspec

from warmyard.errors import FollowingError, Place, SourceError, SourceKind
from warmyard.fields import nearest
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
            # One of the two was meant to be another, and nobody knows which.
            faults.append(SourceError(place, f"the {what} {entry.id} stands twice", what_to_do, loses=None))
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


def one_per_file(
    folder: Path,
    root: Path,
    kind: Any,
    faults: list[SourceError],
    leave_out: str = "",
    before: Callable[[Document, list[SourceError]], Document] = lambda document, faults: document,
) -> list[Any]:
    """Return one struct per file of a folder; the file carries the name of its id.

    `before` looks at each document first: it may add a fault of its own and mend what would be told less well.
    """
    entries = []
    for document in (before(found, faults) for found in documents(folder, root, faults, leave_out)):
        entry = decode(document, kind, faults)
        if entry is None:
            continue
        name = document.file.rpartition("/")[2].removesuffix(".yaml")
        if entry.id != name:
            place = document.place("id")
            lost = f"{name} {entry.id}"
            what = f"the file {name}.yaml holds the id {entry.id}"
            faults.append(SourceError(place, what, "give both one name", loses=lost))
            entry = msgspec.structs.replace(entry, id=name)
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
        what, what_to_do = f"no list named {key}", f"begin the file with `{key}:`"
        faults.append(SourceError(document.place(), what, what_to_do, loses=None))
        return []
    return list(decode_list(document, kind, faults, key, read))


@dataclass(frozen=True, slots=True)
class Side:
    """One of several sources that hold the same names, and where each name stands in it."""

    title: str
    place: Place
    """Where a name would be added that it lacks."""
    names: Mapping[str, Place]


def check_same_names(
    kind: SourceKind, lacking: str, sides: Sequence[Side], used: Collection[str] = ()
) -> list[SourceError]:
    """Return a fault for every name that one side lacks, and for one that stands there in its stead.

    `lacking` says it in words, with {side} and {name}. A name is wanted when more sides have it than lack it; where as
    many have it, those that are `used` are wanted, or all where none is.
    """
    wanted = _wanted(sides, used)
    faults: list[SourceError] = []
    for side in sides:
        spare = [name for name in side.names if name not in wanted]
        for name, other in wanted.items():
            if name in side.names:
                continue
            at, what_to_do = side.place, f"add it, as in {other.file}:{other.line}"
            if spare:
                instead = nearest(name, spare, 0.0)
                spare.remove(instead)
                at, what_to_do = side.names[instead], f"only here stands {instead}: rename it, or {what_to_do}"
            says = lacking.format(side=side.title, name=name)
            faults.append(FollowingError(at, says, what_to_do, (kind, name), loses=name))
        for name in spare:
            what_to_do = "add it for the others, or remove it"
            says = f"only {side.title} has {name}"
            faults.append(FollowingError(side.names[name], says, what_to_do, (kind, name)))
    return faults


def _wanted(sides: Sequence[Side], used: Collection[str]) -> dict[str, Place]:
    """Return the names that every side must have, with the first place where each stands."""
    count = Counter(name for side in sides for name in side.names)
    first = {name: side.names[name] for side in reversed(sides) for name in side.names}
    half = len(sides) / 2
    even = [name for name in first if count[name] == half]
    even = [name for name in even if name in used] or even
    return {name: place for name, place in first.items() if count[name] > half or name in even}
