"""What the type of a source says of the fields that an author writes: their names, choices and meaning."""

from __future__ import annotations

import ast
import inspect
import re
import textwrap
import types
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from itertools import pairwise
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import msgspec

FEW = 14
"""As many names as a fault lists; of more it lists the nearest."""
NEAREST = 5
NOT_WRITTEN = ("place",)
"""Fields that no author writes: the reader fills them."""

_STEP = re.compile(r"\.([^.\[\]]+)|\[(\d+)\]|(\[\.\.\.\])")
_AT = re.compile(r" - at `(?:key in )?\$?([^`]*)`\Z")
_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
_KINDS = {
    "str": "text", "int": "a whole number", "float": "a number", "bool": "true or false", "array": "a list",
    "object": "named fields", "null": "nothing",
}  # fmt: skip
_EXAMPLES = {
    "str": "write text, in quotes where it is a number or a yes or no",
    "int": "write a whole number such as 30",
    "float": "write a number such as 2.5, with a point and without its unit",
    "bool": "write true or false",
    "array": "write a list, [one, two], or each entry on a line that begins with a dash",
    "object": "write named fields, key: value lines",
}


@dataclass(frozen=True, slots=True)
class Complaint:
    """A wrong field in an author's words."""

    spot: str
    """Dotted path of the part at fault."""
    what: str
    what_to_do: str


def in_words(kind: Any, value: Any, message: str, given: Collection[str] = ()) -> Complaint:
    """Return what msgspec found wrong with a value of some type: where, what it is, and what would be right.

    `given` are fields that the reader fills.
    """
    at = _AT.search(message)
    spot, inner, found = _walk(kind, value, at.group(1) if at else "")
    what, within = _AT.sub("", message), f" in {spot}" if spot else ""
    if match := re.fullmatch(r"Object contains unknown field `(.*)`", what):
        name, fields = match.group(1), [one for one in fields_of(inner, found) if spot or one not in given]
        if comma := _parted_by_comma(name, found):
            return Complaint(_join(spot, name), *comma)
        return Complaint(_join(spot, name), f"there is no field {name}{within}", offer(name, fields))
    if match := re.fullmatch(r"Object missing required field `(.*)`", what):
        name = match.group(1)
        means = meanings(_struct(inner, found)).get(name, "")
        todo = f"add {name}: ..." + (f" ({means})" if means else "")
        return Complaint(spot, f"the field {name} is missing{within}", todo)
    choices = choices_of(inner, found)
    if re.match(r"Invalid (enum )?value", what) and choices:
        around, _, name = spot.rpartition(".")
        if name.isdigit():  # an entry of a list, which has no name of its own
            return Complaint(spot, f"{around} holds {_shown(found)}", offer(str(found), choices))
        return Complaint(spot, f"{name} is {_shown(found)}{within if around else ''}", offer(str(found), choices))
    if match := re.fullmatch(r"Expected `(.*)`, got `(.*)`", what):
        wanted, got = (_in_words(text) for text in match.groups())
        if "float" in match.group(1) and _COMMA.fullmatch(str(found)):
            return Complaint(spot, *_decimal_comma(spot.rpartition(".")[2], str(found)))
        todo = next((_EXAMPLES[name] for name in match.group(1).split(" | ") if name in _EXAMPLES), "correct it")
        return Complaint(spot, f"expected {wanted}, found {got}{within}", todo)
    return Complaint(spot, what[:1].lower() + what[1:] + within, "correct it")


def _decimal_comma(name: str, written: str) -> tuple[str, str]:
    right = written.replace(",", ".")
    return f"{name} is written {written}, with a decimal comma", f"write {name}: {right}"


def _parted_by_comma(name: str, found: Any) -> tuple[str, str] | None:
    """Return what is wrong where {step: 0,1} was read as a step of 0 and a field 1 without a value."""
    before = list(found)[list(found).index(name) - 1] if isinstance(found, dict) and name in list(found)[1:] else ""
    if not name.isdigit() or not before or found[name] is not None or type(found[before]) is not int:
        return None
    return _decimal_comma(before, f"{found[before]},{name}")


def nearest(name: str, known: Iterable[str], alike: float = 0.6) -> str:
    """Return the known name most like one that is not known, or nothing; `alike` is the least likeness, from 0 to 1."""
    return next(iter(get_close_matches(name, list(known), n=1, cutoff=alike)), "")


def offer(name: str, known: Iterable[Any]) -> str:
    """Return what to write instead of a name that is not known: the nearest, and all where they are few."""
    names = [str(one) for one in known]
    if not names:
        return "remove it"
    if len(names) == 1:
        return f"write {names[0]}"
    near = get_close_matches(name, names, n=NEAREST, cutoff=0.5)
    if len(names) <= FEW:
        every = f"{', '.join(names[:-1])} or {names[-1]}"
        return f"did you mean {near[0]}? it may be {every}" if near else f"write {every}"
    shown = near or get_close_matches(name, names, n=NEAREST, cutoff=0.0)
    return f"did you mean {shown[0]}? the nearest of {len(names)} are {', '.join(shown)}"


def fields_of(kind: Any, value: Any = None) -> list[str]:
    """Return the names of the fields that an author may write."""
    struct = _struct(kind, value)
    tag = struct.__struct_config__.tag_field if struct else None
    own = [name for name in struct.__struct_encode_fields__ if name not in NOT_WRITTEN] if struct else []
    return [tag, *own] if tag else own


def choices_of(kind: Any, value: Any = None) -> list[Any]:
    """Return what may stand in a place where only some words or numbers may, or which kinds of thing there are."""
    members = [member for each in _members(kind) for member in _members(each)]
    choices = [choice for member in members if get_origin(member) is Literal for choice in get_args(member)]
    if choices:
        return choices
    return [member.__struct_config__.tag for member in members if _is_struct(member) and member.__struct_config__.tag]


@cache
def meanings(struct: Any) -> Mapping[str, str]:
    """Return field -> what it means: the sentence that stands below it in its class, or in one that it comes from."""
    found: dict[str, str] = {}
    for each in reversed(getattr(struct, "__mro__", ())):
        if _is_struct(each) and each is not msgspec.Struct:
            found.update(_meanings_in(each))
    return found


def _meanings_in(struct: type) -> dict[str, str]:
    tree = ast.parse(textwrap.dedent(inspect.getsource(struct))).body[0]
    body = tree.body if isinstance(tree, ast.ClassDef) else []
    return {
        field.target.id: " ".join(text.value.value.split()).removesuffix(".")
        for field, text in pairwise(body)
        if isinstance(field, ast.AnnAssign)
        and isinstance(field.target, ast.Name)
        and isinstance(text, ast.Expr)
        and isinstance(text.value, ast.Constant)
        and isinstance(text.value.value, str)
    }


def _walk(kind: Any, value: Any, path: str) -> tuple[str, Any, Any]:
    """Return the dotted path that msgspec means, and the type and the value there; `[...]` is a key to be found."""
    spot = ""
    for name, number, any_key in _STEP.findall(path):
        key = _key_at_fault(kind, value) if any_key else name or number
        kind, value = _step(kind, value, key)
        spot = _join(spot, key)
    return spot, kind, value


def _step(kind: Any, value: Any, key: str) -> tuple[Any, Any]:
    inner = value[int(key)] if isinstance(value, list) else value.get(key) if isinstance(value, dict) else None
    if any(_is_struct(member) and key == member.__struct_config__.tag_field for member in _members(kind)):
        return kind, inner
    struct = _struct(kind, value)
    if struct is not None:
        names = dict(zip(struct.__struct_encode_fields__, struct.__struct_fields__, strict=True))
        return _hints(struct).get(names.get(key, key), Any), inner
    for member in _members(kind):
        origin, args = get_origin(member), get_args(member)
        if origin in (tuple, list):
            return (args[0] if args[1:] in ((), (...,)) else args[int(key)]), inner
        if origin is dict:
            return args[1], inner
    return Any, inner


def _key_at_fault(kind: Any, value: Any) -> str:
    """Return the first key of named values whose value is not of their type."""
    for key, inner in value.items() if isinstance(value, dict) else ():
        try:
            msgspec.convert(inner, _step(kind, value, key)[0], strict=True)
        except msgspec.ValidationError:
            return str(key)
    return ""


@cache
def _hints(struct: Any) -> dict[str, Any]:
    return get_type_hints(struct)


def _members(kind: Any) -> tuple[Any, ...]:
    return get_args(kind) if get_origin(kind) in (Union, types.UnionType) else (kind,)


def _is_struct(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, msgspec.Struct)


def _struct(kind: Any, value: Any) -> Any:
    """Return the struct that a value is read as: of several the one whose tag it bears, else the only one."""
    structs = [member for member in _members(kind) if _is_struct(member)]
    for struct in structs:
        config = struct.__struct_config__
        if config.tag_field and isinstance(value, dict) and value.get(config.tag_field) == config.tag:
            return struct
    return structs[0] if len(structs) == 1 else None


def _in_words(names: str) -> str:
    return " or ".join(_KINDS.get(name, name) for name in names.split(" | "))


def _shown(value: Any) -> str:
    return f"{value!r}"[:60]


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path and key else path or key
