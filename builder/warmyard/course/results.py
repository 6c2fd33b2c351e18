"""What worked examples give under a name, so that a later line of a page takes the value and never a typed copy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from warmyard.course.fence import Example
from warmyard.course.fence_table import fence_of
from warmyard.course.grammar import Node
from warmyard.course.lesson import Lesson
from warmyard.course.shelf import Result, Shelf
from warmyard.course.values import computed, inputs_need
from warmyard.errors import SourceError


def work_results(shelf: Shelf, lessons: Iterable[Lesson]) -> Mapping[str, Result]:
    """Return the results of all named worked examples, page by page: each takes what the earlier ones gave.

    The results that the shelf already holds are not looked at. An example that cannot be computed is left out; the
    check of its page says why.
    """
    results: dict[str, Result] = {}
    for node, example in _examples(lessons):
        formula = shelf.register.formulas.get(example.formula)
        if not example.called or formula is None:
            continue
        try:
            value = computed(replace(shelf, results=dict(results)), formula, example.inputs, node.place)
        except SourceError:
            continue
        needs = (("formula", formula.id), *inputs_need(example.inputs, results))
        results[example.called] = Result(value, formula.gives.unit, needs)
    return results


def check_results(lessons: Iterable[Lesson]) -> list[SourceError]:
    """Return names of worked examples that stand twice, and results that are taken before an example gives them.

    Of an example that stands there and cannot be computed its own fault is told, and nothing more.
    """
    faults: list[SourceError] = []
    seen: set[str] = set()
    for node, example in _examples(lessons):
        faults += [_too_early(node, name) for name in _taken(example) if name not in seen]
        if example.called and example.called in seen:
            what = f"two worked examples are called {example.called}"
            faults.append(SourceError(node.place.within("called"), what, "give each its own name"))
        seen.add(example.called)
    return faults


def _examples(lessons: Iterable[Lesson]) -> Iterator[tuple[Node, Example]]:
    for lesson in lessons:
        for block in lesson.blocks:
            example = fence_of(block.node).example(block.node)
            if example is not None:
                yield block.node, example


def _taken(example: Example) -> list[str]:
    values = [value.partition(" ") for value in example.inputs.values() if isinstance(value, str)]
    return [name.strip() for kind, _, name in values if kind == "result"]


def _too_early(node: Node, name: str) -> SourceError:
    what = f"result {name} names no worked example before this one"
    return SourceError(
        node.place.within("inputs"), what, "write called: NAME at the one that gives it, and put it first"
    )
