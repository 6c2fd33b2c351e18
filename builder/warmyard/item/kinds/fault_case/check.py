"""Whether a fault case is sound."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from warmyard.errors import SourceError
from warmyard.item.faults import fault_of, unknown
from warmyard.item.kinds.fault_case.draw import rules_out
from warmyard.item.kinds.fault_case.drawn_call import dangers
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.surroundings import Surroundings
from warmyard.machine.facts import context_contradicts, contradicts
from warmyard.machine.model import Machine


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
        *((f"seen.{name}", name, machine.checks, "check") for name in item.seen),
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
    for check in dangers(machine, item):
        what = f"{check} shows an emergency in this case, and an emergency is never a puzzle"
        yield fault_of(item, "mode", what, f"say under seen that {check} was normal, and in the question who read it")
    for path, text in (("ask", item.ask), ("as_said", item.as_said)):
        for word in emergency_words(machine, text):
            what = f"{word!r} is the word of an emergency, and that is never a puzzle"
            yield fault_of(item, path, what, "ask the emergency procedure as an ordering item, or write that none is")
    yield from _contradictions(item, machine)
    if item.symptom not in (*mode.strong, *mode.weak, *mode.seldom):
        what = f"{item.mode} cannot show {item.symptom}, so nothing leads to it"
        yield fault_of(item, "mode", what, "take another mode, or declare the symptom with the mode")


def emergency_words(machine: Machine, text: str) -> list[str]:
    """Return the words of an emergency in a text, unless "no" or "nobody" stands right before them."""
    never = machine.drawn_calls.never_said if machine.drawn_calls else ()
    return [word for word in never if re.search(rf"(?<!no )(?<!nobody )\b{re.escape(word)}", text, re.IGNORECASE)]


def _contradictions(item: FaultCase, machine: Machine) -> Iterator[SourceError]:
    """Yield what cannot be true together: contexts, and what a check shows in this case against what was reported."""
    symptom = machine.symptoms[item.symptom]
    for at, context in enumerate(item.contexts):
        if context_contradicts(machine, symptom, context):
            yield fault_of(item, f"contexts.{at}", f"{context} contradicts {symptom.id}", "take one of them out")
        if rules_out(machine, item.contexts, context):
            yield fault_of(item, f"contexts.{at}", f"{context} rules out another context", "keep one of them")
    for name, outcome in item.seen.items():
        check = machine.checks[name]
        told = {one for one, context in check.sets.items() if context in item.contexts}
        said = check.says.get(outcome, ())
        if (told and outcome not in told) or contradicts(machine.facts, symptom.says, said):
            what = f"{name} shows {outcome}, against what is reported"
            yield fault_of(item, f"seen.{name}", what, "take the outcome that goes with symptom and contexts")
