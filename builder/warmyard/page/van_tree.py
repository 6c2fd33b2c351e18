"""For the van: one page per symptom, the best check first, and after each answer the next one or the cause."""

from __future__ import annotations

from html import escape

from warmyard.machine.diagnosis import Situation
from warmyard.machine.model import Machine
from warmyard.machine.policy import Policy, greedy_policy
from warmyard.page.machine_words import machine_word

SHOWN_CAUSES = 4


def van_tree_html(machine: Machine, symptom_id: str, *, level: int = 3) -> str:
    """Return the tree of a symptom as nested lists; raise InputError when there is no such symptom."""
    plan = greedy_policy(machine, Situation(symptom_id, level=level))
    symptom = machine.symptoms[symptom_id]
    caution = f"<p><strong>{escape(symptom.caution)}</strong></p>" if symptom.caution else ""
    covers = machine_word(
        machine, "tree-covers", share=f"{plan.covers * 100:.0f} %", minutes=f"{plan.policy.expected_minutes:.0f}"
    )
    body = "" if symptom.emergency else _node(machine, plan.policy) + f"<p>{escape(covers)}</p>"
    return f'<section class="wy-tree" data-wy-symptom="{symptom_id}">{caution}{body}</section>'


def _node(machine: Machine, policy: Policy) -> str:
    if not policy.check:
        return _causes(machine, policy)
    check = machine.checks[policy.check]
    needs = machine.preconditions[check.needs].name
    takes = machine_word(machine, "tree-check", minutes=f"{policy.minutes:g}", needs=needs)
    head = f"<strong>{escape(check.name)}</strong> {escape(takes)}"
    branches = []
    for outcome, after in policy.branches.items():
        branches.append(
            f'<li class="wy-tree-branch"><em>{escape(check.outcomes[outcome])}</em> {_node(machine, after)}</li>'
        )
    return f'<div>{head}<ul class="wy-tree-branches">{"".join(branches)}</ul></div>'


def _causes(machine: Machine, policy: Policy) -> str:
    modes = [machine.modes[cause] for cause in policy.causes[:SHOWN_CAUSES]]
    if len(modes) == 1:
        return f"→ <strong>{escape(modes[0].name)}.</strong> {escape(modes[0].remedy)}"
    return "→ " + escape("; ".join(mode.name for mode in modes)) + (" …" if len(policy.causes) > len(modes) else "")
