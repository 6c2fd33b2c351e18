"""The outline of a struct: names as stored, types and limits, without titles, docstrings and Python's own names."""

from __future__ import annotations

from typing import Any

import msgspec

IGNORED = {"title", "description", "$ref"}


def outline(kind: Any, without: frozenset[str] = frozenset()) -> Any:
    """Return the JSON Schema of a type with every reference put in and every name of a class left out.

    `without` names stored fields to leave out wherever they stand, such as the place that a source object carries.
    """
    (schema,), parts = msgspec.json.schema_components([kind], ref_template="{name}")
    return _plain(schema, parts, without, ())


def _plain(value: Any, parts: dict[str, Any], without: frozenset[str], above: tuple[str, ...]) -> Any:
    if isinstance(value, list):
        return [_plain(each, parts, without, above) for each in value]
    if not isinstance(value, dict):
        return value
    name = value.get("$ref")
    if name in above:
        return {"again": len(above) - above.index(str(name))}
    inner = {**parts[name], **value} if name else value
    deeper = (*above, str(name)) if name else above
    found = {}
    for key, each in inner.items():
        if key in IGNORED or (key == "discriminator"):
            continue
        if key == "properties":
            each = {field: what for field, what in each.items() if field not in without}
        if key == "required":
            each = sorted(field for field in each if field not in without)
        found[key] = _plain(each, parts, without, deeper)
    return found
