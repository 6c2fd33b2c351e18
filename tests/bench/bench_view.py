"""How long from a save to the page that a reader sees in `warmyard view`: the slower edition, each kind of source.

python tests/bench/bench_view.py [RUNS]

A source of the real course is changed so that a page differs, and a browser's question is asked as the page asks it:
until the number of the build has grown. Each figure is the median of the runs (3 unless said).
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ("course", "quizbank", "site_config")
RUNS = 3
MOST_SECONDS = 60
ASK_SECONDS = 0.1
"""How often the page in the browser asks for the number of the build."""


def add_line(text: str, at: int) -> str:
    """Return a page with a line more."""
    return f"{text}\nOne line more, number {'I' * at}.\n"


def replaced(old: str, new: str) -> Callable[[str, int], str]:
    """Return what puts one text in the place of another, a different one each time."""

    def change(text: str, at: int) -> str:
        found = re.sub(old, new.replace("#", "I" * at), text, count=1, flags=re.MULTILINE)
        if found == text:
            raise SystemExit(f"nothing matches {old!r}")
        return found

    return change


def heavier(text: str, at: int) -> str:
    """Return a sheet whose machine weighs a kilogram more."""
    return re.sub(r"mass: (\d+)", lambda mass: f"mass: {int(mass.group(1)) + at}", text, count=1)


CHANGES: dict[str, tuple[str, Callable[[str, int], str]]] = {
    "page text": ("course/lessons/staff/08-fuel.md", add_line),
    "item": ("quizbank/practice/fuel-handling.yaml", replaced(r'^    ask: "', '    ask: "Now#, ')),
    "formula": ("course/formulas/fuel.yaml", replaced(r"^  title: (\S+)", r"  title: Now# \1")),
    "rule": ("site_config/rules/england.yaml", replaced(r"means: \"share", 'means: "share#')),
    "company": ("site_config/company.yaml", replaced(r"^name: .*$", "name: Hollin Edge Warm Air Hire #")),
    "sheet, a number": ("site_config/fleet/curlew-70.yaml", heavier),
    "sheet, the machine's name": ("site_config/fleet/curlew-70.yaml", replaced(r"^name: .*$", "name: Curlew 70#")),
    "model of the machine": ("course/machine/checks-fuel.yaml", replaced(r"^    name: (\S+)", r"    name: Now# \1")),
}


def main(runs: int = RUNS) -> None:
    """Print a line for each kind of source: seconds from the save to the page."""
    with tempfile.TemporaryDirectory() as folder:
        yard = Path(folder) / "yard"
        for name in SOURCES:
            shutil.copytree(ROOT / name, yard / name)
        way = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "XDG_CACHE_HOME": str(Path(folder) / "cache")}
        words = [sys.executable, "-m", "warmyard.cli", "view", "--port", "0"]
        with subprocess.Popen(words, cwd=yard, env=way, stdout=subprocess.PIPE, text=True) as viewer:
            try:
                address = address_said(viewer)
                for what, (file, change) in CHANGES.items():
                    times = [seen_after(address, yard / file, change, at) for at in range(1, runs + 1)]
                    print(f"{statistics.median(times):5.2f} s  {what}", flush=True)
            finally:
                viewer.send_signal(signal.SIGINT)


def address_said(viewer: subprocess.Popen[str]) -> str:
    """Return the address that `view` prints once the first build stands."""
    assert viewer.stdout is not None
    for line in viewer.stdout:
        if found := re.search(r"http://[0-9.:]+", line):
            return found.group()
    raise SystemExit("view said no address")


def seen_after(address: str, file: Path, change: Callable[[str, int], str], at: int) -> float:
    """Return the seconds from a save to the browser's reading of the page that follows it."""
    before = number(address)
    good = file.read_text("utf-8")
    start = time.perf_counter()
    file.write_text(change(good, at), "utf-8")
    while number(address) == before:
        time.sleep(ASK_SECONDS)
        if time.perf_counter() - start > MOST_SECONDS:
            raise SystemExit(f"{file.name}: no page after {MOST_SECONDS} s")
    urllib.request.urlopen(f"{address}/index.html").read()
    return time.perf_counter() - start


def number(address: str) -> int:
    """Return the number of the build that is served."""
    with urllib.request.urlopen(f"{address}/assets/wy/build.js") as answer:
        return int(re.sub(r"\D", "", answer.read().decode()))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
