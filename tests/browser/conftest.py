"""A page of practice that stands alone, made from the small yard, as a lesson would carry it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from html import escape
from pathlib import Path

import pytest

from warmyard.course.proof import read_proved
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.item.render import assessment_html, practice_html
from warmyard.page.face import face_css
from warmyard.page.javascript import runtime_text, script_of
from warmyard.page.payload import (
    PRACTICE_SCRIPTS,
    helps_of,
    pack_variants,
    payload_of,
    practice_variants,
    reading_script,
)
from warmyard.web.build import build_edition

PracticePage = Callable[[list[str], list[str]], str]


@pytest.fixture(scope="session")
def practice_yard(workspace_root: Path) -> Workspace:
    """Give the small yard, loaded once."""
    return read_workspace(workspace_root / "tests" / "small_yard")


@pytest.fixture(scope="session")
def make_practice_page(
    practice_yard: Workspace, workspace_root: Path, tmp_path_factory: pytest.TempPathFactory
) -> PracticePage:
    """Give a maker: practice items and assessment items in, the page's file:// address out."""
    folder = tmp_path_factory.mktemp("practice")
    words = load_workspace_words(workspace_root)

    def make(practice: list[str], assessment: list[str]) -> str:
        items = [practice_yard.items[name] for name in dict.fromkeys((*practice, *assessment))]
        drawn = {item.id: practice_variants(item, practice_yard.surroundings) for item in items}
        questions = {name: variants[0].question for name, variants in drawn.items()}
        scripts = [script_of(words=words), reading_script(), *(runtime_text(name) for name in PRACTICE_SCRIPTS)]
        scripts.append(
            payload_of(
                pack_variants(name, variants, helps_of(practice_yard.items[name], practice_yard.surroundings))
                for name, variants in drawn.items()
            )
        )
        body = practice_html("Problems", [questions[name] for name in practice]) if practice else ""
        if assessment:
            body += assessment_html("L08", "Fuel filter", [questions[name] for name in assessment])
        path = folder / f"{'-'.join([*practice, 'a', *assessment])[:80]}.html"
        path.write_text(framed(body, scripts), encoding="utf-8")
        return path.as_uri()

    return make


def load_workspace_words(root: Path) -> dict[str, str]:
    """Return the words of the real course: the runtime is tested with what readers see."""
    from warmyard.errors import SourceError
    from warmyard.words import load_words

    faults: list[SourceError] = []
    words = load_words(root / "course" / "words.yaml", root, faults)
    assert not faults, faults
    return dict(words)


def framed(body: str, scripts: list[str]) -> str:
    """Return a whole page around a body, as the site and the paper frame theirs."""
    tags = "".join(f"<script>{script}</script>" for script in scripts)
    style = (
        face_css()
        + runtime_text("wy.css")
        + "body{font-family:sans-serif;background:var(--wy-paper);color:var(--wy-ink)}"
    )
    return (
        '<!doctype html><html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta name="color-scheme" content="light dark"><title>{escape("Practice")}</title><style>{style}</style>'
        f"</head><body><main><h1>Practice</h1><h2>Fuel filter</h2>{body}</main>{tags}</body></html>"
    )


@pytest.fixture(scope="session")
def site(small_site: Path) -> Path:
    """Give both editions of the small yard, built once; nobody writes into them."""
    return small_site


@pytest.fixture(scope="session")
def stepped_lesson(workspace_root: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the file:// address of a lesson of the small yard that is cut into steps, q-run-on critical, built."""
    yard, site = tmp_path_factory.mktemp("stepped") / "yard", tmp_path_factory.mktemp("stepped-site")
    shutil.copytree(workspace_root / "tests" / "small_yard", yard)
    shared = workspace_root / "tests" / "shared"
    shutil.copy(shared / "stepped_lesson.md", yard / "course/lessons/staff/bunds.md")
    bank = yard / "quizbank/practice/fuel.yaml"
    bank.write_text(bank.read_text(encoding="utf-8").replace("demand: recall", "demand: recall\n    critical: true", 1))
    build_edition(read_proved(yard), "staff", site)
    return (site / "bunds.html").as_uri()
