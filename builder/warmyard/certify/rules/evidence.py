"""What counts for a level on a day: the one look at evidence that everybody asks.

`decide`, a grant that stands, the evidence page, the board and the requirements ask `evidence_for` through the judge;
nobody else looks whether a paper was passed, a log is too old or a second observer agreed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from warmyard.certify.ledger.bodies import Evidence, Observation, Paper, Sitting
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.state import Fact, View
from warmyard.certify.rules.dates import add_months
from warmyard.course.scheme_model import Cut, Level, Part, Prerequisite
from warmyard.course.scheme_shape import HELD_LEVEL
from warmyard.words.sentence import Sentence, named, sentence, word_for


@dataclass(frozen=True, slots=True)
class PrerequisiteFound:
    """What there is for one prerequisite."""

    wanted: Prerequisite
    have: int
    counted: tuple[int, ...]
    """Entries that count for it."""
    missing: str
    """A sentence, or nothing when it is met."""


@dataclass(frozen=True, slots=True)
class PartFound:
    """What there is for one part: a paper, or its stations."""

    part: Part
    counted: tuple[int, ...]
    missing: tuple[str, ...]
    """A sentence for the paper, or for each station that is not shown."""


@dataclass(frozen=True, slots=True)
class EvidenceFound:
    """What there is for a person and level on a day, in the order of the scheme."""

    prerequisites: tuple[PrerequisiteFound, ...]
    parts: tuple[PartFound, ...]

    @property
    def counted(self) -> tuple[int, ...]:
        """Numbers of the entries that count, each once, in their order."""
        found: set[int] = set()
        for each in self.prerequisites:
            found.update(each.counted)
        for part in self.parts:
            found.update(part.counted)
        return tuple(sorted(found))

    @property
    def missing(self) -> tuple[str, ...]:
        """Sentences on what is missing; empty when everything is there."""
        prerequisites = [each.missing for each in self.prerequisites if each.missing]
        return (*prerequisites, *(sentence for each in self.parts for sentence in each.missing))


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceQuery:
    """Whose evidence is looked at, for what, and from where."""

    view: View
    person: str
    level: Level
    parts: Callable[[], Sequence[Part]]
    """Says which parts of the level: for a renewal in time the scheme may ask for less."""
    since: Callable[[], int]
    """Says which entry used examinations up: a grant with force or a withdrawal; 0 when nothing did."""
    on: date
    holds: Callable[[int], bool]
    """Says whether the person holds another level that day."""

    def counts(self, entry: Entry) -> bool:
        """Say whether an entry counts by that day and was not signed with a stolen key."""
        return entry.counts_from(restricts=False) <= self.on and not self.view.may_be_forged(entry)


F = TypeVar("F", PrerequisiteFound, PartFound)


def evidence_for(ask: EvidenceQuery, *, to_first: bool = False) -> EvidenceFound:
    """Return what counts for a level on a day: age, second observers, cuts, and what a grant used up included.

    `to_first` ends it with the first thing that lacks anything: who asks why not needs to know no more.
    """
    vouched = _vouched(ask)
    prerequisites = _taken((_prerequisite(ask, wanted, vouched) for wanted in ask.level.prerequisites), to_first)
    if to_first and any(each.missing for each in prerequisites):
        return EvidenceFound(prerequisites, ())
    since = ask.since()
    parts = (_paper(ask, part, since) if part.kind == "paper" else _stations(ask, part, since) for part in ask.parts())
    return EvidenceFound(prerequisites, _taken(parts, to_first))


def _taken(found: Iterable[F], to_first: bool) -> tuple[F, ...]:
    """Return all that is found, or as far as the first that lacks anything."""
    if not to_first:
        return tuple(found)
    taken: list[F] = []
    for each in found:
        taken.append(each)
        if each.missing:
            break
    return tuple(taken)


def _prerequisite(
    ask: EvidenceQuery, wanted: Prerequisite, vouched: Mapping[str, Sequence[Fact[Evidence]]]
) -> PrerequisiteFound:
    held = HELD_LEVEL.match(wanted.id)
    if held:
        holds = ask.holds(int(held.group(1)))
        return PrerequisiteFound(wanted, int(holds), (), "" if holds else _missing(wanted.text))
    facts = [fact for fact in vouched.get(wanted.id, ()) if ask.counts(fact.entry)]
    fresh = [fact for fact in facts if not _is_too_old(wanted, fact.entry, ask.on)]
    have = sum(fact.body.count for fact in fresh)
    counted = tuple(fact.entry.number for fact in fresh)
    if have >= wanted.count:
        return PrerequisiteFound(wanted, have, counted, "")
    lacking = wanted.text
    if wanted.count > 1:
        lacking = sentence("judge.have_of", what=lacking, have=have, count=wanted.count)
    if wanted.valid_months is not None and len(fresh) < len(facts):
        lacking = sentence(word_for("judge.too_old", wanted.valid_months), lacking=lacking, months=wanted.valid_months)
    return PrerequisiteFound(wanted, have, counted, _missing(lacking))


def _missing(lacking: str) -> str:
    return sentence("judge.prerequisite_missing", lacking=lacking)


def lacking_in(missing: str) -> str:
    """Return what a sentence of `EvidenceFound.missing` says is lacking: the prerequisite itself, or all of it."""
    lacking = missing.parts.get("lacking") if isinstance(missing, Sentence) else None
    return lacking if isinstance(lacking, str) else missing


def _vouched(ask: EvidenceQuery) -> dict[str, list[Fact[Evidence]]]:
    """Return the evidence of the level by what it is of, in the order of entries."""
    found: dict[str, list[Fact[Evidence]]] = {}
    for fact in ask.view.of(ask.person, Evidence):
        if fact.body.level == ask.level.level:
            found.setdefault(fact.body.what, []).append(fact)
    return found


def _is_too_old(wanted: Prerequisite, entry: Entry, on: date) -> bool:
    return wanted.valid_months is not None and add_months(entry.effective_on, wanted.valid_months) < on


def _paper(ask: EvidenceQuery, part: Part, since: int) -> PartFound:
    # A paper that was out before the last grant is no paper for the next, whenever it is handed in.
    sittings = [
        fact
        for fact in _of_part(ask, ask.view.of(ask.person, Sitting), part, since)
        if ask.view.whole.papers[fact.body.paper].entry.number > since
    ]
    if not sittings:
        is_out = any(True for _ in _of_part(ask, ask.view.of(ask.person, Paper), part, since))
        return PartFound(part, (), (sentence("judge.not_handed_in" if is_out else "judge.not_sat", part=part.title),))
    last = sittings[-1]
    if not last.body.passed:
        said = sentence("judge.not_passed", part=part.title, day=last.entry.effective_on, why=why_failed(last.body))
        return PartFound(part, (), (said,))
    if part.cut and not reaches(last.body, part.cut):
        said = sentence(
            "judge.earlier_cut", part=part.title, right=last.body.right, of=last.body.of, cut=last.body.cut_percent,
            now=f"{part.cut.percent:g}",
        )  # fmt: skip
        return PartFound(part, (), (said,))
    return PartFound(part, (last.entry.number,), ())


def _of_part(ask: EvidenceQuery, facts: Iterable[Fact[Any]], part: Part, since: int) -> Iterator[Fact[Any]]:
    """Yield the papers or sittings of a part that are not used up and count that day."""
    for fact in facts:
        is_ours = (fact.body.level, fact.body.part) == (ask.level.level, part.id)
        if is_ours and fact.entry.number > since and ask.counts(fact.entry):
            yield fact


def why_failed(sitting: Sitting) -> str:
    """Return in words why a sitting was not passed; a critical miss comes first, nothing makes up for it."""
    missed = len(sitting.critical_missed)
    if missed:
        more = {} if missed == 1 else {"count": missed}
        return sentence(word_for("judge.critical_missed", missed), right=sitting.right, of=sitting.of, **more)
    return sentence("judge.below_cut", right=sitting.right, of=sitting.of, cut=sitting.cut_percent)


def reaches(sitting: Sitting, cut: Cut) -> bool:
    """Say whether the share of right answers reaches a cut, which need not be that of the paper's own scheme."""
    return sitting.right * 100 >= cut.percent * sitting.of - 1e-9


def _stations(ask: EvidenceQuery, part: Part, since: int) -> PartFound:
    counted: list[int] = []
    missing: list[str] = []
    observed = _observed(ask, since)
    for station in part.stations:
        seen = observed.get(station)
        if not seen:
            missing.append(sentence("judge.station_unseen", station=named("station", station)))
            continue
        latest = max(fact.entry.effective_on for fact in seen)
        # Two observers may see the same performance; both must have passed it.
        that_day = [fact for fact in seen if fact.entry.effective_on == latest]
        if all(fact.body.passed for fact in that_day):
            counted += [fact.entry.number for fact in that_day]
        else:
            missing.append(sentence("judge.station_failed", station=named("station", station), day=latest))
    return PartFound(part, tuple(counted), tuple(missing))


def _observed(ask: EvidenceQuery, since: int) -> dict[str, list[Fact[Observation]]]:
    """Return the observations of each station that are not used up and count that day."""
    # The day counts too: a form from before the last grant, or from before a withdrawal, may reach the desk later.
    since_day = ask.view.whole.by_number[since].entry.recorded_at.date() if since else date.min
    found: dict[str, list[Fact[Observation]]] = {}
    for fact in ask.view.of(ask.person, Observation):
        entry, body = fact.entry, fact.body
        is_new = entry.number > since and entry.effective_on >= since_day
        if body.level == ask.level.level and is_new and ask.counts(entry):
            found.setdefault(body.station, []).append(fact)
    return found


def people_behind(view: View, person: str, entries: tuple[int, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return who trained and who examined a candidate, as the given entries say."""
    trainers: dict[str, None] = {}
    examiners: dict[str, None] = {}
    for fact in view.whole.facts.get(person, ()):
        if fact.entry.number not in entries:
            continue
        if isinstance(fact.body, Evidence):
            trainers.update(dict.fromkeys((fact.body.by, *fact.body.trained_by)))
        elif isinstance(fact.body, Observation):
            examiners.update(dict.fromkeys(fact.body.observers))
    return tuple(trainers), tuple(examiners)
