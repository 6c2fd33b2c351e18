"""Papers: the frozen key that marks one, whatever becomes of the bank after it was issued, and the file handed in."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from warmyard.formats.entries import Id
from warmyard.formats.register import Format, Plain


class PaperShape(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A frozen shape."""


class DrawnShape(msgspec.Struct, frozen=True, kw_only=True):
    """A frozen shape of what was drawn from an item, inside the key of its paper."""


Short = Annotated[str, Meta(max_length=120)]
Ids = Annotated[list[Short], Meta(max_length=200)]
Moment = Annotated[str, Meta(pattern=r"\A\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z\Z")]
Seconds = Annotated[int, Meta(ge=0, le=10_000_000)]


class Shown1(DrawnShape, frozen=True, kw_only=True):
    id: str
    text: str


class CheckShown1(DrawnShape, frozen=True, kw_only=True):
    id: str
    text: str
    minutes: float
    needs: str
    then: str | None
    level: int
    outcome: str
    sees: str
    live: bool = False


class Case1(DrawnShape, frozen=True, kw_only=True):
    symptom: str
    as_said: str
    contexts: tuple[str, ...]
    starts_at: str
    level: int
    checks: tuple[CheckShown1, ...]
    causes: tuple[Shown1, ...]
    behind: tuple[Shown1, ...]
    fit: tuple[Shown1, ...]
    standings: tuple[Shown1, ...] = ()
    ladder: dict[str, dict[str, float]] = {}


class PaperQuestion1(DrawnShape, frozen=True, kw_only=True):
    item: str
    seed: int
    kind: str
    ask: str
    skill: str
    critical: bool = False
    several: bool = False
    options: tuple[Shown1, ...] = ()
    unit: str = ""
    decimals: int = 0
    given: tuple[Shown1, ...] = ()
    picture: str = ""
    drawing: str = ""
    case: Case1 | None = None


class SlipValue1(DrawnShape, frozen=True, kw_only=True):
    id: str
    value: float
    say: str
    link: str = ""


class ChoiceKey1(DrawnShape, frozen=True, kw_only=True, tag="choice"):
    right: tuple[str, ...]
    why: dict[str, str]


class NumberKey1(DrawnShape, frozen=True, kw_only=True, tag="number"):
    value: float
    shown: str
    unit: str
    tolerance: float
    share: float = 0.0
    slips: tuple[SlipValue1, ...]
    steps: tuple[str, ...]
    links: dict[str, float] = {}
    verdict: str = ""
    why: dict[str, str] = {}


class OrderKey1(DrawnShape, frozen=True, kw_only=True, tag="order"):
    before: tuple[tuple[str, str], ...]
    fails: tuple[tuple[str, str], ...]
    reasons: dict[str, str]
    reference: tuple[str, ...]


class CaseBar1(DrawnShape, frozen=True, kw_only=True):
    clear_by: tuple[str, ...]
    say: str
    after_start: bool = False


class CaseKey1(DrawnShape, frozen=True, kw_only=True, tag="case"):
    cause: str
    behind: str
    fit: str
    best: tuple[str, ...]
    best_minutes: float
    best_reasons: tuple[str, ...]
    ladder: dict[str, dict[str, float]]
    proves: tuple[str, ...] = ()
    forbidden: tuple[str, ...] = ()
    forbidden_reasons: dict[str, str] = {}
    parts: dict[str, str] = {}
    bars: tuple[CaseBar1, ...] = ()
    normal: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()


class PointKey1(DrawnShape, frozen=True, kw_only=True, tag="point"):
    right: tuple[str, ...]
    why: dict[str, str]
    names: dict[str, str] = {}


class Variant1(DrawnShape, frozen=True, kw_only=True):
    question: PaperQuestion1
    key: ChoiceKey1 | NumberKey1 | OrderKey1 | CaseKey1 | PointKey1
    sense: str = ""


class Asked1(PaperShape, frozen=True, kw_only=True):
    name: str
    item: str
    duty: str
    critical: bool
    seed: int
    variant: Variant1


class PaperKey1(PaperShape, frozen=True, kw_only=True):
    format: Literal["warmyard-paper-key-1"] = "warmyard-paper-key-1"
    salt: str
    paper: str
    person: str
    level: int
    part: str
    attempt: int
    sealed: str
    cut_percent: str
    questions: tuple[Asked1, ...]


class NumberKey2(DrawnShape, frozen=True, kw_only=True, tag="number"):
    value: float
    shown: str
    unit: str
    tolerance: float
    share: float = 0.0
    slips: tuple[SlipValue1, ...]
    steps: tuple[str, ...]
    links: dict[str, float] = {}
    verdict: str = ""
    why: dict[str, str] = {}
    reads: int = 1


class Variant2(DrawnShape, frozen=True, kw_only=True):
    question: PaperQuestion1
    key: ChoiceKey1 | NumberKey2 | OrderKey1 | CaseKey1 | PointKey1
    sense: str = ""


class Asked2(PaperShape, frozen=True, kw_only=True):
    name: str
    item: str
    duty: str
    critical: bool
    seed: int
    variant: Variant2


class PaperKey2(PaperShape, frozen=True, kw_only=True):
    format: Literal["warmyard-paper-key-2"] = "warmyard-paper-key-2"
    salt: str
    paper: str
    person: str
    level: int
    part: str
    attempt: int
    sealed: str
    cut_percent: str
    questions: tuple[Asked2, ...]


def _key_to_2(whole: Plain) -> Plain:
    """Return a key as of format 2: its numbers are read as when the paper was issued, in one way of writing only."""
    questions = [
        {**asked, "variant": {**asked["variant"], "key": _read_as_issued(asked["variant"]["key"])}}
        for asked in whole["questions"]
    ]
    return {**whole, "format": "warmyard-paper-key-2", "questions": questions}


def _read_as_issued(key: Plain) -> Plain:
    return {**key, "reads": 1} if key["type"] == "number" else key


class Response1(PaperShape, frozen=True, kw_only=True):
    chosen: Ids = []
    text: Short = ""
    verdict: Short = ""
    order: Ids = []
    path: Ids = []
    cause: Short = ""
    behind: Short = ""
    fit: Short = ""
    point: Short = ""


class Answered1(PaperShape, frozen=True, kw_only=True):
    question: Id
    response: Response1


class Resumed1(PaperShape, frozen=True, kw_only=True):
    at: Moment
    seconds: Seconds


class Claimed1(PaperShape, frozen=True, kw_only=True):
    started_at: Moment
    handed_in_at: Moment
    seconds: Seconds
    resumed: Annotated[tuple[Resumed1, ...], Meta(max_length=200)] = ()
    left: Annotated[int, Meta(ge=0, le=100000)] = 0


class HandedIn1(PaperShape, frozen=True, kw_only=True):
    format: Literal["warmyard-sitting-1"]
    paper: Id
    person: Id
    sealed: Annotated[str, Meta(pattern="\\A[0-9a-f]{64}\\Z")]
    answers: Annotated[tuple[Answered1, ...], Meta(max_length=500)]
    claimed: Claimed1


class Sealed1(PaperShape, frozen=True, kw_only=True):
    salt: str
    nonce: str
    box: str
    rounds: int


class Paper1(PaperShape, frozen=True, kw_only=True):
    format: Literal["warmyard-paper-1"]
    sitting_format: Literal["warmyard-sitting-1"]
    paper: Id
    person: Id
    level: int
    part: str
    part_title: str
    attempt: int
    count: int
    minutes: int
    cut: str
    conduct: list[str]
    sealed: Sealed1


PAPER = Format(name="paper", title="a paper", shapes={1: Paper1}, upgrades={})
PAPER_KEY = Format(
    name="paper-key", title="the key of a paper", shapes={1: PaperKey1, 2: PaperKey2}, upgrades={1: _key_to_2}
)
SITTING = Format(name="sitting", title="the file of a sitting", shapes={1: HandedIn1}, upgrades={})
