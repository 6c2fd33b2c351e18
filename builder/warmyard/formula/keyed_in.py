"""Worked lines that a hand calculator follows: where the units do not fit, the factor between them is shown too."""

from __future__ import annotations

import math
from collections.abc import Mapping

from markupsafe import Markup

from warmyard.formula.everyday import everyday_of
from warmyard.formula.expression import Binary
from warmyard.formula.model import Formula
from warmyard.formula.printed import plan_steps, worked_steps
from warmyard.formula.quantity import plain_number
from warmyard.markup import element, joined

FIGURES = 5
"""Significant figures of a factor between units."""
_END = "</mrow></math>"


def keyed_steps(formula: Formula, inputs: Mapping[str, float]) -> tuple[Markup, ...]:
    """Return the worked steps whose second line, keyed in as it stands, comes to the result or to one in SI units.

    Inputs are in the symbols' units; raises InputError where the formula refuses them.
    """
    lines = worked_steps(formula, inputs)
    factor = _factor_of(formula)
    if factor == 1.0:
        return lines
    if factor is not None:
        return (lines[0], _times(lines[1], factor), *lines[2:])
    puts = sum(step.quantities is not None for step in plan_steps(formula, inputs))
    return (lines[0], joined(lines[1 : 1 + puts]), *lines[1 + puts :])


def _factor_of(formula: Formula) -> float | None:
    """Return the one factor between the units of a formula; None where there is none to write behind it."""
    everyday = everyday_of(formula)
    if everyday is None:
        return None
    if everyday.is_plain:
        return 1.0
    tree = everyday.form.relation.tree
    return None if isinstance(tree, Binary) and tree.sign in "+-" else everyday.factor


def _times(line: Markup, factor: float) -> Markup:
    """Return a line of MathML with a factor behind it, above one: people divide by 1000."""
    sign, number = ("×", factor) if factor >= 1 else ("÷", 1 / factor)
    nearest = round(number)
    number = float(nearest) if math.isclose(number, nearest, rel_tol=1e-9) else number
    tail = joined((element("mo", sign), element("mn", plain_number(number, 10 if number == nearest else FIGURES))))
    head, end, rest = line.rpartition(_END)
    return Markup(head) + tail + Markup(end) + Markup(rest)
