"""A candidate before a decider: about whom, for which level, on which day, from which record, in which words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, TypeAlias

from warmyard.certify.ledger.side_files import read_side
from warmyard.certify.ledger.state import Fact, State
from warmyard.course.model import Station
from warmyard.course.scheme_model import Cut, Level, Scheme
from warmyard.words import say
from warmyard.words.sentence import retold

Near: TypeAlias = Callable[[Cut, int, int], tuple[str, bool]]
"""What the figures say of a share (right, of) near a cut: a sentence, and whether it is a near thing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """About whom, for which level, on which day, from which record."""

    records: Path
    state: State
    scheme: Scheme
    level: Level
    person: str
    on: date
    named: Mapping[str, str]
    stations: Mapping[str, Station]
    words: Mapping[str, str]
    near: Near

    def say(self, name: str, /, **values: object) -> str:
        """Return a word of the group `evidence` with values put in."""
        return say(self.words, f"evidence.{name}", **values)

    def told(self, sentences: Iterable[str]) -> tuple[str, ...]:
        """Return what the judge says, in the words of the page."""
        return tuple(retold(self.words, each) for each in sentences)

    def heads(self, *names: str) -> tuple[str, ...]:
        """Return some words, as the heads of a table."""
        return tuple(self.say(name) for name in names)

    def name(self, person: str) -> str:
        """Return a person's name with the id."""
        name = self.named.get(person, person)
        return person if name == person else f"{name} ({person})"

    def entry(self, fact: Fact[Any]) -> str:
        """Return where a fact stands and from when."""
        return self.say("entry", entry=fact.entry.number, on=fact.entry.effective_on)

    def facts(self) -> Iterator[Fact[Any]]:
        """Yield everything about the candidate, what was made void included."""
        yield from self.state.facts.get(self.person, ())

    def counting(self, fact: Fact[Any], evidence: tuple[int, ...]) -> tuple[str, str]:
        """Return whether an entry counts and why not, and the look of its row."""
        number = fact.entry.number
        if number in self.state.voided:
            return self.say("void", entry=self.state.voided[number]), "faded"
        if self.state.may_be_forged(fact.entry):
            return self.say("forged"), "faded"
        if fact.entry.counts_from(restricts=False) > self.on:
            return self.say("later"), "faded"
        return (self.say("does_count"), "") if number in evidence else (self.say("older"), "faded")

    def side(self, digest: str) -> dict[str, Any]:
        """Return a side file of the candidate, or nothing where there is none."""
        return read_side(self.records, self.person, digest) if digest else {}
