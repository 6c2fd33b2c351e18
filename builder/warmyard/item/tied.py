"""Symbols that a condition ties are drawn as one, from the rows of values that meet it.

The draws are those that come of drawing each symbol by itself until the condition holds: every row about as often as
before, and no other. A density that must fit the outside temperature is hit at once instead of in one of four draws.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from warmyard.errors import InputError
from warmyard.item.draw import Drawn, DrawPlan, Match

MOST_ROWS = 2000
"""Rows that are tried for a group: more would take longer than the draws that they save."""
MACHINE = ""
"""The axis of everything that comes from one machine's sheet."""


@dataclass(frozen=True, slots=True)
class Tie:
    """A condition of drawn symbols: those it names, and whether their values meet it."""

    names: frozenset[str]
    holds: Callable[[Mapping[str, float]], bool]


@dataclass(frozen=True, slots=True)
class _Tied:
    """What is drawn as one: its axes, and the rows that meet its ties."""

    axes: frozenset[str]
    rows: tuple[Match, ...]


def tie(plan: DrawPlan, ties: Iterable[Tie]) -> tuple[DrawPlan, list[Tie]]:
    """Return the plan with what is tied drawn together, and the ties that still must be looked at in every draw."""
    axes = _axes(plan.symbols)
    fixed = {drawn.symbol: drawn.values[0] for drawn in plan.symbols if not drawn.of_machine and len(drawn.values) == 1}
    axis_of = {drawn.symbol: MACHINE if drawn.of_machine else drawn.symbol for drawn in plan.symbols}
    wanted = [(one, frozenset(axis_of[name] for name in one.names if name not in fixed)) for one in ties]
    wanted.sort(key=lambda pair: math.prod(len(axes[axis]) for axis in pair[1]))
    groups: list[_Tied] = []
    left: list[Tie] = []
    for one, needed in wanted:
        met = [group for group in groups if group.axes & needed]
        new = needed.difference(*(group.axes for group in met))
        parts = [*(group.rows for group in met), *(axes[axis] for axis in sorted(new))]
        rows = _fitting(parts, one, fixed) if needed and math.prod(map(len, parts)) <= MOST_ROWS else ()
        if not rows:
            left.append(one)
            continue
        apart = [group for group in groups if group not in met]
        groups = [*apart, _Tied(new.union(*(group.axes for group in met)), rows)]
    chosen = tuple(group.rows for group in groups if len(group.rows) < math.prod(len(axes[a]) for a in group.axes))
    return replace(plan, tied=chosen), left


def _axes(symbols: Collection[Drawn]) -> dict[str, tuple[Match, ...]]:
    """Return for each thing that is drawn by itself the rows of its values."""
    axes = {
        drawn.symbol: tuple(Match({drawn.symbol: value}) for value in drawn.values)
        for drawn in symbols
        if not drawn.of_machine
    }
    sheets = [drawn for drawn in symbols if drawn.of_machine]
    if sheets:
        count = len(sheets[0].values)
        axes[MACHINE] = tuple(Match({one.symbol: one.values[at] for one in sheets}, at) for at in range(count))
    return axes


def _fitting(parts: Sequence[Sequence[Match]], one: Tie, fixed: Mapping[str, float]) -> tuple[Match, ...]:
    """Return the rows joined of the parts that meet a tie; what has no answer does not."""
    found = []
    for rows in product(*parts):
        values = {name: value for row in rows for name, value in row.values.items()}
        try:
            if one.holds({**fixed, **values}):
                found.append(Match(values, max(row.machine for row in rows)))
        except InputError:
            continue
    return tuple(found)
