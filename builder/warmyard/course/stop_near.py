"""What everyday words permit near a danger: acts that nobody listed with a situation, and bans that are loosened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from warmyard.course.phrases import PhraseFound, SentenceSaid, is_negated, is_told
from warmyard.course.stop_hearing import CUSTOMER, Heard, Listener
from warmyard.course.stop_passages import Passage
from warmyard.course.stop_rule import AGENT, told

FOR_A_WHILE = frozenset(
    ("while", "when", "whenever", "until", "till", "unless", "if", "as", "without", "before", "once")
)
"""Words behind a ban with which it ends somewhere."""
SAFE_ACTS = frozenset(("out", "call", "switch-off", "keep-off"))
"""Acts that no stop rule is against."""
SENTENCES_BACK = 2
"""As many sentences before an act may name the danger that it is near to."""
Near = tuple[SentenceSaid, str, PhraseFound]
"""A sentence, a rule that it is near to, and the words of an act in it."""


def permitted(listener: Listener, passage: Passage, every: Sequence[Heard]) -> Iterator[Near]:
    """Yield what is told near a danger of a rule that forbids it, in a sentence that states no condition of it."""
    for sentence, rules, acts in _near(listener, passage, every):
        freed = listener.conditions_in(sentence, passage.reader)
        for act in acts:
            meant = listener.acts[act.name].widens
            against = (name for name in rules if name not in freed and _forbids(listener, name, meant, passage))
            if name := next(against, None):
                yield sentence, name, act
                break


def beside(listener: Listener, passage: Passage, every: Sequence[Heard]) -> Iterator[Near]:
    """Yield what is told near a danger, forbids nothing and is nothing safe."""
    for sentence, rules, everyday in _near(listener, passage, every):
        acts = list(listener.acts_in(sentence, passage.reader))
        told_acts = (*everyday, *(found for found, does in acts if does))
        act = next((act for act in told_acts if listener.acts[act.name].beside), None)
        if act is None or not listener.conditions_in(sentence, passage.reader).isdisjoint(rules):
            continue
        if SAFE_ACTS.isdisjoint(found.name for found, _ in acts):
            yield sentence, next(iter(rules)), act


def loosened(listener: Listener, sentence: SentenceSaid) -> PhraseFound | None:
    """Return an act that no customer ever does, where a sentence forbids it only for a while."""
    words = sentence.words
    behind = frozenset() if sentence.asks else FOR_A_WHILE.intersection(words)
    for found in listener.barred.find(words) if behind else ():
        if is_negated(words, found) and not is_told(words, found) and not behind.isdisjoint(words[found.end :]):
            # Until somebody else allows it, "before we have measured", is no end that a customer sets.
            return None if any(agent.start >= found.end for agent in listener.of_group(sentence, AGENT)) else found
    return None


def _near(
    listener: Listener, passage: Passage, every: Sequence[Heard]
) -> Iterator[tuple[SentenceSaid, Mapping[str, None], list[PhraseFound]]]:
    """Yield each sentence that tells an everyday act near a danger, with the rules and those acts."""
    for at, heard in enumerate(every):
        acts = list(heard.everyday)
        if acts and passage.reader == CUSTOMER:
            agents = listener.of_group(heard.sentence, AGENT)
            acts = [act for act in acts if not any(agent.end <= act.start for agent in agents)]
        rules = _reach(listener, passage, every, at) if acts else {}
        if rules:
            yield heard.sentence, rules, acts


def _reach(listener: Listener, passage: Passage, every: Sequence[Heard], at: int) -> dict[str, None]:
    """Return the rules that a sentence is near to: by its words, those before it, what is over it or cited."""
    texts = [every[n].sentence.text for n in range(at, max(-1, at - SENTENCES_BACK - 1), -1)]
    named = (name for text in (*texts, *passage.about) for name in listener.dangers_of(text))
    cited = (name for name in sorted(passage.cited) if name in listener.rules and listener.rules[name].dangers)
    return dict.fromkeys((*cited, *named))


def _forbids(listener: Listener, rule: str, act: str | None, passage: Passage) -> bool:
    if act is None:
        return False
    return listener.acts[act].with_danger or act in told(listener.rules[rule], passage.reader).never
