"""Tents with the heaters' own air: held against tents marched in time steps, and laws over a grid of tents."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from itertools import pairwise, product
from pathlib import Path

import pytest
import yaml

from warmyard.errors import InputError
from warmyard.formula.compute import compute, read_inputs, warnings_of
from warmyard.formula.register import Register

ROOT = Path(__file__).resolve().parents[2]
MARCHED = json.loads((ROOT / "tests" / "contract" / "marched_tents.json").read_text("utf-8"))
OUTSIDE_C = (-20.0, -8.0, 0.0, 10.0)
SKIN = tuple(product((120.0, 375.0, 900.0, 2200.0), (4.4, 5.9, 7.1)))
LEAK = ((1.0, 300.0), (2.0, 660.0), (6.0, 2000.0))
HEATERS = (1, 2, 3, 4, 6)


def figure(register: Register, id: str, **given: float) -> float:
    """Return what a formula gives, of what is given only what it takes."""
    formula = register.formulas[id]
    taken = {symbol.symbol for symbol in formula.needs}
    return compute(formula, {name: value for name, value in given.items() if name in taken})


def sheets() -> list[dict[str, str]]:
    """Return the values of every sheet of the demo and of the second company."""
    paths = [*ROOT.glob("site_config/fleet/*.yaml"), *ROOT.glob("tests/second_yard/site_config/fleet/*.yaml")]
    return [yaml.safe_load(path.read_text("utf-8"))["values"] for path in sorted(paths)]


def nights(register: Register) -> Iterator[tuple[dict[str, float], float]]:
    """Yield heater and weather as inputs, with the temperature of the warm air."""
    supply = register.formulas["supply-temperature"]
    for sheet, t_o, x_d in product(sheets(), OUTSIDE_C, (0.0, 5.0, 12.0)):
        typed = {"P_1": sheet["useful-output"], "V_dot": sheet["airflow"], "t_r": "19", "t_m": "30", "t_h": "85"}
        rho = figure(register, "air-density", t=t_o)
        given = read_inputs(supply, {**typed, "t_o": f"{t_o}", "rho": f"{rho!r}"})
        yield {**given, "x_d": x_d}, compute(supply, given)


def test_tents_settle_where_a_march_in_time_steps_says(register: Register) -> None:
    """The relation meets every marched tent within 0.15 K, with much return air within 0.3 K."""
    for row in MARCHED["reached"]:
        given = {name: value for name, value in row.items() if not isinstance(value, str)}
        found = figure(register, "inside-temperature", **given, x_rm=100 - row["x"])
        assert abs(found - row["inside"]) <= (0.15 if row["x"] > 50 else 0.3), row
        warm = figure(register, "supply-temperature", **given, x_rm=100 - row["x"], t_r=row["inside"], t_m=90, t_h=200)
        assert abs(warm - row["warm_air"]) <= 0.3, row


def test_fuel_of_steady_hours_meets_the_march(register: Register) -> None:
    """Litres of steady hours agree with the marched ones within 1 %, people's heat and the fans' run-on in both."""
    for row in MARCHED["burnt"]:
        given = {name: value for name, value in row.items() if not isinstance(value, str)}
        fans = figure(register, "heaters-outside-air", **given)
        entering = figure(register, "outside-air-total", **given, V_m=fans)
        loss = figure(register, "loss-with-fans", **given, Q=entering)
        share = figure(register, "firing-share", **given, H=loss, t_i=row["mean_c"])
        assert math.isclose(figure(register, "job-fuel", **given, x_u=share), row["litres"], rel_tol=0.01), row


def test_fans_never_stand_in_a_marched_night() -> None:
    """In no marched night does a fan stand: so the firing share takes the loss with the fans running."""
    assert all(row["fans_standing"] == 0 for row in MARCHED["burnt"])


def test_no_room_is_warmer_than_the_air_that_warms_it(register: Register) -> None:
    """Over a grid of sheets, tents and weathers the room stays below the warm air, and each heater adds less."""
    tried = 0
    for night, warm_air in nights(register):
        for (skin, u_value), (changes, air) in product(SKIN, LEAK):
            tent = {"A": skin, "U": u_value, "n": changes, "V": air}
            rooms = [figure(register, "inside-temperature", **night, **tent, N=number) for number in HEATERS]
            assert all(room <= warm_air + 1e-9 for room in rooms)
            gains = [(after - before) for before, after in pairwise([night["t_o"], *rooms[:4]])]
            assert all(0 < later < earlier for earlier, later in pairwise(gains))
            tried += len(rooms)
    assert tried >= 10_000


@pytest.mark.parametrize("number", [1, 2, 5])
def test_a_lost_heater_takes_its_air_along(register: Register, number: int) -> None:
    """One lost is the same tent with one heater less, heat and air."""
    night = dict(next(iter(nights(register)))[0], A=375.0, U=5.0, n=2.0, V=660.0)
    lost = figure(register, "one-heater-lost", **night, N=number)
    assert lost == pytest.approx(figure(register, "inside-temperature", **night, N=number - 1), abs=1e-9)


def test_what_is_left_for_the_room_balances_the_skin(register: Register) -> None:
    """Without leak the heat left by all heaters is what the skin loses at the temperature that is reached."""
    for night, warm_air in nights(register):
        tent = {"A": 375.0, "U": 5.0, "n": 0.0, "V": 660.0}
        room = figure(register, "inside-temperature", **night, **tent, N=3)
        left = figure(register, "heat-left-for-the-room", **night, t_i=room)
        assert 3 * left == pytest.approx(tent["U"] * tent["A"] * (room - night["t_o"]) / 1000, rel=1e-9)
        with pytest.raises(InputError, match="no number of these heaters"):
            figure(register, "heat-left-for-the-room", **night, t_i=warm_air + 0.01)


@pytest.mark.parametrize(
    ("id", "given", "says"),
    [
        ("fresh-air-for-one", {"Q": 5040, "N_p": 140}, ()),
        ("fresh-air-for-one", {"Q": 3600, "N_p": 140}, ("Little fresh air",)),
        ("fresh-air-for-one", {"Q": 1320, "N_p": 140}, ("Too little fresh air",)),
        ("co2-level", {"N_p": 140, "Q": 5040}, ()),
        ("co2-level", {"N_p": 140, "Q": 1320}, ("The air is poor",)),
        ("supply-temperature", {"x": 40, "x_rm": 60, "t_m": 5}, ("The air at the intake",)),
        ("supply-temperature", {"t_h": 30}, ("That is warmer than the outlet",)),
    ],
)
def test_little_air_and_hot_air_are_warned_of(
    register: Register, id: str, given: dict[str, float], says: tuple[str, ...]
) -> None:
    """Under 8 and under 5 litres a second for each, above 1500 ppm, above what the sheet allows."""
    heater = {"t_o": -8, "t_r": 19, "P_1": 69, "V_dot": 4400, "rho": 1.33, "t_m": 30, "t_h": 85}
    found = warnings_of(register.formulas[id], {**(heater if id == "supply-temperature" else {}), **given})
    assert len(found) == len(says)
    assert all(text.startswith(start) for text, start in zip(found, says, strict=True))
