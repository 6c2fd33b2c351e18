"""What the sentences of a passage say: situations and dangers of stop rules, acts, and words that mean neither."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from warmyard.course.phrases import (
    PhraseBook,
    PhraseFound,
    SentenceSaid,
    is_absent,
    is_denied,
    is_told,
    sentences_of,
)
from warmyard.course.stop_passages import Passage
from warmyard.course.stop_rule import AGENT, STAFF_WORD, StopAct, StopRule, StopRules, told
from warmyard.item.model import Edition

CUSTOMER: Edition = "customer"
STAFF: Edition = "staff"
_ACT = "!"
"""Stands before the name of an act that is looked for together with the situations."""
TURNS = frozenset(["none", "otherwise", "else"])
"""Words with which the other case begins: what was named before is not so any more."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A sentence with the situations that it names and the acts that are looked for together with these."""

    sentence: SentenceSaid
    rules: Mapping[str, PhraseFound]
    """Situations that it does not say are absent."""
    with_danger: tuple[PhraseFound, ...]
    """Acts that are held against the dangers that the sentence names."""
    everyday: tuple[PhraseFound, ...]
    """Acts told in everyday words, and those that have nothing to do near a danger."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """What a sentence says: what was heard, and the acts, each with whether somebody is told to do it."""

    heard: Heard
    acts: tuple[tuple[PhraseFound, bool], ...]

    @property
    def sentence(self) -> SentenceSaid:
        """Return the sentence."""
        return self.heard.sentence


class ActBook:
    """The phrases of acts, without those places where they mean something else."""

    def __init__(self, acts: Iterable[StopAct], groups: Mapping[str, Sequence[str]]) -> None:
        every = list(acts)
        self._acts = PhraseBook({act.id: act.phrases for act in every}, groups)
        self._but = PhraseBook({act.id: act.but for act in every if act.but}, groups)

    def find(self, words: Sequence[str]) -> list[PhraseFound]:
        """Return the acts that a sentence speaks of."""
        return self.sift(self._acts.find(words), words)

    def sift(self, acts: list[PhraseFound], words: Sequence[str]) -> list[PhraseFound]:
        """Return acts that were found in a sentence, without those that mean something else there."""
        if acts and (means_else := self._but.find(words)):
            acts = [one for one in acts if not any(_meet(one, other) for other in means_else)]
        return acts


def _meet(act: PhraseFound, other: PhraseFound) -> bool:
    return act.name == other.name and act.start < other.end and other.start < act.end


class Listener:
    """Hears which rules and acts a passage speaks of; made once for a workspace."""

    def __init__(self, stops: StopRules) -> None:
        groups = {group.id: group.among for group in stops.groups}
        self.rules: Mapping[str, StopRule] = {rule.id: rule for rule in stops.rules}
        self.acts: Mapping[str, StopAct] = {act.id: act for act in stops.acts}
        forbidden = {name for rule in stops.rules for says in (rule.customer, rule.staff) for name in says.never}
        everyday = [act for act in stops.acts if act.widens or (act.beside and act.id not in forbidden)]
        for_all = [act for act in everyday if not act.customer_only]
        # One pass finds all, because a hundred thousand words of staff's texts are read for them.
        of_acts = {f"{_ACT}{act.id}": act.phrases for act in stops.acts if act.with_danger or act in for_all}
        self._situations = PhraseBook({**{rule.id: rule.speaks for rule in stops.rules}, **of_acts}, groups)
        self._dangers = PhraseBook({rule.id: rule.dangers for rule in stops.rules}, groups)
        told_to = [act for act in stops.acts if not act.with_danger and act not in everyday]
        self._acts = ActBook([act for act in told_to if not act.customer_only], groups)
        self._customer_acts = ActBook([act for act in told_to if act.customer_only], groups)
        self._everyday = ActBook(everyday, groups)
        self._customer_everyday = ActBook([act for act in everyday if act.customer_only], groups)
        self.barred = ActBook([act for act in stops.acts if act.freed_by == () or act.level], groups)
        self._named = PhraseBook({name: groups.get(name, ()) for name in (AGENT, STAFF_WORD)}, groups)
        self._unless = {
            reader: PhraseBook({rule.id: told(rule, reader).unless for rule in stops.rules}, groups)
            for reader in (CUSTOMER, STAFF)
        }
        self.dangers_of = lru_cache(maxsize=None)(self._dangers_of)

    def situations(self, sentence: SentenceSaid) -> Mapping[str, PhraseFound]:
        """Return the rules whose situation a sentence names, not those that it says are absent."""
        return self.hear(sentence).rules

    def hear(self, sentence: SentenceSaid, reader: Edition = STAFF) -> Heard:
        """Return what a sentence names and tells; everyday words of customers' texts only for these."""
        rules: dict[str, PhraseFound] = {}
        acts: list[PhraseFound] = []
        for one in self._situations.find(sentence.words):
            if one.name[0] == _ACT:
                acts.append(replace(one, name=one.name[1:]))
            elif not is_absent(sentence.words, one):
                rules.setdefault(one.name, one)
        if sentence.asks:
            return Heard(sentence, rules, (), ())
        words = sentence.words
        with_danger = [one for one in acts if self.acts[one.name].with_danger and not is_denied(words, one)]
        everyday = [one for one in acts if not self.acts[one.name].with_danger]
        if reader == CUSTOMER:
            everyday += self._customer_everyday.find(words)
        does = [one for one in self._everyday.sift(everyday, words) if is_told(words, one)]
        return Heard(sentence, rules, tuple(with_danger), tuple(does))

    def hear_all(self, passage: Passage) -> list[Heard]:
        """Return what each sentence of a passage names and tells."""
        return [self.hear(sentence, passage.reader) for sentence in sentences_of(passage.text)]

    def dangers(self, sentence: SentenceSaid) -> list[str]:
        """Return the rules of which a sentence names a danger."""
        named = (one.name for one in self._dangers.find(sentence.words) if not is_absent(sentence.words, one))
        return [*named, *self.situations(sentence)]

    def _dangers_of(self, text: str) -> tuple[str, ...]:
        """Return the rules of which a text names a danger; everyday words do not speak of a rule by themselves."""
        named = (name for one in sentences_of(text) for name in self._dangers_in(one))
        return tuple(dict.fromkeys(named))

    def _dangers_in(self, sentence: SentenceSaid) -> Iterator[str]:
        for one in self._dangers.find(sentence.words):
            if not is_absent(sentence.words, one):
                yield one.name
        yield from (name for name in self.situations(sentence) if not self.rules[name].common)

    def cases(self, passage: Passage, over: Mapping[str, None], every: Sequence[Heard]) -> list[list[Spoken]]:
        """Return what the sentences of a passage say, those of one case together; staff are free where no rule is."""
        if passage.reader == STAFF and not over and not any(heard.rules or heard.with_danger for heard in every):
            return []
        cases: list[list[Spoken]] = [[]]
        for heard in every:
            words = heard.sentence.words
            if cases[-1] and words and words[0] in TURNS:
                cases.append([])
            cases[-1].append(Spoken(heard, tuple(self.acts_in(heard.sentence, passage.reader))))
        return cases

    def acts_in(self, sentence: SentenceSaid, reader: Edition) -> Iterator[tuple[PhraseFound, bool]]:
        """Yield the acts that a sentence speaks of, and whether its reader is told to do them."""
        acts = self._acts.find(sentence.words)
        if reader == CUSTOMER:
            acts += self._customer_acts.find(sentence.words)
        agents = self.of_group(sentence, AGENT) if reader == CUSTOMER and acts else ()
        last: dict[str, int] = {}
        for found in acts:
            if found.start < last.get(found.name, 0):
                continue
            last[found.name] = found.end
            does = not sentence.asks and is_told(sentence.words, found)
            yield found, does and not any(agent.end <= found.start for agent in agents)

    def of_group(self, sentence: SentenceSaid, group: str) -> list[PhraseFound]:
        """Return where words of a group stand in a sentence: somebody else (AGENT), or the trade's (STAFF_WORD)."""
        return [found for found in self._named.find(sentence.words) if found.name == group]

    def conditions(self, passage: Passage) -> set[str]:
        """Return the rules whose condition a passage states."""
        every = (self.conditions_in(sentence, passage.reader) for sentence in sentences_of(passage.text))
        return {name for names in every for name in names}

    def conditions_in(self, sentence: SentenceSaid, reader: Edition) -> set[str]:
        """Return the rules whose condition a sentence states."""
        return {found.name for found in self._unless[reader].find(sentence.words)}

    def is_danger(self, name: str) -> bool:
        """Say whether a rule stands against a danger that a text can play down; everyday words speak of the others."""
        return name in self.rules and not self.rules[name].common

    def over(self, passage: Passage) -> dict[str, None]:
        """Return the rules that hold for a passage before its own words: what it is about, and what governs it."""
        about = (name for text in passage.about for one in sentences_of(text) for name in self.situations(one))
        return dict.fromkeys((*passage.governed, *about))
