"""Course sources other than formulas, machine and items: procedures, stations, rules, sheets, company, scheme."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

import msgspec
from msgspec import Meta

from warmyard.errors import Place
from warmyard.formula.model import Known
from warmyard.item.kinds import Edition

Audience: TypeAlias = Literal["new-hire", "technician", "customer"]


class Source(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a fact comes from (course/sources.yaml)."""

    id: str
    title: str
    where: str
    known: Known
    note: str = ""
    place: Place = Place()


class Duty(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A duty of the job analysis (course/skills.yaml)."""

    id: str
    title: str
    place: Place = Place()


class Skill(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A task of the job analysis that may be asked."""

    id: str
    task: str
    duty: str
    title: str
    criticality: Literal[1, 2, 3]
    audience: tuple[Audience, ...]
    best: tuple[Literal["knowledge", "picture", "sum", "order", "case", "observed"], ...] = ()
    """How the job analysis says that the task is best assessed."""
    place: Place = Place()


class Term(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A word of the trade (course/glossary.yaml)."""

    id: str
    term: str
    means: str
    place: Place = Place()


class Point(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A named point of a drawing; the SVG has an element with the same id."""

    id: str
    name: str
    does: str = ""
    where: str = ""
    """Where it lies in the drawing, in words that do not name it: what a reader hears who cannot see it."""


class Picture(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A drawing: course/pictures/ID.yaml beside ID.svg."""

    id: str
    title: str
    describes: str
    """Text alternative that describes the drawing."""
    points: tuple[Point, ...] = ()
    place: Place = Place()


class ProcedureStep(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One step, in the imperative."""

    id: str
    do: str


class Before(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A hard constraint: `first` comes before `then`, because."""

    first: str
    then: str
    because: str


class ImmediateFail(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A reversal that fails at once: doing `wrong_first` before `must_precede`."""

    wrong_first: str
    must_precede: str
    because: str


class Procedure(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A procedure as a partial order (course/procedures/ID.yaml)."""

    id: str
    title: str
    skill: str
    steps: tuple[ProcedureStep, ...]
    before: tuple[Before, ...]
    immediate_fail: tuple[ImmediateFail, ...] = ()
    reference: tuple[str, ...]
    valid_orders: int | None = None
    editions: tuple[Edition, ...] = ("staff",)
    caution: str = ""
    place: Place = Place()


class StationPoint(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the observer looks for."""

    id: str
    look: str
    critical: bool = False


class Station(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A practical observation (course/stations/ID.yaml)."""

    id: str
    title: str
    minutes: int
    levels: tuple[int, ...]
    setting: str
    points: tuple[StationPoint, ...]
    skills: tuple[str, ...]
    cut_percent: int = 85
    """Share of the points that are not critical; every critical one must be a pass."""
    place: Place = Place()


class Rule(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A value that a country sets (site_config/rules/COUNTRY.yaml)."""

    id: str
    means: str
    value: float | str
    unit: str = ""
    telephone: bool = False
    """True when the value is one public number or several that a reader may dial, "999 or 112"."""
    source: str
    known: Known
    place: Place = Place()


class Sheet(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A machine's data sheet (site_config/fleet/ID.yaml); each value as "45 kW"."""

    id: str
    name: str
    serial: str
    supply: str
    fuel: str
    values: dict[str, str]
    """Field -> value with its unit; the fields are named in DEVELOPERS.md."""
    texts: dict[str, str] = {}
    place: Place = Place()


class Company(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The company (site_config/company.yaml); telephone numbers are required."""

    name: str
    address: str
    country: str
    """Which rules file holds."""
    emergency_phone: str
    office_phone: str
    technician_phone: str
    email: str
    verify_address: str
    """Address under which the company publishes its verify page; printed in QR codes, never fetched by the site."""
    site_address: str = ""
    """Address under which the company publishes the customer's pages; printed as a QR code, never fetched."""
    office_keys: tuple[str, ...] = ()
    """Public keys of the office, base64url, pinned in the verify page; without one the page checks nothing."""
    place: Place = Place()


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
    """What is sat and shown again for another term; later than so many months after the end it is everything."""

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


class Across(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The symbol along the foot of a chart, and how far it runs, in the unit given."""

    symbol: str
    low: float
    high: float
    label: str


class Lines(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The symbol that tells the lines of a chart apart; `label` puts {value} in."""

    symbol: str
    values: tuple[float, ...]
    label: str


class Chart(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A chart of a formula (course/charts.yaml); fixed inputs are "10 bar", "sheet FIELD" or "rule ID"."""

    id: str
    title: str
    formula: str
    across: Across
    up: str
    """Label of the upright axis."""
    lines: Lines | None = None
    fixed: dict[str, str | float | int] = {}
    describes: str
    """Text alternative: what the curve says, in words."""
    place: Place = Place()
