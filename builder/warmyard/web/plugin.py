"""The seam to mkdocs, and the only file that imports it: pages in, woven HTML out, everything else in Site."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markdown import Markdown  # type: ignore[import-untyped]
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.base import Config
from mkdocs.config.config_options import Choice
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.theme import Theme

from warmyard.course.proof import read_proved
from warmyard.errors import InputError
from warmyard.item.model import Edition
from warmyard.page.javascript import inert_json
from warmyard.web.fill import THEME
from warmyard.web.search_entries import SearchEntries, other_words
from warmyard.web.site import Site
from warmyard.words import language_of

FOLLOWS = "(prefers-color-scheme)"
"""The choice of the palette that leaves light or dark to the device."""
LEFT_OUT = ("sitemap.xml", "404.html", "assets/javascripts/lunr/", "assets/images/favicon.png")


class Options(Config):  # type: ignore[no-untyped-call]
    """Options of the plugin in site_config/*.yml."""

    edition = Choice(("staff", "customer"), default="staff")


class WarmyardPlugin(BasePlugin[Options]):  # type: ignore[no-untyped-call]
    """Hands mkdocs the pages of one edition."""

    site: Site | None = None
    only_changed: bool = False
    """Whether pages that stand in the folder as they were finished before are left there."""

    def give(self, site: Site) -> None:
        """Take the site that a caller has already loaded and checked."""
        self.site = site

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Put our look over the theme and our pages into the navigation."""
        root = Path(config.config_file_path).resolve().parents[1]
        if self.site is None:
            edition: Edition = "customer" if self.config.edition == "customer" else "staff"
            self.site = Site(read_proved(root), edition)
        config.theme.dirs.insert(0, str(THEME))
        config.theme.get_env = partial(templates_of, config.theme)  # type: ignore[method-assign]
        config.theme.static_templates = set()
        config.extra["polyfills"] = ["assets/wy/iframe-worker.js"]
        config.extra["wy"] = self.site.frame()
        _say_palette(config, self.site.workspace.words)
        config.extra_css = list(self.site.styles())
        config.nav = self.site.nav()
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add what is made, not written; leave out what the theme brings for the network and for other languages."""
        for file in [file for file in files if is_left_out(file.src_uri)]:
            files.remove(file)
        for uri, content in self._site.made_files().items():
            files.append(File.generated(config, uri, content=content))
        for file in files.documentation_pages() if self.only_changed else ():
            # mkdocs asks before it reads a page, and once more before it writes it.
            file.is_modified = partial(self._site.is_changed, file.src_uri)  # type: ignore[method-assign]
        return files

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Say where the site is written: what pages need is written while they are made."""
        self._site.assets.folder = Path(config.site_dir)

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Make the entries of the search index when all pages are there, before the first is written."""
        search: Any = config.plugins.get("material/search")
        if search is not None and search.config["enabled"]:
            entries = SearchEntries(search.search_index, self._site.book, other_words(self._site.workspace.terms))
            entries.make_all(file.page for file in files.documentation_pages() if file.page is not None)
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Take fences and inlines out of a page."""
        written = self._site.markdown(page.file.src_uri)
        return markdown if written is None else written

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Put the HTML of fences and inlines into a page, and tell the template which scripts it needs."""
        finished = self._site.content(page.file.src_uri, html)
        page.meta.update(finished.meta)
        return finished.html

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Say the direction where a page that stands alone says it, at the root; the theme says it on the body."""
        language = language_of(self._site.workspace.words)
        lang, says = f'lang="{language.code}"', f'dir="{language.direction}"'
        root, _, rest = output.partition(says)
        return root.replace(lang, f"{lang} {says}", 1) + rest

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Give the search index as a script too: a page opened from a file may not fetch."""
        folder = Path(config.site_dir)
        index = folder / "search" / "search_index.json"
        if index.is_file():
            found = json.loads(index.read_text(encoding="utf-8"))
            text = json.dumps(found, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
            index.write_text(text, encoding="utf-8")
            index.with_suffix(".js").write_text(f"var __index = {inert_json(json.loads(text))};", encoding="utf-8")
        self._site.assets.write(self._site.late_files())

    @property
    def _site(self) -> Site:
        if self.site is None:
            raise ConfigurationError("the warmyard plugin was not configured")
        return self.site


def templates_of(theme: Theme) -> Environment:
    """Return the templates of a theme, read and compiled once in a process, whatever is built of them."""
    folders = tuple(theme.dirs)
    if folders not in _TEMPLATES:
        _TEMPLATES[folders] = _list_once(Theme.get_env(theme))
    return _TEMPLATES[folders]


def _list_once(templates: Environment) -> Environment:
    """Let the folders of the templates be gone through once: the theme brings twelve thousand icons.

    They lie in a hidden folder, and who asks with a filter asks for what a site may hold: nothing hidden.
    """
    names = templates.list_templates()
    shown = [name for name in names if not name.startswith(".")]

    def listed(extensions: object = None, filter_func: Callable[[str], bool] | None = None) -> list[str]:
        return names if filter_func is None else [name for name in shown if filter_func(name)]

    templates.list_templates = listed  # type: ignore[method-assign]
    return templates


_TEMPLATES: dict[tuple[str, ...], Environment] = {}


def _say_palette(config: MkDocsConfig, words: Mapping[str, str]) -> None:
    """Put the words of the switches in: base.yml names them by id, and what is no id is said as it stands."""
    for option in config.theme.get("palette") or ():
        toggle = option.get("toggle")
        if toggle:
            name = toggle["name"]
            if name.startswith("palette.") and name not in words:
                raise ConfigurationError(f"there is no word {name} for a switch of the palette")
            toggle["name"] = words.get(name, name)
            look = "device" if option.get("media") == FOLLOWS else option.get("scheme")
            toggle["now"] = words.get(f"palette.now-{look}", look)


def is_left_out(uri: str) -> bool:
    """Say whether a file of the theme stays out: site map with its date, maps for debuggers, stemmers we do not use."""
    return uri.startswith(LEFT_OUT) or uri.endswith(".map")


def run_mkdocs(site: Site, config_file: Path, target: Path, *, search: bool = True, only_changed: bool = False) -> None:
    """Build one edition into a folder; raise InputError when mkdocs refuses its configuration or warns of anything.

    Without `search` no index is made, which is half the time of a build while writing. With `only_changed` the folder
    holds the site that was built before, and only what differs from it is written.
    """
    warnings = _Warnings()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(warnings)
    try:
        config = load_config(str(config_file), site_dir=str(target))
        plugin: Any = config.plugins["warmyard"]
        plugin.give(site)
        plugin.only_changed = only_changed
        if not search and "material/search" in config.plugins:
            config.plugins["material/search"].config["enabled"] = False
        build(config, dirty=only_changed)
    except (Abort, ConfigurationError) as problem:
        what = "; ".join(warnings.said) or str(problem)
        raise InputError(f"{config_file.name}: {what}") from None
    finally:
        logger.removeHandler(warnings)
    if warnings.said:
        raise InputError(f"{config_file.name}: {'; '.join(warnings.said)}")


class RefusedConfigurationError(InputError):
    """mkdocs refuses a configuration, or warns of it; `said` holds its sentences."""

    def __init__(self, file: str, said: Sequence[str]) -> None:
        super().__init__(f"{file}: {' '.join('; '.join(said).split())}")
        self.said = said


def markdown_of(config_file: Path) -> Callable[[str], str]:
    """Return what turns Markdown into HTML under a configuration; raise RefusedConfigurationError."""
    warnings = _Warnings()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(warnings)
    try:
        config = load_config(str(config_file))
    except (Abort, ConfigurationError) as problem:
        raise RefusedConfigurationError(config_file.name, warnings.said or [str(problem)]) from None
    finally:
        logger.removeHandler(warnings)
    if warnings.said:
        raise RefusedConfigurationError(config_file.name, warnings.said)

    def render(text: str) -> str:
        maker = Markdown(extensions=config.markdown_extensions, extension_configs=config.mdx_configs)
        html: str = maker.convert(text)
        return html

    return render


class _Warnings(logging.Handler):
    """Keeps what mkdocs warns of, a broken link above all."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one warning; that only what changed is written is what we asked for."""
        if not record.getMessage().startswith("A 'dirty' build"):
            self.said.append(record.getMessage())
