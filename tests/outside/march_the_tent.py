"""March a tent in time steps, apart from the register, and freeze what comes out (extra `outside`: psychrolib, PyYAML).

Run by hand after a change of the library or of the cases: python tests/outside/march_the_tent.py [--write]
It imports nothing of ours. Outside air is moist (80 %), its density and heat from psychrolib; the fan moves so many
cubic metres of what it takes in, return air is mixed by mass, and what enters leaves at the temperature of the room.
Heat is added while a thermostat asks; a fan runs on after its flame and then stands. The frozen rows lie in
tests/contract/marched_tents.json; tests/formula/test_air_and_people.py holds the register against them in every run.
It shares with the register that a tent is one mixed room, and how leak and fan air go together; it proves arithmetic,
densities, limits and control, not that a tent is one mixed room.
"""

from __future__ import annotations

import json
import math
import sys
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import psychrolib
import yaml

ROOT = Path(__file__).resolve().parents[2]
FROZEN = ROOT / "tests" / "contract" / "marched_tents.json"
ATMOSPHERE_PA = 101325.0
DAMP = 0.8
STEP_S = 2.0
WITHIN = 1e-6
psychrolib.SetUnitSystem(psychrolib.SI)


@dataclass(frozen=True)
class Heater:
    """What a data sheet says, in kW, m3/h, L/h and s."""

    id: str
    output_kw: float
    airflow_m3h: float
    fuel_lh: float
    run_on_s: float


@dataclass(frozen=True)
class Tent:
    """Skin in m2 and W/m2K, air in m3, air changes an hour with the fans standing."""

    skin_m2: float
    u_value: float
    air_m3: float
    changes: float


@dataclass(frozen=True)
class Plan:
    """Heaters on a tent on one night; the shares are of 1."""

    heater: Heater
    number: int
    tent: Tent
    outside_c: float
    duct_loss: float = 0.05
    fresh: float = 1.0
    people_kw: float = 0.0


def density(celsius: float, ratio: float) -> float:
    """Return kg of moist air in a cubic metre."""
    return float(psychrolib.GetMoistAirDensity(celsius, ratio, ATMOSPHERE_PA))


def heat(celsius: float, ratio: float) -> float:
    """Return J in the air that goes with a kilogram of dry air."""
    return float(psychrolib.GetMoistAirEnthalpy(celsius, ratio))


class Air:
    """The air of one night: its water stays, so only its temperature changes."""

    def __init__(self, outside_c: float) -> None:
        self.outside_c = outside_c
        self.ratio = float(psychrolib.GetHumRatioFromRelHum(outside_c, DAMP, ATMOSPHERE_PA))
        self.outside_density = density(outside_c, self.ratio)
        self.heat_capacity = (heat(outside_c + 1, self.ratio) - heat(outside_c, self.ratio)) / (1 + self.ratio)

    def intake(self, plan: Plan, inside_c: float) -> tuple[float, float]:
        """Return temperature and density of what a heater takes in: outside air and return air mixed by mass."""
        mixed = plan.fresh * self.outside_c + (1 - plan.fresh) * inside_c
        return mixed, density(mixed, self.ratio)


def outside_kg_s(plan: Plan, air: Air, running: int, intake_density: float) -> float:
    """Return the outside air that enters: the squares of leak and fan air are added."""
    fans = running * plan.heater.airflow_m3h * plan.fresh * intake_density / 3600
    leak = plan.tent.changes * plan.tent.air_m3 * air.outside_density / 3600
    return math.hypot(fans, leak)


def watts(plan: Plan, air: Air, inside_c: float, firing: float, running: int) -> float:
    """Return the heat that stays in the tent now, in W."""
    _, intake_density = air.intake(plan, inside_c)
    entering = outside_kg_s(plan, air, running, intake_density)
    brought = firing * plan.heater.output_kw * 1000 * (1 - plan.duct_loss) + plan.people_kw * 1000
    rise = inside_c - air.outside_c
    return brought - plan.tent.u_value * plan.tent.skin_m2 * rise - entering * air.heat_capacity * rise


def settle(plan: Plan) -> tuple[float, float]:
    """Return where the tent settles with all flames on, and the temperature of the warm air at the heater."""
    air, inside = Air(plan.outside_c), plan.outside_c
    store = air.outside_density * air.heat_capacity * plan.tent.air_m3
    for _ in range(200_000):
        change = watts(plan, air, inside, plan.number, plan.number) * STEP_S / store
        inside += change
        if abs(change) < 1e-10:
            break
    mixed, intake_density = air.intake(plan, inside)
    mass = plan.heater.airflow_m3h * intake_density / 3600
    return inside, mixed + plan.heater.output_kw * 1000 / (mass * air.heat_capacity)


def burn(plan: Plan, wanted_c: float, hours: float, band_k: float, store_times: float) -> dict[str, float]:
    """Return litres, mean temperature and share of standing fans of so many steady hours under a thermostat."""
    air, inside, firing, since = Air(plan.outside_c), wanted_c, True, 0.0
    store = store_times * air.outside_density * air.heat_capacity * plan.tent.air_m3
    fired = stood = warmth = counted = 0.0
    warm_in, end = 3600.0, 3600.0 * (hours + 1)
    now = 0.0
    while now < end:
        if firing and inside >= wanted_c + band_k / 2:
            firing, since = False, now
        elif not firing and inside <= wanted_c - band_k / 2:
            firing = True
        running = plan.number if firing or now - since < plan.heater.run_on_s else 0
        inside += watts(plan, air, inside, plan.number if firing else 0, running) * STEP_S / store
        now += STEP_S
        if now > warm_in:
            fired, stood = fired + STEP_S * firing, stood + STEP_S * (running == 0)
            warmth, counted = warmth + inside * STEP_S, counted + STEP_S
    return {
        "litres": plan.number * plan.heater.fuel_lh * fired / 3600,
        "mean_c": warmth / counted,
        "fans_standing": stood / counted,
    }


def heaters() -> list[Heater]:
    """Return the heaters of the fleet as their sheets say."""
    found = []
    for path in sorted((ROOT / "site_config" / "fleet").glob("*.yaml")):
        sheet = yaml.safe_load(path.read_text("utf-8"))
        fields = ("useful-output", "airflow", "fuel-rate", "run-on-time")
        found.append(Heater(sheet["id"], *(float(sheet["values"][field].split()[0]) for field in fields)))
    return found


TENTS = (Tent(374.6, 5.0, 660, 2), Tent(374.6, 4.4, 660, 1), Tent(374.6, 7.1, 660, 5), Tent(900, 5.9, 1900, 2))
SMALL = {"dunlin-35": 0.5, "wren-20": 0.3, "plover-45": 0.65, "heron-110": 1.6}


def sized(tent: Tent, heater: Heater) -> Tent:
    """Return a tent as large as the heater makes sense on."""
    by = SMALL.get(heater.id, 1.0)
    return Tent(round(tent.skin_m2 * by, 1), tent.u_value, round(tent.air_m3 * by**1.5), tent.changes)


def row(plan: Plan) -> dict[str, float | str]:
    """Return the inputs of a plan as the register takes them, the intake's density among them."""
    air, (inside, warm) = Air(plan.outside_c), settle(plan)
    _, intake_density = air.intake(plan, inside)
    return {
        "heater": plan.heater.id,
        "t_o": plan.outside_c,
        "N": plan.number,
        "P_1": plan.heater.output_kw,
        "V_dot": plan.heater.airflow_m3h,
        "x_d": 100 * plan.duct_loss,
        "x": 100 * plan.fresh,
        "P_g": plan.people_kw,
        "U": plan.tent.u_value,
        "A": plan.tent.skin_m2,
        "n": plan.tent.changes,
        "V": plan.tent.air_m3,
        "rho": round(intake_density, 5),
        "inside": round(inside, 4),
        "warm_air": round(warm, 4),
    }


def reached() -> list[dict[str, float | str]]:
    """Return where tents settle: every heater, one to four of them, four tents, three nights; return air; people."""
    all_of = product(heaters(), (1, 2, 3, 4), TENTS, (-20.0, -8.0, 4.0))
    rows = [row(Plan(heater, number, sized(tent, heater), cold)) for heater, number, tent, cold in all_of]
    curlew = next(heater for heater in heaters() if heater.id == "curlew-70")
    rows += [row(Plan(curlew, number, TENTS[0], -8.0, 0.0)) for number in (1, 2, 3, 4)]
    rows += [row(Plan(curlew, number, TENTS[0], -8.0, 0.05, fresh)) for number in (1, 2) for fresh in (0.4, 0.7)]
    return [*rows, row(Plan(curlew, 2, TENTS[0], -8.0, 0.05, 1.0, 12.6))]


def burnt() -> list[dict[str, float | str]]:
    """Return litres of nine steady hours: heaters, bands and nights that they can hold."""
    rows = []
    for heater, number, cold, band, people in product(heaters(), (2, 3), (-8.0, -2.0, 4.0), (0.5, 1.0), (0.0, 9.0)):
        plan = Plan(heater, number, sized(TENTS[0], heater), cold, 0.05, 1.0, people * SMALL.get(heater.id, 1.0))
        wanted = 19.0 if settle(plan)[0] > 20 else 15.0
        if settle(plan)[0] < wanted + 1:
            continue
        found = burn(plan, wanted, 9, band, 2.0)
        density_here = round(Air(cold).outside_density, 5)
        figures: dict[str, float | str] = {name: round(value, 4) for name, value in found.items()}
        inputs = {**row(plan), "rho": density_here, "wanted": wanted, "band": band, "q": heater.fuel_lh, "t": 9.0}
        rows.append({**inputs, **figures})
    return rows


def differences(kept: object, now: object, path: str = "") -> list[str]:
    """Return where two frozen values differ."""
    if isinstance(kept, dict) and isinstance(now, dict):
        names = sorted({*kept, *now})
        return [one for name in names for one in differences(kept.get(name), now.get(name), f"{path}.{name}")]
    if isinstance(kept, list) and isinstance(now, list) and len(kept) == len(now):
        return [
            one for at, pair in enumerate(zip(kept, now, strict=True)) for one in differences(*pair, f"{path}[{at}]")
        ]
    if isinstance(kept, float) and isinstance(now, float) and math.isclose(kept, now, rel_tol=WITHIN, abs_tol=1e-4):
        return []
    return [] if kept == now else [f"{path}: kept {kept!r}, now {now!r}"]


def main() -> int:
    """Compare what comes out with what is frozen; with --write freeze it."""
    now = json.loads(json.dumps({"reached": reached(), "burnt": burnt()}))
    if "--write" in sys.argv:
        rows = {name: ",\n  ".join(json.dumps(one) for one in now[name]) for name in ("reached", "burnt")}
        about = "Tents marched in time steps by tests/outside/march_the_tent.py; inputs as the register takes them."
        text = f'{{"about": "{about}",\n "reached": [\n  {rows["reached"]}],\n "burnt": [\n  {rows["burnt"]}]}}\n'
        FROZEN.write_text(text, "utf-8")
    kept = json.loads(FROZEN.read_text("utf-8"))
    wrong = [one for name in ("reached", "burnt") for one in differences(kept[name], now[name], name)]
    print(*wrong, f"{len(kept['reached'])} tents, {len(kept['burnt'])} nights, {len(wrong)} differ", sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
