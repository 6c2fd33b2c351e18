"""Schemes as site_config/scheme.yaml and the records folder hold them, frozen by version.

Version 1 names no format. Version 2 names itself: `format: 2` in YAML, as every source does, and
`"format": "warmyard-scheme-2"` in a records folder, as every file does there. One shape serves both.
"""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from warmyard.formats.parts import NAME, bring_up_part
from warmyard.formats.register import Format, Plain, verify_readable, version_in


class BlueprintRow1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How many items of a duty and a demand stand in a paper."""

    duty: str
    demand: Literal["recall", "apply", "judge"]
    count: int
    kinds: tuple[str, ...] = ()


class Cut1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The passing share of a part, how it was set, by how many judges, when, and who adopted it."""

    percent: float
    method: str
    judges: int
    standard_error: float
    set_on: str
    adopted_by: str
    provisional: bool = False


class Part1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part of the examination with its own cut; parts never make up for each other."""

    id: str
    title: str
    kind: Literal["paper", "stations"]
    blueprint: tuple[BlueprintRow1, ...] = ()
    critical_items: int = 0
    stations: tuple[str, ...] = ()
    minutes: int = 0
    cut: Cut1 | None = None


class Prerequisite1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Evidence, dated, that turns an applicant into a candidate."""

    id: str
    text: str
    count: int = 1
    valid_months: int | None = None
    """How old it may be when a decision rests on it; nothing where it does not age."""


class Surveillance1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is looked at in between, and how often."""

    every_months: int
    text: str
    grace_days: int = 30


class ReSit1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The rule for another try."""

    wait_days: int
    attempts: int
    within_months: int
    text: str


class RenewsWith1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What is sat and shown again for another term; later than that many months after the end it is everything."""

    parts: tuple[str, ...]
    stations: tuple[str, ...]
    months_after: int


class Level1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A level of the scheme."""

    level: int
    name: str
    scope: str
    audience: Literal["new-hire", "technician", "customer"]
    """Papers of this level ask only skills of these readers."""
    activities: tuple[str, ...]
    prerequisites: tuple[Prerequisite1, ...]
    parts: tuple[Part1, ...]
    valid_months: int
    surveillance: Surveillance1
    renewal: str
    lapse: str
    renews_with: RenewsWith1 | None = None
    """Nothing when a renewal is the whole examination."""
    re_sit: ReSit1


class Activity1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Work that somebody may or may not do alone."""

    id: str
    title: str


class Reason1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A reason code for a decision."""

    id: str
    action: Literal["grant", "suspend", "restore", "withdraw", "refuse"]
    text: str


class Appeals1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a decision is appealed."""

    within_days: int
    decided_within_days: int
    by: str


class Scheme1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The certification scheme (site_config/scheme.yaml)."""

    id: str
    version: str
    title: str
    owner: str
    job_analysis: str
    job_analysis_on: str
    activities: tuple[Activity1, ...]
    levels: tuple[Level1, ...]
    reasons: tuple[Reason1, ...]
    conflict_months: int
    declare_months: Annotated[int, Meta(ge=1, le=120)] = 12
    """How old a declaration of interests of an examiner or decider may be."""
    notice_days: int
    appeals: Appeals1
    conduct: tuple[str, ...]
    parallel_percent: float | None = None
    """How far two papers of a part may lie apart in the share that just-able candidates are expected to reach, in
    percent of the items. Papers are then drawn to the cut, which is that share; nothing when no judges rated the items.
    """
    claim: str
    """The honest label printed on every certificate."""
    exposure_limit: int | None = None
    """In how many papers an item may stand before it is retired; nothing when the scheme sets no limit."""


class Scheme2(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The certification scheme (site_config/scheme.yaml)."""

    format: Literal[2]
    id: str
    version: str
    title: str
    owner: str
    job_analysis: str
    job_analysis_on: str
    activities: tuple[Activity1, ...]
    levels: tuple[Level1, ...]
    reasons: tuple[Reason1, ...]
    conflict_months: int
    declare_months: Annotated[int, Meta(ge=1, le=120)] = 12
    """How old a declaration of interests of an examiner or decider may be."""
    notice_days: int
    appeals: Appeals1
    conduct: tuple[str, ...]
    parallel_percent: float | None = None
    """How far two papers of a part may lie apart in the share that just-able candidates are expected to reach, in
    percent of the items. Papers are then drawn to the cut, which is that share; nothing when no judges rated the items.
    """
    claim: str
    """The honest label printed on every certificate."""
    exposure_limit: int | None = None
    """In how many papers an item may stand before it is retired; nothing when the scheme sets no limit."""


def _to_2(scheme: Plain) -> Plain:
    return {"format": 2, **scheme}


SCHEMES = Format(name="scheme", title="the scheme", shapes={1: Scheme1, 2: Scheme2}, upgrades={1: _to_2})


def bring_up_scheme(version: int, scheme: Plain) -> Plain:
    """Return a scheme brought up, without the name of its format."""
    return bring_up_part(SCHEMES, version, scheme)


def bring_up_adopted(stored: object) -> Plain:
    """Return a scheme of a records folder brought up: decimals may stand as text there, and its label names its format.

    What comes back is as of scheme.yaml: numbers are numbers, and the format is not named, so that
    `msgspec.convert` makes the live scheme of it. A scheme without a label is of version 1. A new one is to be written
    with `SCHEMES.label` under "format".
    Raises NewerFormatError, and msgspec.ValidationError when it has not the shape of its version.
    """
    scheme = msgspec.convert(stored, Plain)
    version = version_in(SCHEMES, scheme[NAME]) if NAME in scheme else 1
    if version is None:
        raise msgspec.ValidationError(f"{str(scheme[NAME])[:40]!r} is not the label of a scheme - at `$.{NAME}`")
    verify_readable(SCHEMES, version)
    named = {**scheme, NAME: version} if NAME in scheme else scheme
    numbers = msgspec.to_builtins(msgspec.convert(named, SCHEMES.shapes[version], strict=False))
    return bring_up_scheme(version, numbers)
