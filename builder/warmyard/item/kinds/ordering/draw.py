"""Ordering items: the steps of a procedure in a drawn order that is not already right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from warmyard.item.chance import Chance
from warmyard.item.kinds.ordering.marking import Pair, broken_pairs
from warmyard.item.kinds.ordering.schema import Ordering
from warmyard.item.surroundings import OrderFacts, Surroundings
from warmyard.item.variant_model import OrderKey, Question, Shown, Variant
from warmyard.item.words import sentence

MIXES = 50


def ordering_variant(item: Ordering, seed: int, around: Surroundings, chance: Chance) -> Variant:
    """Return the item with its steps mixed so that at least one constraint is broken."""
    facts = around.orders[item.procedure]
    known = around.prepared.get(item.id)
    if not isinstance(known, tuple) or known[0] is not facts or known[1] != item.steps:
        key = order_key(facts, item.steps or tuple(facts.steps))
        known = around.prepared[item.id] = (facts, item.steps, key)
    key = known[2]
    mixed = chance.mixed(key.reference)
    for _ in range(MIXES):
        if broken_pairs(key, mixed):
            break
        mixed = chance.mixed(key.reference)
    question = Question(
        item=item.id,
        seed=seed,
        kind="ordering",
        ask=around.inline(item.ask),
        skill=item.skill,
        critical=item.critical,
        options=tuple(Shown(id=step, text=around.inline(facts.steps[step])) for step in mixed),
    )
    return Variant(question=question, key=key, sense=around.inline(item.sense))


def order_key(facts: OrderFacts, shown: Sequence[str]) -> OrderKey:
    """Return the constraints among the shown steps, those that run through a hidden step included."""
    after = _followers(facts)
    kept = [(a, b) for a in shown for b in shown if b in after.get(a, {})]
    direct = {(first, then) for first, then, _ in facts.before}
    pairs = [pair for pair in kept if pair in direct or not _through(pair, kept)]
    fails = {(wrong, must): why for wrong, must, why in facts.fails if wrong in shown and must in shown}
    reasons = {f"{first}<{then}": after[first][then] for first, then in pairs}
    reasons.update({f"{must}<{wrong}": sentence(why) for (wrong, must), why in fails.items() if why})
    reference = tuple(step for step in facts.reference if step in shown)
    return OrderKey(before=tuple(pairs), fails=tuple(fails), reasons=reasons, reference=reference)


def _followers(facts: OrderFacts) -> dict[str, dict[str, str]]:
    """Return for each step every step that must follow, with the reason (the first and last of a way, joined)."""
    direct: dict[str, dict[str, str]] = {}
    for first, then, why in facts.before:
        direct.setdefault(first, {})[then] = sentence(why)
    every: dict[str, dict[str, str]] = {}
    for start in facts.steps:
        found = dict(direct.get(start, {}))
        waiting = list(found)
        while waiting:
            step = waiting.pop(0)
            for then, why in direct.get(step, {}).items():
                if then not in found and then != start:
                    found[then] = f"{found[step]} {why}" if why not in found[step] else found[step]
                    waiting.append(then)
        every[start] = found
    return every


def _through(pair: Pair, pairs: Iterable[Pair]) -> bool:
    """Say whether a pair follows from two others."""
    first, then = pair
    following = {b for a, b in pairs if a == first}
    return any(b == then and a in following for a, b in pairs)
