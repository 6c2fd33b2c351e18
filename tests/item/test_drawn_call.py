"""Calls that nobody wrote: never an emergency, always solvable, and the harder the more checks they need."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.item.kinds.fault_case.draw import outcome_of
from warmyard.item.kinds.fault_case.drawn_call import difficulty_of, drawn_calls, written_calls
from warmyard.item.kinds.fault_case.marking import mark_case
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import CaseKey, Variant
from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def machine() -> Machine:
    """Give the machine of the course."""
    made, faults = load_machine(ROOT / "course" / "machine", ROOT)
    assert not faults
    assert made is not None
    return made


@pytest.fixture(scope="module")
def variants(machine: Machine) -> list[Variant]:
    """Give every call that can be drawn."""
    around = Surroundings(machine=machine)
    return [make_variant(call, 1, around) for call in (*drawn_calls(machine), *written_calls(machine))]


def test_no_emergency_is_played(machine: Machine) -> None:
    """Fumes inside and a tingle from the casing lead to a procedure, never to a call to play."""
    urgent = {symptom.id for symptom in machine.symptoms.values() if symptom.emergency is not None}
    assert urgent
    assert not urgent & {call.symptom for call in (*drawn_calls(machine), *written_calls(machine))}


def test_every_written_case_is_played_in_its_own_words(machine: Machine) -> None:
    """Each written case that is no emergency is there, with the caller's words, its trap and what it alone shows."""
    calls = {call.id: call for call in written_calls(machine)}
    written = [one for one in machine.call_outs.values() if machine.symptoms[one.symptom].emergency is None]
    assert len(calls) == len(written) >= 20
    for one in written:
        call = calls[f"call-{one.id}"]
        assert (call.as_said, call.trap, call.behind) == (one.as_said, f"What tempts here: {one.trap}", one.behind)
        for check, outcome in one.seen.items():
            assert outcome_of(machine, call, machine.checks[check]) == outcome


def test_every_call_is_solved_by_its_best_way(variants: list[Variant]) -> None:
    """The best way, the cause and what makes the machine fit give full marks in every call."""
    assert len(variants) > 50
    for variant in variants:
        key = variant.key
        assert isinstance(key, CaseKey)
        answer = {"path": list(key.best), "cause": key.cause, "behind": key.behind, "fit": key.fit}
        mark = mark_case(variant.question, key, answer, {})
        assert mark.right, (variant.question.item, mark.reason)
        assert mark.share == pytest.approx(1.0)


def test_all_three_difficulties_are_there(variants: list[Variant]) -> None:
    """There are easy, middling and hard calls, and a hard one takes more checks than an easy one."""
    counted: dict[str, list[int]] = {"easy": [], "middle": [], "hard": []}
    for variant in variants:
        assert isinstance(variant.key, CaseKey)
        checks = [step for step in variant.key.best if not step.startswith("to:")]
        counted[difficulty_of(variant)].append(len(checks))
    assert max(counted["easy"]) < min(counted["middle"])
    assert max(counted["middle"]) < min(counted["hard"])


def test_a_machine_without_a_way_to_play_has_no_calls(machine: Machine) -> None:
    """A model that does not say how calls are played draws none."""
    import msgspec

    assert list(drawn_calls(msgspec.structs.replace(machine, drawn_calls=None))) == []
