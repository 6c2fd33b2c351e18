"""The audit: each planted fault is found in its file, and what is allowed passes."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.web.audit import check_site

PAGE = """<!doctype html><html><head>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self'">
</head><body><h1 id="top">Page</h1>{}</body></html>"""


def findings(tmp_path: Path, body: str, **files: str) -> list[str]:
    """Return what the audit says of a site of one page and some files."""
    (tmp_path / "page.html").write_text(PAGE.format(body), encoding="utf-8")
    for name, text in files.items():
        (tmp_path / name.replace("__", ".")).write_text(text, encoding="utf-8")
    return [str(finding) for finding in check_site(tmp_path, ["x-secret"])]


ALLOWED = [
    '<a href="page.html#top">here</a>',
    '<a href="#top">here</a>',
    '<a href="tel:+441632960001">ring</a> <a href="mailto:a@b.example">write</a>',
    '<img src="data:image/gif;base64,R0lGOD" alt="a dot">',
    '<svg xmlns="http://www.w3.org/2000/svg" aria-label="a drawing"><path fill="url(#a)"/></svg>',
    "<p>The text https://plain.example is only read.</p>",
    '<button><svg viewBox="0 0 1 1"></svg> Print</button>',
]


@pytest.mark.parametrize("body", ALLOWED)
def test_what_is_allowed_passes(tmp_path: Path, body: str) -> None:
    """Links inside the site, telephone, mail, data and namespaces are no findings."""
    assert findings(tmp_path, body) == []


PLANTED = [
    ('<a href="https://away.example/">x</a>', "<a href> leads to https://away.example/"),
    ('<a href=" HTTPS://away.example/">x</a>', "leads to"),
    ('<a href="//away.example/">x</a>', "leads to //away.example/"),
    ('<a href="ftp://away.example/">x</a>', "leads to ftp:"),
    ('<a href="javascript:alert(1)">x</a>', "leads to javascript:"),
    ('<img src="http://away.example/a.png" alt="x">', "<img src> leads to"),
    ('<img srcset="http://away.example/a.png 2x" src="data:," alt="x">', "srcset"),
    ('<script src="https://away.example/a.js"></script>', "<script src> leads to"),
    ('<link rel="stylesheet" href="https://away.example/a.css">', "<link href> leads to"),
    ('<iframe src="https://away.example/"></iframe>', "<iframe src> leads to"),
    ('<form action="https://away.example/"></form>', "form"),
    ('<form action="page.html"></form>', "a form that sends"),
    ('<button formaction="https://away.example/">x</button>', "formaction"),
    ('<meta http-equiv="refresh" content="0; url=https://away.example/">', "refresh"),
    ('<base href="/">', "<base>"),
    ('<p style="background: url(https://away.example/a.png)">x</p>', "in a style"),
    ("<style>@import 'https://away.example/a.css';</style>", "in a style"),
    ('<video poster="https://away.example/a.png"></video>', "poster"),
    ('<svg aria-label="x"><use xlink:href="https://away.example/a.svg#b"/></svg>', "xlink:href"),
    ('<object data="https://away.example/a.pdf"></object>', "<object data>"),
    ('<div class="md-source">x</div>', "link to a repository"),
    ('<pre class="mermaid"><code>graph</code></pre>', "a diagram"),
    ('<img src="data:,">', "picture without a text alternative"),
    ('<template><p><img src="https://away.example/a.png" alt="x"></p></template>', "<img src> leads to"),
    ('<template><template><a href="https://away.example/">x</a></template></template>', "<a href> leads to"),
    ('<noscript><a href="https://away.example/">x</a></noscript>', "<a href> leads to"),
    ('<p title="see -x-secret-- there">x</p>', "names the exam item x-secret"),
    ('<svg viewBox="0 0 1 1"><path/></svg>', "drawing without a text alternative"),
    ('<script type="module">1</script>', "module script"),
    ('<a href="missing.html">x</a>', "is no file of the site"),
    ('<a href="../outside.html">x</a>', "is no file of the site"),
    ('<a href="#nowhere">x</a>', "a place that the page does not have"),
    ('<a href="page.html#nowhere">x</a>', "a place that the page does not have"),
    ('<p id="top">x</p>', "has the id top 2 times"),
    ('<p data-item="x-secret">x</p>', "names the exam item x-secret"),
]


@pytest.mark.parametrize(("body", "says"), PLANTED, ids=[row[0][:46] for row in PLANTED])
def test_each_planted_fault_is_found_in_its_file(tmp_path: Path, body: str, says: str) -> None:
    """Whatever leads out, or may not be there, is named with its file."""
    found = findings(tmp_path, body)
    assert any(line.startswith("page.html: ") and says in line for line in found), found


def test_a_page_without_a_policy_is_found(tmp_path: Path) -> None:
    """A page without a content security policy, or with one that lets the network in, is a finding."""
    (tmp_path / "a.html").write_text("<html><body>x</body></html>", encoding="utf-8")
    loose = PAGE.format("").replace("script-src 'self'", "script-src https: *")
    (tmp_path / "b.html").write_text(loose, encoding="utf-8")
    found = [str(finding) for finding in check_site(tmp_path)]
    assert any(line.startswith("a.html: has no content security policy") for line in found)
    assert sum(line.startswith("b.html: has a content security policy that lets") for line in found) == 2


def test_styles_scripts_and_drawings_are_looked_through(tmp_path: Path) -> None:
    """An address in a style sheet, an exam item in a script, a nameless drawing in a file."""
    found = findings(
        tmp_path,
        "",
        a__css="p { background: url('https://away.example/a.png'); }",
        b__js='var items = {"x-secret": 1};',
        c__svg='<svg xmlns="http://www.w3.org/2000/svg"><path/></svg>',
    )
    assert [line.split(":")[0] for line in found] == ["a.css", "b.js", "c.svg"]


def test_a_name_inside_a_longer_name_is_not_the_exam_item(tmp_path: Path) -> None:
    """The practice item x-secret-too is another item."""
    assert findings(tmp_path, '<p data-item="x-secret-too">x</p>') == []
