"""What everyday words permit near a danger: acts that nobody listed with a situation, and bans that are loosened."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache

from warmyard.course.phrases import PhraseBook, PhraseFound, SentenceSaid, is_absent, is_negated, is_told, sentences_of
from warmyard.course.stop_passages import Passage
from warmyard.course.stop_rule import StopAct, StopRule, StopRules, told
from warmyard.item.model import Edition

FOR_A_WHILE = frozenset(
    ("while", "when", "whenever", "until", "till", "unless", "if", "as", "without", "before", "once")
)
"""Words behind a ban with which it ends somewhere."""
SENTENCES_BACK = 2
"""As many sentences before an act may name the danger that it is near to."""


class ActBook:
    """The phrases of acts, without those places where they mean something else."""

    def __init__(self, acts: Iterable[StopAct], groups: Mapping[str, Sequence[str]]) -> None:
        every = list(acts)
        self._acts = PhraseBook({act.id: act.phrases for act in every}, groups)
        self._but = PhraseBook({act.id: act.but for act in every if act.but}, groups)

    def find(self, words: Sequence[str]) -> list[PhraseFound]:
        """Return the acts that a sentence speaks of."""
        acts = self._acts.find(words)
        if acts and (means_else := self._but.find(words)):
            acts = [one for one in acts if not any(_meet(one, other) for other in means_else)]
        return acts


class Neighbour:
    """Hears everyday words for the acts that stop rules forbid; made once for a workspace."""

    def __init__(self, stops: StopRules, groups: Mapping[str, Sequence[str]]) -> None:
        self.rules: Mapping[str, StopRule] = {rule.id: rule for rule in stops.rules}
        self.acts: Mapping[str, StopAct] = {act.id: act for act in stops.acts}
        self._acts = ActBook([act for act in stops.acts if act.widens], groups)
        self._barred = ActBook([act for act in stops.acts if act.freed_by == () or act.level], groups)
        near = {rule.id: (*rule.dangers, *rule.speaks) for rule in stops.rules}
        self._dangers = PhraseBook(near, groups)
        self._about = lru_cache(maxsize=None)(self._named_in)

    def _named_in(self, text: str) -> tuple[str, ...]:
        return tuple(name for one in sentences_of(text) for name in self.dangers(one, there=True))

    def dangers(self, sentence: SentenceSaid, *, there: bool = False) -> dict[str, None]:
        """Return the rules that a sentence may be about; `there`: only of what it does not say is absent."""
        found = self._dangers.find(sentence.words)
        return dict.fromkeys(one.name for one in found if not (there and is_absent(sentence.words, one)))

    def acts_in(self, sentence: SentenceSaid) -> list[PhraseFound]:
        """Return the acts that a sentence tells somebody to do, or lets happen."""
        if sentence.asks:
            return []
        return [found for found in self._acts.find(sentence.words) if is_told(sentence.words, found)]

    def loosened(self, sentence: SentenceSaid) -> PhraseFound | None:
        """Return an act that no customer ever does, where a sentence forbids it only for a while."""
        words = sentence.words
        behind = frozenset(words) & FOR_A_WHILE
        for found in self._barred.find(words) if behind else ():
            if is_negated(words, found) and not is_told(words, found) and not behind.isdisjoint(words[found.end :]):
                return found
        return None

    def permitted(
        self, passage: Passage, said: Sequence[SentenceSaid]
    ) -> Iterator[tuple[SentenceSaid, str, PhraseFound]]:
        """Yield each act that is told near a danger of a rule that forbids it: its sentence, the rule, the words."""
        for at, sentence in enumerate(said):
            acts = self.acts_in(sentence)
            if not acts:
                continue
            rules = {**self.dangers(sentence), **dict.fromkeys(passage.cited)}
            for before in said[max(0, at - SENTENCES_BACK) : at]:
                rules |= self.dangers(before)
            for text in passage.about:
                rules |= dict.fromkeys(self._about(text))
            for act in acts:
                meant = self.acts[act.name].widens or act.name
                for name in rules:
                    if self._forbids(name, meant, passage.reader):
                        yield sentence, name, act

    def _forbids(self, rule: str, act: str, reader: Edition) -> bool:
        return self.acts[act].with_danger or act in told(self.rules[rule], reader).never


def _meet(act: PhraseFound, other: PhraseFound) -> bool:
    return act.name == other.name and act.start < other.end and other.start < act.end
