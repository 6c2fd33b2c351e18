"""Reads a sitting that was handed in, and marks it against the frozen key of its paper.

What paper.js saves: one line of JSON, no null, whole numbers only:

    {"format": "warmyard-sitting-1", "paper": "paper-...", "person": "ID", "sealed": "<64 hex of the sealed box>",
     "answers": [{"question": "q01", "response": {...}}, ...],        an unanswered question is left out
     "claimed": {"started_at": "2027-03-31T09:00:00Z", "handed_in_at": "...", "seconds": 2400,
                 "resumed": [{"at": "...", "seconds": 700}], "left": 0}}

Nothing in it is believed but the answers: the times are recorded as claimed, the outcome is counted here.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, NoReturn

import msgspec
from msgspec import Meta

from warmyard.certify.exam.paper_key import PaperKey
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Irregularity, Paper, Sitting
from warmyard.certify.ledger.canonical import read_json
from warmyard.certify.ledger.code import may_be_code
from warmyard.certify.ledger.state import Fact, State
from warmyard.errors import VerificationError
from warmyard.formats.papers import SITTING
from warmyard.formats.register import read_labelled
from warmyard.item.marking import mark

LARGEST_BYTES = 512_000
Id = Annotated[str, Meta(pattern=r"\A[a-z0-9-]{1,40}\Z")]
Short = Annotated[str, Meta(max_length=120)]
Ids = Annotated[list[Short], Meta(max_length=200)]
Moment = Annotated[str, Meta(pattern=r"\A\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z\Z")]
Seconds = Annotated[int, Meta(ge=0, le=10_000_000)]


class Response(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What was answered, whatever the kind; marking reads the fields of the question's kind."""

    chosen: Ids = []
    text: Short = ""
    verdict: Short = ""
    order: Ids = []
    path: Ids = []
    cause: Short = ""
    behind: Short = ""
    fit: Short = ""
    point: Short = ""


class Answered(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One answer."""

    question: Id
    response: Response


class Resumed(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A time at which the page was opened again after a break; the seconds that had been counted by then."""

    at: Moment
    seconds: Seconds


class Claimed(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the page says about times, recorded as its claim."""

    started_at: Moment
    handed_in_at: Moment
    seconds: Seconds
    resumed: Annotated[tuple[Resumed, ...], Meta(max_length=200)] = ()
    left: Annotated[int, Meta(ge=0, le=100_000)] = 0
    """How often the page was out of sight."""


class HandedIn(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A sitting as it was handed in."""

    format: Literal["warmyard-sitting-1"]
    paper: Id
    person: Id
    sealed: Annotated[str, Meta(pattern=r"\A[0-9a-f]{64}\Z")]
    answers: Annotated[tuple[Answered, ...], Meta(max_length=500)]
    claimed: Claimed


class SittingRefusedError(VerificationError):
    """A sitting that is not marked. `irregularity` is the code of the entry to make about it, if any."""

    def __init__(self, step: str, what: str, irregularity: str = "") -> None:
        super().__init__(step, what)
        self.irregularity = irregularity


class Already(msgspec.Struct, frozen=True, kw_only=True):
    """The very bytes were marked before."""

    entry: int


class AnswerMark(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """The mark of one question, for the side file; the reasons are kept for an appeal."""

    question: str
    item: str
    duty: str
    right: bool
    reason: str
    critical: bool = False
    answered: bool = True
    critical_fail: bool = False


class SittingOutcome(msgspec.Struct, frozen=True, kw_only=True):
    """The outcome of a sitting: passed when the right answers reach the cut and nothing critical is missed.

    An item counts when it is wholly right: cut, item figures and decision consistency are all about right and wrong.
    """

    right: int
    of: int
    cut_percent: str
    critical_missed: tuple[str, ...]
    """Items whose miss nothing makes up for: critical items not right, and answers that fail at once."""
    passed: bool
    marks: tuple[AnswerMark, ...]


def read_sitting(data: bytes) -> HandedIn:
    """Return a sitting; raise VerificationError when it is not one."""
    value = read_json(data, "step 1, form", largest_bytes=LARGEST_BYTES)
    try:
        return msgspec.convert(read_labelled(SITTING, value), HandedIn, strict=True)
    except msgspec.ValidationError as problem:
        raise VerificationError("step 1, form", f"not a sitting ({_plain(problem)})") from None


def _plain(problem: Exception) -> str:
    return "".join(sign if sign.isprintable() else "?" for sign in str(problem))[:200]


def open_sitting(data: bytes, code: str, state: State) -> tuple[HandedIn, Fact[Paper]] | Already:
    """Return the sitting and its paper, or the entry that marked these bytes before.

    Raises VerificationError naming the step, as SittingRefusedError where there is a paper that it is about:
    Step 1, form: bounded JSON with exactly the fields of a sitting.
    Step 2, paper: the ledger knows the paper.
    Step 3, code: the code of the slip is that of these bytes.
    Step 4, once: the paper has no sitting yet, except of these very bytes.
    Step 5, person: the paper was issued to the person who sat it.
    Step 6, questions: the answers are to the questions that were sealed in it (in `mark_sitting`).
    Step 7, turn: no other paper of this person, level and part was marked after this one was issued.
    An irregularity is entered for other bytes of a paper that has its sitting, and for a file that fits its slip but
    not its paper; a code that does not fit may be a slip of the pen, so it alone leaves no entry.
    """
    sitting = read_sitting(data)
    paper = state.papers.get(sitting.paper)
    if paper is None:
        raise VerificationError("step 2, paper", f"no paper {sitting.paper} was issued by this office")
    if state.people[paper.entry.person].erased:
        raise VerificationError("step 2, paper", f"the person to whom {sitting.paper} was issued was erased")
    marked = state.sittings.get(sitting.paper)
    same_bytes = marked is not None and envelope.same(marked.body.record, envelope.digest(data))
    fits = may_be_code(data, code)
    if marked is not None and not same_bytes:
        raise SittingRefusedError(
            "step 4, once", f"{sitting.paper} has its sitting, entry {marked.entry.number}, and these bytes are others",
            "other-bytes",
        )  # fmt: skip
    if not fits:
        raise SittingRefusedError(
            "step 3, code", "the code is not that of this file; read the slip again, then ask the invigilator"
        )
    if marked is not None:
        return Already(entry=marked.entry.number)
    if sitting.person != paper.entry.person:
        raise SittingRefusedError(
            "step 5, person", f"{sitting.paper} was issued to another person, not to {sitting.person}", "another-person"
        )
    _verify_turn(state, paper)
    return sitting, paper


def _verify_turn(state: State, paper: Fact[Paper]) -> None:
    """Raise unless the paper is still open: two papers in hand must not become two tries without a wait."""
    for fact in state.of(paper.entry.person, Sitting):
        same_part = (fact.body.level, fact.body.part) == (paper.body.level, paper.body.part)
        if same_part and fact.entry.number > paper.entry.number:
            raise SittingRefusedError(
                "step 7, turn",
                f"another paper of this person was marked after {paper.body.paper} was issued (entry "
                f"{fact.entry.number}); a re-sit needs a paper issued after that",
                "spent-paper",
            )


def mark_sitting(sitting: HandedIn, key: PaperKey) -> SittingOutcome:
    """Return the outcome; raise SittingRefusedError when the answers are not to the questions of this key."""
    if sitting.sealed != key.sealed or (sitting.paper, sitting.person) != (key.paper, key.person):
        _refuse_questions("the file was made from other questions than this paper's")
    answers = {answer.question: answer.response for answer in sitting.answers}
    asked = {one.name for one in key.questions}
    if len(answers) != len(sitting.answers) or not answers.keys() <= asked:
        _refuse_questions("it answers a question twice, or one that the paper does not ask")
    marks = tuple(_mark_one(key, at, answers) for at in range(len(key.questions)))
    missed = tuple(one.item for one in marks if one.critical_fail or (one.critical and not one.right))
    right = sum(one.right for one in marks)
    reached = right * 100 >= float(key.cut_percent) * len(marks) - 1e-9
    return SittingOutcome(
        right=right, of=len(marks), cut_percent=key.cut_percent, critical_missed=missed,
        passed=reached and not missed, marks=marks,
    )  # fmt: skip


def _refuse_questions(what: str) -> NoReturn:
    raise SittingRefusedError("step 6, questions", what, "other-questions")


def _mark_one(key: PaperKey, at: int, answers: dict[str, Response]) -> AnswerMark:
    one = key.questions[at]
    response = answers.get(one.name)
    plain: dict[str, Any] = {} if response is None else msgspec.to_builtins(response)
    found = mark(one.variant, plain)
    return AnswerMark(
        question=one.name, item=one.item, duty=one.duty, right=found.right, reason=found.reason,
        critical=one.critical, answered=response is not None, critical_fail=found.critical_fail,
    )  # fmt: skip


def outcome_record(data: bytes, outcome: SittingOutcome) -> dict[str, Any]:
    """Return what the side file of a sitting holds: the very text handed in, and the mark of every question."""
    marks = [msgspec.to_builtins(one) for one in outcome.marks]
    return {"handed_in": data.decode("utf-8"), "marks": marks}


def sitting_body(
    sitting: HandedIn, paper: Fact[Paper], data: bytes, outcome: SittingOutcome, side: str, by: str
) -> Sitting:
    """Return the body of the entry; `by` is the invigilator's id, or empty."""
    return Sitting(
        paper=sitting.paper, level=paper.body.level, part=paper.body.part, record=envelope.digest(data),
        passed=outcome.passed, right=outcome.right, of=outcome.of, cut_percent=outcome.cut_percent,
        critical_missed=outcome.critical_missed, invigilator=by, minutes=min(sitting.claimed.seconds // 60, 1_000_000),
        marks={one.item: one.right for one in outcome.marks}, side=side,
    )  # fmt: skip


def irregularity_of(refusal: SittingRefusedError, data: bytes, paper: Fact[Paper]) -> Irregularity:
    """Return what to enter about a sitting that was refused."""
    return Irregularity(paper=paper.body.paper, what=refusal.irregularity, record=envelope.digest(data))
