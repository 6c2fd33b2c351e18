"""What contradicts a stop rule, what tells a customer a technician's work, and safety words that cite no rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from warmyard.course.phrases import PhraseFound, SentenceSaid, sentences_of
from warmyard.course.stop_hearing import CUSTOMER, Heard, Listener, Spoken
from warmyard.course.stop_near import beside, loosened, permitted
from warmyard.course.stop_passages import Passage
from warmyard.course.stop_rule import STAFF_WORD, told
from warmyard.errors import SourceError


def check_passage(listener: Listener, passage: Passage) -> Iterator[SourceError]:
    """Yield what a passage says against a rule; where there is nothing, a rule that it speaks of and does not cite."""
    if not passage.tells:
        yield from _staff_words(listener, passage)
        return
    every = listener.hear_all(passage)
    over = listener.over(passage)
    cases = listener.cases(passage, over, every)
    said = [spoken for case in cases for spoken in case]
    found = [*_contradictions(listener, passage, over, cases), *_played_down(listener, passage, over, said)]
    found = found or [*_near(listener, passage, every)]
    if passage.reader == CUSTOMER:
        found += _loosened(listener, passage, every)
        found += [*_above_level(listener, passage, said), *_staff_words(listener, passage)]
        found = found or [*_not_freed(listener, passage, said)]
    yield from found or (_uncited(listener, passage, cases) if passage.must_cite and not passage.governed else ())


def _contradictions(
    listener: Listener, passage: Passage, over: Mapping[str, None], cases: Sequence[list[Spoken]]
) -> Iterator[SourceError]:
    conditions: set[str] | None = None
    for case in cases:
        rules = [*over, *(name for spoken in case for name in spoken.heard.rules if name not in over)]
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
        if not spoken.heard.with_danger:
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
            yield _contradiction(listener, passage, spoken.sentence, name, spoken.heard.with_danger[0])


def _near(listener: Listener, passage: Passage, every: Sequence[Heard]) -> Iterator[SourceError]:
    """Yield what everyday words permit near a danger; where there is nothing, what no rule asks for there."""
    if not any(heard.everyday for heard in every):
        return
    against = list(permitted(listener, passage, every))
    for sentence, name, act in against:
        yield _contradiction(listener, passage, sentence, name, act)
    for sentence, name, act in () if against else beside(listener, passage, every):
        rule = listener.rules[name]
        what = f"“{sentence.shown(act)}” is told near the stop rule {name}, {rule.title}, and is nothing it asks for"
        what_to_do = f"say what the rule says, {told(rule, passage.reader).first} Or say it somewhere else"
        yield SourceError(passage.place_of(sentence.start), _one_clause(what), _one_clause(what_to_do))


def _loosened(listener: Listener, passage: Passage, every: Sequence[Heard]) -> Iterator[SourceError]:
    """Yield a ban that always holds for customers and is told for a while only: "never open it while it runs"."""
    for heard in every:
        if act := loosened(listener, heard.sentence):
            shown = heard.sentence.shown(act)
            what = f"“{shown}” forbids a customer only for a while to {listener.acts[act.name].name}"
            what_to_do = "forbid it for good: leave the condition out"
            yield SourceError(passage.place_of(heard.sentence.start), what, what_to_do)


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
        named = {
            name: (spoken.sentence, found) for spoken in reversed(case) for name, found in spoken.heard.rules.items()
        }
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
