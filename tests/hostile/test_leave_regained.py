"""Ways back to leave that was taken, or to leave that was never given: the board says no, and why."""

from __future__ import annotations

import dataclasses
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from demo_records import Demo

from warmyard.certify.acts.correction import VoidFile, enter_void
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.observation import enter_form
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.acts.scheme import enter_scheme
from warmyard.certify.demo.files import form_file
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.rules.assessment import assess
from warmyard.certify.rules.clearance import Clearance, clearance_of
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError

UPPER = "set-combustion"
"""An activity that only level 3 allows."""


@dataclass
class Insider:
    """Somebody with the office's keys and a tool of their own."""

    target: Demo
    workspace: Workspace
    minutes: int = 1

    def desk(self, key: str = "office") -> Desk:
        """Return a desk, each time a minute later."""
        self.minutes += 1
        return self.target.desk(key, self.minutes)

    def append(self, kind: str, person: str, body: dict[str, Any], key: str = "office", days: int = 0) -> int:
        """Append an entry past all desks."""
        desk = self.desk(key)
        on = desk.now.date() + timedelta(days=days)
        return desk.ledger.append(kind, person, body, on, desk.now, desk.signer)[0].number

    def decide(self, person: str, level: int, action: Any, because: str, days: int = 0) -> int:
        """Decide as Ines does, with effect in so many days."""
        desk = self.desk("ines")
        return decide(
            desk.ledger, desk.state, person=person, level=level, action=action, by="ines", because=because,
            on=desk.now.date() + timedelta(days=days), now=desk.now, signer=desk.signer,
        ).number  # fmt: skip

    def grant(self, person: str, level: int = 2) -> dict[str, Any]:
        """Return the body of somebody's grant under another certificate number and place."""
        grants = self.target.state().grants.values()
        found = [fact.body for fact in grants if fact.entry.person == person and fact.body.level == level]
        body: dict[str, Any] = {**msgspec.to_builtins(found[-1]), "certificate": "c-new", "index": 131_000}
        body.pop("waiver", None)
        return body

    def stolen(self, name: str, since: int) -> None:
        """Report a key stolen since an entry."""
        file = KeyFile(action="stolen", person=name, since_entry=since, key=self.target.key(name).id)
        enter_key(self.desk(), file, None)

    def void(self, number: int) -> None:
        """Make an entry void."""
        enter_void(self.desk(), VoidFile(entry=number, because="false-record"))

    def goes(self, person: str, activity: str = "fuel-and-start", days: int = 0) -> Clearance:
        """Return what the board says."""
        return clearance_of(self.target.state(), person, activity, self.target.made.date() + timedelta(days=days))


def rests_on_withdrawn(t: Insider) -> Clearance:
    """Withdraw level 2, grant it anew from a day far ahead, and go out under level 3 today."""
    t.decide("sten", 2, "withdraw", "bypass-shown")
    t.append("decision", "sten", t.grant("sten"), "ines", days=200)
    return t.goes("sten", UPPER)


def rests_on_regranted(t: Insider) -> Clearance:
    """Withdraw level 2, grant it anew today, and take level 3 for restored with it."""
    t.decide("sten", 2, "withdraw", "bypass-shown")
    t.append("decision", "sten", t.grant("sten"), "ines")
    return t.goes("sten", UPPER)


def rests_on_void(t: Insider) -> Clearance:
    """Show the evidence of level 2 to be false, and go on under level 3."""
    t.void(t.grant("sten")["evidence"][0])
    return t.goes("sten", UPPER)


def restored_by_thief(t: Insider) -> Clearance:
    """Lift a suspension with a stolen key."""
    t.stolen("ines", t.decide("cleo", 2, "restore", "review-closed"))
    return t.goes("cleo")


def looked_at_by_thief(t: Insider) -> Clearance:
    """Enter the missed surveillance with a stolen key."""
    number = t.append("evidence", "greta", {"what": SURVEILLANCE, "level": 2, "by": "rune"}, "odile")
    assert t.goes("greta").may_go_alone
    t.stolen("odile", number)
    return t.goes("greta")


def read_by_thief(t: Insider) -> Clearance:
    """Answer a notice for somebody with a stolen key."""
    notice = next(iter(t.target.state().notices))
    number = t.append("acknowledgement", "jory", {"notice": notice}, "odile")
    assert t.goes("jory").may_go_alone
    t.stolen("odile", number)
    return t.goes("jory")


def waived_by_thief(t: Insider) -> Clearance:
    """Countersign a waiver with a stolen key."""
    waiver = next(fact.entry.number for fact in t.target.state().facts["otis"] if fact.entry.kind == "waiver")
    t.stolen("odile", waiver)
    return t.goes("otis")


def without_evidence(t: Insider) -> Clearance:
    """Grant with a tool of one's own, on nothing."""
    t.append("decision", "dane", {**t.grant("asta"), "evidence": []}, "ines")
    return t.goes("dane")


def on_evidence_of_another(t: Insider) -> Clearance:
    """Grant on the evidence of somebody else."""
    t.append("decision", "dane", t.grant("asta"), "ines")
    return t.goes("dane")


def without_end(t: Insider) -> Clearance:
    """Grant until the end of the century."""
    t.append("decision", "asta", {**t.grant("asta"), "until": "2099-12-31"}, "ines")
    return t.goes("asta", days=5000)


def more_activities(t: Insider) -> Clearance:
    """Grant level 2 with the activities of level 3."""
    body = t.grant("asta")
    t.append("decision", "asta", {**body, "activities": [*body["activities"], UPPER]}, "ines")
    return t.goes("asta", UPPER)


def without_surveillance(t: Insider) -> Clearance:
    """Grant without surveillance to somebody who missed it."""
    body = t.grant("greta")
    t.append("decision", "greta", {**body, "surveillance_months": 0, "until": body["until"]}, "ines")
    return t.goes("greta")


def dated_back(t: Insider) -> Clearance:
    """Grant in a conflict of interest, dated before the conflict began."""
    state = t.target.state()
    _, scheme = adopted_scheme(state)
    evidence = assess(state, level_of(scheme, 2), "edda", t.target.made.date()).evidence
    t.append("decision", "edda", {**t.grant("asta"), "evidence": evidence}, "ines", days=-4000)
    return t.goes("edda")


def renewed_on_a_false_one(t: Insider) -> Clearance:
    """Keep a renewal, with its shorter list, although the first certificate was shown to be false."""
    state = t.target.state()
    first, last = [fact.body for fact in state.grants.values() if fact.entry.person == "ulla"]
    t.void(next(number for number in first.evidence if number not in last.evidence))
    return t.goes("ulla")


def for_another_term(person: str) -> Callable[[Insider], Clearance]:
    """Return the attack that grants somebody another term on the examinations of the last."""

    def attack(t: Insider) -> Clearance:
        until = t.target.made.date() + timedelta(days=365)
        t.append("decision", person, {**t.grant(person), "until": until.isoformat()}, "ines")
        return t.goes(person, days=300)

    return attack


def counted_twice(t: Insider) -> Clearance:
    """Name the same few hours many times among the evidence."""
    state = t.target.state()
    hours = next(fact.entry.number for fact in state.facts["karin"] if "hours" in fact.entry.body.get("what", ""))
    numbers = [fact.entry.number for fact in state.facts["karin"] if fact.entry.kind in ("evidence", "observation")]
    numbers += [fact.entry.number for fact in state.facts["karin"] if fact.entry.kind == "sitting"]
    t.append("decision", "karin", {**t.grant("asta"), "evidence": [*numbers, hours, hours]}, "ines")
    return t.goes("karin")


ATTACKS: dict[str, tuple[Callable[[Insider], Clearance], str]] = {
    "level 2 withdrawn and granted for next year, level 3 used today": (rests_on_withdrawn, "rests, was withdrawn"),
    "level 2 withdrawn and granted anew, level 3 taken for restored": (rests_on_regranted, "rests, was withdrawn"),
    "level 3 on a level 2 whose evidence was false": (rests_on_void, "rests, has no force: evidence"),
    "a suspension lifted with a stolen key": (restored_by_thief, "suspended on"),
    "a surveillance entered with a stolen key": (looked_at_by_thief, "surveillance was due"),
    "a notice answered with a stolen key": (read_by_thief, "was to be read again"),
    "a waiver countersigned with a stolen key": (waived_by_thief, "trained this person"),
    "a grant on nothing with a decider's own tool": (without_evidence, "less than its scheme asks for"),
    "a grant on the evidence of another person": (on_evidence_of_another, "another person or level"),
    "a grant until the end of the century": (without_end, "more than its scheme allows"),
    "a grant of level 2 with the activities of level 3": (more_activities, "more than its scheme allows"),
    "a grant without surveillance": (without_surveillance, "more than its scheme allows"),
    "a renewal of a certificate that was false": (renewed_on_a_false_one, "less than its scheme asks for"),
    "the same hours named three times": (counted_twice, "less than its scheme asks for (Hours"),
    "another term on the examinations of the last, after its end": (for_another_term("bram"), "used up"),
    "another term on the examinations of the last, in time": (for_another_term("greta"), "used up"),
    "another term on the examinations of before a withdrawal": (for_another_term("finn"), "used up"),
    "a grant in a conflict, dated before it": (dated_back, "trained this person"),
}


@pytest.fixture
def insider(whole_demo: Demo, tmp_path: Path, whole_workspace: Workspace) -> Insider:
    """Give an insider at a copy of the whole demo, which has two levels."""
    records = tmp_path / "records"
    shutil.copytree(whole_demo.records, records)
    return Insider(dataclasses.replace(whole_demo, records=records), whole_workspace)


@pytest.mark.parametrize("name", ATTACKS)
def test_attack(insider: Insider, name: str) -> None:
    """The ledger verifies, and the board says no, and why."""
    attack, said = ATTACKS[name]
    found = attack(insider)
    assert not found.may_go_alone
    assert said in found.reason


def test_evidence_under_a_stolen_key_is_no_evidence(insider: Insider) -> None:
    """Hours that a thief entered count for nothing when somebody decides."""
    body = {"what": "supervised-hours", "level": 2, "by": "tova", "count": 14}
    insider.stolen("odile", insider.append("evidence", "karin", body, "odile"))
    with pytest.raises(InputError, match="26 of 40"):
        insider.decide("karin", 2, "grant", "requirements-met")


def test_a_level_that_the_scheme_has_no_more_can_still_be_taken_away(insider: Insider) -> None:
    """When a level leaves the scheme its certificates are out there, and can be suspended, told to read, withdrawn."""
    scheme = insider.workspace.scheme
    enter_scheme(insider.desk(), msgspec.structs.replace(scheme, version="3", levels=scheme.levels[:1]))
    assert insider.goes("sten", UPPER).may_go_alone
    insider.decide("sten", 3, "suspend", "incident-under-review")
    assert "suspended on" in insider.goes("sten", UPPER).reason


def test_a_form_from_before_the_last_certificate_renews_nothing(insider: Insider) -> None:
    """What was seen before the certificate, or before its withdrawal, shows nothing when its form comes later."""
    level = insider.workspace.scheme.levels[0]
    assert level.renews_with is not None
    wanted = level.renews_with.stations[0]
    for person, at in (("bram", "a"), ("finn", "b")):
        desk = insider.desk()
        plain = json.loads(form_file(insider.workspace.stations[wanted], person, 2, "rune", desk.now))
        plain |= {"form": f"form-{at * 12}", "observed_on": "2022-01-01"}
        enter_form(desk, json.dumps(plain).encode(), None, insider.workspace.stations)
        found = assess(
            insider.target.state(), level_of(insider.workspace.scheme, 2), person, insider.target.made.date()
        )
        assert f"station {wanted} is missing: nobody has observed it yet" in found.missing


def test_a_paper_out_before_the_last_certificate_renews_nothing(insider: Insider) -> None:
    """A paper that lay in a drawer since before the certificate is no paper for its renewal."""
    state, made = insider.target.state(), envelope.new_key()
    sitting = next(fact.body for fact in state.sittings.values() if fact.entry.person == "edda")
    paper = msgspec.structs.replace(state.papers[sitting.paper].body, paper="paper-of-old", side="")
    insider.append("paper", "edda", msgspec.to_builtins(paper))
    enter_person(insider.desk(), PersonFile(person="milo", name="Milo", roles=("decider",)))
    enter_key(insider.desk(), KeyFile(action="add", person="milo"), made)
    desk = insider.desk()
    decide(
        desk.ledger, desk.state, person="edda", level=2, action="grant", by="milo", because="requirements-met",
        on=desk.now.date(), now=desk.now, signer=made,
    )  # fmt: skip
    assert insider.goes("edda").may_go_alone
    of_old = msgspec.structs.replace(sitting, paper="paper-of-old", side="")
    insider.append("sitting", "edda", msgspec.to_builtins(of_old))
    level = insider.workspace.scheme.levels[0]
    found = assess(insider.target.state(), level_of(insider.workspace.scheme, 2), "edda", insider.target.made.date())
    title = next(part.title for part in level.parts if part.id == sitting.part)
    assert f"{title} was not sat" in found.missing


def test_a_part_sat_under_an_easier_cut_reaches_the_cut_of_the_decision(insider: Insider) -> None:
    """Who passed under a lower cut is not certified under a scheme whose cut the share of right answers misses."""
    scheme = insider.workspace.scheme
    (level, *others) = scheme.levels
    part = level.parts[0]
    assert part.cut is not None
    higher = msgspec.structs.replace(part, cut=msgspec.structs.replace(part.cut, percent=99.5))
    level = msgspec.structs.replace(level, parts=(higher, *level.parts[1:]))
    stricter = msgspec.structs.replace(scheme, version="3", levels=(level, *others))
    enter_scheme(insider.desk(), stricter)
    found = assess(insider.target.state(), level_of(stricter, 2), "dane", insider.target.made.date())
    assert f"under an earlier cut of {part.cut.percent:g} %; the scheme asks for 99.5 % now" in found.missing[0]
    assert insider.goes("asta").may_go_alone


def test_a_restoration_of_a_day_to_come_can_be_stopped(insider: Insider) -> None:
    """Between a restoration that was decided and its day, something else may come up: it suspends anew."""
    insider.decide("asta", 2, "suspend", "incident-under-review")
    insider.decide("asta", 2, "restore", "review-closed", days=30)
    assert insider.goes("asta", days=30).may_go_alone
    insider.decide("asta", 2, "suspend", "safety-device-bypassed")
    assert "A safety device was bypassed" in insider.goes("asta", days=30).reason
    with pytest.raises(InputError, match="suspended already"):
        insider.decide("asta", 2, "suspend", "incident-under-review")
