"""The line with the numbers that a hint shows, keyed in by hand as it stands, comes to the result."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

from warmyard.course.workspace import Workspace
from warmyard.formula.keyed_in import keyed_steps
from warmyard.formula.units import si_spelling, unit_of
from warmyard.item.chance import Chance
from warmyard.item.kinds.numeric.draw import drawn_numbers, numeric_plan
from warmyard.item.kinds.numeric.plan import link_inputs, turn
from warmyard.item.kinds.numeric.schema import Numeric

SEEDS = (1, 2, 3)
SIGNS = {"×": "*", "·": "*", "÷": "/", "−": "-"}
WORDS = {
    "%": "*0.01",
    "%²/K": "*0.0001",
    "%/K": "*0.01",
    "ppm": "*1e-6",
    "round up": "math.ceil",
    "round down": "math.floor",
}
FUNCTIONS = {"exp": math.exp, "ln": math.log, "log10": math.log10, "max": max, "min": min, "pi": math.pi}
RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")


def keyed(node: ElementTree.Element) -> str:
    """Return what a person keys in for a piece of MathML: the numbers, without the units."""
    inner = [keyed(one) for one in node]
    match node.tag:
        case "mfrac":
            return f"(({inner[0]})/({inner[1]}))"
        case "msup":
            return f"{inner[0]}**({inner[1]})"
        case "msqrt":
            return f"math.sqrt({''.join(inner)})"
        case "mn":
            power = re.fullmatch(r"10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", node.text or "")
            return f"1e{power[1].translate(RAISED)}" if power else (node.text or "").replace(" ", "")
        case "mtext":
            return WORDS.get((node.text or "").strip(), "")
        case "mi":
            return {"π": "pi", "e": "math.e"}.get(node.text or "", node.text or "")
        case "mo":
            return SIGNS.get((node.text or "").strip(), (node.text or "").strip())
    text = "".join(inner)
    return f"({text})" if inner and inner[-1] in WORDS.values() else text


def value_of_line(line: str) -> float:
    """Return what the right-hand side of a line comes to."""
    tree = ElementTree.fromstring(f"<all>{line}</all>".replace("\u00a0", " "))
    text = (
        "".join(keyed(one) for one in tree)
        .replace("√", "math.sqrt")
        .replace("round up", "math.ceil")
        .replace("round down", "math.floor")
    )
    return float(eval(text.partition("=")[2], {"math": math, **FUNCTIONS}))


def lines_of(put: str) -> list[str]:
    """Return the lines of a step: one, or the given units and SI units below them."""
    parts = re.split(r"(?<=</span>)(?=<span class=.wy-formula-line)|(?<=</math>)(?=<math display=)", put)
    return [part for part in parts if part]


def test_every_first_line_with_numbers_comes_to_its_result(whole_workspace: Workspace) -> None:
    """In the units of the answer, or, where no one factor serves, in SI units as a second line shows them."""
    wrong, seen = [], 0
    for item in whole_workspace.items.values():
        if not isinstance(item, Numeric):
            continue
        plan = numeric_plan(item, whole_workspace.surroundings)
        for seed in SEEDS:
            numbers = drawn_numbers(plan, Chance(seed))
            for link in plan.links:
                gives = link.form.formula.gives.unit
                put = keyed_steps(link.form.formula, link_inputs(link, {**numbers.values, **numbers.links}))[1]
                lines = lines_of(put)
                unit = unit_of(gives if len(lines) == 1 else si_spelling(gives))
                share = unit.factor if unit.quantity == "plain-number" else 1.0
                turned = turn(gives, gives if len(lines) == 1 else si_spelling(gives))
                wanted = (numbers.links[link.let] * turned.factor + turned.zero) * share
                found = value_of_line(lines[-1])
                seen += 1
                if not math.isclose(found, wanted, rel_tol=0.005, abs_tol=1e-9):
                    wrong.append(f"{item.id}: {found} is not {wanted}: {put}")
    assert wrong == []
    assert seen > 100
