"""The learner's own record as the pages keep it and save it to a file, frozen by version.

The pages read and write it in JavaScript (page/runtime/record_format.js), under the label "wy-practice-record-2".
Fields that a version does not know are kept by the pages, so the shapes let them stand.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Literal, TypeAlias

import msgspec
from msgspec import UNSET, Meta, UnsetType

from warmyard.formats.register import Format, Plain

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


Milliseconds: TypeAlias = Annotated[int, Meta(ge=0, le=2**53 - 1)]
"""An instant: milliseconds since 1970-01-01T00:00Z."""
Step: TypeAlias = Annotated[str, Meta(pattern=r"^[A-Za-z0-9][A-Za-z0-9.-]{0,79}(#[A-Za-z0-9][A-Za-z0-9.-]{0,79})?$")]
"""A page, or a step of it: "L08#two-paths"."""
IdOrNone: TypeAlias = Annotated[str, Meta(pattern=r"^([A-Za-z0-9][A-Za-z0-9.-]{0,79})?$")]
StepOrNone: TypeAlias = Annotated[
    str, Meta(pattern=r"^([A-Za-z0-9][A-Za-z0-9.-]{0,79}(#[A-Za-z0-9][A-Za-z0-9.-]{0,79})?)?$")
]
Flag: TypeAlias = Literal[0, 1]


class Answer2(msgspec.Struct, frozen=True, array_like=True):
    """One answer, as a row: thousands must fit into a browser's storage."""

    day: Day
    """The day where the reader was."""
    at: Milliseconds
    item: IdOrNone
    """Empty where only the skill is known: from a record of version 1."""
    skill: Id
    """The skill that the item was of when it was asked."""
    step: StepOrNone
    right: Flag
    share: Share
    seconds: Annotated[int, Meta(ge=0, le=86400)]
    """From the question shown to the last try; 0 where nobody measured."""
    tries: Annotated[int, Meta(ge=0, le=99)]
    hints: Annotated[int, Meta(ge=0, le=99)]
    shown: Flag
    """1 where the whole answer was shown before it was given."""


class OwnValue2(msgspec.Struct, frozen=True, kw_only=True):
    """A value that the learner found on an own machine."""

    value: str | float | int
    unit: str
    at: Milliseconds


class State2(msgspec.Struct, frozen=True, kw_only=True):
    """Where the memory of a skill stood on another device, without the answers that led there."""

    on: Day
    at: Milliseconds
    stability: Annotated[float, Meta(gt=0)]
    """Days after which nine in ten are still recalled."""
    difficulty: Annotated[float, Meta(ge=1, le=10)]
    answers: Annotated[int, Meta(ge=0, le=65535)]
    right: bool


class Stopped2(msgspec.Struct, frozen=True, kw_only=True):
    """Where the reader was last."""

    step: Step
    at: Milliseconds


class Aimed2(msgspec.Struct, frozen=True, kw_only=True):
    """The level of the scheme that the reader aims at."""

    level: Annotated[int, Meta(ge=1, le=99)]
    at: Milliseconds


class Record2(msgspec.Struct, frozen=True, kw_only=True):
    """The record of one reader: every answer is kept, and whatever follows from answers is worked out of them."""

    format: Literal["wy-practice-record-2"]
    seen: dict[Step, Day]
    """Each step that was opened and gone on from, with the first day."""
    own: dict[Id, dict[str, OwnValue2]]
    """Machine -> field of its sheet -> what the learner found there."""
    states: dict[Id, State2]
    assessments: tuple[Scored1, ...]
    answers: tuple[Answer2, ...]
    stopped: Stopped2 | UnsetType = UNSET
    aimed: Aimed2 | UnsetType = UNSET


def _to_2(record: Plain) -> Plain:
    """A skill that was missed on a day, and the days on which it was right since, are answers at noon of those days."""
    answers = [
        _row(skill, day, right)
        for skill, known in record["skills"].items()
        for day, right in [(known["missed"], 0), *((day, 1) for day in known["days"])]
    ]
    return {
        "format": "wy-practice-record-2",
        "seen": {},
        "own": {},
        "states": {},
        "assessments": record["assessments"],
        "answers": sorted(answers, key=lambda row: (row[1], msgspec.json.encode(row))),
    }


def _row(skill: str, day: str, right: int) -> list[object]:
    noon = datetime.fromisoformat(f"{day}T12:00:00").replace(tzinfo=UTC)
    return [day, round(noon.timestamp() * 1000), "", skill, "", right, right, 0, 0, 0, 0]


PRACTICE_RECORD = Format(
    name="practice-record", title="the practice record", shapes={1: Record1, 2: Record2}, upgrades={1: _to_2}
)
