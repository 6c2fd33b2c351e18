"""Work shared among cores: the same answers in one process as in several, whatever happens to the others."""

from __future__ import annotations

import os
import sys

import pytest

from warmyard.cores import KEEPS_THREADS, cores_here, meanwhile, shared


@pytest.mark.parametrize("cores", [1, 2, 3])
def test_every_job_is_done_once(cores: int) -> None:
    """The shares together are the jobs; two processes really are two."""
    answers = shared(range(9), lambda share: (os.getpid(), list(share)), cores)
    assert sorted(job for _, share in answers for job in share) == list(range(9))
    assert len({process for process, _ in answers}) == cores


def test_few_jobs_are_not_shared() -> None:
    """A process of its own for one job would cost more than the job."""
    assert shared([1], list, 2) == [[1]]
    assert shared([], list, 2) == [[]]


def test_the_share_of_a_process_that_died_is_done_again() -> None:
    """Killed from outside, it loses nothing."""
    here = os.getpid()

    def work(share: object) -> bool:
        if os.getpid() != here:
            os._exit(9)
        return True

    assert shared(range(4), work, 2) == [True, True]


def test_what_fails_in_another_process_fails_here() -> None:
    """The fault is raised where the work was asked for, as if there had been one process."""

    def work(share: object) -> bool:
        raise ValueError(f"cannot do {share}")

    with pytest.raises(ValueError, match="cannot do"):
        shared(range(4), work, 2)


def test_there_is_at_least_one_core() -> None:
    """One where nothing is known of others."""
    assert cores_here() >= 1


def test_a_job_goes_on_beside_this_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its answer comes from a copy of the process; where a library keeps threads, or on one core, from this one."""
    for name in KEEPS_THREADS:
        monkeypatch.delitem(sys.modules, name, raising=False)
    monkeypatch.setattr("warmyard.cores.cores_here", lambda: 2)
    assert meanwhile(os.getpid)() != os.getpid()
    monkeypatch.setitem(sys.modules, KEEPS_THREADS[0], sys)
    assert meanwhile(os.getpid)() == os.getpid()
    monkeypatch.delitem(sys.modules, KEEPS_THREADS[0])
    monkeypatch.setattr("warmyard.cores.cores_here", lambda: 1)
    assert meanwhile(os.getpid)() == os.getpid()


def test_a_job_that_failed_in_the_copy_fails_when_its_answer_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """The fault is raised here, with all that it says."""
    for name in KEEPS_THREADS:
        monkeypatch.delitem(sys.modules, name, raising=False)
    monkeypatch.setattr("warmyard.cores.cores_here", lambda: 2)

    def fail() -> None:
        raise ValueError("cannot do it")

    wait = meanwhile(fail)
    with pytest.raises(ValueError, match="cannot do it"):
        wait()
