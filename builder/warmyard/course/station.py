"""Stations: practical observations with their points, each checked to be observable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from warmyard.course.catalogue import by_id, one_per_file
from warmyard.course.model import Station
from warmyard.errors import SourceError


def load_stations(folder: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Station]:
    """Return the stations by id; whether they can be observed is for `check_stations` to say."""
    stations: Mapping[str, Station] = by_id(one_per_file(folder, root, Station, faults), "station", faults)
    return stations


def check_stations(stations: Iterable[Station]) -> list[SourceError]:
    """Return every fault of every station."""
    return [fault for station in stations for fault in check_station(station)]


def check_station(station: Station) -> list[SourceError]:
    """Return every fault of one station: no time, no levels, points twice, none critical or none other, a wild cut."""
    faults = []

    def fault(part: str, what: str, what_to_do: str) -> None:
        faults.append(SourceError(station.place.within(part), what, what_to_do))

    if station.minutes <= 0:
        fault("minutes", "the station has no time", "write the minutes that it takes")
    if not station.levels:
        fault("levels", "the station belongs to no level", "write levels: [2]")
    seen: set[str] = set()
    for at, point in enumerate(station.points):
        if point.id in seen:
            fault(f"points.{at}", f"the point {point.id} stands twice", "give each point its own id")
        seen.add(point.id)
    if not any(point.critical for point in station.points):
        fault("points", "no point is critical", "mark the points that fail at once with critical: true")
    if all(point.critical for point in station.points):
        fault("points", "every point is critical, so the cut decides nothing", "add points that are not critical")
    if not 50 <= station.cut_percent <= 100:
        fault("cut_percent", f"a cut of {station.cut_percent} %", "write a share between 50 and 100")
    return faults
