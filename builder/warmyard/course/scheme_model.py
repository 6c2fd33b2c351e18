"""The certification scheme as scheme.yaml states it: levels, parts, cuts, and the rules between them."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

import msgspec
from msgspec import Meta

from warmyard.errors import Place

Audience: TypeAlias = Literal["new-hire", "technician", "customer"]
"""The readers whom levels and skills tell apart."""


class BlueprintRow(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How many items of a duty and a demand stand in a paper."""

    duty: str
    demand: Literal["recall", "apply", "judge"]
    count: int
    kinds: tuple[str, ...] = ()
    place: Place = Place()


class Cut(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The passing share of a part, how it was set, by how many judges, when, and who adopted it."""

    percent: float
    method: str
    judges: int
    standard_error: float
    set_on: str
    adopted_by: str
    provisional: bool = False


class Part(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part of the examination with its own cut; parts never make up for each other."""

    id: str
    title: str
    kind: Literal["paper", "stations"]
    blueprint: tuple[BlueprintRow, ...] = ()
    critical_items: int = 0
    stations: tuple[str, ...] = ()
    minutes: int = 0
    cut: Cut | None = None


class Prerequisite(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Evidence, dated, that turns an applicant into a candidate."""

    id: str
    text: str
    count: int = 1
    valid_months: int | None = None
    """How old it may be when a decision rests on it; nothing where it does not age."""


class Surveillance(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is looked at in between, and how often."""

    every_months: int
    text: str
    grace_days: int = 30


class ReSit(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The rule for another try."""

    wait_days: int
    attempts: int
    within_months: int
    text: str


class RenewsWith(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is sat and shown again for another term; later than that many months after the end it is everything."""

    parts: tuple[str, ...]
    stations: tuple[str, ...]
    months_after: int


class Level(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A level of the scheme."""

    level: int
    name: str
    scope: str
    audience: Audience
    """Papers of this level ask only skills of these readers."""
    activities: tuple[str, ...]
    prerequisites: tuple[Prerequisite, ...]
    parts: tuple[Part, ...]
    valid_months: int
    surveillance: Surveillance
    renewal: str
    lapse: str
    renews_with: RenewsWith | None = None
    """Nothing when a renewal is the whole examination."""
    re_sit: ReSit
    place: Place = Place()


class Activity(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Work that somebody may or may not do alone."""

    id: str
    title: str
    place: Place = Place()


class Reason(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A reason code for a decision."""

    id: str
    action: Literal["grant", "suspend", "restore", "withdraw", "refuse"]
    text: str
    place: Place = Place()


class Appeals(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a decision is appealed."""

    within_days: int
    decided_within_days: int
    by: str


class Scheme(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The certification scheme (site_config/scheme.yaml)."""

    id: str
    version: str
    title: str
    owner: str
    job_analysis: str
    job_analysis_on: str
    activities: tuple[Activity, ...]
    levels: tuple[Level, ...]
    reasons: tuple[Reason, ...]
    conflict_months: int
    declare_months: Annotated[int, Meta(ge=1, le=120)] = 12
    """How old a declaration of interests of an examiner or decider may be."""
    notice_days: int
    appeals: Appeals
    conduct: tuple[str, ...]
    parallel_percent: float | None = None
    """How far two papers of a part may lie apart in the share that just-able candidates are expected to reach, in
    percent of the items. Papers are then drawn to the cut, which is that share; nothing when no judges rated the items.
    """
    claim: str
    """The honest label printed on every certificate."""
    exposure_limit: int | None = None
    """In how many papers an item may stand before it is retired; nothing when the scheme sets no limit."""
    place: Place = Place()


def renewal_parts(level: Level) -> list[Part]:
    """Return what is sat and shown again for another term: everything, where the scheme asks for no less."""
    wanted = level.renews_with
    if wanted is None:
        return list(level.parts)
    shorter = [
        msgspec.structs.replace(part, stations=tuple(name for name in part.stations if name in wanted.stations))
        for part in level.parts
    ]
    return [part for part in shorter if part.id in wanted.parts or part.stations]
