"""Set Warmyard up and run it, with nothing but Python 3.11: site, test, bench or pins.

Makes .venv beside pyproject.toml, installs the pinned packages by their hashes once, and runs the command inside it.
Standard library only; Linux, macOS and Windows.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
import venv
from collections.abc import Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
ENVIRONMENT = ROOT / ".venv"
BIN = ENVIRONMENT / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
PROJECT = ROOT / "pyproject.toml"
PINS = ROOT / "builder" / "pins"
EXTRAS = ("test", "site", "outside", "pins")
"""One file of pins each; the first holds the most, and the others take their versions from it."""
BROWSERS = (
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
)
"""The shell first: the same engine without windows, which opens a page with a third of the work."""
EVERY_CORE = ("-n", str(os.cpu_count() or 1), "--dist", "loadfile", "--no-loadscope-reorder")
STYLE: tuple[Sequence[str | Path], ...] = (
    [PYTHON, "-m", "ruff", "check", "builder", "tests"],
    [PYTHON, "-m", "ruff", "format", "--check", "--quiet", "builder", "tests"],
    [PYTHON, "-m", "mypy"],
)
JAVASCRIPT = ROOT / "tests" / "javascript"
"""The layout, linter and types of the page's scripts, pinned in its package-lock.json; run where node is."""
USAGE = (
    "python3 builder/start.py site | test [--near [BASE] | pytest words ...] | bench [NAME ...] [SIZE] "
    "| pins [--upgrade]"
)


def main(words: Sequence[str]) -> int:
    """Run one command; return its exit code."""
    if sys.version_info < (3, 11):
        return complain(f"this is Python {sys.version.split()[0]}; Warmyard wants 3.11 or newer")
    commands = {"site": site, "test": test, "bench": bench, "pins": pins}
    if not words or words[0] not in commands:
        return complain(f"usage: {USAGE}")
    return commands[words[0]](words[1:])


def site(_: Sequence[str]) -> int:
    """Build both editions into site/staff and site/customer."""
    return install("site") or run([PYTHON, "-m", "warmyard.cli", "build"])


def test(words: Sequence[str]) -> int:
    """Run the style check, the type check and every test; in a real browser, which CI must have."""
    failed = install("test")
    if failed:
        return failed
    browser = find_browser()
    if browser is None and os.environ.get("CI") == "true":
        return complain("no browser for the browser tests; install Chromium or set WARMYARD_BROWSER to one")
    if browser is not None:
        os.environ["WARMYARD_BROWSER"] = browser
    try:
        steps = _steps(words)
    except OSError as problem:
        return complain(f"what changed cannot be told ({problem}); name another base: start.py test --near BASE")
    codes = [javascript()] if not words or words[0] == "--near" else []
    codes += [run(step) for step in steps]
    if browser is None:
        complain("no browser was found: the tests marked `browser`, counted above as deselected, were not run")
    return next((code for code in codes if code), 0)


def _steps(words: Sequence[str]) -> list[Sequence[str | Path]]:
    """Return the commands of a test run: all of it, what is near a change, or what pytest is told."""
    pytest: list[str | Path] = [PYTHON, "-m", "pytest"]
    if words[:1] == ["--near"]:
        chosen = _near(*words[1:2])
        return [*STYLE, *([[*pytest, *EVERY_CORE, *chosen]] if chosen else [])]
    return [[*pytest, *words]] if words else [*STYLE, [*pytest, *EVERY_CORE]]


def _near(base: str = "main") -> tuple[str, ...]:
    """Say how far a change reaches and return the test files to run; raise OSError when git cannot tell."""
    from near import changed_files, near_tests  # here, since an older Python must be told before it reads more

    changed = changed_files(ROOT, base)
    near = near_tests(ROOT, changed)
    print(f"{len(changed)} files differ from {base}; {len(near.files)} test files are near", flush=True)
    if near.touches_everything:
        print("the change touches everything: only the tests named after what changed are run", flush=True)
    if near.too_long:
        print(f"left to the whole run, for their length: {', '.join(near.too_long)}", flush=True)
    return near.files


def javascript() -> int:
    """Look at layout, lint and types of the page's scripts; say so where there is no node, which CI must have."""
    npm, node = shutil.which("npm"), shutil.which("node")
    if npm is None or node is None:
        said = complain("no node was found: the page's scripts were not looked at; install node 20 with npm")
        return said if os.environ.get("CI") == "true" else 0
    lock = JAVASCRIPT / "package-lock.json"
    stamp = JAVASCRIPT / "node_modules" / "installed.txt"
    digest = hashlib.sha256(lock.read_bytes()).hexdigest()
    if not stamp.is_file() or stamp.read_text() != digest:
        if run([npm, "ci", "--prefix", JAVASCRIPT, "--no-audit", "--no-fund", "--loglevel", "error"]):
            return complain("the tools for the page's scripts could not be installed; the lines above say why")
        stamp.write_text(digest)
    eslint = JAVASCRIPT / "node_modules" / "eslint" / "bin" / "eslint.js"
    types = JAVASCRIPT / "node_modules" / "typescript" / "bin" / "tsc"
    linted = run([node, eslint, "--config", JAVASCRIPT / "eslint.config.mjs", "builder/warmyard/**/*.js"])
    return run([node, types, "--project", JAVASCRIPT]) or linted


def bench(words: Sequence[str]) -> int:
    """Run the speed figures in tests/bench, all or those named; a number makes each as large or as small as that."""
    failed = install("test")
    if failed:
        return failed
    size = [word for word in words if word.isdecimal()][-1:]
    words = [word for word in words if not word.isdecimal()]
    files = sorted((ROOT / "tests" / "bench").glob("bench_*.py"))
    chosen = [file for file in files if not words or file.stem.removeprefix("bench_") in words]
    if not chosen:
        return complain(f"no such benchmark; there are {', '.join(file.stem.removeprefix('bench_') for file in files)}")
    shared = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(ROOT / "tests" / "shared"), os.environ.get("PYTHONPATH", "")]),
    }
    return max(run([str(PYTHON), str(file), *size], shared) for file in chosen)


def pins(words: Sequence[str]) -> int:
    """Write builder/pins/ anew from pyproject.toml: each version with the hashes of its files for every platform.

    What pyproject.toml does not name keeps its version; with `--upgrade` it takes the newest that fits.
    """
    if list(words) not in ([], ["--upgrade"]):
        return complain(f"usage: {USAGE}")
    if install("pins"):
        return 2
    uv = (BIN / "uv", "pip", "compile", "--quiet", "--universal", "--python-version", "3.11", "--generate-hashes")
    head = ("--no-annotate", "--custom-compile-command", "python3 builder/start.py pins")
    for extra in EXTRAS:
        target = PINS / f"{extra}.txt"
        same = ("--constraint", PINS / "test.txt") if extra != "test" else ()
        wanted = "\n".join(asked_for(extra))
        if run([*uv, *head, *same, *words, "--output-file", target, "-"], typed=wanted):
            return complain(f"builder/pins/{target.name} could not be written; the lines above say why")
    return 0


def install(extra: str) -> int:
    """Make the environment and install what builder/pins/EXTRA.txt names, unless the very same is there already."""
    pinned = PINS / f"{extra}.txt"
    stamp = ENVIRONMENT / f"installed-{extra}.txt"
    digest = hashlib.sha256(PROJECT.read_bytes() + pinned.read_bytes() + sys.version.encode()).hexdigest()
    if stamp.is_file() and stamp.read_text() == digest and PYTHON.exists():
        return 0
    lacking = [] if extra == "pins" else not_pinned(extra, pinned.read_text("utf-8"))
    if lacking:
        return complain(f"builder/pins/{extra}.txt lacks {', '.join(lacking)}; run python3 builder/start.py pins")
    print(f"setting up {ENVIRONMENT.name} (once)", flush=True)
    if not PYTHON.exists():
        try:
            venv.create(ENVIRONMENT, with_pip=True, clear=ENVIRONMENT.exists())
        except (OSError, subprocess.CalledProcessError) as problem:
            return complain(f"the environment could not be made ({problem}); on Debian install python3-venv")
    pip: list[str | Path] = [PYTHON, "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
    wrong = install_pinned([*pip, "--require-hashes", "--requirement", pinned])
    if wrong:
        return complain(wrong)
    if run([*pip, "--no-deps", "--no-build-isolation", "--editable", ROOT]):
        return complain("the checkout itself could not be installed; the lines above say why")
    stamp.write_text(digest)
    return 0


def install_pinned(pip: Sequence[str | Path]) -> str:
    """Install the pinned packages; return what is wrong, or nothing."""
    done = subprocess.run([str(word) for word in pip], cwd=ROOT, stderr=subprocess.PIPE, text=True, check=False)
    sys.stderr.write(done.stderr)
    if "DO NOT MATCH THE HASHES" in done.stderr:
        return (
            f"a package that was fetched is not the one that {Path(pip[-1]).relative_to(ROOT).as_posix()} names: its "
            "hash differs, so nothing was installed. Try another network; if it stays so, tell us as "
            ".github/SECURITY.md says, and do not install it"
        )
    return "the packages could not be installed; the lines above say which and why" if done.returncode else ""


def not_pinned(extra: str, pinned: str) -> list[str]:
    """Return what pyproject.toml asks for and the text of a pins file does not name at that very version."""
    there = {_normal(line.split()[0]) for line in pinned.splitlines() if line[:1].isalnum()}
    return [wanted for wanted in asked_for(extra) if _normal(wanted) not in there]


def asked_for(extra: str) -> list[str]:
    """Return what pyproject.toml asks for: to build the package, to run it (`pins` runs nothing), and for an extra."""
    project = _project()
    runs = [] if extra == "pins" else project["project"]["dependencies"]
    return [
        *project["build-system"]["requires"],
        *runs,
        *project["project"]["optional-dependencies"].get(extra, []),
    ]


def _normal(requirement: str) -> str:
    name, _, version = requirement.partition("==")
    return f"{re.sub('[-_.]+', '-', name).lower()}=={version}"


def _project() -> dict[str, Any]:
    import tomllib  # not at the head of the file: an older Python lacks it, and must live long enough to be told

    return tomllib.loads(PROJECT.read_text("utf-8"))


def find_browser() -> str | None:
    """Return a Chromium: the one named, one that is there, Debian's when root, else Playwright's own."""
    named = os.environ.get("WARMYARD_BROWSER")
    if named:
        return named if Path(named).exists() else None
    found = next((path for name in BROWSERS if (path := shutil.which(name))), None) or _usual_place()
    if found:
        return found
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        run(["apt-get", "-qq", "update"], quiet)
        for name in BROWSERS[:2]:
            run(["apt-get", "-qq", "install", "-y", "--no-install-recommends", name], quiet)
            if shutil.which(name):
                return shutil.which(name)
    if run([PYTHON, "-m", "playwright", "install", "chromium"]):
        return None
    ask = "from playwright.sync_api import sync_playwright as p\nwith p() as t: print(t.chromium.executable_path)"
    answer = subprocess.run([PYTHON, "-c", ask], capture_output=True, text=True, check=False).stdout.strip()
    return answer if Path(answer).exists() else None


def _usual_place() -> str | None:
    """Return the browser of a machine that keeps it outside the search path."""
    places = (
        "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
        "/Applications/Chromium.app/Contents/MacOS/Chromium",
        r"C:\Program Files\Google\Chrome\Application\chrome.exe",
        r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
    )
    return next((place for place in places if Path(place).exists()), None)


def run(words: Sequence[str | Path], environment: dict[str, str] | None = None, typed: str | None = None) -> int:
    """Run one command in the checkout, with what is typed into it, and return its exit code."""
    done = subprocess.run(
        [str(word) for word in words], cwd=ROOT, env=environment, input=typed, text=typed is not None, check=False
    )
    return done.returncode


def complain(sentence: str) -> int:
    """Say what is wrong; return the exit code of a failed call."""
    print(sentence, file=sys.stderr, flush=True)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
