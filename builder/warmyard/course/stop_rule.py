"""Stop rules (course/stop_rules.yaml): what is seen or heard, the first act, who may act, and what ends it."""

from __future__ import annotations

from typing import Literal

import msgspec

from warmyard.errors import Place
from warmyard.item.model import Edition

AGENT = "agent"
"""The group of phrases that name somebody else than the customer: what stands behind one is not told to customers."""
STAFF_WORD = "staff-word"
"""The group of phrases of the trade that no customer's text holds."""


class PhraseGroup(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Words and phrases that stand for one another in phrases, as <id>."""

    id: str
    among: tuple[str, ...]
    place: Place = Place()


class StopAct(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something that a person may do, and the phrases by which prose is recognised as telling somebody to do it."""

    id: str
    name: str
    """What it is called in a fault, "press reset"."""
    level: Literal[0, 1, 2, 3] = 0
    """Lowest level that may do it; 0 means a customer may."""
    phrases: tuple[str, ...]
    freed_by: tuple[str, ...] | None = None
    """Stop rules of which one is cited wherever a customer is told to do it, whatever the situation; none: never."""
    with_danger: bool = False
    """Whether it contradicts every rule of which its sentence names a danger, as "a smell is nothing" does."""
    customer_only: bool = False
    """Whether it is listened for in texts for customers only: its words are too common elsewhere."""
    beside: bool = False
    """Whether it has nothing to do near a danger, in a sentence that forbids nothing and asks for nothing safe."""
    but: tuple[str, ...] = ()
    """Phrases in which its words mean something else, "the fan runs on"."""
    widens: str | None = None
    """The act that its everyday words may mean; they count only near a danger of a rule that forbids that act."""
    place: Place = Place()


class Told(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What one reader is told."""

    first: str
    """The first act."""
    then: tuple[str, ...] = ()
    """What follows, in its order."""
    ends: str
    """The condition under which it goes on, or that it is never this reader who ends it."""
    never: tuple[str, ...] = ()
    """Acts that contradict the rule."""
    unless: tuple[str, ...] = ()
    """Phrases that state the condition; a text that holds one may speak of these acts."""


class Governs(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What stands under a rule in other sources, by id."""

    items: tuple[str, ...] = ()
    """Items whose right answer says what the rule says."""
    procedures: dict[str, str] = {}
    """Procedure -> the step that is its first act; no step may come before it."""
    questions: tuple[str, ...] = ()
    """Safety questions of the telephone; a yes never goes on."""
    outcomes: tuple[str, ...] = ()
    """Outcomes of checks, as CHECK.OUTCOME; a customer who sees one starts nothing any more."""
    symptoms: tuple[str, ...] = ()
    """Symptoms under which a customer starts nothing."""


class StopRule(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A rule that stops work: said once, cited by its id, held against every page, key and outcome."""

    id: str
    title: str
    when: str
    """What is seen, heard or read."""
    customer: Told
    staff: Told
    restart_level: Literal[0, 1, 2, 3]
    """Lowest level that may start the heater again; 0 means that a customer may."""
    sources: tuple[str, ...]
    speaks: tuple[str, ...]
    """Phrases by which prose is recognised as speaking of it."""
    common: bool = False
    """Whether its words are too common to ask for an id by themselves: only with an act that it forbids."""
    dangers: tuple[str, ...] = ()
    """Words for what is dangerous here, too common to speak of the rule; acts `with_danger` are held against them."""
    asks_for: tuple[str, ...] = ()
    """Acts that the rule asks for; one of them stands in each right answer that it governs."""
    governs: Governs = Governs()
    place: Place = Place()


class StopRules(msgspec.Struct, frozen=True, kw_only=True):
    """The whole file."""

    groups: tuple[PhraseGroup, ...] = ()
    acts: tuple[StopAct, ...] = ()
    rules: tuple[StopRule, ...] = ()


def told(rule: StopRule, reader: Edition) -> Told:
    """Return what a rule tells a reader."""
    return rule.customer if reader == "customer" else rule.staff


def stop_words(rule: StopRule, part: str, reader: Edition) -> str | None:
    """Return the words of a rule for a reader, or of one part of it; None where no part is called so."""
    says = rule.customer if part == "customer" else told(rule, reader)
    if part in ("", "customer"):
        return " ".join((says.first, *says.then))
    return {"first": says.first, "ends": says.ends, "when": rule.when}.get(part)
