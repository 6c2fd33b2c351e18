"""A formula on paper: author's order, digits and brackets; worked steps with numbers and units put in."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from warmyard.formula.compute import read_inputs
from warmyard.formula.expression import parse_relation
from warmyard.formula.notation import mathml, plain, symbol_mathml, symbol_text
from warmyard.formula.printed import formula_mathml, formula_text, steps_text, worked_steps
from warmyard.formula.register import Register


def words_of(html: str) -> str:
    """Return the text of MathML, without its layout."""
    return "".join(ET.fromstring(html).itertext())


@pytest.mark.parametrize(
    ("symbol", "text"),
    [
        ("q_r", "q_r"),
        ("V_dot", "V\u0307"),
        ("m_dot", "m\u0307"),
        ("dT", "ΔT"),
        ("dT_w", "ΔT_w"),
        ("rho_15", "ρ_15"),
        ("CO2_max", "CO₂_max"),
        ("O2", "O₂"),
        ("O2_air", "O₂_air"),
        ("COHb", "COHb"),
        ("lam", "λ"),
        ("t_1", "t_1"),
        ("h_w", "h_w"),
    ],
)
def test_symbols_in_text(symbol: str, text: str) -> None:
    """Greek letters, differences, dots and gases as the trade writes them."""
    assert symbol_text(symbol) == text


def test_symbols_in_mathml() -> None:
    """CO2 and O2 get their subscripts, V_dot its dot."""
    assert symbol_mathml("CO2_max") == "<msub><mi>CO</mi><mtext>2, max</mtext></msub>"
    assert symbol_mathml("O2") == "<msub><mi>O</mi><mtext>2</mtext></msub>"
    assert "<mover" in symbol_mathml("V_dot")
    assert symbol_mathml("rho") == "<mi>ρ</mi>"


@pytest.mark.parametrize(
    ("relation", "text"),
    [
        ("1.30*(a*b)**0.625/(a + b)**0.25", "1.30 × (a × b)^0.625 / (a + b)^0.25"),
        ("(t_min - dT_w) - t_p", "(t_min − ΔT_w) − t_p"),
        ("-ln(1 - x*n*V/G)/n", "−ln(1 − x × n × V / G) / n"),
        ("exp(-U*pi)", "exp(−U × π)"),
        ("a*(-b)", "a × (−b)"),
        ("a - -b*c", "a − (−b × c)"),
        ("0.25/(log10(a))**2", "0.25 / (log10(a))^2"),
        ("a - (b - c)", "a − (b − c)"),
        ("a/(b*c)", "a / (b × c)"),
        ("a/b/c", "a / b / c"),
        ("a*(b/c)", "a × (b / c)"),
        ("(a + b)*c", "(a + b) × c"),
        ("(-a)**2", "(−a)^2"),
        ("-a**2", "−a^2"),
        ("p/(R*kelvin(t))", "p / (R × (t + 273.15))"),
        ("ceil(P/P_1)", "round up (P / P_1)"),
        ("max(a, b - c)", "max(a, b − c)"),
        ("sqrt(3)*U", "√(3) × U"),
    ],
)
def test_plain_text_keeps_order_digits_and_brackets(relation: str, text: str) -> None:
    """What the author wrote, in the author's order."""
    assert plain(parse_relation(relation).tree) == text


@pytest.mark.parametrize("relation", ["a - (b - c)", "a/(b*c)", "a*(b + c)", "-(a - b)*c", "(a/b)**2", "a*(-b)"])
def test_plain_text_means_the_same(relation: str) -> None:
    """Read back, the text gives the same tree value."""
    values = {"a": 3.0, "b": 5.0, "c": 7.0}
    back = plain(parse_relation(relation).tree).replace("×", "*").replace("−", "-").replace("^", "**")
    expected = parse_relation(relation).function(values)
    assert parse_relation(back).function(values) == pytest.approx(expected)


def test_a_fraction_under_a_power_is_bracketed() -> None:
    """(a/b) squared cannot be read as a over b squared."""
    assert "<msup><mrow><mo>(</mo><mfrac>" in mathml(parse_relation("(a/b)**2").tree)
    assert "<mo>(</mo>" not in mathml(parse_relation("a**2").tree)


def test_a_root_of_more_than_a_letter_is_bracketed() -> None:
    """Where a device has no font for mathematics the root sign is short; nobody may read √p / p_r for √(p/p_r)."""
    assert "<msqrt><mrow><mo>(</mo><mfrac>" in mathml(parse_relation("q*sqrt(p/p_r)").tree)
    assert "<mo>(</mo>" not in mathml(parse_relation("sqrt(p)").tree)


def test_powers_of_ten_are_raised_by_themselves(register: Register) -> None:
    """10⁻⁶ is written in raised digits, so that it stands together on every device and when it is copied."""
    steps = worked_steps(register.formulas["nozzle-heat-input"], {"q_r": 1, "p": 10, "rho_f": 0.845, "NCV": 42.6})
    assert any("<mo>×</mo><mn>10⁻⁶</mn>" in step for step in steps)


def test_every_formula_is_well_formed_mathml(register: Register) -> None:
    """Each formula and each line of its worked solutions is <math>, in one piece or in pieces that a line holds."""

    def is_math(line: str) -> bool:
        root = ET.fromstring(line)
        return root.tag == "math" or (root.tag == "span" and {part.tag for part in root} == {"math"})

    for formula in register.formulas.values():
        assert is_math(formula_mathml(formula))
        for worked in formula.worked:
            inputs = read_inputs(formula, {key: str(value) for key, value in worked.inputs.items()})
            lines = worked_steps(formula, inputs)
            assert all(map(is_math, lines))
            assert len(lines) == len(steps_text(formula, inputs))
            assert len(lines) >= 3


def test_steps_where_the_units_cancel(register: Register) -> None:
    """A nozzle at another pressure: formula, numbers put in, result."""
    steps = steps_text(register.formulas["nozzle-flow"], {"q_r": 1, "p": 10, "p_r": 6.895})
    assert steps == (
        "q = q_r × √(p / p_r)",
        "q = 1 US gal/h × √(10 bar / 6.895 bar)",
        "q = 1.2043 US gal/h",
    )


def test_steps_that_need_base_units(register: Register) -> None:
    """A rise: the numbers as given, then in watts and cubic metres a second."""
    steps = steps_text(register.formulas["temperature-rise"], {"P": 60, "V_dot": 3600})
    assert steps[1:] == (
        "ΔT = 60 kW / (1.2 kg/m³ × 3600 m³/h × 1005 J/(kg·K))",
        "ΔT = 60000 W / (1.2 kg/m³ × 1 m³/s × 1005 J/(kg·K))",
        "ΔT = 49.751 K",
    )


def test_steps_with_shares_and_rounding(register: Register) -> None:
    """Percent become decimals, and what is rounded up is shown before."""
    steps = steps_text(register.formulas["heater-count"], {"P": 55.6, "P_r": 38})
    assert steps[1:] == (
        "N = round up (55.6 kW / 38 kW)",
        "N = round up (1.4632)",
        "N = 2",
    )
    shares = steps_text(register.formulas["hire-fuel"], {"q": 7, "x_u": 60, "t": 30})
    assert "60 %" in shares[1]
    assert "0.6" in shares[2]


def test_negative_temperatures_are_bracketed(register: Register) -> None:
    """Minus five stands in brackets after a minus."""
    steps = steps_text(register.formulas["fabric-loss"], {"U": 5, "A": 100, "t_i": 18, "t_o": -5})
    assert "18 °C − (−5 °C)" in steps[1]
    html = worked_steps(register.formulas["fabric-loss"], {"U": 5, "A": 100, "t_i": 18, "t_o": -5})
    assert "(−5°C)" in words_of(html[1])


def test_formula_text(register: Register) -> None:
    """One line that a person can key in."""
    assert formula_text(register.formulas["flue-loss"]) == "q_A = (t_f − t_a) × (A_2 / (O₂_n − O₂) + B)"
