"""Projections that cost something are made once a state, and kept beside it.

A state is frozen, so what follows from it can't change; a new entry makes a new state. The result
lies in the state's own dictionary, as a cached property's would, and goes when the state goes.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from casewright.job.state import State

T = TypeVar("T")


def once(state: State, make: Callable[[State], T]) -> T:
    """What `make` says of a state, made at most once for it."""
    name = f"once:{make.__module__}.{make.__qualname__}"
    kept: dict[str, T] = state.__dict__
    if name not in kept:
        kept[name] = make(state)
    return kept[name]
