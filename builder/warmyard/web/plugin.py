"""The seam to mkdocs, and the only file that imports it: pages in, woven HTML out, everything else in Site."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
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
from warmyard.web.fill import FOLDER, THEME
from warmyard.web.search_entries import INDEX, PageText, search_index
from warmyard.web.site import Site

OUR_THEME = {"name": None, "custom_dir": str(THEME)}
"""The theme of every edition; a configuration of an older version names another, with a search of its own."""
LEFT_OUT = ("sitemap.xml", "blocks/")


class Options(Config):  # type: ignore[no-untyped-call]
    """Options of the plugin in site_config/*.yml."""

    edition = Choice(("staff", "customer"), default="staff")


class WarmyardPlugin(BasePlugin[Options]):  # type: ignore[no-untyped-call]
    """Hands mkdocs the pages of one edition."""

    site: Site | None = None
    searches: bool = True
    """Whether an index is made, and the pages have a search."""
    only_changed: bool = False
    """Whether pages that stand in the folder as they were finished before are left there."""

    def give(self, site: Site) -> None:
        """Take the site that a caller has already loaded and checked."""
        self.site = site

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Put our theme and our pages in."""
        root = Path(config.config_file_path).resolve().parents[1]
        if self.site is None:
            edition: Edition = "customer" if self.config.edition == "customer" else "staff"
            self.site = Site(read_proved(root), edition)
        config.theme = Theme(name=None, custom_dir=str(THEME))
        config.theme.get_env = partial(templates_of, config.theme)  # type: ignore[method-assign]
        config.theme.static_templates = set()
        config.extra["wy"] = {**self.site.frame(), "search": self.searches}
        config.extra_css = list(self.site.styles())
        config.nav = self.site.nav()
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add what is made, not written, and leave out what the site does not need of the theme's folder."""
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
        if self.searches:
            pages = [file.page for file in files.documentation_pages() if file.page is not None]
            site = self._site
            told = [
                PageText(page.url, str(page.meta["title"]), page.content or "", page.file.src_uri in site.pages)
                for page in pages
            ]
            site.assets.write({INDEX: search_index(told, site.workspace.terms, site.workspace.stops.rules, site.book)})
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

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write what is made of finished pages."""
        self._site.assets.write(self._site.late_files())

    @property
    def _site(self) -> Site:
        if self.site is None:
            raise ConfigurationError("the warmyard plugin was not configured")
        return self.site


def is_left_out(uri: str) -> bool:
    """Say whether a file of the theme stays out: a site map with its date, parts of templates, joined styles."""
    return uri.startswith(LEFT_OUT) or (uri.startswith(f"{FOLDER}/") and uri.endswith(".css"))


def templates_of(theme: Theme) -> Environment:
    """Return the templates of a theme, read and compiled once in a process, whatever is built of them."""
    folders = tuple(theme.dirs)
    if folders not in _TEMPLATES:
        made = Theme.get_env(theme)
        made.autoescape, made.trim_blocks, made.lstrip_blocks = True, True, True
        _TEMPLATES[folders] = made
    return _TEMPLATES[folders]


_TEMPLATES: dict[tuple[str, ...], Environment] = {}


def run_mkdocs(site: Site, config_file: Path, target: Path, *, search: bool = True, only_changed: bool = False) -> None:
    """Build one edition into a folder; raise InputError when mkdocs refuses its configuration or warns of anything.

    Without `search` no index is made, which is half the time of a build while writing. With `only_changed` the folder
    holds the site that was built before, and only what differs from it is written.
    """
    warnings = _Warnings()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(warnings)
    try:
        config = _configured(config_file, site_dir=str(target))
        plugin: Any = config.plugins["warmyard"]
        plugin.give(site)
        plugin.only_changed, plugin.searches = only_changed, search
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
        config = _configured(config_file)
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


def _configured(config_file: Path, **given: str) -> MkDocsConfig:
    """Return a configuration with our theme, and without the search that one of an older version asks mkdocs for."""
    config = load_config(str(config_file), theme=dict(OUR_THEME), **given)
    theirs = config.plugins.get("search")
    for acts in config.plugins.events.values():
        acts[:] = [act for act in acts if getattr(act, "__self__", None) is not theirs or theirs is None]
    return config


class _Warnings(logging.Handler):
    """Keeps what mkdocs warns of, a broken link above all."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one warning; that only what changed is written is what we asked for."""
        if not record.getMessage().startswith("A 'dirty' build"):
            self.said.append(record.getMessage())
