"""What a fence is made of: a record each, filled in by the modules of fences/; its writer has the same name in web."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

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
    of_machine: bool = False
    """Whether it shows what the machine model says: `view` makes a page with it again when the model was changed."""
    filled_in: bool = False
    """Whether the reader answers it or writes into it; where nothing can be written it is left out."""
