"""Whether a fault case is sound."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from warmyard.errors import SourceError
from warmyard.item.faults import fault_of, unknown
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.surroundings import Surroundings


def check_case(item: FaultCase, around: Surroundings) -> Iterator[SourceError]:
    """Yield what the machine does not have, and a symptom that is an emergency."""
    machine = around.machine
    if machine is None:
        yield fault_of(item, "mode", "there is no machine model", "write course/machine/")
        return
    lookups: list[tuple[str, str, Mapping[str, Any], str]] = [
        ("symptom", item.symptom, machine.symptoms, "symptom"),
        ("mode", item.mode, machine.modes, "failure mode"),
        ("starts_at", item.starts_at, machine.preconditions, "precondition"),
        *((f"contexts.{at}", name, machine.contexts, "context") for at, name in enumerate(item.contexts)),
        *((f"forbidden.{name}", name, machine.checks, "check") for name in item.forbidden),
    ]
    if item.behind is not None:
        lookups.append(("behind", item.behind, machine.modes, "failure mode"))
    faults = [fault for path, name, known, what in lookups for fault in unknown(item, path, name, known, what)]
    yield from faults
    if faults:
        return
    if machine.symptoms[item.symptom].emergency:
        what = f"{item.symptom} is an emergency, never a puzzle"
        yield fault_of(item, "symptom", what, "ask the emergency procedure as an ordering item")
    mode = machine.modes[item.mode]
    if item.symptom not in (*mode.strong, *mode.weak, *mode.seldom):
        what = f"{item.mode} cannot show {item.symptom}, so nothing leads to it"
        yield fault_of(item, "mode", what, "take another mode, or declare the symptom with the mode")
