"""Building an edition: into a folder beside the target, looked through, and only then put in its place."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from warmyard.course.workspace import Workspace
from warmyard.errors import SOURCES_FAULTY, InputError, WarmyardError
from warmyard.item.model import Edition
from warmyard.kept import Book
from warmyard.web.audit import PageFault, check_site
from warmyard.web.plugin import run_mkdocs
from warmyard.web.site import Site
from warmyard.web.telephone import write_worker

MOST_FAULTS = 40


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What a build did."""

    edition: Edition
    target: Path
    pages: int
    files: int
    bytes: int


def build_edition(workspace: Workspace, edition: Edition, target: Path, book: Book | None = None) -> BuildReport:
    """Write one edition into a folder; on any fault the folder stays as it was.

    `book` holds what was made before, and takes up what is made now. Raises InputError for a configuration that mkdocs
    refuses, AuditError for what no built page may hold.
    """
    return build_site(Site(workspace, edition, book), target)


def build_site(site: Site, target: Path, *, draft: bool = False) -> BuildReport:
    """Write a site into a folder as build_edition does.

    A draft, for a look while writing, has no search, no worker for the network and no audit.
    """
    workspace, edition = site.workspace, site.edition
    config_file = workspace.root / "site_config" / f"{edition}.yml"
    if not config_file.is_file():
        raise InputError(f"there is no site_config/{edition}.yml; copy it from the one that came with Warmyard")
    if target.exists() and not _is_ours(target):
        raise InputError(f"{target} holds something other than a built site; name an empty folder with --out")
    site.draw()
    with folder_beside(target) as made:
        again = draft and target.is_dir()
        if again:
            site.assets.standing = target
        run_mkdocs(site, config_file, made, search=not draft, only_changed=again)
        if not draft:
            write_worker(made, workspace, edition)
        secrets = [item.id for item in workspace.items.values() if item.use == "exam"]
        faults = [] if draft else check_site(made, secrets, site.book)
        if faults:
            raise AuditError(faults)
        if again:
            put_over(made, target, site.gone)
        else:
            swap(made, target)
    found = [path for path in target.rglob("*") if path.is_file()]
    pages = sum(path.suffix == ".html" for path in found)
    size = sum(path.stat().st_size for path in found)
    return BuildReport(edition, target, pages, len(found), size)


class AuditError(WarmyardError):
    """The built pages hold what they may not; one line each, and nothing was put in place."""

    exit_code = SOURCES_FAULTY

    def __init__(self, faults: Sequence[PageFault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults[:MOST_FAULTS]))
        self.faults = faults


def _is_ours(folder: Path) -> bool:
    """Say whether a folder may be replaced: empty, or a site that was built before."""
    return folder.is_dir() and (not any(folder.iterdir()) or (folder / "assets" / "wy").is_dir())


@contextmanager
def folder_beside(target: Path) -> Iterator[Path]:
    """Give an empty folder on the same disk as the target; it is gone afterwards, whatever happened."""
    target.parent.mkdir(parents=True, exist_ok=True)
    holder = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    try:
        yield holder / "made"
    finally:
        shutil.rmtree(holder, ignore_errors=True)


def put_over(made: Path, target: Path, gone: Iterable[str]) -> None:
    """Put what was made over what stands in the target, each file whole or not at all; pages that are gone go.

    What was not made again is not touched: a folder of a thousand files costs what differs in it.
    """
    for file in sorted(path for path in made.rglob("*") if path.is_file()):
        place = target / file.relative_to(made)
        place.parent.mkdir(parents=True, exist_ok=True)
        file.replace(place)
    for uri in gone:
        (target / uri).with_suffix(".html").unlink(missing_ok=True)


def swap(made: Path, target: Path) -> None:
    """Put a finished folder in the place of the target; the old one is deleted only after the new one is there."""
    old = made.with_name("old")
    if target.exists():
        target.rename(old)
    try:
        made.rename(target)
    except OSError:
        if old.exists():
            old.rename(target)
        raise
