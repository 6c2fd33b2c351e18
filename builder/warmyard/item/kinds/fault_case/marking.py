"""The mark of a fault case: cause, time against the best way, parts, the cause behind; safety ends it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Any

from warmyard.item.kind import Marking
from warmyard.item.kinds.fault_case.path import MOVE
from warmyard.item.response import Response, Words, not_understood
from warmyard.item.variant_model import Case, CaseBar, CaseKey, CheckShown, Mark, Question
from warmyard.item.words import bare
from warmyard.words import say

WEIGHTS = {"cause": 0.5, "time": 0.2, "parts": 0.1, "behind": 0.2}
"""Shares of the score, set by the brief; without a cause behind, the others share its part in proportion."""
LONGEST_PATH = 200


@dataclass(frozen=True, slots=True)
class Walk:
    """A path walked to its end or to the first step that must not be taken."""

    minutes: float
    taken: tuple[str, ...]
    standing: str
    stopped_by: str = ""
    """Why it stopped: early, forbidden, level, barred or unknown; nothing when it did not."""
    check: str = ""
    why: str = ""


def walk_path(case: Case, key: CaseKey, path: Sequence[str]) -> Walk:
    """Return the minutes of a path and what it took; it stops at the first unsafe or unknown step.

    What cannot be done costs nothing: from where nothing can be touched, or because the machine does not get so far.
    A check may be taken where what it needs holds: the ladder says 0 minutes to it from where one stands.
    """
    checks = {check.id: check for check in case.checks}
    standing, minutes = case.starts_at, 0.0
    taken: list[str] = []
    for step in path[:LONGEST_PATH]:
        moves = step.startswith(MOVE)
        check = None if moves else checks.get(step)
        needed = step.removeprefix(MOVE) if check is None else check.needs
        cost = key.ladder.get(standing, {}).get(needed)
        if check is None and (not moves or cost is None):
            return Walk(minutes, tuple(taken), standing, "unknown", step)
        if check is not None and is_out_of_reach(case, standing, cost):
            continue
        if check is not None:
            stopped, why = _stopped(case, key, check, cost, taken)
            if stopped:
                return Walk(minutes, (*taken, step), standing, stopped, step, why)
            taken.append(step)
            if check.id in key.cannot:
                continue
            minutes += check.minutes
        standing, cost = (standing, 0.0) if not cost else (needed, cost)
        minutes += cost
        if check is not None and check.then is not None:
            up = key.ladder.get(standing, {}).get(check.then, 0.0)
            standing, minutes = check.then if up else standing, minutes + up
    return Walk(minutes, tuple(taken), standing)


def is_out_of_reach(case: Case, standing: str, cost: float | None) -> bool:
    """Return whether a check cannot be done from here: nothing is touched where a call comes in."""
    return cost != 0 and bool(case.standings) and standing == case.standings[0].id


def _stopped(case: Case, key: CaseKey, check: CheckShown, cost: float | None, taken: Sequence[str]) -> tuple[str, str]:
    if check.id in key.forbidden:
        return "forbidden", key.forbidden_reasons.get(check.id, "")
    if check.level > case.level:
        return "level", ""
    if cost != 0:
        return "early", ""
    live = {one.id for one in case.checks if one.live}
    for bar in key.bars if check.live else ():
        if _holds(bar, key, taken, live):
            return "barred", bar.say
    return "", ""


def _holds(bar: CaseBar, key: CaseKey, taken: Sequence[str], live: Set[str]) -> bool:
    """Say whether a start is barred: what clears the bar was not seen normal since it began to hold."""
    started, missing = not bar.after_start, set(bar.clear_by)
    for check in taken:
        if check in missing and check in key.normal:
            missing.discard(check)
            started = started and bool(missing)
        elif bar.after_start and check in live and check not in key.cannot:
            started, missing = True, set(bar.clear_by)
    return started and bool(missing)


def mark_case(question: Question, key: CaseKey, response: Response, words: Words) -> Mark:
    """Return the mark of a path through a case and of what was named at its end."""
    case = question.case
    path = response.get("path")
    if case is None or not isinstance(path, list) or not all(isinstance(step, str) for step in path):
        return not_understood(say(words, "marking.case_path"))
    walk = walk_path(case, key, path)
    if walk.stopped_by == "unknown":
        return not_understood(say(words, "marking.case_path"))
    if walk.stopped_by:
        return _stopped_mark(case, key, walk, words)
    cause = response.get("cause")
    if cause not in [one.id for one in case.causes]:
        return not_understood(say(words, "marking.case_no_cause"))
    return _scored(case, key, walk, {name: response.get(name) for name in ("cause", "behind", "fit")}, words)


def _stopped_mark(case: Case, key: CaseKey, walk: Walk, words: Words) -> Mark:
    check = next(one for one in case.checks if one.id == walk.check)
    names = {stand.id: stand.text for stand in case.standings}
    reason = say(
        words,
        f"marking.case_{walk.stopped_by}",
        check=bare(check.text),
        needs=bare(names.get(check.needs, check.needs)),
        level=str(check.level),
        why=walk.why,
    )
    return Mark(right=False, share=0.0, reason=reason, slip=walk.check, critical_fail=True)


def _scored(case: Case, key: CaseKey, walk: Walk, named: Mapping[str, Any], words: Words) -> Mark:
    found = named["cause"] == key.cause
    behind = not key.behind or named["behind"] == key.behind
    fit = not case.fit or named["fit"] == key.fit
    wasted = [key.parts[one] for one in (*walk.taken, str(named["cause"])) if one in key.parts]
    proved = not key.proves or any(one in key.proves for one in walk.taken)
    ratio = min(1.0, key.best_minutes / walk.minutes) if walk.minutes > 0 else 1.0
    earned = {
        "cause": 1.0 if found else 0.0,
        "time": ratio if found and proved else 0.0,
        "parts": 1.0 if found and not wasted else 0.0,
        "behind": 1.0 if found and behind else 0.0,
    }
    parts = [name for name in WEIGHTS if name != "behind" or key.behind]
    share = sum(WEIGHTS[name] * earned[name] for name in parts) / sum(WEIGHTS[name] for name in parts)
    names = {one.id: one.text for one in (*case.causes, *case.behind)}
    fits = {one.id: one.text for one in case.fit}
    minutes = {"minutes": f"{walk.minutes:g}", "best": f"{key.best_minutes:g}"}
    reasons = [
        say(words, "marking.case_right" if found else "marking.case_wrong", cause=bare(names[key.cause]), **minutes)
    ]
    if found and not proved:
        reasons.append(say(words, "marking.case_guess"))
    if not behind:
        reasons.append(say(words, "marking.case_behind", behind=bare(names.get(key.behind, key.behind))))
    if not fit:
        reasons.append(say(words, "marking.case_fit", fit=bare(fits.get(key.fit, ""))))
    if wasted:
        reasons.append(say(words, "marking.case_parts", parts=", ".join(wasted)))
    slip = "" if found else f"cause.{named['cause']}"
    right = found and proved and behind and fit and not wasted
    return Mark(right=right, share=share, reason=" ".join(reasons), slip=slip)


def _right(question: Question, key: CaseKey) -> dict[str, Any]:
    return {"path": list(key.best), "cause": key.cause, "behind": key.behind, "fit": key.fit}


CASE = Marking(key=CaseKey, mark=mark_case, right=_right)
