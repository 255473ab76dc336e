"""Tables over yes/no variables, many columns at a time: multiply, sum out, enumerate root sets.

A `Table` holds one axis of length 2 for each of its variables and a last axis of *columns*
(root sets, or what-if cases), so that each step is one vectorised operation for all columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Table:
    """A function of variables (first axes, in the order of `axes`) and columns (last axis)."""

    axes: tuple[int, ...]
    values: Floats


@lru_cache(maxsize=4)
def root_sets(count: int) -> NDArray[np.bool_]:
    """All root sets as rows of bits; row k has root i on where bit i of k is 1.

    Args:
        count: number of roots [-].
    Returns:
        shape (2**count, count) [-].
    Valid: count up to 16 (65 536 rows).
    Raises: nothing.
    Source: own.
    """
    rows = np.arange(2**count)[:, None]
    return (rows >> np.arange(count)[None, :] & 1).astype(bool)


def product_over_sets(on: Floats, off: Floats | float = 1.0) -> Floats:
    """∏ over roots of on[i] where the root is on, off[i] where it is off, for all root sets.

    Args:
        on: factor of each root that is on [-], shape (n,).
        off: factor of each root that is off [-], shape (n,) or one number.
    Returns:
        shape (2**n,), in the order of `root_sets` [-].
    Valid: n up to 16 or so.
    Raises: nothing.
    Source: own.
    Example:
        >>> product_over_sets(np.array([0.5, 0.1])).tolist()
        [1.0, 0.5, 0.1, 0.05]
    """
    values = np.ones(1)
    for yes, no in zip(on, np.broadcast_to(off, on.shape), strict=True):
        values = np.concatenate((values * no, values * yes))
    return values


def places_in(scope: Sequence[int], count: int) -> NDArray[np.intp]:
    """For each root set, the number of its part that lies in `scope`.

    Args:
        scope: roots kept, in the order of the bits of the answer [-].
        count: number of roots [-].
    Returns:
        shape (2**count,) [-].
    Valid: each root at most once.
    Raises: nothing.
    Source: own.
    Example:
        >>> places_in([1], 2).tolist()
        [0, 0, 1, 1]
    """
    weight = {root: 1 << bit for bit, root in enumerate(scope)}
    places = np.zeros(1, dtype=np.intp)
    for root in range(count):
        places = np.concatenate((places, places + weight.get(root, 0)))
    return places


def sum_out(tables: Iterable[Table], keep: Sequence[int]) -> Floats:
    """Product of all tables with every variable but `keep` summed out, exactly.

    Args:
        tables: factors over variables and columns [-].
        keep: variables that stay, in the order of the first axes of the answer [-].
    Returns:
        shape (2,)*len(keep) + (columns,) [-].
    Valid: work grows with 2 to the size of the largest table met (least-neighbours order).
    Raises: nothing.
    Source: KOLLER2009 section 9.3 (variable elimination).
    """
    pool = list(tables)
    left = {axis for table in pool for axis in table.axes} - set(keep)
    while left:
        axis = min(left, key=lambda a: (len(_neighbours(pool, a)), a))
        touched = [table for table in pool if axis in table.axes]
        joined = multiply(touched, (axis, *sorted(_neighbours(pool, axis))))
        pool = [table for table in pool if axis not in table.axes]
        pool.append(Table(joined.axes[1:], joined.values[0] + joined.values[1]))
        left.remove(axis)
    return multiply(pool, tuple(keep)).values


def _neighbours(pool: Iterable[Table], axis: int) -> set[int]:
    return {other for t in pool if axis in t.axes for other in t.axes} - {axis}


def multiply(tables: Iterable[Table], axes: tuple[int, ...]) -> Table:
    """Product of tables on the given axes, which must hold all of theirs.

    Args:
        tables: factors [-].
        axes: variables of the product, in order [-].
    Returns:
        the product table [-].
    Valid: any.
    Raises: nothing.
    Source: own.
    """
    values: Floats = np.ones((1,) * (len(axes) + 1))
    for table in tables:
        order = sorted(range(len(table.axes)), key=lambda k: axes.index(table.axes[k]))
        shape = [2 if axis in table.axes else 1 for axis in axes]
        moved = table.values.transpose(*order, len(table.axes))
        values = values * moved.reshape(*shape, -1)
    return Table(axes, np.broadcast_to(values, (2,) * len(axes) + values.shape[-1:]))
