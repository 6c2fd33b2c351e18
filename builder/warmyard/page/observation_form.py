"""The form that an observer fills on a tablet: one station, one candidate, no network."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.course.model import Company, Station
from warmyard.markup import element
from warmyard.page.shell import Page, make_page
from warmyard.page.words import need_words, words_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FormFacts:
    """What a form is about."""

    format: str
    form: str
    person: str
    level: int
    level_name: str
    station: Station
    points_digest: str


def observation_form(facts: FormFacts, company: Company, words: Mapping[str, str]) -> str:
    """Return the form as one self-contained HTML page."""
    chosen = words_of(words, "observe", "sheet")
    said = need_words(words, ("observe.title", "observe.no_script", "paper.level", "paper.candidate"))
    station = facts.station
    points = [{"id": point.id, "look": point.look, "critical": point.critical} for point in station.points]
    page = Page(
        name="wy-observe",
        title=f"{said['observe.title']}: {station.title}",
        subtitle=(
            said["paper.level"].format(level=facts.level, name=facts.level_name),
            said["paper.candidate"].format(person=facts.person),
            facts.form,
        ),
        body=element("p", said["observe.no_script"], class_="wy-alert"),
        scripts=("wy.js", "seal.js", "sheet.js", "observe.js"),
        data={
            "words": chosen,
            "form": {
                "format": facts.format,
                "form": facts.form,
                "person": facts.person,
                "level": facts.level,
                "station": station.id,
                "minutes": station.minutes,
                "setting": station.setting,
                "points": points,
                "points_digest": facts.points_digest,
                "cut_percent": station.cut_percent,
            },
        },
    )
    return make_page(page, company, words)
