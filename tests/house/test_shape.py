"""Modules stay under 400 lines or so, functions near ten lines and seldom over thirty."""

from __future__ import annotations

import ast
from pathlib import Path

SOURCE = Path(__file__).parents[2] / "src" / "casewright"
MOST_LINES, MOST_FUNCTION, LONG_FUNCTION, LONG_SHARE = 450, 60, 30, 0.05


def functions() -> list[tuple[str, int]]:
    """Name and code lines (docstring, blank lines and comments left out) of every function."""
    found = []
    for path in SOURCE.rglob("*.py"):
        text = path.read_text("utf-8")
        lines = text.splitlines()
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef):
                body = node.body[1:] if ast.get_docstring(node) else node.body
                span = lines[body[0].lineno - 1 : node.end_lineno] if body else []
                code = [line for line in span if line.strip() and not line.strip().startswith("#")]
                found.append((f"{path.relative_to(SOURCE)}:{node.name}", len(code)))
    return found


def test_modules_are_short() -> None:
    long = {
        str(path.relative_to(SOURCE)): count
        for path in SOURCE.rglob("*.py")
        if (count := len(path.read_text("utf-8").splitlines())) > MOST_LINES
    }
    assert not long


def test_functions_are_short() -> None:
    found = functions()
    assert not [one for one in found if one[1] > MOST_FUNCTION]
    share = sum(1 for _, lines in found if lines > LONG_FUNCTION) / len(found)
    assert share < LONG_SHARE


def test_the_median_function_is_small() -> None:
    counts = sorted(lines for _, lines in functions())
    assert counts[len(counts) // 2] <= 10
