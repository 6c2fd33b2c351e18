"""Conflicts of interest: why somebody may not decide about a candidate, and the waiver that covers it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from warmyard.certify.ledger.bodies import ConflictKind, Decision, Evidence, Observation, Waiver
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.state import Fact, Record, view_of
from warmyard.certify.rules.dates import add_months
from warmyard.certify.rules.interest import interests_in
from warmyard.words.sentence import sentence


@dataclass(frozen=True, slots=True)
class Conflict:
    """One reason why somebody may not decide about a candidate."""

    kind: ConflictKind
    on: date
    entry: int
    observer: str = ""
    """Whose interest it is when an observer declared it; else the conflict is the decider's own."""

    def did(self, whom: str) -> str:
        """Return what was done and when, as it stands after a name: `trained ann on 2026-03-31`."""
        return sentence(f"judge.did_{self.kind}", whom=whom, day=self.on)


def conflicts(
    record: Record,
    decider: str,
    candidate: str,
    on: date,
    months: int,
    evidence: tuple[int, ...] = (),
    decided: Entry | None = None,
) -> list[Conflict]:
    """Return why a person may not decide about a candidate on a day; the decider's own conflicts come first.

    The decider trained or examined the candidate in the last months, or declared an interest in the candidate; or an
    observer did the latter, whose observation is in the evidence. Vouching for evidence counts as training: who
    vouches does not decide on the file alone. `decided` is the entry of a decision that was made; without it the
    decision would be the next entry.
    """
    day, before = (decided.recorded_at.date(), decided.number) if decided else (on, view_of(record).count + 1)
    found = list(_trained_or_examined(record, decider, candidate, add_months(on, -months), on))
    for fact in interests_in(record, decider, candidate, since=day, on=day, before=before):
        found.append(Conflict("declared", fact.entry.effective_on, fact.entry.number))
    # An observer sees several stations on one day, and is asked about once for it.
    observed = dict.fromkeys(
        (observer, min(seen.entry.effective_on, day))
        for seen in view_of(record).of(candidate, Observation)
        if seen.entry.number in evidence
        for observer in seen.body.observers
        if observer != decider
    )
    for observer, since in observed:
        for fact in interests_in(record, observer, candidate, since=since, on=day, before=before):
            found.append(Conflict("declared", fact.entry.effective_on, fact.entry.number, observer))
    return list(dict.fromkeys(found))


def taught_by(record: Record, who: str, candidate: str, earliest: date, latest: date) -> Iterator[Fact[Evidence]]:
    """Yield the evidence by which somebody trained or vouched for a candidate between two days."""
    for taught in view_of(record).of(candidate, Evidence):
        if earliest <= taught.entry.effective_on <= latest and who in (taught.body.by, *taught.body.trained_by):
            yield taught


def _trained_or_examined(
    record: Record, decider: str, candidate: str, earliest: date, latest: date
) -> Iterator[Conflict]:
    for taught in taught_by(record, decider, candidate, earliest, latest):
        yield Conflict("trained", taught.entry.effective_on, taught.entry.number)
    for seen in view_of(record).of(candidate, Observation):
        when = seen.entry.effective_on
        if earliest <= when <= latest and decider in seen.body.observers:
            yield Conflict("examined", when, seen.entry.number)


def conflicts_of(record: Record, decision: Fact[Decision], months: int) -> list[Conflict]:
    """Return the conflicts of interest under which a decision was made, those included that came to light later."""
    body, entry = decision.body, decision.entry
    # From the later of its dates, as `decide` looks: a grant dated back would step out of the months of conflict.
    on = entry.counts_from(restricts=False)
    return conflicts(record, body.decider, entry.person, on, months, body.evidence, entry)


def waiver_for(
    record: Record,
    decider: str,
    candidate: str,
    level: int,
    wanted: list[Conflict],
    before: int,
    used_up: Collection[int] = (),
) -> Fact[Waiver] | None:
    """Return the last waiver entered before an entry that covers every conflict, or None.

    Neither of its two signatures may be a thief's; `used_up` are waivers that serve no more.
    """
    kinds = {conflict.kind for conflict in wanted if not conflict.observer}
    observers = {conflict.observer for conflict in wanted if conflict.observer}
    view = view_of(record)
    covering = [
        fact
        for fact in view.of(candidate, Waiver)
        if fact.body.decider == decider
        and fact.body.level == level
        and fact.entry.number < before
        and fact.entry.number not in used_up
        and not view.may_be_forged(fact.entry)
        and not view.may_be_forged_with(fact.body.countersign.key, fact.entry.number)
        and kinds <= set(fact.body.conflicts)
        and observers <= set(fact.body.observers)
    ]
    return covering[-1] if covering else None


def conflict_said(decision: Fact[Decision], first: Conflict, named: Mapping[str, str]) -> str:
    """Return, as a reader is told, why a decision that was made in a conflict has no force."""
    did = first.did(sentence("judge.this_person"))
    if first.observer:
        observer = named.get(first.observer, first.observer)
        return sentence("judge.conflict_of_observer", name=observer, did=did)
    decider = named.get(decision.body.decider, decision.body.decider)
    return sentence("judge.conflict_of_decider", name=decider, did=did)
