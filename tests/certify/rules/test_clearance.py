"""The board: what is looked for once, and told once, is what each answer alone would say."""

from __future__ import annotations

from datetime import date, timedelta
from functools import partial

import pytest
from demo_records import Demo

from warmyard.certify.ledger.state import State
from warmyard.certify.rules.clearance import as_records, board, candidates, clearance_of
from warmyard.certify.rules.evidence import evidence_for
from warmyard.certify.rules.judge import evidence_on, evidence_query, holds_level
from warmyard.words import own_words


@pytest.fixture(scope="module")
def state(whole_demo: Demo) -> State:
    """Give what the ledger of the whole demo says."""
    return whole_demo.state()


@pytest.fixture(params=[-400, -30, 0, 300, 1200], ids=lambda days: f"{days} days on")
def on(request: pytest.FixtureRequest, whole_demo: Demo) -> date:
    """Give a day before, in or after the days of the demo."""
    return whole_demo.made.date() + timedelta(days=request.param)


def test_an_activity_on_the_board_is_answered_as_when_it_alone_is_asked_about(state: State, on: date) -> None:
    """Several activities of a person share an answer; none takes another's."""
    found = board(state, on)
    assert found == [clearance_of(state, answer.person, answer.activity, on) for answer in found]


def test_the_first_thing_missing_is_the_first_of_all(state: State, on: date) -> None:
    """A look that ends there says the same as one that goes on, and finds all where nothing is missing."""
    scheme, view = state.scheme_now(), state.view()
    assert scheme is not None
    asked = [(person, level) for person in candidates(state) for level in scheme.levels]
    assert len(scheme.levels) > 1
    for person, level in asked:
        whole = evidence_on(view, level, person, on)
        ask = evidence_query(view, level, person, on, partial(holds_level, view, person, on=on))
        first = evidence_for(ask, to_first=True)
        assert first.missing[:1] == whole.missing[:1], (person, level.level)
        assert first.missing or first == whole


def test_an_answer_told_with_others_is_told_as_when_alone(state: State, on: date) -> None:
    """What answers share is told once, in other words too."""
    words = {**own_words(), "judge.waits": "wartet", "clearance.due": "{day} - {what}"}
    answers = board(state, on)
    assert as_records(answers, words) == [as_records([answer], words)[0] for answer in answers]
