"""Declarations of interests: who may enter them, which one holds, and what they do to decisions before and after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from demo_records import Demo

from warmyard.certify.acts.certificate import give_certificate
from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.interest import InterestFile, enter_interest
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.observation import enter_form
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.acts.waiver import WaiverFile, enter_waiver
from warmyard.certify.demo.files import form_file
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.asking import Action
from warmyard.certify.rules.clearance import clearance_of
from warmyard.certify.rules.interest import declaration, has_declared
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError

ACTIVITY = "hand-over"


@dataclass
class Bureau:
    """The demo's office with a second decider, Vera, for whom nothing stands in the way of deciding about Edda."""

    demo: Demo
    vera: SigningKey
    minutes: int = 0

    @property
    def today(self) -> date:
        """Return the day on which the demo was made."""
        return self.demo.made.date()

    def day(self, ago: int) -> date:
        """Return a day before today."""
        return self.today - timedelta(days=ago)

    def desk(self, key: SigningKey | None = None) -> Desk:
        """Return a desk, each time a minute later."""
        self.minutes += 1
        now = self.demo.made + timedelta(minutes=self.minutes)
        return Desk(self.demo.open()[0], now, key or self.demo.key("office"))

    def state(self) -> State:
        """Return what the ledger says, verified."""
        return self.demo.open()[1]

    def declare(self, person: str, *about: str, ago: int = 0, key: SigningKey | None = None) -> int:
        """Enter a declaration of a day and return its entry's number."""
        text = "We are family." if about else ""
        file = InterestFile(person=person, on=self.day(ago).isoformat(), about=about, text=text)
        return enter_interest(self.desk(key), file).entry.number

    def waive(self, *conflicts: Any, observers: tuple[str, ...] = (), decider: str = "vera") -> int:
        """Enter a waiver about Edda, countersigned by Odile."""
        file = WaiverFile(
            person="edda", level=2, decider=decider, conflicts=conflicts, observers=observers, because="Too few of us.",
            second="odile",
        )  # fmt: skip
        return enter_waiver(self.desk(), file, self.demo.key("odile")).entry.number

    def decide(self, person: str = "edda", action: Action = "grant", by: str = "vera", ago: int = 0) -> None:
        """Decide about somebody at level 2."""
        desk, because = self.desk(), {"grant": "requirements-met", "restore": "review-closed"}[action]
        decide(
            desk.ledger, desk.state, person=person, level=2, action=action, by=by, because=because, on=self.day(ago),
            now=desk.now, signer=self.vera if by == "vera" else self.demo.key(by),
        )  # fmt: skip

    def reason(self, person: str = "edda") -> str:
        """Return why somebody may not go out alone today, or nothing."""
        named = {"vera": "Vera Dunmore", "rune": "Rune Castellan", "ines": "Ines Harrowgate"}
        return clearance_of(self.state(), person, ACTIVITY, self.today, named).reason

    def page(self, person: str, out: Path) -> BeautifulSoup:
        """Return somebody's evidence page."""
        assert main(["ledger", "evidence", person, "2", "--out", str(out), "--records", str(self.demo.records)]) == 0
        return BeautifulSoup(out.read_text("utf-8"), "html.parser")


@pytest.fixture
def bureau(demo: Demo) -> Bureau:
    """Give the demo with Vera as a second decider, and with no declaration that counts."""
    made = Bureau(demo, envelope.new_key())
    for number in [number for number, fact in made.state().by_number.items() if fact.entry.kind == "interest"]:
        enter_void(made.desk(), VoidFile(entry=number, because="fresh-start"))
    enter_person(made.desk(), PersonFile(person="vera", name="Vera Dunmore", roles=("decider",)))
    enter_key(made.desk(), KeyFile(action="add", person="vera"), made.vera)
    return made


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"person": "ghost"}, "nobody with the id ghost"),
        ({"about": ("ghost",)}, "nobody with the id ghost"),
        ({"about": ("edda", "vera")}, "himself or herself"),
        ({"text": ""}, "what the interest is"),
        ({"text": "   "}, "what the interest is"),
        ({"on": "2999-01-01"}, "in the future"),
        ({"on": "yesterday"}, "is not a day"),
    ],
)
def test_a_declaration_that_is_refused(bureau: Bureau, changes: dict[str, Any], said: str) -> None:
    """Unknown people, oneself, an interest without a word why, a day to come: one sentence, and no file is left."""
    before, files = bureau.state().count, sorted((bureau.demo.records / "people").rglob("*"))
    plain: dict[str, Any] = {"person": "vera", "about": ("edda",), "on": bureau.today.isoformat(), "text": "Sisters."}
    with pytest.raises(InputError, match=said):
        enter_interest(bureau.desk(), InterestFile(**{**plain, **changes}))
    assert (bureau.state().count, sorted((bureau.demo.records / "people").rglob("*"))) == (before, files)


def test_nothing_is_declared_about_somebody_erased(bureau: Bureau) -> None:
    """Neither does an erased person declare, nor does anybody declare about one."""
    enter_erase(bureau.desk(), EraseFile(person="dane", because="left"))
    for person, about in (("vera", "dane"), ("dane", "edda")):
        with pytest.raises(InputError, match="was erased"):
            bureau.declare(person, about)


def test_who_may_sign_a_declaration(bureau: Bureau) -> None:
    """One's own key, a custodian's and the office's do; another decider's does not."""
    for key in (bureau.vera, bureau.demo.key("odile"), None):
        bureau.declare("vera", "edda", key=key)
    with pytest.raises(InputError, match="may not sign an entry of kind interest"):
        bureau.declare("vera", key=bureau.demo.key("ines"))


def test_the_newest_declaration_holds(bureau: Bureau) -> None:
    """A later one takes the place of an earlier one; an older paper entered afterwards does not, and that is said."""
    first = bureau.declare("vera", "edda", ago=30)
    second = bureau.declare("vera", ago=10)
    file = InterestFile(person="vera", on=bureau.day(20).isoformat(), about=("asta", "edda"), text="Cousins.")
    filed = enter_interest(bureau.desk(), file)
    assert filed.say.endswith(f"the declaration of {bureau.day(10)} (entry {second}) is newer and holds")
    held = declaration(bureau.state(), "vera", bureau.today)
    assert (held is not None and held.entry.number) == second
    enter_void(bureau.desk(), VoidFile(entry=second, because="mistake"))
    enter_void(bureau.desk(), VoidFile(entry=filed.entry.number, because="mistake"))
    held = declaration(bureau.state(), "vera", bureau.today)
    assert (held is not None and held.entry.number) == first


def test_a_declaration_is_recent_for_its_months(bureau: Bureau) -> None:
    """It counts from the day it is entered, and its age from the day it was made."""
    bureau.declare("vera", ago=40)
    state = bureau.state()
    assert has_declared(state, "vera", bureau.today, 12)
    assert not has_declared(state, "vera", bureau.day(1), 12)
    assert not has_declared(state, "vera", bureau.today, 1)
    assert not has_declared(state, "ghost", bureau.today, 12)


def test_a_decider_with_an_interest_does_not_grant(bureau: Bureau) -> None:
    """The grant is refused, and with no other decider the board says why in a sentence."""
    assert bureau.reason().endswith("waits for a decision")
    bureau.declare("vera", "edda", ago=3)
    with pytest.raises(
        InputError, match=rf"vera declared an interest in edda on {bureau.day(3)} \(entry \d+\) and may"
    ):
        bureau.decide()
    file = PersonFile(person="ines", name="Ines Harrowgate")
    enter_person(bureau.desk(), file)
    said = f"no decision: the decider, Vera Dunmore, declared an interest in this person on {bureau.day(3)}, so"
    assert said in bureau.reason()


def test_a_replaced_interest_stands_in_the_way_no_longer(bureau: Bureau) -> None:
    """After a later declaration without that person the decider decides, and what was granted has force."""
    bureau.declare("vera", "edda", ago=3)
    bureau.declare("vera", "asta")
    bureau.decide()
    assert bureau.reason() == ""


def test_an_older_paper_without_interests_ends_none(bureau: Bureau) -> None:
    """Entering a declaration of an earlier day does not make the way free."""
    bureau.declare("vera", "edda", ago=3)
    bureau.declare("vera", ago=9)
    with pytest.raises(InputError, match="declared an interest in edda"):
        bureau.decide()


def test_a_decider_with_an_interest_does_not_restore(bureau: Bureau) -> None:
    """A restoration is refused, dated back behind the declaration too; another decider restores."""
    bureau.declare("vera", "cleo")
    for ago in (0, 2):
        with pytest.raises(InputError, match="declared an interest in cleo"):
            bureau.decide("cleo", "restore", ago=ago)
    bureau.decide("cleo", "restore", by="ines")
    assert bureau.reason("cleo") == ""


def test_a_waiver_covers_the_declared_interest_and_no_other(bureau: Bureau) -> None:
    """One about training does not help; one about the declared interest does, and evidence page and grant name it."""
    bureau.declare("vera", "edda")
    bureau.waive("trained")
    with pytest.raises(InputError, match="may not decide"):
        bureau.decide()
    number = bureau.waive("declared")
    bureau.decide()
    assert bureau.reason() == ""
    assert bureau.state().facts["edda"][-1].body.waiver == number
    said = bureau.page("edda", bureau.demo.records.with_name("page.html")).get_text()
    assert "waiver for Vera Dunmore (vera): declared an interest in the candidate" in said
    assert f"declared an interest in the candidate on {bureau.today} (entry " in said


def test_a_waiver_of_nothing_is_refused(bureau: Bureau) -> None:
    """A waiver names conflicts of the decider, observers, or both; the ledger itself refuses an empty one."""
    with pytest.raises(InputError, match="write what is waived"):
        bureau.waive()
    number, desk = bureau.waive("declared"), bureau.desk()
    body = {**desk.state.by_number[number].entry.body}
    del body["conflicts"]
    with pytest.raises(InputError, match="waives nothing"):
        desk.ledger.append("waiver", "edda", body, desk.now.date(), desk.now, desk.signer)


def test_an_observer_does_not_countersign_the_waiver(bureau: Bureau) -> None:
    """Odile, who is an examiner too, cannot countersign that her own interest is accepted."""
    with pytest.raises(InputError, match="never by those it is about"):
        bureau.waive(observers=("odile",))


def test_an_interest_declared_after_the_decision_undoes_it_only_when_it_is_older(bureau: Bureau) -> None:
    """Of the same day or later it changes nothing; of a day before the decision it takes the force away."""
    bureau.decide()
    bureau.declare("vera", "edda")
    assert bureau.reason() == ""
    bureau.declare("vera", "edda", ago=1)
    assert bureau.reason() == (
        f"the decider, Vera Dunmore, declared an interest in this person on {bureau.day(1)}; "
        "another decider must decide"
    )


def test_nothing_entered_afterwards_makes_a_decision_sound(bureau: Bureau) -> None:
    """A declaration without interests, dated between the interest and the decision, comes too late; a void does not."""
    begun = next(grant for grant in bureau.state().grants.values() if grant.entry.person == "asta").entry.recorded_at
    ago = (bureau.today - begun.date()).days
    assert bureau.reason("asta") == ""
    number = bureau.declare("ines", "asta", ago=ago + 20)
    assert "Ines Harrowgate, declared an interest" in bureau.reason("asta")
    bureau.declare("ines", ago=ago + 10)
    assert "Ines Harrowgate, declared an interest" in bureau.reason("asta")
    enter_void(bureau.desk(), VoidFile(entry=number, because="mistake"))
    assert bureau.reason("asta") == ""


def observed_ago(bureau: Bureau) -> int:
    """Return how many days ago Edda was observed last."""
    seen = [fact.entry.effective_on for fact in bureau.state().facts["edda"] if fact.entry.kind == "observation"]
    return (bureau.today - max(seen)).days


def test_an_observer_with_an_interest_stands_in_the_way_of_every_decider(bureau: Bureau) -> None:
    """The grant waits for another examiner, and the board says so; a waiver that names the observer lets it through."""
    bureau.declare("rune", "edda", ago=observed_ago(bureau) + 5)
    with pytest.raises(InputError, match="rune, who observed edda, declared an interest in edda on"):
        bureau.decide()
    bureau.waive("declared")
    with pytest.raises(InputError, match="let another examiner observe"):
        bureau.decide()
    page = bureau.page("edda", bureau.demo.records.with_name("page.html"))
    assert "Rune Castellan (rune), who observed, declared an interest in the candidate on" in page.get_text()
    enter_person(bureau.desk(), PersonFile(person="ines", name="Ines Harrowgate"))
    assert "an observer, Rune Castellan, declared an interest in this person on" in bureau.reason()
    number = bureau.waive(observers=("rune",))
    bureau.decide()
    assert bureau.reason() == ""
    state = bureau.state()
    assert state.facts["edda"][-1].body.waiver == number


def test_an_observers_interest_that_comes_to_light_takes_the_force_away(bureau: Bureau) -> None:
    """Dated before the observation, and entered after the grant; one that ended before the observation does not."""
    ago = observed_ago(bureau)
    bureau.decide()
    bureau.declare("rune", "edda", ago=ago + 9)
    assert "an observer, Rune Castellan, declared an interest in this person on" in bureau.reason()
    assert bureau.reason().endswith("let another observe, and decide again")


def test_another_examiner_observes_again(bureau: Bureau, whole_workspace: Workspace) -> None:
    """When somebody else has observed every station anew, the interest of the first observer is out of the way."""
    bureau.declare("rune", "edda", ago=observed_ago(bureau) + 5)
    stations = whole_workspace.stations
    level = level_of(adopted_scheme(bureau.state())[1], 2)
    for name in [name for part in level.parts for name in part.stations]:
        desk = bureau.desk()
        enter_form(desk, form_file(stations[name], "edda", 2, "odile", desk.now), None, stations)
    bureau.decide()
    assert bureau.reason() == ""


def test_the_certificate_says_whose_conflict_was_accepted(bureau: Bureau, whole_workspace: Workspace) -> None:
    """The credential names decider, observer or both, as the waiver does."""
    bureau.declare("vera", "edda")
    bureau.declare("rune", "edda", ago=observed_ago(bureau) + 5)
    bureau.waive("declared", observers=("rune",))
    bureau.decide()
    desk = bureau.desk()
    give_certificate(
        desk.ledger, desk.state, person="edda", level=2, company=whole_workspace.company, words={}, now=desk.now,
        signer=desk.signer,
    )  # fmt: skip
    certificate = bureau.state().facts["edda"][-1].body.certificate
    text = (bureau.demo.records / "certificates" / f"{certificate}.json").read_text("utf-8")
    assert "A conflict of interest of the decider and of an observer was accepted in writing" in text


def test_a_declaration_with_a_stolen_key_binds_and_ends_nothing(bureau: Bureau) -> None:
    """Who stole a key can declare an interest, which stands in the way, but not take one back."""
    bureau.declare("vera", "edda", ago=2)
    taken_back = bureau.declare("vera", key=bureau.vera)
    file = KeyFile(action="stolen", person="vera", since_entry=taken_back)
    enter_key(bureau.desk(), file, None)
    fresh = envelope.new_key()
    enter_key(bureau.desk(), KeyFile(action="add", person="vera"), fresh)
    bureau.vera = fresh
    with pytest.raises(InputError, match="declared an interest in edda"):
        bureau.decide()
