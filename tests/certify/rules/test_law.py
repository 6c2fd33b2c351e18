"""The law of the judge: a signed decision of any kind gives leave only if `decide` would have taken it.

Random records are made, honest acts of an office among decisions that deciders signed with tools of their own. Beside
each stands the honest world: the same entries at the same numbers, but every decision made by `decide` or not at all.
Whoever may go alone in the first may go alone in the second.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

import msgspec
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from memory_book import KEYS, SIDE, Book, moment, new_book

from warmyard.certify.acts.decision import decide
from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.clearance import clearance_of
from warmyard.certify.rules.dates import last_day
from warmyard.certify.rules.judge import grants_with_force, why_no_force
from warmyard.certify.rules.standing import grants_of
from warmyard.errors import InputError

EXACT = -1
"""A forged grant that ends when `decide` would have it end."""
ACTIONS = ("grant", "suspend", "restore", "withdraw")
CANDIDATE = "ann"
Act = dict[str, Any]


@dataclass(slots=True)
class Worlds:
    """The record as it came about, and the honest one beside it."""

    full: Book = field(default_factory=new_book)
    honest: Book = field(default_factory=new_book)
    day: int = 0
    papers: int = 0

    def both(self, kind: str, person: str, body: Any, ago: int = 0, by: str = "office") -> None:
        """Enter the same in both; what the full one refuses is entered in neither."""
        try:
            self.full.add(kind, person, body, self.day, ago=ago, by=by)
        except InputError:
            return
        try:
            self.honest.add(kind, person, body, self.day, ago=ago, by=by)
        except InputError:
            self.fill()

    def fill(self) -> None:
        """Enter something that says nothing about anybody's leave, so that numbers stay alike."""
        self.honest.add("person", "bob", {"roles": (), "side": SIDE}, self.day)

    def decide_honestly(self, act: Act, signed: Decision | None = None) -> None:
        """Make a decision by `decide`, in the honest world alone; one that is refused leaves its number empty.

        One that was signed elsewhere is made there only when it says no more than `decide` would.
        """
        trial = Book(state=deepcopy(self.honest.state))
        made = decided_by(trial, act, self.day)
        if made is None or (signed is not None and says_more(signed, made)):
            self.fill()
        else:
            decided_by(self.honest, act, self.day)


def decided_by(book: Book, act: Act, day: int) -> Decision | None:
    """Return the decision that `decide` makes, or None when it refuses."""
    at = moment(day)
    try:
        entry = decide(
            book, book.state, person=CANDIDATE, level=act["level"], action=act["action"], by=act["by"],  # type: ignore[arg-type]
            because=act["because"], on=at.date() - timedelta(days=act["ago"]), now=at, signer=KEYS[act["by"]],
        )  # fmt: skip
    except InputError:
        return None
    made = book.state.by_number[entry.number].body
    assert isinstance(made, Decision)
    return made


def says_more(signed: Decision, made: Decision) -> bool:
    """Say whether a decision gives more, or rests on something else, than the one that `decide` made."""
    if made.action != "grant":
        return False
    same = ("scheme", "evidence", "trainers", "examiners", "waiver", "surveillance_months", "grace_days")
    return (
        any(getattr(signed, name) != getattr(made, name) for name in same)
        or set(signed.activities) != set(made.activities)
        or signed.until != made.until
        or signed.index == 0
    )


def _evidence(worlds: Worlds, act: Act) -> None:
    body = {"what": act["what"], "level": 2, "count": act["count"], "by": act["who"]}
    worlds.both("evidence", CANDIDATE, body, ago=act["ago"])


def _observation(worlds: Worlds, act: Act) -> None:
    passed = act["passed"]
    body = {
        "station": act["station"], "level": 2 if act["station"] == "filter" else 3, "observers": (act["who"],),
        "points": {"p": "pass" if passed else "fail"}, "passed": passed,
    }  # fmt: skip
    worlds.both("observation", CANDIDATE, body, ago=act["ago"])


def _paper(worlds: Worlds, act: Act) -> None:
    worlds.papers += 1
    name, digest = f"paper-{worlds.papers}", "b" * 64
    issued = {
        "paper": name, "level": 2, "part": "paper", "scheme": digest, "page": digest, "frozen_key": digest,
        "questions": digest, "attempt": 1, "minutes": 30,
    }  # fmt: skip
    worlds.both("paper", CANDIDATE, issued)
    right = 9 if act["passed"] else 5
    sat = {
        "paper": name, "level": 2, "part": "paper", "record": digest, "passed": act["passed"], "right": right, "of": 10,
        "cut_percent": "70",
    }  # fmt: skip
    worlds.both("sitting", CANDIDATE, sat)


def _interest(worlds: Worlds, act: Act) -> None:
    about = (CANDIDATE,) if act["about"] else ()
    worlds.both("interest", act["who"], {"about": about, "side": SIDE if about else ""}, ago=act["ago"])


def _void(worlds: Worlds, act: Act) -> None:
    number = 1 + act["entry"] % worlds.full.state.count
    worlds.both("void", "", {"entry": number, "because": "mistake"}, by="cora")


def _stolen(worlds: Worlds, act: Act) -> None:
    key = KEYS[act["by"]]
    since = max(1, worlds.full.state.count - act["back"])
    worlds.both("key", act["by"], {"action": "stolen", "key": key.id, "since_entry": since})


def _decide(worlds: Worlds, act: Act) -> None:
    """Both decide by `decide`: where it refuses, no entry is made in the full world."""
    if decided_by(worlds.full, act, worlds.day) is not None:
        worlds.decide_honestly(act)


def _own_tool(worlds: Worlds, act: Act) -> None:
    """Sign a decision that says whatever it likes; the honest world is asked to decide the same by `decide`."""
    body = forged(worlds.full.state, act, worlds.day)
    try:
        number = worlds.full.add("decision", CANDIDATE, body, worlds.day, by=act["by"], ago=act["ago"])
    except InputError:
        return
    worlds.decide_honestly(act, worlds.full.state.by_number[number].body)


def forged(state: State, act: Act, day: int) -> Decision:
    """Return the body of a decision with a decider's own tool: as good as `decide` would make it, but for its lies."""
    level, action = act["level"], act["action"]
    scheme = state.scheme_now()
    assert scheme is not None
    wanted = next(each for each in scheme.levels if each.level == level)
    facts = [fact for fact in state.facts[CANDIDATE] if getattr(fact.body, "level", 0) == level]
    kinds = ("evidence", "observation", "sitting")
    passed = [
        fact.entry.number
        for fact in facts
        if fact.entry.kind in kinds and getattr(fact.body, "passed", True) and fact.entry.number not in state.voided
    ]
    body: dict[str, Any] = {
        "level": level, "action": action, "because": act["because"], "decider": act["by"],
        "scheme": state.adopted[-1].body.digest, "certificate": "",
    }  # fmt: skip
    if action == "grant":
        number = state.count + 1
        begins = max(moment(day).date(), moment(day).date() - timedelta(days=act["ago"]))
        until = last_day(begins, 12) if act["until"] == EXACT else moment(0).date() + timedelta(days=act["until"])
        body |= {
            "certificate": f"c-{number}", "index": number, "activities": wanted.activities, "evidence": tuple(passed),
            "until": until.isoformat(), "surveillance_months": 6, "grace_days": 10,
            "trainers": ("tom",), "examiners": ("eve",),
        } | act["lies"]  # fmt: skip
    else:
        held = list(grants_of(state, CANDIDATE, level))
        body["certificate"] = held[act["which"] % len(held)].body.certificate if held else "c-none"
    return msgspec.convert(body, Decision)


DO: dict[str, Callable[[Worlds, Act], None]] = {
    "evidence": _evidence,
    "observation": _observation,
    "paper": _paper,
    "interest": _interest,
    "void": _void,
    "stolen": _stolen,
    "decide": _decide,
    "own-tool": _own_tool,
}
DAYS_AGO = st.integers(-20, 200)
DECIDERS = st.sampled_from(["ida", "ida", "ivo"])
REASONS = st.sampled_from([*ACTIONS, "because-i-say-so"])
LIES = st.fixed_dictionaries(
    {},
    optional={
        "activities": st.sampled_from([("service", "set"), ("service",), ()]),
        "evidence": st.sampled_from([(), (1,), (14, 15, 16, 17), (20, 21)]),
        "trainers": st.sampled_from([(), ("tom", "eve")]),
        "examiners": st.sampled_from([(), ("ned",), ("eve", "ned")]),
        "surveillance_months": st.sampled_from([0, 60]),
        "index": st.sampled_from([0, 131_071]),
        "waiver": st.integers(0, 30),
    },
)


def _decision(name: str) -> st.SearchStrategy[Act]:
    def right_reason(act: Act) -> Act:
        return {**act, "because": act["action"] if act["right_reason"] else act["because"]}

    return st.fixed_dictionaries(
        {
            "do": st.just(name), "level": st.sampled_from([2, 2, 2, 3]), "by": DECIDERS, "because": REASONS,
            "action": st.sampled_from(["grant", "grant", "suspend", "restore", "restore", "withdraw"]),
            "right_reason": st.sampled_from([True, True, True, False]), "ago": st.sampled_from([0, 0, 0, 5, -5, 300]),
            "until": st.sampled_from([EXACT, EXACT, EXACT, 300, 900]), "which": st.integers(0, 3),
            "lies": st.one_of(st.just({}), st.just({}), LIES), "wait": st.sampled_from([0, 1, 20, 150]),
        }
    ).map(right_reason)  # fmt: skip


READY: list[Act] = [
    {"do": "evidence", "what": "hours", "count": 2, "who": "tom", "ago": 0, "wait": 0},
    {"do": "evidence", "what": "aid", "count": 1, "who": "tom", "ago": 0, "wait": 0},
    {"do": "paper", "passed": True, "wait": 0},
    {"do": "observation", "station": "filter", "who": "eve", "passed": True, "ago": 0, "wait": 0},
]
"""All that level 2 asks, so that honest grants are not rare."""


def vouched_by(*who: str) -> st.SearchStrategy[Act]:
    """Return evidence by one of some people."""
    return st.fixed_dictionaries(
        {"do": st.just("evidence"), "what": st.sampled_from(["hours", "aid", "surveillance"]),
         "count": st.integers(1, 2), "who": st.sampled_from(who), "ago": DAYS_AGO, "wait": st.integers(0, 40)}
    )  # fmt: skip


PAPER = st.fixed_dictionaries(
    {"do": st.just("paper"), "passed": st.sampled_from([True, True, False]), "wait": st.integers(0, 40)}
)
NOISE = st.one_of(
    vouched_by("tom", "tom", "ivo"),
    PAPER,
    st.fixed_dictionaries({"do": st.just("observation"), "station": st.sampled_from(["filter", "set"]),
                           "who": st.sampled_from(["eve", "ned", "ida"]),
                           "passed": st.sampled_from([True, True, False]),
                           "ago": st.sampled_from([0, 0, 30]), "wait": st.integers(0, 40)}),
    st.fixed_dictionaries({"do": st.just("interest"), "who": st.sampled_from(["ida", "eve"]), "about": st.booleans(),
                           "ago": st.integers(0, 40), "wait": st.integers(0, 40)}),
    st.fixed_dictionaries({"do": st.just("void"), "entry": st.integers(13, 40), "wait": st.just(0)}),
    st.fixed_dictionaries({"do": st.just("stolen"), "by": DECIDERS, "back": st.integers(0, 20), "wait": st.just(0)}),
)  # fmt: skip
READY_AGAIN = st.just({"do": "ready"})
ACTS = st.one_of(READY_AGAIN, NOISE, _decision("decide"), _decision("decide"), _decision("own-tool"),
                 _decision("own-tool"), _decision("own-tool"))  # fmt: skip
HONEST_ACTS = st.one_of(READY_AGAIN, _decision("decide"), _decision("decide"), vouched_by("tom"), PAPER)
"""Nothing in it that takes force from a decision afterwards, as training by its decider, entered late, would."""


def lives(acts: st.SearchStrategy[Act]) -> st.SearchStrategy[list[Act]]:
    """Return what may happen to somebody who mostly begins with all that level 2 asks."""
    begins = st.sampled_from([[{"do": "ready"}], [{"do": "ready"}], []])
    return st.builds(lambda first, more: [*first, *more], begins, st.lists(acts, max_size=8))


def live(acts: list[Act]) -> Worlds:
    """Return the two worlds after some acts."""
    worlds = Worlds()
    for act in [one for each in acts for one in (READY if each["do"] == "ready" else [each])]:
        worlds.day += act["wait"]
        DO[act["do"]](worlds, act)
    assert worlds.full.state.count == worlds.honest.state.count
    return worlds


def leave(state: State, activity: str, on: date) -> date | None:
    """Return until when the candidate may go alone as of a day, or None."""
    found = clearance_of(state, CANDIDATE, activity, on)
    return found.until if found.may_go_alone else None


def grant(level: int = 2, **more: Any) -> Act:
    """Return a decision with an own tool: a grant by Ida, with the right reason."""
    act = {"do": "own-tool", "level": level, "action": "grant", "by": "ida", "because": "grant", "ago": 0,
           "until": EXACT, "lies": {}, "which": 0, "wait": 1}  # fmt: skip
    return act | more


def decided(action: str, **more: Any) -> Act:
    """Return a decision by `decide`, by Ida, with the right reason."""
    return grant(action=action, because=action, do="decide", **more)


@settings(max_examples=400, deadline=None)
@given(lives(ACTS))
@example([{"do": "ready"}, grant(until=900)])
@example(
    [
        {"do": "evidence", "what": "hours", "count": 2, "who": "tom", "ago": 0, "wait": 0},
        {"do": "evidence", "what": "aid", "count": 1, "who": "tom", "ago": 190, "wait": 0},
        *READY[2:],
        grant(),
    ]
)
@example([*READY, {**READY[3], "who": "ned", "passed": False}, grant()])
@example([{"do": "ready"}, decided("grant"), decided("suspend"), grant(action="restore", because="because-i-say-so")])
@example([{"do": "ready"}, decided("grant"), decided("suspend"), {"do": "ready"}, grant()])
@example(
    [
        {"do": "ready"},
        decided("grant"),
        decided("suspend"),
        grant(action="withdraw", because="because-i-say-so"),
        {"do": "ready"},
        decided("grant"),
    ]
)
@example([{"do": "interest", "who": "ida", "about": True, "ago": 1, "wait": 0}, {"do": "ready"}, grant()])
@example([{"do": "ready"}, grant(lies={"index": 0})])
@example([{"do": "ready"}, grant(lies={"trainers": (), "examiners": ()})])
@example([{"do": "ready"}, decided("grant"), grant(level=3)])
def test_nothing_gives_leave_that_decide_would_not_have_taken(acts: list[Act]) -> None:
    """Whatever deciders sign with tools of their own, nobody goes alone who could not go in the honest world."""
    worlds = live(acts)
    today = moment(worlds.day).date()
    for ahead in (0, 30, 120, 200, 365):
        for activity in ("service", "set"):
            on = today + timedelta(days=ahead)
            until = leave(worlds.full.state, activity, on)
            honest = leave(worlds.honest.state, activity, on)
            assert until is None or (honest is not None and until <= honest), (activity, on, until, honest)


@settings(max_examples=150, deadline=None)
@given(lives(HONEST_ACTS))
@example([{"do": "ready"}, decided("grant"), decided("suspend"), decided("restore")])
def test_what_decide_takes_has_force(acts: list[Act]) -> None:
    """Of a record that was kept by the office's own commands, the judge takes no decision away when it reads it."""
    state = live(acts).full.state
    made = [fact for fact in state.of(CANDIDATE, Decision) if fact.body.action in ("grant", "restore")]
    assert [why_no_force(state, fact) for fact in made] == ["" for _ in made]


@pytest.mark.parametrize(
    ("acts", "why"),
    [
        ([*READY[:1], {**READY[1], "ago": 190}, *READY[2:], grant()], "Aid; what is older than 6 months does not"),
        ([*READY, {**READY[3], "who": "ned", "passed": False}, grant()], "station filter was not passed"),
        ([*READY, grant(because="because-i-say-so")], "no reason to grant"),
        ([*READY, grant(lies={"index": 0})], "no place in the status lists"),
        ([*READY, grant(until=300)], "gives less than its scheme does"),
        ([*READY, grant(lies={"examiners": ("ned",)})], "other trainers, examiners or waiver"),
        ([*READY, grant(lies={"evidence": (14, 15, 17)})], "other evidence than what counted"),
    ],
)  # fmt: skip
def test_what_a_decider_s_own_tool_signs_is_named(acts: list[Act], why: str) -> None:
    """The reason stands on the board: too old a log, a second observer's fail, a reason that is none, a false list."""
    state = live(acts).full.state
    assert not grants_with_force(state, CANDIDATE, 2)
    assert why in clearance_of(state, CANDIDATE, "service", moment(2).date()).reason


def test_a_restoration_without_force_is_named_beside_the_suspension() -> None:
    """A restoration with a reason that the scheme does not have lifts nothing, and the board says which entry."""
    acts = [{"do": "ready"}, decided("grant"), decided("suspend"), grant(action="restore", because="because-i-say-so")]
    worlds = live(acts)
    reason = clearance_of(worlds.full.state, CANDIDATE, "service", moment(worlds.day).date()).reason
    number = worlds.full.state.count
    assert reason.startswith("suspended on ")
    assert (
        f"its restoration (entry {number}) has no force: `decide` would have refused it: 'because-i-say-so'" in reason
    )
