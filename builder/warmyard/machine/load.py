"""Machine sources into one Machine; every fault is gathered with its file and line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from warmyard.errors import Place, SourceError, SourceErrors, root_causes
from warmyard.machine.model import (
    Bar,
    CallOut,
    Check,
    DrawnCalls,
    Facts,
    Group,
    Invariant,
    Likelihoods,
    Machine,
    Mode,
    Precondition,
    Rung,
    SafetyQuestion,
    Scenario,
    SequenceState,
    SheetContext,
    Signal,
    Symptom,
)
from warmyard.machine.proof import check_facts, check_invariants, check_separable, check_symptoms
from warmyard.machine.reference import check_references
from warmyard.sources import Document, decode, decode_list, part, read_document, relative_name

LISTS: dict[str, Any] = {
    "states": SequenceState,
    "invariants": Invariant,
    "signals": Signal,
    "symptoms": Symptom,
    "preconditions": Precondition,
    "ladder": Rung,
    "bars": Bar,
    "checks": Check,
    "modes": Mode,
    "groups": Group,
    "call_outs": CallOut,
    "questions": SafetyQuestion,
    "sheet_contexts": SheetContext,
}
TEXTS = ("contexts", "words")
ONES: dict[str, Any] = {
    "scenario": Scenario,
    "likelihoods": Likelihoods,
    "facts": Facts,
    "drawn_calls": DrawnCalls,
}
_KEYS = (*LISTS, *TEXTS, *ONES)


class _Gathered:
    """What the files of one folder hold so far, by section."""

    def __init__(self) -> None:
        self.lists: dict[str, list[Any]] = {key: [] for key in LISTS}
        self.texts: dict[str, dict[str, str]] = {key: {} for key in TEXTS}
        self.word_places: dict[str, Place] = {}
        self.scenario = Scenario()
        self.likelihoods = Likelihoods()
        self.facts = Facts()
        self.drawn_calls: DrawnCalls | None = None
        self.faults: list[SourceError] = []

    def take(self, document: Document) -> None:
        if not isinstance(document.value, dict):
            what_to_do = f"start it with one of {_known()}"
            self.faults.append(
                SourceError(document.place(), "the file holds no named sections", what_to_do, loses=None)
            )
            return
        for key in document.value:
            if key in LISTS:
                self.lists[key].extend(decode_list(document, LISTS[key], self.faults, key))
            elif key in TEXTS:
                self.take_texts(document, key)
            elif key == "scenario":
                self.scenario = decode(document, Scenario, self.faults, key) or self.scenario
            elif key == "likelihoods":
                self.likelihoods = decode(document, Likelihoods, self.faults, key) or self.likelihoods
            elif key == "facts":
                self.facts = decode(document, Facts, self.faults, key) or self.facts
            elif key == "drawn_calls":
                self.drawn_calls = decode(document, DrawnCalls, self.faults, key)
            else:
                what, what_to_do = f"there is no section {key!r}", f"use one of {_known()}"
                lost = repr(document.value[key])
                self.faults.append(SourceError(document.place(key), what, what_to_do, loses=lost))

    def take_texts(self, document: Document, key: str) -> None:
        value = part(document, key)
        for name, text in value.items() if isinstance(value, dict) else ():
            if isinstance(text, str):
                self.texts[key][name] = text
                self.word_places |= {name: document.place(f"{key}.{name}")} if key == "words" else {}
            else:
                self.fault(document.place(f"{key}.{name}"), f"{name} is not text", "write its words")
        if not isinstance(value, dict):
            self.fault(document.place(key), f"{key} holds no names", "write name: words lines")

    def by_id(self, key: str) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for entry in self.lists[key]:
            if entry.id in found:
                first = found[entry.id].place
                what = f"{key} has {entry.id!r} twice (first in {first.file}:{first.line})"
                self.fault(entry.place, what, "give one of them another id")
            else:
                found[entry.id] = entry
        return found

    def fault(self, place: Place, what: str, what_to_do: str) -> None:
        self.faults.append(SourceError(place, what, what_to_do))


def load_machine(folder: Path, root: Path) -> tuple[Machine, list[SourceError]]:
    """Return what can be read of the machine of a folder of YAML files, and all faults."""
    gathered = _Gathered()
    files = sorted(folder.glob("*.yaml"))
    if not files:
        place = Place(relative_name(folder, root), 1)
        fault = SourceError(place, "there is no machine file here", "write course/machine/*.yaml", loses=None)
        return _assemble(gathered), [fault]
    for path in files:
        try:
            gathered.take(read_document(path, root))
        except SourceError as fault:
            gathered.faults.append(fault)
    machine = _assemble(gathered)
    if not gathered.faults and (lost := _lost_lists(machine, relative_name(folder, root))):
        return machine, lost
    return machine, gathered.faults + check_references(machine)


def _lost_lists(machine: Machine, folder: str) -> list[SourceError]:
    """Return a fault for each list without which a machine is none: its file is gone, and all that names it follows."""
    lists = {"states": machine.states, "symptoms": machine.symptoms, "preconditions": machine.preconditions}
    lists |= {"checks": machine.checks, "modes": machine.modes}
    return [
        SourceError(
            Place(folder, 1), f"no file here has a list {name}", f"put the file with `{name}:` back", loses=None
        )
        for name, found in lists.items()
        if not found
    ]


def read_machine(folder: Path, root: Path) -> Machine:
    """Return the machine of a folder, read and held together but not proved; raise SourceErrors with every fault."""
    machine, faults = load_machine(folder, root)
    if faults:
        raise SourceErrors(root_causes({"machine": faults}))
    return machine


def _assemble(gathered: _Gathered) -> Machine:
    return Machine(
        states=gathered.by_id("states"),
        invariants=tuple(gathered.lists["invariants"]),
        symptoms=gathered.by_id("symptoms"),
        preconditions=gathered.by_id("preconditions"),
        ladder=tuple(gathered.lists["ladder"]),
        checks=gathered.by_id("checks"),
        modes=gathered.by_id("modes"),
        contexts=gathered.texts["contexts"],
        likelihoods=gathered.likelihoods,
        facts=gathered.facts,
        sheet_contexts=gathered.by_id("sheet_contexts"),
        signals=gathered.by_id("signals"),
        scenario=gathered.scenario,
        bars=tuple(gathered.lists["bars"]),
        groups=tuple(gathered.lists["groups"]),
        call_outs=gathered.by_id("call_outs"),
        questions=tuple(gathered.lists["questions"]),
        words=gathered.texts["words"],
        word_places=gathered.word_places,
        drawn_calls=gathered.drawn_calls,
    )


def check_machine(machine: Machine) -> list[SourceError]:
    """Return every law of the machine that does not hold: invariants, symptoms, facts, separability.

    Of a sequence that breaks its own laws no start is simulated: every mode would show something else.
    """
    invariants = check_invariants(machine)
    return [
        *invariants,
        *([] if invariants else check_symptoms(machine)),
        *check_facts(machine),
        *check_separable(machine),
    ]


def _known() -> str:
    return ", ".join(_KEYS)
