"""The list of named attacks: at least sixty, each under its own name."""

from __future__ import annotations

import ast
from pathlib import Path

FEWEST = 60
LISTS = ("ATTACKS", "EDITS", "CARDS", "CERTIFICATES", "INJECTED", "FILES")


def named_attacks() -> list[str]:
    """Return the names in the lists of attacks of this folder."""
    found: list[str] = []
    for path in sorted(Path(__file__).parent.glob("test_*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
            value = getattr(node, "value", None)
            if isinstance(target, ast.Name) and target.id in LISTS and isinstance(value, ast.Dict):
                found += [str(key.value) for key in value.keys if isinstance(key, ast.Constant)]
    return found


def test_at_least_sixty_attacks_have_a_name() -> None:
    """Sixty and more named attacks stand in the lists, no name twice; single tests and fuzzing come on top."""
    names = named_attacks()
    assert len(names) >= FEWEST
    assert len(set(names)) == len(names)
