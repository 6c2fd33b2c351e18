"""The whole workspace: what is read, and every planted fault found in one run with its file and line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from warmyard.cli.main import main
from warmyard.course.handbook import read_handbook
from warmyard.course.proof import prove_workspace, read_proved
from warmyard.course.workspace import Workspace, counts, read_workspace
from warmyard.errors import SourceErrors
from warmyard.machine.load import read_machine


def change(root: Path, file: str, old: str, new: str) -> None:
    """Replace a text in a source file; the text must be there."""
    path = root / file
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{old!r} is not in {file}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def faults_of(root: Path) -> list[str]:
    """Return the faults of a workspace, each as its printed line."""
    with pytest.raises(SourceErrors) as caught:
        read_proved(root)
    return [str(fault) for fault in caught.value.faults]


def test_the_small_yard_is_sound_and_complete(yard: Path) -> None:
    """The smallest workspace has no fault, and at least one of everything that is counted."""
    numbers = counts(read_proved(yard))
    assert all(numbers.values()), numbers
    assert numbers["items"] == 10
    assert numbers["exam_items"] == 3


FAULTS = [
    ("course/formulas/all.yaml", "unit: L, means: volume that", "unit: bar, means: volume that", "unit"),
    ("course/lessons/staff/L08-filter.md", "[[rule clear-in-front]]", "[[rule clear-infront]]", "clear-in-front"),
    ("course/lessons/staff/L08-filter.md", "[[term bund]]", "[[term bunt]]", "bund"),
    ("course/lessons/staff/L08-filter.md", "[[sheet stoat.tank]]", "[[sheet stoat.tonk]]", "names nothing"),
    ("course/lessons/staff/L08-filter.md", 'p="10 bar"', 'p="10 kW"', "10 kW"),
    ("course/lessons/staff/L08-filter.md", "picture: filter", "picture: fliter", "did you mean filter"),
    ("course/lessons/staff/L08-filter.md", "items: [q-bund]", "items: [q-bond]", "there is no item q-bond"),
    ("course/lessons/staff/L08-filter.md", "skills: [change-the-filter]", "skills: [change-filter]", "skill"),
    (
        "course/lessons/staff/L08-filter.md",
        "title: Try it\nitems: [q-bund",
        "title: Try it\nitems: [x-bund",
        "exam item",
    ),
    ("course/lessons/staff/L08-filter.md", "{field: tank,", "{field: tenk,", "no sheet has the field tenk"),
    ("course/lessons/staff/L08-filter.md", "minutes: 30", "minutes: thirty", "whole number"),
    ("course/lessons/staff/L08-filter.md", "```wy-caution", "```wy-causion", "there is no fence wy-causion"),
    ("course/lessons/staff/L08-filter.md", "```wy-caution", "  ```wy-caution", "left edge"),
    ("course/lessons/customer/alarm.md", "procedure: alarm", "procedure: fuel-filter", "not for the customer edition"),
    ("course/lessons/customer/card-start.md", "lines:\n", "lines:\n" + "  - a line\n" * 12, "has 15 lines"),
    ("course/lessons/customer/before-you-call.md", "symptom: spark-no-flame", "symptom: spark", "symptom"),
    ("course/lessons/customer/index.md", "editions: [customer]", "editions: [staff]", "edition"),
    ("course/procedures/fuel-filter.yaml", "valid_orders: 2", "valid_orders: 3", "the constraints allow 2"),
    ("course/procedures/fuel-filter.yaml", "skill: change-the-filter", "skill: change-filter", "skill"),
    ("course/pictures/filter.svg", 'id="bowl"', 'id="bowel"', "the drawing has no part bowl"),
    ("course/pictures/filter.svg", '<rect id="head"', '<image href="http://x.example/a.png"/><rect id="head"', "image"),
    ("course/stations/filter-change.yaml", "critical: true", "critical: false", "no point is critical"),
    ("course/skills.yaml", "duty: fuel, title: Change", "duty: fool, title: Change", "there is no duty fool"),
    ("course/machine/machine.yaml", "emergency: alarm", "emergency: alert", "there is no procedure alert"),
    ("site_config/company.yaml", "technician_phone: 01632 960002", 'technician_phone: " "', "technician phone"),
    ("site_config/company.yaml", "country: england", "country: atlantis", "atlantis"),
    ("site_config/rules/elsewhere.yaml", "clear-in-front", "clear-behind", "the rule clear-in-front is missing"),
    ("site_config/rules/england.yaml", "source: bund-rule", "source: bond-rule", "there is no source bond-rule"),
    ("site_config/fleet/hare.yaml", "tank: 65 L", "tank: sixty", "no number with a known unit"),
    ("site_config/fleet/stoat.yaml", "  tank: 105 L\n", "", "the sheet of stoat lacks tank"),
    (
        "site_config/scheme.yaml",
        "count: 2}\n          - {duty: fuel, demand: judge",
        "count: 9}\n          - {duty: fuel, demand: judge",
        "fuel/apply",
    ),
    ("site_config/scheme.yaml", "stations: [filter-change]", "stations: [filter-chance]", "there is no station"),
    (
        "site_config/scheme.yaml",
        "  - {id: unsafe, action: withdraw, text: Unsafe work}\n",
        "",
        "no reason code for withdraw",
    ),
    ("quizbank/exam/fuel.yaml", "use: exam", "use: practice", "its folder for exam"),
    ("quizbank/practice/fuel.yaml", "mode: tank-empty", "mode: tank-empti", "tank-empti"),
    ("quizbank/practice/fuel.yaml", "[[rule clear-in-front]]", "[[rule clear-front]]", "names nothing"),
    ("course/words.yaml", "shell:", "shell: 3\nother:", "is not text"),
]


@pytest.mark.parametrize(("file", "old", "new", "says"), FAULTS, ids=[f"{row[0]}:{row[2][:24]}" for row in FAULTS])
def test_a_planted_fault_is_found_with_file_and_line(yard: Path, file: str, old: str, new: str, says: str) -> None:
    """Each planted fault gives `file:line: what; what to do`, and one of the lines names it."""
    change(yard, file, old, new)
    found = faults_of(yard)
    assert any(says in line for line in found), found
    assert all(re.match(r"[\w./-]+:\d+: [^;]+; .+", line) for line in found), found


def test_a_broken_unit_is_one_line_of_its_own_file(yard: Path) -> None:
    """A broken unit in one formula is one fault, on the line where the formula stands, and nothing repeats it."""
    change(yard, "course/formulas/all.yaml", "unit: L, means: volume of one", "unit: bar, means: volume of one")
    found = faults_of(yard)
    assert len(found) == 1, found
    assert re.match(r"course/formulas/all\.yaml:\d+: .+; .+", found[0])


def test_three_faults_in_three_files_are_all_there(yard: Path) -> None:
    """Formula, lesson and procedure broken together: all three in one run."""
    change(yard, "course/formulas/all.yaml", "unit: L, means: volume of one", "unit: bar, means: volume of one")
    change(yard, "course/lessons/staff/emergency.md", "procedure: alarm", "procedure: alarms")
    change(yard, "course/procedures/fuel-filter.yaml", "valid_orders: 2", "valid_orders: 5")
    files = {line.split(":")[0] for line in faults_of(yard)}
    assert files == {
        "course/formulas/all.yaml",
        "course/lessons/staff/emergency.md",
        "course/procedures/fuel-filter.yaml",
    }


def test_a_file_that_is_no_yaml_does_not_bury_the_list(yard: Path) -> None:
    """When the sources file cannot be read, its own fault stands there and not one for every name it held."""
    (yard / "course/sources.yaml").write_text("sources:\n  - {id: a, title: [\n", encoding="utf-8")
    found = faults_of(yard)
    assert len(found) == 1, found
    assert found[0].startswith("course/sources.yaml:")


def test_the_country_given_stands_in_for_the_company_s(yard: Path) -> None:
    """Another country gives other rule values, to the register too."""
    here, there = read_workspace(yard), read_workspace(yard, country="elsewhere")
    assert (here.rules["clear-in-front"].value, there.rules["clear-in-front"].value) == (3, 4)
    assert [each.register.formulas["containment"].needs[1].default for each in (here, there)] == [110, 120]


def test_a_bank_of_its_own_replaces_the_exam_items(yard: Path, tmp_path: Path) -> None:
    """With --bank the items of quizbank/exam are not read."""
    bank = tmp_path / "bank"
    bank.mkdir()
    text = (yard / "quizbank/exam/fuel.yaml").read_text(encoding="utf-8").replace("id: x-", "id: own-")
    (bank / "own.yaml").write_text(text, encoding="utf-8")
    exam = [item.id for item in read_workspace(yard, bank=bank).items.values() if item.use == "exam"]
    assert sorted(exam) == ["own-alarm", "own-bund", "own-filter-order"]


def test_the_fast_paths_read_only_their_part(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A formula is worked out, with its country's rule, and the machine is read although a lesson is broken."""
    (yard / "course/lessons/staff/L08-filter.md").write_text("no front matter", encoding="utf-8")
    monkeypatch.chdir(yard)
    assert main(["work", "containment", "V_1=100", "--country", "elsewhere"]) == 0
    assert "120 L" in capsys.readouterr().out
    assert "tank-empty" in read_machine(yard / "course/machine", yard).modes


def test_a_notice_is_read_without_the_question_bank(yard: Path) -> None:
    """Pages, data sheets, rules, company and words are there although no item file can be opened."""
    for file in (yard / "quizbank").rglob("*.yaml"):
        file.unlink()
        file.mkdir()
    handbook, faults = read_handbook(yard), faults_of(yard)
    assert handbook.lessons["L08"].front.title
    assert (handbook.sheets["hare"].name, handbook.rules["clear-in-front"].value) == ("Hare 45", 3)
    assert handbook.company.technician_phone
    assert handbook.words
    assert any(line.startswith("quizbank/") for line in faults)


def test_what_holds_no_proof_is_read_all_the_same(yard: Path) -> None:
    """A reader of the sources gets them with a blank telephone number, a wrong cut and a name of nothing in them."""
    change(yard, "site_config/company.yaml", "technician_phone: 01632 960002", 'technician_phone: " "')
    change(yard, "course/stations/filter-change.yaml", "critical: true", "critical: false")
    change(yard, "course/lessons/staff/L08-filter.md", "[[term bund]]", "[[term bunt]]")
    workspace = read_workspace(yard)
    assert "filter-change" in workspace.stations
    found = sorted(str(fault) for fault in prove_workspace(workspace))
    assert len(found) == 3
    assert found == sorted(faults_of(yard))


def test_what_cannot_be_read_is_said_with_what_does_not_hold(yard: Path) -> None:
    """One list: a file that is no YAML and a wrong count of orders; reading alone names the first only."""
    (yard / "course/glossary.yaml").write_text("terms: [", encoding="utf-8")
    change(yard, "course/procedures/fuel-filter.yaml", "valid_orders: 2", "valid_orders: 5")
    assert [line.split(":")[0] for line in faults_of(yard)] == [
        "course/glossary.yaml", "course/procedures/fuel-filter.yaml",
    ]  # fmt: skip
    with pytest.raises(SourceErrors) as caught:
        read_workspace(yard)
    assert [fault.place.file for fault in caught.value.faults] == ["course/glossary.yaml"]


def test_the_course_of_this_checkout_is_sound(whole_workspace: Workspace) -> None:
    """No fault inside a source and none between them: what other tests take from here is proved."""
    assert [str(fault) for fault in prove_workspace(whole_workspace)] == []
