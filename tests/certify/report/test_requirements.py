"""Requirements shown: 26 rows, live, and each verdict turns when the record does."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence
from warmyard.certify.demo.cast import NAMES
from warmyard.certify.report.requirement import Measured
from warmyard.certify.report.requirements import (
    FILE,
    HOW_MANY,
    PROBES,
    RequirementShown,
    load_requirements,
    show_requirements,
)
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace
from warmyard.errors import SourceErrors


def rows_of(demo: Demo, workspace: Workspace) -> dict[str, RequirementShown]:
    """Return the rows by id, from the demo's record as it stands."""
    _, state = demo.open()
    wanted = load_requirements(workspace.root)
    rows = show_requirements(wanted, demo.records, state, workspace, demo.made.date(), Measured())
    return {row.id: row for row in rows}


def test_every_requirement_has_a_row_in_order(demo: Demo, small_workspace: Workspace) -> None:
    """There are 26 rows, numbered, each with a verdict, and no row leaves a name in braces open."""
    rows = list(rows_of(demo, small_workspace).values())
    assert [row.number for row in rows] == list(range(1, HOW_MANY + 1))
    assert {row.verdict for row in rows} == {"met", "not-met", "cannot"}
    assert not [row.id for row in rows if not row.found or "{" in row.found]
    assert set(PROBES) == {row.id for row in rows}


def test_the_demo_shows_what_it_can(whole_demo: Demo, whole_workspace: Workspace) -> None:
    """What the program keeps is met in the demo; a cut that three judges set for the demo stays not met."""
    rows = rows_of(whole_demo, whole_workspace)
    assert {name for name, row in rows.items() if row.verdict == "not-met"} == {"cut-grounded", "item-figures"}
    assert "provisional" in rows["cut-grounded"].found
    assert {name for name, row in rows.items() if row.verdict == "cannot"} == {
        "consistency-reported", "false-decisions-stated",
    }, "figures are handed in by the command line, and were not here"  # fmt: skip


def test_papers_without_a_limit_show_nothing_of_being_parallel(demo: Demo, small_workspace: Workspace) -> None:
    """A scheme that does not say how far papers may differ cannot show that they do not."""
    assert rows_of(demo, small_workspace)["forms-parallel"].verdict == "cannot"


def change_page(demo: Demo) -> None:
    """Change the page of a paper that lies in the folder."""
    page = next((demo.records / "papers").glob("*.html"))
    page.write_bytes(page.read_bytes() + b" ")


def change_certificate(demo: Demo) -> None:
    """Change one letter of a certificate file."""
    path = next((demo.records / "certificates").glob("*.json"))
    path.write_text(path.read_text("utf-8").replace("Level 2", "Level 3"), "utf-8")


def drop_status(demo: Demo) -> None:
    """Delete the status list."""
    (demo.records / "status" / "status.js").unlink()


@pytest.mark.parametrize(
    ("spoil", "id", "named"),
    [
        (change_certificate, "certificate-complete", "1 lack something"),
        (drop_status, "status-public", "No status list"),
        (change_page, "security", "1 were changed"),
    ],
)
def test_a_verdict_turns_with_the_record(
    demo: Demo, small_workspace: Workspace, spoil: Callable[[Demo], None], id: str, named: str
) -> None:
    """A changed certificate, a missing list, a changed paper: the row says so."""
    spoil(demo)
    row = rows_of(demo, small_workspace)[id]
    assert (row.verdict, named in row.found) == ("not-met", True)


def test_a_decider_in_conflict_is_counted_with_the_entry(demo: Demo, small_workspace: Workspace) -> None:
    """A grant by somebody who vouched for the candidate is named by its number, never by a name."""
    desk = demo.desk()
    grant = next(iter(desk.state.grants.values()))
    enter_evidence(
        desk,
        EvidenceFile(
            person=grant.entry.person, what="supervised-hours", level=2, by=grant.body.decider,
            on=grant.entry.effective_on.isoformat(),
        ),
    )  # fmt: skip
    row = rows_of(demo, small_workspace)["decider-apart"]
    assert (row.verdict, f"entries {grant.entry.number})" in row.found) == ("not-met", True)


def test_the_command_prints_and_writes(demo: Demo, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`ledger requirements` gives JSON or a page with 26 rows and the claims, and no person's name in either."""
    assert main(["ledger", "requirements", "--json", "--records", str(demo.records)]) == 0
    printed = capsys.readouterr().out
    assert len(json.loads(printed)) == HOW_MANY
    out = tmp_path / "requirements.html"
    assert main(["ledger", "requirements", "--out", str(out), "--records", str(demo.records)]) == 0
    page = out.read_text("utf-8")
    assert page.count("<tr id=") == HOW_MANY
    assert "accredited" in page
    assert not [name for name in NAMES.values() if name in page + printed]


def test_a_broken_ledger_shows_nothing(demo: Demo, capsys: pytest.CaptureFixture[str]) -> None:
    """Requirements are shown from a verified ledger only."""
    next(iter((demo.records / "entries").iterdir())).write_bytes(b"{}")
    assert main(["ledger", "requirements", "--records", str(demo.records)]) == 3
    assert capsys.readouterr().out == ""


def test_a_requirement_that_nobody_can_show_is_refused(tmp_path: Path, small_workspace: Workspace) -> None:
    """A requirement without its function is a fault of the file, with its line."""
    text = (small_workspace.root / FILE).read_text("utf-8").replace("id: identity", "id: identities")
    (tmp_path / "course").mkdir()
    (tmp_path / FILE).write_text(text, "utf-8")
    with pytest.raises(SourceErrors, match="nothing in the record shows identities"):
        load_requirements(tmp_path)


def test_a_name_that_nothing_fills_in_is_told_at_its_line(
    demo: Demo, tmp_path: Path, small_workspace: Workspace
) -> None:
    """In a sentence of the report when it is read, in one of a requirement when its evidence is there."""
    _, state = demo.open()
    text = (small_workspace.root / FILE).read_text("utf-8")
    (tmp_path / "course").mkdir()
    (tmp_path / FILE).write_text(text.replace("{not_met} not met", "{notmet} not met"), "utf-8")
    with pytest.raises(SourceErrors) as told:
        load_requirements(tmp_path)
    (fault,) = told.value.faults
    assert text.split("\n")[fault.place.line - 1].startswith("count:")
    assert (fault.what, fault.what_to_do[:21]) == ("count: nothing fills in {notmet}", "did you mean not_met?")
    (tmp_path / FILE).write_text(text.replace("{papers}", "{papirs}"), "utf-8")
    wanted = load_requirements(tmp_path)
    with pytest.raises(SourceErrors) as told:
        show_requirements(wanted, demo.records, state, small_workspace, demo.made.date(), Measured())
    assert len(told.value.faults) > 1
    for fault in told.value.faults:
        assert "{papirs}" in wanted_line(tmp_path / FILE, fault.place.line)
        assert "nothing fills in {papirs}" in fault.what


def wanted_line(file: Path, line: int) -> str:
    """Return one line of a file."""
    return file.read_text("utf-8").split("\n")[line - 1]
