"""One self-contained page: everything inline, nothing fetched, and a policy that lets only its own scripts run."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from warmyard.course.model import Company
from warmyard.page.face import face_css
from warmyard.page.javascript import inert_json, runtime_text
from warmyard.page.words import need_words
from warmyard.words import language_of

_SHEETS = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "sheets"),
    autoescape=True,
    undefined=StrictUndefined,
    keep_trailing_newline=True,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What one page holds besides its frame."""

    name: str
    """Class of the page's main part, `wy-paper` for example."""
    title: str
    subtitle: Sequence[str] = ()
    body: Markup
    """The part that stands there before any script runs."""
    scripts: Sequence[str]
    """Runtime files, or ready script texts, in their order."""
    styles: Sequence[str] = ("wy.css", "sheet.css")
    """Style sheets after the table of colours, in their order."""
    data: Mapping[str, Any] = field(default_factory=dict)
    """Name -> value, put into the page as inert JSON that WY.data(name) reads."""
    beside: Sequence[str] = ()
    """Script files of the same folder that the page loads first."""


def make_page(page: Page, company: Company, words: Mapping[str, str]) -> str:
    """Return the page as HTML; raise SourceError when a word is missing from course/words.yaml."""
    scripts = [runtime_text(name) if name.endswith(".js") else name for name in page.scripts]
    made = fill_sheet(
        "shell",
        page=page,
        company=company,
        language=language_of(words),
        words=need_words(words, ("shell.cautions", "shell.emergency", "shell.office")),
        policy=policy(scripts, page.beside),
        styles=[Markup(text) for text in (face_css(), *map(runtime_text, page.styles))],
        data=[(name, Markup(inert_json(value))) for name, value in page.data.items()],
        scripts=[Markup(script) for script in scripts],
    )
    return str(made)


def policy(scripts: Iterable[str], beside: Sequence[str] = ()) -> str:
    """Return the content security policy: these scripts by their hash, drawings inline, no network, no forms.

    `'self'` stands only in a page that loads a script from its own folder. Source: W3C Content Security Policy 3.
    """
    sources = [f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'" for text in scripts]
    sources += ["'self'"] if beside else []
    return (
        f"default-src 'none'; script-src {' '.join(sources) or chr(39) + 'none' + chr(39)}; style-src 'unsafe-inline'; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )


def fill_sheet(name: str, **values: Any) -> Markup:
    """Return a template of sheets/ filled in; every value is escaped unless it is Markup already."""
    return Markup(_SHEETS.get_template(f"{name}.html").render(**values))
