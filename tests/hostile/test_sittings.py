"""Attacks with papers and sittings: each ends at a step that is named, and no sitting is entered."""

from __future__ import annotations

import gzip
import io
import json
import re
import zipfile
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from demo_records import Demo
from secrets_of_tests import open_sealed

from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.hand_in import Marked, hand_in
from warmyard.certify.acts.paper import Issued, issue_paper
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.demo.files import sitting_file
from warmyard.certify.exam.paper import Request
from warmyard.certify.exam.paper_key import key_path, read_key
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.code import code_of
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError


class Candidate:
    """An attacker with a fresh paper, and the file that an honest candidate would hand in."""

    def __init__(self, target: Demo, workspace: Workspace, person: str = "dane") -> None:
        self.target, self.workspace, self.person = target, workspace, person
        self.paper = self.issue().paper
        self.honest = self.file(self.paper)

    def issue(self, person: str = "", minutes: int = 1) -> Issued:
        """Issue another paper."""
        desk = self.target.desk()
        level = self.workspace.scheme.levels[0]
        request = Request(
            person=person or self.person, level=level, part=level.parts[0], scheme=self.workspace.scheme,
            now=desk.now + timedelta(minutes=minutes),
        )  # fmt: skip
        return issue_paper(desk, self.workspace, request)

    def file(self, paper: str) -> bytes:
        """Return the right answers to a paper."""
        frozen = self.target.state().papers[paper].body.frozen_key
        return sitting_file(read_key(self.target.records, paper, frozen), self.target.made)

    def changed(self, **changes: object) -> bytes:
        """Return the honest file with some fields changed."""
        return json.dumps({**json.loads(self.honest), **changes}).encode()

    def hand(self, data: bytes, code: str = "", later: int = 5) -> Marked:
        """Hand a file in, with its own code unless another is given."""
        desk = self.target.desk()
        late = Desk(desk.ledger, desk.now + timedelta(minutes=later), desk.signer)
        return hand_in(late, data, code or code_of(data))


def replayed_with_other_times(c: Candidate) -> object:
    """Hand in once, and the same answers again with another clock."""
    c.hand(c.honest)
    claimed = {**json.loads(c.honest)["claimed"], "seconds": 60}
    return c.hand(c.changed(claimed=claimed), later=6)


def corrected_after_marking(c: Candidate) -> object:
    """Hand in badly, and again with the answers put right."""
    c.hand(c.changed(answers=[]))
    return c.hand(c.honest, later=6)


def cherry_picked(c: Candidate) -> object:
    """Take two papers, hand in one, and then the other too."""
    second = c.issue().paper
    c.hand(c.file(second))
    return c.hand(c.honest, later=6)


def papers_without_end(c: Candidate) -> object:
    """Ask for paper after paper until a pleasant one comes."""
    return [c.issue(minutes=at) for at in range(2, 6)]


def re_sat_the_same_day(c: Candidate) -> object:
    """Fail, and ask for another paper at once."""
    c.hand(c.changed(answers=[]))
    return c.issue(minutes=9)


def other_answers(c: Candidate) -> object:
    """Hand in the answers to somebody else's paper under one's own number."""
    return c.hand(c.changed(sealed="0" * 64))


def with_key_of_another(c: Candidate) -> object:
    """Put another paper's key in the place of one's own."""
    other = c.issue("edda").paper
    key_path(c.target.records, c.paper).write_bytes(key_path(c.target.records, other).read_bytes())
    return c.hand(c.honest)


def with_a_kinder_key(c: Candidate) -> object:
    """Lower the cut in the frozen key."""
    path = key_path(c.target.records, c.paper)
    path.write_text(re.sub(r'"cut_percent":"[0-9.]+"', '"cut_percent":"1"', path.read_text("utf-8")), "utf-8")
    return c.hand(c.honest)


def with_no_key(c: Candidate) -> object:
    """Delete the key and hope."""
    key_path(c.target.records, c.paper).unlink()
    return c.hand(c.honest)


def asked_twice(c: Candidate) -> object:
    """Answer one question twice, once each way."""
    answers = json.loads(c.honest)["answers"]
    return c.hand(c.changed(answers=[*answers, answers[0]]))


def zip_of_death(c: Candidate) -> object:
    """Hand in a zip file that unpacks to a gigabyte."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("sitting.json", bytes(20_000_000))
    return c.hand(stream.getvalue())


def key_twice(c: Candidate) -> object:
    """Name the person twice, first oneself and then another."""
    return c.hand(c.honest.replace(b'"person":', b'"person":"asta","person":', 1))


def sat_for(c: Candidate) -> object:
    """Invigilate at one's own sitting."""
    desk = c.target.desk()

    enter_person(
        Desk(desk.ledger, desk.now + timedelta(minutes=2), desk.signer),
        PersonFile(person="dane", name="Dane Whitlocke", roles=("invigilator",)),
    )
    desk = c.target.desk()
    later = Desk(desk.ledger, desk.now + timedelta(minutes=5), desk.signer)
    return hand_in(later, c.honest, code_of(c.honest), invigilator="dane")


ATTACKS: dict[str, tuple[Callable[[Candidate], object], str]] = {
    "the same answers again with another clock": (replayed_with_other_times, "step 4, once"),
    "answers put right after they were marked": (corrected_after_marking, "step 4, once"),
    "two papers taken and the better handed in too": (cherry_picked, "step 7, turn"),
    "paper after paper until a pleasant one comes": (papers_without_end, "allows 3 papers"),
    "another paper on the day of a failure": (re_sat_the_same_day, "7 days in between"),
    "another candidate's name on the paper": (lambda c: c.hand(c.changed(person="asta")), "step 5, person"),
    "a paper of another office": (lambda c: c.hand(c.changed(paper="paper-zzzzzzzzzzzz")), "step 2, paper"),
    "a paper that was never issued, by its path": (lambda c: c.hand(c.changed(paper="../keys/office")), "step 1, form"),
    "the code of another file": (lambda c: c.hand(c.honest, "AAAA-BBBB-CCCC-DDDD"), "step 3, code"),
    "no code at all": (lambda c: c.hand(c.honest, " "), "step 3, code"),
    "an answer changed after the code was written down": (
        lambda c: c.hand(c.changed(answers=[]), code_of(c.honest)),
        "step 3, code",
    ),
    "answers to other questions": (other_answers, "step 6, questions"),
    "one question answered both ways": (asked_twice, "step 6, questions"),
    "a question that was not asked": (
        lambda c: c.hand(c.changed(answers=[{"question": "q99", "response": {}}])),
        "step 6, questions",
    ),
    "a mark that the candidate brings along": (lambda c: c.hand(c.changed(passed=True)), "step 1, form"),
    "another paper's key in the place of one's own": (with_key_of_another, "paper key"),
    "a lower cut written into the frozen key": (with_a_kinder_key, "paper key"),
    "the key deleted": (with_no_key, "paper key"),
    "a key of the file named twice": (key_twice, "step 1, form: a key stands twice"),
    "brackets without end": (lambda c: c.hand(b"[" * 100_000), "nested deeper"),
    "a file of half a megabyte and more": (lambda c: c.hand(b" " * 600_000), "too many"),
    "a zip of death": (zip_of_death, "step 1, form"),
    "a compressed sitting": (lambda c: c.hand(gzip.compress(c.honest)), "step 1, form"),
    "a sitting in another encoding": (lambda c: c.hand(c.honest.decode().encode("utf-16")), "step 1, form"),
    "a number that is none": (
        lambda c: c.hand(c.honest.replace(b'"seconds":1500', b'"seconds":NaN')),
        "NaN is not a number",
    ),
    "a number of a thousand digits": (
        lambda c: c.hand(c.honest.replace(b'"seconds":1500', b'"seconds":' + b"9" * 1000)),
        "too large",
    ),
    "half a character": (lambda c: c.hand(c.honest.replace(b"warmyard", b"\\ud800", 1)), "step 1, form"),
    "one's own invigilator": (sat_for, "nobody invigilates"),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_attack(target: Demo, small_workspace: Workspace, name: str) -> None:
    """The step that stops it is named, and no sitting of the fresh paper counts as a pass."""
    candidate = Candidate(target, small_workspace)
    attack, step = ATTACKS[name]
    with pytest.raises((VerificationError, InputError), match=re.escape(step)):
        attack(candidate)
    sitting = target.state().sittings.get(candidate.paper)
    assert sitting is None or not sitting.body.passed or name.startswith("the same answers")


def test_the_honest_file_passes(target: Demo, small_workspace: Workspace) -> None:
    """What the attacks change is a file that passes as it is; the very same bytes again are the same entry."""
    candidate = Candidate(target, small_workspace)
    first = candidate.hand(candidate.honest)
    again = candidate.hand(candidate.honest, later=7)
    assert (first.body.passed, first.again, again.again, again.entry) == (True, False, True, first.entry)
    assert target.state().count == first.entry


def open_page(page: str, phrase: str, change: Callable[[dict[str, Any]], object]) -> bytes:
    """Open a paper as its page does, after a change of its open part."""
    import base64

    found = re.search(r'<script type="application/json" id="wy-data-paper">(.*?)</script>', page, re.DOTALL)
    assert found
    facts = json.loads(found.group(1))
    change(facts)
    box = facts["sealed"]
    salt, nonce, text = (base64.b64decode(box[name]) for name in ("salt", "nonce", "box"))
    sealed = envelope.Sealed(salt, nonce, text, box["rounds"])
    bound = "|".join(str(facts[name]) for name in ("format", "paper", "person", "level", "part", "attempt"))
    return open_sealed(phrase, sealed, bound.encode())


EDITS: dict[str, Callable[[dict[str, Any]], object]] = {
    "a paper made out to another person": lambda facts: facts.update(person="asta"),
    "a paper of another level": lambda facts: facts.update(level=3),
    "a first try made of a second": lambda facts: facts.update(attempt=9),
    "fewer rounds for the phrase": lambda facts: facts["sealed"].update(rounds=1),
    "a box with one byte changed": lambda facts: facts["sealed"].update(
        box=facts["sealed"]["box"][:50]
        + ("A" if facts["sealed"]["box"][50] != "A" else "B")
        + facts["sealed"]["box"][51:]
    ),
}


@pytest.mark.parametrize("name", [*EDITS, "a guessed phrase"])
def test_an_edited_paper_stays_shut(target: Demo, small_workspace: Workspace, name: str) -> None:
    """The seal is bound to what the paper says openly: with another phrase or after an edit it does not open."""
    candidate = Candidate(target, small_workspace)
    page = target.records / "papers" / f"{candidate.paper}.html"
    slip = page.with_name(f"{candidate.paper}.slip.txt").read_text("utf-8")
    phrase = re.search(r"Phrase +(\S+)", slip)
    assert phrase
    assert b"questions" in open_page(page.read_text("utf-8"), phrase.group(1), lambda facts: None)
    typed = phrase.group(1) if name in EDITS else "AAAA-AAAA-AAAA-AAAA-AAAA"
    with pytest.raises(VerificationError, match="seal"):
        open_page(page.read_text("utf-8"), typed, EDITS.get(name, lambda facts: None))
