"""What worked examples give under a name, so that a later line of a page takes the value and never a typed copy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from warmyard.course.fences import WorkedNode
from warmyard.course.values import Result, computed
from warmyard.errors import SourceError

if TYPE_CHECKING:
    from warmyard.course.workspace import Workspace


def work_results(workspace: Workspace, results: dict[str, Result]) -> list[SourceError]:
    """Fill in the results of all named worked examples, page by page; return names that stand twice or come too early.

    `results` is the mapping that the workspace holds: an example may take what an earlier one gave. One that cannot be
    computed is left out; the check of its page says why.
    """
    faults: list[SourceError] = []
    seen: set[str] = set()
    for lesson in workspace.lessons.values():
        for node in [block.node for block in lesson.blocks if isinstance(block.node, WorkedNode)]:
            faults += [_too_early(node, name) for name in _taken(node) if name not in results]
            if not node.called:
                continue
            if node.called in seen:
                what = f"two worked examples are called {node.called}"
                faults.append(SourceError(node.place.within("called"), what, "give each its own name"))
            seen.add(node.called)
            formula = workspace.register.formulas.get(node.formula)
            if formula is None:
                continue
            try:
                value = computed(workspace, formula, node.inputs, node.place)
            except SourceError:
                continue
            results[node.called] = Result(value, formula.gives.unit)
    return faults


def _taken(node: WorkedNode) -> list[str]:
    values = [value.partition(" ") for value in node.inputs.values() if isinstance(value, str)]
    return [name.strip() for kind, _, name in values if kind == "result"]


def _too_early(node: WorkedNode, name: str) -> SourceError:
    what = f"result {name} names no worked example before this one"
    return SourceError(
        node.place.within("inputs"), what, "write called: NAME at the one that gives it, and put it first"
    )
