"""Machine sources: all faults in one run, each with its file and line."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from warmyard.errors import SourceError
from warmyard.machine.load import check_machine, load_machine
from warmyard.machine.model import Machine

COPY = "pump.yaml"
COURSE_MACHINE = Path(__file__).resolve().parents[2] / "course" / "machine"


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Give a folder with a copy of the toy machine."""
    shutil.copy(Path(__file__).parent / "toy" / COPY, tmp_path / COPY)
    return tmp_path


def change(yard: Path, old: str, new: str) -> int:
    """Replace a text that stands once, and return its line."""
    text = (yard / COPY).read_text("utf-8")
    assert text.count(old) == 1, text.count(old)
    (yard / COPY).write_text(text.replace(old, new), "utf-8")
    return text[: text.index(old)].count("\n") + 1


def faults_of(yard: Path) -> list[SourceError]:
    """Return every fault of loading and proving."""
    machine, faults = load_machine(yard, yard)
    return faults or check_machine(machine)


def test_the_course_machine_has_no_fault(machine: Machine) -> None:
    """The machine of the course holds all its laws."""
    assert [str(fault) for fault in check_machine(machine)] == []


def test_the_course_machine_is_as_large_as_the_brief(machine: Machine) -> None:
    """Ten states, 18 symptoms in the contract's order, twelve preconditions, 84 modes, at least 47 checks, 24 cases."""
    assert list(machine.states) == [
        "waiting", "demand", "purge", "ignition", "fuel-opens", "proving", "run", "overheat", "cool-down", "lockout",
    ]  # fmt: skip
    assert list(machine.symptoms) == [
        "dead", "no-start-on-demand", "no-spark-lockout", "spark-no-flame", "flame-lost", "late-light-up", "smoky",
        "overheat-trip", "weak-heat", "run-on-wrong", "trips-protection", "erratic-cycling", "fuel-drip",
        "fumes-inside", "new-noise", "will-not-stop", "lockout-in-purge", "tingle-from-casing",
    ]  # fmt: skip
    assert len(machine.preconditions) == 12
    assert len(machine.modes) == 84
    assert len(machine.checks) >= 41
    assert len(machine.call_outs) == 24


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("needs: plug-out", "needs: plug-gone", "there is no precondition 'plug-gone'"),
        ("shows: {look-into-the-butt: empty,", "shows: {look-into-the-butt: emty,", "there is no outcome 'emty'"),
        ("weak: [no-water]", "weak: [no-watr]", "there is no symptom 'no-watr'"),
        ("contexts: {storm: 3}", "contexts: {storn: 3}", "there is no context 'storn'"),
        ("weight: 3", "weight: 0", "the weight is not above 0"),
        ("weight: 2", "weight: much", "expected a number, found text"),
        ("when: [pump and mains]", "when: [pump or mains]", "is not a chain like"),
        ("trace: [never flow and reached dry-stop]", "trace: [seldom flow]", "is not a chain like"),
        ("to: plug-out, minutes: 1", "to: plug-out, minutes: -1", "a rung gives time back"),
        ("contexts: {storm: A storm last night}", "weathers: {storm: A storm}", "there is no section 'weathers'"),
    ],
)
def test_a_fault_names_its_line(yard: Path, old: str, new: str, says: str) -> None:
    """A wrong name, number or chain is one sentence with the line where it stands."""
    line = change(yard, old, new)
    found = [fault for fault in faults_of(yard) if says in fault.what]
    assert found, [str(fault) for fault in faults_of(yard)]
    assert abs(found[0].place.line - line) <= 1
    assert str(found[0]).startswith(f"{COPY}:")


def test_all_faults_come_in_one_run(yard: Path) -> None:
    """Three wrong names in one file are three faults."""
    change(yard, "needs: plug-out", "needs: plug-gone")
    change(yard, "weak: [no-water]", "weak: [no-watr]")
    change(yard, "expects: [flow]", "expects: [flown]")
    assert len(faults_of(yard)) == 3


def test_an_id_twice_is_a_fault(yard: Path) -> None:
    """An id that stands twice names the place of the first."""
    text = (yard / COPY).read_text("utf-8").replace("  - id: hose-kinked", "  - id: butt-empty")
    (yard / COPY).write_text(text, "utf-8")
    assert any("twice (first in pump.yaml:" in fault.what for fault in faults_of(yard))


@pytest.mark.parametrize("lost", ["symptoms", "preconditions", "sequence"])
def test_a_lost_file_is_one_fault(tmp_path: Path, lost: str) -> None:
    """Without its symptoms, preconditions or states a machine is none: that is said, and not what named them."""
    shutil.copytree(COURSE_MACHINE, tmp_path / "machine")
    (tmp_path / "machine" / f"{lost}.yaml").unlink()
    _, faults = load_machine(tmp_path / "machine", tmp_path)
    name = {"sequence": "states"}.get(lost, lost)
    assert [fault.what for fault in faults] == [f"no file here has a list {name}"]
    assert [fault.loses for fault in faults] == [None]


def test_an_empty_folder_is_a_fault(tmp_path: Path) -> None:
    """A folder without a machine says what to write."""
    machine, faults = load_machine(tmp_path, tmp_path)
    assert not machine.modes
    assert "there is no machine file here" in faults[0].what
