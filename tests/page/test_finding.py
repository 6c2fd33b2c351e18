"""Looking for words: the page's own JavaScript, without a page."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
import quickjs

from warmyard.course.workspace import Workspace
from warmyard.page.javascript import runtime_text
from warmyard.web.search_entries import LAST, danger_words, other_words

HEADING = re.compile(r"^##+ (.*)$", re.MULTILINE)

BEGIN = """
var index = WY.finding.begin(told);
while (WY.finding.take(index)) {}
function places(typed, open) {
  var found = WY.finding.find(index, typed, open);
  return JSON.stringify(found.parts.map(function (part) { return part.url + (part.anchor ? "#" + part.anchor : ""); }));
}
"""


def opened(pages: list[Any], terms: list[list[str]] | None = None) -> quickjs.Context:
    """Return the search with some pages taken in."""
    context = quickjs.Context()
    context.eval(runtime_text("finding.js"))
    context.eval(f"var told = {json.dumps({'pages': pages, 'terms': terms or []})};{BEGIN}")
    return context


def places(context: quickjs.Context, typed: str, still_typing: bool = False) -> list[str]:
    """Return where it says that the words stand, best first."""
    found: list[str] = json.loads(context.eval(f"places({json.dumps(typed)}, {json.dumps(still_typing)})"))
    return found


def page(url: str, *parts: tuple[str, str, str]) -> list[Any]:
    """Return a page as the index holds it."""
    return [url, parts[0][1], [list(part) for part in parts], 1]


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("trips", "It tripped at noon."),
        ("service", "Two services a year."),
        ("services", "A service a year."),
        ("batteries", "The battery is flat."),
        ("battery", "Both batteries are flat."),
        ("servicing", "A service a year."),
        ("cafe", "Behind the Caf\u00e9."),
        ("CAF\u00c9", "Behind the cafe."),
        ("owners", "The owner\u2019s plate."),
        ("0.8", "A factor of 0.8 is usual."),
    ],
)
def test_a_word_is_found_with_other_endings_and_marks(typed: str, written: str) -> None:
    """Endings, capitals and accents do not matter, on either side."""
    assert places(opened([page("a.html", ("", "A", written))]), typed) == ["a.html"]


@pytest.mark.parametrize(("typed", "written"), [("flue", "The fluid runs."), ("car", "The carbon is black.")])
def test_a_word_that_only_begins_alike_is_not_found(typed: str, written: str) -> None:
    """A finished word is no beginning of another; while it is typed it may be."""
    search = opened([page("a.html", ("", "A", written))])
    assert places(search, typed) == []


def test_the_last_word_may_still_be_typed() -> None:
    """A beginning answers while its word is being typed, after a whole word."""
    search = opened([page("a.html", ("", "A", "carbon")), page("b.html", ("", "B", "a car"))])
    assert places(search, "car", still_typing=True) == ["b.html", "a.html"]


def test_what_is_about_a_word_comes_before_what_names_it() -> None:
    """A heading weighs more than a text that names the word again and again."""
    search = opened(
        [
            page("a.html", ("", "A", "nozzle " * 40)),
            page("b.html", ("", "B", "x"), ("size", "Size of the nozzle", "Read it.")),
        ]
    )
    assert places(search, "nozzle") == ["b.html#size", "a.html"]


def test_all_words_are_wanted_and_most_are_taken() -> None:
    """Parts that hold every word come alone; where none does, those that hold the most."""
    search = opened([page("a.html", ("", "A", "cold fuel")), page("b.html", ("", "B", "cold hands"))])
    assert places(search, "cold fuel") == ["a.html"]
    assert places(search, "cold fuel nowhere") == ["a.html"]


def test_other_words_of_the_trade_lead_to_the_term() -> None:
    """What the glossary calls otherwise is found under the term, several words as one, in a longer question."""
    terms = [["flame sensor", "photocell"], ["lockout", "burner trips"], ["electrodes", "no spark"]]
    search = opened(
        [
            page("a.html", ("", "A", "No new noise, no smoke, a spark.")),
            page("b.html", ("", "B", "x"), ("eye", "Flame sensor", "It sees."), ("rods", "Electrodes", "Two rods.")),
            page("c.html", ("", "Lockout", "It waits.")),
        ],
        terms,
    )
    assert places(search, "photocell")[0] == "b.html#eye"
    assert places(search, "dirty photocells")[0] == "b.html#eye"
    assert places(search, "burner trips")[0] == "c.html"
    assert places(search, "no spark")[0] == "b.html#rods"


@pytest.mark.parametrize(
    ("typed", "about"),
    [
        ("photocell", "sensor"),
        ("burner trips", "lockout"),
        ("no spark", "electrode"),
        ("solenoid", "fuel valve"),
        ("drip tray", "bund"),
        ("gelled fuel", "wax"),
    ],
)
def test_a_fitter_s_words_lead_to_the_lesson_that_speaks_of_it(
    whole_workspace: Workspace, typed: str, about: str
) -> None:
    """With the course's own glossary the first place found of the lessons speaks of the part by its own name."""
    pages: list[Any] = []
    texts: dict[str, str] = {}
    for lesson in whole_workspace.lessons.values():
        if lesson.edition != "staff":
            continue
        heads = [(0, lesson.front.title), *((one.start(), one[1]) for one in HEADING.finditer(lesson.body))]
        ends = [at for at, _ in heads[1:]] + [len(lesson.body)]
        parts = [
            (str(at) if at else "", head, lesson.body[at:end]) for (at, head), end in zip(heads, ends, strict=True)
        ]
        texts |= {
            f"{lesson.url}{'#' if at else ''}{at}": f"{head} {text}".lower().replace("-", " ")
            for at, head, text in parts
        }
        pages.append(page(lesson.url, *parts))
    first = places(opened(pages, other_words(whole_workspace.terms)), typed)[0]
    assert about in texts[first]


def test_a_written_page_comes_before_one_that_was_made() -> None:
    """Of two parts that answer alike the one that somebody wrote comes first."""
    made, written = page("formulas.html", ("", "Nozzle", "x")), page("lesson.html", ("", "Nozzle", "x"))
    made[3] = 0
    assert places(opened([made, written]), "nozzle") == ["lesson.html", "formulas.html"]


def test_hits_are_marked_in_a_stretch_round_the_first() -> None:
    """The stretch begins near the first hit and says where text was left out."""
    search = opened([])
    text = "word " * 60 + "the nozzles drip " + "word " * 60
    cut = f'WY.finding.excerpt({json.dumps(text)}, [{{word: "nozzle", stem: "nozzle"}}], 60)'
    pieces = json.loads(search.eval(f"JSON.stringify({cut})"))
    assert [piece["text"] for piece in pieces if piece["hit"]] == ["nozzles"]
    assert pieces[0]["text"] == "\u2026 "
    assert pieces[-1]["text"] == " \u2026"
    assert sum(len(piece["text"]) for piece in pieces) < 90


def test_nothing_typed_finds_nothing() -> None:
    """Blanks and signs are no words."""
    search = opened([page("a.html", ("", "A", "text"))])
    assert [places(search, typed) for typed in ("", "  ", "?!")] == [[], [], []]


def help_of(context: quickjs.Context, act: str, typed: str) -> Any:
    """Return what the search says of a typed word before it lists places."""
    return json.loads(context.eval(f"JSON.stringify(WY.finding.{act}(index, {json.dumps(typed)}))"))


def knowing(pages: list[Any], terms: dict[str, Any], rules: Any) -> quickjs.Context:
    """Return the search with the course's glossary and its stop rules."""
    context = opened(pages, other_words(terms))
    means = {one.term: one.means for one in terms.values()}
    context.eval(f"told.means = {json.dumps(means)}; told.dangers = {json.dumps(danger_words(rules))};")
    return context


@pytest.mark.parametrize(
    ("typed", "term"),
    [
        ("photocell", "flame sensor"),
        ("Photocells", "flame sensor"),
        ("burner trips", "lockout"),
        ("lockout", "lockout"),
    ],
)
def test_a_word_of_the_glossary_is_explained(whole_workspace: Workspace, typed: str, term: str) -> None:
    """By its own name or another of the trade; a longer question is not taken for a word."""
    search = knowing([page("a.html", ("", "A", "x"))], dict(whole_workspace.terms), whole_workspace.stops.rules)
    found = help_of(search, "explain", typed)
    assert found["term"] == term
    assert found["means"] == next(one.means for one in whole_workspace.terms.values() if one.term == term)
    assert help_of(search, "explain", f"{typed} and the weather") is None


@pytest.mark.parametrize(
    ("typed", "rule"),
    [
        ("smoke", "exhaust-at-the-tent"),
        ("it stinks", "alarm-or-illness"),
        ("smell", "alarm-or-illness"),
        ("headache", "alarm-or-illness"),
    ],
)
def test_danger_comes_before_all_else(whole_workspace: Workspace, typed: str, rule: str) -> None:
    """A word for a danger leads to its stop rule, whatever else names the word more often."""
    rules = whole_workspace.stops.rules
    stops = page(
        "stop-rules.html", ("", "Stop rules", "x"), *((f"stop-{one.id}", one.title, one.when) for one in rules)
    )
    pages = [page("tables.html", ("", f"Table of {typed}", f"{typed} " * 9)), stops]
    search = knowing(pages, dict(whole_workspace.terms), rules)
    assert places(search, typed)[0] == f"stop-rules.html#stop-{rule}"
    assert places(search, typed).count(f"stop-rules.html#stop-{rule}") == 1
    assert places(search, "table")[0] == "tables.html"
    assert help_of(search, "meant", typed) == ""


def test_a_page_of_formulas_comes_last() -> None:
    """Whatever a formula is called, a page that only names the word comes before it."""
    formulas, lesson = page("formulas.html", ("", "Nozzle", "nozzle")), page("lesson.html", ("", "Fuel", "a nozzle"))
    formulas[3] = LAST
    assert places(opened([formulas, lesson]), "nozzle") == ["lesson.html", "formulas.html"]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("fotocell", "photocell"),
        ("dirty nozle", "dirty nozzle"),
        ("nozzles", ""),
        ("nozz", ""),
        ("xylophone", ""),
        ("ab", ""),
    ],
)
def test_the_nearest_known_word_is_offered(typed: str, meant: str) -> None:
    """A misspelt word is told by a letter or two; a known word, its beginning or one far from all offers nothing."""
    search = opened([page("a.html", ("", "A", "A dirty nozzle drips."))], [["flame sensor", "photocell"]])
    assert help_of(search, "meant", typed) == meant
