"""Values from outside, each tied to the formula, relation, plan, fuel or table that must meet it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from warmyard.errors import InputError
from warmyard.formula.check import allowed_difference
from warmyard.formula.compute import compute, compute_relation, read_inputs
from warmyard.formula.fuel import load_fuels
from warmyard.formula.planning import expected_minutes, plan
from warmyard.formula.quantity import read_quantity
from warmyard.formula.register import Register
from warmyard.formula.table import load_tables
from warmyard.formula.units import convert

CHECKS = yaml.safe_load((Path(__file__).parents[1] / "contract" / "outside_checks.yaml").read_text("utf-8"))
TOTAL = 144
"""How many values from outside there are in all, tied or not."""


def worked(register: Register, id: str, inputs: dict[str, Any]) -> float:
    """Return a formula's value; an input may itself be a formula with inputs."""
    formula = register.formulas[id]
    units = {symbol.symbol: symbol.unit for symbol in formula.needs}
    texts = {name: str(one) for name, one in inputs.items() if not isinstance(one, dict)}
    values = read_inputs(formula, texts)
    for name, one in inputs.items():
        if isinstance(one, dict):
            given = register.formulas[one["formula"]].gives.unit
            values[name] = convert(worked(register, one["formula"], one["inputs"]), given, units[name])
    return compute(formula, values)


def related(check: dict[str, Any]) -> float:
    """Return the value of a relation in the register's grammar."""
    quantities = {}
    for name, text in check["inputs"].items():
        unit = text.partition(" ")[2]
        quantities[name] = (read_quantity(text, unit), unit)
    return compute_relation(check["relation"], quantities, check["unit"])


def answer(register: Register, root: Path, check: dict[str, Any]) -> Any:
    """Return what the course says to a check."""
    if "formula" in check:
        return worked(register, check["formula"], check["inputs"])
    if "relation" in check:
        return related(check)
    if "plan" in check:
        return plan(check["plan"], check["inputs"]).value
    if "minutes_of" in check:
        numbers = [[float(one) for one in check["inputs"][name].split(",")] for name in ("p", "c")]
        return expected_minutes(numbers[0], numbers[1], [at - 1 for at in check["minutes_of"]])
    if "table" in check:
        table = load_tables(root / "course" / "tables.yaml", root)[0][check["table"]]
        return next(row.value for row in table.rows if row.key == check["key"])
    fuel = load_fuels(root / "course" / "fuels.yaml", root)[0][check["fuel"]]
    text = next(one.value for one in fuel.values if one.symbol == check["symbol"])
    return read_quantity(text, text.partition(" ")[2])


@pytest.mark.parametrize("check", CHECKS["tied"], ids=lambda one: str(one["check"]))
def test_the_course_meets_the_value(register: Register, workspace_root: Path, check: dict[str, Any]) -> None:
    """Within the tolerance that the value allows, or refused in words where it has no answer."""
    if "refused" in check:
        with pytest.raises(InputError, match=check["refused"]):
            answer(register, workspace_root, check)
        return
    found = answer(register, workspace_root, check)
    if isinstance(check["result"], str):
        assert found == check["result"]
    else:
        assert abs(found - check["result"]) <= allowed_difference(check["within"], check["result"])


def test_every_check_is_tied_or_says_why_not() -> None:
    """None is lost, none stands twice, and each that is not tied has its reason."""
    ids = [check["check"] for kind in ("tied", "not_tied") for check in CHECKS[kind]]
    assert len(ids) == len(set(ids)) == TOTAL
    assert all(check["because"] for check in CHECKS["not_tied"])
    assert all(check["source"] and check["known"] in ("read", "confirmed", "memory") for check in CHECKS["tied"])


def test_tables_are_sound(workspace_root: Path, tmp_path: Path) -> None:
    """The course's tables have no fault; a key twice and an unknown unit are faults."""
    _, faults = load_tables(workspace_root / "course" / "tables.yaml", workspace_root)
    assert faults == []
    row = "      - {key: a, value: 1}\n"
    (tmp_path / "tables.yaml").write_text(
        "tables:\n  - id: t\n    title: T\n    key: k\n    unit: furlong\n    source: definition\n    known: read\n"
        f"    rows:\n{row}{row}",
        "utf-8",
    )
    assert len(load_tables(tmp_path / "tables.yaml", tmp_path)[1]) == 2
