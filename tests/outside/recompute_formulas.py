"""Recompute the frozen library values of the register with the libraries themselves (extra `outside`).

Run by hand after a change of those libraries: python tests/outside/recompute_formulas.py
It prints one line a value and ends with exit code 1 when one differs from tests/contract/outside_checks.yaml or from
a worked value of course/formulas. Libraries: cantera, CoolProp, psychrolib, fluids, scipy.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cantera
import fluids
import psychrolib
import yaml
from CoolProp.CoolProp import PropsSI
from fluids.flow_meter import flow_meter_discharge
from fluids.friction import Haaland, Swamee_Jain_1976, friction_factor
from scipy import optimize, stats
from scipy.integrate import solve_ivp

ROOT = Path(__file__).resolve().parents[2]
CHECKS = yaml.safe_load((ROOT / "tests" / "contract" / "outside_checks.yaml").read_text("utf-8"))
WITHIN = 5e-4
ATMOSPHERE_PA = 101325.0


def worked_results() -> dict[str, list[float]]:
    """Return the worked results of every formula that an integration or a library of ours stands behind."""
    rows = [
        row for path in sorted((ROOT / "course/formulas").glob("*.yaml")) for row in yaml.safe_load(path.read_text())
    ]
    return {row["id"]: [one["result"] for one in row["worked"]] for row in rows}


def air(quantity: str, celsius: float) -> float:
    """Return a property of dry air at one atmosphere."""
    return float(PropsSI(quantity, "T", celsius + 273.15, "P", ATMOSPHERE_PA, "Air"))


def dodecane(celsius: float) -> float:
    """Return the density of n-dodecane."""
    return float(PropsSI("D", "T", celsius + 273.15, "P", ATMOSPHERE_PA, "n-Dodecane"))


def burn(excess: float) -> tuple[float, float]:
    """Return oxygen and CO2 of the dry flue gas of dodecane, as shares, from cantera's own elements and balance."""
    fuel, oxygen_of_air = cantera.Solution("nDodecane_Reitz.yaml"), 0.2095
    fuel.set_equivalence_ratio(1.0, "c12h26", {"o2": oxygen_of_air, "n2": 1 - oxygen_of_air})
    share = fuel["c12h26"].X[0]
    needed = fuel["o2"].X[0] / share
    carbon = fuel.n_atoms("c12h26", "C")
    oxygen = needed * (excess - 1)
    nitrogen = needed * excess * (1 - oxygen_of_air) / oxygen_of_air
    dry = carbon + oxygen + nitrogen
    return oxygen / dry, carbon / dry


def air_for_dodecane() -> float:
    """Return kilograms of air for a kilogram of dodecane."""
    fuel = cantera.Solution("nDodecane_Reitz.yaml")
    return float(fuel.stoich_air_fuel_ratio("c12h26", {"o2": 0.2095, "n2": 0.7905}))


def sensible_loss(excess: float, flue_celsius: float, air_celsius: float) -> float:
    """Return the flue loss in % of the net heat, from enthalpies of the products."""
    gas = cantera.Solution("nDodecane_Reitz.yaml")
    needed = 12 + 26 / 4
    products = {"co2": 12.0, "h2o": 13.0, "o2": needed * (excess - 1), "n2": needed * excess * 0.7905 / 0.2095}

    def heat(celsius: float) -> float:
        gas.TPX = celsius + 273.15, ATMOSPHERE_PA, products
        return float(gas.enthalpy_mole) * sum(products.values())

    gas.TPX = 298.15, ATMOSPHERE_PA, {"c12h26": 1}
    fuel, gas.TPX = float(gas.enthalpy_mole), (298.15, ATMOSPHERE_PA, {"co2": 12, "h2o": 13})
    formed = float(gas.enthalpy_mole) * 25
    return 100 * (heat(flue_celsius) - heat(air_celsius)) / (fuel - formed)


def reach(rate: Callable[[float], float], start: float, target: float, longest: float) -> float:
    """Return when a first-order balance reaches a level."""

    def gap(_: float, state: Any) -> float:
        return float(state[0] - target)

    gap.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(lambda _, state: [rate(state[0])], (0, longest), [start], events=gap, rtol=1e-11, atol=1e-16)
    return float(found.t_events[0][0])


def breath(air_m3h: float) -> float:
    """Return where the breath of 140 people settles in a tent of 660 m3, in ppm."""
    air_l = 660.0 * 1000
    found = solve_ivp(
        lambda _, state: [140 * 20 / air_l * 1e6 - air_m3h / 660 * (state[0] - 420)], (0, 60), [420.0], rtol=1e-12
    )
    return float(found.y[0][-1])


def floor_held(wanted_k: float) -> tuple[float, float]:
    """Return the first rise of the air over a cold floor, and minutes until the air has risen so far."""
    heat, loss, into_floor, store = 196.65, 6.803, 1.2, 1.1

    def air_k(floor_k: float) -> float:
        return (heat + into_floor * floor_k) / (loss + into_floor)

    floor_k = wanted_k - (heat - loss * wanted_k) / into_floor  # where the air has risen so far
    minutes = 60 * reach(lambda floor_k: into_floor * (air_k(floor_k) - floor_k) / store, 0.0, floor_k, 50)
    return air_k(0.0), minutes


def duct_end(around: float) -> float:
    """Return the air temperature after 10 m of a 400 mm duct, 60 degC in, 3600 m3/h, U 6."""
    slope = 6 * math.pi * 0.4 / (1.2 * 1.0 * 1005)
    found = solve_ivp(lambda _, state: [-slope * (state[0] - around)], (0, 10), [60.0], rtol=1e-12, atol=1e-12)
    return float(found.y[0][-1])


def cool_down() -> float:
    """Return minutes from 90 to 40 degC where 3 minutes bring it to 60, at 10 degC around."""
    tau = optimize.brentq(lambda tau: 3 - reach(lambda t: -(t - 10) / tau, 90.0, 60.0, 1e4), 0.1, 1000)
    return reach(lambda t: -(t - 10) / tau, 90.0, 40.0, 1e4)


def duct_gradient(flow_m3h: float, rough_m: float) -> float:
    """Return Pa per metre of a 400 mm duct with air of 60 degC, by the solved Colebrook equation."""
    speed, density = flow_m3h / 3600 / (math.pi * 0.16 / 4), air("D", 60)
    factor = friction_factor(fluids.Reynolds(speed, 0.4, nu=air("V", 60) / density), rough_m / 0.4)
    return float(factor / 0.4 * density * speed**2 / 2)


def orifice(density: float, drop_bar: float = 1.0) -> float:
    """Return the mass flow of one small orifice."""
    high = 1e5 * (1 + drop_bar)
    return float(flow_meter_discharge(D=0.02, Do=0.002, P1=high, P2=1e5, rho=density, C=0.6))


def heat_of_air(mass_density: float, flow_m3h: float, cold: float, hot: float) -> float:
    """Return kW from the enthalpies of air."""
    return mass_density * flow_m3h / 3600 * (air("H", hot) - air("H", cold)) / 1000


def rise(power_kw: float, flow_m3h: float, cold: float, density: float) -> float:
    """Return the rise from the enthalpies of air."""
    wanted = air("H", cold) + power_kw * 1000 / (density * flow_m3h / 3600)
    return float(optimize.brentq(lambda hot: air("H", hot) - wanted, cold, cold + 300)) - cold


def recomputed() -> dict[str, float]:
    """Return check id -> value as the libraries give it now."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    high = psychrolib.GetStandardAtmPressure(1500)
    thin = float(PropsSI("D", "T", 293.15, "P", high, "Air"))
    latent = PropsSI("H", "T", 298.15, "Q", 1, "Water") - PropsSI("H", "T", 298.15, "Q", 0, "Water")
    return {
        "comb-01-afr-dodecane": air_for_dodecane(),
        "comb-04-co2max-dodecane": 100 * burn(1.0)[1],
        "comb-08-co2-from-o2": 100 * burn(1.2)[1],
        "comb-15b-loss-first-principles": sensible_loss(1.5, 250, 20),
        "comb-26-dilution-o2": 100 * (burn(1.2)[0] + 0.5 * 0.2095) / 1.5,
        "fuel-13-net-from-gross": 45.29 - latent / 1e6 * 8.937 * 0.133,
        "fuel-20-density-ratio-40": 1000 * dodecane(40) / dodecane(15),
        "noz-01-sqrt-140psi": orifice(845, 9.65266) / orifice(845, 6.89476),
        "noz-09-density-heat": orifice(803) / orifice(854) * 43.86 / 42.57,
        "air-01-density--20": air("D", -20),
        "air-01-density-20": air("D", 20),
        "air-03-pressure-500m": psychrolib.GetStandardAtmPressure(500),
        "air-05-heat-outlet-volume": heat_of_air(air("D", 60), 4500, 0, 60),
        "air-06-temperature-rise": rise(90, 4500, -5, air("D", 20)),
        "air-07-rise-at-altitude": rise(90, 4500, -5, thin),
        "air-09-infiltration-SI": air("D", 20) * air("C", 20) / 3600 / 1000,
        "air-10-infiltration-cold": air("D", -20) * air("C", -20) / 3600 / 1000,
        "duct-06-colebrook-doc": friction_factor(1e5, 1e-4),
        "duct-07-swamee-jain": Swamee_Jain_1976(1e5, 1e-4),
        "duct-10-smooth-400-3000": duct_gradient(3000, 9e-5),
        "duct-11-flex-stretched": duct_gradient(4500, 3e-3),
        "serv-01-weibull-cdf-0.5": float(stats.weibull_min.cdf(0.5, 1.5)),
        "serv-01-weibull-cdf-2.0": float(stats.weibull_min.cdf(2.0, 1.5)),
        "serv-03-exp-mtbf": float(stats.expon.sf(100, scale=1000)),
        "serv-13-poisson-none": float(stats.poisson.pmf(0, 0.6)),
    }


def integrated() -> dict[tuple[str, int], float]:
    """Return (formula, number of its worked value) -> value by numerical integration or a library."""
    release, volume = 0.05, 600.0
    return {
        ("warm-up-time", 0): 60 * reach(lambda rise_k: (60 - 2 * rise_k) / 2, 0.0, 20.0, 10),
        ("time-to-co", 0): 60 * reach(lambda x: release / volume - 0.5 * x, 0.0, 1e-4, 20),
        ("time-to-co-sealed", 0): 60 * reach(lambda x: release / 660.0, 0.0, 1e-4, 20),
        ("co2-level", 0): breath(5040),
        ("co2-level", 1): breath(1320),
        ("first-rise", 0): floor_held(27)[0],
        ("warm-up-floor", 0): floor_held(27)[1],
        ("duct-outlet-temperature", 0): duct_end(0.0),
        ("duct-outlet-temperature", 1): duct_end(-10.0),
        ("cool-down-time", 0): cool_down(),
        ("excess-air-exact", 1): 1.5 if abs(100 * burn(1.5)[0] - 7.3437041) < 1e-3 else math.nan,
        ("reynolds-number", 0): fluids.Reynolds(2.5, 0.25, nu=1.636e-5),
        ("jet-mass-ratio", 0): orifice(803) / orifice(854),
    }


def main() -> int:
    """Print every value; return 1 when one differs."""
    frozen = {check["check"]: check["result"] for check in CHECKS["tied"] if "result" in check}
    rows = [(id, frozen[id], value) for id, value in recomputed().items()]
    worked = worked_results()
    rows += [(f"{id} worked {at + 1}", worked[id][at], value) for (id, at), value in integrated().items()]
    wrong = 0
    for id, kept, value in rows:
        differs = not math.isclose(kept, value, rel_tol=WITHIN)
        wrong += differs
        print(f"{'DIFFERS' if differs else 'same   '} {id:34} kept {kept:.7g}  now {value:.7g}")
    print(f"{len(rows)} values, {wrong} differ; Haaland for comparison {Haaland(1e5, 1e-4):.6f}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
