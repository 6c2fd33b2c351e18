"""The evidence page of the decider: what is missing first, then everything, and nothing that a name can break."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from demo_records import Demo

from warmyard.certify.acts.correction import VoidFile, enter_void
from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.ledger.bodies import Irregularity, Observation, Sitting
from warmyard.cli.evidence import nearness
from warmyard.cli.main import main
from warmyard.course.scheme_model import Cut

HOSTILE = '<img src=x onerror="alert(1)"> #read("/etc/passwd") {0.__class__}'


def page_of(demo: Demo, person: str, tmp_path: Path) -> BeautifulSoup:
    """Return the evidence page of a person for level 2, by the command."""
    out = tmp_path / f"{person}.html"
    assert main(["ledger", "evidence", person, "2", "--out", str(out), "--records", str(demo.records)]) == 0
    return BeautifulSoup(out.read_text("utf-8"), "html.parser")


def table_of(page: BeautifulSoup, title: str) -> list[list[str]]:
    """Return the cells of the table below a heading."""
    head = page.find("h2", string=title)
    assert head is not None, title
    section: Any = head.parent
    rows = section.select("tbody tr")
    return [[cell.get_text("\n") for cell in row.find_all(["th", "td"])] for row in rows]


def test_what_is_missing_stands_first_and_is_what_decide_refuses_for(demo: Demo, tmp_path: Path) -> None:
    """The station that Dane has not shown is the first thing after the head of the page."""
    page = page_of(demo, "dane", tmp_path)
    heads = [head.get_text() for head in page.find_all("h2")]
    assert heads[0] == "What is missing"
    assert [item.get_text() for item in page.select(".wy-evidence-missing li")] == [
        "station “Power, fuel, start and stop” is missing: nobody has observed it yet"
    ]
    assert table_of(page, "Stations")[0][1] == "nobody has observed it"


def test_a_complete_candidate_shows_every_part(demo: Demo, tmp_path: Path) -> None:
    """Asta's prerequisites, sitting, station, people and grant are all there, each with its entry."""
    page = page_of(demo, "asta", tmp_path)
    prerequisites = table_of(page, "Prerequisites")
    assert len(prerequisites) == 6
    assert all("vouched for by Tova Lindemark (tova)" in row[3] for row in prerequisites)
    (sitting,) = table_of(page, "Papers and sittings")
    marked = next(demo.open()[1].of("asta", Sitting)).body
    assert f"{marked.right} of {marked.of}, {100 * marked.right / marked.of:.0f} %; cut 80 %" in sitting[3]
    assert "Standard error of the cut 4.2 points, 3 judges, provisional." in sitting[3]
    assert "every one right" in sitting[4]
    stations = table_of(page, "Stations")
    assert len(stations) == len(list(demo.open()[1].of("asta", Observation)))
    assert "Rune Castellan (rune)" in stations[0][2]
    assert stations[0][3].count(": pass") == 8
    people = {row[0]: row[2] for row in table_of(page, "Who trained, examined, observed, invigilated")}
    assert people["Milo Adairson (milo)"].startswith("invigilated")
    assert people["Ines Harrowgate (ines)"].startswith("decided")
    assert "level 2: grant" in table_of(page, "Earlier decisions, appeals, waivers")[0][1]


def test_a_decider_in_conflict_is_named_and_nobody_is_left(demo: Demo, tmp_path: Path) -> None:
    """Ines trained Edda: the table says no, once with all entries; the missing list says that nobody may decide."""
    page = page_of(demo, "edda", tmp_path)
    (row,) = table_of(page, "Who may decide")
    assert (row[0], row[1]) == ("Ines Harrowgate (ines)", "no")
    assert re.search(r"trained or vouched for the candidate on \S+ \(entry \d+(, \d+)+\)", row[2])
    assert row[2].count("trained or vouched") == 1
    assert "Nobody who is entered may decide" in page.select(".wy-evidence-missing")[0].get_text()


def test_void_evidence_stays_readable_and_does_not_count(demo: Demo, tmp_path: Path) -> None:
    """A proof made void is shown with the entry that did it, and its prerequisite is missing."""
    desk = demo.desk()
    filed = next(fact.entry.number for fact in desk.state.facts["dane"] if fact.entry.body.get("what") == "age-18")
    void = enter_void(desk, VoidFile(entry=filed, because="entered-twice")).entry.number
    page = page_of(demo, "dane", tmp_path)
    first = table_of(page, "Prerequisites")[0]
    assert first[2] == "0"
    assert f"made void (entry {void})" in first[3]
    assert "prerequisite missing: 18 years" in page.select(".wy-evidence-missing")[0].get_text()


def test_irregularities_and_open_appeals_are_pointed_out(demo: Demo, tmp_path: Path) -> None:
    """An irregularity and an appeal that nobody decided stand in the notes and in their tables."""
    desk = demo.desk()
    paper = next(name for name, fact in desk.state.papers.items() if fact.entry.person == "cleo")
    body = Irregularity(paper=paper, what="late-hand-in")
    desk.ledger.append("irregularity", "cleo", body, desk.now.date(), desk.now, desk.signer)
    desk = demo.desk()
    suspension = max(number for number, fact in desk.state.by_number.items()
                     if fact.entry.person == "cleo" and fact.entry.kind == "decision")  # fmt: skip
    page = page_of(demo, "cleo", tmp_path)
    notes = page.find("h2", string="Look at this before you decide")
    said: Any = notes.find_next("ul") if notes else None
    assert "late-hand-in" in said.get_text()
    assert f"an appeal against entry {suspension} is lodged" in said.get_text()
    assert table_of(page, "Irregularities")[0][1:] == [paper, "late-hand-in"]
    assert any("the wrong initials" in row[2] for row in table_of(page, "Earlier decisions, appeals, waivers"))


def test_names_and_notes_print_as_themselves(demo: Demo, tmp_path: Path) -> None:
    """Markup, print code and braces in a name or a note are text, and the page runs no script."""
    desk = demo.desk()
    enter_person(desk, PersonFile(name=HOSTILE, person="dane"))
    day = (desk.now - timedelta(days=1)).date().isoformat()
    enter_evidence(
        demo.desk(), EvidenceFile(person="dane", what="installations", level=2, on=day, by="tova", text=HOSTILE)
    )
    page = page_of(demo, "dane", tmp_path)
    assert page.select("img:not(.wy-evidence-face)") == []
    assert page.find("script") is None
    assert page.get_text().count(HOSTILE) >= 2
    assert f"Note: {HOSTILE}" in table_of(page, "Prerequisites")[3][3]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "PERSON LEVEL"),
        (("asta", "2"), "--out"),
        (("asta", "2", "3", "--out", "x.html"), "PERSON LEVEL"),
        (("asta", "two", "--out", "x.html"), "not a level"),
        (("asta", "9", "--out", "x.html"), "no level 9"),
        (("../asta", "2", "--out", "x.html"), "person id"),
        (("ghost", "2", "--out", "x.html"), "nobody with the id"),
        (("asta", "2", "--out", "/dev/null/x.html"), "no such folder"),
        (("asta", "2", "--out", "/"), "cannot be written"),
    ],
)
def test_wrong_calls_are_one_sentence(
    demo_made: Demo, words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wrong person, level, or place for the page is refused in one sentence, and nothing is written."""
    assert main(["ledger", "evidence", *words, "--records", str(demo_made.records)]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert said in err


def test_near_the_cut_is_wilson_and_the_standard_error() -> None:
    """46 of 60 at a cut of 75 % is near; 60 of 60 is not; one standard error from the cut always is.

    Wilson bounds of 46 of 60: 64.6 and 85.6 % (computed by hand from the score interval, z 1.95996).
    """
    near = nearness({f"evidence.{name}": text for name, text in {
        "near": "{error} {judges}{provisional} {low} {high} {of}", "near_yes": "near", "near_no": "far",
        "provisional": "p"}.items()})  # fmt: skip
    cut = Cut(percent=75.0, method="m", judges=5, standard_error=2.0, set_on="2027-01-01", adopted_by="x")
    assert near(cut, 46, 60) == ("2 5 65 86 60 near", True)
    assert near(cut, 60, 60)[1] is False
    assert near(cut, 760, 1000)[1] is True
    assert near(cut, 0, 0) == ("", False)
