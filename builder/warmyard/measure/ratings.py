"""Judges' ratings as a panel writes them down: a line for each item, a chance from each judge."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TypeAlias

import msgspec
from msgspec import Meta

from warmyard.errors import InputError, SourceError
from warmyard.sources import read_document

Chance: TypeAlias = Annotated[float, Meta(ge=0, le=1)]


def read_ratings(path: Path) -> dict[str, list[float]]:
    """Return item -> a chance from each judge, from YAML lines such as `item-id: [0.8, 0.75, 0.9]`.

    Raises InputError for anything that is not a panel's ratings.
    """
    try:
        value = read_document(path, path.parent).value
    except SourceError as problem:
        raise InputError(str(problem)) from None
    try:
        ratings = msgspec.convert(value, dict[str, Annotated[list[Chance], Meta(min_length=2)]], strict=True)
    except msgspec.ValidationError:
        ratings = {}
    if len({len(each) for each in ratings.values()}) != 1:
        what_to_do = (
            "write a line for each item, such as id: [0.8, 0.75], with a rating from each of two judges or more"
        )
        raise InputError(f"{path.name} holds no ratings; {what_to_do}")
    return ratings
