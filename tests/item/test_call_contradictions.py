"""Four hundred drawn calls without one contradiction: stem, contexts and answers read as a caller would read them.

The phrases are written by hand and apart from the facts of the model, so that a slip there is found here.
"""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import pytest

from warmyard.course.workspace import read_workspace
from warmyard.item.kinds.fault_case.drawn_call import drawn_calls, written_calls
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Case

CALLS = 400
NO_FLAME = r"flame comes|steady flame is|pale flame|the flame (shakes|holds)|it runs[,.]|it starts and runs|full start"
NO_RISE = r"\brise is (as|high|low|right|not)|smoke high|flue temperature|oxygen shifts|no shift"
NO_SPARK = r"crackle, no flame|crackle stops"
AGAINST = {
    "dead": rf"{NO_FLAME}|{NO_RISE}|crackle|lamp is dim|it has power|bubbles keep coming|within their limits",
    "no-start-on-demand": rf"{NO_RISE}|crackle|solid fuel|nothing lights|socket is off|device is out|pulls and clicks",
    "no-spark-lockout": rf"{NO_FLAME}|{NO_RISE}|{NO_SPARK}|nothing lights|locks out during purge",
    "spark-no-flame": rf"flame (comes|shakes|holds)|pale flame|full start|{NO_RISE}|no crackle|nothing lights",
    "flame-lost": rf"full start|{NO_RISE}|no crackle|no flame, lockout|nothing lights|spark is weak or absent",
    "late-light-up": r"full start|no crackle|no flame, lockout|no steady flame|nothing lights",
    "smoky": r"clear and fixed|gas within their limits|no steady flame|no crackle|only after the stop",
    "overheat-trip": r"had not tripped|full start|no crackle|no steady flame|nothing lights",
    "weak-heat": r"no steady flame|no crackle|stops on heat|had tripped|nothing lights|no flame, lockout",
    "run-on-wrong": r"no steady flame|no crackle|nothing lights|no flame, lockout",
    "trips-protection": r"full start|shows a good supply|the supply is on|pulls and clicks|it runs",
    "erratic-cycling": r"nothing lights|socket is off|device is out\b(?! at)",
    "fuel-drip": r"everything stays dry|never lit",
    "will-not-stop": r"heater obeys|no steady flame|no crackle|nothing lights|stops on heat",
    "lockout-in-purge": rf"{NO_FLAME}|{NO_RISE}|crackle|pulls and clicks|nothing lights|not in lockout",
}
EMERGENCY = r"carbon monoxide (above|high)|above the outdoor reading (at|inside)|headache|unconscious|alarm sounds"
TOLD = {
    "burner-serviced": ("ask-what-changed", "serviced"),
    "filter-changed": ("ask-what-changed", "filter was changed"),
    "moved-by-customer": ("ask-what-changed", "moved"),
    "fuel-unknown": ("ask-what-changed", "nobody can name"),
    "resets-pressed": ("ask-what-changed", "more than once"),
    "cold-night": ("ask-what-changed", "froze"),
    "colder-than-plugging": ("ask-what-changed", "colder in the night"),
    "device-seen-tripped": ("see-the-supply", "device is out"),
    "supply-seen-off": ("see-the-supply", "off"),
    "gauge-reads-empty": ("read-the-fuel-gauge", "empty"),
}


@pytest.fixture(scope="module")
def drawn(workspace_root: Path) -> list[tuple[FaultCase, Case]]:
    """Give four hundred drawn calls: of the model, those that were written, and the cases of the question bank."""
    workspace = read_workspace(workspace_root)
    banked = (item for item in workspace.items.values() if isinstance(item, FaultCase))
    calls = [*drawn_calls(workspace.machine), *written_calls(workspace.machine), *banked]
    found = []
    for seed in itertools.count(1):
        for call in calls:
            case = make_variant(call, seed, workspace.surroundings).question.case
            assert case is not None
            found.append((call, case))
            if len(found) == CALLS:
                return found
    raise AssertionError


def test_no_answer_contradicts_what_was_reported(drawn: list[tuple[FaultCase, Case]]) -> None:
    """Whatever check is chosen, what it shows can be true of a heater that does what the caller says."""
    assert len(drawn) == CALLS
    assert len({call.id for call, _ in drawn}) > 150
    for call, case in drawn:
        against = AGAINST.get(call.symptom, "(?!)")
        for check in case.checks:
            assert not re.search(against, check.sees, re.IGNORECASE), (call.id, check.id, check.sees)


def test_what_is_told_is_told_again(drawn: list[tuple[FaultCase, Case]]) -> None:
    """A circumstance of the case is what the question about it answers; nobody says that nothing changed."""
    asked = 0
    for call, case in drawn:
        sees = {check.id: check.sees for check in case.checks}
        for context in call.contexts:
            check, words = TOLD.get(context, ("", ""))
            if check in sees and check not in call.seen:
                asked += 1
                assert words in sees[check], (call.id, context, sees[check])
        assert not any("Nothing was changed" in text for text in sees.values()), call.id
    assert asked > 100


def test_no_emergency_is_drawn(drawn: list[tuple[FaultCase, Case]]) -> None:
    """Carbon monoxide, an alarm or a casualty is in no stem and no answer."""
    for call, case in drawn:
        for text in (case.as_said, *case.contexts, *(check.sees for check in case.checks)):
            assert not re.search(EMERGENCY, text, re.IGNORECASE), (call.id, text)


def test_an_easy_call_offers_ten_checks_at_most(drawn: list[tuple[FaultCase, Case]]) -> None:
    """There are calls that offer ten checks, and none of those that offer fewer than all offers more than ten."""
    everything = max(len(case.checks) for _, case in drawn)
    few = [len(case.checks) for _, case in drawn if len(case.checks) < everything]
    assert len(few) > 50
    assert max(few) <= 10


def test_no_trap_accuses(drawn: list[tuple[FaultCase, Case]]) -> None:
    """A trap names what tempts; it never says that the reader did it."""
    for call, _ in drawn:
        assert not call.trap.startswith("You "), (call.id, call.trap)
        assert " you press" not in call.trap.lower(), (call.id, call.trap)
