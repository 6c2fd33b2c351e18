"""What a named fuel puts into a formula."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.errors import InputError
from warmyard.formula.compute import compute
from warmyard.formula.fuel import Fuel, check_fuels, fill_from_fuel, load_fuels
from warmyard.formula.quantity import read_quantity
from warmyard.formula.register import Register


def test_the_course_has_sound_fuels(workspace_root: Path, register: Register) -> None:
    """Every value of every fuel fits a symbol of the register."""
    fuels, faults = load_fuels(workspace_root / "course" / "fuels.yaml", workspace_root)
    assert faults == []
    assert check_fuels(fuels, register.formulas) == []
    assert {"gas-oil", "kerosene"} <= set(fuels)


def test_a_fuel_fills_what_the_formula_takes(workspace_root: Path, register: Register) -> None:
    """Density and heat for the heat input, nothing else."""
    fuels, _ = load_fuels(workspace_root / "course" / "fuels.yaml", workspace_root)
    assert set(fill_from_fuel(fuels, "gas-oil", register.formulas["nozzle-heat-input"])) == {"rho_f", "NCV"}
    with pytest.raises(InputError, match="there is no fuel 'coal'; the fuels are"):
        fill_from_fuel(fuels, "coal", register.formulas["nozzle-heat-input"])
    with pytest.raises(InputError, match="takes nothing from a fuel"):
        fill_from_fuel(fuels, "gas-oil", register.formulas["tent-area"])


def test_a_wrong_value_of_a_fuel_is_a_fault(tmp_path: Path, register: Register) -> None:
    """A unit that does not fit and a symbol of nothing are found at their lines."""
    (tmp_path / "fuels.yaml").write_text(
        "fuels:\n  - id: oil\n    name: Oil\n    values:\n"
        "      - {symbol: NCV, value: 42 L, source: definition, known: memory}\n"
        "      - {symbol: nothing, value: 42 L, source: definition, known: memory}\n",
        "utf-8",
    )
    fuels, faults = load_fuels(tmp_path / "fuels.yaml", tmp_path)
    assert faults == []
    found = [str(fault) for fault in check_fuels(fuels, register.formulas)]
    assert found[0].startswith("fuels.yaml:5: NCV: “42 L” is a volume")
    assert found[1].startswith("fuels.yaml:6: no formula has the symbol nothing")


def value(fuel: Fuel, symbol: str) -> float:
    """Return one value of a fuel as a plain number in its own unit."""
    text = next(one.value for one in fuel.values if one.symbol == symbol)
    return read_quantity(text, text.partition(" ")[2] or "1")


@pytest.mark.parametrize("id", ["gas-oil", "kerosene", "diesel"])
def test_the_highest_co2_follows_from_the_shares(workspace_root: Path, register: Register, id: str) -> None:
    """Carbon and hydrogen of a fuel give its CO2_max, within what rounding of the three can do."""
    fuel = load_fuels(workspace_root / "course" / "fuels.yaml", workspace_root)[0][id]
    atoms = {"n_c": value(fuel, "x_c") / 12.011, "n_h": value(fuel, "x_h") / 1.008}
    followed = compute(register.formulas["co2-maximum"], atoms)
    assert abs(followed - value(fuel, "CO2_max")) <= 0.06
    assert 99.5 <= value(fuel, "x_c") + value(fuel, "x_h") <= 100.0


def test_the_molecule_of_kerosene_is_its_shares(workspace_root: Path, register: Register) -> None:
    """The atoms that stand for kerosene give the same highest CO2 as its carbon and hydrogen."""
    fuel = load_fuels(workspace_root / "course" / "fuels.yaml", workspace_root)[0]["kerosene"]
    atoms = {"n_c": value(fuel, "n_c"), "n_h": value(fuel, "n_h")}
    assert abs(compute(register.formulas["co2-maximum"], atoms) - value(fuel, "CO2_max")) <= 0.06


@pytest.mark.parametrize("id", ["gas-oil", "kerosene", "diesel"])
def test_both_forms_of_the_flue_loss_mean_one_fuel(workspace_root: Path, id: str) -> None:
    """The constants of both forms meet at the highest CO2 of the fuel, as far as they are rounded."""
    fuel = load_fuels(workspace_root / "course" / "fuels.yaml", workspace_root)[0][id]
    assert abs(21 * value(fuel, "A_1") / value(fuel, "A_2") - value(fuel, "CO2_max")) <= 0.16
