"""Who may decide what, and what is missing until then."""

from __future__ import annotations

from datetime import timedelta

import pytest
from demo_records import Demo
from msgspec import structs

from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.acts.waiver import WaiverFile, enter_waiver
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.rules.assessment import assess
from warmyard.certify.rules.clearance import clearance_of
from warmyard.certify.rules.judge import evidence_on, parts_to_pass, standing
from warmyard.certify.rules.standing import grants_of
from warmyard.course.scheme_model import RenewsWith, Scheme
from warmyard.errors import InputError


def grant(demo: Demo, person: str, *, by: str = "ines", key: SigningKey | None = None, minutes: int = 5) -> object:
    """Try to grant level 2."""
    ledger, state = demo.open()
    return decide(
        ledger, state, person=person, level=2, action="grant", by=by, because="requirements-met",
        on=demo.made.date(), now=demo.made + timedelta(minutes=minutes), signer=key or demo.key("ines"),
    )  # fmt: skip


def desk(demo: Demo, minutes: int) -> Desk:
    """Return the office's desk some minutes later."""
    return Desk(demo.open()[0], demo.made + timedelta(minutes=minutes), demo.key("office"))


@pytest.mark.parametrize(
    ("person", "by", "said"),
    [
        ("edda", "tova", "not a decider"),
        ("edda", "rune", "not a decider"),
        ("edda", "nobody", "nobody with the id"),
        ("edda", "edda", "not a decider"),
        ("edda", "ines", "ines trained edda"),
        ("dane", "ines", "station"),
        ("nobody", "ines", "nobody with the id"),
        ("No Body", "ines", "person id"),
    ],
)
def test_who_may_not_decide(demo: Demo, person: str, by: str, said: str) -> None:
    """Trainer, examiner, stranger, the decider in conflict, anybody before the evidence is whole: one sentence."""
    before = demo.open()[1].count
    with pytest.raises(InputError, match=said):
        grant(demo, person, by=by)
    assert demo.open()[1].count == before


def test_a_decision_wants_the_deciders_own_key(demo: Demo) -> None:
    """The office key, a stranger's key and another person's key do not decide."""
    for key in (demo.key("office"), demo.key("odile"), envelope.new_key()):
        with pytest.raises(InputError, match="own key"):
            grant(demo, "edda", key=key)


@pytest.mark.parametrize(
    ("action", "because", "said"),
    [
        ("grant", "incident-under-review", "no reason to grant"),
        ("suspend", "requirements-met", "no reason to suspend"),
        ("restore", "review-closed", "not suspended"),
        ("refuse", "cut-not-reached", "no decision"),
    ],
)
def test_a_decision_has_a_reason_of_the_scheme(demo: Demo, action: str, because: str, said: str) -> None:
    """The reason is one of the scheme's for that action, and the action fits the state."""
    ledger, state = demo.open()
    with pytest.raises(InputError, match=said):
        decide(
            ledger, state, person="asta", level=2, action=action, by="ines", because=because,  # type: ignore[arg-type]
            on=demo.made.date(), now=demo.made, signer=demo.key("ines"),
        )  # fmt: skip


def test_a_second_decider_decides_where_the_first_may_not(demo: Demo) -> None:
    """Once another decider is entered with a key, the person in whose case the first was in conflict is granted."""
    enter_person(desk(demo, 1), PersonFile(person="vera", name="Vera Dunmore", roles=("decider",)))
    key = envelope.new_key()
    enter_key(desk(demo, 2), KeyFile(action="add", person="vera"), key)
    state = demo.open()[1]
    waits = clearance_of(state, "edda", "hand-over", demo.made.date())
    assert waits.reason.endswith("the evidence is complete and waits for a decision")
    grant(demo, "edda", by="vera", key=key)
    assert clearance_of(demo.open()[1], "edda", "hand-over", demo.made.date()).may_go_alone


def test_a_countersigned_waiver_lets_the_only_decider_decide(demo: Demo) -> None:
    """With a waiver that a second person countersigned the decision is made, and it names the waiver."""
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("trained",), because="Nobody else is here.", second="odile"
    )
    enter_waiver(desk(demo, 1), file, demo.key("odile"))
    grant(demo, "edda")
    state = demo.open()[1]
    assert clearance_of(state, "edda", "hand-over", demo.made.date()).may_go_alone
    decision = state.facts["edda"][-1].body
    assert state.by_number[decision.waiver].entry.kind == "waiver"


def test_a_waiver_for_one_conflict_does_not_cover_another(demo: Demo) -> None:
    """A waiver about examining does not let the one decide who trained."""
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("examined",), because="Short of people.", second="odile"
    )
    enter_waiver(desk(demo, 1), file, demo.key("odile"))
    with pytest.raises(InputError, match="may not decide"):
        grant(demo, "edda")


@pytest.mark.parametrize(
    ("second", "key", "said"),
    [("ines", "ines", "countersigned"), ("tova", "odile", "countersigned"), ("odile", "ines", "second key"),
     ("edda", "odile", "countersigned")],
)  # fmt: skip
def test_a_waiver_wants_another_pair_of_eyes(demo: Demo, second: str, key: str, said: str) -> None:
    """Neither the decider nor the candidate countersigns, nor somebody without the role, nor with another's key."""
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("trained",), because="Nobody else.", second=second
    )
    with pytest.raises(InputError, match=said):
        enter_waiver(desk(demo, 1), file, demo.key(key))


def test_a_changed_waiver_does_not_stand(demo: Demo) -> None:
    """The countersignature is over the very waiver: another level or person, and it is refused."""
    office = desk(demo, 1)
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("trained",), because="Nobody else.", second="odile"
    )
    body = dict(enter_waiver(office, file, demo.key("odile")).entry.body)
    later = desk(demo, 2)
    for person, changed in (("dane", body), ("edda", {**body, "level": 3}), ("edda", {**body, "waiver": "w-other"})):
        with pytest.raises(InputError, match="second signature"):
            later.ledger.append("waiver", person, changed, later.now.date(), later.now, later.signer)


def test_what_is_missing_is_said_in_the_order_of_the_scheme(demo: Demo) -> None:
    """Prerequisites first with their counts, then papers, then stations."""
    enter_person(desk(demo, 1), PersonFile(person="vera", name="Vera Marlow"))
    day = demo.made.date().isoformat()
    file = EvidenceFile(person="vera", what="supervised-hours", level=2, count=12, by="tova", on=day)
    enter_evidence(desk(demo, 2), file)
    state = demo.open()[1]
    _, scheme = adopted_scheme(state)
    missing = assess(state, level_of(scheme, 2), "vera", demo.made.date()).missing
    assert any("(12 of 40)" in line for line in missing)
    kinds = [("prerequisite" in line and "p") or ("sat" in line and "k") or "s" for line in missing]
    assert kinds == sorted(kinds, key="pks".index)
    assert clearance_of(state, "vera", "hand-over", demo.made.date()).reason.endswith(missing[0])


def test_a_renewal_wants_fresh_papers_and_stations(demo: Demo) -> None:
    """What earned the last certificate does not earn the next one."""
    with pytest.raises(InputError, match="was not sat"):
        grant(demo, "bram")


def with_renewal(demo: Demo, months_after: int) -> Scheme:
    """Return the demo's scheme with a renewal of the paper and the one station, so many months after the end."""
    _, scheme = adopted_scheme(demo.open()[1])
    (level,) = scheme.levels
    stations = level.parts[1].stations
    renews = RenewsWith(parts=("knowledge",), stations=stations, months_after=months_after)
    more = structs.replace(level.parts[0], id="sums", title="Paper: sums")
    changed = structs.replace(level, parts=(*level.parts, more), renews_with=renews)
    return structs.replace(scheme, levels=(changed,))


@pytest.mark.parametrize(("days_after_end", "whole"), [(-40, False), (0, False), (89, False), (100, True)])
def test_a_renewal_in_time_asks_for_less(demo: Demo, days_after_end: int, whole: bool) -> None:
    """Before the end and up to three months after it the scheme's renewal; later, or without a grant, everything."""
    state, scheme = demo.open()[1], with_renewal(demo, 3)
    level = scheme.levels[0]
    last = standing(state, next(grants_of(state, "bram")), demo.made.date()).until
    asked = [part.id for part in parts_to_pass(state, "bram", level, last + timedelta(days=days_after_end))]
    assert asked == [part.id for part in level.parts if whole or part.id != "sums"]
    assert [part.id for part in parts_to_pass(state, "dane", level, last)] == [part.id for part in level.parts]
    assert [part.id for part in parts_to_pass(state, "finn", level, demo.made.date())] == [p.id for p in level.parts]


def test_what_a_stolen_key_decided_is_decided_again_on_the_same_evidence(demo: Demo) -> None:
    """The candidate sits nothing again: a grant without force used no evidence up."""
    assert "reported stolen" in clearance_of(demo.open()[1], "nadia", "hand-over", demo.made.date()).reason
    grant(demo, "nadia")
    assert clearance_of(demo.open()[1], "nadia", "hand-over", demo.made.date()).may_go_alone
    with pytest.raises(InputError, match="was not sat"):
        grant(demo, "nadia", minutes=9)


@pytest.mark.parametrize(("days_ago", "counts"), [(300, True), (420, False)])
def test_first_aid_ages_where_the_scheme_says_so(demo: Demo, days_ago: int, counts: bool) -> None:
    """Evidence older than its months is missing, and the sentence says why; without months it never ages."""
    _, scheme = adopted_scheme(demo.open()[1])
    (level,) = scheme.levels
    ages = tuple(
        structs.replace(wanted, valid_months=12 if wanted.id == "handling-and-extinguisher" else None)
        for wanted in level.prerequisites
    )
    enter_person(desk(demo, 1), PersonFile(person="vera", name="Vera Marlow"))
    for wanted in level.prerequisites:
        on = (demo.made - timedelta(days=days_ago)).date().isoformat()
        file = EvidenceFile(person="vera", what=wanted.id, level=2, count=wanted.count, by="tova", on=on)
        enter_evidence(desk(demo, 2), file)
    state, today = demo.open()[1], demo.made.date()
    aged = structs.replace(level, prerequisites=ages)
    missing = [each.missing for each in evidence_on(state, aged, "vera", today).prerequisites if each.missing]
    assert [line for line in missing if "older than 12 months" not in line] == []
    assert bool(missing) is not counts
    assert [each.missing for each in evidence_on(state, level, "vera", today).prerequisites if each.missing] == []
