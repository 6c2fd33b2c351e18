"""Run in a copy of the package that holds the folder odd_one: asks the whole house about the new kind.

    python drive.py YARD SITE       a workspace with odd-one items in practice and exam, and where to build its site

Prints one line of JSON.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import msgspec
import quickjs

from warmyard.certify.exam.paper_key import Asked, PaperKey, key_bytes, nameless
from warmyard.course.proof import read_proved
from warmyard.course.scheme import candidates
from warmyard.course.scheme_model import BlueprintRow
from warmyard.errors import SourceErrors
from warmyard.formats.papers import PAPER_KEY
from warmyard.formats.register import read_labelled
from warmyard.item.check import own_answer
from warmyard.item.kind_table import marking_of
from warmyard.item.marking import mark
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Variant
from warmyard.item.words import marking_words
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import KIND_SCRIPTS, lean_text, runtime_text
from warmyard.page.paper_sheet import SCRIPTS
from warmyard.web.build import build_edition
from warmyard.web.coverage import covered


def in_the_browser(variant: Variant, responses: list[dict[str, Any]]) -> list[Any]:
    """Return the marks that the page gives, and whether it has a control for the kind."""
    context = quickjs.Context()
    context.eval(units_script())
    for name in ("wy.js", "number.js", "marking.js", *KIND_SCRIPTS):
        context.eval(runtime_text(name))
    context.eval(f"WY.markingWords = {json.dumps(marking_words())}")
    context.eval(f"var variant = {msgspec.json.encode(variant).decode()}")
    marks = [json.loads(context.eval(f"JSON.stringify(WY.marking.mark(variant, {json.dumps(r)}))")) for r in responses]
    return [marks, context.eval("typeof WY.kinds[variant.question.kind].control")]


def on_paper(variant: Variant) -> Variant:
    """Return the variant as the frozen key of a paper gives it back."""
    asked = Asked(name="q01", item="x-odd", duty="fuel", critical=False, seed=1, variant=nameless(variant, "q01"))
    key = PaperKey(
        salt="s", paper="p", person="P-1", level=2, part="p", attempt=1, sealed="", cut_percent="70", questions=(asked,)
    )
    stored = read_labelled(PAPER_KEY, msgspec.json.decode(key_bytes(key)))
    return msgspec.convert(stored, PaperKey, strict=True).questions[0].variant


def main(yard: Path, site: Path) -> dict[str, Any]:
    """Return what the house says of the kind."""
    workspace = read_proved(yard)
    item = workspace.items["q-odd"]
    variant = make_variant(item, 1, workspace.surroundings)
    responses = [own_answer(variant), {"chosen": ["bowl"]}, {"chosen": []}]
    build_edition(workspace, "staff", site)
    row = BlueprintRow(duty="fuel", demand="recall", count=1, kinds=("odd-one",))
    paper = on_paper(make_variant(workspace.items["x-odd"], 1, workspace.surroundings))
    (task,) = [each for each in covered(workspace) if each.skill.id == item.skill]
    lesson = (site / "L08-filter.html").read_text("utf-8")
    return {
        "python": [msgspec.to_builtins(mark(variant, response)) for response in responses],
        "browser": in_the_browser(variant, responses),
        "page": {
            "question": 'data-kind="odd-one"' in lesson,
            "script": "runtime.js" in lesson
            and lean_text("kinds/odd_one.js") in (site / "assets/wy/runtime.js").read_text("utf-8"),
            "variants": (site / "assets/wy/data/items/q-odd.js").read_text("utf-8").count('"kind":"odd-one"'),
        },
        "coverage": task.practice.get("odd-one"),
        "candidates": [one.id for one in candidates(row, workspace.skills, workspace.items)],
        "paper": {
            "ids": [one.id for one in paper.question.options],
            "right": mark(paper, own_answer(paper)).right,
            "wrong": sorted(marking_of(paper.key).wrong(paper.question, paper.key).values()),
            "script": "kinds/odd_one.js" in SCRIPTS,
        },
        "unsound": faults_of(yard),
    }


def faults_of(yard: Path) -> list[str]:
    """Return what the proof says when the odd one is among those that belong."""
    bank = yard / "quizbank" / "practice" / "odd.yaml"
    bank.write_text(bank.read_text("utf-8").replace("odd: flue cap", "odd: bowl"), "utf-8")
    try:
        read_proved(yard)
    except SourceErrors as found:
        return [str(fault) for fault in found.faults]
    return []


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), Path(sys.argv[2]))))
