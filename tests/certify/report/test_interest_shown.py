"""What declarations of interests show: the requirement, the evidence page, the register, and nothing of the erased."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from demo_records import Demo

from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.interest import InterestFile, enter_interest
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.report.requirement import Measured
from warmyard.certify.report.requirements import RequirementShown, load_requirements, show_requirements
from warmyard.certify.rules.interest import declaration
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace


def desk(demo: Demo) -> Desk:
    """Return the office's desk a minute after the last entry."""
    ledger, state = demo.open()
    last = state.last_recorded_at
    assert last is not None
    return Desk(ledger, max(last, demo.made) + timedelta(minutes=1), demo.key("office"))


def declare(demo: Demo, person: str, *about: str, ago: int = 0, text: str = "We are family.") -> int:
    """Enter a declaration made some days before the demo and return its entry's number."""
    on = (demo.made.date() - timedelta(days=ago)).isoformat()
    file = InterestFile(person=person, on=on, about=about, text=text if about else "")
    return enter_interest(desk(demo), file).entry.number


def row_of(demo: Demo, workspace: Workspace, on: date) -> RequirementShown:
    """Return the requirement on declarations as it stands on a day."""
    wanted = load_requirements(workspace.root)
    rows = show_requirements(wanted, demo.records, demo.open()[1], workspace, on, Measured())
    return next(row for row in rows if row.id == "interests-declared")


def page_of(demo: Demo, person: str, out: Path) -> str:
    """Return the text of somebody's evidence page."""
    assert main(["ledger", "evidence", person, "2", "--out", str(out), "--records", str(demo.records)]) == 0
    return BeautifulSoup(out.read_text("utf-8"), "html.parser").get_text()


def test_the_requirement_turns_with_the_declarations(demo: Demo, whole_workspace: Workspace) -> None:
    """Not met while one is missing, and the first missing are named; met with all; not met when they are a year old."""
    today = demo.made.date()
    enter_person(desk(demo), PersonFile(person="aaron", name="Aaron Holt", roles=("examiner",)))
    row = row_of(demo, whole_workspace, today)
    assert (row.verdict, "(first: aaron" in row.found) == ("not-met", True)
    people = demo.open()[1].people.values()
    for person in [each.id for each in people if {"examiner", "decider"} & set(each.roles)]:
        declare(demo, person)
    row = row_of(demo, whole_workspace, today)
    assert (row.verdict, "interests declared in them: 0." in row.found) == ("met", True)
    assert row_of(demo, whole_workspace, today + timedelta(days=360)).verdict == "met"
    assert row_of(demo, whole_workspace, today + timedelta(days=370)).verdict == "not-met"
    declare(demo, "aaron", "edda", "asta")
    assert "interests declared in them: 2." in row_of(demo, whole_workspace, today).found
    enter_erase(desk(demo), EraseFile(person="aaron", because="left"))
    assert row_of(demo, whole_workspace, today).verdict == "met"


def test_the_evidence_page_notes_who_has_not_declared(demo: Demo, tmp_path: Path) -> None:
    """Decider and observer without a recent declaration are noted; with one the note is gone."""
    enter_person(desk(demo), PersonFile(person="rune", name="Rune Castellan", roles=("examiner",)))
    enter_person(desk(demo), PersonFile(person="vera", name="Vera Dunmore", roles=("decider",)))
    note = "has declared no interests in the last 12 months"
    declare(demo, "vera", ago=1000)
    assert f"Vera Dunmore (vera) may decide and {note}" in page_of(demo, "edda", tmp_path / "page.html")
    for person in ("vera", "rune"):
        declare(demo, person)
    said = page_of(demo, "edda", tmp_path / "page.html")
    assert f"Vera Dunmore (vera) may decide and {note}" not in said
    assert f"Rune Castellan (rune) observed and {note}" not in said


def test_an_observer_who_has_not_declared_is_noted(demo: Demo, tmp_path: Path) -> None:
    """An observer whose only declaration is made void is noted on the page of whom he or she observed."""
    state = demo.open()[1]
    for fact in [fact for fact in state.facts["rune"] if fact.entry.kind == "interest"]:
        enter_void(desk(demo), VoidFile(entry=fact.entry.number, because="mistake"))
    said = page_of(demo, "edda", tmp_path / "page.html")
    assert "Rune Castellan (rune) observed and has declared no interests in the last 12 months" in said


def test_the_export_lists_declarations(demo: Demo, tmp_path: Path) -> None:
    """The register says of each whether it holds, and no word why."""
    first, second = declare(demo, "ines", "edda", "asta", ago=4), declare(demo, "ines")
    out, day = tmp_path / "export", demo.made.date()
    assert main(["ledger", "export", "--out", str(out), "--records", str(demo.records)]) == 0
    lines = (out / "interests.csv").read_text("utf-8").splitlines()
    assert lines[0] == "entry,person,on,about,holds,void"
    assert f"{first},ines,{day - timedelta(days=4)},asta edda,false,false" in lines
    assert f"{second},ines,{day},,true,false" in lines
    assert "family" not in "".join(path.read_text("utf-8") for path in out.iterdir())


def test_an_erased_person_is_named_in_no_declaration(demo: Demo) -> None:
    """The words of who declared an interest in the person go too; the id stays, and the ledger verifies."""
    declare(demo, "ines", "edda", text="Edda Vossberg is my niece.")
    assert len([path for path in demo.records.rglob("*.json") if b"my niece" in path.read_bytes()]) == 1
    enter_erase(desk(demo), EraseFile(person="edda", because="left"))
    files = [path for path in demo.records.rglob("*") if path.is_file()]
    assert [path for path in files if b"Vossberg" in path.read_bytes()] == []
    held = declaration(demo.open()[1], "ines", demo.made.date())
    assert held is not None
    assert held.body.about == ("edda",)
    enter_erase(desk(demo), EraseFile(person="ines", because="left"))
    assert main(["ledger", "verify", "--records", str(demo.records)]) == 0


def test_the_command_enters_a_declaration(demo: Demo, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`enter interest FILE --key PERSON` says what was declared; a field too many is refused; the help lists it."""
    path = tmp_path / "interest.yaml"
    day = demo.made.date().isoformat()
    path.write_text(f'person: ines\non: "{day}"\nabout: [edda, asta]\ntext: Neighbours.\n', "utf-8")
    words = ["enter", "interest", str(path), "--records", str(demo.records)]
    assert main([*words, "--key", "ines"]) == 0
    assert capsys.readouterr().out.endswith(f"ines declared on {day} an interest in asta, edda\n")
    path.write_text(f'person: ines\non: "{day}"\n', "utf-8")
    assert main(words) == 0
    assert capsys.readouterr().out.endswith(f"ines declared on {day} no interest in anybody\n")
    path.write_text(f'person: ines\non: "{day}"\nwhy: x\n', "utf-8")
    assert main(words) == 2
    assert "why" in capsys.readouterr().err
    with pytest.raises(SystemExit):
        main(["enter", "--help"])
    assert "  interest        person on [about] [text]" in capsys.readouterr().out
