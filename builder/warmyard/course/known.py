"""What stands in the sources from memory, so that nobody takes it for read."""

from __future__ import annotations

from collections.abc import Iterator

from warmyard.course.workspace import Workspace


def from_memory(workspace: Workspace) -> list[str]:
    """Return every formula, rule, table line and fuel value that nobody has read in a source yet, by kind and id."""
    return sorted(set(_unread(workspace)))


def _unread(workspace: Workspace) -> Iterator[str]:
    for formula in workspace.register.formulas.values():
        if formula.known == "memory":
            yield f"formula {formula.id}"
    for rule in workspace.rules.values():
        if rule.known == "memory":
            yield f"rule {rule.id}"
    for table in workspace.tables.values():
        for row in table.rows:
            if (row.known or table.known) == "memory":
                yield f"table {table.id}: {row.key}"
    for fuel in workspace.fuels.values():
        for value in fuel.values:
            if value.known == "memory":
                yield f"fuel {fuel.id}: {value.symbol}"
