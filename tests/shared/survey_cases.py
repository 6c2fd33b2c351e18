"""The contract of surveys: its steps on the real register, with machines of its own."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec

from warmyard.course.model import Sheet
from warmyard.course.shelf import Shelf
from warmyard.course.survey import AskGroup, Filled, StepResult, SurveyStep
from warmyard.course.workspace import read_workspace

CONTRACT: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "contract" / "survey.json").read_text(encoding="utf-8")
)
HEAD = (msgspec.convert({"title": "All", "asks": CONTRACT["head"]}, AskGroup),)
STEPS = tuple(msgspec.convert(step, SurveyStep) for step in CONTRACT["steps"])
CASES: list[dict[str, Any]] = CONTRACT["cases"]


def contract_shelf(root: Path) -> Shelf:
    """Return the real shelf with the machines of the contract in the place of the fleet."""
    machines = {
        id: Sheet(id=id, name=id.title(), serial="1", supply="230 V", fuel="gas oil", values=values)
        for id, values in CONTRACT["machines"].items()
    }
    return replace(read_workspace(root).shelf, sheets=machines)


def filled_of(case: dict[str, Any]) -> Filled:
    """Return what a case fills in: what its head does not name stands as the survey begins."""
    start = {ask.name: str(ask.start) for ask in HEAD[0].asks}
    return Filled(case["machine"], {**start, **case["head"]}, case["hand"])


def as_page(result: StepResult) -> dict[str, Any]:
    """Return a result as the page gives it."""
    if result.refused:
        return {"problem": result.refused}
    if result.waits:
        return {"waits": [{"kind": one.kind, "name": one.name} for one in result.waits]}
    return {"value": result.value, "warn": list(result.warn)}
