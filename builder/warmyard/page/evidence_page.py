"""The evidence about one candidate for one level: what is missing first, then tables; one page to print and sign."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.page.shell import Page, make_page, markup

_TEMPLATE = """<p>{{ page.intro }}</p>
{% if page.photograph %}<p><img class="wy-evidence-face" src="{{ page.photograph }}" alt="{{ page.name }}"></p>
{% endif %}<h2>{{ page.missing_head }}</h2>
{% if page.missing %}<ul class="wy-alert wy-evidence-missing">{% for line in page.missing %}<li>{{ line }}</li>
{% endfor %}</ul>
{% else %}<p class="wy-evidence-whole">{{ page.nothing_missing }}</p>
{% endif %}{% if page.notes %}<h2>{{ page.notes_head }}</h2>
<ul>{% for line in page.notes %}<li>{{ line }}</li>
{% endfor %}</ul>
{% endif %}{% for table in page.tables %}<section><h2>{{ table.title }}</h2>
{% if table.note %}<p>{{ table.note }}</p>
{% endif %}{% if table.lines %}<div class="wy-board-scroll"><table>
<thead><tr>{% for head in table.heads %}<th scope="col">{{ head }}</th>
{% endfor %}</tr></thead>
<tbody>
{% for line in table.lines %}<tr{% if line.look %} class="wy-evidence-{{ line.look }}"{% endif %}>
{%- for cell in line.cells %}{% if loop.first %}<th scope="row">{% else -%}
<td data-label="{{ table.heads[loop.index0] }}">{% endif %}
{%- for text in cell %}{% if not loop.first %}<br>{% endif %}{{ text }}{% endfor %}
{%- if loop.first %}</th>{% else %}</td>{% endif %}
{% endfor %}</tr>
{% endfor %}</tbody></table></div>
{% else %}<p>{{ table.empty }}</p>
{% endif %}</section>
{% endfor %}<section class="wy-evidence-sign"><h2>{{ page.sign_head }}</h2>
{% for line in page.sign %}<p class="wy-hand">{{ line }}</p>
{% endfor %}</section>
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of a table: each cell is one or more lines of text. `look` is bad, faded or nothing."""

    cells: Sequence[Sequence[str]]
    look: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One part of the evidence; `empty` is what it says without a row."""

    title: str
    heads: Sequence[str]
    lines: Sequence[Line]
    empty: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidencePage:
    """Everything that the page says."""

    title: str
    name: str
    subtitle: Sequence[str]
    intro: str
    photograph: str
    """A data address, or nothing."""
    missing_head: str
    missing: Sequence[str]
    nothing_missing: str
    notes_head: str
    notes: Sequence[str]
    tables: Sequence[Table]
    sign_head: str
    sign: Sequence[str]


def evidence_page(page: EvidencePage, company: Company, words: Mapping[str, str]) -> str:
    """Return the evidence as HTML; raise SourceError when a word is missing from course/words.yaml."""
    shell = Page(
        name="wy-board", title=page.title, subtitle=page.subtitle, body=markup(_TEMPLATE, page=page), scripts=(),
        styles=("wy.css", "sheet.css", "board.css", "evidence.css"),
    )  # fmt: skip
    return make_page(shell, company, words)
