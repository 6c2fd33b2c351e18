"""What contradicts a stop rule, what tells a customer a technician's work, and safety words that cite no rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from warmyard.course.phrases import (
    PhraseBook,
    PhraseFound,
    SentenceSaid,
    is_absent,
    is_denied,
    is_told,
    sentences_of,
)
from warmyard.course.stop_near import ActBook, Neighbour
from warmyard.course.stop_passages import Passage
from warmyard.course.stop_rule import AGENT, STAFF_WORD, StopAct, StopRule, StopRules, told
from warmyard.errors import SourceError
from warmyard.item.model import Edition

CUSTOMER: Edition = "customer"
STAFF: Edition = "staff"
_ACT = "!"
"""Stands before the name of an act that is looked for together with the situations."""
TURNS = frozenset(["none", "otherwise", "else"])
"""Words with which the other case begins: what was named before is not so any more."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """What a sentence says: the situations that it names, and the acts, each with whether somebody is told to do it."""

    sentence: SentenceSaid
    rules: Mapping[str, PhraseFound]
    acts: tuple[tuple[PhraseFound, bool], ...]
    with_danger: tuple[PhraseFound, ...] = ()
    """Acts that are held against the dangers that the sentence names."""


class Listener:
    """Hears which rules and acts a passage speaks of; made once for a workspace."""

    def __init__(self, stops: StopRules) -> None:
        groups = {group.id: group.among for group in stops.groups}
        self.rules: Mapping[str, StopRule] = {rule.id: rule for rule in stops.rules}
        self.acts: Mapping[str, StopAct] = {act.id: act for act in stops.acts}
        # One pass finds both, because a hundred thousand words of staff's texts are read for them.
        of_danger = {f"{_ACT}{act.id}": act.phrases for act in stops.acts if act.with_danger}
        self._situations = PhraseBook({**{rule.id: rule.speaks for rule in stops.rules}, **of_danger}, groups)
        self._dangers = PhraseBook({rule.id: rule.dangers for rule in stops.rules}, groups)
        self.near = Neighbour(stops, groups)
        told_to = [act for act in stops.acts if not act.with_danger and not act.widens]
        self._acts = ActBook([act for act in told_to if not act.customer_only], groups)
        self._customer_acts = ActBook([act for act in told_to if act.customer_only], groups)
        self._named = PhraseBook({name: groups.get(name, ()) for name in (AGENT, STAFF_WORD)}, groups)
        self._unless = {
            reader: PhraseBook({rule.id: told(rule, reader).unless for rule in stops.rules}, groups)
            for reader in (CUSTOMER, STAFF)
        }

    def situations(self, sentence: SentenceSaid) -> dict[str, PhraseFound]:
        """Return the rules whose situation a sentence names, not those that it says are absent."""
        return self._hear(sentence)[0]

    def _hear(self, sentence: SentenceSaid) -> tuple[dict[str, PhraseFound], tuple[PhraseFound, ...]]:
        """Return the rules whose situation a sentence names, and its acts that are held against dangers."""
        found: dict[str, PhraseFound] = {}
        acts: list[PhraseFound] = []
        for one in self._situations.find(sentence.words):
            if one.name[0] == _ACT:
                if not sentence.asks and not is_denied(sentence.words, one):
                    acts.append(replace(one, name=one.name[1:]))
            elif not is_absent(sentence.words, one):
                found.setdefault(one.name, one)
        return found, tuple(acts)

    def dangers(self, sentence: SentenceSaid) -> list[str]:
        """Return the rules of which a sentence names a danger."""
        named = (one.name for one in self._dangers.find(sentence.words) if not is_absent(sentence.words, one))
        return [*named, *self.situations(sentence)]

    def cases(self, passage: Passage, over: Mapping[str, None]) -> list[list[Spoken]]:
        """Return what the sentences of a passage say, those of one case together; staff are free where no rule is."""
        heard = [(sentence, *self._hear(sentence)) for sentence in sentences_of(passage.text)]
        if passage.reader == STAFF and not over and not any(rules or acts for _, rules, acts in heard):
            return []
        cases: list[list[Spoken]] = [[]]
        for sentence, rules, acts in heard:
            if cases[-1] and sentence.words and sentence.words[0] in TURNS:
                cases.append([])
            cases[-1].append(Spoken(sentence, rules, tuple(self.acts_in(sentence, passage.reader)), acts))
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


def check_passage(listener: Listener, passage: Passage) -> Iterator[SourceError]:
    """Yield what a passage says against a rule; where there is nothing, a rule that it speaks of and does not cite."""
    if not passage.tells:
        yield from _staff_words(listener, passage)
        return
    over = listener.over(passage)
    cases = listener.cases(passage, over)
    said = [spoken for case in cases for spoken in case]
    found = [*_contradictions(listener, passage, over, cases), *_played_down(listener, passage, over, said)]
    found = found or [*_near(listener, passage)]
    if passage.reader == CUSTOMER:
        found += [
            *_loosened(listener, passage),
            *_above_level(listener, passage, said),
            *_staff_words(listener, passage),
        ]
        found = found or [*_not_freed(listener, passage, said)]
    yield from found or (_uncited(listener, passage, cases) if passage.must_cite and not passage.governed else ())


def _contradictions(
    listener: Listener, passage: Passage, over: Mapping[str, None], cases: Sequence[list[Spoken]]
) -> Iterator[SourceError]:
    conditions: set[str] | None = None
    for case in cases:
        rules = [*over, *(name for spoken in case for name in spoken.rules if name not in over)]
        for spoken in case if rules else ():
            against = [
                (name, act) for name in dict.fromkeys(rules) if (act := _against(listener, passage, spoken, name))
            ]
            if against and conditions is None:
                conditions = listener.conditions(passage)
            for name, act in [one for one in against if one[0] not in (conditions or ())][:1]:
                yield _contradiction(listener, passage, spoken.sentence, name, act)


def _played_down(
    listener: Listener, passage: Passage, over: Mapping[str, None], said: Sequence[Spoken]
) -> Iterator[SourceError]:
    """Yield what plays a danger down in its own sentence; for customers also one that the passage is about."""
    for at, spoken in enumerate(said):
        if not spoken.with_danger:
            continue
        rules = dict.fromkeys(listener.dangers(spoken.sentence))
        if passage.reader == CUSTOMER:
            rules |= {**dict.fromkeys(passage.cited), **over}
        elif not rules:
            rules = {
                **dict.fromkeys(listener.dangers(said[at - 1].sentence) if at else ()),
                **dict.fromkeys(passage.governed),
            }
        conditions = listener.conditions_in(spoken.sentence, passage.reader) if rules else set()
        name = next((name for name in rules if listener.is_danger(name) and name not in conditions), None)
        if name is not None:
            yield _contradiction(listener, passage, spoken.sentence, name, spoken.with_danger[0])


def _near(listener: Listener, passage: Passage) -> Iterator[SourceError]:
    """Yield what everyday words permit near a danger, where their sentence states no condition of the rule."""
    said = list(sentences_of(passage.text))
    last: SentenceSaid | None = None
    for sentence, name, act in listener.near.permitted(passage, said):
        if sentence is last or name in listener.conditions_in(sentence, passage.reader):
            continue
        agents = listener.of_group(sentence, AGENT) if passage.reader == CUSTOMER else ()
        if not any(agent.end <= act.start for agent in agents):
            last = sentence
            yield _contradiction(listener, passage, sentence, name, act)


def _loosened(listener: Listener, passage: Passage) -> Iterator[SourceError]:
    """Yield a ban that always holds for customers and is told for a while only: "never open it while it runs"."""
    for sentence in sentences_of(passage.text):
        act = None if sentence.asks else listener.near.loosened(sentence)
        # Until somebody else allows it, "before we have measured", is no end that a customer sets.
        if act and not any(agent.start > act.end for agent in listener.of_group(sentence, AGENT)):
            what = f"“{sentence.shown(act)}” forbids a customer only for a while to {listener.acts[act.name].name}"
            yield SourceError(passage.place_of(sentence.start), what, "forbid it for good: leave the condition out")


def _not_freed(listener: Listener, passage: Passage, said: Sequence[Spoken]) -> Iterator[SourceError]:
    """Yield what only a stop rule lets a customer do, where none is cited that does."""
    for spoken in said:
        for found, does in spoken.acts:
            act = listener.acts[found.name]
            if does and act.freed_by is not None and passage.cited.isdisjoint(act.freed_by):
                what = (
                    f"“{spoken.sentence.shown(found)}” tells a customer to {act.name}, and no stop rule here lets them"
                )
                rules = " or ".join(f"[[stop {name}]]" for name in act.freed_by)
                what_to_do = f"cite {rules} where it is met" if rules else "let them leave it and call"
                yield SourceError(passage.place_of(spoken.sentence.start), what, what_to_do)
                return


def _against(listener: Listener, passage: Passage, spoken: Spoken, name: str) -> PhraseFound | None:
    never = told(listener.rules[name], passage.reader).never
    return next((act for act, does in spoken.acts if does and act.name in never), None)


def _contradiction(
    listener: Listener, passage: Passage, sentence: SentenceSaid, name: str, act: PhraseFound
) -> SourceError:
    rule = listener.rules[name]
    says = told(rule, passage.reader)
    what = f"“{sentence.shown(act)}” ({listener.acts[act.name].name}) contradicts the stop rule {name}, {rule.title}"
    what_to_do = f"the rule says: {says.first} It ends: {says.ends}"
    return SourceError(passage.place_of(sentence.start), _one_clause(what), _one_clause(what_to_do))


def _one_clause(text: str) -> str:
    return text.replace(";", ",").rstrip(". ")


def _above_level(listener: Listener, passage: Passage, said: Sequence[Spoken]) -> Iterator[SourceError]:
    for spoken in said:
        for found, does in spoken.acts:
            act = listener.acts[found.name]
            if does and act.level:
                shown = spoken.sentence.shown(found)
                what = f"“{shown}” tells a customer to {act.name}, which nobody below level {act.level} may do"
                what_to_do = "let them leave it off and call"
                yield SourceError(passage.place_of(spoken.sentence.start), what, what_to_do)


def _staff_words(listener: Listener, passage: Passage) -> Iterator[SourceError]:
    for sentence in sentences_of(passage.text):
        for found in listener.of_group(sentence, STAFF_WORD):
            what = f"“{sentence.shown(found)}” is a word of the trade in a text for customers"
            yield SourceError(passage.place_of(sentence.start), what, "say what they see, in their own words")


def _uncited(listener: Listener, passage: Passage, cases: Sequence[list[Spoken]]) -> Iterator[SourceError]:
    """Yield a fault where a text names a situation and no id says by which rule; common words ask for none."""
    for case in cases:
        named = {name: (spoken.sentence, found) for spoken in reversed(case) for name, found in spoken.rules.items()}
        if not named or passage.cited & named.keys():
            continue
        acts = {act.name for spoken in case for act, _ in spoken.acts}
        for name, (sentence, found) in named.items():
            rule = listener.rules[name]
            if not rule.common or acts & {*told(rule, passage.reader).never}:
                shown = sentence.shown(found)
                what = f"“{shown}” are safety words without the id of a stop rule"
                what_to_do = f"cite the rule that is meant, such as [[stop {name}|{shown}]]"
                yield SourceError(passage.place_of(sentence.start), what, what_to_do)
                return
