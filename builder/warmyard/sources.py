"""Source files into frozen typed objects that remember their file and line; every fault is gathered, none hidden."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, TypeAlias, get_args

import msgspec
import yaml

from warmyard.errors import Place, SourceError

LARGEST_SOURCE_BYTES = 2_000_000
DEEPEST_NESTING = 40
BYTE_ORDER_MARK = "\ufeff"
"""Some editors put one at the head of a file, where it is right; copied into a text it only does harm."""

# The C parser reads the same YAML ten times faster; its wheel is there on every usual machine.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WHOLE = re.compile(r"[-+]?(0|[1-9][0-9]*)\Z")
_DECIMAL = re.compile(r"[-+]?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?\Z")
_WORDS: dict[str, Any] = {"true": True, "false": False, "null": None}
# YAML 1.1 readers take these plain words for something other than text; a fitter means the text.
_TREACHEROUS = re.compile(
    r"(?i:yes|no|on|off|true|false|null|~)\Z|[-+]?[0-9][0-9_]*_[0-9_.]*\Z|[-+]?0[0-7]+\Z|"
    r"[-+]?0[xXbBoO][0-9a-fA-F_]+\Z|[-+]?[0-9]+(:[0-5]?[0-9])+(\.[0-9]*)?\Z|"
    r"[-+]?\.(?i:inf|nan)\Z|[-+]?\.[0-9]+\Z|[-+]?[0-9]+\.\Z"
)


def _entry_of(path: str) -> str:
    """Return the first two steps of a path: a list and the number of an entry, mostly."""
    return ".".join(path.split(".", 2)[:2])


@dataclass(frozen=True)
class Document:
    """One source file as plain values, with the line of every part by its dotted path ("" is the whole)."""

    file: str
    value: Any
    lines: dict[str, int]
    made: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)
    """Structs that were decoded of it before: who remembers documents gets the very same objects again."""

    def place(self, path: str = "") -> Place:
        """Return the place of a part, its own parts relative to it."""
        prefix = f"{path}." if path else ""
        around = self._entries.get(_entry_of(path), ()) if path.count(".") else self.lines
        inner = {key[len(prefix) :]: self.lines[key] for key in around if key.startswith(prefix) and key != path}
        return Place(self.file, self.lines.get(path, 1), inner)

    @cached_property
    def _entries(self) -> Mapping[str, list[str]]:
        """The paths of a document by the entry of a list in which they lie: a file of hundreds is asked for each."""
        found: dict[str, list[str]] = {}
        for path in self.lines:
            if path.count("."):
                found.setdefault(_entry_of(path), []).append(path)
        return found


def read_text(path: Path, root: Path) -> str:
    """Return a source file as text; raise SourceError when it is missing, too large or not UTF-8."""
    place = Place(relative_name(path, root), 1)
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise SourceError(
            place, "the file is missing", "write it, or put it back under this name", loses=None
        ) from None
    except OSError as problem:
        what = f"the file cannot be read ({problem.strerror})"
        raise SourceError(place, what, "check its name and rights", loses=None) from None
    if len(raw) > LARGEST_SOURCE_BYTES:
        what_to_do = f"split it below {LARGEST_SOURCE_BYTES} bytes"
        raise SourceError(place, f"the file has {len(raw)} bytes", what_to_do, loses=None)
    try:
        text = raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        what, what_to_do = "the file is not UTF-8 text", "save it again as UTF-8"
        raise SourceError(Place(place.file, line), what, what_to_do, loses=None) from None
    if BYTE_ORDER_MARK in text:
        line = text[: text.index(BYTE_ORDER_MARK)].count("\n") + 1
        what, what_to_do = "an invisible sign (a byte order mark) stands in this line", "type the line anew"
        raise SourceError(Place(place.file, line), what, what_to_do, loses=None)
    return text


def relative_name(path: Path, root: Path) -> str:
    """Return the path as faults print it: relative to the workspace, with forward slashes."""
    try:
        return path.resolve().relative_to(root.resolve()).as_posix()
    except ValueError:
        return path.as_posix()


def read_document(path: Path, root: Path) -> Document:
    """Return one YAML file as a Document; raise SourceError for the first thing that is not plain YAML."""
    return parse_document(read_text(path, root), relative_name(path, root))


Memory: TypeAlias = dict[tuple[str, str, int], Document]
"""Documents by their text, file and first line."""
_MEMORY: ContextVar[tuple[Memory, Memory] | None] = ContextVar("memory", default=None)


@contextmanager
def remembering(memory: Memory) -> Iterator[None]:
    """Read no text twice that was read in this memory before: for somebody who reads the same sources at each save.

    What was not read again is forgotten at the end.
    """
    read_now: Memory = {}
    before = _MEMORY.set((memory, read_now))
    try:
        yield
    finally:
        _MEMORY.reset(before)
        memory.clear()
        memory.update(read_now)


def parse_document(text: str, file: str, first_line: int = 1) -> Document:
    """Return YAML text as a Document whose lines count from first_line; raise SourceError when it is not plain YAML."""
    memory = _MEMORY.get()
    if memory is None:
        return _parse(text, file, first_line)
    known, read_now = memory
    key = (text, file, first_line)
    read_now[key] = read_now.get(key) or known.get(key) or _parse(text, file, first_line)
    return read_now[key]


def _parse(text: str, file: str, first_line: int) -> Document:
    try:
        node = yaml.compose(text, Loader=_LOADER)
    except yaml.MarkedYAMLError as problem:
        mark = problem.problem_mark or problem.context_mark
        line = min(mark.line if mark else 0, text.rstrip("\n").count("\n")) + first_line
        what, what_to_do = f"not YAML ({problem.problem})", "check indent, colons, quotes here and in the line before"
        raise SourceError(Place(file, line), what, what_to_do, loses=None) from None
    except (yaml.YAMLError, RecursionError) as problem:
        what = str(problem).splitlines()[0] if str(problem) else "nested too deep"
        what_to_do = "save it as plain UTF-8 text"
        raise SourceError(Place(file, first_line), f"not YAML ({what})", what_to_do, loses=None) from None
    lines: dict[str, int] = {}
    builder = _Builder(file, first_line, lines, text)
    return Document(file, None if node is None else builder.build(node, "", 0), lines)


class _Builder:
    """Turns composed YAML nodes into plain values and notes every line."""

    def __init__(self, file: str, first_line: int, lines: dict[str, int], text: str) -> None:
        self.file, self.first_line, self.lines, self.text = file, first_line, lines, text
        self.seen: set[int] = set()

    def fault(self, node: yaml.Node, what: str, what_to_do: str) -> SourceError:
        place = Place(self.file, node.start_mark.line + self.first_line)
        return SourceError(place, what, what_to_do, loses=self.text)

    def build(self, node: yaml.Node, path: str, depth: int) -> Any:
        if id(node) in self.seen:
            raise self.fault(node, "an anchor is used twice", "write the value out each time")
        self.seen.add(id(node))
        if depth > DEEPEST_NESTING:
            raise self.fault(node, "nested too deep", f"keep below {DEEPEST_NESTING} levels")
        if node.tag not in _PLAIN_TAGS:
            raise self.fault(node, f"the tag {node.tag} is not allowed", "write a plain value")
        self.lines[path] = node.start_mark.line + self.first_line
        if isinstance(node, yaml.ScalarNode):
            return self.scalar(node)
        if isinstance(node, yaml.SequenceNode):
            return [self.build(child, join(path, str(at)), depth + 1) for at, child in enumerate(node.value)]
        return self.mapping(node, path, depth)

    def mapping(self, node: yaml.Node, path: str, depth: int) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key_node, child in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                raise self.fault(key_node, "a key is not a word", "use plain words as keys")
            key = key_node.value
            if key in result:
                raise self.fault(key_node, f"the key {key!r} stands twice", "keep one of them")
            result[key] = self.build(child, join(path, key), depth + 1)
            self.lines[join(path, key)] = key_node.start_mark.line + self.first_line
        return result

    def scalar(self, node: yaml.ScalarNode) -> Any:
        text: str = node.value
        if node.style:
            return text
        if text in _WORDS:
            return _WORDS[text]
        if text == "":
            return None
        if _TREACHEROUS.match(text):
            what_to_do = f'write "{text}" in quotes, or true, false or a plain number'
            raise self.fault(node, f"{text} can be read as something other than text", what_to_do)
        if _WHOLE.match(text):
            return int(text) if len(text.lstrip("+-")) < 19 else self.too_large(node)
        if _DECIMAL.match(text):
            number = float(text)
            return number if math.isfinite(number) else self.too_large(node)
        return text

    def too_large(self, node: yaml.ScalarNode) -> Any:
        raise self.fault(node, f"{node.value[:20]} is too large a number", "write a number that a person would use")


_PLAIN_NAMES = ("str", "int", "float", "bool", "null", "timestamp", "merge", "value", "seq", "map")
_PLAIN_TAGS = {f"tag:yaml.org,2002:{name}" for name in _PLAIN_NAMES}


def join(path: str, key: str) -> str:
    """Return the dotted path of a part of a part."""
    return f"{path}.{key}" if path else key


Reader: TypeAlias = Callable[[dict[str, Any]], dict[str, Any]]
"""Turns what an author wrote into what today's struct reads; raises msgspec.ValidationError for a wrong field."""


def as_written(value: dict[str, Any]) -> dict[str, Any]:
    """Return what an author wrote as it is: the reader of sources that name no format."""
    return value


def decode(
    document: Document,
    kind: Any,
    faults: list[SourceError],
    path: str = "",
    read: Reader = as_written,
    **given: Any,
) -> Any:
    """Return one part of a document as a struct (or one of a union of structs) with its place, or None and a fault.

    `given` supplies fields that the file does not hold (an id from the file's name). `read` brings an older format up.
    A struct that has a field `place` receives it.
    """
    asked = (path, kind, read, tuple(sorted(given.items())))
    if asked not in document.made:
        found = _decoded(document, kind, faults, path, read, given)
        if found is None:
            return None
        document.made[asked] = found
    return document.made[asked]


def _decoded(
    document: Document, kind: Any, faults: list[SourceError], path: str, read: Reader, given: dict[str, Any]
) -> Any:
    value = part(document, path)
    if not isinstance(value, dict):
        what = f"expected named fields, found {name_of(value)}"
        faults.append(SourceError(document.place(path), what, "write key: value lines", loses=None))
        return None
    if "place" in value:
        place, lost = document.place(join(path, "place")), lost_with(value, kind)
        faults.append(SourceError(place, "place is not a field for authors", "remove it", loses=lost))
        return None
    try:
        made = msgspec.convert(read({**given, **value}), kind, strict=True)
    except msgspec.ValidationError as problem:
        faults.append(_as_source_error(document, path, kind, problem, given))
        return None
    return msgspec.structs.replace(made, place=document.place(path)) if hasattr(made, "place") else made


def lost_with(value: dict[str, Any], kind: Any) -> str | None:
    """Return the text that is lost when an entry cannot be read, or None when its id is lost too."""
    one = next(iter(get_args(kind)), kind)
    has_id = "id" in getattr(one, "__struct_fields__", ())
    return None if has_id and not isinstance(value.get("id"), str) else repr(value)


def _as_source_error(
    document: Document, path: str, kind: Any, problem: msgspec.ValidationError, given: dict[str, Any]
) -> SourceError:
    from warmyard.fields import in_words

    value = part(document, path)
    found = in_words(kind, {**given, **value}, str(problem), given)
    place = document.place(path).within(found.spot)
    return SourceError(place, found.what, found.what_to_do, loses=lost_with(value, kind))


def decode_list(
    document: Document,
    kind: Any,
    faults: list[SourceError],
    path: str = "",
    read: Reader = as_written,
    **given: Any,
) -> Iterator[Any]:
    """Yield every entry of a list part that decodes; each one that does not adds its own fault."""
    value = part(document, path)
    if not isinstance(value, list):
        what = f"expected a list, found {name_of(value)}"
        faults.append(SourceError(document.place(path), what, "start each entry with a dash", loses=None))
        return
    for at in range(len(value)):
        made = decode(document, kind, faults, join(path, str(at)), read, **given)
        if made is not None:
            yield made


def part(document: Document, path: str) -> Any:
    """Return the value at a dotted path, or None when there is none."""
    value = document.value
    for key in path.split(".") if path else ():
        if isinstance(value, dict):
            value = value.get(key)
        elif isinstance(value, list) and key.isdigit() and int(key) < len(value):
            value = value[int(key)]
        else:
            return None
    return value


def name_of(value: object) -> str:
    """Return what a value is in an author's words."""
    names = {dict: "named fields", list: "a list", str: "text", int: "a number", float: "a number", bool: "a yes or no"}
    return "nothing" if value is None else names.get(type(value), "something else")
