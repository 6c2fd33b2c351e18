"""The grammar of relations: what parses, what does not, and what it comes to."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard.errors import InputError
from warmyard.formula.expression import (
    GrammarError,
    NoValue,
    denominators,
    names_in,
    parse_condition,
    parse_relation,
    python_text,
    truth_of,
    value_of,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 + 2*3", 7),
        ("-2**2", -4),
        ("(1 + 2)*3", 9),
        ("2**3**2", 512),
        ("sqrt(16)", 4),
        ("ln(exp(2))", 2),
        ("log10(1000)", 3),
        ("min(3, 1, 2)", 1),
        ("max(a, 2)", 5),
        ("ceil(315/(45*(1 - 3/10)))", 10),
        ("ceil(10.1)", 11),
        ("floor(2.9999999999)", 3),
        ("floor(2.9)", 2),
        ("kelvin(a)", 278.15),
        ("pi", math.pi),
        ("1.30e1", 13),
    ],
)
def test_value(text: str, value: float) -> None:
    """Every sign and function of the grammar."""
    assert value_of(parse_relation(text), {"a": 5.0}) == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "a +",
        "a b",
        "a if a else a",
        "lambda: 1",
        "[a]",
        "a[0]",
        "a.real",
        "a < 2",
        "'a'",
        "True",
        "1j",
        "0x10",
        "1_000",
        "1e999",
        "a // 2",
        "a % 2",
        "a @ a",
        "~a",
        "+a",
        "not a",
        "__import__('os')",
        "open(a)",
        "sqrt",
        "sqrt(1, 2)",
        "max(1)",
        "sqrt(x=1)",
        "max(*a)",
        "a := 1",
        "a; a",
        "a # b",
        "_a",
        "a__b",
        "√a",
        "a\nb",
        "f'{a}'",
        "(" * 300 + "a" + ")" * 300,
        "a+" * 300 + "a",
        "-" * 250 + "a",
    ],
)
def test_nothing_else_parses(text: str) -> None:
    """Everything outside the grammar is refused with one sentence."""
    with pytest.raises(GrammarError) as refusal:
        parse_relation(text)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("1/a", {"a": 0.0}),
        ("ln(a)", {"a": 0.0}),
        ("sqrt(a)", {"a": -1.0}),
        ("a**(1/2)", {"a": -1.0}),
        ("exp(a)", {"a": 1e9}),
        ("a**a", {"a": 1e9}),
        ("9**9**9", {}),
        ("a*a", {"a": 1e300}),
        ("0**(-1)", {}),
        ("ceil(a)", {"a": 1e308}),
    ],
)
def test_no_finite_value_is_said_so(text: str, values: dict[str, float]) -> None:
    """Never a complex number, an infinity or a traceback."""
    with pytest.raises(NoValue):
        value_of(parse_relation(text), values)


def test_missing_symbol_is_named() -> None:
    """A symbol without a value is asked for by name."""
    with pytest.raises(InputError, match="the symbol b has no value"):
        value_of(parse_relation("a + b"), {"a": 1.0})


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("a < b", True),
        ("a >= b", False),
        ("a == 1", True),
        ("a != 1", False),
        ("a < b and b < 3", True),
        ("a > b or b <= 2", True),
        ("0 < a < b", True),
        ("(a > b and a > 0) or b > a", True),
    ],
)
def test_conditions(text: str, holds: bool) -> None:
    """Comparisons, joined by and, or."""
    assert truth_of(parse_condition(text), {"a": 1.0, "b": 2.0}) is holds


@pytest.mark.parametrize("text", ["a", "a + 1", "a < 1 and b", "not a < 1", "a in b", "a is b", "a < (b < c)"])
def test_a_condition_compares(text: str) -> None:
    """A condition without a comparison is refused."""
    with pytest.raises(GrammarError):
        parse_condition(text)


def test_condition_without_value() -> None:
    """A condition that cannot be decided says so."""
    with pytest.raises(NoValue):
        truth_of(parse_condition("1/a > 2"), {"a": 0.0})


def test_names_and_denominators() -> None:
    """The symbols of a relation, and everything it divides by that holds one."""
    tree = parse_relation("a/(b + pi)/2 + ln(c/d)").tree
    assert names_in(tree) == {"a", "b", "c", "d"}
    assert [python_text(one) for one in denominators(tree)] == ['(v["b"] + pi)', 'v["d"]']


def test_author_digits_and_brackets_are_kept() -> None:
    """1.30 stays 1.30, and the author's brackets are remembered; those of a call do not count."""
    tree = parse_relation("1.30*(a - b) - sqrt(a + b)").tree
    numbers = [one.text for one in [tree.left.left]]  # type: ignore[union-attr]
    assert numbers == ["1.30"]
    assert tree.left.right.bracketed  # type: ignore[union-attr]
    assert not tree.right.arguments[0].bracketed  # type: ignore[union-attr]


@given(st.text(alphabet="ab12.+-*/() ,sqrtmaxinlepk_<>=&\"'[]{}:;", max_size=60))
def test_any_text_is_a_relation_or_one_refusal(text: str) -> None:
    """No text makes the reader raise anything but its own refusal."""
    try:
        relation = parse_relation(text)
    except GrammarError:
        return
    assert set(relation.names) <= {piece for piece in relation.names if piece[0].isalpha()}
