"""The call for help: where people are to get out, the public emergency number stands, and before the company's own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.edition import pages_of
from warmyard.course.fences.card import CardNode
from warmyard.course.grammar import HEADING, INLINE, lines_outside
from warmyard.course.lesson import Lesson
from warmyard.course.phrases import sentences_of
from warmyard.course.prose import text_lines
from warmyard.course.shelf import Shelf
from warmyard.course.stop_hearing import Listener
from warmyard.course.stop_passages import cited_in, plain_words
from warmyard.course.stop_rule import StopRule, stop_words
from warmyard.course.typed_telephone import PHONES, NumbersTyped
from warmyard.course.workspace import Workspace
from warmyard.errors import FollowingError, Place, SourceError, SourceKind
from warmyard.item.model import Edition

OUT = "out"
"""The act of the stop rules by which people leave."""
EMERGENCY = "emergency"
"""The kind of page, and the end of a part of the telephone's script, after which help is called."""
FEWEST_WORDS = 2
"""Words that an act takes at least to be told: "outside" alone says where something stands."""
_SHOWN = re.compile(r"\[\[[^\[\]|]*\|[^\[\]]*\]\]")
Line = tuple[Place, str]
Numbers = Sequence[tuple[Place, bool]]
"""The numbers that lines name in their order: where each stands, and whether it is a public one."""


@dataclass(frozen=True, slots=True)
class _Reading:
    """What it takes to find the numbers in lines."""

    shelf: Shelf
    typed: NumbersTyped
    public: frozenset[str]
    """Rules that are public numbers."""

    def numbers(self, lines: Iterable[Line], reader: Edition) -> Numbers:
        return [(place, public) for place, text in lines for public in self.of_text(text, reader)]

    def of_text(self, text: str, reader: Edition) -> Iterator[bool]:
        """Yield whether each number that a text names is a public one; a stop rule is read out."""
        rest = INLINE.sub(" ", text)
        # A number that is typed, or an inline in single brackets, is told where it stands.
        if any(self.typed.find(rest)) or any(f"rule {name}" in rest for name in self.public):
            yield True
        for match in INLINE.finditer(text):
            kind, _, name = match.group(1).strip().partition(" ")
            if kind == "rule" and (name in self.public or name not in self.shelf.rules):
                yield True
            elif kind == "company" and name in PHONES:
                yield False
            elif kind == "stop" and "|" not in name:
                yield from self.of_text(self._said(name, reader), reader)

    def _said(self, name: str, reader: Edition) -> str:
        rule, _, part = name.partition(" ")
        known = self.shelf.stop_rules.get(rule)
        return (stop_words(known, part.strip(), reader) if known else None) or ""

    def calls(self, rule: StopRule | None, reader: Edition) -> bool:
        """Say whether a stop rule tells its reader to call the public number."""
        return rule is not None and any(self.of_text(stop_words(rule, "", reader) or "", reader))


def faults_of_help_calls(workspace: Workspace) -> dict[SourceKind, list[SourceError]]:
    """Return by kind of source a fault for each emergency page, card and script that lacks the public number."""
    public = frozenset(rule.id for rule in workspace.rules.values() if rule.telephone)
    reading = _Reading(workspace.shelf, NumbersTyped(workspace), public)
    listener = Listener(workspace.stops)
    pages = [*_check_there(workspace.lessons)]
    for lesson in workspace.lessons.values():
        if lesson.front.kind == EMERGENCY:
            pages += _check_page(reading, lesson)
        for card in lesson.nodes(CardNode):
            pages += _check_card(reading, listener, lesson, card)
    return {"page": pages, "machine": [*_check_script(reading, workspace)]}


def _check_there(lessons: Mapping[str, Lesson]) -> Iterator[SourceError]:
    pages = pages_of(lessons, "customer")
    if pages and not any(page.front.kind == EMERGENCY for page in pages):
        named = next((page.place.within("kind") for page in pages if page.file == f"{EMERGENCY}.md"), None)
        place = named or Place(f"course/lessons/customer/{EMERGENCY}.md", 1)
        what_to_do = f"write one with kind: {EMERGENCY} in its front matter, customers look for it first"
        needs: tuple[SourceKind, str] = ("page", EMERGENCY)
        yield FollowingError(place, "the customer edition has no emergency page", what_to_do, needs)


def _check_page(reading: _Reading, lesson: Lesson) -> list[SourceError]:
    """Return the fault of a whole page, else those of its parts."""
    fault = _fault(reading, [*text_lines(lesson)], lesson.place.within("kind"), "this emergency page", lesson.edition)
    if fault is not None:
        return [fault]
    parts: list[list[Line]] = [[]]
    for at, line in lines_outside(lesson.body):
        if HEADING.match(line):
            parts.append([])
        parts[-1].append((Place(lesson.place.file, lesson.body_line + at), line))
    found = [_fault_of_part(reading, part, "this part", lesson.edition) for part in parts if part]
    return [fault for fault in found if fault is not None]


def _check_card(reading: _Reading, listener: Listener, lesson: Lesson, card: CardNode) -> list[SourceError]:
    lines = [(card.place.within(f"lines.{at}"), line) for at, line in enumerate(card.lines)]
    # Shown words may only name a rule, "only for a fire"; a rule that is cited whole is what the card says.
    cited = {name for _, line in lines for name in cited_in(_SHOWN.sub("", line))}
    says_out = any(
        act.name == OUT and does and act.end - act.start >= FEWEST_WORDS
        for _, line in lines
        for sentence in sentences_of(plain_words(line))
        for act, does in listener.acts_in(sentence, lesson.edition)
    )
    calls = any(reading.calls(reading.shelf.stop_rules.get(name), lesson.edition) for name in cited)
    if not says_out and not calls:
        return []
    fault = _fault(reading, lines, card.place, f"the card {card.title!r}", lesson.edition)
    return [] if fault is None else [fault]


def _check_script(reading: _Reading, workspace: Workspace) -> Iterator[SourceError]:
    """Yield the faults of what customers are told where a call ends in an emergency."""
    told = [(one.place.within("if_yes"), one.if_yes) for one in workspace.machine.questions if one.end == EMERGENCY]
    symptoms = [one for one in workspace.machine.symptoms.values() if one.emergency and one.customer]
    told += [(one.place.within("customer"), one.customer) for one in symptoms]
    for line in told:
        fault = _fault(reading, [line], line[0], "what a caller is told in an emergency", "customer")
        if fault is not None:
            yield fault


def _fault_of_part(reading: _Reading, lines: Sequence[Line], what: str, reader: Edition) -> SourceError | None:
    """Return the fault of some lines where they cite a rule that calls for help, or name a public number already."""
    cited = {name for _, line in lines for name in cited_in(line)}
    wanted = any(reading.calls(reading.shelf.stop_rules.get(name), reader) for name in cited)
    wanted = wanted or any(public for _, public in reading.numbers(lines, reader))
    return _fault(reading, lines, lines[0][0], what, reader) if wanted else None


def _fault(reading: _Reading, lines: Sequence[Line], place: Place, what: str, reader: Edition) -> SourceError | None:
    """Return the fault of lines in which no public number stands, or one of the company's before it."""
    numbers = reading.numbers(lines, reader)
    write = " or ".join(f"[[rule {name}]]" for name in sorted(reading.public))
    write = write or "a rule with telephone: true for this country, name it in [[rule ID]]"
    if not any(public for _, public in numbers):
        return SourceError(place, f"{what} names no public emergency number", f"write {write}, before our own number")
    first, public = numbers[0]
    if not public:
        says = f"{what} names a number of ours before the public emergency number"
        return SourceError(first, says, f"write {write} first, then ours")
    return None
