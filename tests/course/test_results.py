"""Results of worked examples: taken by later lines under their name, and named when they are not there."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from warmyard.course.grammar import Inline
from warmyard.course.proof import read_proved
from warmyard.course.values import input_text, meaning
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.errors import Place, SourceErrors
from warmyard.formula.quantity import read_quantity

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
PLACE = Place("page.md", 7)


def test_a_result_goes_on_as_the_steps_showed_it(whole_workspace: Workspace) -> None:
    """Skin of the lesson's tent: 20 m by 10 m, eaves 2.4 m, ridge 4.2 m give 374.57 m2, worked out by hand here."""
    half = 10 / 2
    slope = (half**2 + (4.2 - 2.4) ** 2) ** 0.5
    skin = 2 * 20 * (2.4 + slope) + 2 * (10 * 2.4 + half * (4.2 - 2.4))
    text = input_text(whole_workspace.shelf, "result tent-skin", PLACE)
    assert read_quantity(text, "m2") == round(skin, 2)
    shown = meaning(whole_workspace.shelf, Inline("result", "tent-skin", "", (), "[[result tent-skin]]", PLACE))
    assert shown.text == f"{skin:.0f} m²"


def test_a_chain_of_examples_holds_together(whole_workspace: Workspace) -> None:
    """The load of the lesson's tent is a fifth more than its skin loses, and its heaters leave that much, as shown."""
    load, skin, left = (
        read_quantity(input_text(whole_workspace.shelf, f"result {name}", PLACE), "kW")
        for name in ("tent-load", "tent-fabric-loss", "heat-left")
    )
    assert load == pytest.approx(1.2 * skin, rel=1e-4)
    heaters = read_quantity(input_text(whole_workspace.shelf, "result tent-heaters", PLACE), "1")
    assert (heaters - 1) * left < load <= heaters * left


def yard_with(folder: Path, text: str) -> Path:
    """Return a small yard whose lesson ends with some more text."""
    yard = Path(shutil.copytree(SMALL_YARD, folder / "yard"))
    page = sorted((yard / "course" / "lessons" / "staff").glob("*.md"))[0]
    page.write_text(page.read_text("utf-8") + text, "utf-8")
    return yard


WORKED = "\n```wy-worked\nformula: nozzle-flow\ncalled: {name}\ninputs: {{q_r: {flow}, p: 10 bar}}\n```\n"


EARLY = WORKED.format(name="a", flow="result later")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            WORKED.format(name="a", flow="result later") + WORKED.format(name="later", flow="1 US_gal/h"),
            "result later names no worked example before",
        ),
        (WORKED.format(name="a", flow="1 US_gal/h") * 2, "two worked examples are called a"),
        ("\nSo much: [[result nowhere]].\n", "a worked example before it"),
    ],
)
def test_a_result_that_is_not_there_yet_is_a_fault(tmp_path: Path, text: str, said: str) -> None:
    """Unknown, given later, or given twice: file, line and what to do."""
    with pytest.raises(SourceErrors) as caught:
        read_proved(yard_with(tmp_path, text))
    assert said in str(caught.value)


def test_another_company_s_sheet_changes_what_follows(tmp_path: Path) -> None:
    """Two examples in a row: the second takes what the first gives, whatever that is."""
    text = WORKED.format(name="a", flow="1 US_gal/h") + "\n[[result a]]\n"
    first = read_workspace(yard_with(tmp_path / "one", text)).results["a"]
    second = read_workspace(yard_with(tmp_path / "two", text.replace("10 bar", "20 bar"))).results["a"]
    assert second.value == pytest.approx(first.value * 2**0.5, rel=1e-9)
