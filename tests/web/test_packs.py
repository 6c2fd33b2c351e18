"""Mixed practice and the mock paper as built: a light page, problems in packs, nothing of the examination."""

from __future__ import annotations

import json
import re
from pathlib import Path

from warmyard.course.workspace import read_workspace
from warmyard.page.javascript import runtime_text
from warmyard.web.assets import RUNTIME, script_words
from warmyard.web.drawn import ITEMS
from warmyard.web.drawn_calls import CALL_SCRIPTS
from warmyard.web.fill import THEME
from warmyard.web.packs import (
    MIXED_SCRIPTS,
    MOCK_SCRIPTS,
    PLAN,
    RETRIEVAL_SCRIPTS,
    plan_script,
    practice_items,
)
from warmyard.words import own_words

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


def test_the_page_loads_the_plan_and_no_problem(built: Path) -> None:
    """Every problem of the edition lies beside the pages once, and a page names at most its first in a tag."""
    html = (built / "staff" / "practice.html").read_text(encoding="utf-8")
    assert PLAN in html
    items = {item.id for item in practice_items(read_workspace(SMALL_YARD), "staff")}
    assert items <= {path.stem for path in (built / "staff" / ITEMS).glob("*.js")}
    assert ITEMS not in html
    assert (built / "staff" / "L08-filter.html").read_text("utf-8").count(f'<script src="{ITEMS}/') == 1
    assert not (built / "customer" / "practice.html").exists()


def test_the_plan_names_practice_items_only() -> None:
    """No exam item is named, not even as an enemy; every item has skill and duty."""
    workspace = read_workspace(SMALL_YARD)
    script = plan_script(workspace, "staff")
    plan = json.loads(script[script.index("WY.plan = ") + len("WY.plan = ") :].strip().removesuffix(";"))
    exam = {item.id for item in workspace.items.values() if item.use == "exam"}
    named = {name for item in plan["items"] for name in (item["id"], *item["enemies"])}
    assert named
    assert not named & exam
    assert len(plan["items"]) == len(practice_items(workspace, "staff"))
    assert all(item["skill"] in plan["skills"] and item["duty"] in plan["duties"] for item in plan["items"])


def test_a_paper_has_the_blueprint_of_the_scheme() -> None:
    """Cells, minutes, cut and critical items are those of the scheme; stations are named as not tried."""
    workspace = read_workspace(SMALL_YARD)
    script = plan_script(workspace, "staff")
    paper = json.loads(script[script.index("WY.plan = ") + len("WY.plan = ") :].strip().removesuffix(";"))["papers"][0]
    part = workspace.scheme.levels[0].parts[0]
    assert (paper["minutes"], paper["critical"]) == (part.minutes, part.critical_items)
    assert [(cell["duty"], cell["count"]) for cell in paper["cells"]] == [(r.duty, r.count) for r in part.blueprint]
    assert part.cut is not None
    assert paper["cut"] == part.cut.percent
    assert paper["others"] == ["Stations"]


def test_every_word_of_these_pages_is_written() -> None:
    """The scripts say nothing that the words do not hold."""
    for name in {*MIXED_SCRIPTS, *MOCK_SCRIPTS}:
        for word in re.findall(r'"((?:mixed|mock)\.[a-z_]*[a-z])"', runtime_text(name)):
            assert word in own_words()


def test_the_scripts_of_a_site_have_every_word_that_they_say() -> None:
    """Each id that stands in a script of a site is in its words.js; the office's words stay out of it."""
    names = (*RUNTIME, *MIXED_SCRIPTS, *MOCK_SCRIPTS, *RETRIEVAL_SCRIPTS, *CALL_SCRIPTS)
    said = {name: runtime_text(name) for name in names}
    said |= {path.name: path.read_text(encoding="utf-8") for path in (THEME / "assets" / "wy").glob("*.js")}
    words = own_words()
    handed = script_words(words)
    called = {(name, word) for name, text in said.items() for word in re.findall(r'"([\w-]+(?:\.[\w-]+)?)"', text)}
    assert sorted((name, word) for name, word in called if word in words and word not in handed) == []
    assert not [word for word in handed if word.startswith(("evidence.", "scheme.", "unit."))]
