"""From a saved observation form to an entry: read strictly, judged here, notes and names kept in the side file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from warmyard.certify.bodies import Observation
from warmyard.certify.canonical import read_json
from warmyard.certify.code import code_of
from warmyard.certify.filing import Desk, Filed, file_observation
from warmyard.certify.observation import judge, read_observation
from warmyard.course.model import Station
from warmyard.errors import InputError


def file_form(desk: Desk, raw: bytes, code: str | None, stations: Mapping[str, Station]) -> Filed:
    """Enter an observation form; raise VerificationError with the step that failed, InputError for wrong people."""
    form = read_observation(raw, code)
    if form.station not in stations:
        raise InputError(f"there is no station {form.station}; stations are {', '.join(stations)}")
    outcome = judge(form, stations[form.station])
    body = Observation(
        station=form.station, level=form.level, observers=(form.observer.person,),
        points={point.id: point.mark for point in form.points}, passed=outcome.passed, stopped=outcome.stopped,
        form=form.form, role=form.role,
    )  # fmt: skip
    on = date.fromisoformat(form.observed_on)
    if on > desk.now.date():
        raise InputError(f"the form says {on}, which lies in the future")
    # The observer's name stays out of the candidate's files: the id tells, and a name may have to be erased.
    kept = read_json(raw, "observation")
    kept["observer"] = {"person": form.observer.person}
    filed = file_observation(desk, form.person, body, {"form": kept, "code": code_of(raw)}, on)
    return Filed(filed.entry, f"{filed.say} ({outcome.reason})")
