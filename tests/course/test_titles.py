"""Titles of stations and lessons, as a judge who knows ids has them told."""

from __future__ import annotations

from pathlib import Path

from warmyard.course.titles import titles

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


def test_stations_and_lessons_have_their_titles() -> None:
    """Each station and each page of both editions is found by its id."""
    found = titles(SMALL_YARD)
    assert found["title.station.filter-change"] == "Change a filter"
    assert found["title.lesson.L08"] == "Fuel filter"


def test_what_cannot_be_read_keeps_its_id(tmp_path: Path) -> None:
    """A page without front matter, a station that is no YAML, a title that is a list: no title, and no fault."""
    (tmp_path / "course" / "stations").mkdir(parents=True)
    (tmp_path / "course" / "lessons" / "staff").mkdir(parents=True)
    (tmp_path / "course" / "stations" / "a.yaml").write_text("id: [", encoding="utf-8")
    (tmp_path / "course" / "stations" / "b.yaml").write_text("id: b\ntitle: [x]\n", encoding="utf-8")
    (tmp_path / "course" / "stations" / "c.yaml").write_text("id: c\ntitle: Seen\n", encoding="utf-8")
    (tmp_path / "course" / "lessons" / "staff" / "d.md").write_text("no head", encoding="utf-8")
    assert titles(tmp_path) == {"title.station.c": "Seen"}
