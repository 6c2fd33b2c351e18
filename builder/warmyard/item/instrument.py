"""Instruments that a reading is taken from: the scale as data, read from course/pictures/instruments.yaml."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Literal

import msgspec

from warmyard.errors import Place, SourceError
from warmyard.formula.units import find_unit
from warmyard.sources import decode_list, read_document

Look = Literal["dial-thermometer", "pressure-gauge", "manometer"]


class Scale(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One scale: its ends, the smallest division, and every how much a figure stands."""

    unit: str
    low: float
    high: float
    division: float
    figures: float


class Instrument(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An instrument to read. The text alternative says how it is built, never where it stands."""

    id: str
    look: Look
    title: str
    describes: str
    scale: Scale
    second: Scale | None = None
    """An inner scale in another unit."""
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
        faults.extend(check_instrument(instrument))
        found[instrument.id] = instrument
    return MappingProxyType(found), faults


def check_instrument(instrument: Instrument) -> list[SourceError]:
    """Return every fault of an instrument's scales."""
    faults = []
    for name in ("scale", "second"):
        scale: Scale | None = getattr(instrument, name)
        if scale is None:
            continue
        place = instrument.place.within(name)
        if find_unit(scale.unit) is None:
            faults.append(SourceError(place, f"there is no unit {scale.unit}", "use a unit of formula/units.py"))
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


def _whole(ratio: float) -> bool:
    return abs(ratio - round(ratio)) < 1e-6
