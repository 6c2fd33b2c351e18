"""What was made of an item is kept with the names of all that it took from around it, and made again when one changed.

Nobody declares what an item rests on: it is watched while something is made of it, so that nothing can be forgotten.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, Generic, TypeVar

import msgspec

from warmyard.formula.register import Register
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.kept import Book, digest_of
from warmyard.words import spoken

Value = TypeVar("Value")
Taken = set[tuple[str, str]]
"""What was looked at, and under which name; EVERY name where all were gone through."""
EVERY = "*"
ABSENT = "absent"


class Kept(msgspec.Struct, array_like=True, frozen=True):
    """What was made, what it took, and the digest of that."""

    taken: list[tuple[str, str]]
    digest: str
    made: bytes


@dataclass(slots=True)
class Watcher:
    """The surroundings of one run, and the book of what was made in them or in earlier ones."""

    around: Surroundings
    book: Book = field(default_factory=Book)
    _digests: dict[tuple[str, str], str] = field(default_factory=dict)
    _items: dict[int, tuple[Item, str]] = field(default_factory=dict)
    """Items that were asked about, and their digests."""

    def made(self, what: str, item: Item, make: Callable[[Item, Surroundings], bytes | None]) -> bytes | None:
        """Return what is made of an item; `make` is called when nothing is kept that was made of the same.

        Where `make` gives None, nothing is kept.
        """
        kept = self.kept(what, item)
        if kept is not None:
            return kept
        taken: Taken = {("words", "")}
        made = make(item, self._watched(item, taken))
        if made is not None:
            names = sorted(taken)
            self.book.put(self._key(what, item), msgspec.msgpack.encode(Kept(names, self._digest(names), made)))
        return made

    def kept(self, what: str, item: Item) -> bytes | None:
        """Return what was made of an item before, where all that it took is still the same."""
        found = self.book.get(self._key(what, item))
        if found is None:
            return None
        kept = msgspec.msgpack.decode(found, type=Kept)
        return kept.made if kept.digest == self._digest(kept.taken) else None

    def digest(self, what: str) -> str:
        """Return the digest of what is taken as a whole: the machine, or the words that are spoken."""
        return self._digest_of_one(what, "")

    def _watched(self, item: Item, taken: Taken) -> Surroundings:
        """Return the surroundings as one item sees them; a machine is there for those alone that rest on it."""
        around = self.around
        on_machine = "machine" in kind_of(item).rests_on(item)
        if on_machine:
            taken.add(("machine", ""))

        def inline(text: str) -> str:
            if "[[" in text:
                taken.add(("inline", text))
            return around.inline(text)

        return replace(
            around,
            register=Register(_Watched("formula", around.register.formulas, taken)),
            machine=around.machine if on_machine else None,
            orders=_Watched("procedure", around.orders, taken),
            pictures=_Watched("picture", around.pictures, taken),
            sheet_values=_WatchedFleet("fleet", around.sheet_values, taken),
            rule_values=_Watched("rule", around.rule_values, taken),
            instruments=_Watched("instrument", around.instruments, taken),
            inline=inline,
            # What is made ready for one item may not serve another, whose watch would then see nothing taken.
            prepared=_ready_for(self.digest("machine")) if on_machine else {},
        )

    def _key(self, what: str, item: Item) -> str:
        known = self._items.get(id(item))
        if known is None:
            known = self._items[id(item)] = (item, digest_of(item))
        return f"{what} {item.id} {known[1]}"

    def _digest(self, names: list[tuple[str, str]]) -> str:
        return digest_of([self._digest_of_one(*name) for name in names])

    def _digest_of_one(self, what: str, name: str) -> str:
        known = self._digests.get((what, name))
        if known is None:
            known = self._digests[what, name] = digest_of(self._value(what, name))
        return known

    def _value(self, what: str, name: str) -> Any:
        if what == "inline":
            return self.around.inline(name)
        if what == "machine":
            return self.around.machine
        if what == "words":
            return spoken()
        machine = ""
        if what == "fleet":
            return list(self.around.sheet_values)
        if what == "field":
            machine, _, name = name.partition(" ")
        inside: Mapping[str, Any] = {
            "formula": self.around.register.formulas,
            "procedure": self.around.orders,
            "picture": self.around.pictures,
            "field": self.around.sheet_values.get(machine, {}),
            "rule": self.around.rule_values,
            "instrument": self.around.instruments,
        }.get(what, {})
        return dict(inside) if name == EVERY else inside.get(name, ABSENT)


@lru_cache(maxsize=1)
def _ready_for(machine: str) -> dict[str, Any]:
    """Return what was made ready for one machine model, by its digest: a proof and the pages after it ask the same."""
    del machine
    return {}


class _Watched(Mapping[str, Value], Generic[Value]):
    """A mapping that notes what is asked of it; `of` names the machine where it is a sheet."""

    def __init__(self, what: str, inside: Mapping[str, Value], taken: Taken, of: str = "") -> None:
        self.what, self.inside, self.taken, self.of = what, inside, taken, of

    def note(self, name: str) -> None:
        self.taken.add((self.what, f"{self.of} {name}" if self.of else name))

    def __getitem__(self, name: str) -> Value:
        self.note(name)
        return self.inside[name]

    def __iter__(self) -> Iterator[str]:
        self.note(EVERY)
        return iter(self.inside)

    def __len__(self) -> int:
        self.note(EVERY)
        return len(self.inside)


class _WatchedFleet(_Watched[Mapping[str, str]]):
    """The sheets, of which an item takes some fields: a change in another field changes nothing for it."""

    def __getitem__(self, name: str) -> Mapping[str, str]:
        sheet = _Watched("field", self.inside.get(name, {}), self.taken, of=name)
        if name not in self.inside:
            sheet.note(EVERY)
            raise KeyError(name)
        return sheet
