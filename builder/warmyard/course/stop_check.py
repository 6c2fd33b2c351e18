"""What contradicts a stop rule, what tells a customer a technician's work, and safety words that cite no rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.phrases import PhraseBook, PhraseFound, SentenceSaid, is_absent, is_told, sentences_of
from warmyard.course.stop_passages import Passage
from warmyard.course.stop_rule import AGENT, STAFF_WORD, StopAct, StopRule, StopRules, told
from warmyard.errors import SourceError
from warmyard.item.model import Edition

CUSTOMER: Edition = "customer"
STAFF: Edition = "staff"
TURNS = frozenset(["none", "otherwise", "else"])
"""Words with which the other case begins: what was named before is not so any more."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """What a sentence says: the situations that it names, and the acts, each with whether somebody is told to do it."""

    sentence: SentenceSaid
    rules: Mapping[str, PhraseFound]
    acts: tuple[tuple[PhraseFound, bool], ...]


class Listener:
    """Hears which rules and acts a passage speaks of; made once for a workspace."""

    def __init__(self, stops: StopRules) -> None:
        groups = {group.id: group.among for group in stops.groups}
        self.rules: Mapping[str, StopRule] = {rule.id: rule for rule in stops.rules}
        self.acts: Mapping[str, StopAct] = {act.id: act for act in stops.acts}
        self._situations = PhraseBook({rule.id: rule.speaks for rule in stops.rules}, groups)
        self._acts = PhraseBook({act.id: act.phrases for act in stops.acts}, groups)
        self._named = PhraseBook({name: groups.get(name, ()) for name in (AGENT, STAFF_WORD)}, groups)
        self._unless = {
            reader: PhraseBook({rule.id: told(rule, reader).unless for rule in stops.rules}, groups)
            for reader in (CUSTOMER, STAFF)
        }

    def situations(self, sentence: SentenceSaid) -> dict[str, PhraseFound]:
        """Return the rules whose situation a sentence names, not those that it says are absent."""
        found: dict[str, PhraseFound] = {}
        for one in self._situations.find(sentence.words):
            if not is_absent(sentence.words, one):
                found.setdefault(one.name, one)
        return found

    def cases(self, passage: Passage, over: Mapping[str, None]) -> list[list[Spoken]]:
        """Return what the sentences of a passage say, those of one case together; staff are free where no rule is."""
        heard = [(sentence, self.situations(sentence)) for sentence in sentences_of(passage.text)]
        if passage.reader == STAFF and not over and not any(rules for _, rules in heard):
            return []
        cases: list[list[Spoken]] = [[]]
        for sentence, rules in heard:
            if cases[-1] and sentence.words and sentence.words[0] in TURNS:
                cases.append([])
            cases[-1].append(Spoken(sentence, rules, tuple(self.acts_in(sentence, passage.reader))))
        return cases

    def acts_in(self, sentence: SentenceSaid, reader: Edition) -> Iterator[tuple[PhraseFound, bool]]:
        """Yield the acts that a sentence speaks of, and whether its reader is told to do them."""
        acts = self._acts.find(sentence.words)
        agents = self._agents(sentence) if reader == CUSTOMER and acts else ()
        for found in acts:
            does = not sentence.asks and is_told(sentence.words, found)
            yield found, does and not any(agent.end <= found.start for agent in agents)

    def _agents(self, sentence: SentenceSaid) -> list[PhraseFound]:
        return [found for found in self._named.find(sentence.words) if found.name == AGENT]

    def staff_words(self, sentence: SentenceSaid) -> list[PhraseFound]:
        """Return the words of the trade in a sentence."""
        return [found for found in self._named.find(sentence.words) if found.name == STAFF_WORD]

    def conditions(self, passage: Passage) -> set[str]:
        """Return the rules whose condition a passage states."""
        book = self._unless[passage.reader]
        return {found.name for sentence in sentences_of(passage.text) for found in book.find(sentence.words)}

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
    found = [*_contradictions(listener, passage, over, cases)]
    if passage.reader == CUSTOMER:
        found += [*_above_level(listener, passage, cases), *_staff_words(listener, passage)]
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


def _above_level(listener: Listener, passage: Passage, cases: Sequence[list[Spoken]]) -> Iterator[SourceError]:
    for spoken in (spoken for case in cases for spoken in case):
        for found, does in spoken.acts:
            act = listener.acts[found.name]
            if does and act.level:
                shown = spoken.sentence.shown(found)
                what = f"“{shown}” tells a customer to {act.name}, which nobody below level {act.level} may do"
                what_to_do = "let them leave it off and call"
                yield SourceError(passage.place_of(spoken.sentence.start), what, what_to_do)


def _staff_words(listener: Listener, passage: Passage) -> Iterator[SourceError]:
    for sentence in sentences_of(passage.text):
        for found in listener.staff_words(sentence):
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
