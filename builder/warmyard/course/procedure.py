"""Procedures as partial orders: what must come before what, how many orders are valid, and what fails at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from warmyard.course.catalogue import by_id, one_per_file
from warmyard.course.model import Before, Procedure
from warmyard.errors import SourceError
from warmyard.fields import nearest, offer

LARGEST_STEPS = 24
"""More steps than this nobody keeps in mind, and counting their orders takes long."""


def load_procedures(folder: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Procedure]:
    """Return the procedures by id; whether their orders hold together is for `check_procedures` to say."""
    procedures: Mapping[str, Procedure] = by_id(one_per_file(folder, root, Procedure, faults), "procedure", faults)
    return procedures


def check_procedures(procedures: Iterable[Procedure]) -> list[SourceError]:
    """Return every fault of every procedure."""
    return [fault for procedure in procedures for fault in check_procedure(procedure)]


def check_procedure(procedure: Procedure) -> list[SourceError]:
    """Return every fault of one procedure: its names, its order, its immediate fails, its reference, its count."""
    faults = _check_names(procedure)
    if faults:
        return faults
    pairs = [(before.first, before.then) for before in procedure.before]
    ids = [step.id for step in procedure.steps]
    circle = find_circle(ids, pairs)
    if circle:
        what = f"the order runs in a circle: {' before '.join(circle)}"
        return [SourceError(procedure.place.within("before"), what, "take one of these constraints out")]
    turned = _check_turned(procedure)
    order = turned or _check_fails(procedure, pairs) + _check_reference(procedure, pairs)
    return order or _check_count(procedure, ids, pairs)


def _check_turned(procedure: Procedure) -> list[SourceError]:
    """Return a fault for each constraint that asks for the very order which fails at once."""
    wrong = {(fail.wrong_first, fail.must_precede): at for at, fail in enumerate(procedure.immediate_fail)}
    return [
        SourceError(
            procedure.place.within(f"before.{at}"),
            f"{pair.first} before {pair.then} is what fails at once in line {_line_of_fail(procedure, wrong, pair)}",
            "turn one of the two round, and count valid_orders again",
        )
        for at, pair in enumerate(procedure.before)
        if (pair.first, pair.then) in wrong
    ]


def _line_of_fail(procedure: Procedure, wrong: Mapping[tuple[str, str], int], pair: Before) -> int:
    return procedure.place.within(f"immediate_fail.{wrong[pair.first, pair.then]}").line


def _check_names(procedure: Procedure) -> list[SourceError]:
    ids = [step.id for step in procedure.steps]
    faults = []

    def fault(part: str, what: str, what_to_do: str) -> None:
        faults.append(SourceError(procedure.place.within(part), what, what_to_do))

    if len(ids) > LARGEST_STEPS:
        fault("steps", f"{len(ids)} steps", f"split the procedure, {LARGEST_STEPS} steps at most")
    for at, step in enumerate(ids):
        if step in ids[:at]:
            fault(f"steps.{at}", f"the step {step} stands twice", "give each step its own id")
    named = [
        *((f"before.{at}", name) for at, pair in enumerate(procedure.before) for name in (pair.first, pair.then)),
        *(
            (f"immediate_fail.{at}", name)
            for at, fail in enumerate(procedure.immediate_fail)
            for name in (fail.wrong_first, fail.must_precede)
        ),
        *((f"reference.{at}", name) for at, name in enumerate(procedure.reference)),
    ]
    spots: dict[str, list[str]] = {}
    for part, name in named:
        if name not in ids:
            spots.setdefault(name, []).append(part)
    unnamed = [name for name in ids if name not in {name for _, name in named}]
    for name, parts in spots.items():
        if unnamed and len(parts) > 1:  # all others agree on a name, so the step was renamed
            renamed = nearest(name, unnamed, 0.0)
            unnamed.remove(renamed)
            what = f"nothing names the step {renamed}, and {len(parts)} lines name a step {name}"
            fault(f"steps.{ids.index(renamed)}", what, f"write {name} here, or {renamed} in all of them")
        else:
            fault(parts[0], f"there is no step {name}", offer(name, ids) + _also(procedure, parts))
    return faults


def _also(procedure: Procedure, parts: Sequence[str]) -> str:
    """Return in which other lines the same stands."""
    others = list(dict.fromkeys(procedure.place.within(part).line for part in parts))[1:]
    return f" (the same in line {', '.join(map(str, others))})" if others else ""


def _check_fails(procedure: Procedure, pairs: Sequence[tuple[str, str]]) -> list[SourceError]:
    followers = closure([step.id for step in procedure.steps], pairs)
    return [
        SourceError(
            procedure.place.within(f"immediate_fail.{at}"),
            f"{fail.must_precede} before {fail.wrong_first} fails at once when reversed, but no constraint says so",
            f"add first: {fail.must_precede}, then: {fail.wrong_first} to before",
        )
        for at, fail in enumerate(procedure.immediate_fail)
        if fail.wrong_first not in followers[fail.must_precede]
    ]


def _check_reference(procedure: Procedure, pairs: Sequence[tuple[str, str]]) -> list[SourceError]:
    place = procedure.place.within("reference")
    if sorted(procedure.reference) != sorted(step.id for step in procedure.steps):
        return [SourceError(place, "the reference order does not hold every step once", "list each step exactly once")]
    spot = {step: at for at, step in enumerate(procedure.reference)}
    return [
        SourceError(place, f"the reference order puts {then} before {first}", "change it, or turn the constraint")
        for first, then in pairs
        if spot[first] > spot[then]
    ]


def _check_count(procedure: Procedure, ids: Sequence[str], pairs: Sequence[tuple[str, str]]) -> list[SourceError]:
    if procedure.valid_orders is None:
        return []
    count = count_orders(ids, pairs)
    if count == procedure.valid_orders:
        return []
    what = f"valid_orders says {procedure.valid_orders}, the constraints allow {count}"
    return [SourceError(procedure.place.within("valid_orders"), what, f"write {count}, or look for a wrong constraint")]


def find_circle(ids: Sequence[str], pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Return steps that come before one another in a circle (first one repeated at the end), or an empty list."""
    left = set(ids)
    before = {step: {first for first, then in pairs if then == step} for step in ids}
    while free := {step for step in left if not before[step] & left}:
        left -= free
    if not left:
        return []
    path = [min(left)]
    while path[-1] not in path[:-1]:
        path.append(min(before[path[-1]] & left))
    return path[path.index(path[-1]) :][::-1]


def closure(ids: Sequence[str], pairs: Sequence[tuple[str, str]]) -> dict[str, set[str]]:
    """Return for each step all steps that must come after it; the pairs hold no circle."""
    direct = {step: {then for first, then in pairs if first == step} for step in ids}
    after: dict[str, set[str]] = {}

    def walk(step: str) -> set[str]:
        if step not in after:
            after[step] = direct[step].union(*(walk(then) for then in direct[step]))
        return after[step]

    for step in ids:
        walk(step)
    return after


def count_orders(ids: Sequence[str], pairs: Sequence[tuple[str, str]]) -> int:
    """Return the number of orders of the steps that keep every pair."""
    number = {step: at for at, step in enumerate(ids)}
    needed = [0] * len(ids)
    for first, then in pairs:
        needed[number[then]] |= 1 << number[first]
    ways = {0: 1}
    for _ in ids:
        following: dict[int, int] = {}
        for done, count in ways.items():
            for at, need in enumerate(needed):
                if not done >> at & 1 and need & ~done == 0:
                    following[done | 1 << at] = following.get(done | 1 << at, 0) + count
        ways = following
    return sum(ways.values())
