"""The report of requirements shown: one self-contained page to print, its words handed in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.page.shell import Page, make_page, markup

_TEMPLATE = """<p>{{ report.intro }}</p>
<p><strong>{{ report.count }}</strong></p>
<div class="wy-board-scroll"><table>
<thead><tr><th scope="col">{{ report.heads.number }}</th><th scope="col">{{ report.heads.asks }}</th>
<th scope="col">{{ report.heads.verdict }}</th><th scope="col">{{ report.heads.found }}</th></tr></thead>
<tbody>
{% for row in report.rows %}<tr id="{{ row.id }}"><th scope="row">{{ row.number }}</th>
<td data-label="{{ report.heads.asks }}">{{ row.asks }} <small>{{ row.basis }}</small></td>
<td class="{{ row.kind }}" data-label="{{ report.heads.verdict }}">{{ row.verdict }}</td>
<td class="wy-why" data-label="{{ report.heads.found }}">{{ row.found }}
{% if row.also %}<small>{{ row.also }}</small>{% endif %}</td></tr>
{% endfor %}</tbody></table></div>
<h2>{{ report.claims_head }}</h2>
{% for head, claims in report.claims %}<h3>{{ head }}</h3>
<ul>{% for claim in claims %}<li>{{ claim }}</li>
{% endfor %}</ul>
{% endfor %}"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RequirementRow:
    """One requirement; `kind` is wy-yes, wy-no or nothing, for its colour."""

    number: int
    id: str
    asks: str
    basis: str
    verdict: str
    kind: str
    found: str
    also: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RequirementsReport:
    """Everything that the page says."""

    title: str
    intro: str
    count: str
    heads: Mapping[str, str]
    rows: Sequence[RequirementRow]
    claims_head: str
    claims: Sequence[tuple[str, Sequence[str]]]


def requirements_page(report: RequirementsReport, company: Company, words: Mapping[str, str]) -> str:
    """Return the report as HTML; raise SourceError when a word is missing from course/words.yaml."""
    page = Page(
        name="wy-board", title=report.title, body=markup(_TEMPLATE, report=report), scripts=(),
        styles=("wy.css", "sheet.css", "board.css"),
    )  # fmt: skip
    return make_page(page, company, words)
