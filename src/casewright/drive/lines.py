"""Which line of a TOML text a key stands on: tomllib forgets lines, a mistake needs its line."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

_TABLE = re.compile(r"^\s*(\[\[?)\s*([^\]]+?)\s*\]\]?")
_KEY = re.compile(r"^\s*([A-Za-z0-9_\-\"']+)\s*=")


def line_map(text: str) -> Mapping[tuple[str | int, ...], int]:
    """Path (table, index, key) to line number, for tables, arrays of tables and plain keys."""
    lines: dict[tuple[str | int, ...], int] = {}
    counts: dict[tuple[str | int, ...], int] = {}
    table: tuple[str | int, ...] = ()
    for number, line in enumerate(text.splitlines(), start=1):
        if match := _TABLE.match(line):
            table = _table_path(match[2], match[1] == "[[", counts)
            lines.setdefault(table, number)
        elif match := _KEY.match(line):
            lines.setdefault((*table, match[1].strip("\"'")), number)
    return lines


def _table_path(
    dotted: str, is_array: bool, counts: dict[tuple[str | int, ...], int]
) -> tuple[str | int, ...]:
    """The path of a table header; parts that name arrays carry their latest index."""
    names = [name.strip().strip("\"'") for name in dotted.split(".")]
    path: tuple[str | int, ...] = ()
    for depth, name in enumerate(names):
        path = (*path, name)
        if is_array and depth == len(names) - 1:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path


def line_of(path: Sequence[str | int], lines: Mapping[tuple[str | int, ...], int]) -> int:
    """The line of the longest known beginning of `path`; 0 if there is none."""
    for end in range(len(path), 0, -1):
        if found := lines.get(tuple(path[:end])):
            return found
    return 0
