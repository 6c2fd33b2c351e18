"""How long a whole build takes beside the plain theme on the same texts, and how much memory all its processes need.

python tests/bench/bench_build.py [TIMES]

First the course as it is, cold (an empty cache), warm (nothing changed) and after one word was changed; then every
lesson of the staff edition TIMES times (9 unless said), cold. Each figure is the faster of two runs, or the only one
of a large course. The plain theme builds both editions' texts in one process, with its own search and nothing of ours.
Memory is the largest sum over all processes of a build, shared pages counted once (PSS of Linux), 20 times a second.
"""

from __future__ import annotations

import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ("course", "quizbank", "site_config")
TIMES = 9
SAMPLE_SECONDS = 0.05
PLAIN = """
import sys
from mkdocs.commands.build import build
from mkdocs.config import load_config
for edition in ("staff", "customer"):
    build(load_config(sys.argv[1] + "/" + edition + ".yml"))
"""


@dataclass(frozen=True, slots=True)
class Run:
    """One process and its children, from start to end."""

    seconds: float
    cpu_s: float
    """Of all its processes: what a busy machine does not lengthen."""
    memory_mb: float


def main(times: int = TIMES) -> None:
    """Print a line for each figure, and its ratio to the plain theme."""
    with tempfile.TemporaryDirectory() as folder:
        yard = Path(folder) / "yard"
        for name in SOURCES:
            shutil.copytree(ROOT / name, yard / name)
        first = len(list((yard / "course" / "lessons" / "staff").glob("[0-9]*.md")))
        plain = _faster(lambda: _plain(yard))
        _say(f"{first} lessons, plain theme", plain)
        cold = _faster(lambda: _ours(yard, fresh=True))
        _say(f"{first} lessons, cold", cold, plain)
        _say(f"{first} lessons, warm, nothing changed", _faster(lambda: _ours(yard)), plain)
        page = yard / "course" / "lessons" / "staff" / "index.md"
        page.write_text(page.read_text("utf-8") + "\nOne line more.\n", "utf-8")
        _say(f"{first} lessons, warm, one page changed", _ours(yard), plain)
        count = multiply(yard / "course" / "lessons" / "staff", times)
        plain = _plain(yard)
        _say(f"{count} lessons, plain theme", plain)
        _say(f"{count} lessons, cold", _ours(yard, fresh=True), plain)
        _say(f"{count} lessons, warm, nothing changed", _ours(yard), plain)


def multiply(folder: Path, times: int) -> int:
    """Write each lesson of a folder so many times in all, under other names; return how many there are then."""
    lessons = sorted(folder.glob("[0-9]*.md"))
    for lesson in lessons:
        text = lesson.read_text("utf-8")
        named = re.findall(r"^called: *(\S+)$", text, re.MULTILINE)
        for at in range(2, times + 1):
            copy = re.sub(r"^id: (.*)$", rf"id: \1-{at}", text, count=1, flags=re.MULTILINE)
            for name in named:
                copy = re.sub(rf"(called: *|result ){re.escape(name)}\b", rf"\g<1>{name}-{at}", copy)
            lesson.with_stem(f"{lesson.stem}-{at}").write_text(copy, "utf-8")
    return len(lessons) * times


def _plain(yard: Path) -> Run:
    """Build the texts of both editions with the theme alone."""
    made = yard / "plain"
    shutil.rmtree(made, ignore_errors=True)
    made.mkdir()
    for edition in ("staff", "customer"):
        text = (
            f"site_name: {edition}\ndocs_dir: ../course/lessons/{edition}\nsite_dir: site/{edition}\n"
            "use_directory_urls: false\ntheme: {name: material, font: false}\nplugins: [search]\n"
            "markdown_extensions: [abbr, attr_list, def_list, footnotes, tables]\n"
        )
        (made / f"{edition}.yml").write_text(text, "utf-8")
    return run([sys.executable, "-W", "ignore", "-c", PLAIN, str(made)], yard)


def _ours(yard: Path, fresh: bool = False) -> Run:
    if fresh:
        shutil.rmtree(yard.parent / "cache", ignore_errors=True)
        shutil.rmtree(yard.parent / "site", ignore_errors=True)
    return run([sys.executable, "-m", "warmyard.cli", "build", "--out", str(yard.parent / "site")], yard)


def run(words: Sequence[str], yard: Path) -> Run:
    """Run a command in a yard, with a cache of its own; stop with its words when it fails."""
    way = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "builder"),
        "XDG_CACHE_HOME": str(yard.parent / "cache"),
        "DISABLE_MKDOCS_2_WARNING": "true",
        "NO_MKDOCS_2_WARNING": "true",
    }
    start = time.perf_counter()
    process = subprocess.Popen(words, cwd=yard, env=way, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    watch = _Watch(process.pid)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    said, _ = process.communicate()
    seconds = time.perf_counter() - start
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = used.ru_utime - before.ru_utime + used.ru_stime - before.ru_stime
    watch.end()
    if process.returncode:
        raise SystemExit(f"{' '.join(words[:4])}: {said[-2000:]}")
    return Run(seconds, cpu_s, watch.most_mb)


class _Watch:
    """Looks at the memory of a process and its children until told to end."""

    def __init__(self, pid: int) -> None:
        self.pid = pid
        self.most_mb = 0.0
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._look)
        self._thread.start()

    def end(self) -> None:
        self._over.set()
        self._thread.join()

    def _look(self) -> None:
        while not self._over.wait(SAMPLE_SECONDS):
            self.most_mb = max(self.most_mb, sum(map(_pss_mb, _with_children(self.pid))))


def _with_children(pid: int) -> list[int]:
    found = [pid]
    for at in found:
        try:
            for task in Path(f"/proc/{at}/task").iterdir():
                found += [int(child) for child in (task / "children").read_text().split()]
        except OSError:
            continue
    return found


def _pss_mb(pid: int) -> float:
    try:
        text = Path(f"/proc/{pid}/smaps_rollup").read_text()
    except OSError:
        return 0.0
    found = re.search(r"^Pss: +(\d+) kB$", text, re.MULTILINE)
    return int(found.group(1)) / 1000 if found else 0.0


def _faster(go: Callable[[], Run]) -> Run:
    """Return the faster of two runs."""
    first, second = go(), go()
    return min((first, second), key=lambda one: one.seconds)


def _say(what: str, found: Run, plain: Run | None = None) -> None:
    ratio = ""
    if plain:
        ratio = f"  {found.seconds / plain.seconds:5.2f} x the plain theme ({found.cpu_s / plain.cpu_s:.2f} x of cores)"
    print(f"{found.seconds:7.2f} s {found.cpu_s:7.2f} s cpu {found.memory_mb:5.0f} MB  {what}{ratio}", flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
