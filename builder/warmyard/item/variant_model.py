"""What a draw of an item gives: a question that may be shown, and a key that may not."""

from __future__ import annotations

import msgspec


class Shown(msgspec.Struct, frozen=True, kw_only=True):
    """An option, a step, a point or a check as the reader sees it; order is already mixed."""

    id: str
    text: str


class CheckShown(msgspec.Struct, frozen=True, kw_only=True):
    """A check of a fault case, with what it would show in this case."""

    id: str
    text: str
    minutes: float
    needs: str
    then: str | None
    level: int
    outcome: str
    sees: str
    live: bool = False
    """True when it starts the machine, or may."""


class Case(msgspec.Struct, frozen=True, kw_only=True):
    """The playable part of a fault case."""

    symptom: str
    as_said: str
    contexts: tuple[str, ...]
    starts_at: str
    level: int
    checks: tuple[CheckShown, ...]
    causes: tuple[Shown, ...]
    behind: tuple[Shown, ...]
    fit: tuple[Shown, ...]
    standings: tuple[Shown, ...] = ()
    """Every precondition by name, in the order of the ladder."""
    ladder: dict[str, dict[str, float]] = {}
    """From precondition -> to precondition -> minutes, shortest over the ladder; the page offers its moves."""


class Question(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Everything a page or a paper may show of one variant. Holds nothing of the key."""

    item: str
    seed: int
    kind: str
    ask: str
    skill: str
    critical: bool = False
    several: bool = False
    options: tuple[Shown, ...] = ()
    """Choice options, ordering steps, picture points, or the verdicts of a numeric item."""
    unit: str = ""
    decimals: int = 0
    given: tuple[Shown, ...] = ()
    """Symbol -> "12.5 bar", as put into the question."""
    picture: str = ""
    """Id of a drawing for picture points."""
    drawing: str = ""
    """Inline SVG of an instrument with the value drawn in; its text alternative does not give the answer away."""
    case: Case | None = None


class SlipValue(msgspec.Struct, frozen=True, kw_only=True):
    """A slip's answer in the answer's unit, and what to say."""

    id: str
    value: float
    say: str
    link: str = ""


class ChoiceKey(msgspec.Struct, frozen=True, kw_only=True, tag="choice"):
    """Right ids, and per id why."""

    right: tuple[str, ...]
    why: dict[str, str]


class NumberKey(msgspec.Struct, frozen=True, kw_only=True, tag="number"):
    """Value in the answer's unit; a response within `tolerance` of it is right."""

    value: float
    shown: str
    unit: str
    tolerance: float
    share: float = 0.0
    """The tolerance as a share of the value, where it is one: a slip is met within this share of its own value."""
    slips: tuple[SlipValue, ...]
    steps: tuple[str, ...]
    """Worked steps as HTML with MathML, numbers and units put in."""
    links: dict[str, float] = {}
    verdict: str = ""
    why: dict[str, str] = {}
    reads: int = 1
    """How a typed answer is read: 1 as formula/quantity.py does, 2 as formula/typed.py does. An issued paper keeps its
    own, so that nobody's answer is marked in another way than when it was given."""


class OrderKey(msgspec.Struct, frozen=True, kw_only=True, tag="order"):
    """The partial order among the shown steps, and the pairs that fail at once."""

    before: tuple[tuple[str, str], ...]
    fails: tuple[tuple[str, str], ...]
    """(first, then): fails when `first` stands before `then`."""
    reasons: dict[str, str]
    """"a<b" -> why a comes before b."""
    reference: tuple[str, ...]


class CaseBar(msgspec.Struct, frozen=True, kw_only=True):
    """No start before these checks were seen normal; with `after_start` only once a start was spent."""

    clear_by: tuple[str, ...]
    say: str
    after_start: bool = False


class CaseKey(msgspec.Struct, frozen=True, kw_only=True, tag="case"):
    """Cause, the cause behind it, what makes the machine fit, and the best path with its minutes."""

    cause: str
    behind: str
    fit: str
    best: tuple[str, ...]
    best_minutes: float
    best_reasons: tuple[str, ...]
    ladder: dict[str, dict[str, float]]
    """From precondition -> to precondition -> minutes, shortest over the ladder."""
    proves: tuple[str, ...] = ()
    """Checks that show something of this cause; named without one of them, the cause is a guess."""
    forbidden: tuple[str, ...] = ()
    """Checks that are a critical fail in this case whatever the ladder says."""
    forbidden_reasons: dict[str, str] = {}
    """Check -> why it is forbidden here."""
    parts: dict[str, str] = {}
    """Check or named cause -> the part that it would use up without need in this case."""
    bars: tuple[CaseBar, ...] = ()
    normal: tuple[str, ...] = ()
    """Checks that show what they show on a machine without a fault."""
    cannot: tuple[str, ...] = ()
    """Checks that cannot be done in this case; they spend no start."""


class PointKey(msgspec.Struct, frozen=True, kw_only=True, tag="point"):
    """Right points, and per wrong point the mistake it stands for."""

    right: tuple[str, ...]
    why: dict[str, str]
    names: dict[str, str] = {}
    """Point -> its name, told after the answer."""


Key = ChoiceKey | NumberKey | OrderKey | CaseKey | PointKey


class Variant(msgspec.Struct, frozen=True, kw_only=True):
    """One draw of an item, whatever its kind."""

    question: Question
    key: Key
    sense: str = ""
    """One sentence of trade sense, shown after the answer."""


class Mark(msgspec.Struct, frozen=True, kw_only=True):
    """The mark of one response, whatever the kind: share 0 to 1, and the reason in words.

    `understood` is false when the response is not an answer (blank, a letter for a number): helped, not punished.
    """

    right: bool
    share: float
    reason: str
    slip: str = ""
    critical_fail: bool = False
    understood: bool = True
