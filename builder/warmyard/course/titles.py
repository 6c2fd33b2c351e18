"""What stations and lessons are called, for a judge that knows them by their ids alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from warmyard.course.catalogue import documents
from warmyard.course.lesson import front_matter
from warmyard.errors import SourceError
from warmyard.sources import read_text, relative_name


def titles(root: Path) -> Mapping[str, str]:
    """Return the titles of a workspace's stations and lessons, by the names that `retold` looks for.

    A file that cannot be read leaves its id to be said: nobody waits for an answer about a person until a lesson is
    mended, and `warmyard check` tells the fault.
    """
    return {f"title.{kind}.{front['id']}": front["title"] for kind, front in _fronts(root) if _is_titled(front)}


def _fronts(root: Path) -> Iterator[tuple[str, Any]]:
    faults: list[SourceError] = []
    for document in documents(root / "course" / "stations", root, faults):
        yield "station", document.value
    for path in sorted((root / "course" / "lessons").rglob("*.md")):
        try:
            front = front_matter(read_text(path, root), relative_name(path, root), faults)
        except SourceError:
            continue
        if front is not None:
            yield "lesson", front.value


def _is_titled(front: Any) -> bool:
    return isinstance(front, dict) and all(isinstance(front.get(name), str) for name in ("id", "title"))
