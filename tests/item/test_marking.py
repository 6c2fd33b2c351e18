"""One set of marked responses holds in Python and in the browser."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
import quickjs

from warmyard.item.marking import mark
from warmyard.item.variant_model import Variant
from warmyard.item.words import marking_words
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import KIND_SCRIPTS, runtime_text

CONTRACT: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "contract" / "marking.json").read_text(encoding="utf-8")
)
ISSUED: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "contract" / "marking_read_1.json").read_text(encoding="utf-8")
)
CASES = [pytest.param(case, id=f"{case['variant']}: {case['name']}") for case in CONTRACT["cases"]]


@pytest.fixture(scope="module")
def browser_marking() -> quickjs.Context:
    """Give the page's marking with its units and words, without a page."""
    context = quickjs.Context()
    context.eval(units_script())
    for name in ("wy.js", "number.js", "marking.js", *KIND_SCRIPTS):
        context.eval(runtime_text(name))
    context.eval(f"WY.markingWords = {json.dumps(marking_words())}; var CONTRACT = {json.dumps(CONTRACT)};")
    return context


def same(found: dict[str, Any], wanted: dict[str, Any]) -> bool:
    """Say whether two marks agree: the share within 1e-12, everything else exactly."""
    shares = found.pop("share"), wanted["share"]
    return abs(shares[0] - shares[1]) <= 1e-12 and found == {k: v for k, v in wanted.items() if k != "share"}


@pytest.mark.parametrize("case", CASES)
def test_python_marks_as_the_contract_says(case: dict[str, Any]) -> None:
    """Every case of the contract comes out of item/marking.py as it is written there."""
    variant = msgspec.convert(CONTRACT["variants"][case["variant"]], Variant)
    found = msgspec.to_builtins(mark(variant, case["response"]))
    assert same(found, case["mark"]), found


@pytest.mark.parametrize("case", ISSUED["cases"], ids=[f"{one['variant']}: {one['name']}" for one in ISSUED["cases"]])
def test_an_issued_paper_is_marked_as_when_it_was_issued(case: dict[str, Any]) -> None:
    """A key without `reads`, as format 1 of a paper's key has it, is marked as it always was."""
    variant = msgspec.convert(ISSUED["variants"][case["variant"]], Variant)
    found = msgspec.to_builtins(mark(variant, case["response"]))
    assert same(found, case["mark"]), found


@pytest.mark.parametrize("case", CASES)
def test_the_browser_marks_as_the_contract_says(case: dict[str, Any], browser_marking: quickjs.Context) -> None:
    """Every case of the contract comes out of the runtime as it is written there."""
    at = CONTRACT["cases"].index(case)
    text = browser_marking.eval(
        f"var c = CONTRACT.cases[{at}]; JSON.stringify(WY.marking.mark(CONTRACT.variants[c.variant], c.response))"
    )
    assert same(json.loads(text), case["mark"]), text


def test_the_contract_covers_every_kind_and_every_way_to_be_wrong() -> None:
    """The cases hold right, wrong, partly right, critical and not understood responses of all kinds of key."""
    types = {variant["key"]["type"] for variant in CONTRACT["variants"].values()}
    assert types == {"choice", "number", "order", "case", "point"}
    for type_ in types:
        named = {name for name, variant in CONTRACT["variants"].items() if variant["key"]["type"] == type_}
        marks = [case["mark"] for case in CONTRACT["cases"] if case["variant"] in named]
        assert {one["right"] for one in marks} == {True, False}
        assert {one["understood"] for one in marks} == {True, False}
    assert sum(case["mark"]["critical_fail"] for case in CONTRACT["cases"]) >= 6


def test_other_words_take_the_place_of_the_built_in_ones() -> None:
    """A sentence of course/words.yaml is said instead of the built-in one of the same id."""
    variant = msgspec.convert(CONTRACT["variants"]["choose one"], Variant)
    assert mark(variant, {"chosen": []}, {"marking.choose": "Choose first."}).reason == "Choose first."
