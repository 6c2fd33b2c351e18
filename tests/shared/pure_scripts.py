"""Scripts of the runtime that need no page, run by themselves: a context that holds them, and an expression in it."""

from __future__ import annotations

import json
from typing import Any

import quickjs

from warmyard.page.javascript import runtime_text


def context_of(*names: str) -> quickjs.Context:
    """Return a context in which scripts of the runtime were run, in their order."""
    context = quickjs.Context()
    for name in names:
        context.eval(runtime_text(name))
    return context


def run(page: quickjs.Context, script: str, **values: Any) -> Any:
    """Return the value of an expression over JSON values; None where it has none."""
    for name, value in values.items():
        page.eval(f"var {name} = {json.dumps(value)};")
    text = page.eval(f"JSON.stringify({script})")
    return None if text is None else json.loads(text)
