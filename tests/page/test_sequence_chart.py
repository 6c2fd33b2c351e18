"""Sequence charts: whole in words, safe as markup, readable in a real browser."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from playwright.sync_api import Page

from warmyard.errors import InputError
from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine
from warmyard.page.face import face_css
from warmyard.page.sequence_chart import charted, describe, sketch_sequence

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def machine(workspace_root: Path) -> Machine:
    """Give the machine of the course."""
    found, faults = load_machine(workspace_root / "course" / "machine", workspace_root)
    assert found is not None, faults
    return found


def parsed(svg: str) -> ET.Element:
    """Return a chart as a tree; it must be well-formed."""
    return ET.fromstring(str(svg).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def test_every_chart_is_well_formed_and_described(machine: Machine) -> None:
    """The normal start and each of the faults: title and description by id, ids that differ from chart to chart."""
    ids: set[str] = set()
    for mode in (None, *machine.modes):
        tree = parsed(sketch_sequence(machine, mode))
        title, desc = tree.find(f"{SVG}title"), tree.find(f"{SVG}desc")
        assert title is not None
        assert desc is not None
        assert tree.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
        assert len(desc.text or "") > 200
        found = {element.get("id") for element in tree.iter() if element.get("id")}
        assert not found & ids
        ids |= {str(name) for name in found}


def test_the_seven_lines_stand_in_order(machine: Machine) -> None:
    """Demand, motor, spark, fuel valve, flame signal, main fan, lockout."""
    names = [signal.name for signal in charted(machine)]
    assert names == ["Demand", "Motor", "Spark", "Fuel valve", "Flame signal", "Main fan", "Lockout"]


def test_a_fault_says_where_it_parts(machine: Machine) -> None:
    """An empty tank: the flame never comes, the last good step and the caller's words are there."""
    said = describe(machine, "tank-empty")
    assert "Flame signal: never." in said
    assert "Last step that worked: Ignition." in said
    assert "What the caller reports: Crackle, no flame, lockout." in said
    assert 'class="wy-seq-part"' in sketch_sequence(machine, "tank-empty")
    assert 'class="wy-seq-part"' not in sketch_sequence(machine)


def test_a_fault_that_no_line_shows_says_so(machine: Machine) -> None:
    """A leaking gasket changes none of the seven lines, and the chart says that."""
    assert "None of these lines shows the fault." in sketch_sequence(machine, "burner-gasket-leaks")


def test_a_chart_says_whose_times_it_has(machine: Machine) -> None:
    """The machine whose sheet gave the times is named; without one the times are the demo's own."""
    named, unnamed = sketch_sequence(machine, None, "Otter 45"), sketch_sequence(machine)
    assert "Otter 45" in named
    assert "data sheet of" in named
    assert "data sheet of" not in unnamed


def test_no_such_mode(machine: Machine) -> None:
    """A chart of no fault that exists is refused in words."""
    with pytest.raises(InputError, match="there is no failure mode"):
        sketch_sequence(machine, "gremlin")


@pytest.mark.browser
@pytest.mark.parametrize("width", [390, 1280])
def test_no_text_leaves_or_covers(machine: Machine, module_page: Page, workspace_root: Path, width: int) -> None:
    """In the browser no text leaves the chart, lies on another text, or is smaller than 11 px."""
    css = face_css() + (workspace_root / "builder/warmyard/page/runtime/machine.css").read_text("utf-8")
    module_page.set_viewport_size({"width": width, "height": 900})
    for mode in (None, *machine.modes):
        module_page.set_content(f"<style>body{{margin:16px}}{css}</style>{sketch_sequence(machine, mode)}")
        faults = module_page.evaluate(
            """() => {
              const box = document.querySelector("svg").getBoundingClientRect(), faults = [];
              const texts = [...document.querySelectorAll("svg text")].map((t) => [t, t.getBoundingClientRect()]);
              texts.forEach(([t, r], at) => {
                if (r.left < box.left - 1 || r.right > box.right + 1) faults.push("leaves: " + t.textContent);
                const scale = box.width / document.querySelector("svg").viewBox.baseVal.width;
                if (parseFloat(getComputedStyle(t).fontSize) * scale < 10) faults.push("small: " + t.textContent);
                texts.slice(at + 1).forEach(([o, q]) => {
                  const across = Math.min(r.right, q.right) - Math.max(r.left, q.left);
                  const down = Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top);
                  if (across > 2 && down > 5) faults.push(t.textContent + " lies on " + o.textContent);
                });
              });
              if (document.documentElement.scrollWidth > innerWidth) faults.push("sideways scroll");
              return faults;
            }"""
        )
        assert faults == []
