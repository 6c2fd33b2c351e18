"""Fault cases: the machine with one mode at work, every check to choose from, and the best way to compare with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from warmyard.item.chance import Chance
from warmyard.item.kinds.fault_case.path import MOVE, best_path
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import Case, CaseBar, CaseKey, CheckShown, Question, Shown, Variant
from warmyard.item.words import sentence
from warmyard.machine.diagnosis import Reasoner, Situation, suspects
from warmyard.machine.evidence import reasoner_of
from warmyard.machine.facts import seen_as
from warmyard.machine.model import Check, Machine, Mode
from warmyard.words import say

OTHER_FITS = 3
"""How many sentences of other modes stand beside the right one."""
EASY_CHECKS = 3
"""A case is easy when the best way makes no more checks than this."""
EASY_OFFERED, EASY_CAUSES = 10, 8
"""What an easy case offers at most, where it is for practice: few enough to be seen at a glance."""


def case_variant(item: FaultCase, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the case with its checks, causes and sentences in a drawn order."""
    machine = around.machine
    if machine is None:
        raise KeyError("the machine model")
    reasoner = reasoner_of(machine, item.symptom)
    case, fit = _case(item, reasoner, chance)
    key = _key(item, reasoner, fit)
    if item.use == "practice" and checks_made(key) <= EASY_CHECKS:
        case = _eased(case, key, reasoner, item, chance)
    question = Question(
        item=item.id,
        seed=seed,
        kind="fault-case",
        ask=around.inline(item.ask),
        skill=item.skill,
        critical=item.critical,
        case=case,
    )
    sense = item.sense or item.trap
    return Variant(question=question, key=key, sense=around.inline(sense))


def outcome_of(machine: Machine, item: FaultCase, check: Check) -> str:
    """Return what a check shows: as the case says, as its contexts, as its cause or the one behind; else normal.

    Nothing that is seen contradicts what was reported.
    """
    told = [outcome for name in item.contexts for outcome, context in check.sets.items() if context == name]
    if check.id in item.seen or told:
        return item.seen.get(check.id) or told[0]
    shown = machine.modes[item.mode].shows.get(check.id)
    if shown is None and item.behind is not None:
        shown = machine.modes[item.behind].shows.get(check.id)
    if shown is None or rules_out(machine, item.contexts, check.sets.get(shown, "")):
        shown = check.normal
    return seen_as(machine, machine.symptoms[item.symptom], check).get(shown, shown)


def rules_out(machine: Machine, contexts: Iterable[str], other: str) -> bool:
    """Return whether one of the contexts cannot be true together with another."""
    groups = machine.drawn_calls.never_together if machine.drawn_calls else ()
    return any(one != other and {one, other} <= {*group} for group in groups for one in contexts)


def checks_made(key: CaseKey) -> int:
    """Return how many checks the best way makes."""
    return sum(not step.startswith(MOVE) for step in key.best)


def _eased(case: Case, key: CaseKey, reasoner: Reasoner, item: FaultCase, chance: Chance) -> Case:
    """Return an easy case with few checks and causes: what the best way needs, what tempts, and neighbours by lot."""
    needed = {*key.best, *(name for bar in key.bars for name in bar.clear_by)}
    others = [one.id for one in chance.mixed(list(case.checks)) if one.id not in needed]
    tempting = [one for one in others if one in key.forbidden][:2]
    kept = {*[*needed.intersection(one.id for one in case.checks), *tempting, *others][:EASY_OFFERED]}
    weights = {one.id: one.weight for one in suspects(reasoner.machine, Situation(item.symptom, {}, item.contexts))}
    likely = sorted(case.causes, key=lambda one: (one.id != key.cause, -weights.get(one.id, 0.0)))[:EASY_CAUSES]
    return msgspec.structs.replace(
        case,
        checks=tuple(one for one in case.checks if one.id in kept),
        causes=tuple(one for one in case.causes if one in likely),
    )


def _case(item: FaultCase, reasoner: Reasoner, chance: Chance) -> tuple[Case, str]:
    machine = reasoner.machine
    symptom = machine.symptoms[item.symptom]
    causes = _candidates(machine, item.symptom, item.mode)
    fits, fit = _fits(machine, item.mode, causes, chance)
    case = Case(
        symptom=symptom.name,
        as_said=item.as_said or symptom.as_said,
        contexts=tuple(machine.contexts[context] for context in item.contexts),
        starts_at=item.starts_at,
        level=item.level,
        checks=tuple(_shown(machine, item, check, reasoner.is_live(check)) for check in _by_name(machine)),
        causes=tuple(Shown(id=mode.id, text=mode.name) for mode in chance.mixed(causes)),
        behind=tuple(Shown(id=mode.id, text=mode.name) for mode in _behind(machine, item, causes, chance)),
        fit=fits,
        standings=tuple(Shown(id=one.id, text=one.name) for one in machine.preconditions.values()),
        ladder={start: dict(row) for start, row in reasoner.ladder.items()},
    )
    return case, fit


def _by_name(machine: Machine) -> list[Check]:
    """Return every check in the order of its name: an order that tells nothing."""
    return sorted(machine.checks.values(), key=lambda check: check.name)


def _shown(machine: Machine, item: FaultCase, check: Check, live: bool) -> CheckShown:
    outcome = outcome_of(machine, item, check)
    nothing_more = check.opens and outcome == check.normal
    return CheckShown(
        id=check.id,
        text=_named(machine, check),
        minutes=check.minutes,
        needs=check.needs,
        then=check.then,
        level=check.level,
        outcome=outcome,
        sees=say({}, "case.nothing_more") if nothing_more else check.outcomes[outcome],
        live=live,
    )


def _named(machine: Machine, check: Check) -> str:
    """Return a check with what it involves: an unsafe act is named before it is done."""
    involves = machine.preconditions[check.needs].involves
    if check.then:
        involves = say({}, "case.then", first=involves, second=machine.preconditions[check.then].involves)
    return say({}, "case.involves", name=check.name, involves=involves) if involves else check.name


def _candidates(machine: Machine, symptom: str, mode: str) -> list[Mode]:
    """Return the modes that a person would think of: those that declare the symptom, and the hidden one."""
    return [one for one in machine.modes.values() if symptom in one.strong or symptom in one.weak or one.id == mode]


def _behind(machine: Machine, item: FaultCase, causes: list[Mode], chance: Chance) -> list[Mode]:
    """Return what may be behind the cause, asked only where something is."""
    if item.behind is None:
        return []
    offered = dict.fromkeys((item.behind, *machine.modes[item.mode].behind))
    offered.update(dict.fromkeys(mode.id for mode in chance.mixed(causes)[:4] if mode.id != item.mode))
    return chance.mixed([machine.modes[id] for id in offered])


def _fits(machine: Machine, mode: str, causes: list[Mode], chance: Chance) -> tuple[tuple[Shown, ...], str]:
    """Return sentences on what makes a machine fit to return, under ids that do not name a mode, and the right one.

    Nothing is asked where every candidate has the same sentence.
    """
    right = machine.modes[mode].fit_to_return
    others = dict.fromkeys(one.fit_to_return for one in chance.mixed(causes) if one.fit_to_return != right)
    if not others:
        return (), ""
    texts = chance.mixed([right, *list(others)[:OTHER_FITS]])
    shown = tuple(Shown(id=f"f{at + 1}", text=text) for at, text in enumerate(texts))
    return shown, f"f{texts.index(right) + 1}"


def _key(item: FaultCase, reasoner: Reasoner, fit: str) -> CaseKey:
    machine = reasoner.machine
    situation = Situation(item.symptom, {}, item.contexts, item.starts_at, item.level)
    outcomes = {check.id: outcome_of(machine, item, check) for check in machine.checks.values()}
    path = best_path(reasoner, situation, outcomes, item.mode)
    reasons = {id: sentence(why) for id, why in item.forbidden.items()}
    for check in machine.checks.values():
        if outcomes[check.id] in check.not_allowed and check.id not in reasons:
            reasons[check.id] = sentence(check.outcomes[outcomes[check.id]])
    return CaseKey(
        cause=item.mode,
        behind=item.behind or "",
        fit=fit,
        best=path.steps,
        best_minutes=path.minutes,
        best_reasons=path.reasons,
        ladder={start: dict(row) for start, row in reasoner.ladder.items()},
        forbidden=tuple(reasons),
        forbidden_reasons=reasons,
        parts=_parts(machine, item),
        bars=tuple(
            CaseBar(clear_by=bar.clear_by, say=bar.say, after_start=bar.after_start) for bar in reasoner.bars(situation)
        ),
        proves=_proofs(reasoner, outcomes, path.steps),
        normal=tuple(
            check.id for check in machine.checks.values() if outcomes[check.id] in (check.normal, *check.while_running)
        ),
        cannot=tuple(check.id for check in machine.checks.values() if outcomes[check.id] in check.cannot),
    )


def _proofs(reasoner: Reasoner, outcomes: Mapping[str, str], best: Sequence[str]) -> tuple[str, ...]:
    """Return the checks that show something of the fault; none where the best way itself finds it by exclusion."""
    proofs = tuple(
        check.id
        for check in reasoner.machine.checks.values()
        if outcomes[check.id] not in (check.normal, reasoner.under_symptom(check, check.normal), *check.cannot)
        and not check.context_only
    )
    return proofs if set(proofs) & set(best) else ()


def _parts(machine: Machine, item: FaultCase) -> dict[str, str]:
    """Return mode -> the part that naming it would renew without need in this case."""
    needed = {machine.modes[mode].parts for mode in (item.mode, item.behind) if mode}
    return {mode.id: mode.parts for mode in machine.modes.values() if mode.parts and mode.parts not in needed}
