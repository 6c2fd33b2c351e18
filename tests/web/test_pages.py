"""What the pages hold: values with their sources, drawings in words, cautions at every foot, no script needed."""

from __future__ import annotations

from pathlib import Path

from bs4 import BeautifulSoup
from markupsafe import Markup, escape

from warmyard.course.workspace import read_workspace
from warmyard.errors import Place
from warmyard.web.calls import put_questions, write_call
from warmyard.web.doors import open_doors
from warmyard.web.drawing import inline_svg
from warmyard.web.pocket import LARGEST_BYTES
from warmyard.web.weave import put_back, take_out

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


def page(built: Path, name: str) -> BeautifulSoup:
    """Return a built page."""
    return BeautifulSoup((built / name).read_text(encoding="utf-8"), "html.parser")


def test_every_page_ends_with_the_cautions(built: Path) -> None:
    """Plate and instructions, law, people first and the telephone numbers stand at the foot of every page."""
    pages = list(built.rglob("*.html"))
    assert len(pages) > 12
    for path in pages:
        text = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser").get_text(" ")
        assert "The plate and the instructions of your machine come first." in text, path.name
        assert "people out first" in text, path.name
        assert "01632 960001" in text, path.name


def test_every_page_says_language_and_direction_at_its_root(built: Path) -> None:
    """Pages of the site and pages that stand alone say both in one place, and the body says neither."""
    for path in built.rglob("*.html"):
        found = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
        assert found.html, path.name
        assert (found.html.get("lang"), found.html.get("dir")) == ("en-GB", "ltr"), path.name
        assert found.body, path.name
        assert not found.body.has_attr("dir"), path.name


def test_values_come_with_source_and_how_known(built: Path) -> None:
    """A rule shows its value, a mark that leads to its source, and the first time that it is from memory."""
    lesson = page(built, "staff/L08-filter.html")
    share = lesson.select_one("[data-wy-rule=containment-single-share]")
    assert share is not None
    assert share.get_text() == "110\u00a0%"
    mark = share.find_next_sibling("a")
    assert mark is not None
    target = lesson.find(id=str(mark["href"]).removeprefix("#"))
    assert target is not None
    assert "The bund rule of the yard" in target.get_text()
    beside = mark.find_next_sibling("span")
    assert beside is not None
    assert beside.get_text() == "from memory"


def test_a_heading_holds_the_value_as_plain_text(built: Path) -> None:
    """In a heading, and so in the list of contents, an inline is its bare value."""
    heading = page(built, "staff/L08-filter.html").find("h3", id="what-a-bund-of-110-means")
    assert heading is not None
    assert heading.get_text() == "What a bund of 110 % means"


def test_sheet_and_work_values_are_written_with_units(built: Path) -> None:
    """Sheet values of both machines, and a computed one, stand in the text."""
    text = page(built, "staff/L08-filter.html").get_text(" ")
    assert "65\u00a0L" in text
    assert "105\u00a0L" in text
    assert "1.20\u00a0US\u00a0gal/h" in text


def test_drawings_have_words(built: Path) -> None:
    """A drawing carries its description."""
    lesson = page(built, "staff/L08-filter.html")
    drawing = lesson.select_one(".wy-picture svg")
    assert drawing is not None
    assert str(drawing["aria-label"]).startswith("A round filter head")


def test_the_customer_s_first_screen_has_three_doors(built: Path) -> None:
    """Three links lead to pages that are there, without a script."""
    doors = page(built, "customer/index.html").select(".wy-door")
    assert len(doors) == 3
    for door in doors:
        link = door.find("a")
        assert link is not None
        assert (built / "customer" / str(link["href"])).is_file()


def test_doors_are_made_of_headings_too() -> None:
    """Three headings with their text become doors; the heading and the last link lead to the same page."""
    html = "<h1>T</h1>" + "".join(f'<h2>D{n}</h2><p>do</p><p><a href="d{n}.html">all</a></p>' for n in range(4))
    made = BeautifulSoup(open_doors(html), "html.parser")
    doors = made.select(".wy-doors > .wy-door")
    assert [door.h2.get_text() for door in doors if door.h2] == ["D0", "D1", "D2"]
    assert [link["href"] for link in doors[1].find_all("a")] == ["d1.html", "d1.html"]
    assert made.find_all("h2")[-1].find_parent(class_="wy-doors") is None


def test_the_pocket_file_needs_nothing(built: Path) -> None:
    """One file below 300 kB, without script, link to a file, form or input, its own links leading to its own places."""
    path = built / "customer/pocket.html"
    assert path.stat().st_size < LARGEST_BYTES
    pocket = page(built, "customer/pocket.html")
    assert not pocket.find_all(["script", "form", "input", "img", "iframe"])
    ids = {str(tag["id"]) for tag in pocket.find_all(id=True)}
    for link in pocket.find_all(href=True):
        address = str(link["href"])
        assert address.startswith(("#", "tel:", "mailto:", "data:")), address
        if address.startswith("#"):
            assert address[1:] in ids, address
    text = pocket.get_text(" ")
    assert "Get everybody out" in text
    assert "3\u00a0m" in text


def test_customer_pages_are_whole_without_scripts(built: Path) -> None:
    """The text of a customer's page stands in the page itself: steps, telephone numbers, what to look at."""
    assert "Get everybody out." in page(built, "customer/alarm.html").get_text()
    call = page(built, "customer/before-you-call.html").get_text()
    assert "Look at the fuel gauge." in call
    assert "Refuel only when it is cold and unplugged." in call


def test_taking_out_and_putting_back_keeps_every_line(yard: Path) -> None:
    """What was taken out of the Markdown stands again in its place, in order; nothing of the placeholders stays."""
    lesson = read_workspace(yard).lessons["L08"]
    woven = take_out(lesson, lambda inline: "PLAIN")
    assert "[[" not in woven.markdown
    assert "```wy-" not in woven.markdown
    html = "".join(f"<p>{line}</p>\n" for line in woven.markdown.split("\n") if line)
    back = put_back(html, woven, lambda node: f"({type(node).__name__})", lambda inline: f"<{inline.name}>")
    assert "wyblock" not in back
    assert "wyinline" not in back
    assert back.index("(PictureNode)") < back.index("(WorkedNode)") < back.index("(AssessmentNode)")


def test_ids_and_references_of_a_drawing_move_together() -> None:
    """A prefix goes to every id and to every reference to it."""
    svg = (
        '<?xml version="1.0"?><svg viewBox="0 0 1 1" width="9"><g id="a"/><use href="#a"/><path fill="url(#a)"/></svg>'
    )
    made = str(inline_svg(svg, 'a "drawing"', "p1-"))
    assert made.startswith('<svg role="img" aria-label="a &#34;drawing&#34;" viewBox')
    assert 'id="p1-a"' in made
    assert 'href="#p1-a"' in made
    assert "url(#p1-a)" in made
    assert "width=" not in made


def test_the_safety_questions_come_before_every_script_of_a_page() -> None:
    """On a page of several scripts they stand once, before the first heading; a single script holds them itself."""
    machine = read_workspace(SMALL_YARD).machine

    def rich(text: str, _: Place) -> Markup:
        return Markup(escape(text))

    scripts = [
        str(write_call(machine, name, first=at == 0, folded=True, for_customer=True, rich=rich))
        for at, name in enumerate(machine.symptoms)
    ]
    assert len(scripts) > 1

    whole = "<h1>T</h1>" + "".join(f"<h2>S</h2>{one}" for one in scripts)
    several = put_questions(whole, machine, len(scripts), rich)
    assert several.count("wy-script__questions") == 1
    assert several.index("wy-script__questions") < several.index("<h2>")
    single = put_questions(f"<h2>S</h2>{scripts[0]}", machine, 1, rich)
    assert single.count("wy-script__questions") == 1
    assert single.index("<h2>") < single.index("wy-script__questions")
