"""A format: a name, the frozen shape of every version, and the function that turns each version into the next.

A shape that was once written is never edited: `tests/golden/shapes` holds its outline. What is stored tomorrow in
another way is a new version with its own shape and an upgrade from the one before; the live model may then change as it
likes. Where only a name in the code changes, `msgspec.field(name=...)` keeps the stored one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import msgspec

from warmyard.errors import InputError

Plain: TypeAlias = dict[str, Any]
Upgrade: TypeAlias = Callable[[Plain], Plain]


class NewerFormatError(InputError):
    """Something was written by a newer Warmyard than this one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One kind of thing that is stored or handed out."""

    name: str
    """Its id, "paper-key"; `warmyard --version` prints it with its version."""
    title: str
    """What it is in words, to stand before a verb: "the key of a paper"."""
    shapes: Mapping[int, Any]
    """Version -> the frozen struct, or union of structs, that reads it; the last version is the one that is written."""
    upgrades: Mapping[int, Upgrade]
    """Version -> what turns a plain value of it, every field written out, into one of the next version."""
    grown_since: int | None = None
    """The oldest version from which every later one has only grown: what is of it fits the newest shape as it is, but
    for its number. None where that is the newest alone."""
    version: int = field(init=False)
    """The version that is written."""

    def __post_init__(self) -> None:
        """Find the version once: it is asked for at every entry of a ledger."""
        object.__setattr__(self, "version", max(self.shapes))

    @property
    def label(self) -> str:
        """The name and version as a file names them: "warmyard-paper-key-1"."""
        return f"warmyard-{self.name}-{self.version}"


def version_in(format_: Format, label: object) -> int | None:
    """Return the version that a label such as "warmyard-paper-key-1" names, or None when it is no label of this format.

    A version that is newer than the tool is returned as it is; `bring_up` says so.
    """
    start, _, number = str(label).rpartition("-")
    fits = (
        start == f"warmyard-{format_.name}"
        and number.isascii()
        and number.isdigit()
        and len(number) < 5
        and not number.startswith("0")
    )
    return int(number) if fits and int(number) > 0 else None


def verify_readable(format_: Format, version: int) -> None:
    """Raise NewerFormatError when a version is newer than this tool."""
    if version > format_.version:
        raise NewerFormatError(
            f"{format_.title} is of format {version}, and this Warmyard reads formats up to {format_.version}; "
            "install a newer Warmyard"
        )


def read_labelled(format_: Format, value: object) -> Plain:
    """Return what a value holds that names its format in a field `format`, as the newest version has it.

    Raises as `bring_up` does; a value without a label of this format is a msgspec.ValidationError.
    """
    label = value.get("format") if isinstance(value, dict) else None
    version = version_in(format_, label)
    if version is None:
        raise msgspec.ValidationError(f"the format is not {format_.label!r}")
    return bring_up(format_, version, value)


def bring_up(format_: Format, version: int, value: object) -> Plain:
    """Return a plain value of some version as the newest version has it, every field written out that its shape does
    not leave out.

    Raises NewerFormatError when the version is newer than this tool, msgspec.ValidationError when the value has not
    the shape of its version.
    """
    verify_readable(format_, version)
    if version not in format_.shapes:
        raise msgspec.ValidationError(f"there is no format {version} of {format_.title}")
    found: Plain = msgspec.to_builtins(msgspec.convert(value, format_.shapes[version], strict=True))
    for older in range(version, format_.version):
        found = format_.upgrades[older](found)
    return found
