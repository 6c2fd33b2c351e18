"""What a fence is made of: a record each, filled in by the modules of fences/; its writer has the same name in web."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from warmyard.course.grammar import Node
from warmyard.course.shelf import Shelf
from warmyard.errors import SourceError

NodeOfFence = TypeVar("NodeOfFence", bound=Node)
Inputs = Mapping[str, str | int | float]


@dataclass(frozen=True, slots=True)
class Named:
    """A thing of another source that a fence names: where in the fence, what kind of thing, and its name."""

    path: str
    what: str
    """item, picture, procedure, chart, formula, symptom or failure mode."""
    name: str


@dataclass(frozen=True, slots=True)
class Ordered:
    """A line of a fence that tells a reader what to do: where it stands in it, what it says, and under which title."""

    path: str
    text: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Example:
    """A computed example, and the name under which later lines take its result, if they may."""

    called: str
    formula: str
    inputs: Inputs


@dataclass(frozen=True, slots=True)
class Beginning:
    """What a fence right under a heading makes of the part that the heading begins."""

    what: Literal["step", "reference", "folded"]
    level: int
    """Level of the heading, 2 or 3."""
    id: str = ""
    """Of a step."""
    say: str = ""
    """The idea of a step; of another part, why somebody may want it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fence(Generic[NodeOfFence]):
    """One kind of fence: all that the course asks about it."""

    node: type[NodeOfFence]
    """What stands in it; the tag of the struct is what opens the fence."""
    names: Callable[[NodeOfFence], Iterable[Named]] = lambda node: ()
    """Gives what it names; that this is there, and for this edition, is checked for all fences alike."""
    check: Callable[[Shelf, NodeOfFence], Iterator[SourceError]] = lambda shelf, node: iter(())
    """Yields what else does not hold of it."""
    orders: Callable[[NodeOfFence], Iterable[Ordered]] = lambda node: ()
    """Gives the lines that tell a reader what to do, which the stop rules are held against."""
    example: Callable[[NodeOfFence], Example | None] = lambda node: None
    """Gives the example that it works, if it is one."""
    begins: Callable[[NodeOfFence], Beginning | None] = lambda node: None
    """Gives the part of a lesson that it begins, together with the heading over it, if it is such a fence."""
    things: Callable[[NodeOfFence], int] = lambda node: 1
    """How many things it asks of the reader, where each takes time of its own."""
    of_machine: bool = False
    """Whether it shows what the machine model says: `view` makes a page with it again when the model was changed."""
    scored: bool = False
    """Whether it is the scored set of a lesson."""
    filled_in: bool = False
    """Whether the reader answers it or writes into it; where nothing can be written it is left out."""
