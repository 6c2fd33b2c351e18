"""The report of an office: papers, items, stations and observers from plain facts."""

from __future__ import annotations

import json

import pytest

from warmyard.measure.report import ObservationFacts, PartRule, SittingFacts, make_report, report_lines, report_record

ITEMS = ("co", "earth", "nozzle", "purge", "filter")


def sitting(person: int, right: int, attempt: int = 1, of: int = 5) -> SittingFacts:
    """Return a sitting in which the first so many items are right, the rest wrong by one and the same answer."""
    marks = {item: at < right for at, item in enumerate(ITEMS[:of])}
    taken = {item: ("own",) if mark else ("too-small",) for item, mark in marks.items()}
    return SittingFacts(f"p{person}", 2, "knowledge", attempt, right >= 4, right, of, 75, marks, taken)


def observation(person: str, observer: str, first: str, second: str) -> ObservationFacts:
    """Return one observer's form of a station with two points."""
    return ObservationFacts(person, "start", "2027-03-31", observer, first == "pass", {"a": first, "b": second})


SITTINGS = [sitting(at, right) for at, right in enumerate([5, 4, 3, 5, 2, 4, 5, 1])] + [sitting(2, 4, attempt=2)]
SEEN = [
    observation("p1", "ann", "pass", "pass"),
    observation("p1", "ben", "pass", "fail"),
    observation("p2", "ann", "pass", "not-seen"),
    observation("p3", "ann", "fail", "pass"),
    observation("p3", "ben", "fail", "pass"),
]


def test_a_second_try_is_no_fresh_person() -> None:
    """Pass rates are given for first tries and for all tries; reliability counts first tries only."""
    (paper,) = make_report(SITTINGS, []).papers
    assert (paper.items, paper.cut) == (5, 4)
    assert paper.figures["passed, first try"].n == 8
    assert paper.figures["passed, first try"].value == pytest.approx(5 / 8)
    assert paper.figures["passed, all tries"].n == 9
    assert paper.figures["reliability (KR-21, papers differ)"].n == 8


def test_papers_of_another_length_are_another_group() -> None:
    """Scores on papers of different length or cut are never thrown together."""
    report = make_report([*SITTINGS, sitting(9, 3, of=4)], [])
    assert [(paper.items, paper.cut) for paper in report.papers] == [(4, 3), (5, 4)]


def test_every_item_has_its_n_and_how_often_it_was_given_out() -> None:
    """An item's figures count answers; its exposure counts papers, also those never handed in."""
    report = make_report(SITTINGS, [], given_out=[ITEMS] * 12)
    record = {item["id"]: item for item in json.loads(json.dumps(report_record(report)))["items"]}
    assert record["filter"]["facility"]["n"] == 9
    assert record["filter"]["given_out"] == 12
    assert record["filter"]["answers_taken"]["too-small"]["value"] == pytest.approx(6 / 9)
    assert record["filter"]["flags"] == []
    assert record["filter"]["facility"]["n_too_small"]


def test_a_response_that_was_erased_is_not_counted_as_nothing_taken() -> None:
    """Where a person was erased the mark stays in the facility, and the use of answers counts the others only."""
    erased = SittingFacts("gone", 2, "knowledge", 1, False, 0, 5, 75, dict.fromkeys(ITEMS, False))
    (item,) = [each for each in make_report([*SITTINGS, erased], []).items if each.item == "filter"]
    assert item.facility.n == 10
    assert item.use["too-small"].n == 9


def test_the_critical_rule_has_its_false_fail_figure_beside_it() -> None:
    """Six critical items known with 0.95 each are all right in 73.5 % of sittings, and the report says so."""
    report = make_report(SITTINGS, [], rules={(2, "knowledge"): PartRule(6, 3)})
    assert any("has all 6 right with chance 0.735" in line for line in report_lines(report))
    assert any("false pass" in line and "in 3 tries" in line for line in report_lines(report))


def test_two_observers_are_paired_by_performance() -> None:
    """Only a performance that two people saw gives pairs, point by point; the number of performances is printed."""
    report = make_report([], SEEN)
    (station,) = report.stations
    assert station.seen_by_two == 2
    assert report.observers.same.n == 4
    assert report.observers.same.value == pytest.approx(3 / 4)
    assert report.observers.kappa.value == pytest.approx(0.5)
    assert station.passed.n == 5


def test_an_office_without_records_has_no_figures_but_says_so() -> None:
    """An empty ledger gives no number anywhere."""
    report = make_report([], [])
    assert list(report_lines(report)) == [
        "Two observers, all stations",
        "  same mark: none (nothing was counted; n 0 pairs; n too small)",
        "  kappa: none (nothing was seen by two observers; n 0 pairs; n too small)",
    ]


def test_no_line_of_the_report_hides_its_n() -> None:
    """Every line that holds a measured number names n; the model's chances name the number of items."""
    for line in report_lines(make_report(SITTINGS, SEEN, rules={(2, "knowledge"): PartRule(2)})):
        if line.startswith("  ") and "look at it" not in line and "seen by two" not in line:
            assert "n " in line or "items" in line or "has all" in line
