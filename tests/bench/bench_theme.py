"""The seam behind web/plugin.py tried with a second renderer on the same pages: how fast, and how much a page loads.

python tests/bench/bench_theme.py

The second renderer is Markdown and one Jinja template: the same pages, navigation, scripts and style of ours, without
mkdocs and its theme. It is no product: it has no search box, no switch of colours and no drawer, and says so. Both get
a site whose draws are made beforehand, so that only the pages are timed. The first load is the page with every script
and style that it names, packed by gzip, without what a reader asks for later.
"""

from __future__ import annotations

import gzip
import re
import shutil
import tempfile
import time
from pathlib import Path

from jinja2 import Environment
from markupsafe import Markup

from warmyard.course.workspace import Workspace, read_workspace
from warmyard.kept import Book
from warmyard.web.audit import check_site
from warmyard.web.fill import THEME
from warmyard.web.plugin import markdown_of, run_mkdocs
from warmyard.web.site import POLICY, Site
from warmyard.words import language_of

ROOT = Path(__file__).resolve().parents[2]
TEMPLATE = """<!doctype html>
<html lang="{{ language.code }}" dir="{{ language.direction }}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{{ policy }}">
<meta name="viewport" content="width=device-width,initial-scale=1">
<title>{{ title }}</title>
<link rel="icon" href="{{ base }}assets/wy/mark.svg" type="image/svg+xml">
{% for style in styles %}<link rel="stylesheet" href="{{ base }}{{ style }}">
{% endfor %}</head>
<body>
<nav aria-label="{{ site }}">{% for group in groups %}<details{% if uri in group.files %} open{% endif %}>
<summary>{{ group.title }}</summary><ul>{% for page in group.pages %}
<li><a href="{{ base }}{{ page.url }}"{% if page.file == uri %} aria-current="page"{% endif %}>{{ page.title }}</a></li>
{% endfor %}</ul></details>{% endfor %}</nav>
<main class="md-typeset">{{ html }}</main>
{% for script in scripts %}<script src="{{ base }}{{ script }}"></script>
{% endfor %}</body></html>
"""


def main() -> None:
    """Print a line for each renderer: seconds of one core, files and bytes, first loads, and faults of the audit."""
    workspace = read_workspace(ROOT)
    book = Book()
    Site(workspace, "staff", book).draw()
    with tempfile.TemporaryDirectory() as folder:
        for name, render in (("theme", with_theme), ("second", without_theme)):
            made = Path(folder) / name
            start = time.process_time()
            render(Site(workspace, "staff", book), made)
            seconds = time.process_time() - start
            files = [path for path in made.rglob("*") if path.is_file()]
            size_mb = sum(path.stat().st_size for path in files) / 1e6
            loads = ", ".join(f"{page} {first_load_kb(made, page):.0f} kB" for page in ("index.html", "08-fuel.html"))
            faults = check_site(made, secrets(workspace))
            print(f"{seconds:5.2f} s  {len(files)} files, {size_mb:.1f} MB; first load {loads}; {name} renderer")
            print(
                f"         the audit finds {len(faults)}: {'; '.join(map(str, faults[:3]))}" if faults else "", end=""
            )


def with_theme(site: Site, made: Path) -> None:
    """Build with mkdocs and its theme, the search index included."""
    run_mkdocs(site, ROOT / "site_config" / "staff.yml", made)


def without_theme(site: Site, made: Path) -> None:
    """Build the same pages with Markdown and one template."""
    render = markdown_of(ROOT / "site_config" / "staff.yml")
    template = Environment(autoescape=True).from_string(TEMPLATE)
    site.assets.folder = made
    made.mkdir(parents=True)
    files = site.made_files()
    stubs = {uri: str(text) for uri, text in files.items() if uri.endswith(".md")}
    site.assets.write({uri: _bytes(text) for uri, text in files.items() if not uri.endswith(".md")})
    shutil.copytree(THEME / "assets", made / "assets", dirs_exist_ok=True)
    for uri in (*site.pages, *site.made):
        finished = site.content(uri, render(site.markdown(uri) or stubs.get(uri, "")))
        page = template.render(
            html=Markup(linked(finished.html)), title=finished.meta["title"], scripts=finished.meta["wy_scripts"],
            language=language_of(site.workspace.words), policy=POLICY, styles=site.styles(), site=site.title(),
            groups=site.frame()["nav"], uri=uri, base="../" * uri.count("/"),
        )  # fmt: skip
        (made / uri).with_suffix(".html").write_text(page, "utf-8")


def linked(html: str) -> str:
    """Return HTML whose links name pages as they are built; mkdocs does this otherwise."""
    return re.sub(r'(href="[^":]*?)\.md([#"])', r"\1.html\2", html)


def first_load_kb(made: Path, page: str) -> float:
    """Return how much a page loads before anybody touches it, packed, in kB."""
    text = (made / page).read_text("utf-8")
    named = re.findall(r'<(?:script|link)[^>]*?(?:src|href)="([^"#?]+)"', text)
    paths = {made / page, *((made / page).parent / name for name in named)}
    return sum(len(gzip.compress(path.read_bytes())) for path in paths if path.is_file()) / 1000


def secrets(workspace: Workspace) -> list[str]:
    """Return the ids that no page may name."""
    return [item.id for item in workspace.items.values() if item.use == "exam"]


def _bytes(content: str | bytes) -> bytes:
    return content.encode() if isinstance(content, str) else content


if __name__ == "__main__":
    main()
