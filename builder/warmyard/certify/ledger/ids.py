"""The ids that entries hold, each of its own type: a person's is found by its type, whatever a field is called."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Annotated, Any, TypeAlias

import msgspec
from msgspec import Meta
from msgspec.inspect import type_info

_ID = r"\A[a-z0-9-]{1,40}\Z"
_PERSON = {"names": "a person"}
PersonId: TypeAlias = Annotated[str, Meta(pattern=_ID, extra=_PERSON)]
PaperId: TypeAlias = Annotated[str, Meta(pattern=_ID)]
FormId: TypeAlias = Annotated[str, Meta(pattern=_ID)]
WaiverId: TypeAlias = Annotated[str, Meta(pattern=_ID)]
CertificateId: TypeAlias = Annotated[str, Meta(pattern=_ID)]
NoticeId: TypeAlias = Annotated[str, Meta(pattern=_ID)]


@cache
def person_fields(kind: type[msgspec.Struct]) -> tuple[tuple[str, ...], ...]:
    """Return the way to every field of a struct that holds a PersonId, alone, in a list or in a struct inside."""
    return tuple(_ways(type_info(kind)))


def _ways(info: Any) -> Iterator[tuple[str, ...]]:
    if isinstance(info, msgspec.inspect.Metadata):
        if info.extra == _PERSON:
            yield ()
        yield from _ways(info.type)
    elif isinstance(info, msgspec.inspect.StructType):
        for field in info.fields:
            yield from ((field.name, *rest) for rest in _ways(field.type))
    elif isinstance(info, msgspec.inspect.VarTupleType | msgspec.inspect.ListType):
        yield from _ways(info.item_type)
    elif isinstance(info, msgspec.inspect.UnionType):
        for each in info.types:
            yield from _ways(each)


def people_named(body: msgspec.Struct) -> Iterator[str]:
    """Yield every person whom a body names, in the order of its fields; a field that is left empty names nobody."""
    for way in person_fields(type(body)):
        # Nearly every field is a plain one; entries by the thousand are asked.
        value = getattr(body, way[0])
        if type(value) is str:
            if value:
                yield value
        elif value:
            yield from _values(value, way[1:])


def _values(value: Any, way: tuple[str, ...]) -> Iterator[str]:
    if isinstance(value, tuple | list):
        for each in value:
            yield from _values(each, way)
    elif way:
        yield from _values(getattr(value, way[0]), way[1:])
    elif value:
        yield value
