"""Work shared among cores: the same answers in one process as in several, whatever happens to the others."""

from __future__ import annotations

import os

import pytest

from warmyard.cores import cores_here, shared


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
