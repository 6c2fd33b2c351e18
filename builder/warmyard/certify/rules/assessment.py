"""What there is for a person and a level on a day, as a decider looks at it before deciding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from warmyard.certify.ledger.bodies import Irregularity
from warmyard.certify.ledger.state import Record, View, view_of
from warmyard.certify.rules.evidence import EvidenceFound
from warmyard.certify.rules.judge import evidence_on, grants_with_force, parts_to_pass
from warmyard.course.scheme_model import Level
from warmyard.words import own_words
from warmyard.words.sentence import sentence


@dataclass(frozen=True, slots=True)
class Assessment:
    """What there is for a person and level on a day, and what the decider should look at although it stops nothing."""

    found: EvidenceFound
    notes: tuple[str, ...]

    @property
    def evidence(self) -> tuple[int, ...]:
        """Numbers of the entries that count."""
        return self.found.counted

    @property
    def missing(self) -> tuple[str, ...]:
        """Sentences, in the order of the scheme; empty when everything is there."""
        return self.found.missing


def assess(record: Record, level: Level, person: str, on: date) -> Assessment:
    """Return the assessment of a person for a level on a day, from facts that count by then.

    Papers and stations must be younger than the last grant or withdrawal of that level; prerequisites stay.
    """
    view = view_of(record)
    notes = tuple(
        sentence(
            "judge.note_irregularity", paper=fact.body.paper, entry=fact.entry.number, what=irregularity_text(fact.body)
        )
        for fact in view.of(person, Irregularity)
    )
    return Assessment(evidence_on(view, level, person, on), (*_renewal_note(view, person, level, on), *notes))


def _renewal_note(view: View, person: str, level: Level, on: date) -> Iterator[str]:
    """Yield that this is a renewal, and of what, for somebody who holds the level or held it."""
    grants = grants_with_force(view, person, level.level)
    if grants:
        asked = "; ".join(part.title for part in parts_to_pass(view, person, level, on))
        end = grants[-1].body.until
        yield sentence("judge.note_renewal", day=end, parts=asked)


def irregularity_text(body: Irregularity) -> str:
    """Return what was not in order, in words; a code that has none is shown as it is."""
    word = f"irregularity.{body.what}"
    return sentence(word) if word in own_words() else body.what
