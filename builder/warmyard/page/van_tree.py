"""For the van: one page per symptom, the best check first, and after each answer the next one or the cause."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.machine.diagnosis import Situation
from warmyard.machine.model import Machine
from warmyard.machine.policy import Policy, greedy_policy
from warmyard.markup import element, joined
from warmyard.page.machine_words import machine_word

SHOWN_CAUSES = 4


def van_tree_html(machine: Machine, symptom_id: str, *, level: int = 3) -> Markup:
    """Return the tree of a symptom as nested lists; raise InputError when there is no such symptom."""
    plan = greedy_policy(machine, Situation(symptom_id, level=level))
    symptom = machine.symptoms[symptom_id]
    parts = [element("p", element("strong", symptom.caution))] if symptom.caution else []
    covers = machine_word(
        machine, "tree-covers", share=f"{plan.covers * 100:.0f} %", minutes=f"{plan.policy.expected_minutes:.0f}"
    )
    if not symptom.emergency:
        parts += [_node(machine, plan.policy), element("p", covers)]
    return element("section", *parts, class_="wy-tree", data_wy_symptom=symptom_id)


def _node(machine: Machine, policy: Policy) -> Markup:
    if not policy.check:
        return _causes(machine, policy)
    check = machine.checks[policy.check]
    needs = machine.preconditions[check.needs].name
    takes = machine_word(machine, "tree-check", minutes=f"{policy.minutes:g}", needs=needs)
    branches = [
        element("li", element("em", check.outcomes[outcome]), " ", _node(machine, after), class_="wy-tree-branch")
        for outcome, after in policy.branches.items()
    ]
    below = element("ul", *branches, class_="wy-tree-branches")
    return element("div", element("strong", check.name), " ", takes, below)


def _causes(machine: Machine, policy: Policy) -> Markup:
    modes = [machine.modes[cause] for cause in policy.causes[:SHOWN_CAUSES]]
    if len(modes) == 1:
        return joined(("→ ", element("strong", f"{modes[0].name}."), " ", modes[0].remedy))
    more = " …" if len(policy.causes) > len(modes) else ""
    return joined(("→ ", "; ".join(mode.name for mode in modes), more))
