"""Sheets and rules that cannot be: each law of the course broken once, and laws that are none."""

from __future__ import annotations

import msgspec
import pytest

from warmyard.course.laws import check_rule_laws, check_sheet_laws
from warmyard.course.model import Law, Rule, Sheet
from warmyard.course.workspace import Workspace

RULES_BROKEN = {
    "comfort-runs-upwards": ("comfort-low", 25.0),
    "workers-short-limit-is-higher": ("co-15min-workers", 10.0),
    "alarm-levels-run-upwards": ("alarm-level-lowest", 50.0),
    "alarm-third-above-second": ("alarm-level-third", 50.0),
    "alarm-highest-above-third": ("alarm-level-highest", 100.0),
    "a-rolling-load-is-lighter": ("push-keep-filter", 210.0),
    "closed-test-is-lower": ("insulation-voltage-closed", 600.0),
    "noise-runs-upwards": ("noise-upper-action", 79.0),
}
BROKEN = {
    "no-more-out-than-in": {"useful-output": "99 kW"},
    "input-is-fuel": {"fuel-rate": "5 L/h"},
    "fuel-is-input": {"fuel-rate": "9 L/h"},
    "reserve-in-tank": {"tank-reserve": "120 L"},
    "gap-runs-upwards": {"electrode-gap-low": "3.1 mm"},
    "oxygen-runs-upwards": {"oxygen-low": "7 %"},
    "flue-runs-upwards": {"flue-temperature-low": "200 degC"},
    "oxygen-of-air": {"oxygen-high": "21 %"},
    "loss-is-a-share": {"flue-loss-max": "110 %"},
    "factor-is-a-share": {"power-factor": "8.5"},
    "power-from-current": {"running-power": "9.5 kW"},
    "fuse-carries": {"fuse": "3 A"},
    "limit-above-outlet": {"limit-setting": "80 degC"},
    "outlet-above-intake": {"intake-temperature-max": "90 degC"},
}


def with_values(workspace: Workspace, values: dict[str, str]) -> dict[str, Sheet]:
    """Return the first machine's sheet with other values."""
    sheet = next(iter(workspace.sheets.values()))
    return {sheet.id: msgspec.structs.replace(sheet, values={**sheet.values, **values})}


def test_every_law_is_tried(whole_workspace: Workspace) -> None:
    """No law is left out, and the sheets of the course hold all of them."""
    assert set(BROKEN) == set(whole_workspace.sheet_laws)
    assert check_sheet_laws(whole_workspace.sheets, whole_workspace.sheet_laws) == []


@pytest.mark.parametrize(("law", "values"), BROKEN.items())
def test_a_broken_law_is_told_at_the_sheet(whole_workspace: Workspace, law: str, values: dict[str, str]) -> None:
    """One value that cannot be, with what stands there and what to do."""
    found = check_sheet_laws(with_values(whole_workspace, values), whole_workspace.sheet_laws)
    says = whole_workspace.sheet_laws[law].say.partition("; ")
    assert [(says[0] in fault.what, fault.what_to_do) for fault in found] == [(True, says[2])]
    assert next(iter(values.values())) in found[0].what


@pytest.mark.parametrize(("law", "changed"), RULES_BROKEN.items())
def test_a_rule_that_breaks_a_law_is_told_at_its_value(
    whole_workspace: Workspace, law: str, changed: tuple[str, float]
) -> None:
    """In the one country whose rule cannot be; every law of rules is tried."""
    assert set(RULES_BROKEN) == set(whole_workspace.rule_laws)
    name, value = changed
    rules = whole_workspace.rules_by_country["england"]
    wrong: dict[str, Rule] = {**rules, name: msgspec.structs.replace(rules[name], value=value)}
    (fault,) = check_rule_laws({**whole_workspace.rules_by_country, "england": wrong}, whole_workspace.rule_laws)
    assert fault.place.file == "site_config/rules/england.yaml"
    assert f"{name} {value:g}" in fault.what
    assert fault.what_to_do == whole_workspace.rule_laws[law].say.partition("; ")[2]


def test_a_field_that_a_sheet_lacks_breaks_no_law(whole_workspace: Workspace) -> None:
    """Another company's sheets have other fields."""
    sheet = next(iter(whole_workspace.sheets.values()))
    bare = {sheet.id: msgspec.structs.replace(sheet, values={"useful-output": "99 kW"})}
    assert check_sheet_laws(bare, whole_workspace.sheet_laws) == []


@pytest.mark.parametrize("holds", ["useful_output =< heat_input", "useful_output <= mass", "import os"])
def test_a_law_that_is_none_is_a_fault(whole_workspace: Workspace, holds: str) -> None:
    """Words outside the grammar, and a comparison of unlike things."""
    law = Law(id="x", holds=holds, say="no; no")
    assert check_sheet_laws(with_values(whole_workspace, {}), {"x": law})
