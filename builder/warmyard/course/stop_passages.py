"""Every passage in which the sources may speak of a stop: who reads it, what it is about, and which rules it cites."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from warmyard.course.fence_table import fence_of
from warmyard.course.grammar import HEADING, INLINE, Node, lines_outside
from warmyard.course.lesson import Lesson
from warmyard.course.model import Deck, Picture, Procedure, Station, Term
from warmyard.errors import Place
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Edition, Item
from warmyard.machine.model import Check, Machine

Governing = Callable[[str, str], Iterable[str]]
"""Gives the stop rules that govern something: what sort of thing it is in `governs`, and its id."""
FEWEST_SOURCES = 2
"""Lines that name as many sources say where things come from, and tell nobody what to do."""
MODE_TELLS = ("remedy", "fit_to_return", "safety")
"""Fields of a failure mode that tell somebody what to do."""
_LINK = re.compile(r"\s*(?:[-*+]|\d+[.)])?\s*\[[^\[\]]*\]\([^()]*\)\s*")
"""A line that only leads to another page."""
_BEGINS = re.compile(r"\s*(?:[-*+>|]|\d+[.)])\s")
_MARKS = re.compile(r"!?\[([^\[\]]*)\]\([^()]*\)|<[^<>]*>|\{:?[^{}]*\}|[*`#>]|(?<!\w)_|_(?!\w)")


@dataclass(frozen=True, slots=True)
class Passage:
    """Some lines that are read in one go: a paragraph, a line of a list or a card, a key, an answer."""

    text: str
    """Plain words; what comes from a rule itself is left out."""
    lines: tuple[tuple[int, Place], ...]
    """Where each line begins in the text, and where it stands."""
    reader: Edition
    cited: frozenset[str] = frozenset()
    """Stop rules that it cites by id, and those that govern it."""
    about: tuple[str, ...] = ()
    """Texts over it that say what it is about: a heading, the line that leads to a list, a question."""
    governed: frozenset[str] = frozenset()
    """Stop rules that hold whatever its words are."""
    must_cite: bool = True
    """Whether safety words in it need an id."""
    tells: bool = True
    """Whether it tells somebody what to do; what only says what is seen tells nobody."""

    def place_of(self, at: int) -> Place:
        """Return where a letter of the text stands."""
        starts = [start for start, _ in self.lines]
        return self.lines[max(0, bisect_right(starts, at) - 1)][1]


@dataclass(slots=True)
class _Lines:
    """Lines gathered into one passage."""

    about: tuple[str, ...] = ()
    listed: bool = False
    story: bool = False
    """Whether it tells what happened once: a quoted note, or what stands before the first part of a lesson."""
    parts: list[tuple[str, Place]] = field(default_factory=list)

    def lists_sources(self) -> bool:
        """Say whether it says where things come from."""
        return sum(line.count("[[source ") for line, _ in self.parts) >= FEWEST_SOURCES

    def passage(self, reader: Edition) -> Passage:
        return passage_of(self.parts, reader, about=self.about, must_cite=not self.story and not self.lists_sources())


def passage_of(
    parts: Iterable[tuple[str, Place]],
    reader: Edition,
    *,
    about: Sequence[str] = (),
    governed: Iterable[str] = (),
    must_cite: bool = True,
    tells: bool = True,
) -> Passage:
    """Return lines with their places as one passage."""
    text, lines, cited = "", [], set()
    for line, place in parts:
        cited |= set(cited_in(line))
        lines.append((len(text), place))
        text += plain_words(line) + " "
    governs = frozenset(governed)
    plain = tuple(plain_words(one) for one in about)
    return Passage(text, tuple(lines), reader, frozenset(cited) | governs, plain, governs, must_cite, tells)


def cited_in(text: str) -> Iterator[str]:
    """Yield the ids of the stop rules that a text cites."""
    for match in INLINE.finditer(text):
        kind, _, rest = match.group(1).strip().partition(" ")
        if kind == "stop":
            yield rest.partition("|")[0].split(" ")[0].strip()


def plain_words(text: str) -> str:
    """Return a text without marks of Markdown; an inline becomes its shown words or its name, one of ours none."""
    return _MARKS.sub(r"\1", INLINE.sub(_spoken, text)) if text else text


def _spoken(inline: re.Match[str]) -> str:
    kind, _, rest = inline.group(1).strip().partition(" ")
    name, bar, shown = rest.partition("|")
    if bar:
        return shown
    # The end of a name says what it is: an emergency number, a level; its beginning may name a danger.
    return "" if kind == "stop" else " ".join(re.split(r"[-_ ]", name)[-2:])


_READ: dict[str, tuple[tuple[object, ...], list[Passage]]] = {}
"""The passages of each page as it was read last."""


def lesson_passages(lesson: Lesson) -> list[Passage]:
    """Return the passages of a page: its lines under their headings, then its cautions and cards."""
    text = (lesson.body, lesson.body_line, lesson.front.title, lesson.front.kind, lesson.edition)
    known, found = _READ.get(lesson.place.file, ((), []))
    if known != text:
        found = list(_passages_of(lesson))
        _READ[lesson.place.file] = (text, found)
    return found


def _passages_of(lesson: Lesson) -> Iterator[Passage]:
    heads = {0: lesson.front.title}
    heading, leads, open_ = lesson.front.title, "", _Lines()
    last, marks = -2, set[str]()
    for at, line in lines_outside(lesson.body):
        begins, titled = bool(_BEGINS.match(line)), bool(HEADING.match(line))
        if open_.parts and (at != last + 1 or not line.strip() or begins or titled):
            leads = leads if open_.listed else _lead(open_.parts[-1][0])
            yield open_.passage(lesson.edition)
            open_ = _Lines()
        last = at
        if titled:
            heading, leads = HEADING.sub("", line), ""
            marks.add(line.split(" ")[0])
            heads[at] = heading
        elif line.strip() and not _LINK.fullmatch(line):
            if not open_.parts:
                story = line.startswith(">") or (lesson.front.kind == "lesson" and "##" not in marks)
                open_ = _Lines((heading, leads) if begins else (heading,), begins, story)
            open_.parts.append((_BEGINS.sub("", line, count=1), Place(lesson.place.file, lesson.body_line + at)))
    if open_.parts:
        yield open_.passage(lesson.edition)
    for block in lesson.blocks:
        over = max(at for at in heads if at <= block.first_line - lesson.body_line)
        yield from _fence_passages(block.node, lesson.edition, heads[over])


def _lead(line: str) -> str:
    """Return the last line of a paragraph where it leads to the list that follows."""
    return line if line.rstrip("* ").endswith((":", "?")) else ""


def _fence_passages(node: Node, reader: Edition, heading: str) -> Iterator[Passage]:
    orders = list(fence_of(node).orders(node))
    for order in orders:
        about = [order.title or heading]
        yield passage_of([(order.text, node.place.within(order.path))], reader, about=about)
    say = getattr(node, "say", "")
    if say and not orders:
        yield passage_of([(say, node.place.within("say"))], reader, about=[heading], must_cite=False)


def procedure_passages(procedure: Procedure, governing: Governing) -> Iterator[Passage]:
    """Yield the caution and the steps of a procedure."""
    rules = frozenset(governing("procedures", procedure.id))
    about = [procedure.title]
    for reader in procedure.editions:
        place = procedure.place.within("caution")
        yield passage_of([(procedure.caution, place)], reader, about=about, governed=rules)
        for at, step in enumerate(procedure.steps):
            place = procedure.place.within(f"steps.{at}")
            yield passage_of([(step.do, place)], reader, about=about, governed=rules, must_cite=False)


def station_passages(station: Station) -> Iterator[Passage]:
    """Yield what an observer looks for."""
    for at, point in enumerate(station.points):
        yield passage_of([(point.look, station.place.within(f"points.{at}"))], "staff", must_cite=False)


def item_passages(item: Item, governing: Governing) -> Iterator[Passage]:
    """Yield the right answers of an item with what the question is about, and its sentence of trade sense."""
    rules = frozenset(governing("items", item.id))
    for answer in kind_of(item).says(item):
        if answer.right:
            place = item.place.within(answer.path)
            for text, about in ((answer.text, [item.ask]), (answer.why, [item.ask, answer.text])):
                yield passage_of([(text, place)], "staff", about=about, governed=rules, must_cite=False)
    if item.sense:
        yield passage_of([(item.sense, item.place.within("sense"))], "staff", must_cite=False)


def machine_passages(machine: Machine, governing: Governing) -> Iterator[Passage]:
    """Yield what the telephone's script says to customers, and the cautions and bars that staff read."""
    for question in machine.questions:
        rules = governing("questions", question.id)
        place = question.place.within("if_yes")
        yield passage_of([(question.if_yes, place)], "customer", about=[question.ask], governed=rules)
    for symptom in machine.symptoms.values():
        rules = governing("symptoms", symptom.id)
        about = [symptom.name, symptom.as_said]
        place = symptom.place
        yield passage_of([(symptom.customer, place.within("customer"))], "customer", about=about, governed=rules)
        yield passage_of([(symptom.caution or "", place.within("caution"))], "staff", about=about, governed=rules)
    for check in machine.checks.values():
        yield from _passages_of_check(check, governing)
    yield from _staff_passages(machine)
    for name, text in machine.words.items():
        place = machine.word_places.get(name, Place())
        yield passage_of([(text, place)], "customer", must_cite=False)


def _staff_passages(machine: Machine) -> Iterator[Passage]:
    """Yield what the model tells staff to do, and under which conditions."""
    told: list[tuple[str, Place, Sequence[str]]] = []
    for mode in machine.modes.values():
        told += [(getattr(mode, name), mode.place.within(name), [mode.name]) for name in MODE_TELLS]
    told += [(bar.say, bar.place.within("say"), ()) for bar in machine.bars]
    told += [(one.means, one.place.within("means"), ()) for one in machine.preconditions.values()]
    told += [(check.ask, check.place.within("ask"), ()) for check in machine.checks.values() if check.level]
    for text, place, about in told:
        yield passage_of([(text, place)], "staff", about=about, must_cite=False)


def term_passages(term: Term) -> Iterator[Passage]:
    """Yield what a word of the trade means."""
    yield passage_of([(term.means, term.place.within("means"))], "staff", must_cite=False)


def deck_passages(deck: Deck) -> Iterator[Passage]:
    """Yield both sides of each card to turn over: what is there, and what is done."""
    for at, card in enumerate(deck.cards):
        sides = [
            (card.front, deck.place.within(f"cards.{at}.front")),
            (card.back, deck.place.within(f"cards.{at}.back")),
        ]
        yield passage_of(sides, "staff")


def picture_passages(picture: Picture) -> Iterator[Passage]:
    """Yield what the points of a drawing do."""
    for at, point in enumerate(picture.points):
        yield passage_of([(point.does, picture.place.within(f"points.{at}"))], "staff", must_cite=False)


def _passages_of_check(check: Check, governing: Governing) -> Iterator[Passage]:
    if check.answers:
        yield passage_of([(check.customer or check.ask, check.place.within("customer"))], "customer", must_cite=False)
    for outcome, answer in check.answers.items():
        place = check.place.within(f"answers.{outcome}")
        sees = answer.sees or check.outcomes.get(outcome, "")
        at = place if answer.sees else check.place.within(f"outcomes.{outcome}")
        rules = governing("outcomes", f"{check.id}.{outcome}")
        yield passage_of([(sees, at)], "customer", must_cite=False, tells=False)
        say = check.place.within(f"answers.{outcome}.say")
        yield passage_of([(answer.say, say)], "customer", about=[sees], governed=rules)
