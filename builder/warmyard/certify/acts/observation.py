"""From a saved observation form to an entry: read strictly, judged here, notes and names kept in the side file."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import msgspec

from warmyard.certify.acts.desk import Desk, Entered, append
from warmyard.certify.exam.observation import ObservationForm, judge, read_observation
from warmyard.certify.ledger.bodies import Observation
from warmyard.certify.ledger.canonical import read_json
from warmyard.certify.ledger.code import code_of
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.ledger.state import State
from warmyard.course.model import Station
from warmyard.errors import InputError
from warmyard.words.sentence import sentence


def enter_form(desk: Desk, raw: bytes, code: str | None, stations: Mapping[str, Station]) -> Entered:
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
    _verify_asked(desk.state, form)
    _verify_two_people(desk.state, form, on)
    # The observer's name stays out of the candidate's files: the id tells, and a name may have to be erased.
    kept = read_json(raw, "observation")
    kept["observer"] = {"person": form.observer.person}
    entered = enter_observation(desk, form.person, body, {"form": kept, "code": code_of(raw)}, on)
    return Entered(entered.entry, sentence("entered.observation", said=entered.say, reason=outcome.reason))


def _verify_asked(state: State, form: ObservationForm) -> None:
    """Raise InputError unless the adopted scheme has the station at the form's level: nobody would ever look at it."""
    _, scheme = adopted_scheme(state)
    offered = [name for part in level_of(scheme, form.level).parts for name in part.stations]
    if form.station not in offered:
        raise InputError(f"level {form.level} does not observe {form.station}; its stations are {', '.join(offered)}")


def _verify_two_people(state: State, form: ObservationForm, on: date) -> None:
    """Raise InputError when one observer is first and second of the same performance: agreement would mean nothing."""
    for fact in state.of(form.person, Observation):
        body = fact.body
        same = (body.level, body.station, fact.entry.effective_on) == (form.level, form.station, on)
        if same and form.observer.person in body.observers and body.role != form.role:
            raise InputError(
                f"{form.observer.person} observed {form.station} of {form.person} on {on} as the {body.role} observer "
                f"already (entry {fact.entry.number}); the {form.role} observer is another person"
            )


def enter_observation(desk: Desk, person: str, body: Observation, content: Mapping[str, Any], on: date) -> Entered:
    """Enter an observation that was judged; its notes and names go to the side file."""
    known_person(desk.state, person)
    for observer in body.observers:
        known_person(desk.state, observer)
        if not desk.state.has_role(observer, "examiner"):
            raise InputError(f"{observer} is not an examiner; enter the role first")
        if observer == person:
            raise InputError("nobody observes himself or herself")
    entry = append(
        desk, "observation", person, lambda digest: msgspec.structs.replace(body, side=digest), on=on, side=content
    )
    word = "entered.station_passed" if body.passed else "entered.station_not_passed"
    return Entered(entry, sentence(word, station=body.station, person=person))
