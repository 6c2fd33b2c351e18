"""Phrases by which a text is recognised: words with alternatives, endings and gaps, found in the sentences of a text.

A phrase is words with spaces between. `press*` has any ending, `push|put` is one or the other, `back?` may be missing,
`..` stands for up to five words, and `<heater>` for what a group of this name holds. An article may stand anywhere.
`.`, `,` and `?` as words are marks.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from itertools import pairwise

GAP_WORDS = 5
"""As many words as `..` stands for."""
GAP = ".."
_WORD = r"(?:[\w']+\*?|[.,]|<[\w-]+>)"
_ELEMENT = re.compile(rf"\.\.|\?|{_WORD}(?:\|{_WORD})*\??")
_NAMED = re.compile(r"<([\w-]+)>")
_ARTICLES = frozenset(("the", "a", "an", "your", "its", "this", "that", "our", "his", "their"))
_TOKEN = re.compile(r"[\w']+|[,;:.!?–—]|\s-\s")
_MARKS = frozenset(",;:.!?–—") | {" - "}


@dataclass(frozen=True, slots=True)
class _Element:
    """One part of a phrase: the words of which one must stand here."""

    words: frozenset[str]
    beginnings: tuple[str, ...]
    several: tuple[tuple[_Element, ...], ...]
    """Phrases of more than one word that may stand here instead."""
    optional: bool = False
    gap: bool = False


@dataclass(frozen=True, slots=True)
class PhraseFound:
    """A phrase in a sentence: whose it is, and its first word and the one after its last."""

    name: str
    start: int
    end: int
    denies: bool = False
    """Whether the phrase itself holds a negation, as "no need to stop" does."""


def is_phrase(text: str, groups: Mapping[str, Iterable[str]]) -> bool:
    """Say whether a text is a phrase: it begins with a word, each of its parts is one, its groups are there."""
    parts = text.split()
    if not parts or parts[0] == GAP or not all(_ELEMENT.fullmatch(part) for part in parts):
        return False
    return all(name in groups for name in _NAMED.findall(text))


def _elements(phrase: str, groups: Mapping[str, Sequence[str]]) -> tuple[_Element, ...]:
    found = []
    for part in phrase.split():
        if part == GAP:
            found.append(_Element(frozenset(), (), (), gap=True))
            continue
        each = (part.removesuffix("?") or part).split("|")
        for name in [one for one in each if one.startswith("<")]:
            each += [word for among in groups.get(name[1:-1], ()) if " " not in among for word in among.split("|")]
        several = tuple(
            _elements(among, {})
            for name in each
            if name.startswith("<")
            for among in groups.get(name[1:-1], ())
            if " " in among
        )
        words = frozenset(one.lower() for one in each if not one.endswith("*") and not one.startswith("<"))
        beginnings = tuple(one[:-1].lower() for one in each if one.endswith("*"))
        found.append(_Element(words, beginnings, several, optional=part.endswith("?") and part != "?"))
    return tuple(found)


_Entry = tuple[str, tuple[_Element, ...], frozenset[str]]
"""Whose a phrase is, its parts, and words of which one must stand in the sentence; none where that is not so plain."""


class PhraseBook:
    """Sets of phrases by name, all looked for in one pass."""

    def __init__(self, named: Mapping[str, Iterable[str]], groups: Mapping[str, Sequence[str]]) -> None:
        self._by_word: dict[str, list[_Entry]] = {}
        self._by_letter: dict[str, list[tuple[str, _Entry]]] = {}
        for name, phrases in named.items():
            for phrase in phrases:
                elements = _elements(phrase, groups)
                self._take((name, elements, _needed(elements)))
        self._begins: dict[str, tuple[_Entry, ...]] = {}

    def _take(self, entry: _Entry) -> None:
        for first in _firsts(entry[1]):
            for word in first.words:
                self._by_word.setdefault(word, []).append(entry)
            for beginning in first.beginnings:
                self._by_letter.setdefault(beginning[:1], []).append((beginning, entry))

    def find(self, words: Sequence[str]) -> list[PhraseFound]:
        """Return what is found in a sentence, in the order of its words; of one set and one start the longest."""
        found: dict[tuple[str, int], PhraseFound] = {}
        there = set(words)
        begins = self._begins
        for at, word in enumerate(words):
            entries = begins.get(word)
            for name, elements, needed in self._beginning_with(word) if entries is None else entries:
                if needed and needed.isdisjoint(there):
                    continue
                end = _match(elements, 0, words, at)
                if end > at and ((name, at) not in found or end > found[name, at].end):
                    found[name, at] = PhraseFound(name, at, end, _denies(elements))
        return list(found.values())

    def _beginning_with(self, word: str) -> tuple[_Entry, ...]:
        longer = (entry for start, entry in self._by_letter.get(word[:1], ()) if word.startswith(start))
        found = {id(entry): entry for entry in (*self._by_word.get(word, ()), *longer)}
        known = self._begins[word] = tuple(found.values())
        return known


def _denies(elements: Sequence[_Element]) -> bool:
    return any(element.words & _NEGATORS for element in elements)


def _needed(elements: Sequence[_Element]) -> frozenset[str]:
    """Return the words of the part with fewest, the last of these, that is plain words, not first, and always there."""
    plain = [
        one.words
        for one in reversed(elements[1:])
        if not (one.optional or one.gap or one.beginnings or one.several) and one.words.isdisjoint(_MARKS)
    ]
    return min(plain, key=len, default=frozenset[str]())


def _firsts(elements: Sequence[_Element]) -> tuple[_Element, ...]:
    """Return the parts with which a phrase may begin."""
    found: list[_Element] = []
    for element in elements:
        found += [element, *(first for phrase in element.several for first in _firsts(phrase))]
        if not element.optional:
            break
    return tuple(found)


def _is_one_of(word: str, element: _Element) -> bool:
    return word in element.words or (bool(element.beginnings) and word.startswith(element.beginnings))


def _match(elements: Sequence[_Element], at: int, words: Sequence[str], here: int) -> int:
    """Return where a phrase ends that goes on with part `at` at word `here`, or -1."""
    if at == len(elements):
        return here
    element = elements[at]
    if element.gap:
        return _match_after_gap(elements, at + 1, words, here)
    if here < len(words):
        spot = here + 1 if at and words[here] in _ARTICLES and not _is_one_of(words[here], element) else here
        if spot < len(words) and _is_one_of(words[spot], element):
            end = _match(elements, at + 1, words, spot + 1)
            if end >= 0:
                return end
        for phrase in element.several:
            middle = _match(phrase, 0, words, spot)
            end = _match(elements, at + 1, words, middle) if middle >= 0 else -1
            if end >= 0:
                return end
    return _match(elements, at + 1, words, here) if element.optional else -1


def _match_after_gap(elements: Sequence[_Element], at: int, words: Sequence[str], here: int) -> int:
    for skipped in range(GAP_WORDS + 1):
        end = _match(elements, at, words, here + skipped)
        if end >= 0:
            return end
        if here + skipped >= len(words) or words[here + skipped] in _MARKS:
            break
    return -1


@dataclass(frozen=True, slots=True)
class SentenceSaid:
    """A sentence: its words and marks in small letters, and where it begins in its text."""

    text: str
    start: int
    words: tuple[str, ...]

    @property
    def asks(self) -> bool:
        """Say whether it is a question: what it names may be so, and it tells nobody to do anything."""
        return bool(self.words) and self.words[-1] == "?"

    def shown(self, found: PhraseFound) -> str:
        """Return the words of something found, as they are written."""
        spans = [match.span() for match in _TOKEN.finditer(self.text)]
        return self.text[spans[found.start][0] : spans[found.end - 1][1]]


_END = re.compile(r"[.!?]+[\"”’)*_]*(?=\s|\Z)")


def sentences_of(text: str) -> Iterator[SentenceSaid]:
    """Yield the sentences of a text."""
    text = text.replace("’", "'")
    start = 0
    for end in (*(match.end() for match in _END.finditer(text)), len(text)):
        part = text[start:end]
        bare = part.strip()
        if bare:
            words = tuple(_TOKEN.findall(bare.lower()))
            yield SentenceSaid(bare, start + len(part) - len(part.lstrip()), words)
        start = end


_NEGATORS = frozenset(
    [
        "no",
        "not",
        "never",
        "nobody",
        "none",
        "neither",
        "nor",
        "nothing",
        "without",
        "cannot",
        "refuse",
        "refuses",
        "refused",
        "before",
        "until",
        "unless",
    ]
)
_BREAKS = frozenset(";:–—.!?") | {" - ", "but", "then"}
_PAUSES = _BREAKS | {","}
_CONDITIONS = frozenset(["if", "when", "whenever", "where", "whether", "whoever", "once"])
_CASES = _CONDITIONS | {"should"}
"""Words with which a case begins; a negation in it ends at its comma: "if it does not catch, press or call"."""
_LIMITS = (("in", "all"), ("at", "most"))
_ONCE = frozenset(("one", "once", "single"))
"""Words with which an act is allowed no further than a rule allows it: "one reset in all"."""
_CONDITIONED = (("only", "if"), ("only", "where"), ("only", "when"), ("only", "after"), ("provided", "that"))
_TELLS_OF = frozenset(("than", "had", "has", "have", "was", "were"))
"""Words before an act that only tell of it: "somebody had reset it", "more than one press"."""
_ABLE = (("that", "can"), ("which", "can"), ("that", "may"))
"""Words before an act that say what something is able to do: "anything that can light it"."""
_STILL_ABLE = tuple((*pair, "still") for pair in _ABLE)
NEAR_WORDS = 3
"""As many words as may stand between a negation and what is absent, and between an act and its limit."""
_NO_TROUBLE = frozenset(("harm", "worry", "worries", "hurry", "rush", "matter", "mind", "problem", "fuss"))
"""Words after a negation that forbid nothing: "no worry, switch it on", "never mind the smoke"."""
_NO_CAUSE = _NO_TROUBLE | {"need", "reason", "cause"}
"""Words after a negation that leave what is named there: "no need to wait for the smell", "never mind the smoke"."""
_FORBIDS = frozenset(("never", "nobody", "not", "cannot", "neither", "nor"))
_WAITS = frozenset(("wait", "leave", "pause", "let", "give", "count", "rest", "minute", "minutes", "hour", "hours"))
"""Words before "before" with which an act is only put off a little: "wait a minute before you press it"."""
_MAY = frozenset(("may", "can", "could"))
"""Words of an act that is allowed until something else comes: "until we come it may heat on"."""
_ABSENT = frozenset(["no", "nothing", "without", "nobody", "none", "neither", "nor", "not", "never"])


def is_told(words: Sequence[str], found: PhraseFound) -> bool:
    """Say whether an act in a sentence is something that somebody shall or may do: not forbidden, no mere condition."""
    if _only_tells(words, found.start):
        return False
    behind = words[found.end : found.end + NEAR_WORDS + 1]
    once = not _ONCE.isdisjoint(words[found.start : found.end + 1])
    if any(pair in _CONDITIONED or (once and pair in _LIMITS) for pair in pairwise(behind)):
        return False
    return not _is_condition(words, found.start) and not is_negated(words, found)


def _only_tells(words: Sequence[str], at: int) -> bool:
    """Say whether an act is told as something that was done, or that something is able to do."""
    first, second, last = ("", "", "", *words[:at])[-3:]
    was_done = second in _TELLS_OF and last.endswith("ed") and words[at] not in ("is", "are", "may", "can")
    if last in _TELLS_OF or was_done or (second, last) in _ABLE:
        return True
    return (first, second, last) in _STILL_ABLE or (last, words[at]) in _ABLE


def _clause_of(words: Sequence[str], at: int, ends: Set[str]) -> int:
    """Return where the clause of a word begins: after the last mark or word before it that ends one."""
    return next((n + 1 for n in range(at - 1, -1, -1) if words[n] in ends), 0)


def _is_condition(words: Sequence[str], at: int) -> bool:
    """Say whether a word stands in a clause that says when: "if they go back in, ..."."""
    if words[_clause_of(words, at, _PAUSES)] not in _CONDITIONS:
        return False
    return any(word in _PAUSES for word in words[at:-1])


def is_absent(words: Sequence[str], found: PhraseFound) -> bool:
    """Say whether a situation is named as one that is not there: "no alarm", "smells of nothing"."""
    if words[found.end : found.end + 2] == ("of", "nothing"):
        return True
    for at in range(found.start - 1, max(0, found.start - NEAR_WORDS) - 1, -1):
        if words[at] in _ABSENT and words[at + 1] not in _NO_CAUSE:
            return True
        if not words[at][0].isalnum():
            return False
    return False


def is_denied(words: Sequence[str], found: PhraseFound) -> bool:
    """Say whether what a phrase claims is denied by a word before it in its clause: "never call a smell nothing"."""
    before = range(_clause_of(words, found.start, _PAUSES), found.start)
    return any((words[at] in _FORBIDS or words[at].endswith("n't")) and words[at + 1] not in _NO_CAUSE for at in before)


def is_negated(words: Sequence[str], found: PhraseFound) -> bool:
    """Say whether what was found is forbidden or put off there: a negation rules over the rest of its clause.

    A comma ends its reach, unless the words after it still belong to a list: "never move, cover or open it".
    """
    if not found.denies and any(_negates(words, at) for at in range(found.start, found.end)):
        return True
    if words[found.end : found.end + 1] in (("nothing",), ("nobody",), ("none",)):
        return True
    clause = _clause_of(words, found.start, _BREAKS)
    last = next((at for at in range(found.start - 1, clause - 1, -1) if _negates(words, at)), -1)
    if last == clause and words[last] == "until" and not _MAY.isdisjoint(words[found.start : found.end]):
        return False
    if last < 0 or (words[last] == "before" and not _WAITS.isdisjoint(words[clause:last])):
        return False
    between = words[last : found.start]
    if "," not in between:
        return True
    if words[clause] in _CASES and "," not in words[clause:last]:
        return False
    end = next((at for at in range(found.start, len(words)) if words[at] in _BREAKS), len(words))
    return not {"or", "nor"}.isdisjoint((*between, *words[found.start : end]))


def _negates(words: Sequence[str], at: int) -> bool:
    word, following = words[at], words[at + 1] if at + 1 < len(words) else ""
    if word in _NEGATORS or word.endswith("n't"):
        return not ((word in ("no", "not") and following in ("longer", "only")) or following in _NO_TROUBLE)
    return (word, following) in (("instead", "of"), ("rather", "than"))
