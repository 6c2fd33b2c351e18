"""Practical observations: one self-contained form per candidate and station, read back strictly and judged.

What a form saves (and `warmyard enter observation FILE` reads): one line of JSON, no unknown field, no null:

    {"format": "warmyard-observation-1",
     "form": "form-k3v7q2xw5npa", "person": "ID", "level": 2, "station": "ID",
     "points_digest": "<64 hex: the station as the form showed it>",
     "role": "first" | "second",            a second observer marks alone, on a form of their own
     "observed_on": "2027-03-31", "minutes": 25,
     "points": [{"id": "ID", "mark": "pass" | "fail" | "not-seen", "note": "..."}, ...],    every point once
     "stopped": "why",                      left out unless the observer stopped the work at once: never a pass
     "notes": "...",                        left out when empty
     "observer": {"person": "ID", "name": "..."}}

The form shows the code of the saved bytes (16 base32 characters of their SHA-256), which the observer writes down and
signs by hand; `read_observation` wants it when it is given. Nothing that a form concludes is believed: `judge` counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from warmyard.certify.ledger.canonical import canonical_bytes, read_json
from warmyard.certify.ledger.code import may_be_code
from warmyard.certify.ledger.envelope import digest, new_name
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.folders import FORMS
from warmyard.course.model import Station
from warmyard.course.scheme_model import Level
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError
from warmyard.formats.forms import OBSERVATION
from warmyard.formats.register import read_labelled
from warmyard.page.observation_form import FormFacts, observation_form
from warmyard.words.sentence import sentence

LARGEST_BYTES = 200_000
Id = Annotated[str, Meta(pattern=r"^[a-z0-9-]{1,40}\Z")]
Note = Annotated[str, Meta(max_length=2000)]
Name = Annotated[str, Meta(min_length=1, max_length=200)]


class PointMark(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the observer saw at one point."""

    id: Id
    mark: Literal["pass", "fail", "not-seen"]
    note: Note = ""


class Observer(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Who observed and signs for it."""

    person: Id
    name: Name


class ObservationForm(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One form as it was saved."""

    format: Literal["warmyard-observation-1"]
    form: Id
    person: Id
    level: Annotated[int, Meta(ge=1, le=9)]
    station: Id
    points_digest: Annotated[str, Meta(pattern=r"^[0-9a-f]{64}\Z")]
    role: Literal["first", "second"]
    observed_on: Annotated[str, Meta(pattern=r"^\d{4}-\d{2}-\d{2}\Z")]
    minutes: Annotated[int, Meta(ge=0, le=1440)]
    points: Annotated[tuple[PointMark, ...], Meta(max_length=200)]
    observer: Observer
    stopped: Annotated[str, Meta(min_length=1, max_length=2000)] | None = None
    notes: Note = ""


class StationOutcome(msgspec.Struct, frozen=True, kw_only=True):
    """What an observation shows. It is a pass only when every critical point was seen and passed, nothing was
    stopped, and the other points reach the station's cut; a point not seen is never a pass."""

    passed: bool
    critical_lost: tuple[str, ...]
    """Critical points that failed or were not seen."""
    others_passed: int
    others: int
    cut_percent: int
    stopped: bool
    reason: str
    """One sentence: the first reason why not, or that it was passed."""


def station_digest(station: Station) -> str:
    """Return the digest of what a form shows of a station, so that marks are never read against other points."""
    points = [{"id": point.id, "look": point.look, "critical": point.critical} for point in station.points]
    return digest(canonical_bytes({"id": station.id, "points": points, "cut_percent": station.cut_percent}))


def write_form(records: Path, workspace: Workspace, level: Level, person: str, station: Station) -> Path:
    """Write the form of a station for a person into forms/ and return its path; raise InputError as `make_form`."""
    form, page = make_form(workspace, level, person, station)
    path = FORMS.at(records) / f"{person}.{station.id}.{form}.html"
    write_whole(path, page.encode())
    return path


def make_form(workspace: Workspace, level: Level, person: str, station: Station) -> tuple[str, str]:
    """Return the id of a new form and its HTML; raise InputError when the station is not one of the level's."""
    if not any(station.id in part.stations for part in level.parts):
        offered = ", ".join(name for part in level.parts for name in part.stations) or "none"
        raise InputError(f"level {level.level} does not observe {station.id}; its stations are {offered}")
    form = f"form-{new_name(12)}"
    facts = FormFacts(
        format=OBSERVATION.label, form=form, person=person, level=level.level, level_name=level.name, station=station,
        points_digest=station_digest(station),
    )  # fmt: skip
    return form, observation_form(facts, workspace.company, workspace.words)


def read_observation(data: bytes, code: str | None = None) -> ObservationForm:
    """Return a saved form; raise VerificationError with the step that failed (and for a code that does not fit)."""
    value = read_json(data, "observation, step 1 JSON", largest_bytes=LARGEST_BYTES)
    if code is not None and not may_be_code(data, code):
        raise VerificationError("observation, step 2 code", "the code is not the code of this file; look at the slip")
    try:
        observation = msgspec.convert(read_labelled(OBSERVATION, value), ObservationForm, strict=True)
        date.fromisoformat(observation.observed_on)
    except (msgspec.ValidationError, ValueError) as problem:
        what = " ".join(str(problem).split())[:200]
        raise VerificationError("observation, step 3 fields", what) from None
    return observation


def judge(observation: ObservationForm, station: Station) -> StationOutcome:
    """Return the outcome counted from the marks; raise VerificationError when they are not this station's marks."""
    if observation.station != station.id:
        raise VerificationError("observation, step 4 station", f"it is for {observation.station}, not {station.id}")
    if observation.points_digest != station_digest(station):
        raise VerificationError(
            "observation, step 5 points", f"the station {station.id} was changed after this form was made"
        )
    marks = {point.id: point.mark for point in observation.points}
    if len(marks) != len(observation.points) or set(marks) != {point.id for point in station.points}:
        raise VerificationError(
            "observation, step 6 marks", "every point of the station is needed exactly once, and no other"
        )
    lost = tuple(point.id for point in station.points if point.critical and marks[point.id] != "pass")
    others = [point.id for point in station.points if not point.critical]
    passed = sum(marks[name] == "pass" for name in others)
    reason = _reason(observation, station, lost, marks, passed, len(others))
    return StationOutcome(
        passed=not reason, critical_lost=lost, others_passed=passed, others=len(others),
        cut_percent=station.cut_percent, stopped=observation.stopped is not None,
        reason=reason or sentence("outcome.passed"),
    )  # fmt: skip


def _reason(
    observation: ObservationForm,
    station: Station,
    lost: tuple[str, ...],
    marks: Mapping[str, str],
    passed: int,
    others: int,
) -> str:
    """Return the first reason why the station is not passed, or nothing."""
    if observation.stopped is not None:
        return sentence("outcome.stopped")
    if lost:
        look = next(point.look for point in station.points if point.id == lost[0])
        return sentence("outcome.not_seen" if marks[lost[0]] == "not-seen" else "outcome.failed", look=look)
    if passed * 100 < station.cut_percent * others:
        return sentence("outcome.below", passed=passed, others=others, cut=station.cut_percent)
    return ""
