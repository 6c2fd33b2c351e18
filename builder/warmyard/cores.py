"""Work shared among the cores of this machine: the same answer in one process as in several.

A library that keeps threads of its own (typst does) may stand still in a copy of a process that used it before. So what
is shared is work in pure Python alone: draws, search entries, the audit. A whole job goes its own way in a copy only
while no such library is there yet.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing.connection import Connection
from typing import TypeVar

Job = TypeVar("Job")
Answer = TypeVar("Answer")
FEWEST_JOBS = 2
KEEPS_THREADS = ("typst",)
"""Libraries that no copy of a process may use when the process had used them."""


def cores_here() -> int:
    """Return how many cores may be used: all that this process may run on.

    One where the system cannot copy a running process safely (Windows, macOS), or where this one has threads.
    """
    if not hasattr(os, "sched_getaffinity") or threading.active_count() > 1:
        return 1
    return len(os.sched_getaffinity(0))


def shared(jobs: Sequence[Job], work: Callable[[Sequence[Job]], Answer], cores: int | None = None) -> list[Answer]:
    """Return what `work` gives for each share of the jobs; the shares together hold every job once.

    The first share is done in this process, each other in a copy of it, which hands its answer back. What fails there
    fails here: the share of a process that ended without an answer is done again in this one.
    """
    wanted = max(1, min(cores_here() if cores is None else cores, len(jobs) // FEWEST_JOBS))
    shares = [jobs[first::wanted] for first in range(wanted)]
    if wanted == 1:
        return [work(jobs)]
    context = multiprocessing.get_context("fork")
    others = []
    for share in shares[1:]:
        here, there = context.Pipe(duplex=False)
        process = context.Process(target=_answer, args=(there, work, share))
        process.start()
        there.close()
        others.append((process, here, share))
    answers = [work(shares[0])]
    for process, here, share in others:
        try:
            answers.append(here.recv())
        except EOFError:
            answers.append(work(share))
        here.close()
        process.join()
    return answers


def meanwhile(job: Callable[[], Answer]) -> Callable[[], Answer]:
    """Begin a job in a copy of this process, and return what waits for its answer.

    Where no copy can be made, or the job failed in it, the job is done in this process when its answer is asked for:
    so it must be one that can be done twice.
    """
    if cores_here() == 1 or any(name in sys.modules for name in KEEPS_THREADS):
        return job
    context = multiprocessing.get_context("fork")
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=_answer, args=(there, lambda _: job(), ()))
    process.start()
    there.close()

    def wait() -> Answer:
        try:
            answer: Answer = here.recv()
        except EOFError:
            answer = job()
        here.close()
        process.join()
        return answer

    return wait


def _answer(there: Connection, work: Callable[[Sequence[Job]], Answer], share: Sequence[Job]) -> None:
    """Do a share in a copy of the process; what it raises is raised again where the share is done once more."""
    try:
        answer = work(share)
    except Exception:  # told by the process that started this one, which does the share again
        there.close()
        return
    there.send(answer)
    there.close()


@contextmanager
def nothing_collected() -> Iterator[None]:
    """Let the collector of circles rest: everything that is made here is kept, and looking through it takes long."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
