"""The examinations of a candidate: every paper and sitting with its share and cut, every station with its points."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from warmyard.certify.exam.adjustments import READ_ALOUD
from warmyard.certify.ledger.bodies import Observation, Paper, Sitting
from warmyard.certify.ledger.state import Fact
from warmyard.certify.report.candidate import Candidate
from warmyard.course.model import Station
from warmyard.course.scheme_model import Part
from warmyard.page.evidence_page import Line, Table

ADJUSTED = ("extra-time", READ_ALOUD)
"""The adjustments that have words; another tool's code is shown as it is."""


class Exams:
    """The papers and stations of one candidate and level."""

    def __init__(self, ask: Candidate, evidence: tuple[int, ...]) -> None:
        self.ask, self.evidence = ask, evidence

    def sittings(self) -> Table:
        """Return every paper of the level that was issued, with its sitting."""
        lines = [self._paper(fact) for fact in self._papers()]
        names = ("part", "issued", "handed_in", "share", "critical", "counts")
        ask = self.ask
        return Table(title=ask.say("sittings"), heads=ask.heads(*names), lines=lines, empty=ask.say("sittings_none"))

    def notes(self) -> Iterator[str]:
        """Yield what the decider should look at: shares near the cut, stations that one observer alone has seen."""
        ask = self.ask
        for fact in self._papers():
            sitting, part = ask.state.sittings.get(fact.body.paper), self._part(fact.body.part)
            if sitting is None or sitting.entry.number not in self.evidence or part is None or part.cut is None:
                continue
            said, is_near = ask.near(part.cut, sitting.body.right, sitting.body.of)
            if is_near:
                yield ask.say("note_near", part=part.title, paper=fact.body.paper, near=said)
        for station, seen in self._observed().items():
            counted = [fact for fact in seen if fact.entry.number in self.evidence]
            observers = {observer for fact in counted for observer in fact.body.observers}
            if len(observers) == 1:
                yield ask.say("note_alone", station=self._title(station), on=counted[-1].entry.effective_on)

    def _papers(self) -> list[Fact[Paper]]:
        level = self.ask.level.level
        return [fact for fact in self.ask.facts() if isinstance(fact.body, Paper) and fact.body.level == level]

    def _part(self, name: str) -> Part | None:
        return next((part for part in self.ask.level.parts if part.id == name), None)

    def _paper(self, fact: Fact[Paper]) -> Line:
        ask, body, part = self.ask, fact.body, self._part(fact.body.part)
        title = [part.title if part else body.part, ask.say("attempt", attempt=body.attempt), body.paper]
        issued = [ask.entry(fact), ask.say("minutes", minutes=body.minutes)]
        if body.adjustments:
            issued.append(ask.say("adjusted", what=", ".join(_adjusted(ask, each) for each in body.adjustments)))
        if body.invigilator:
            issued.append(ask.say("invigilator", name=ask.name(body.invigilator)))
        sitting = ask.state.sittings.get(body.paper)
        if sitting is None:
            return Line(cells=(title, issued, [ask.say("not_handed_in")], [], [], []))
        return self._sat(title, issued, sitting, part)

    def _sat(self, title: list[str], issued: list[str], sitting: Fact[Sitting], part: Part | None) -> Line:
        ask, body = self.ask, sitting.body
        handed_in = [ask.entry(sitting), ask.say("minutes", minutes=body.minutes)]
        if body.invigilator:
            handed_in.append(ask.say("invigilator", name=ask.name(body.invigilator)))
        percent = f"{100 * body.right / body.of:.0f}" if body.of else "0"
        share = [ask.say("share_of", right=body.right, of=body.of, percent=percent, cut=body.cut_percent)]
        share.append(ask.near(part.cut, body.right, body.of)[0] if part and part.cut else ask.say("no_cut"))
        missed = ", ".join(body.critical_missed)
        critical = [ask.say("critical_missed", items=missed) if missed else ask.say("critical_right")]
        if part:
            critical.append(ask.say("critical_wanted", count=part.critical_items))
        return self._judged(sitting, body.passed, (title, issued, handed_in, share, critical), [])

    def _judged(self, fact: Fact[Any], passed: bool, cells: tuple[list[str], ...], more: list[str]) -> Line:
        counts, look = self.ask.counting(fact, self.evidence)
        result = [self.ask.say("passed" if passed else "not_passed"), *more]
        if passed or look != "faded" or fact.entry.number in self.ask.state.voided:
            result.append(counts)
        return Line(cells=(*cells, result), look=look if passed else "bad")

    def _observed(self) -> Mapping[str, list[Fact[Observation]]]:
        wanted = [station for part in self.ask.level.parts for station in part.stations]
        found: dict[str, list[Fact[Observation]]] = {station: [] for station in wanted}
        for fact in self.ask.facts():
            if isinstance(fact.body, Observation) and fact.body.level == self.ask.level.level:
                found.setdefault(fact.body.station, []).append(fact)
        return found

    def stations(self) -> Table:
        """Return every station of the level, with everything that observers noted."""
        ask, lines = self.ask, []
        for station, seen in self._observed().items():
            if not seen:
                nobody: tuple[list[str], ...] = ([self._title(station)], [ask.say("station_none")], [], [], [], [])
                lines.append(Line(cells=nobody, look="bad"))
            lines += [self._observation(station, fact) for fact in seen]
        names = ("station", "seen_on", "observers", "critical_points", "other_points", "counts")
        return Table(title=ask.say("stations"), heads=ask.heads(*names), lines=lines, empty=ask.say("stations_none"))

    def _title(self, station: str) -> str:
        known = self.ask.stations.get(station)
        return known.title if known else station

    def _observation(self, name: str, fact: Fact[Observation]) -> Line:
        ask, body = self.ask, fact.body
        form = ask.side(body.side).get("form")
        form = form if isinstance(form, dict) else {}
        observers = [ask.name(observer) for observer in body.observers]
        if body.role == "second":
            observers.append(ask.say("second"))
        critical, others = self._points(ask.stations.get(name), body)
        others += [ask.say("station_note", text=text) for text in _notes_of(form)]
        more = [ask.say("stopped")] if body.stopped else []
        cells = ([self._title(name)], [ask.entry(fact)], observers, critical, others)
        return self._judged(fact, body.passed, cells, more)

    def _points(self, station: Station | None, body: Observation) -> tuple[list[str], list[str]]:
        """Return the critical points one by one, and of the others the count and those that were not passed."""
        ask = self.ask
        if station is None or {point.id for point in station.points} != set(body.points):
            marks = [ask.say("point", look=name, mark=self._mark(mark)) for name, mark in body.points.items()]
            return [ask.say("station_unknown"), *marks], []
        critical, failed, passed = [], [], 0
        for point in station.points:
            said = ask.say("point", look=point.look, mark=self._mark(body.points[point.id]))
            if point.critical:
                critical.append(said)
            elif body.points[point.id] == "pass":
                passed += 1
            else:
                failed.append(said)
        count = sum(not point.critical for point in station.points)
        return critical, [ask.say("others", passed=passed, count=count), *failed]

    def _mark(self, mark: str) -> str:
        return self.ask.say(f"mark_{mark}")


def _adjusted(ask: Candidate, code: str) -> str:
    """Return an adjustment of an entry in words: `extra-time:25`, `read-aloud`."""
    what, _, percent = code.partition(":")
    return ask.say(f"adjusted_{what}", percent=percent) if what in ADJUSTED else code


def _notes_of(form: Mapping[str, Any]) -> Iterator[str]:
    """Yield what an observer wrote: why it was stopped, notes at points, notes at the end."""
    points = form.get("points")
    notes = [point.get("note") for point in points if isinstance(point, dict)] if isinstance(points, list) else []
    yield from (str(text) for text in (form.get("stopped"), *notes, form.get("notes")) if text)
