"""Attacks with decisions, keys, waivers, observations and notices: each is refused where it is filed or admitted."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import msgspec
import pytest
from demo_records import Demo

from warmyard.certify.acts.certificate import give_certificate
from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence_list
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.notice import NoticeFile, enter_notice
from warmyard.certify.acts.observation import enter_form
from warmyard.certify.acts.waiver import WaiverFile, enter_waiver
from warmyard.certify.demo.files import form_file
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.schemes import scheme_bytes
from warmyard.certify.rules.clearance import Clearance, clearance_of
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError

STATION = "power-fuel-start-stop"


@dataclass
class Thief:
    """An attacker at the office's desk."""

    target: Demo
    workspace: Workspace
    minutes: int = 1

    def desk(self, key: str = "office") -> Desk:
        """Return a desk, each time a minute later."""
        self.minutes += 1
        return self.target.desk(key, self.minutes)

    def decide(self, person: str, action: Any, because: str, **how: Any) -> object:
        """Try a decision."""
        desk = self.desk()
        words = {"by": "ines", "on": desk.now.date(), "signer": self.target.key("ines"), **how}
        return decide(
            desk.ledger, desk.state, person=person, level=2, action=action, because=because, now=desk.now, **words
        )  # fmt: skip

    def append(self, kind: str, person: str, body: Mapping[str, Any], key: SigningKey | None = None) -> object:
        """Try an entry past all desks."""
        desk = self.desk()
        return desk.ledger.append(kind, person, body, desk.now.date(), desk.now, key or desk.signer)

    def grant(self, person: str = "asta") -> dict[str, Any]:
        """Return the body of somebody's grant."""
        grants = self.target.state().grants.values()
        body: dict[str, Any] = msgspec.to_builtins(next(fact.body for fact in grants if fact.entry.person == person))
        return body

    def form(self, **changes: Any) -> object:
        """File an observation form for dane with some fields changed."""
        desk, station = self.desk(), self.workspace.stations[STATION]
        plain = json.loads(form_file(station, "dane", 2, "rune", desk.now))
        return enter_form(desk, json.dumps({**plain, **changes}).encode(), None, self.workspace.stations)

    def goes(self, person: str = "asta", days: int = 0) -> Clearance:
        """Return what the board says."""
        on = self.target.made.date() + timedelta(days=days)
        return clearance_of(self.target.state(), person, "fuel-and-start", on)

    def who_goes(self) -> set[str]:
        """Return who of five may go alone today."""
        state, on = self.target.state(), self.target.made.date()
        five = ("asta", "bram", "cleo", "dane", "edda")
        return {person for person in five if clearance_of(state, person, "fuel-and-start", on).may_go_alone}


def signed_twice(t: Thief) -> object:
    """Countersign one's own waiver."""
    desk = t.desk()
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("trained",), because="nobody else", second="ines"
    )
    return enter_waiver(desk, file, t.target.key("ines"))


def signature_of_another(t: Thief) -> object:
    """Use the countersignature of a waiver about somebody else."""
    desk = t.desk()
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("trained",), because="nobody else", second="odile"
    )
    made = enter_waiver(desk, file, t.target.key("odile")).entry
    return t.append("waiver", "dane", {**made.body, "waiver": "w-other"})


def waiver_twice(t: Thief) -> object:
    """Enter a countersigned waiver a second time, for a second decision."""
    file = WaiverFile(
        person="edda", level=2, decider="ines", conflicts=("trained",), because="nobody else", second="odile"
    )
    made = enter_waiver(t.desk(), file, t.target.key("odile")).entry
    return t.append("waiver", "edda", made.body)


def side_of_another(t: Thief) -> object:
    """Bind the side file of one piece of evidence to another, so that both would be lost with one."""
    evidence(t, text="Seen.")
    state = t.desk().state
    body = state.by_number[state.count].entry.body
    return t.append("evidence", "dane", {**body, "count": 99})


def stolen(t: Thief, name: str, person: str, since: int) -> None:
    """Report a key stolen since an entry."""
    file = KeyFile(action="stolen", person=person, since_entry=since, key=t.target.key(name).id)
    enter_key(t.desk(), file, None)


def with_a_stolen_key(t: Thief) -> object:
    """Decide with a key that was reported stolen."""
    stolen(t, "ines", "ines", 60)
    return t.decide("asta", "suspend", "incident-under-review")


def recovery_signs(t: Thief) -> object:
    """Enter evidence with the recovery key."""
    key = t.target.key("recovery")
    return t.append("evidence", "dane", {"what": "age-18", "level": 2, "by": "tova"}, key)


def weak_key(t: Thief) -> object:
    """Add a public key under which anybody's signature fits."""
    public = envelope.encode_base64url(b"\x01" + bytes(31))
    body = {"action": "add", "key": envelope.key_id(b"\x01" + bytes(31)), "public": public}
    return t.append("key", "tova", body)


def thief_adds_a_key(t: Thief) -> object:
    """Add a key to another person with a person's own key."""
    made = envelope.new_key()
    body = {"action": "add", "key": made.id, "public": envelope.encode_base64url(made.public)}
    return t.append("key", "tova", body, t.target.key("odile"))


def form_twice(t: Thief) -> object:
    """Enter one form twice under the same number."""
    t.form(form="form-aaaaaaaaaaaa")
    return t.form(form="form-aaaaaaaaaaaa")


def easier_station(t: Thief) -> object:
    """Judge a form by a station from which a point was taken."""
    station = t.workspace.stations[STATION]
    easier = msgspec.structs.replace(station, points=station.points[:3])
    desk = t.desk()
    return enter_form(desk, form_file(station, "dane", 2, "rune", desk.now), None, {STATION: easier})


def certificate_for_suspended(t: Thief) -> object:
    """Print a new certificate for somebody who is suspended."""
    desk = t.desk()
    return give_certificate(
        desk.ledger, desk.state, person="cleo", level=2, company=t.workspace.company, words={}, now=desk.now,
        signer=desk.signer,
    )  # fmt: skip


def certificate_by_thief(t: Thief) -> object:
    """Print a certificate with a key of one's own."""
    desk = t.desk()
    return give_certificate(
        desk.ledger, desk.state, person="asta", level=2, company=t.workspace.company, words={}, now=desk.now,
        signer=envelope.new_key(),
    )  # fmt: skip


def appeal_by_decider(t: Thief) -> object:
    """Dismiss the appeal against one's own decision."""
    number = next(iter(t.target.state().grants.values())).entry.number
    person = t.target.state().by_number[number].entry.person
    return t.append("appeal", person, {"decision": number, "stage": "dismissed", "by": ["ines", "tova"]})


def void_decision(t: Thief) -> object:
    """Make a suspension void instead of having it decided."""
    number = next(
        number
        for number, fact in t.target.state().by_number.items()
        if fact.entry.kind == "decision" and fact.body.action == "suspend"
    )
    return enter_void(t.desk(), VoidFile(entry=number, because="mistake"))


def certificate_of_another(t: Thief) -> object:
    """Restore somebody with the certificate number of another person."""
    body = {**t.grant("asta"), "action": "restore", "because": "review-closed"}
    kept = {name: body[name] for name in ("level", "action", "because", "decider", "scheme", "certificate")}
    return t.append("decision", "cleo", kept, t.target.key("ines"))


def unadopted_scheme(t: Thief) -> object:
    """Decide under an easier scheme that nobody adopted."""
    scheme = t.workspace.scheme
    level = msgspec.structs.replace(scheme.levels[0], prerequisites=(), parts=())
    data = scheme_bytes(msgspec.structs.replace(scheme, levels=(level,)))
    digest = envelope.digest(data)
    (t.target.records / "schemes" / f"{digest}.json").write_bytes(data)
    body = {**t.grant(), "certificate": "c-new", "index": 77, "scheme": digest}
    return t.append("decision", "dane", body, t.target.key("ines"))


def erased_and_entered(t: Thief) -> object:
    """Enter something about somebody who was erased."""
    enter_erase(t.desk(), EraseFile(person="dane", because="left"))
    return t.append("evidence", "dane", {"what": "age-18", "level": 2, "by": "tova"})


def clock_back(t: Thief) -> object:
    """Record an entry before the last one."""
    desk = t.desk()
    early = desk.now - timedelta(days=400)
    body = {"what": "age-18", "level": 2, "by": "tova"}
    return desk.ledger.append("evidence", "dane", body, early.date(), early, desk.signer)


def clock_ahead(t: Thief) -> object:
    """Record an entry years from now, so that every true one would come too early."""
    desk = t.desk()
    late = desk.now + timedelta(days=2000)
    body = {"what": "age-18", "level": 2, "by": "tova"}
    return desk.ledger.append("evidence", "dane", body, late.date(), late, desk.signer)


def answers_for_herself(t: Thief) -> object:
    """Answer a notice with one's own key."""
    enter_notice(t.desk(), NoticeFile(changed="lesson:fuel"), "0" * 64)
    notice = next(iter(t.target.state().notices))
    return t.append("acknowledgement", "odile", {"notice": notice}, t.target.key("odile"))


def evidence(t: Thief, **changes: Any) -> object:
    """File evidence with some fields changed."""
    plain = {"person": "dane", "what": "age-18", "level": 2, "by": "tova", "on": t.target.made.date().isoformat()}
    return enter_evidence_list(t.desk(), [EvidenceFile(**{**plain, **changes})])


TOMORROW = (date.today() + timedelta(days=3)).isoformat()
ATTACKS: dict[str, tuple[Callable[[Thief], object], str]] = {
    "a grant without its evidence": (lambda t: t.decide("dane", "grant", "requirements-met"), "is missing"),
    "a grant by who trained the candidate": (lambda t: t.decide("edda", "grant", "requirements-met"), "may not decide"),
    "a decision about oneself": (lambda t: t.decide("ines", "grant", "requirements-met"), "about himself"),
    "a decision by somebody who is no decider": (
        lambda t: t.decide("asta", "suspend", "incident-under-review", by="tova"),
        "is not a decider",
    ),
    "a decision in the decider's name with another key": (
        lambda t: t.decide("asta", "suspend", "incident-under-review", signer=t.target.key("odile")),
        "decider's own key",
    ),
    "a reason that the scheme does not have": (lambda t: t.decide("asta", "suspend", "i-say-so"), "is no reason"),
    "a withdrawal with the reason of a grant": (
        lambda t: t.decide("asta", "withdraw", "requirements-met"),
        "is no reason",
    ),
    "a grant over a suspension": (lambda t: t.decide("cleo", "grant", "requirements-met"), "restore or withdraw it"),
    "a grant copied to another person": (
        lambda t: t.append("decision", "dane", t.grant(), t.target.key("ines")),
        "without its own certificate",
    ),
    "a certificate number of another person": (certificate_of_another, "was not given"),
    "a decision under a scheme that nobody adopted": (unadopted_scheme, "scheme that was not adopted"),
    "a grant on evidence that is not there": (
        lambda t: t.append("decision", "dane", {**t.grant(), "evidence": [9999]}, t.target.key("ines")),
        "entries that are not there",
    ),
    "a grant under a waiver that is none": (
        lambda t: t.append("decision", "dane", {**t.grant(), "waiver": 3}, t.target.key("ines")),
        "a waiver that is not about this person",
    ),
    "a grant until a day that is none": (
        lambda t: t.append("decision", "dane", {**t.grant(), "until": "2099-13-45"}, t.target.key("ines")),
        "on no day of the calendar",
    ),
    "a suspension made void": (void_decision, "cannot be made void"),
    "a waiver countersigned by the decider": (signed_twice, "never by those it is about"),
    "a countersignature from another waiver": (signature_of_another, "second signature does not hold"),
    "a waiver used for a second decision": (waiver_twice, "a waiver is entered twice"),
    "a side file bound twice": (side_of_another, "its side file is that of entry"),
    "a decision with a key reported stolen": (with_a_stolen_key, "key is not one of ines's"),
    "the recovery key used for evidence": (recovery_signs, "may not sign an entry of kind evidence"),
    "a public key that fits every signature": (weak_key, "no key of anybody"),
    "a key added with a person's key": (thief_adds_a_key, "added with the office key"),
    "an observation entered twice": (form_twice, "entered already"),
    "a station with fewer points": (easier_station, "step 5 points"),
    "a form on which a point is left out": (lambda t: t.form(points=[]), "step 6 marks"),
    "a form that brings its own outcome": (lambda t: t.form(passed=True), "step 3 fields"),
    "an observer who is no examiner": (
        lambda t: t.form(observer={"person": "tova", "name": "Tova"}),
        "is not an examiner",
    ),
    "an observation of tomorrow": (lambda t: t.form(observed_on=TOMORROW), "in the future"),
    "evidence for oneself": (lambda t: evidence(t, by="dane"), "vouches for himself"),
    "evidence of tomorrow": (lambda t: evidence(t, on=TOMORROW), "in the future"),
    "evidence that the scheme does not ask for": (lambda t: evidence(t, what="good-friend"), "asks for no"),
    "evidence by somebody unknown": (lambda t: evidence(t, by="nobody"), "enter the person first"),
    "a certificate for somebody suspended": (certificate_for_suspended, "suspended on"),
    "a certificate under another key": (certificate_by_thief, "signed with the office key"),
    "an appeal dismissed by the decider": (appeal_by_decider, "somebody involved"),
    "an entry about somebody erased": (erased_and_entered, "who was erased"),
    "an entry before the last one": (clock_back, "set this machine's clock"),
    "an entry of years ahead": (clock_ahead, "set the clock"),
    "a notice answered by oneself": (answers_for_herself, "about himself or herself"),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_attack(target: Demo, small_workspace: Workspace, name: str) -> None:
    """It is refused in words, and the board says of everybody what it said before, or no."""
    thief = Thief(target, small_workspace)
    before = thief.who_goes()
    attack, said = ATTACKS[name]
    with pytest.raises((InputError, VerificationError), match=re.escape(said)):
        attack(thief)
    assert thief.who_goes() <= before


def test_a_suspension_dated_ahead_counts_at_once(target: Demo, small_workspace: Workspace) -> None:
    """A restriction counts from the earlier of its dates, so nobody gains a week by dating it."""
    thief = Thief(target, small_workspace)
    thief.decide("asta", "suspend", "incident-under-review", on=target.made.date() + timedelta(days=7))
    assert not thief.goes("asta").may_go_alone


def test_a_restoration_dated_back_counts_from_its_entry(target: Demo, small_workspace: Workspace) -> None:
    """A permission counts from the later of its dates: the days of the suspension stay suspended."""
    thief = Thief(target, small_workspace)
    thief.decide("cleo", "restore", "review-closed", on=target.made.date() - timedelta(days=30))
    assert not thief.goes("cleo", -1).may_go_alone
    assert thief.goes("cleo").may_go_alone


def test_what_a_stolen_key_granted_has_no_force(target: Demo, small_workspace: Workspace) -> None:
    """A grant signed after the theft clears nobody, although its signature holds."""
    thief = Thief(target, small_workspace)
    grant = next(fact for fact in target.state().grants.values() if fact.entry.person == "otis")
    assert thief.goes("otis").may_go_alone
    stolen(thief, "ines", "ines", grant.entry.number)
    assert "reported stolen" in thief.goes("otis").reason


def test_evidence_made_void_takes_the_grant_with_it(target: Demo, small_workspace: Workspace) -> None:
    """A grant whose evidence counts no longer clears nobody until it is decided again."""
    thief = Thief(target, small_workspace)
    grant = next(fact for fact in target.state().grants.values() if fact.entry.person == "asta")
    enter_void(thief.desk(), VoidFile(entry=grant.body.evidence[0], because="mistake"))
    assert "made void" in thief.goes("asta").reason
