"""The site on a telephone: over https once, then without a network. A list of every file with its digest, no more."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

from warmyard.course.workspace import Workspace
from warmyard.item.model import Edition
from warmyard.page import verify_page
from warmyard.page.face import colours
from warmyard.page.javascript import inert_json, runtime_text, script_of
from warmyard.page.words import need_words
from warmyard.web.fill import FOLDER
from warmyard.web.icons import SIZES_PX, icon_name
from warmyard.words import language_of

WORKER = "sw.js"
MANIFEST = "manifest.webmanifest"
START_SCRIPT = "assets/wy/telephone.js"
ICON = "assets/wy/mark.svg"
WORDS = ("telephone.newer", "telephone.load", "telephone.offline", "telephone.ready", "telephone.ready-here")
NOT_KEPT = (WORKER, MANIFEST, verify_page.STATUS_FILE)
DIGEST_LETTERS = 16


def start_script(workspace: Workspace) -> str:
    """Return the script of every page that asks for the worker over https, and says when a newer course lies ready."""
    words = {name.partition(".")[2]: text for name, text in need_words(workspace.words, WORDS).items()}
    return script_of(telephoneWords=words) + runtime_text("telephone.js")


def write_worker(folder: Path, workspace: Workspace, edition: Edition) -> None:
    """Write the worker with the list of all files of a finished site, and the manifest, into its folder."""
    entries = {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()[:DIGEST_LETTERS]
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.relative_to(folder).as_posix() not in NOT_KEPT
    }
    fresh = [name for name in (verify_page.STATUS_FILE,) if (folder / name).is_file()]
    told = {"SITE": f"wy-{edition}", "FRESH": fresh, "FILES": entries}
    head = "".join(f"var {name} = {inert_json(value)};\n" for name, value in told.items())
    (folder / WORKER).write_text(head + runtime_text("worker.js"), encoding="utf-8")
    (folder / MANIFEST).write_text(manifest(workspace, edition), encoding="utf-8")


def home_name(words: Mapping[str, str], edition: Edition) -> str:
    """Return what a telephone writes under the icon: short, in the company's words."""
    return words[f"telephone.home-{edition}"]


def manifest(workspace: Workspace, edition: Edition) -> str:
    """Return the manifest with which a telephone puts the site among its apps."""
    language = language_of(workspace.words)
    icon_colours = colours("light")
    drawn = [(f"{FOLDER}/{icon_name(size_px)}", f"{size_px}x{size_px}", "image/png") for size_px in SIZES_PX]
    icons = [
        {"src": source, "sizes": sizes, "type": kind, "purpose": purpose}
        for source, sizes, kind in (*drawn, (ICON, "any", "image/svg+xml"))
        for purpose in (("any", "maskable") if source != ICON else ("any",))
    ]
    title = home_name(workspace.words, edition)
    told = {
        "name": f"{title} · {workspace.company.name}",
        "short_name": title,
        "id": "index.html",
        "start_url": "index.html",
        "scope": "./",
        "display": "standalone",
        "background_color": icon_colours["head"],
        "theme_color": icon_colours["head"],
        "lang": language.code,
        "dir": language.direction,
        "icons": icons,
    }
    return json.dumps(told, ensure_ascii=False, indent=1)
