"""A number with its unit as people type it: Python and the page read the same, and say the same of what they cannot."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
import quickjs
from hypothesis import given
from hypothesis import strategies as st

from warmyard.errors import InputError
from warmyard.formula.typed import read_typed, unit_key, unit_table
from warmyard.formula.units import PLAIN, quantities, show_unit
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import runtime_text

CONTRACT: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "contract" / "typed.json").read_text(encoding="utf-8")
)
IN_WORDS: dict[str, str] = CONTRACT["in_words"]


@pytest.fixture(scope="module")
def page() -> quickjs.Context:
    """Give the page's reader of numbers, without a page."""
    context = quickjs.Context()
    context.eval(units_script())
    context.eval(runtime_text("number.js"))
    return context


def in_page(page: quickjs.Context, text: str, unit: str) -> dict[str, Any]:
    """Return what the page reads."""
    found: dict[str, Any] = json.loads(
        page.eval(f"JSON.stringify(WY.number.read({json.dumps(text)}, {json.dumps(unit)}))")
    )
    return found


def in_python(text: str, unit: str) -> dict[str, Any]:
    """Return what Python reads, in the page's shape."""
    try:
        return {"value": read_typed(text, unit)}
    except InputError as problem:
        return {"problem": str(problem)}


def agree(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Say whether two readings are the same sentence, or the same value within 1e-12."""
    if "value" in one and "value" in other:
        return math.isclose(one["value"], other["value"], rel_tol=1e-12, abs_tol=1e-300)
    return one == other


@pytest.mark.parametrize(
    "case", CONTRACT["cases"], ids=[f"{one['text'][:20]} as {one['unit']}" for one in CONTRACT["cases"]]
)
def test_what_is_typed_is_read_as_the_contract_says(case: dict[str, Any], page: quickjs.Context) -> None:
    """Every case comes out of both readers as it is written there."""
    wanted = {"value": case["value"]} if "value" in case else {"problem": case["refused"]}
    assert agree(in_python(case["text"], case["unit"]), wanted)
    assert agree(in_page(page, case["text"], case["unit"]), wanted)


def test_every_unit_is_read_in_words(page: quickjs.Context) -> None:
    """The contract says each unit of the table as people say it, and both readers know it."""
    assert IN_WORDS.keys() == quantities().keys() - {PLAIN}
    for unit, words in IN_WORDS.items():
        assert in_python(f"2 {words}", unit) == {"value": 2.0}, words
        assert in_page(page, f"2,0 {words}", unit) == {"value": 2}, words


def test_every_unit_is_read_as_it_is_shown_and_as_it_is_written(page: quickjs.Context) -> None:
    """US gal/h, US_gal/h and us gal / h are one unit; no two units are known by one key."""
    keys = [unit_key(spelling) for spelling in quantities() if spelling != PLAIN]
    assert len(set(keys)) == len(keys)
    for unit in IN_WORDS:
        for written in (unit, show_unit(unit), show_unit(unit).replace("/", " / ")):
            assert in_python(f"2 {written}", unit) == {"value": 2.0}, written
            assert in_page(page, f"2  {written}", unit) == {"value": 2}, written


def test_no_sentence_shows_a_spelling_that_nobody_writes() -> None:
    """US gal/h is shown as people write it, in what is said of units too."""
    assert "US_gal" not in json.dumps({**unit_table(), "units": 0, "quantityOf": 0, "shown": 0, "keys": 0, "named": 0})
    assert "US gal/h" in in_python("5 x", "L/h")["problem"]


NUMBERS = st.text(alphabet="0123456789.,' +-eE", max_size=12)
NAMES = st.sampled_from(["", *IN_WORDS, *IN_WORDS.values(), "x", "gal", "gph", "Kw", "per", "1/", "a", "L an hour"])


@given(NUMBERS, NAMES, st.sampled_from([*quantities()]))
def test_both_readers_agree_on_whatever_looks_like_an_answer(
    page: quickjs.Context, number: str, name: str, unit: str
) -> None:
    """Digits, signs and separators in any order with any name of a unit: the same value or the same sentence."""
    text = f"{number} {name}"
    assert agree(in_page(page, text, unit), in_python(text, unit))


@given(st.text(alphabet=st.characters(max_codepoint=0x2FFF), max_size=70))
def test_any_text_is_a_finite_number_or_one_sentence(page: quickjs.Context, text: str) -> None:
    """Whatever is typed, both readers answer with a finite number or with one sentence on one line."""
    found = in_python(text, "bar")
    assert "\n" not in found.get("problem", "")
    assert math.isfinite(found.get("value", 0.0))
    assert agree(in_page(page, text, "bar"), found)


@given(st.floats(min_value=0.001, max_value=1e9), st.integers(min_value=0, max_value=4))
def test_a_point_and_a_comma_write_the_same_number(value: float, decimals: int) -> None:
    """Decimals behind a comma are read as behind a point, unless the comma can stand between thousands."""
    text = f"{value:.{decimals}f}"
    found = in_python(text.replace(".", ","), "bar")
    if "problem" in found:
        assert "can mean two numbers" in found["problem"]
        assert decimals == 3
    else:
        assert found["value"] == float(text)
