"""The laws of the sequence, the simulated symptoms and the separability are proved, and a broken one is found."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from warmyard.machine.model import Group, Leave, Machine
from warmyard.machine.proof import check_invariants, check_separable, check_symptoms, splits

replace = msgspec.structs.replace


def with_state(machine: Machine, name: str, **changes: Any) -> Machine:
    """Return the machine with one state changed."""
    return replace(machine, states={**machine.states, name: replace(machine.states[name], **changes)})


def broken(machine: Machine) -> set[str]:
    """Return the laws that do not hold."""
    said = " ".join(fault.what for fault in check_invariants(machine))
    return {law.id for law in machine.invariants if law.id in said}


@pytest.mark.parametrize(
    ("state", "changes", "law"),
    [
        ("purge", {"drives": ("motor", "fuel-valve")}, "fuel-only-with-a-flame-to-come"),
        ("cool-down", {"drives": ("main-fan", "fuel-valve")}, "fuel-only-with-a-flame-to-come"),
        ("run", {"drives": ("motor", "lockout-lamp")}, "lamp-only-in-lockout"),
        ("ignition", {"drives": ("motor",)}, "spark-before-fuel"),
        ("demand", {"next": "ignition"}, "nothing-skips-purge"),
        ("run", {"leaves": (Leave(when="not call-for-heat", to="cool-down"),)}, "sensor-shuts-the-fuel"),
    ],
)
def test_a_broken_sequence_names_the_law(machine: Machine, state: str, changes: dict[str, Any], law: str) -> None:
    """Each law is proved: the sequence that breaks it is found, with the state's own line."""
    changed = with_state(machine, state, **changes)
    assert law in broken(changed)
    assert any(fault.place.file.endswith("sequence.yaml") for fault in check_invariants(changed))


def test_a_valve_without_the_limit_is_found(machine: Machine) -> None:
    """The fuel valve must have the limit in series, in every alternative."""
    signal = replace(machine.signals["fuel-valve-open"], when=("fuel-valve and supply-at-controls",))
    changed = replace(machine, signals={**machine.signals, signal.id: signal})
    assert broken(changed) == {"limit-shuts-the-fuel"}


def test_a_fan_that_needs_no_supply_is_found(machine: Machine) -> None:
    """A power cut must take the cool-down away in the model, because it does so on the machine."""
    signal = replace(machine.signals["main-fan-turns"], when=("main-fan and exchanger-hot",))
    changed = replace(machine, signals={**machine.signals, signal.id: signal})
    assert broken(changed) == {"power-cut-removes-cool-down"}


def test_a_mode_with_the_wrong_effect_is_found(machine: Machine) -> None:
    """A mode whose simulated start shows none of its symptoms is a fault, with its line."""
    mode = replace(machine.modes["tank-empty"], effect={"supply": False})
    faults = check_symptoms(replace(machine, modes={**machine.modes, mode.id: mode}))
    assert ["shows dead, none of its symptoms" in fault.what for fault in faults] == [True]


def test_an_exception_without_need_is_found(machine: Machine) -> None:
    """An exception stands only where the simulation and the declaration differ."""
    mode = replace(machine.modes["tank-empty"], exception="Because.")
    faults = check_symptoms(replace(machine, modes={**machine.modes, mode.id: mode}))
    assert ["has an exception that it does not need" in fault.what for fault in faults] == [True]


def test_exceptions_are_few_and_reasoned(machine: Machine) -> None:
    """At most one mode in twenty needs an exception, and each says why."""
    excepted = [mode for mode in machine.modes.values() if mode.exception]
    assert len(excepted) <= len(machine.modes) / 20
    assert all(len(mode.exception) > 40 for mode in excepted)


def test_two_modes_that_show_the_same_are_found(machine: Machine) -> None:
    """A pair that no check keeps apart is a fault, until it is named as a group with a shared remedy."""
    twin = replace(machine.modes["tank-empty"], id="tank-drained")
    changed = replace(machine, modes={**machine.modes, twin.id: twin})
    assert ["no check tells tank-drained from tank-empty" in f.what for f in check_separable(changed)] == [True]
    group = Group(id="no-fuel", modes=("tank-empty", "tank-drained"), why="Same.", shared_remedy="Refuel.")
    assert check_separable(replace(changed, groups=(*machine.groups, group))) == []


def test_every_group_has_a_shared_remedy(machine: Machine) -> None:
    """The ten confusable groups of the brief are there, each with what serves all of it."""
    assert len(machine.groups) == 10
    assert all(group.shared_remedy and group.why for group in machine.groups)


def test_the_quickest_check_that_splits_two_is_the_look(machine: Machine) -> None:
    """Filter or seal: the bowl splits them before any spanner does."""
    one, other = machine.modes["filter-blocked"], machine.modes["air-at-bowl-seal"]
    found = [check for check in machine.checks.values() if splits(check, one, other)]
    names = [check.id for check in sorted(found, key=lambda check: check.minutes)]
    assert names[0] == "look-in-filter-bowl"
    assert "renew-the-filter" not in names
