"""Sittings: marked once against the frozen key; whatever else comes in is refused with the step that stopped it."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest

from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.hand_in import Marked, hand_in
from warmyard.certify.acts.paper import Issued
from warmyard.certify.exam.paper_key import PaperKey, read_key
from warmyard.certify.exam.sitting import mark_sitting, read_sitting
from warmyard.certify.ledger.bodies import Irregularity
from warmyard.certify.ledger.code import code_of, may_be_code
from warmyard.certify.ledger.erasure import erase_files
from warmyard.certify.ledger.side_files import read_side
from warmyard.errors import InputError, VerificationError
from warmyard.item.variant_model import CaseKey, ChoiceKey, NumberKey, OrderKey, PointKey, Variant


def right_response(variant: Variant) -> dict[str, Any]:
    """Return the response that the key calls right, in the shape that the page saves."""
    key = variant.key
    match key:
        case ChoiceKey():
            return {"chosen": list(key.right)}
        case NumberKey():
            response = {"text": f"{key.value:.12g}"}
            return {**response, "verdict": key.verdict} if key.verdict else response
        case OrderKey():
            return {"order": list(key.reference)}
        case CaseKey():
            return {"path": list(key.best), "cause": key.cause, "behind": key.behind, "fit": key.fit}
        case PointKey():
            return {"point": key.right[0]}


class Candidate:
    """Sits a paper in a test: right answers, with some of them changed."""

    def __init__(self, office: Any, person: str = "ann") -> None:
        self.office = office
        self.issued: Issued = office.issue(person)
        fact = office.ledger.verify().papers[self.issued.paper]
        self.key: PaperKey = read_key(office.records, self.issued.paper, fact.body.frozen_key)
        self.record: dict[str, Any] = {
            "format": "warmyard-sitting-1",
            "paper": self.issued.paper,
            "person": person,
            "sealed": self.key.sealed,
            "answers": [
                {"question": one.name, "response": right_response(one.variant)} for one in self.key.questions
            ],
            "claimed": {"started_at": "2027-03-01T09:00:00Z", "handed_in_at": "2027-03-01T09:20:00Z", "seconds": 1200},
        }  # fmt: skip

    def spoil(self, name: str) -> None:
        """Leave one question unanswered."""
        self.record["answers"] = [answer for answer in self.record["answers"] if answer["question"] != name]

    @property
    def data(self) -> bytes:
        """The file that is handed in."""
        return json.dumps(self.record, separators=(",", ":")).encode()

    def mark(self, data: bytes | None = None, code: str | None = None, days: int = 0) -> Marked:
        """Hand in, with the code of the bytes unless another is given."""
        data = self.data if data is None else data
        state = self.office.ledger.verify()
        now = state.last_recorded_at + timedelta(days=days)
        desk = Desk(self.office.ledger, now, self.office.key)
        return hand_in(desk, data, code_of(data) if code is None else code)


@pytest.fixture
def ann(office: Any) -> Candidate:
    """Give a candidate with all answers right."""
    return Candidate(office)


def irregularities(office: Any) -> list[Irregularity]:
    """Return the irregularities in the ledger, which is verified."""
    state = office.ledger.verify()
    return [fact.body for facts in state.facts.values() for fact in facts if isinstance(fact.body, Irregularity)]


def test_a_right_sitting_is_marked_and_entered(ann: Candidate) -> None:
    """All answers of the key are right, of every kind; the entry says so, and the ledger verifies with its side."""
    entered = ann.mark()
    body = ann.office.ledger.verify().sittings[ann.issued.paper].body
    assert (body.right, body.of, body.passed, body.minutes) == (8, 8, True, 20)
    assert body.critical_missed == ()
    assert all(body.marks.values())
    side = read_side(ann.office.records, "ann", body.side)
    assert side["handed_in"].encode() == ann.data
    assert [one["question"] for one in side["marks"]] == [one.name for one in ann.key.questions]
    assert entered.body == body


def test_the_same_bytes_again_are_already_entry_n(ann: Candidate) -> None:
    """Handing in twice changes nothing and names the entry."""
    first = ann.mark()
    count = ann.office.ledger.verify().count
    again = ann.mark()
    assert (again.entry, again.again) == (first.entry, True)
    assert ann.office.ledger.verify().count == count


def test_below_the_cut_is_not_passed(ann: Candidate) -> None:
    """Three answers missing of eight are below the cut; the unanswered ones count as wrong."""
    others = [one.name for one in ann.key.questions if not one.critical]
    for name in others[:3]:
        ann.spoil(name)
    outcome = ann.mark().outcome
    assert outcome is not None
    assert (outcome.right, outcome.passed, outcome.critical_missed) == (5, False, ())
    assert [one.question for one in outcome.marks if not one.answered] == sorted(others[:3])


def test_the_cut_itself_passes(ann: Candidate) -> None:
    """Six of eight are exactly 75 %, where that is the cut."""
    for name in [one.name for one in ann.key.questions if not one.critical][:2]:
        ann.spoil(name)
    ann.key = msgspec.structs.replace(ann.key, cut_percent="75")
    outcome = mark_sitting(read_sitting(ann.data), ann.key)
    assert (outcome.right, outcome.passed) == (6, True)


def test_nothing_makes_up_for_a_critical_item(ann: Candidate) -> None:
    """Seven of eight with a critical one missing is not passed, and the entry names the item."""
    critical = next(one for one in ann.key.questions if one.critical)
    ann.spoil(critical.name)
    body = ann.mark().body
    assert (body.right, body.passed, body.critical_missed) == (7, False, (critical.item,))


def test_an_answer_that_fails_at_once_fails_the_paper(ann: Candidate) -> None:
    """An ordering that makes a fatal reversal is a critical miss, whether or not its item is marked critical."""
    ordering = next(one for one in ann.key.questions if isinstance(one.variant.key, OrderKey))
    key = ordering.variant.key
    assert isinstance(key, OrderKey)
    assert key.fails
    wrong, must = key.fails[0]
    order = [step for step in key.reference if step not in (wrong, must)]
    answer = next(one for one in ann.record["answers"] if one["question"] == ordering.name)
    answer["response"] = {"order": [wrong, must, *order]}
    body = ann.mark().body
    assert body.passed is False
    assert ordering.item in body.critical_missed


def test_an_altered_answer_is_refused_before_and_after_marking(ann: Candidate) -> None:
    """Altered before marking: the code does not fit, no entry. After: exit 3 with an irregularity, once."""
    code, honest = code_of(ann.data), ann.data
    ann.spoil("q01")
    with pytest.raises(VerificationError, match="step 3, code"):
        ann.mark(code=code)
    assert irregularities(ann.office) == []
    ann.mark(honest, code)
    for attempt in (code, code_of(ann.data)):
        with pytest.raises(VerificationError, match=r"step 4, once.*irregularity, entry"):
            ann.mark(code=attempt)
    found = irregularities(ann.office)
    assert [(one.paper, one.what) for one in found] == [(ann.issued.paper, "other-bytes")]


def test_a_wrong_code_is_refused(ann: Candidate) -> None:
    """Another code, an empty one, one that is too short or too long: exit 3, nothing entered."""
    count = ann.office.ledger.verify().count
    good = code_of(ann.data)
    for code in ("AAAA-AAAA-AAAA-AAAA", "", "x", good[:-1], good + "A", "☃" * 16):
        with pytest.raises(VerificationError, match="step 3, code") as refused:
            ann.mark(code=code)
        assert refused.value.exit_code == 3
    assert ann.office.ledger.verify().count == count


def test_a_code_may_be_typed_as_it_is_read(ann: Candidate) -> None:
    """Small letters, blanks instead of dashes, and 0 for O, 1 for I, 8 for B are the same code."""
    good = code_of(ann.data)
    typed = good.lower().replace("-", "  ").translate(str.maketrans("oib", "018"))
    assert may_be_code(ann.data, typed)


def test_anothers_paper_is_refused(office: Any) -> None:
    """A sitting that claims another person than the paper was issued to: exit 3 and an irregularity."""
    ben = Candidate(office, "ben")
    ben.record["person"] = "ann"
    with pytest.raises(VerificationError, match="step 5, person"):
        ben.mark()
    assert [one.what for one in irregularities(office)] == ["another-person"]


def test_a_paper_of_another_office_is_refused(ann: Candidate) -> None:
    """A paper that the ledger does not know is not marked."""
    ann.record["paper"] = "paper-never-issued"
    with pytest.raises(VerificationError, match="step 2, paper"):
        ann.mark()


def test_answers_to_another_paper_are_refused(office: Any) -> None:
    """Answers made from one paper and sent in under the name of another of the same person."""
    first, second = Candidate(office), Candidate(office)
    second.record["sealed"] = first.key.sealed
    with pytest.raises(VerificationError, match="step 6, questions"):
        second.mark()
    assert [one.what for one in irregularities(office)] == ["other-questions"]


def test_of_two_papers_in_hand_only_one_is_marked(office: Any) -> None:
    """The better of two sittings cannot be picked: once one is marked, a paper issued before that is spent."""
    first, second = Candidate(office), Candidate(office)
    second.mark()
    with pytest.raises(VerificationError, match="step 7, turn"):
        first.mark()
    assert [one.what for one in irregularities(office)] == ["spent-paper"]


@pytest.mark.parametrize(
    "spoiled",
    [
        b"",
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"a":' * 5_000,
        b"[]",
        b"null",
        b'{"format":"warmyard-sitting-1"}',
        b"x" * 600_000,
    ],
)
def test_what_is_no_sitting_is_refused(ann: Candidate, spoiled: bytes) -> None:
    """Empty, not text, too deep, too large, another shape: refused at the first step, nothing entered."""
    count = ann.office.ledger.verify().count
    with pytest.raises(VerificationError, match="step 1, form"):
        ann.mark(spoiled)
    assert ann.office.ledger.verify().count == count


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace('"person":"ann"', '"person":"ann","person":"ben"'),
        lambda text: text.replace('"person":"ann"', '"person":"ann","passed":true'),
        lambda text: text.replace('"seconds":1200', '"seconds":1e400'),
        lambda text: text.replace('"seconds":1200', '"seconds":-1'),
        lambda text: text.replace('"seconds":1200', '"seconds":12.5'),
        lambda text: text.replace('"seconds":1200', '"seconds":' + "9" * 400),
        lambda text: text.replace('"response":{', '"response":{"mark":1,', 1),
        lambda text: text.replace('"paper":"', '"paper":"../../', 1),
        lambda text: text.replace('"person":"ann"', '"person":"\\ud800"'),
        lambda text: text.replace('"question":"q01"', '"question":"q01\\u0000"'),
    ],
)
def test_a_hostile_sitting_is_refused(ann: Candidate, change: Any) -> None:
    """A key twice, an own mark, an endless number, a path for an id, half a character: refused as no sitting."""
    with pytest.raises(VerificationError, match="step 1, form"):
        ann.mark(change(ann.data.decode()).encode())


def test_a_question_answered_twice_or_not_asked_is_refused(ann: Candidate) -> None:
    """An answer more than the paper asks is no answer to this paper."""
    ann.record["answers"].append(ann.record["answers"][0])
    with pytest.raises(VerificationError, match="step 6, questions"):
        ann.mark()
    ann.record["answers"][-1] = {"question": "q99", "response": {}}
    with pytest.raises(VerificationError, match="step 6, questions"):
        ann.mark()


def test_every_odd_response_is_only_wrong(ann: Candidate) -> None:
    """Responses of another kind, blank, endless or unreadable are marked as wrong, never an error."""
    odd: tuple[dict[str, Any], ...] = (
        {}, {"chosen": []}, {"chosen": ["zz"]}, {"text": "9**9**9"}, {"text": "nan"}, {"order": ["a", "a"]},
        {"point": "nowhere"}, {"path": ["to:nowhere", "no-check"], "cause": "nothing"}, {"verdict": "a"},
    )  # fmt: skip
    for response in odd:
        record = {**ann.record, "answers": [{"question": one.name, "response": response} for one in ann.key.questions]}
        outcome = mark_sitting(read_sitting(json.dumps(record).encode()), ann.key)
        assert outcome.passed is False


def test_times_are_only_claims(ann: Candidate) -> None:
    """A sitting of ten hours with breaks is marked like any other; its minutes stand in the entry as claimed."""
    ann.record["claimed"].update(seconds=36_000, resumed=[{"at": "2027-03-01T09:10:00Z", "seconds": 300}], left=4)
    body = ann.mark().body
    assert (body.passed, body.minutes) == (True, 600)


def test_a_sitting_of_an_erased_person_is_refused(ann: Candidate) -> None:
    """After an erasure nothing more is marked, and the sentence says why."""
    state = ann.office.ledger.verify()
    now = state.last_recorded_at
    ann.office.ledger.append("erase", "ann", {"because": "own-wish"}, now.date(), now, ann.office.key)
    erase_files(ann.office.records, ann.office.ledger.verify(), "ann")
    with pytest.raises(VerificationError, match="was erased"):
        ann.mark()


def test_an_invigilator_is_entered_as_one(ann: Candidate) -> None:
    """Who is named as invigilator holds the role; anybody else is refused before anything is entered."""
    state = ann.office.ledger.verify()
    desk = Desk(ann.office.ledger, state.last_recorded_at, ann.office.key)
    with pytest.raises(InputError, match="not entered as an invigilator"):
        hand_in(desk, ann.data, code_of(ann.data), invigilator="eve")
    entered = hand_in(desk, ann.data, code_of(ann.data), invigilator="ida")
    assert entered.body.invigilator == "ida"


def test_a_side_file_that_was_changed_is_found(ann: Candidate) -> None:
    """Raw answers lie outside the ledger and are bound to it: one byte changed, and the ledger does not verify."""
    body = ann.mark().body
    path: Path = ann.office.records / "people" / "ann" / f"{body.side}.json"
    path.write_bytes(path.read_bytes().replace(b'"right":true', b'"right":null', 1))
    with pytest.raises(VerificationError, match="side file was changed"):
        ann.office.ledger.verify()
