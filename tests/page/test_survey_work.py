"""The page works a survey out as Python does: the contract, and drawn heads, machines and inputs by hand."""

from __future__ import annotations

import json
import math
import random
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
import quickjs
from survey_cases import CASES, HEAD, STEPS, as_page, contract_shelf, filled_of

from warmyard.course.fences.survey import SurveyNode
from warmyard.course.shelf import Shelf
from warmyard.course.survey import AskGroup, Filled, SurveyStep, start_of, work_survey
from warmyard.course.workspace import Workspace
from warmyard.errors import Place
from warmyard.page.formula_script import register_script
from warmyard.page.javascript import runtime_text, script_of
from warmyard.page.survey_plan import fleet_data, survey_plan

DRAWS = 400
TYPED = (
    "0",
    "1",
    "-3",
    "12.5",
    "2000 cm",
    "5 W/m2K",
    "30 degC",
    "-8",
    "80 %",
    "1,5",
    "five",
    "",
    "1e9",
    "3 kW",
    "400 m2",
)


@pytest.fixture(scope="module")
def shelf(workspace_root: Path) -> Shelf:
    """Give the real register with the machines of the contract."""
    return contract_shelf(workspace_root)


@pytest.fixture(scope="module")
def context(shelf: Shelf) -> quickjs.Context:
    """Give a bare engine with the survey of the contract."""
    return engine(shelf, HEAD, STEPS)


def engine(shelf: Shelf, head: Sequence[AskGroup], steps: Sequence[SurveyStep]) -> quickjs.Context:
    """Return a bare engine with a survey as a page has it."""
    made = quickjs.Context()
    plan = survey_plan(shelf, head, steps, Place())
    for script in (
        *(runtime_text(name) for name in ("number.js", "formula.js", "survey_work.js")),
        register_script(shelf.register, [step.formula for step in steps]),
        script_of(plan=plan, fleet=fleet_data(shelf.sheets)),
    ):
        made.eval(script)
    return made


def in_page(context: quickjs.Context, filled: Filled) -> dict[str, Any]:
    """Return what every step comes to in the page."""
    given = {"machine": filled.machine, "head": dict(filled.head), "hand": dict(filled.hand)}
    found: Any = context.eval(f"JSON.stringify(WY.surveyWork.work(WY.plan, {json.dumps(given)}))")
    return dict(json.loads(found))


def differing(context: quickjs.Context, shelf: Shelf, steps: Sequence[SurveyStep], filled: Filled) -> list[str]:
    """Return the steps on which the page and Python part: in value, words, warnings or what they wait for."""
    shown = in_page(context, filled)
    return [
        f"{name}: {shown[name]} in the page, {as_page(result)} in Python"
        for name, result in work_survey(shelf, steps, filled, Place()).items()
        if not _alike(shown[name], as_page(result))
    ]


def _alike(shown: dict[str, Any], wanted: dict[str, Any]) -> bool:
    if "value" in wanted:
        close = math.isclose(shown.get("value", math.nan), wanted["value"], rel_tol=1e-12)
        return close and shown["warn"] == wanted["warn"]
    return all(shown.get(name) == value for name, value in wanted.items()) and "value" not in shown


@pytest.mark.parametrize("case", CASES, ids=[case["source"] for case in CASES])
def test_contract(context: quickjs.Context, shelf: Shelf, case: dict[str, Any]) -> None:
    """Every case comes out of the page as it comes out of Python, in the same words."""
    assert differing(context, shelf, STEPS, filled_of(case)) == []


def test_drawn_surveys_agree(context: quickjs.Context, shelf: Shelf) -> None:
    """Whatever is typed into the head or over an input, page and Python agree on all steps."""
    chance, refused, waited = random.Random(5), 0, 0
    keys = [f"{step.name}.{name}" for step in STEPS for name in step.takes]
    for _ in range(DRAWS):
        case = {
            "machine": chance.choice(list(shelf.sheets)),
            "head": {ask.name: chance.choice(TYPED) for ask in chance.sample(HEAD[0].asks, 2)},
            "hand": {key: chance.choice(TYPED) for key in chance.sample(keys, chance.choice((0, 0, 1, 2)))},
        }
        assert differing(context, shelf, STEPS, filled_of(case)) == [], case
        results = work_survey(shelf, STEPS, filled_of(case), Place()).values()
        refused += any(result.refused for result in results)
        waited += any(result.waits for result in results)
    assert min(refused, waited) > DRAWS // 20


def test_every_survey_of_the_course_agrees_for_the_whole_fleet(whole_workspace: Workspace) -> None:
    """As it begins, on a very cold night and with a tent of nothing: the same in the page for every machine."""
    shelf = whole_workspace.shelf
    surveys = [node for lesson in whole_workspace.lessons.values() for node in lesson.nodes(SurveyNode)]
    assert surveys
    for node in surveys:
        context = engine(shelf, node.head, node.steps)
        for machine in shelf.sheets:
            start = start_of(shelf, node.head, machine, node.place)
            for changed in ({}, *({name: text} for name in start.head for text in ("-20", "0"))):
                filled = Filled(machine, {**start.head, **changed}, {})
                assert differing(context, shelf, node.steps, filled) == [], (node.title, machine, changed)
