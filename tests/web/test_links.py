"""Links inside an edition: what `check` finds is what a build would stumble over, with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.cli.main import main
from warmyard.course.proof import read_proved
from warmyard.errors import SourceError
from warmyard.web.build import build_edition
from warmyard.web.links import Links, check_links
from warmyard.web.plugin import markdown_of

PAGE = "course/lessons/staff/emergency.md"


def add(yard: Path, *lines: str, file: str = PAGE) -> int:
    """Add lines at the end of a page; return the number of the first."""
    path = yard / file
    text = path.read_text("utf-8").rstrip("\n") + "\n\n"
    path.write_text(text + "\n".join(lines) + "\n", encoding="utf-8")
    return text.count("\n") + 1


def faults_of(yard: Path) -> list[SourceError]:
    """Return the faults of the links of a workspace that is sound otherwise."""
    return check_links(read_proved(yard))


@pytest.mark.parametrize(
    ("link", "what"),
    [
        ("[x](nowhere.md)", "nowhere.md leads to no page of the staff edition"),
        ("[x](emergancy.md)", "leads to no page of the staff edition; did you mean emergency.md?"),
        ("[x](index.html)", "leads to no page of the staff edition; did you mean index.md?"),
        ("[x](before-you-call.md)", "leads to no page of the staff edition"),
        ("[x](/index.md)", "/index.md leads to no page of the staff edition"),
        ("[x](../customer/alarm.md)", "leads to no page of the staff edition"),
        ("[x](#no-such-place)", "leads to a place that emergency.md does not have"),
        ("[x](index.md#no-such-place)", "leads to a place that index.md does not have"),
        ("[x](glossary.md#no-such-word)", "leads to a place that glossary.md does not have"),
        ("[x](https://people.example/)", "leads out of the site; name it in course/sources.yaml"),
        ("[x](//people.example/)", "leads out of the site"),
        ("![x](no-picture.svg)", "no-picture.svg leads to no page"),
        ('<a href="index.md">x</a>', "index.md stands in plain HTML"),
        ('<a href="nowhere.html">x</a>', "nowhere.html leads to no page"),
        ("[x]()", "a link leads nowhere"),
    ],
)
def test_a_link_to_nowhere_is_a_fault_with_its_line(yard: Path, link: str, what: str) -> None:
    """Page, edition, place, picture, raw HTML, outside: one fault on the line where the link stands."""
    line = add(yard, "Some words.", f"More words and {link} here.")
    (fault,) = faults_of(yard)
    assert what in str(fault)
    assert (fault.place.file, fault.place.line) == (PAGE, line + 1)


def test_every_fault_is_told_at_once_in_order(yard: Path) -> None:
    """Two equal links on two lines are one fault that names both, beside a link by reference and another edition's."""
    line = add(yard, "[a](gone.md)", "", "[b](gone.md)", "", "[c][ref]", "", "[ref]: also-gone.md")
    other = add(yard, "[d](L08-filter.md)", file="course/lessons/customer/index.md")
    faults = faults_of(yard)
    found = [(fault.place.file, fault.place.line) for fault in faults]
    assert found == [(PAGE, line), (PAGE, line + 6), ("course/lessons/customer/index.md", other)]
    assert f"(named at {PAGE}:{line + 2} too)" in faults[0].what_to_do


def test_good_links_are_clean_and_the_build_works(yard: Path) -> None:
    """To pages, made pages, headings, twin headings, words, footnotes, files: no fault, and it builds."""
    (yard / "course/lessons/staff/note.txt").write_text("a file", encoding="utf-8")
    term = next(iter(read_proved(yard).terms))
    add(
        yard, "## Twice", "", "words", "", "## Twice", "", "## Named {#by-name}", "",
        "[a](index.md) [b](#twice) [c](#twice_1) [d](emergency.md#by-name) [e](glossary.md) [f](note.txt)",
        f"[g](sources.md) [h](mailto:a@b.org) [i](glossary.md#{term_place(yard, term)}) [j](L08-filter.md?a=1)", "",
        '<a href="index.html">k</a> <a href="#twice">l</a>', "", "A note.[^1]", "",
        "[^1]: At the foot. [back](./emergency.md)", "",
        "`[k](gone.md)` and <!-- [l](gone.md) --> are no links.",
    )  # fmt: skip
    assert [str(fault) for fault in faults_of(yard)] == []
    report = build_edition(read_proved(yard), "staff", yard / "site" / "staff")
    assert report.pages > 0


def term_place(yard: Path, term: str) -> str:
    """Return the place of a word on the page of words, as the site names it."""
    links = Links(read_proved(yard), "staff", markdown_of(yard / "site_config" / "staff.yml"))
    return next(name for name in links.places_of("glossary.md") if term in name)


def test_check_lists_links_and_writes_nothing(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The command says file and line, exit 1; so does a build, before it writes."""
    line = add(yard, "[a](gone.md)")
    monkeypatch.chdir(yard)
    for words in (["check"], ["build"]):
        assert main(words) == 1
        assert f"{PAGE}:{line}: the link gone.md" in capsys.readouterr().err
    assert not (yard / "site").exists()


def test_a_configuration_that_mkdocs_refuses_is_a_fault(yard: Path) -> None:
    """A missing or broken site_config/staff.yml is named by check."""
    config = yard / "site_config" / "staff.yml"
    config.write_text(config.read_text("utf-8") + "theme: no-such-theme\n", encoding="utf-8")
    assert [fault.place.file for fault in faults_of(yard)] == ["site_config/staff.yml"]
    config.unlink()
    assert [fault.place.file for fault in faults_of(yard)] == ["site_config/staff.yml"]
