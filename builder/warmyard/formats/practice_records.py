"""The learner's own record as the pages keep it and save it to a file, frozen by version.

The pages read and write it in JavaScript (page/runtime/record_format.js), under the label "wy-practice-record-1".
Fields that a version does not know are kept by the pages, so the shapes let them stand.
"""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

import msgspec
from msgspec import UNSET, Meta, UnsetType

from warmyard.formats.register import Format

Id: TypeAlias = Annotated[str, Meta(pattern=r"^[A-Za-z0-9][A-Za-z0-9.-]{0,79}$")]
Day: TypeAlias = Annotated[str, Meta(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]
Share: TypeAlias = Annotated[float, Meta(ge=0, le=1)]


class Missed1(msgspec.Struct, frozen=True, kw_only=True):
    """A skill that was missed: when last, and on which days it was right since."""

    missed: Day
    days: tuple[Day, ...]


class Question1(msgspec.Struct, frozen=True, kw_only=True):
    """A question of a scored set with its text, so that it outlives the course it came from."""

    item: Id
    seed: int
    share: Share
    right: bool
    critical: bool
    ask: str
    reason: str


class Scored1(msgspec.Struct, frozen=True, kw_only=True):
    """A set that was scored: an assessment, or a mock paper with its outcome as a note."""

    id: Id
    title: str
    on: Day
    at: str
    share: Share
    note: str | UnsetType = UNSET
    items: tuple[Question1, ...]


class Record1(msgspec.Struct, frozen=True, kw_only=True):
    """The record of one reader."""

    format: Literal["wy-practice-record-1"]
    skills: dict[Id, Missed1]
    assessments: tuple[Scored1, ...]


PRACTICE_RECORD = Format(name="practice-record", title="the practice record", shapes={1: Record1}, upgrades={})
