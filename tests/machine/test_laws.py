"""The reasoning against plain enumeration on 1,000 random machines, and the search against plain recursion."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping

import pytest
from exact_search import best_policy

from warmyard.machine.diagnosis import Reasoner, next_check, rank_checks, suspects
from warmyard.machine.evidence import Hypothesis, Situation
from warmyard.machine.model import Check, Likelihoods, Machine, Mode, Precondition, Rung, Symptom
from warmyard.machine.policy import Policy, greedy_policy, likely

MODELS = 1000
PLACES = ("far", "near", "open")
SYMPTOM = "broken"


def draw_machine(seed: int, *, most_modes: int = 6, most_checks: int = 6) -> Machine:
    """Return a machine of a few modes and checks without bars; some outcomes mean that a check cannot be done."""
    chance = random.Random(seed)
    checks = {f"check-{at}": _draw_check(chance, at) for at in range(chance.randint(2, most_checks))}
    names = [f"mode-{at}" for at in range(chance.randint(2, most_modes))]
    modes = {name: _draw_mode(chance, name, names, checks) for name in names}
    preconditions = {
        place: Precondition(id=place, name=place, means=place, includes=PLACES[at - 1 : at] if at else ())
        for at, place in enumerate(PLACES)
    }
    ladder = tuple(Rung(start=PLACES[at], to=PLACES[at + 1], minutes=chance.randint(0, 9), do="go") for at in range(2))
    runs = chance.random() < 0.5
    symptoms = {name: Symptom(id=name, name=name, as_said=name, runs=runs) for name in (SYMPTOM, "odd")}
    return Machine(
        states={},
        invariants=(),
        symptoms=symptoms,
        preconditions=preconditions,
        ladder=ladder,
        checks=checks,
        modes=modes,
        contexts={"storm": "Storm"},
        likelihoods=Likelihoods(settled=1.0),
    )


def _draw_check(chance: random.Random, at: int) -> Check:
    outcomes = [f"o{k}" for k in range(chance.randint(2, 4))]
    cannot = (outcomes[-1],) if len(outcomes) > 2 and chance.random() < 0.4 else ()
    return Check(
        id=f"check-{at}",
        name=f"Check {at}",
        ask="Look.",
        minutes=chance.randint(1, 9),
        needs=chance.choice(PLACES),
        level=chance.randint(0, 3),
        outcomes=dict.fromkeys(outcomes, "Seen."),
        normal=outcomes[0],
        cannot=cannot,
    )


def _draw_mode(chance: random.Random, name: str, names: list[str], checks: Mapping[str, Check]) -> Mode:
    shows = {check.id: chance.choice(list(check.outcomes)) for check in checks.values() if chance.random() < 0.6}
    others = [other for other in names if other != name]
    behind = (chance.choice(others),) if chance.random() < 0.3 else ()
    return Mode(
        id=name,
        component="part",
        name=name.title(),
        weight=chance.randint(1, 5),
        strong=(SYMPTOM,) if chance.random() < 0.6 else ("odd",),
        weak=(SYMPTOM,) if chance.random() < 0.3 else (),
        seldom=(SYMPTOM,) if chance.random() < 0.5 else (),
        contexts={"storm": chance.choice((0.5, 2.0, 3.0))} if chance.random() < 0.3 else {},
        shows=shows,
        behind=behind,
        remedy="Mend it.",
        fit_to_return="It runs.",
        level=1,
    )


def draw_situation(machine: Machine, seed: int) -> Situation:
    """Return what may have been seen: mostly what some mode would show, at times nonsense."""
    chance = random.Random(seed)
    hidden = chance.choice(list(machine.modes.values()))
    seen = {}
    for check in chance.sample(list(machine.checks.values()), chance.randint(0, min(3, len(machine.checks)))):
        honest = hidden.shows.get(check.id, check.normal)
        seen[check.id] = honest if chance.random() < 0.85 else chance.choice(list(check.outcomes))
    contexts = ("storm",) if chance.random() < 0.3 else ()
    return Situation(SYMPTOM, seen, contexts, chance.choice(PLACES), 3)


def enumerate_weights(machine: Machine, situation: Situation) -> dict[tuple[str, str], float]:
    """Return the weight of every (cause, behind) by plain enumeration, not normalised; written apart from the code."""
    found: dict[tuple[str, str], float] = {}
    for cause in machine.modes.values():
        total = sum(machine.modes[name].weight for name in cause.behind)
        stories = [("", 1.0 - (machine.likelihoods.behind if cause.behind else 0.0))]
        stories += [(b, machine.likelihoods.behind * machine.modes[b].weight / total) for b in cause.behind]
        for behind, share in stories:
            weight = cause.weight * share * enumerate_strength(machine, cause, situation)
            if weight > 0 and all(
                may_show(machine, cause.id, behind, check, seen) for check, seen in situation.seen.items()
            ):
                found[cause.id, behind] = weight
    return found


def enumerate_strength(machine: Machine, mode: Mode, situation: Situation) -> float:
    """Return how strongly a mode shows the symptom, times its contexts."""
    likelihoods = machine.likelihoods
    strength = likelihoods.other if situation.symptom in mode.seldom else 0.0
    strength = likelihoods.weak if situation.symptom in mode.weak else strength
    strength = likelihoods.strong if situation.symptom in mode.strong else strength
    return strength * math.prod(mode.contexts.get(context, 1.0) for context in situation.contexts)


def may_show(machine: Machine, cause: str, behind: str, check_id: str, seen: str) -> bool:
    """Return whether a story can show an outcome."""
    check = machine.checks[check_id]
    if seen in check.cannot:
        return True
    own = [
        machine.modes[mode].shows[check_id]
        for mode in (cause, behind)
        if mode and check_id in machine.modes[mode].shows
    ]
    if not own:
        return seen == check.normal
    comes_and_goes = machine.symptoms[SYMPTOM].runs and any(outcome in check.cannot for outcome in own)
    return seen in own or (seen == check.normal and comes_and_goes)


def enumerate_settled(machine: Machine, situation: Situation, check_id: str) -> float:
    """Return the weight that a check is expected to move onto the true cause, story by story."""
    stories = enumerate_weights(machine, situation)
    total = sum(stories.values())
    check = machine.checks[check_id]

    def on_the_cause(cause: str, left: Mapping[tuple[str, str], float]) -> float:
        return sum(w for (c, _), w in left.items() if c == cause) / sum(left.values())

    gained = 0.0
    for (cause, behind), weight in stories.items():
        own = machine.modes[cause].shows.get(check_id)
        if own is None and behind:
            own = machine.modes[behind].shows.get(check_id)
        outcome = check.normal if own is None else own
        left = {s: w for s, w in stories.items() if outcome in check.cannot or may_show(machine, *s, check_id, outcome)}
        # what stands on the true cause is averaged over the causes that are left, each true in its share
        after = sum(on_the_cause(c, left) ** 2 for c in {c for c, _ in left})
        before = sum(on_the_cause(c, stories) ** 2 for c in {c for c, _ in stories})
        gained += weight / total * (after - before)
    return max(0.0, gained)


def test_suspects_are_what_enumeration_gives() -> None:
    """On 1,000 random machines no suspect is claimed that enumeration denies, and the weights are the same."""
    empty = 0
    for seed in range(MODELS):
        machine = draw_machine(seed)
        situation = draw_situation(machine, seed)
        stories = enumerate_weights(machine, situation)
        found = {one.id: one.weight for one in suspects(machine, situation)}
        if not found:
            empty += 1
            assert not stories or unexplained(machine, situation, stories)
            continue
        total = sum(stories.values())
        assert set(found) == {cause for cause, _ in stories}
        for cause, weight in found.items():
            assert weight == pytest.approx(sum(w for (c, _), w in stories.items() if c == cause) / total, abs=1e-9)
    assert 0 < empty < MODELS / 2


def unexplained(machine: Machine, situation: Situation, stories: dict[tuple[str, str], float]) -> bool:
    """Return whether some unusual finding is shown by no story that is left."""
    for check_id, seen in situation.seen.items():
        check = machine.checks[check_id]
        if seen != check.normal and seen not in check.cannot:
            shown = {machine.modes[m].shows.get(check_id) for story in stories for m in story if m}
            if seen not in shown:
                return True
    return False


def test_the_next_check_is_never_worse_than_enumeration_says() -> None:
    """On 1,000 random machines the next check settles what enumeration says, and no other settles more a minute."""
    asked = 0
    for seed in range(MODELS):
        machine = draw_machine(seed)
        situation = draw_situation(machine, seed)
        step = next_check(machine, situation)
        if step is None:
            continue
        asked += 1
        assert step.check not in situation.seen
        assert machine.checks[step.check].level <= situation.level
        assert step.settles == pytest.approx(enumerate_settled(machine, situation, step.check), abs=1e-9)
        reasoner = Reasoner(machine, SYMPTOM)
        for check in machine.checks.values():
            minutes = reasoner.minutes(situation.standing or PLACES[0], check)
            if check.id in situation.seen or minutes is None:
                continue
            after = reasoner.standing_after(situation.standing or PLACES[0], check)
            back = reasoner.ladder[after].get(situation.standing or PLACES[0], 0.0)
            rate = enumerate_settled(machine, situation, check.id) / (minutes + back)
            assert step.per_minute >= rate - 2e-9
    assert asked > MODELS / 2


def test_nothing_next_means_nothing_splits() -> None:
    """When no check is next although several causes remain, enumeration finds none that settles anything."""
    for seed in range(0, MODELS, 5):
        machine = draw_machine(seed)
        situation = draw_situation(machine, seed)
        if next_check(machine, situation) is None and len(suspects(machine, situation)) > 1:
            for check in machine.checks.values():
                reachable = Reasoner(machine, SYMPTOM).minutes(situation.standing or PLACES[0], check) is not None
                if check.id not in situation.seen and reachable:
                    assert enumerate_settled(machine, situation, check.id) < 1e-8


def least_minutes(
    machine: Machine, reasoner: Reasoner, left: frozenset[str], standing: str, used: frozenset[str]
) -> float:
    """Return the least expected minutes until the cause is found or nothing splits, by plain recursion."""
    weights = {mode: reasoner.weight_of(machine.modes[mode], frozenset()) for mode in left}
    total = sum(weights.values())
    if len(left) < 2:
        return 0.0
    best = math.inf
    for check in machine.checks.values():
        minutes = reasoner.minutes(standing, check)
        shown = {mode: machine.modes[mode].shows.get(check.id, check.normal) for mode in left}
        if check.id in used or minutes is None or not splits_something(machine, check.id, shown, left):
            continue
        spent, after = minutes, reasoner.standing_after(standing, check)
        for outcome in set(shown.values()):
            chance = sum(weights[mode] for mode in left if shown[mode] == outcome) / total
            stay = frozenset(mode for mode in left if may_show(machine, mode, "", check.id, outcome))
            spent += chance * least_minutes(machine, reasoner, stay, after, used | {check.id})
        best = min(best, spent)
    return 0.0 if best == math.inf else best


def splits_something(machine: Machine, check_id: str, shown: dict[str, str], left: frozenset[str]) -> bool:
    """Return whether some outcome of a check moves weight onto the true cause."""
    reasoner = Reasoner(machine, SYMPTOM)
    weights = {Hypothesis(mode): reasoner.weight_of(machine.modes[mode], frozenset()) for mode in left}
    total = sum(weights.values())
    normal = {hypothesis: weight / total for hypothesis, weight in weights.items()}
    return reasoner.settles(normal, machine.checks[check_id]) > 1e-9 and bool(shown)


def test_the_exact_search_is_exact() -> None:
    """On random machines the best policy takes the minutes that plain recursion without memory finds."""
    compared = 0
    for seed in range(300):
        machine = draw_machine(seed, most_modes=4, most_checks=4)
        situation = Situation(SYMPTOM, standing="far")
        plan, is_exact = best_policy(machine, situation, least_weight=0.0)
        assert is_exact
        reasoner = Reasoner(machine, SYMPTOM)
        left = frozenset(hypothesis.cause for hypothesis in likely(machine, situation, 0.0))
        plain = least_minutes(machine, reasoner, left, "far", frozenset())
        assert plan.policy.expected_minutes == pytest.approx(plain, abs=1e-9)
        compared += plain > 0
    assert compared > 150


def test_greedy_is_never_better_than_the_best() -> None:
    """On random machines the best policy never takes more minutes than the greedy one, and mostly as many."""
    gaps = []
    for seed in range(300):
        machine = draw_machine(seed)
        situation = Situation(SYMPTOM, standing="far")
        best = best_policy(machine, situation, least_weight=0.0)[0].policy
        greedy = greedy_policy(machine, situation, 0.0).policy
        if leaves(best) == leaves(greedy) and best.expected_minutes > 0:
            assert best.expected_minutes <= greedy.expected_minutes + 1e-9
            gaps.append(greedy.expected_minutes / best.expected_minutes - 1)
    assert len(gaps) > 150
    assert sum(gap < 1e-9 for gap in gaps) > len(gaps) / 2
    assert sum(gaps) / len(gaps) < 0.1


def leaves(policy: Policy) -> int:
    """Return the largest number of causes that a policy leaves unsplit."""
    if not policy.check:
        return len(policy.causes)
    return max(leaves(branch) for branch in policy.branches.values())


def test_ranked_checks_fall(machine: Machine) -> None:
    """The ranked checks of the course's machine fall in what they settle per minute."""
    for symptom in machine.symptoms:
        reasoner = Reasoner(machine, symptom)
        situation = Situation(symptom)
        rates = [step.per_minute for step in rank_checks(reasoner, situation, reasoner.weights(situation))]
        assert rates == sorted(rates, reverse=True)
