"""The machine as its sources state it: states, what can fail, checks and what each would show."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from warmyard.errors import Place


class Signal(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something that is so or not so: given from outside, driven by a state, or following from others.

    `when` holds alternatives; each is a chain like "motor and not trips" of signals that must all hold.
    """

    id: str
    name: str
    kind: Literal["given", "output", "follows"]
    starts: bool = True
    """What a given signal is before the scenario changes it."""
    when: tuple[str, ...] = ()
    after_seconds: float = 0
    """How long the alternatives must hold before the signal comes."""
    off_after_seconds: float = 0
    """How long they must be gone before it goes."""
    after_field: str = ""
    """Field of a machine's data sheet that gives `after_seconds`, where a sheet is at hand."""
    off_after_field: str = ""
    """Field of a machine's data sheet that gives `off_after_seconds`."""
    stays: bool = False
    """True when it never goes again by itself."""
    chart: int = 0
    """Row on the sequence chart, from 1; 0 means not drawn."""
    place: Place = Place()


class Event(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A change of a given signal in the demonstration start."""

    at_seconds: float
    signal: str
    to: bool


class Scenario(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The demonstration start that every chart shows; seconds are set for the demo."""

    events: tuple[Event, ...] = ()
    until_seconds: float = 60
    place: Place = Place()


class Leave(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A way out of a state that is taken as soon as its condition holds."""

    when: str
    to: str


class SequenceState(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One state of the start sequence. Seconds are set for the demo unless the machine's sheet says otherwise."""

    id: str
    name: str
    enter_when: tuple[str, ...]
    """Conditions (ids from `signals`) that must hold to enter."""
    drives: tuple[str, ...] = ()
    """Outputs that are on in this state (motor, spark, fuel-valve, main-fan, lockout-lamp)."""
    expects: tuple[str, ...] = ()
    """Signals that must be seen before the state is left to `next`."""
    seen: str
    """What a person sees and hears."""
    seconds: float | None = None
    seconds_field: str = ""
    """Field of a machine's data sheet that gives `seconds`, where a sheet is at hand."""
    next: str | None = None
    on_fault: str | None = None
    early: bool = False
    """True when the state is left as soon as what it expects is seen, not at the end of its seconds."""
    leaves: tuple[Leave, ...] = ()
    place: Place = Place()


class Invariant(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A law of the sequence that `warmyard check` proves."""

    id: str
    kind: Literal["only-in", "before", "never-skips", "left-only-by", "veto", "needs-after"]
    subject: str
    of: tuple[str, ...]
    say: str
    place: Place = Place()


class Symptom(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a caller reports. `emergency` symptoms lead to a page, never to a puzzle."""

    id: str
    name: str
    as_said: str
    """The words of a customer on the telephone."""
    emergency: str | None = None
    """Id of the procedure to carry out before anything else."""
    caution: str | None = None
    customer: str = ""
    """What a customer is told before any look; the caution is for staff."""
    trace: tuple[str, ...] = ()
    """How a simulated start shows it: alternatives of "ever X [in STATE]", "never X", "reached S", "ended S" chains."""
    runs: bool = False
    """True when the machine runs while the call comes in."""
    says: tuple[str, ...] = ()
    """What is true of the heater when this is reported: facts such as "spark" and "not flame"."""
    checks_from: str | None = None
    """Precondition from which checks are offered at all; None means from any."""
    place: Place = Place()


class Precondition(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A condition of the machine and its surroundings that must be met before a check."""

    id: str
    name: str
    means: str
    involves: str = ""
    """What somebody does under it, in words that stand beside every check that needs it."""
    includes: tuple[str, ...] = ()
    """Preconditions that hold as well while this one holds."""
    live: bool = False
    """True when the machine is started or may start under it."""
    place: Place = Place()


class Bar(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """No further start before certain checks were seen normal.

    It holds for a symptom or in a context; with `after_start` only once a start was spent since the last clearing.
    """

    id: str
    symptoms: tuple[str, ...] = ()
    contexts: tuple[str, ...] = ()
    after_start: bool = False
    first: bool = False
    """True when the clearing checks come before every other check."""
    clear_by: tuple[str, ...]
    say: str
    place: Place = Place()


class Rung(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A move on the precondition ladder and its minutes."""

    to: str
    minutes: float
    minutes_field: str = ""
    """Field of a machine's data sheet that gives the time, where a sheet is at hand; begun minutes count."""
    do: str
    start: str | None = None
    """Precondition the move starts from; None means from any."""
    symptoms: tuple[str, ...] = ()
    """Symptoms for which the move holds; empty means all."""
    place: Place = Place()


class CustomerAnswer(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What an answer on the telephone means: what to say, and whether it ends in fixed, a visit, or stop using."""

    say: str
    end: Literal["fixed", "visit", "stop-using", "go-on"]
    sees: str = ""
    """What is seen, in a customer's words; without them the outcome's own are shown."""


class Check(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A diagnostic step: what to look at, what it can show, its minutes, its precondition and who may do it."""

    id: str
    name: str
    ask: str
    """What a customer or colleague is asked or told, in one sentence."""
    minutes: float
    needs: str
    """Precondition id."""
    then: str | None = None
    """A second precondition for the running part of the check."""
    level: int
    """Lowest level that may do it; 0 means a customer may."""
    outcomes: dict[str, str]
    """Outcome id -> what is seen, in words."""
    normal: str
    """The outcome on a machine without a fault that touches this check."""
    context_only: bool = False
    """True for questions whose answer alone never points at a mode."""
    sets: dict[str, str] = {}
    """Outcome id -> context it brings to light; the only way in which a context check moves the suspects."""
    cannot: tuple[str, ...] = ()
    """Outcomes that mean the check cannot be done; the state of the machine, not evidence."""
    not_allowed: tuple[str, ...] = ()
    """Outcomes that mean the check is forbidden in this state: choosing it is a critical fail, and no evidence."""
    while_running: tuple[str, ...] = ()
    """Outcomes that only a running machine shows."""
    says: dict[str, tuple[str, ...]] = {}
    """Outcome id -> facts that it shows; they may not contradict what the symptom says."""
    instead: dict[str, str] = {}
    """Symptom id, or "any" -> the outcome that is seen where a mode's own would contradict the symptom."""
    danger: tuple[str, ...] = ()
    """Outcomes that are an emergency: nothing that shows one is ever played."""
    opens: bool = False
    """True when every call opens with it."""
    customer: str = ""
    """What a customer is told to do, where the check has level 0."""
    answers: dict[str, CustomerAnswer] = {}
    """Outcome id -> what it means for the customer."""
    place: Place = Place()


class Mode(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A failure mode: relative weight (1 rare to 5 common, set for the demo), and what it does."""

    id: str
    component: str
    name: str
    weight: float
    strong: tuple[str, ...]
    weak: tuple[str, ...] = ()
    seldom: tuple[str, ...] = ()
    """Symptoms that it shows only where it sets in at an odd moment. What is in none of the three it cannot show."""
    contexts: dict[str, float] = {}
    """Context id -> factor on the weight."""
    effect: dict[str, bool] = {}
    """Signal or output forced in the sequence: {"pressure-at-nozzle": false}."""
    from_state: str | None = None
    """First state in which the effect bites; None means always."""
    behind: tuple[str, ...] = ()
    """Modes that may be the cause behind this cause."""
    shows: dict[str, str] = {}
    """Check id -> outcome id where it differs from the check's normal outcome."""
    remedy: str
    fit_to_return: str
    """What makes the machine fit to return."""
    level: int
    safety: str = ""
    first_check: str | None = None
    """The check that best splits this mode from its neighbours."""
    parts: str = ""
    """What is renewed, where the remedy renews something."""
    exception: str = ""
    """Why the simulated symptom is not among the declared ones, where that is so."""
    place: Place = Place()


class Likelihoods(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How strongly a mode shows a symptom; set for the demo. What it does not declare it cannot show."""

    strong: float = 0.8
    weak: float = 0.25
    other: float = 0.02
    """Strength of a symptom that a mode shows seldom."""
    settled: float = 0.95
    """Weight from which a cause counts as found."""
    behind: float = 0.2
    """Share of a mode's weight in which one of the modes behind it is there too."""


class SheetContext(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A text of a machine's data sheet that is a context, such as where its tank lies."""

    id: str
    """The field of the sheet."""
    contexts: tuple[str, ...]
    """What may stand in it: ids of contexts."""
    place: Place = Place()


class Facts(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Facts that build on each other: no flame without a spark, no spark without power."""

    order: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    """Facts that stand alone."""
    place: Place = Place()


class Group(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Modes that are hard to keep apart in practice, what splits them, and the remedy that serves them all."""

    id: str
    modes: tuple[str, ...]
    why: str
    split_by: tuple[str, ...] = ()
    shared_remedy: str
    place: Place = Place()


class CallOut(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One of the written cases: what is hidden, in which context, and the trap in it."""

    id: str
    symptom: str
    mode: str
    behind: str | None = None
    contexts: tuple[str, ...] = ()
    as_said: str
    trap: str
    trap_is_critical: bool = False
    seen: dict[str, str] = {}
    """Outcomes that differ in this case from the mode's usual ones, and why not."""
    place: Place = Place()


class DrawnCalls(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a call that nobody wrote is played: which skill it asks, its question, where it starts, who goes."""

    skill: str
    ask: str
    starts_at: str
    """Precondition id."""
    level: int
    never_said: tuple[str, ...] = ()
    """Words of an emergency: the stem of a played case has none, unless "no" or "nobody" stands before it."""
    never_together: tuple[tuple[str, ...], ...] = ()
    """Contexts that rule each other out."""
    place: Place = Place()


class SafetyQuestion(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A safety question of the telephone, asked before any other; a yes ends the call as `if_yes` says."""

    id: str
    ask: str
    if_yes: str
    end: Literal["emergency", "stop-using"]
    procedure: str | None = None
    place: Place = Place()


class Machine(msgspec.Struct, frozen=True, kw_only=True):
    """The whole model, loaded and cross-checked."""

    states: Mapping[str, SequenceState]
    invariants: tuple[Invariant, ...]
    symptoms: Mapping[str, Symptom]
    preconditions: Mapping[str, Precondition]
    ladder: tuple[Rung, ...]
    checks: Mapping[str, Check]
    modes: Mapping[str, Mode]
    contexts: Mapping[str, str]
    likelihoods: Likelihoods
    facts: Facts = Facts()
    sheet_contexts: Mapping[str, SheetContext] = {}
    """Field of a data sheet -> the contexts that it may name."""
    signals: Mapping[str, Signal] = {}
    scenario: Scenario = Scenario()
    bars: tuple[Bar, ...] = ()
    groups: tuple[Group, ...] = ()
    call_outs: Mapping[str, CallOut] = {}
    questions: tuple[SafetyQuestion, ...] = ()
    words: Mapping[str, str] = {}
    """Sentences that the answers are put together from."""
    word_places: Mapping[str, Place] = {}
    drawn_calls: DrawnCalls | None = None
