"""What the browser needs of a machine to name suspects and the next check: plain values, nothing to compute twice."""

from __future__ import annotations

from typing import Any

from warmyard.machine.facts import seen_as
from warmyard.machine.ladder import included, ladder_table
from warmyard.machine.model import Check, Machine, Mode


def browser_model(machine: Machine) -> dict[str, Any]:
    """Return the machine as plain values for `WY.diagnosis`, modes and checks in the order of the model."""
    own = {symptom for rung in machine.ladder for symptom in rung.symptoms}
    anywhere = next(iter(machine.symptoms.keys() - own), "")
    likelihoods = machine.likelihoods
    return {
        "modes": [_mode(mode) for mode in machine.modes.values()],
        "checks": [_record_of(check) for check in machine.checks.values()],
        "replaced": _replaced(machine),
        "symptoms": {s.id: {"runs": s.runs, "checksFrom": s.checks_from} for s in machine.symptoms.values()},
        "preconditions": [
            {"id": one.id, "live": one.live, "included": sorted(included(machine, one.id))}
            for one in machine.preconditions.values()
        ],
        "ladder": {start: dict(row) for start, row in ladder_table(machine, anywhere).items()},
        "ladders": {
            symptom: {start: dict(row) for start, row in ladder_table(machine, symptom).items()}
            for symptom in sorted(own)
        },
        "bars": [
            {
                "id": bar.id,
                "symptoms": list(bar.symptoms),
                "contexts": list(bar.contexts),
                "afterStart": bar.after_start,
                "first": bar.first,
                "clearBy": list(bar.clear_by),
            }
            for bar in machine.bars
        ],
        "likelihoods": {
            "strong": likelihoods.strong,
            "weak": likelihoods.weak,
            "other": likelihoods.other,
            "behind": likelihoods.behind,
            "settled": likelihoods.settled,
        },
    }


def _replaced(machine: Machine) -> dict[str, dict[str, dict[str, str]]]:
    """Return symptom -> check -> outcome -> what is seen in its place; what is seen as it is is left out."""
    found = {}
    for symptom in machine.symptoms.values():
        checks = {check.id: dict(seen_as(machine, symptom, check)) for check in machine.checks.values()}
        found[symptom.id] = {check: outcomes for check, outcomes in checks.items() if outcomes}
    return found


def _mode(mode: Mode) -> dict[str, Any]:
    return {
        "id": mode.id,
        "name": mode.name,
        "weight": mode.weight,
        "strong": list(mode.strong),
        "weak": list(mode.weak),
        "seldom": list(mode.seldom),
        "firstCheck": mode.first_check or "",
        "contexts": dict(mode.contexts),
        "behind": list(mode.behind),
        "shows": dict(mode.shows),
    }


def _record_of(check: Check) -> dict[str, Any]:
    return {
        "id": check.id,
        "minutes": check.minutes,
        "needs": check.needs,
        "then": check.then,
        "level": check.level,
        "normal": check.normal,
        "outcomes": list(check.outcomes),
        "contextOnly": check.context_only,
        "sets": dict(check.sets),
        "cannot": list(check.cannot),
        "notAllowed": list(check.not_allowed),
        "whileRunning": list(check.while_running),
    }
