"""A build: sources first, the same bytes twice, a site put in place whole or not at all."""

from __future__ import annotations

import filecmp
from pathlib import Path

import pytest

from warmyard.cli.main import main
from warmyard.course.workspace import read_workspace
from warmyard.errors import InputError
from warmyard.web import build as building
from warmyard.web.audit import PageFault
from warmyard.web.build import AuditError, build_edition, folder_beside, swap


def change(root: Path, file: str, old: str, new: str) -> None:
    """Replace a text in a source file; the text must be there."""
    path = root / file
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{old!r} is not in {file}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def files_of(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder with its bytes."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_both_editions_are_written_and_said(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without words after it the command writes staff and customer below site/, and says so in a few lines."""
    monkeypatch.chdir(yard)
    assert main(["build"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert len(said) == 3
    assert (yard / "site/staff/L08-filter.html").is_file()
    assert (yard / "site/customer/pocket.html").is_file()
    assert [path.name for path in (yard / "site").iterdir() if path.name.startswith(".")] == []


def test_two_builds_are_the_same_bytes(built: Path, yard: Path) -> None:
    """Another folder, another load, another day: not one byte differs."""
    workspace = read_workspace(yard)
    for edition in ("staff", "customer"):
        build_edition(workspace, edition, yard / "again" / edition)
        assert files_of(built / edition) == files_of(yard / "again" / edition)


def test_faulty_sources_leave_the_site_untouched(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A broken unit in one formula: exit 1, one line with file and line, and the site as it was."""
    monkeypatch.chdir(yard)
    assert main(["build", "--edition", "staff"]) == 0
    before = files_of(yard / "site")
    change(yard, "course/formulas/all.yaml", "unit: L, means: volume of one", "unit: bar, means: volume of one")
    capsys.readouterr()
    assert main(["build"]) == 1
    lines = capsys.readouterr().err.strip().splitlines()
    assert len(lines) == 1
    assert lines[0].startswith("course/formulas/all.yaml:")
    assert files_of(yard / "site") == before


def test_a_finding_of_the_audit_leaves_the_site_untouched(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An outside address in the company's own style: exit 1, the file named, and the site as it was."""
    monkeypatch.chdir(yard)
    assert main(["build", "--edition", "staff"]) == 0
    before = files_of(yard / "site")
    style = yard / "site_config" / "theme" / "company.css"
    style.parent.mkdir(exist_ok=True)
    style.write_text("body { background: url(https://people.example/) }", encoding="utf-8")
    capsys.readouterr()
    assert main(["build", "--edition", "staff"]) == 1
    assert "assets/wy/company.css: loads https://people.example/ in a style" in capsys.readouterr().err
    assert files_of(yard / "site") == before
    assert [path.name for path in (yard / "site").iterdir()] == ["staff"]


def test_a_broken_link_between_pages_is_named(yard: Path) -> None:
    """mkdocs' own warning of a link to nowhere ends the build."""
    change(yard, "course/lessons/staff/emergency.md", "People out first.", "[People](nowhere.md) out first.")
    with pytest.raises(InputError, match=r"nowhere\.md"):
        build_edition(read_workspace(yard), "staff", yard / "site/staff")


@pytest.mark.parametrize("where", ["course/out", ".", "site_config"])
def test_no_build_goes_into_the_sources(yard: Path, monkeypatch: pytest.MonkeyPatch, where: str) -> None:
    """--out inside the sources, or around them, is refused."""
    monkeypatch.chdir(yard)
    assert main(["build", "--edition", "staff", "--out", where]) == 2


def test_a_folder_with_something_else_in_it_is_not_replaced(yard: Path) -> None:
    """A folder of letters is not swapped for a site."""
    target = yard.parent / "letters"
    target.mkdir()
    (target / "letter.txt").write_text("dear", encoding="utf-8")
    with pytest.raises(InputError, match="something other"):
        build_edition(read_workspace(yard), "staff", target)
    assert (target / "letter.txt").read_text(encoding="utf-8") == "dear"


def test_a_swap_that_fails_puts_the_old_folder_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the new folder cannot be moved the old one is there again."""
    target = tmp_path / "site"
    target.mkdir()
    (target / "old.html").touch()
    with folder_beside(target) as made:
        made.mkdir()
        rename = Path.rename

        def refuse(self: Path, to: Path) -> Path:
            if self == made:
                raise OSError("disk full")
            return rename(self, to)

        monkeypatch.setattr(Path, "rename", refuse)
        with pytest.raises(OSError, match="disk full"):
            swap(made, target)
    assert [path.name for path in target.iterdir()] == ["old.html"]
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_all_findings_are_kept_for_the_command(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The error of a build carries every finding, not only those that fit a sentence."""
    found = [PageFault(f"page-{at}.html", "leads away") for at in range(90)]
    monkeypatch.setattr(building, "check_site", lambda folder, secrets, book: found)
    with pytest.raises(AuditError) as caught:
        build_edition(read_workspace(yard), "staff", yard / "site/staff")
    assert len(caught.value.faults) == 90
    assert not (yard / "site/staff").exists()


def test_a_country_rule_changes_its_number_and_nothing_else(built: Path, yard: Path) -> None:
    """Another bund share: lesson, worked example, item and calculator follow; every other file keeps its bytes."""
    change(yard, "site_config/rules/england.yaml", "bund holds, value: 110", "bund holds, value: 125")
    workspace = read_workspace(yard)
    for edition in ("staff", "customer"):
        build_edition(workspace, edition, yard / "site" / edition)
    before, after = files_of(built / "staff"), files_of(yard / "site/staff")
    changed = {name for name in before if before[name] != after[name]}
    assert before.keys() == after.keys()
    assert changed == {
        "L08-filter.html",
        "aid-bunds.html",
        "aid-tank.html",
        "assets/wy/data/aid-bunds-survey-1.data.js",
        "assets/wy/data/aid-bunds.formulas.js",
        "assets/wy/data/aid-tank.formulas.js",
        "rules.html",
        "formulas.html",
        "assets/wy/data/L08-filter.formulas.js",
        "assets/wy/data/items/q-bund.js",
        "assets/wy/search_index.js",
        "sw.js",
    }
    lesson = after["L08-filter.html"].decode()
    assert "125\u00a0%" in lesson
    assert 'value="125"' in lesson
    assert "110" not in lesson
    assert files_of(built / "customer") == files_of(yard / "site/customer")


def test_a_rule_on_a_card_changes_the_card(built: Path, yard: Path) -> None:
    """Another clear distance: the customer's card, its printed sheets and the pocket file follow, nothing else."""
    change(yard, "site_config/rules/england.yaml", "outlet, value: 3", "outlet, value: 7")
    build_edition(read_workspace(yard), "customer", yard / "site/customer")
    compared = filecmp.dircmp(built / "customer", yard / "site/customer")
    sheets = {"card-start-a4.pdf", "card-start-a5.pdf"}
    assert set(compared.diff_files) == {"card-start.html", "pocket.html", "sw.js", *sheets}
    assert "7\u00a0m" in (yard / "site/customer/card-start.html").read_text(encoding="utf-8")


def test_no_exam_item_reaches_the_site(built: Path) -> None:
    """Neither id nor question of an exam item stands in any file."""
    for path in built.rglob("*"):
        if path.suffix in (".html", ".js", ".json"):
            text = path.read_text(encoding="utf-8")
            assert "x-bund" not in text
            assert "A guest feels ill beside the heater" not in text


def test_a_staff_page_does_not_reach_the_customer(built: Path) -> None:
    """The customer's folder holds no lesson, no formula page, no method card of the staff."""
    names = {path.name for path in (built / "customer").glob("*.html")}
    assert not names & {"L08-filter.html", "formulas.html", "methods.html", "telephone.html"}


def test_the_switch_of_colours_says_the_company_s_words(yard: Path) -> None:
    """A company's own word for a look stands on the switch of every page, as it is written."""
    (yard / "course/words.yaml").write_text('palette:\n  light: "Make it <lighter>"\n', encoding="utf-8")
    build_edition(read_workspace(yard), "staff", yard / "site/staff")
    text = (yard / "site/staff/index.html").read_text(encoding="utf-8")
    assert 'data-wy-next="Make it &lt;lighter&gt;"' in text


def test_the_configuration_of_an_earlier_version_builds_the_same_site(yard: Path) -> None:
    """A theme and a search of mkdocs that an older file asks for change no byte of what is built."""
    build_edition(read_workspace(yard), "staff", yard / "site/staff")
    files = {path.name: path.read_bytes() for path in (yard / "site/staff").rglob("*") if path.is_file()}
    golden = Path(__file__).resolve().parents[1] / "golden/workspace-1/site_config/base.yml"
    (yard / "site_config/base.yml").write_bytes(golden.read_bytes())
    build_edition(read_workspace(yard), "staff", yard / "site/staff")
    assert {path.name: path.read_bytes() for path in (yard / "site/staff").rglob("*") if path.is_file()} == files
