"""Attacks with declarations of interests: none clears the way for a decision or stands where it may not."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import pytest
from demo_records import Demo

from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.interest import InterestFile, enter_interest
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.waiver import WaiverFile, enter_waiver
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.state import State
from warmyard.errors import InputError

WORDS = "0" * 64


@dataclass
class Thief:
    """An attacker at the office's desk, who wants Ines to restore Cleo."""

    target: Demo
    minutes: int = 0

    def state(self) -> State:
        """Return what the ledger says, verified."""
        return Ledger.open(self.target.records).verify()

    def day(self, ago: int) -> date:
        """Return a day before today."""
        return self.target.made.date() - timedelta(days=ago)

    def desk(self) -> Desk:
        """Return the office's desk, each time a minute later."""
        self.minutes += 1
        ledger = Ledger.open(self.target.records)
        now = self.target.made + timedelta(minutes=self.minutes)
        return Desk(ledger, now, self.target.key("office"))

    def append(self, person: str, ago: int = 0, key: SigningKey | None = None, **body: Any) -> object:
        """Try a declaration past the desk."""
        desk = self.desk()
        return desk.ledger.append("interest", person, body, self.day(ago), desk.now, key or desk.signer)

    def declare(self, person: str, *about: str, ago: int = 0) -> int:
        """Enter a declaration at the desk and return its entry's number."""
        file = InterestFile(person=person, on=self.day(ago).isoformat(), about=about, text="Friends.")
        return enter_interest(self.desk(), file).entry.number

    def restore(self, ago: int = 0) -> object:
        """Try to have Cleo restored by Ines."""
        desk = self.desk()
        return decide(
            desk.ledger, desk.state, person="cleo", level=2, action="restore", by="ines", because="review-closed",
            on=self.day(ago), now=desk.now, signer=self.target.key("ines"),
        )  # fmt: skip


def after(t: Thief, *steps: Callable[[], object]) -> object:
    """Declare an interest of Ines in Cleo, then take some steps."""
    t.declare("ines", "cleo", ago=5)
    return [step() for step in steps][-1]


def with_a_stolen_key(t: Thief) -> object:
    """Take a declaration back with a key that is reported stolen afterwards."""
    t.declare("ines", "cleo", ago=5)
    number = t.state().count + 1
    t.append("ines", key=t.target.key("odile"))
    file = KeyFile(action="stolen", person="odile", since_entry=number)
    enter_key(t.desk(), file, None)
    return t.restore()


def waived_for_training(t: Thief) -> object:
    """Use a waiver that two people signed for another kind of conflict."""
    t.declare("ines", "cleo", ago=5)
    file = WaiverFile(
        person="cleo", level=2, decider="ines", conflicts=("trained", "examined"), because="few people",
        second="odile",
    )  # fmt: skip
    enter_waiver(t.desk(), file, t.target.key("odile"))
    return t.restore()


def waiver_made_wider(t: Thief) -> object:
    """Write another kind of conflict into a waiver that was countersigned for one."""
    file = WaiverFile(
        person="cleo", level=2, decider="ines", conflicts=("trained",), because="few people", second="odile"
    )
    body = enter_waiver(t.desk(), file, t.target.key("odile")).entry.body
    desk = t.desk()
    wider = {**body, "conflicts": ["declared", "trained"], "observers": ["rune"]}
    return desk.ledger.append("waiver", "cleo", wider, desk.now.date(), desk.now, desk.signer)


ATTACKS: dict[str, tuple[Callable[[Thief], object], str]] = {
    "an interest in somebody unknown": (lambda t: t.declare("ines", "ghost"), "nobody with the id ghost"),
    "an interest in somebody unknown, past the desk": (
        lambda t: t.append("ines", about=["ghost"], side=WORDS),
        "names a person who is not entered",
    ),
    "a declaration of somebody unknown": (lambda t: t.append("ghost"), "about a person who is not entered"),
    "a declaration of nobody": (lambda t: t.append(""), "none where one does"),
    "an interest in oneself": (lambda t: t.declare("ines", "ines"), "himself or herself"),
    "an interest in oneself, past the desk": (
        lambda t: t.append("ines", about=["ines"], side=WORDS),
        "an interest in himself or herself",
    ),
    "people of a declaration in another order": (
        lambda t: t.append("ines", about=["cleo", "asta"], side=WORDS),
        "not in their order",
    ),
    "one person twice in a declaration": (
        lambda t: t.append("ines", about=["asta", "asta"], side=WORDS),
        "stand twice",
    ),
    "an interest without a word why": (lambda t: t.append("ines", about=["asta"]), "without a word why"),
    "a declaration of a day to come": (lambda t: t.append("ines", ago=-9), "a day to come"),
    "a declaration with a name in it": (lambda t: t.append("ines", name="Ines"), "not that of kind interest"),
    "a declaration under a forger's key": (lambda t: t.append("ines", key=envelope.new_key()), "does not hold"),
    "a declaration under another decider's key": (
        lambda t: t.append("odile", key=t.target.key("ines")),
        "may not sign an entry of kind interest",
    ),
    "a declaration under the recovery key": (
        lambda t: t.append("ines", key=t.target.key("recovery")),
        "may not sign an entry of kind interest",
    ),
    "a decision in a declared interest": (lambda t: after(t, t.restore), "declared an interest in cleo"),
    "a decision dated before the interest was declared": (
        lambda t: after(t, lambda: t.restore(ago=30)),
        "declared an interest in cleo",
    ),
    "an older paper entered to end an interest": (
        lambda t: after(t, lambda: t.declare("ines", ago=6), t.restore),
        "declared an interest in cleo",
    ),
    "an interest taken back with a stolen key": (with_a_stolen_key, "declared an interest in cleo"),
    "a waiver of another kind for a declared interest": (waived_for_training, "declared an interest in cleo"),
    "a countersigned waiver made wider": (waiver_made_wider, "second signature does not hold"),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_attack(target: Demo, name: str) -> None:
    """It is refused in words, and the ledger verifies without another decision."""
    thief = Thief(target)
    for number in [number for number, fact in thief.state().by_number.items() if fact.entry.kind == "interest"]:
        enter_void(thief.desk(), VoidFile(entry=number, because="fresh-start"))
    decisions = [fact.entry.number for fact in thief.state().by_number.values() if fact.entry.kind == "decision"]
    attack, said = ATTACKS[name]
    with pytest.raises(InputError, match=re.escape(said)):
        attack(thief)
    found = [fact.entry.number for fact in thief.state().by_number.values() if fact.entry.kind == "decision"]
    assert found == decisions


def test_the_words_of_a_declaration_are_bound(target: Demo) -> None:
    """A changed or missing side file of a declaration is found; one that went with an erased person is not missed."""
    thief = Thief(target)
    number = thief.declare("ines", "asta")
    path = target.records / "people" / "ines" / f"{thief.state().by_number[number].body.side}.json"
    kept = path.read_bytes()
    path.write_bytes(kept.replace(b"Friends", b"Nothing"))
    with pytest.raises(Exception, match=f"entry {number}: its side file was changed"):
        thief.state()
    path.unlink()
    with pytest.raises(Exception, match=f"entry {number}: its side file is missing"):
        thief.state()
    path.write_bytes(kept)
    enter_erase(thief.desk(), EraseFile(person="asta", because="left"))
    assert not path.exists()
    assert thief.state().count > number
