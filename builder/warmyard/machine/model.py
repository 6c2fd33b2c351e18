"""The machine as its sources state it: states, what can fail, checks and what each would show."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from warmyard.errors import Place


class State(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
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
    next: str | None = None
    on_fault: str | None = None
    place: Place = Place()


class Invariant(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A law of the sequence that `warmyard check` proves."""

    id: str
    kind: Literal["only-in", "before", "never-skips", "veto", "needs-after"]
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
    place: Place = Place()


class Precondition(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A condition of the machine and its surroundings that must be met before a check."""

    id: str
    name: str
    means: str
    place: Place = Place()


class Rung(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A move on the precondition ladder and its minutes."""

    to: str
    minutes: float
    do: str
    start: str | None = None
    """Precondition the move starts from; None means from any."""
    place: Place = Place()


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
    """True for questions that never rule a mode in alone."""
    place: Place = Place()


class Mode(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A failure mode: relative weight (1 rare to 5 common, set for the demo), and what it does."""

    id: str
    component: str
    name: str
    weight: float
    strong: tuple[str, ...]
    weak: tuple[str, ...] = ()
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
    exception: str = ""
    """Why the simulated symptom is not among the declared ones, where that is so."""
    place: Place = Place()


class Likelihoods(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How strongly a mode shows a symptom; set for the demo."""

    strong: float = 0.8
    weak: float = 0.25
    other: float = 0.02


class Machine(msgspec.Struct, frozen=True, kw_only=True):
    """The whole model, loaded and cross-checked."""

    states: Mapping[str, State]
    invariants: tuple[Invariant, ...]
    symptoms: Mapping[str, Symptom]
    preconditions: Mapping[str, Precondition]
    ladder: tuple[Rung, ...]
    checks: Mapping[str, Check]
    modes: Mapping[str, Mode]
    contexts: Mapping[str, str]
    likelihoods: Likelihoods
