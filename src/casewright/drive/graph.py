"""Loops and dead ends in what blocks what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter


def loop_in(after: Mapping[str, Iterable[str]]) -> tuple[str, ...]:
    """The keys of one loop in an AND graph, first key repeated at the end; empty if there is none.

    >>> loop_in({"a": ["b"], "b": ["a"]})[0] in "ab"
    True
    """
    try:
        TopologicalSorter(after).prepare()
    except CycleError as error:
        return tuple(error.args[1])
    return ()


def never_free(
    keys: Iterable[str],
    after: Mapping[str, Iterable[str]],
    ways: Mapping[str, Sequence[Iterable[str]]],
) -> set[str]:
    """Keys that no order can free: an AND is never met, or none of the alternative ways clears."""
    left, free = set(keys), set[str]()
    while True:
        now = {
            key for key in left if set(after.get(key, ())) <= free and _open(ways.get(key), free)
        }
        if not now:
            return left
        free |= now
        left -= now


def _open(ways: Sequence[Iterable[str]] | None, free: set[str]) -> bool:
    return not ways or any(set(way) <= free for way in ways)
