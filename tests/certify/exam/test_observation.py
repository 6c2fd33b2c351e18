"""Observations: a point not seen is never a pass, a critical one never made up for, and a form is read strictly."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from warmyard.certify.exam.observation import judge, make_form, read_observation, station_digest, write_form
from warmyard.certify.ledger.code import code_of
from warmyard.certify.ledger.schemes import level_of
from warmyard.course.model import Station, StationPoint
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError

STATION = Station(
    id="filter-change", title="Change the filter", minutes=20, levels=(2,), setting="Outdoors, cold.", cut_percent=75,
    skills=("change-the-filter",),
    points=(
        StationPoint(id="cold", look="Waits until it is cold", critical=True),
        StationPoint(id="seal", look="Renews the seal", critical=True),
        *(StationPoint(id=f"tidy-{at}", look=f"Tidy thing {at}") for at in range(4)),
    ),
)  # fmt: skip


def saved(**changes: Any) -> dict[str, Any]:
    """Return a form with every point passed, with changes by field or by point id."""
    marks = {point.id: "pass" for point in STATION.points}
    marks.update({name.replace("_", "-"): mark for name, mark in changes.pop("marks", {}).items()})
    form = {
        "format": "warmyard-observation-1", "form": "form-abc", "person": "ann", "level": 2, "station": STATION.id,
        "points_digest": station_digest(STATION), "role": "first", "observed_on": "2027-03-01", "minutes": 18,
        "points": [{"id": name, "mark": mark} for name, mark in marks.items()],
        "observer": {"person": "eve", "name": "Eve Example"},
    }  # fmt: skip
    return {**form, **changes}


def judged(**changes: Any) -> Any:
    """Return the outcome of a form."""
    return judge(read_observation(json.dumps(saved(**changes)).encode()), STATION)


def test_all_points_passed_is_a_pass() -> None:
    """Every point seen and passed, nothing stopped."""
    outcome = judged()
    assert (outcome.passed, outcome.others_passed, outcome.others, outcome.reason) == (True, 4, 4, "passed")


@pytest.mark.parametrize("mark", ["fail", "not-seen"])
def test_a_critical_point_is_never_made_up_for(mark: str) -> None:
    """One critical point failed or not seen, all others passed: not passed, and the reason names the point."""
    outcome = judged(marks={"seal": mark})
    assert (outcome.passed, outcome.critical_lost) == (False, ("seal",))
    assert "Renews the seal" in outcome.reason
    assert ("never a pass" in outcome.reason) == (mark == "not-seen")


@pytest.mark.parametrize(("lost", "passed"), [(1, True), (2, False)])
def test_not_seen_counts_like_a_fail(lost: int, passed: bool) -> None:
    """Three of four other points are the 75 % cut; not seen is no pass there either."""
    marks = {f"tidy_{at}": "not-seen" for at in range(lost)}
    assert judged(marks=marks).passed is passed


def test_a_stopped_station_is_not_passed() -> None:
    """The observer stopped the work: not passed, whatever the marks say."""
    outcome = judged(stopped="The filler was opened hot.")
    assert (outcome.passed, outcome.stopped, outcome.reason) == (False, True, "the observer stopped it at once")


def test_marks_belong_to_the_points_that_the_form_showed() -> None:
    """A station that was changed since, another station, a point missing, twice or unknown: refused."""
    with pytest.raises(VerificationError, match="changed after this form was made"):
        judged(points_digest="0" * 64)
    with pytest.raises(VerificationError, match="step 4 station"):
        judged(station="other")
    points = saved()["points"]
    for wrong in (points[:-1], [*points, points[0]], [*points, {"id": "extra", "mark": "pass"}]):
        with pytest.raises(VerificationError, match="step 6 marks"):
            judged(points=wrong)


@pytest.mark.parametrize(
    "changes",
    [
        {"passed": True},
        {"minutes": 1.5},
        {"minutes": -1},
        {"observed_on": "2027-02-30"},
        {"observed_on": "yesterday"},
        {"person": "../ann"},
        {"stopped": ""},
        {"observer": {"person": "eve"}},
        {"role": "third"},
        {"points": [{"id": "cold", "mark": "perhaps"}]},
        {"notes": "x" * 5000},
    ],
)
def test_what_is_no_form_is_refused(changes: dict[str, Any]) -> None:
    """An own verdict, odd numbers, days that are none, paths for ids, another mark: refused with the step."""
    with pytest.raises(VerificationError, match=r"observation, step [13]"):
        judged(**changes)


def test_the_code_belongs_to_the_bytes() -> None:
    """With its code a form is read; with one byte changed it is not."""
    data = json.dumps(saved()).encode()
    assert read_observation(data, code_of(data)).person == "ann"
    with pytest.raises(VerificationError, match="step 2 code"):
        read_observation(data.replace(b'"pass"', b'"fail"', 1), code_of(data))


def test_a_form_is_made_for_the_stations_of_the_level(small_workspace: Workspace, tmp_path: Path) -> None:
    """The page holds every point, asks the network for nothing, and another level's station is refused."""
    level = level_of(small_workspace.scheme, 2)
    station = small_workspace.stations["power-fuel-start-stop"]
    path = write_form(tmp_path, small_workspace, level, "ann", station)
    page = path.read_text(encoding="utf-8")
    assert path.parent.name == "forms"
    assert all(json.dumps(point.look, ensure_ascii=False)[1:-1] in page for point in station.points)
    assert not re.search(r"https?://", page)
    with pytest.raises(InputError, match="its stations are power-fuel-start-stop"):
        make_form(small_workspace, level, "ann", STATION)
