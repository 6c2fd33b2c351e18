"""Course sources other than formulas, machine and items: procedures, stations, rules, sheets, company."""

from __future__ import annotations

from datetime import date
from typing import Literal

import msgspec

from warmyard.course.scheme_model import Audience
from warmyard.errors import Place
from warmyard.formula.model import Known
from warmyard.item.model import Edition, Way


class Source(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a fact comes from (course/sources.yaml)."""

    id: str
    title: str
    where: str
    known: Known
    kind: Literal["law", "norm", "guidance", "study", "reference"] | None = None
    """What was published, a law, norm, guide, study or work of reference; none for what this course worked out."""
    edition: str = ""
    """Which edition, with its year; a law, norm or guidance must name it, "not noted" where nobody did."""
    clause: str = ""
    """Clause, table or page in it."""
    condition: str = ""
    """What must hold for its figures to hold."""
    second_hand: bool = False
    """True when somebody else's quotation was read, not the publisher's own text."""
    read_on: date | None = None
    """Day on which it was last read."""
    look_again: date | None = None
    """Day by which somebody looks at it again: editions move."""
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
    best: tuple[Way, ...] = ()
    """How the job analysis says that the task is best assessed."""
    place: Place = Place()


class Term(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A word of the trade (course/glossary.yaml)."""

    id: str
    term: str
    means: str
    also: tuple[str, ...] = ()
    """Other words for it, under which the search finds the pages that use the term."""
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
    may_kill: bool = False
    """Somebody may die of it: a page says so beside the step itself, never only in a fold."""


class Procedure(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A procedure as a partial order (course/procedures/ID.yaml)."""

    id: str
    title: str
    skill: str
    level: int = 3
    """Lowest level that may do it alone; 0 means everybody. One that names none is for the highest."""
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


class PublicNumber(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A number that anybody may dial in a country (site_config/rules/COUNTRY.yaml); telephone rules hold no other."""

    number: str
    reaches: str
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


class SheetField(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """In which unit a field of a machine's sheet is given, and what size it may have (course/sheet_laws.yaml)."""

    unit: str
    """Any unit of the same quantity may be written; 1 for a plain number."""
    low: float
    high: float
    means: str = ""
    """What a reader sees for it; without it the id in plain words."""
    place: Place = Place()


class Law(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What holds for every machine's sheet (course/sheet_laws.yaml), or every country's rules (rule_laws.yaml)."""

    id: str
    holds: str
    """Condition in the formula grammar; a field or a rule stands in it with _ for -: `useful_output <= heat_input`."""
    say: str
    """Why it cannot be otherwise; what to do."""
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


class Ceiling(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A level that no line of a chart passes: what another formula gives for its own fixed inputs."""

    formula: str
    fixed: dict[str, str | float | int] = {}
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
    ceiling: Ceiling | None = None
    fixed: dict[str, str | float | int] = {}
    describes: str
    """Text alternative: what the curve says, in words."""
    place: Place = Place()


class TurnedCard(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A card: what is heard, seen or felt, and behind it what it is and what to do; inlines as in lessons."""

    id: str
    front: str
    back: str
    place: Place = Place()


class Deck(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Cards of one sort: written ones, or one for each named point of some drawings."""

    id: str
    title: str
    say: str
    """What to do with a card before it is turned."""
    pictures: tuple[str, ...] = ()
    cards: tuple[TurnedCard, ...] = ()
    place: Place = Place()
