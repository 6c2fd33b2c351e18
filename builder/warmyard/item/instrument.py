"""Instruments that a reading is taken from: the scale as data, read from course/pictures/instruments.yaml."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Literal

import msgspec

from warmyard.errors import Place, SourceError
from warmyard.formula.units import find_unit
from warmyard.sources import decode_list, read_document

Look = Literal[
    "dial-thermometer",
    "pressure-gauge",
    "manometer",
    "dipstick",
    "smoke-card",
    "feeler-gauge",
    "clamp-meter",
    "sound-meter",
    "analyser-strip",
]
SWITCHED: tuple[Look, ...] = ("clamp-meter", "sound-meter")
"""Looks with a range switch: what they show is read together with where it stands."""
FEWEST_LINES, FEWEST_POSITIONS = 3, 2


class Scale(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One scale: its ends, the smallest division, and how far apart its figures stand."""

    unit: str
    low: float
    high: float
    division: float
    figures: float


NO_SCALE = Scale(unit="1", low=0, high=1, division=1, figures=1)


class StripLine(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One line of a printed strip: what it says, and between which values it is printed."""

    id: str
    label: str
    unit: str
    low: float
    high: float
    decimals: int


class Instrument(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An instrument to read. The text alternative says how it is built, never where it stands."""

    id: str
    look: Look
    title: str
    describes: str
    scale: Scale = NO_SCALE
    """The scale, the patches of a card or the blades of a gauge, one each division; a strip has lines instead."""
    second: Scale | None = None
    """A second scale in another unit; of another quantity, it runs from end to end beside the first."""
    lines: tuple[StripLine, ...] = ()
    positions: tuple[float, ...] = ()
    """Where the range switch can stand, in the scale's unit."""
    how: str = ""
    """How it is read, in one sentence told after the answer; empty: by its figures and divisions."""
    place: Place = Place()


def load_instruments(path: Path, root: Path) -> tuple[Mapping[str, Instrument], list[SourceError]]:
    """Return the instruments by id and every fault of their file; no file means no instruments."""
    faults: list[SourceError] = []
    found: dict[str, Instrument] = {}
    if not path.exists():
        return MappingProxyType(found), faults
    try:
        document = read_document(path, root)
    except SourceError as fault:
        return MappingProxyType(found), [fault]
    for instrument in decode_list(document, Instrument, faults, "instruments"):
        if instrument.id in found:
            place = instrument.place.within("id")
            faults.append(SourceError(place, f"the instrument {instrument.id} stands twice", "give it another id"))
        found[instrument.id] = instrument
    return MappingProxyType(found), faults


def check_instruments(instruments: Iterable[Instrument]) -> list[SourceError]:
    """Return every fault of every instrument."""
    return [fault for instrument in instruments for fault in check_instrument(instrument)]


def check_instrument(instrument: Instrument) -> list[SourceError]:
    """Return every fault of an instrument's scales, lines and switch."""
    faults = _check_lines(instrument) + _check_switch(instrument)
    for name in ("scale", "second"):
        scale: Scale | None = getattr(instrument, name)
        if scale is None:
            continue
        place = instrument.place.within(name)
        if find_unit(scale.unit) is None:
            faults.append(
                SourceError(place, f"there is no unit {scale.unit}", "use a unit of formula/unit_spellings.py")
            )
        if not scale.low < scale.high or scale.division <= 0 or scale.figures <= 0:
            what_to_do = "write low below high, division and figures above 0"
            faults.append(SourceError(place, f"the {name} of {instrument.id} has no extent", what_to_do))
        elif not _whole(scale.figures / scale.division) or not _whole((scale.high - scale.low) / scale.division):
            what = f"the {name} of {instrument.id} does not end on a division, or its figures stand between divisions"
            faults.append(SourceError(place, what, "choose ends and figures that are whole divisions"))
    if len(instrument.describes) < 30:
        place = instrument.place.within("describes")
        faults.append(SourceError(place, "the text alternative is too short", "say how the instrument is built"))
    return faults


def _check_lines(instrument: Instrument) -> list[SourceError]:
    place = instrument.place.within("lines")
    strip = instrument.look == "analyser-strip"
    if strip != bool(instrument.lines) or strip != (instrument.scale == NO_SCALE):
        what = f"{instrument.id} has both or neither of lines and scale"
        return [SourceError(place, what, "give a strip its lines and no scale, and any other instrument a scale")]
    faults = []
    ids = [line.id for line in instrument.lines]
    if strip and (len(ids) < FEWEST_LINES or len(set(ids)) < len(ids)):
        what_to_do = f"write {FEWEST_LINES} lines or more, each with an id of its own"
        faults.append(SourceError(place, f"{instrument.id} leaves nothing to look for", what_to_do))
    for line in instrument.lines:
        if find_unit(line.unit) is None:
            faults.append(
                SourceError(place, f"there is no unit {line.unit}", "use a unit of formula/unit_spellings.py")
            )
        if not line.low < line.high or line.decimals < 0:
            what_to_do = "write low below high, and 0 decimals or more"
            faults.append(SourceError(place, f"the line {line.id} has no extent", what_to_do))
    return faults


def _check_switch(instrument: Instrument) -> list[SourceError]:
    switched = instrument.look in SWITCHED
    if switched == (len(instrument.positions) >= FEWEST_POSITIONS) and (switched or not instrument.positions):
        return []
    what = f"{instrument.id} needs a range switch, or has one that nobody sees"
    what_to_do = f"give {' and '.join(SWITCHED)} {FEWEST_POSITIONS} positions or more, and no other look any"
    return [SourceError(instrument.place.within("positions"), what, what_to_do)]


def _whole(ratio: float) -> bool:
    return abs(ratio - round(ratio)) < 1e-6
