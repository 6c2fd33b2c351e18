"""What was published: edition and day, and what may rest on a source."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from warmyard.cli.main import main
from warmyard.course.model import Source
from warmyard.course.proof import prove_workspace
from warmyard.course.published import check_published, of_no_kind, overdue
from warmyard.course.workspace import read_workspace


def source(**said: object) -> Source:
    """Return a source of which only some things matter."""
    return Source(**{"id": "one", "title": "One", "where": "there", "known": "read", **said})  # type: ignore[arg-type]


def test_a_law_names_its_edition_and_its_day() -> None:
    """A law, a norm and guidance without edition or day are two faults; a study needs neither."""
    for kind in ("law", "norm", "guidance"):
        assert [fault.what for fault in check_published([source(kind=kind)])] == [
            f"one is a {kind} and names no edition",
            "nobody is to look at one again",
        ]
    assert check_published([source(kind="study"), source(kind="reference"), source()]) == []


def test_an_edition_of_nothing_and_a_day_before_the_reading_are_faults() -> None:
    """What has an edition is of a kind; nobody looks again before the first look."""
    assert [fault.what for fault in check_published([source(edition="2018")])] == [
        "one has an edition or a clause and no kind"
    ]
    days = source(kind="study", read_on=date(2026, 11, 29), look_again=date(2026, 11, 29))
    assert [fault.what for fault in check_published([days])] == ["one is looked at again before it was read"]


def test_what_is_overdue_by_a_day() -> None:
    """Only days up to the one that is asked, the oldest first."""
    days = {"late": date(2026, 1, 31), "today": date(2026, 3, 1), "ahead": date(2026, 3, 2)}
    sources = [source(id="today", look_again=days["today"]), source(id="none")]
    sources += [source(id=id, look_again=days[id]) for id in ("ahead", "late")]
    assert [one.id for one in overdue(sources, date(2026, 3, 1))] == ["late", "today"]
    assert overdue(sources, date(2025, 12, 31)) == []


def test_no_value_is_better_known_than_its_source(yard: Path) -> None:
    """A value that says read of a source that nobody read, and a law set for the demo, are faults at their lines."""
    rules = yard / "site_config" / "rules"
    file = next(rules.glob("*.yaml"))
    file.write_text(
        file.read_text("utf-8")
        + "  - {id: one-more, value: 1, unit: m, source: bund-rule, known: read, means: one}\n"
        + "  - {id: and-another, value: 1, unit: m, source: a-law, known: demo, means: two}\n",
        "utf-8",
    )
    sources = yard / "course" / "sources.yaml"
    sources.write_text(
        sources.read_text("utf-8")
        + "  - {id: a-law, title: A law, where: there, known: read,\n"
        + "     kind: law, edition: of 2020, look_again: 2027-01-01}\n",
        "utf-8",
    )
    found = [str(fault) for fault in prove_workspace(read_workspace(yard))]
    assert any("the rule one-more says that it was read, and nobody read bund-rule" in one for one in found)
    assert any("the rule and-another is set for the demo and names the law a-law" in one for one in found)


def test_check_says_what_is_to_be_looked_at_again(capsys: pytest.CaptureFixture[str]) -> None:
    """By the day that is given, with the day of each."""
    assert main(["check", "--on", "2027-01-31"]) == 0
    assert "to be looked at again by 2027-01-31 (1): carriage-points-rule (2027-01-31)" in capsys.readouterr().out
    assert main(["check", "--on", "2026-11-29"]) == 0
    assert "to be looked at again by 2026-11-29 (0): none" in capsys.readouterr().out


def test_a_source_that_names_no_kind_is_told(yard: Path) -> None:
    """Only where a rule or a table was read in it, and only while it says nothing."""
    sources = yard / "course" / "sources.yaml"
    sources.write_text(
        sources.read_text("utf-8") + "  - {id: a-page, title: A page, where: there, known: read}\n", "utf-8"
    )
    assert of_no_kind(read_workspace(yard)) == []
    file = yard / "site_config" / "rules" / "england.yaml"
    more = "  - {id: one-more, value: 1, unit: m, source: a-page, known: read, means: one}\n"
    file.write_text(file.read_text("utf-8").replace("rules:\n", f"rules:\n{more}", 1), "utf-8")
    assert of_no_kind(read_workspace(yard)) == ["a-page"]
    sources.write_text(sources.read_text("utf-8").replace("there, known: read}", "there, known: read, kind: study}"))
    assert of_no_kind(read_workspace(yard)) == []
