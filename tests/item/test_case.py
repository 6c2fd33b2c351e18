"""Fault cases: the best way is safe and gets every mark, whatever the fault; what is unsafe ends the case."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from warmyard.item.check import own_answer
from warmyard.item.kinds.fault_case.check import check_case
from warmyard.item.kinds.fault_case.marking import walk_path
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.marking import mark
from warmyard.item.render import question_html
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import CaseKey, Variant
from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine

COMMON: dict[str, Any] = {"skill": "s", "criticality": 2, "use": "practice", "demand": "judge", "ask": "Find it."}


@pytest.fixture(scope="module")
def machine(workspace_root: Path) -> Machine:
    """Give the real machine model of the course."""
    found, faults = load_machine(workspace_root / "course" / "machine", workspace_root)
    assert found is not None, faults
    return found


def case_of(machine: Machine, symptom: str, mode: str, behind: str | None = None, **more: Any) -> Variant:
    """Return the case of one mode under one symptom, from the telephone on."""
    starts_at = next(iter(machine.preconditions))
    item = FaultCase(id="case", symptom=symptom, mode=mode, behind=behind, starts_at=starts_at, **{**COMMON, **more})
    return make_variant(item, 1, Surroundings(machine=machine))


def key_of(variant: Variant) -> CaseKey:
    """Return the key of a case."""
    assert isinstance(variant.key, CaseKey)
    return variant.key


def test_the_best_way_of_every_mode_is_safe_and_gets_every_mark(machine: Machine) -> None:
    """For each mode and each symptom that it strongly shows, walking the key's own best way is a full mark."""
    walked = 0
    for mode in machine.modes.values():
        for symptom in mode.strong:
            if machine.symptoms[symptom].emergency is None:
                variant = case_of(machine, symptom, mode.id)
                found = mark(variant, own_answer(variant))
                assert found.share == 1.0, (mode.id, symptom, found.reason)
                assert len(list(filter(None, key_of(variant).best_reasons))) == len(key_of(variant).best)
                walked += 1
    assert walked > 60


def test_a_cause_behind_is_asked_and_charged(machine: Machine) -> None:
    """Where a mode has another behind it, naming the wrong one costs its fifth of the mark."""
    mode = next(mode for mode in machine.modes.values() if mode.behind and mode.strong)
    variant = case_of(machine, mode.strong[0], mode.id, mode.behind[0])
    assert variant.question.case is not None
    offered = [one.id for one in variant.question.case.behind]
    assert mode.behind[0] in offered
    assert len(offered) > 1
    wrong = next(id for id in offered if id != mode.behind[0])
    found = mark(variant, {**own_answer(variant), "behind": wrong})
    assert found.share == pytest.approx(0.8)
    assert not found.right


def test_every_check_is_offered_and_a_wrong_one_can_be_failed(machine: Machine) -> None:
    """A case of the exam offers all checks, and one that opens a heater that nobody has unplugged ends it."""
    variant = case_of(machine, "spark-no-flame", "tank-empty", use="exam")
    assert variant.question.case is not None
    assert {check.id for check in variant.question.case.checks} == machine.checks.keys()
    found = mark(variant, {"path": ["to:outside-look", "dip-the-tank"], "cause": "tank-empty"})
    assert (found.critical_fail, found.share) == (True, 0.0)


def test_an_outcome_that_means_not_allowed_makes_its_check_forbidden(machine: Machine) -> None:
    """Checks whose outcome says that they are not allowed in this state are a critical fail, with that reason."""
    pairs = [
        (mode, check)
        for mode in machine.modes.values()
        for check in machine.checks.values()
        if mode.shows.get(check.id) in check.not_allowed
        and mode.strong
        and not machine.symptoms[mode.strong[0]].emergency
    ]
    assert pairs
    mode, check = pairs[0]
    key = key_of(case_of(machine, mode.strong[0], mode.id))
    assert check.id in key.forbidden
    assert key.forbidden_reasons[check.id]


def test_the_sentence_that_is_right_does_not_name_its_mode(machine: Machine) -> None:
    """What makes a machine fit to return is chosen under ids that say nothing, and the right one is the mode's own."""
    variant = case_of(machine, "spark-no-flame", "tank-empty")
    assert variant.question.case is not None
    texts = {one.id: one.text for one in variant.question.case.fit}
    assert len(texts) == 4
    assert texts[key_of(variant).fit] == machine.modes["tank-empty"].fit_to_return
    assert not set(texts) & machine.modes.keys()


def test_work_above_the_level_ends_the_case(machine: Machine) -> None:
    """Somebody of level 1 who takes a check of level 3 fails at once, told whose work it is."""
    check = next(check for check in machine.checks.values() if check.level == 3)
    variant = case_of(machine, "spark-no-flame", "tank-empty", level=1, use="exam")
    found = mark(variant, {"path": [f"to:{check.needs}", check.id], "cause": "tank-empty"})
    assert found.critical_fail
    assert "level 3" in found.reason


def test_what_cannot_be_done_from_here_costs_nothing(machine: Machine) -> None:
    """From the telephone nothing is touched, and a meter shows nothing on a motor that stands: no minute, no mark."""
    variant = case_of(machine, "spark-no-flame", "tank-empty", use="exam")
    best = own_answer(variant)
    tried = {**best, "path": ["dip-the-tank", "time-one-start", "gauge-the-electrodes", *best["path"]]}
    assert mark(variant, tried).share == mark(variant, best).share == 1.0
    dead = case_of(machine, "dead", "supply-dead", use="exam")
    assert dead.question.case is not None
    assert isinstance(dead.key, CaseKey)
    (case, key) = (dead.question.case, dead.key)
    down = ["to:ready-to-start", "to:guarded-running-test"]
    walked = walk_path(case, key, [*down, "voltage-while-starting"])
    assert (walked.stopped_by, walked.minutes) == ("", walk_path(case, key, down).minutes)


def test_a_case_on_paper_can_be_worked(machine: Machine) -> None:
    """What was said, every check to tick with its minutes, a line for the cause, and what is fit to return."""
    mode = next(one for one in machine.modes.values() if machine.symptoms[one.strong[0]].emergency is None)
    question = case_of(machine, mode.strong[0], mode.id).question
    assert question.case is not None
    printed = str(question_html(question))
    assert printed.count("<li>") >= len(question.case.checks) > 1
    assert 'class="wy-blank wy-blank--long"' in printed


def test_a_check_says_what_it_involves(machine: Machine) -> None:
    """An unsafe act is named before it is done: a start, a cover off, fuel opened stand beside the check's name."""
    variant = case_of(machine, "spark-no-flame", "tank-empty", use="exam")
    assert variant.question.case is not None
    texts = {check.id: check.text for check in variant.question.case.checks}
    assert texts["look-in-filter-bowl"].endswith("then a start)")
    assert "fuel is opened" in texts["fuel-in-a-jar"]
    for check in variant.question.case.checks:
        assert check.needs == "by-phone" or texts[check.id].endswith(")"), check.id


def test_an_easy_case_for_practice_offers_at_most_ten_checks(machine: Machine) -> None:
    """An easy case is seen at a glance: at most ten checks, the best way and what clears a bar among them."""
    variant = case_of(machine, "spark-no-flame", "tank-empty")
    assert variant.question.case is not None
    offered = {check.id for check in variant.question.case.checks}
    assert len(offered) <= 10
    assert {step for step in key_of(variant).best if not step.startswith("to:")} <= offered
    assert "tank-empty" in {one.id for one in variant.question.case.causes}
    assert mark(variant, own_answer(variant)).share == 1.0


def test_a_case_that_shows_an_emergency_is_a_fault(machine: Machine) -> None:
    """Carbon monoxide at a door, a casualty in the stem, a finding against the stem: each is named by the check."""
    places = {"starts_at": next(iter(machine.preconditions)), "id": "case"}
    around = Surroundings(machine=machine)

    def faults(**more: Any) -> list[str]:
        item = FaultCase(**{**COMMON, **places, "symptom": "smoky", "mode": "flue-slid-down", **more})
        return [fault.what for fault in check_case(item, around)]

    read = {"carbon-monoxide-at-the-door": "co-not-above-outdoors"}
    assert any("emergency" in what for what in faults())
    assert faults(seen=read) == []
    assert any("'headache'" in what for what in faults(seen=read, ask="It smokes, and a guest has a headache."))
    assert faults(seen=read, ask="It smokes. Nobody unwell, no alarm.") == []
    moved = {"contexts": ("moved-by-customer",)}
    against = {**read, "ask-what-changed": "nothing-changed-no-reset-pressed"}
    assert any("against what is reported" in what for what in faults(seen=against, **moved))
    assert any("rules out" in what for what in faults(seen=read, contexts=("mild-weather", "cold-night")))
    assert any("cannot show smoky" in what for what in faults(seen=read, mode="supply-dead"))
