"""What the office shows, prints and hands out with every word replaced by its id: no English is left but names, the
course and the scheme. And its Python holds no sentence that a reader would see."""

from __future__ import annotations

import ast
import dataclasses
import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from io import BytesIO
from pathlib import Path
from typing import Any

import msgspec
import pypdf
import pytest
from bs4 import BeautifulSoup
from bs4.element import Comment, PreformattedString
from demo_records import Demo

from warmyard.certify.acts.certificate import give_certificate
from warmyard.certify.acts.notice import write_sheet
from warmyard.certify.acts.paper import issue_paper
from warmyard.certify.demo.cast import CANDIDATES, NAMES
from warmyard.certify.exam.adjustments import Adjustments
from warmyard.certify.exam.observation import make_form
from warmyard.certify.exam.paper import Request, paper_parts
from warmyard.certify.ledger.bodies import KINDS
from warmyard.certify.ledger.folders import PEOPLE
from warmyard.certify.ledger.schemes import adopted_scheme, level_of
from warmyard.certify.report.requirements import load_requirements
from warmyard.cli import figures as figures_verb
from warmyard.cli.main import main
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.course.workspace import Workspace
from warmyard.page.verify_page import make_verify_page
from warmyard.words import names_in, own_words

PACKAGE = Path(__file__).resolve().parents[2] / "builder" / "warmyard"
KEPT = {"language.code": "en-GB", "language.direction": "ltr"}
"""Words that no reader reads."""
MARK = re.compile("«[^»]*»")
WORD = re.compile(r"[A-Za-z]{2,}")
AN_ID = re.compile(r"\b(?:paper|form|[cnw])-[a-z0-9]{8,}\b|\b[0-9A-Za-z]{4}(?:[ -][0-9A-Za-z]{4})+\b|https?://\S+")
GROUPED = re.compile(r"(?:\w{4}-)+\w{4}")
HYPHENED = re.compile(r"\b\w+(?:-\w+)+\b")
"""What is made for one thing alone: ids, digests in groups, addresses."""
SPOKEN = ("aria-label", "alt", "title", "placeholder", "data-label")
OF_THE_MACHINE = {"grant", "suspend", "restore", "withdraw", "refuse", "paper", "practical", "decider"}
"""Ids in a scheme that are words of ours, too: no reader is to see them as they are."""
Said = Mapping[str, str]


def marked() -> dict[str, str]:
    """Return every word as its id in brackets, with the names that are put into it."""
    return {
        name: KEPT.get(name) or " ".join([f"«{name}»", *(f"{{{part}}}" for part in sorted(names_in(text)))])
        for name, text in own_words().items()
    }


def texts_in(value: object) -> Iterator[str]:
    """Yield every text in a plain value, without the names of its fields."""
    if isinstance(value, Mapping):
        for inner in value.values():
            yield from texts_in(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from texts_in(inner)
    elif isinstance(value, str):
        yield from (" ".join(part.split()) for part in re.split(r"\{\w+\}", value))


@dataclasses.dataclass(frozen=True, slots=True)
class Known:
    """What may stand there besides words: whole texts of names, course and scheme, and single names and ids."""

    texts: tuple[str, ...]
    single: frozenset[str]

    def left_of(self, text: str) -> str:
        """Return what is said in a text by neither a word nor these."""
        rest = " ".join(MARK.sub(" ; ", text).split())
        for known in self.texts:
            rest = rest.replace(known, " ; ")
        rest = HYPHENED.sub(lambda found: "" if found.group() in self.single else found.group(), rest)
        found = [word for word in WORD.findall(AN_ID.sub(" ", rest)) if word not in self.single]
        return f"{rest[:200]} -> {found}" if found else ""

    def and_also(self, texts: Iterable[str]) -> Known:
        """Return these with other whole texts."""
        return Known(tuple(sorted({*self.texts, *filter(None, texts)}, key=len, reverse=True)), self.single)

    def left_of_sheet(self, text: str) -> str:
        """Return the same of a printed sheet, whose lines break and join words anywhere."""
        rest = MARK.sub(";", "".join(text.split()))
        for known in self.texts:
            rest = rest.replace("".join(known.split()), ";")
        rest = AN_ID.sub(";", GROUPED.sub(";", rest))
        found = [word for word in re.findall(r"[A-Za-z]{3,}", rest) if word not in self.single]
        return f"{rest[:400]} -> {found}" if found else ""


@pytest.fixture(scope="module")
def known(small_workspace: Workspace) -> Known:
    """Give the texts that no words file holds."""
    space = small_workspace
    assert space.scheme is not None
    sources = (space.scheme, space.company, *space.stations.values(), load_requirements(space.root))
    found = {text for source in sources for text in texts_in(msgspec.to_builtins(source)) if WORD.search(text)}
    found |= {*space.lessons, *space.items, *(lesson.front.title for lesson in space.lessons.values())}
    found |= {*NAMES, *NAMES.values(), *(name for name, _, _ in CANDIDATES), space.scheme.claim.rstrip(".")}
    single = {text for text in found if " " not in text} - OF_THE_MACHINE
    texts = sorted((text for text in found if " " in text), key=len, reverse=True)
    return Known(tuple(texts), frozenset(single))


@pytest.fixture
def speaking(small_workspace: Workspace, monkeypatch: pytest.MonkeyPatch) -> Workspace:
    """Give the sources with every word marked, and let every command speak them."""
    words = marked()
    space = dataclasses.replace(small_workspace, words=words)
    monkeypatch.setattr("warmyard.cli.sources.words", lambda: words)
    monkeypatch.setattr(figures_verb, "words", lambda: words)
    monkeypatch.setattr("warmyard.course.workspace.read_workspace", lambda *_, **__: space)
    return space


def said_on(html: str) -> Iterator[str]:
    """Yield what a page says: its texts, what a reader that speaks hears, and the texts that its scripts show."""
    page = BeautifulSoup(html, "html.parser")
    for tag in page.find_all(True):
        yield from (str(tag[name]) for name in SPOKEN if tag.get(name))
    for text in page.find_all(string=True):
        if not isinstance(text, (Comment, PreformattedString)) and not text.find_parent(("script", "style")):
            yield str(text)
    for data in page.find_all("script", type="application/json"):
        yield from (text for text in texts_in(json.loads(data.text)) if " " in text)


def verify_page_holds(known: Known, html: str) -> None:
    """Fail when a page says something of its own."""
    found = [left for text in said_on(html) if (left := known.left_of(text))]
    assert found == [], "\n".join(found)
    assert len(MARK.findall(html)) > 5


Print = Callable[..., str]


@pytest.fixture
def print_of(demo: Demo, capsys: pytest.CaptureFixture[str]) -> Print:
    """Give what a command on the demo's record prints."""

    def run(*words: str) -> str:
        capsys.readouterr()
        assert main([*words, "--records", str(demo.records)]) == 0
        return capsys.readouterr().out

    return run


def verify_lines_hold(known: Known, lines: Iterable[str]) -> None:
    """Fail when a line says something of its own."""
    found = [left for line in lines if (left := known.left_of(line))]
    assert found == [], "\n".join(found)


@pytest.mark.usefixtures("speaking")
def test_the_board_says_words_alone(known: Known, print_of: Print, tmp_path: Path) -> None:
    """As a page, a table, JSON, a calendar: every reason and what falls due."""
    print_of("clearance", "--out", str(tmp_path / "board.html"))
    verify_page_holds(known, (tmp_path / "board.html").read_text("utf-8"))
    verify_lines_hold(known, print_of("clearance").splitlines())
    for answer in json.loads(print_of("clearance", "--json")):
        verify_lines_hold(known, [answer["reason"], answer["next_due"] or ""])
    print_of("clearance", "--calendar", str(tmp_path / "due.ics"))
    calendar = (tmp_path / "due.ics").read_text("utf-8").replace("\n ", "")
    said = [line.partition(":")[2] for line in calendar.splitlines() if line.startswith("SUMMARY:")]
    assert said
    verify_lines_hold(known, said)


@pytest.mark.usefixtures("speaking")
def test_the_evidence_page_says_words_alone(known: Known, demo: Demo, print_of: Print, tmp_path: Path) -> None:
    """Of everybody in the demo: what is missing, what to look at, tables, decisions, conflicts."""
    written = [json.loads(path.read_bytes()) for path in PEOPLE.at(demo.records).rglob("*.json")]
    known = known.and_also(text for text in texts_in(written) if " " in text)
    for person, _, _ in CANDIDATES:
        page = tmp_path / f"{person}.html"
        print_of("ledger", "evidence", person, "2", "--out", str(page))
        verify_page_holds(known, page.read_text("utf-8"))


@pytest.mark.usefixtures("speaking")
def test_requirements_and_registers_say_words_alone(
    known: Known, small_workspace: Workspace, print_of: Print, tmp_path: Path
) -> None:
    """The page of requirements, and titles and cells of the registers; names of columns are for programs."""
    print_of("ledger", "requirements", "--out", str(tmp_path / "requirements.html"))
    page = (tmp_path / "requirements.html").read_text("utf-8")
    # Its sentences are data of the course, cut where something is put in.
    pieces = known.and_also(texts_in(msgspec.to_builtins(load_requirements(small_workspace.root))))
    found = [left for text in said_on(page) if (left := pieces.left_of(text))]
    assert found == [], "\n".join(found)
    print_of("ledger", "export", "--out", str(tmp_path / "registers"))
    described = json.loads((tmp_path / "registers" / "csv-metadata.json").read_text("utf-8"))
    verify_lines_hold(known, [table["dc:title"] for table in described["tables"]])
    for name in ("certificates", "evidence"):
        rows = (tmp_path / "registers" / f"{name}.csv").read_text("utf-8").splitlines()[1:]
        cells = [cell for row in rows for cell in row.split(",") if cell not in ("true", "false", SURVEILLANCE)]
        verify_lines_hold(known, cells)


@pytest.mark.usefixtures("speaking")
def test_figures_say_words_alone(known: Known, print_of: Print) -> None:
    """Every line of the report; names of methods, items and answers are names."""
    lines = print_of("figures").splitlines()
    names = re.compile(r"\b(?:Wilson|Fisher's z|Feldt)\b|(?<=» )[\w-]+(?= «)|«figures.(?:took|item)[^»]*» .*")
    verify_lines_hold(known, [names.sub(" ", line) for line in lines])
    assert len(lines) > 20


def test_papers_forms_and_notices_say_words_alone(known: Known, demo: Demo, speaking: Workspace) -> None:
    """The open part of a paper with adjustments and its slip, the observer's form, the sheet of a notice."""
    state = demo.state()
    _, scheme = adopted_scheme(state)
    level = level_of(scheme, 2)
    adjusted = Adjustments(extra_time_percent=25, read_aloud=True, because="x", approved_by="odile")
    desk = demo.desk()
    request = Request(
        person="karin", level=level, part=paper_parts(level, None)[0], scheme=scheme, now=desk.now, adjustments=adjusted
    )
    issued = issue_paper(desk, speaking, request)
    page = issued.page.read_text("utf-8")
    verify_page_holds(known, page)
    for name in ("typed.two-ways", "unit.kW", "practice.check"):
        assert f"«{name}»" in page, name
    assert '"bar":"«unit.bar»"' in page
    verify_lines_hold(known, [re.sub(r"(?:\w{4} ){4}\w{4}", "", issued.slip.read_text("utf-8"))])
    station = next(speaking.stations[name] for part in level.parts for name in part.stations)
    verify_page_holds(known, make_form(speaking, level, "karin", station)[1])
    notice = next(iter(state.notices))
    sheet = write_sheet(demo.records, state, notice, scheme.title, speaking.company, speaking.words)
    verify_page_holds(known, sheet.read_text("utf-8"))


def test_the_verify_page_says_words_alone(known: Known, speaking: Workspace) -> None:
    """The page at the gate, with all that its scripts say."""
    activities = {activity.id: activity.title for activity in speaking.scheme.activities}
    verify_page_holds(known, make_verify_page(speaking.company, speaking.words, activities))


def give(demo: Demo, space: Workspace, person: str, words: Said) -> tuple[dict[str, Any], pypdf.PdfReader]:
    """Return a certificate just given, as it was signed and as it was printed."""
    desk = demo.desk(minutes=5)
    given = give_certificate(
        desk.ledger, desk.state, person=person, level=2, company=space.company, words=words, now=desk.now,
        signer=desk.signer,
    )  # fmt: skip
    return json.loads(given.credential.read_bytes()), pypdf.PdfReader(BytesIO(given.sheet.read_bytes()))


@pytest.mark.parametrize("person", ["asta", "otis"])
def test_the_certificate_says_words_alone(known: Known, demo: Demo, speaking: Workspace, person: str) -> None:
    """The sheet with its card, and every sentence of the signed file; otis was decided under a waiver."""
    credential, sheet = give(demo, speaking, person, speaking.words)
    text = "\n".join(page.extract_text() for page in sheet.pages)
    assert "«certificate.may»" in "".join(text.split())
    assert known.left_of_sheet(text) == ""
    subject = credential["credentialSubject"]
    achievement = subject["achievement"]
    said = [credential["name"], subject["narrative"], achievement["criteria"]["narrative"]]
    said += [each[name] for each in credential["evidence"] for name in ("name", "description")]
    digests = re.compile(r"\b[0-9a-f]{64}\b")
    verify_lines_hold(known, [digests.sub("", each) for each in said])
    assert ("certificate.waiver_decider" in subject["narrative"]) == (person == "otis")


def test_words_from_right_to_left_turn_pages_and_sheets(demo: Demo, small_workspace: Workspace) -> None:
    """`lang` and `dir` of paper, form, verify page and certificate are those of the words."""
    words = {**own_words(), "language.code": "he-IL", "language.direction": "rtl"}
    space = dataclasses.replace(small_workspace, words=words)
    _, scheme = adopted_scheme(demo.state())
    level, desk = level_of(scheme, 2), demo.desk()
    request = Request(person="karin", level=level, part=paper_parts(level, None)[0], scheme=scheme, now=desk.now)
    station = next(space.stations[name] for part in level.parts for name in part.stations)
    pages = [
        issue_paper(desk, space, request).page.read_text("utf-8"),
        make_form(space, level, "karin", station)[1],
        make_verify_page(space.company, words, {}),
    ]
    for page in pages:
        assert '<html lang="he-IL" dir="rtl">' in page
    _, left = give(demo, space, "asta", own_words())
    _, right = give(demo, space, "asta", words)
    assert [str(sheet.root_object["/Lang"]) for sheet in (left, right)] == ["en-GB", "he-IL"]
    assert heading_at(left) < 100 < heading_at(right)


def heading_at(sheet: pypdf.PdfReader) -> float:
    """Return how far from the left edge, in points, the heading of a certificate begins."""
    found: list[float] = []

    def look(text: str, page: list[float], line: list[float], _: object, __: float) -> None:
        if own_words()["certificate.heading"] in text:
            found.append(line[4] * page[0] + line[5] * page[2] + page[4])

    sheet.pages[0].extract_text(visitor_text=look)
    return found[0]


def test_every_kind_of_entry_has_a_name() -> None:
    """A certificate names the entries that it rests on."""
    assert {f"entry.{kind}" for kind in KINDS} <= own_words().keys()


# ---- No sentence in Python -----------------------------------------------------------------------------------------

CHECKED = (
    "certify/report", "certify/exam", "certify/credential", "certify/rules", "certify/acts", "measure",
    "cli/clearance.py", "cli/requirements.py", "cli/evidence.py", "cli/figures.py", "cli/mark.py",
)  # fmt: skip
SENTENCE = re.compile(r"(?<![-\w./{<=:])[A-Za-z]{2,}[,:]? [A-Za-z]{2,}(?![-\w=/(])|\b[A-Z][a-z]+ [a-z]+\b")
FOR_THE_DESK = {
    "certify/exam/blueprint.py": (" without the {} items",),
    "certify/exam/observation.py": ("observation, step 1 JSON",),
    "certify/exam/sitting.py": ("the file was made from other", "it answers a question twice"),
    "certify/exam/paper_key.py": ("paper key",),
    "certify/credential/status.py": ("status list",),
    "certify/report/requirements.py": ("nothing in the record shows",),
    "measure/ratings.py": ("write a line for each item",),
    "cli/clearance.py": ("the board", "the calendar"),
    "cli/requirements.py": ("the report",),
    "cli/evidence.py": ("the evidence",),
}
"""Parts of refusals, which whoever types the command reads, and names for programs."""


def sentences(source: str) -> Iterator[tuple[int, str]]:
    """Yield every literal that reads like English, outside docstrings, exceptions and the help of a command."""
    tree = ast.parse(source)
    silent: set[int] = set()
    for node in ast.walk(tree):
        is_help = isinstance(node, ast.Call) and ast.unparse(node.func).endswith("add_argument")
        is_error = isinstance(node, ast.Call) and ast.unparse(node.func).endswith("Error")
        if isinstance(node, ast.Raise | ast.Expr) and (isinstance(node, ast.Raise) or is_text(node.value)):
            silent |= {id(part) for part in ast.walk(node)}
        if is_help or is_error:
            silent |= {id(part) for part in ast.walk(node)}
        if isinstance(node, ast.JoinedStr):
            silent |= {id(part) for part in node.values}
    for node in ast.walk(tree):
        if id(node) in silent:
            continue
        if isinstance(node, ast.JoinedStr):
            text = "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        if SENTENCE.search(text):
            yield node.lineno, text


def is_text(node: ast.expr) -> bool:
    """Say whether an expression is a text alone: a docstring, of a module or of a field."""
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


@pytest.mark.parametrize("room", CHECKED)
def test_no_sentence_stands_in_python(room: str) -> None:
    """What a reader of the office sees is a word; refusals and the help of commands may stay in code."""
    files = [PACKAGE / room] if room.endswith(".py") else sorted((PACKAGE / room).rglob("*.py"))
    assert files
    found = []
    for path in files:
        name = path.relative_to(PACKAGE).as_posix()
        for line, text in sentences(path.read_text(encoding="utf-8")):
            if not text.startswith(FOR_THE_DESK.get(name, ("\0",))):
                found.append(f"{name}:{line}: {text}")
    assert found == []


def test_what_is_excepted_is_still_there() -> None:
    """A sentence that left the code leaves the list of exceptions too."""
    for name, starts in FOR_THE_DESK.items():
        said = [text for _, text in sentences((PACKAGE / name).read_text(encoding="utf-8"))]
        for start in starts:
            assert any(text.startswith(start) for text in said), (name, start)


def test_a_sentence_in_python_is_found() -> None:
    """The finder sees a sentence with a value in it, and neither docstring nor exception."""
    source = '"""A word about it."""\nraise ValueError("not so many of them")\nsaid = f"{n} items lie here"\n'
    assert [text for _, text in sentences(source)] == ["{} items lie here"]
