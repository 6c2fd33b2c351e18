"""The form of a station, as an observer's page saves it."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from warmyard.formats.register import Format

Id = Annotated[str, Meta(pattern=r"^[a-z0-9-]{1,40}\Z")]
Note = Annotated[str, Meta(max_length=2000)]
Name = Annotated[str, Meta(min_length=1, max_length=200)]


class FormShape(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A frozen shape."""


class PointMark1(FormShape, frozen=True, kw_only=True):
    id: Id
    mark: Literal["pass", "fail", "not-seen"]
    note: Note = ""


class Observer1(FormShape, frozen=True, kw_only=True):
    person: Id
    name: Name


class ObservationForm1(FormShape, frozen=True, kw_only=True):
    format: Literal["warmyard-observation-1"]
    form: Id
    person: Id
    level: Annotated[int, Meta(ge=1, le=9)]
    station: Id
    points_digest: Annotated[str, Meta(pattern="^[0-9a-f]{64}\\Z")]
    role: Literal["first", "second"]
    observed_on: Annotated[str, Meta(pattern="^\\d{4}-\\d{2}-\\d{2}\\Z")]
    minutes: Annotated[int, Meta(ge=0, le=1440)]
    points: Annotated[tuple[PointMark1, ...], Meta(max_length=200)]
    observer: Observer1
    stopped: Annotated[str, Meta(min_length=1, max_length=2000)] | None = None
    notes: Note = ""


OBSERVATION = Format(name="observation", title="the form of a station", shapes={1: ObservationForm1}, upgrades={})
