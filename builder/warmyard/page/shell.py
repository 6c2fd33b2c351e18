"""One self-contained page: everything inline, nothing fetched, and a policy that lets only its own scripts run."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from warmyard.course.model import Company
from warmyard.page.face import face_css
from warmyard.page.javascript import inert_json, runtime_text
from warmyard.page.words import need_words
from warmyard.words import language_of

_TEMPLATE = """<!doctype html>
<html lang="{{ language.code }}" dir="{{ language.direction }}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{{ policy }}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<meta name="referrer" content="no-referrer">
<meta name="color-scheme" content="light dark">
<title>{{ page.title }} · {{ company.name }}</title>
<link rel="icon" href="data:,">
{% for style in styles %}<style>
{{ style }}
</style>
{% endfor %}</head>
<body class="wy-sheet">
<header class="wy-sheet-head"><p class="wy-sheet-company">{{ company.name }}</p>
<h1>{{ page.title }}</h1>
{% if page.subtitle %}<p class="wy-sheet-subtitle">{% for part in page.subtitle %}<span>{{ part }}</span>
{% endfor %}</p>
{% endif %}</header>
<main id="wy-main" class="{{ page.name }}" tabindex="-1">
{{ page.body }}
</main>
<footer class="wy-sheet-foot">
<p>{{ words["shell.cautions"] }}</p>
<p>{{ words["shell.emergency"] }} <strong>{{ company.emergency_phone }}</strong> ·
{{ words["shell.office"] }} <strong>{{ company.office_phone }}</strong></p>
</footer>
{% for id, text in data %}<script type="application/json" id="wy-data-{{ id }}">{{ text }}</script>
{% endfor %}{% for file in page.beside %}<script src="{{ file }}"></script>
{% endfor %}{% for script in scripts %}<script>{{ script }}</script>
{% endfor %}</body>
</html>
"""
_ENVIRONMENT = Environment(autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True)
_SHELL = _ENVIRONMENT.from_string(_TEMPLATE)


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
    return _SHELL.render(
        page=page,
        company=company,
        language=language_of(words),
        words=need_words(words, ("shell.cautions", "shell.emergency", "shell.office")),
        policy=policy(scripts, page.beside),
        styles=[Markup(text) for text in (face_css(), *map(runtime_text, page.styles))],
        data=[(name, Markup(inert_json(value))) for name, value in page.data.items()],
        scripts=[Markup(script) for script in scripts],
    )


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


def markup(template: str, **values: Any) -> Markup:
    """Return a piece of a page; every value is escaped unless it is Markup already."""
    return Markup(_ENVIRONMENT.from_string(template).render(**values))
