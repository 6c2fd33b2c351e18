"""What a kind of item and a way of marking are made of: one record each, filled in by the folders of kinds/."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

import msgspec
from markupsafe import Markup

from warmyard.errors import SourceError, SourceKind
from warmyard.item.chance import Chance
from warmyard.item.model import Draw, Item, Way
from warmyard.item.response import Response, Words
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import Key, Mark, Question, Variant

ItemOfKind = TypeVar("ItemOfKind", bound=Item)
KeyOfKind = TypeVar("KeyOfKind", bound=Key)
SEEDS = 50
"""How many draws of an item are tried before it is called sound."""


def _nothing(*_: Any) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class Said:
    """An answer that an item offers in words: where it stands, what it says, whether it is right, and why."""

    path: str
    text: str
    right: bool
    why: str = ""


class Helps(msgspec.Struct, frozen=True, array_like=True):
    """What a page carries of an item besides its draws: the first hints, the same in every draw."""

    think: str
    """What to look for, in words."""
    formula: str
    """The formulas in words and letters, as HTML."""
    sheet: list[tuple[str, str]]
    """Drawn symbols that come from the machine's sheet, and what each stands for."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What the numbers of one seed show, without their text."""

    slips: tuple[str, ...]
    """Ids of the slips that lead to an answer."""
    mixed_up: str
    """Which of its own numbers is not marked as what it is, or nothing."""
    verdict: str = ""
    """The verdict that is right in this draw, where the item asks for one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marking(Generic[KeyOfKind]):
    """One way of answering: how a response to such a key is marked, and what can be answered. Kinds may share one."""

    key: type[KeyOfKind]
    mark: Callable[[Question, KeyOfKind, Response, Words], Mark]
    """marking.js of the folder gives the same mark; both run the cases of tests/contract/marking.json."""
    right: Callable[[Question, KeyOfKind], dict[str, Any]]
    """Gives the response that the key itself calls right."""
    rename: Callable[[KeyOfKind, Mapping[str, str]], KeyOfKind] | None = None
    """Gives the key with other ids of its options, for a paper; None where the ids tell nothing as they are."""
    wrong: Callable[[Question, KeyOfKind], Mapping[str, str]] = lambda question, key: {}
    """Gives id and name of every wrong answer that is known beforehand; none where nobody can list them."""
    given: Callable[[Question, KeyOfKind, Response], Iterable[str]] = lambda question, key, response: ()
    """Gives the ids of the wrong answers that a response gives."""
    missing: Callable[[Question, KeyOfKind], Iterable[dict[str, Any]]] | None = None
    """Gives responses that miss, for the invented people of the demo; None: they leave such a question blank."""
    mixed_up: Callable[[Question, KeyOfKind], str] = _nothing
    """Says which wrong answer of the key is not marked as what it is, or nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind(Generic[ItemOfKind]):
    """One kind of item: all that the rest of the house asks about it."""

    struct: type[ItemOfKind]
    """What its source states; the tag of the struct is the kind's name."""
    marking: Marking[Any]
    shows: tuple[Way, ...]
    """The tasks that it shows, by how they are best assessed."""
    rank: int
    """Where it stands when kinds are listed, and when a page loads their scripts."""
    variants: int
    """How many variants are built into a page. Where no number changes, more would only be mixed otherwise."""
    draw: Callable[[ItemOfKind, int, Surroundings, Chance], Variant]
    """Gives the variant of a seed; raises as `make_variant` says, and KeyError for a name that is not there."""
    check: Callable[[ItemOfKind, Surroundings], Iterator[SourceError]]
    """Yields what does not hold of one item before it is drawn."""
    print: Callable[[Question, Words], Markup]
    """Gives what stands under the question and its drawing where scripts are off or the page is printed, as HTML."""
    rests_on: Callable[[ItemOfKind], Iterable[SourceKind]] = lambda item: ()
    """Names the sources whose faults an item would only repeat: procedure, machine, picture, instrument."""
    formulas: Callable[[ItemOfKind], Iterable[str]] = lambda item: ()
    """Gives the formulas of the register that an item takes."""
    draws: Callable[[ItemOfKind], Mapping[str, Draw]] = lambda item: {}
    """Gives the symbols that are drawn."""
    level: Callable[[ItemOfKind], int] = lambda item: 0
    """Gives the lowest level of a paper that may ask it."""
    helps: Callable[[ItemOfKind, Surroundings], Helps] | None = None
    """Gives the hints that are the same in every draw."""
    says: Callable[[ItemOfKind], Iterable[Said]] = lambda item: ()
    """Gives the answers that stand in words, right ones and others."""
    seeds: int = SEEDS
    """How many draws show all that can go wrong."""
    drawn_when_faulty: bool = False
    """Whether drawing it shows more where a check has found a fault already."""
    try_numbers: Callable[[ItemOfKind, int, Surroundings], Tried] | None = None
    """Tries the draw of a seed without making its text."""
    check_seen: Callable[[ItemOfKind, set[str], Counter[str]], Iterable[SourceError]] = lambda item, seen, verdicts: ()
    """Gives what does not hold of all draws together: ids of wrong answers, and how often each verdict was right."""
