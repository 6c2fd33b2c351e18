"""`warmyard ledger evidence PERSON LEVEL --out FILE`: everything about a candidate for a level, for the decider."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping
from typing import TYPE_CHECKING

from warmyard.cli.decide import read_level
from warmyard.cli.printed import write_page
from warmyard.cli.record import now, open_record, verify_day
from warmyard.cli.where import workspace_root
from warmyard.errors import InputError, SourceError, SourceErrors

if TYPE_CHECKING:
    from warmyard.certify.report.candidate import Near
    from warmyard.course.model import Station
    from warmyard.course.scheme_model import Cut


def write_evidence(args: Namespace) -> int:
    """Verify the ledger, gather, and write the page; print its path."""
    from warmyard.certify.ledger.people import known_person, names
    from warmyard.certify.ledger.schemes import adopted_scheme, level_of
    from warmyard.certify.report.candidate import Candidate
    from warmyard.certify.report.evidence import make_evidence_page
    from warmyard.cli.sources import company, words
    from warmyard.page.evidence_page import evidence_page

    if len(args.about) != 2 or not args.out:
        raise InputError("write whom and for which level, as `warmyard ledger evidence PERSON LEVEL --out FILE`")
    number = read_level(args.about[1])
    record, moment = open_record(args.records), now()
    verify_day(record, moment)
    person = known_person(record.state, args.about[0])
    _, scheme = adopted_scheme(record.state)
    known = words()
    ask = Candidate(
        records=record.folder, state=record.state, scheme=scheme, level=level_of(scheme, number), person=person,
        on=moment.date(), named=names(record.folder, record.state), stations=_stations(), words=known,
        near=nearness(known),
    )  # fmt: skip
    write_page(args.out, evidence_page(make_evidence_page(ask), company(), known), "the evidence", record.folder)
    return 0


def nearness(words: Mapping[str, str]) -> Near:
    """Return what says of a share how near the cut it lies, by Wilson's interval and the cut's standard error."""
    from warmyard.measure.interval import wilson
    from warmyard.page.words import need_words

    names = [f"evidence.{name}" for name in ("near", "near_yes", "near_no", "provisional")]
    text = need_words(words, names)

    def near(cut: Cut, right: int, of: int) -> tuple[str, bool]:
        if of < 1 or right > of:
            return "", False
        found = wilson(right, of)
        inside = found.low <= cut.percent / 100 <= found.high
        is_near = inside or abs(100 * right / of - cut.percent) <= cut.standard_error
        said = text["evidence.near"].format(
            error=f"{cut.standard_error:g}", judges=cut.judges, of=of, low=f"{100 * found.low:.0f}",
            high=f"{100 * found.high:.0f}", provisional=text["evidence.provisional"] if cut.provisional else "",
        )  # fmt: skip
        return f"{said} {text['evidence.near_yes' if is_near else 'evidence.near_no']}", is_near

    return near


def _stations() -> Mapping[str, Station]:
    from warmyard.course.station import check_stations, load_stations

    root = workspace_root()
    faults: list[SourceError] = []
    stations = load_stations(root / "course" / "stations", root, faults)
    faults += check_stations(stations.values())
    if faults:
        raise SourceErrors(faults)
    return stations
