"""A little yard for items: three formulas, a rule, two machines, an order, a drawing, two instruments."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.errors import SourceError
from warmyard.formula.model import Formula
from warmyard.formula.register import Register
from warmyard.item.instrument import Instrument, Scale
from warmyard.item.surroundings import OrderFacts, PictureFacts, Surroundings
from warmyard.machine.load import load_machine
from warmyard.sources import decode_list, parse_document

FORMULAS = """
- id: flow
  title: Flow through a nozzle
  gives: {symbol: q, unit: L/h, means: flow}
  needs:
    - {symbol: q_r, unit: L/h, means: rated flow}
    - {symbol: p, unit: bar, means: pressure}
    - {symbol: p_r, unit: bar, means: rated pressure, default: 7}
  relation: q_r*sqrt(p/p_r)
  slips:
    - {id: no-root, relation: q_r*(p/p_r), say: You left the root out.}
  worked: [{inputs: {q_r: 4, p: 7}, result: 4, within: 0.1 %, source: us, known: demo}]
  sense: More pressure, more flow.
  source: us
  known: demo
- id: burnt
  title: Fuel burnt
  gives: {symbol: V_f, unit: L, means: fuel}
  needs:
    - {symbol: q, unit: L/h, means: flow}
    - {symbol: t, unit: h, means: time}
  relation: q*t
  worked: [{inputs: {q: 4, t: 2}, result: 8, within: 0.1 %, source: us, known: demo}]
  source: us
  known: demo
- id: heaters
  title: How many heaters
  gives: {symbol: N_h, unit: "1", means: heaters}
  needs:
    - {symbol: P, unit: kW, means: load}
    - {symbol: P_1, unit: kW, means: output of one}
  relation: ceil(P/P_1)
  slips:
    - {id: round-down, relation: floor(P/P_1), say: You rounded down.}
    - {id: not-rounded, relation: P/P_1, say: Part of a heater cannot be hired.}
  worked: [{inputs: {P: 100, P_1: 45}, result: 3, within: 0.1 %, source: us, known: demo}]
  source: us
  known: demo
"""
SVG = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><title>Filter with bowl</title>
<defs><linearGradient id="shade"><stop offset="0"/></linearGradient></defs>
<g id="head"><rect x="10" y="10" width="80" height="20" fill="url(#shade)"/></g>
<rect id="bowl" x="20" y="40" width="60" height="50"/><circle id="screw" cx="50" cy="8" r="4"/>
<g class="wy-label"><text x="1" y="1">Bowl</text></g></svg>"""


@pytest.fixture(scope="session")
def formulas() -> Register:
    """Give three formulas: a root, a product, a whole number."""
    faults: list[SourceError] = []
    found = list(decode_list(parse_document(FORMULAS, "formulas.yaml"), Formula, faults))
    assert not faults, faults
    return Register({formula.id: formula for formula in found})


@pytest.fixture
def around(formulas: Register, workspace_root: Path) -> Surroundings:
    """Give fresh surroundings; the machine is the small yard's."""
    machine, faults = load_machine(workspace_root / "tests" / "small_yard" / "course" / "machine", workspace_root)
    assert machine is not None, faults
    order = OrderFacts(
        id="alarm",
        title="Alarm",
        steps={"out": "Send everybody out", "off": "Cut the heater", "call": "Telephone", "wait": "Keep people out"},
        before=(("out", "off", "people come first"), ("off", "call", "the source goes on"), ("call", "wait", "")),
        fails=(("call", "out", "they breathe it meanwhile"),),
        reference=("out", "off", "call", "wait"),
    )
    picture = PictureFacts(
        id="filter",
        title="Filter",
        describes="A filter with its bowl.",
        points={"head": "Head", "bowl": "Bowl", "screw": "Bleed screw"},
        does={"head": "holds the bowl"},
        where={"screw": "on the very top"},
        svg=SVG,
    )
    gauge = Instrument(
        id="gauge",
        look="pressure-gauge",
        title="Gauge",
        describes="A round gauge with two scales.",
        scale=Scale(unit="bar", low=0, high=25, division=0.5, figures=5),
        second=Scale(unit="psi", low=0, high=360, division=10, figures=50),
    )
    tube = Instrument(
        id="tube",
        look="manometer",
        title="U-tube",
        describes="A U-tube with water, zero in the middle.",
        scale=Scale(unit="mmH2O", low=0, high=80, division=1, figures=10),
    )
    return Surroundings(
        register=formulas,
        machine=machine,
        orders={"alarm": order},
        pictures={"filter": picture},
        sheet_values={
            "hare": {"name": "Hare 30", "output": "30 kW", "pressure": "10 bar"},
            "stoat": {"name": "Stoat 60", "output": "60 kW", "pressure": "14 bar"},
        },
        rule_values={"longest-run": (8.0, "h", "us")},
        instruments={"gauge": gauge, "tube": tube},
    )
