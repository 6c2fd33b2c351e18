"""Pages as course/lessons/ states them, frozen by version: the front matter, and the fences in the text.

Version 1 is a page whose front matter names no format. Version 2 names itself there, `format: 2`. Version 3 may hold a
survey. In version 4 a lesson is cut into steps, with reference and folds beside them.
"""

from __future__ import annotations

from typing import Any, Literal, TypeAlias, get_args

import msgspec

from warmyard.formats.parts import bring_up_part
from warmyard.formats.register import Format, Plain


class Outcome1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the reader can do afterwards, and the items that ask it."""

    text: str
    items: tuple[str, ...] = ()


class Front1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The front matter of a page that names no format."""

    id: str
    title: str
    kind: Literal["lesson", "page", "emergency", "card", "aid"]
    minutes: int = 0
    skills: tuple[str, ...] = ()
    outcomes: tuple[Outcome1, ...] = ()
    editions: tuple[Literal["staff", "customer"], ...] = ("staff",)
    description: str = ""


class Front2(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The front matter of a page that names its format."""

    format: Literal[2]
    id: str
    title: str
    kind: Literal["lesson", "page", "emergency", "card", "aid"]
    minutes: int = 0
    skills: tuple[str, ...] = ()
    outcomes: tuple[Outcome1, ...] = ()
    editions: tuple[Literal["staff", "customer"], ...] = ("staff",)
    description: str = ""


class Picture1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-picture", tag_field="fence"
):
    """A drawing with its named points."""

    picture: str
    say: str = ""


class Worked1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-worked", tag_field="fence"
):
    """A worked example: every step with numbers and units put in.

    An input is "10 bar", "sheet FIELD", "rule ID", "table ID LINE", or "result NAME" of an example before it.
    """

    formula: str
    called: str = ""
    """Name under which later lines take the result."""
    inputs: dict[str, str | int | float] = {}
    say: str = ""


class Practice1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-practice", tag_field="fence"
):
    """Problems with new numbers each time."""

    title: str
    items: tuple[str, ...]


class Assessment1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-assessment", tag_field="fence"
):
    """The scored set at the end of a lesson."""

    title: str
    items: tuple[str, ...]


class Calculator1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-calculator", tag_field="fence"
):
    """A formula to fill in; `start` gives the first numbers, as in a worked example."""

    formula: str
    start: dict[str, str | int | float] = {}
    say: str = ""


class ServiceDue1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-service-due", tag_field="fence"
):
    """When a service is due; `start` gives the first numbers: interval_h, interval_months, per_day."""

    start: dict[str, str | int | float] = {}
    say: str = ""


class Procedure1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-procedure", tag_field="fence"
):
    """A procedure with its reasons."""

    procedure: str


class Chart1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-chart", tag_field="fence"):
    """The start sequence drawn from the machine model (one failure with `mode`), or a chart of course/charts.yaml."""

    chart: str
    mode: str | None = None


class FieldAsked1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A field of the machine's sheet, and where the reader finds it."""

    field: str
    say: str


class YourMachine1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-your-machine", tag_field="fence"
):
    """Find the value on your machine."""

    values: tuple[FieldAsked1, ...]


class Caution1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-caution", tag_field="fence"
):
    """A caution."""

    say: str


class Script1(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-script", tag_field="fence"
):
    """What to look at before calling, and the words to read out."""

    symptom: str


class Card1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-card", tag_field="fence"):
    """A card to print and hang on the heater."""

    title: str
    lines: tuple[str, ...]


Fence1: TypeAlias = (
    Picture1
    | Worked1
    | Practice1
    | Assessment1
    | Calculator1
    | ServiceDue1
    | Procedure1
    | Chart1
    | YourMachine1
    | Caution1
    | Script1
    | Card1
)


class Page1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A page: its front matter, and its fences, each with its kind under `fence`."""

    front: Front1
    fences: tuple[Fence1, ...] = ()


class Page2(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A page that names its format in its front matter."""

    front: Front2
    fences: tuple[Fence1, ...] = ()


class Front3(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The front matter of a page that may hold a survey."""

    format: Literal[3]
    id: str
    title: str
    kind: Literal["lesson", "page", "emergency", "card", "aid"]
    minutes: int = 0
    skills: tuple[str, ...] = ()
    outcomes: tuple[Outcome1, ...] = ()
    editions: tuple[Literal["staff", "customer"], ...] = ("staff",)
    description: str = ""


class Ask3(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something asked once at the head of a survey."""

    name: str
    start: str | int | float
    means: str = ""
    table: str = ""


class AskGroup3(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A part of the head of a survey."""

    title: str
    asks: tuple[Ask3, ...]


class SurveyStep3(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One formula of a survey, and where each of its symbols comes from."""

    name: str
    formula: str
    takes: dict[str, str] = {}
    part: str = ""
    say: str = ""


class Survey3(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-survey", tag_field="fence"
):
    """Formulas linked into one sheet, from what is asked once at its head."""

    title: str
    head: tuple[AskGroup3, ...]
    steps: tuple[SurveyStep3, ...]
    answers: tuple[str, ...] = ()
    say: str = ""


class Page3(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A page that may hold a survey."""

    front: Front3
    fences: tuple[Fence1 | Survey3, ...] = ()


class Front4(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The front matter of a page whose lesson is cut into steps."""

    format: Literal[4]
    id: str
    title: str
    kind: Literal["lesson", "page", "emergency", "card", "aid"]
    minutes: int = 0
    skills: tuple[str, ...] = ()
    outcomes: tuple[Outcome1, ...] = ()
    editions: tuple[Literal["staff", "customer"], ...] = ("staff",)
    description: str = ""


class Step4(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-step", tag_field="fence"):
    """A step of a lesson, right under the heading of level 2 that begins it."""

    id: str
    idea: str


class Reference4(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-reference", tag_field="fence"
):
    """Reference, right under the heading of level 2 that begins it."""

    say: str


class Folded4(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="wy-folded", tag_field="fence"
):
    """A fold, right under the heading of level 3 that begins it."""

    say: str


class Page4(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A page whose lesson is cut into steps."""

    front: Front4
    fences: tuple[Fence1 | Survey3 | Step4 | Reference4 | Folded4, ...] = ()


def _to_2(page: Plain) -> Plain:
    return {**page, "front": {"format": 2, **page["front"]}}


def _to_3(page: Plain) -> Plain:
    return {**page, "front": {**page["front"], "format": 3}}


def _to_4(page: Plain) -> Plain:
    return {**page, "front": {**page["front"], "format": 4}}


LESSONS = Format(
    name="lesson",
    title="this page",
    shapes={1: Page1, 2: Page2, 3: Page3, 4: Page4},
    upgrades={1: _to_2, 2: _to_3, 3: _to_4},
    grown_since=2,
)


def fences_in(version: int) -> frozenset[str]:
    """Return the names of the fences that a page of some version may hold."""
    (kinds,) = (field.type for field in msgspec.structs.fields(LESSONS.shapes[version]) if field.name == "fences")
    return frozenset(str(kind.__struct_config__.tag) for kind in get_args(get_args(kinds)[0]))


def bring_up_front(version: int, front: Plain) -> Plain:
    """Return the front matter of a page brought up; its fences are read one by one, so that each has its faults."""
    return bring_up_part(LESSONS, version, {"front": front}, "front")


def bring_up_fence(version: int, front: Plain, fence: Any) -> Plain:
    """Return one fence brought up; an upgrade sees it as the only one of its page."""
    return bring_up_part(LESSONS, version, {"front": front, "fences": [fence]}, "fences", 0)
