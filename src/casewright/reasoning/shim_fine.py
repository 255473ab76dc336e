"""Shelves of many measured shims: thicknesses a micrometre apart, too many to weigh them all.

Packs of one hundredth of a millimetre stand for each other first; the best of them is then polished
with every pack near it. What any packs at all could hold, of whatever thickness, bounds what may
have been missed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_stock import PackClasses

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

BIN = 1e-5
NEAR = 1.5e-5
FEW_SIZES = 24


def binned(classes: PackClasses, choices: Whole) -> Whole:
    """One class for each hundredth of a millimetre: the fewest shims, then the nearest to it.

    Args:
        classes: all classes of one adjuster [-].
        choices: those to look at [-].
    Returns:
        indices, the fitted pack always among them [-].
    Valid: always.
    Raises: nothing.
    Source: own: a coarser list.
    """
    thickness = classes.thickness[choices]
    bins = np.rint(thickness / BIN).astype(np.int64)
    off = np.abs(thickness - bins * BIN)
    rank = np.lexsort((off, classes.count[choices], bins))
    first = np.append(True, np.diff(bins[rank]) != 0)
    kept = choices[classes.kept[choices] > 0]
    return np.unique(np.concatenate([choices[rank[first]], kept]))


def near_to(classes: PackClasses, choices: Whole, index: int) -> Whole:
    """Choices within a hundredth and a half of a class's thickness.

    Args:
        classes: all classes of one adjuster [-].
        choices: those to look at [-].
        index: the class [-].
    Returns:
        indices [-].
    Valid: always.
    Raises: nothing.
    Source: own: a neighbourhood.
    """
    far = np.abs(classes.thickness[choices] - classes.thickness[index])
    return np.asarray(choices[far <= NEAR])


def least_doubt(classes: PackClasses, thickness: float) -> float:
    """The least variance of any fresh pack within a tenth of a millimetre of a thickness.

    Args:
        classes: all classes of one adjuster [-].
        thickness: wanted [m].
    Returns:
        variance [m²].
    Valid: always.
    Raises: nothing.
    Source: own: a minimum.
    """
    near = (np.abs(classes.thickness - thickness) <= 1e-4) & (classes.kept == 0)
    return float(classes.variance[near].min()) if near.any() else 0.0


def most_of_any_thickness(
    chance: Callable[[Array, int], Array], start: Sequence[float], sizes: Sequence[Array]
) -> float:
    """The joint chance that no packs of whatever thickness between the ends could exceed.

    Seats with few sizes (a selective spacer) keep to them: the one of the start and its neighbours,
    since a greatest chance over the others is log-concave in it too.

    Args:
        chance: joint chance for thicknesses [m], [N, seats], with few nodes (1) or many (0).
        start: good thicknesses to begin from [m].
        sizes: distinct thicknesses of each seat, rising [m].
    Returns:
        the greatest chance found [-].
    Valid: log-concave while the rates are sure, so that one ascent finds the top; rates in doubt
        bend that slightly.
    Raises: nothing.
    Source: own: quasi-Newton ascents; log-concavity after PREKOPA-1973.
    """
    few = sorted((len(size), seat) for seat, size in enumerate(sizes) if len(size) <= FEW_SIZES)[:2]
    tried = [_neighbours(sizes[seat], start[seat]) for _, seat in few]
    found = 0.0
    for choice in product(*tried):
        ends = np.array([(size[0], size[-1]) for size in sizes])
        begin = np.array(start, float)
        for (_, seat), value in zip(few, choice, strict=True):
            ends[seat], begin[seat] = value, value
        found = max(found, _ascent(chance, begin, ends))
    return found


def _neighbours(sizes: Array, here: float) -> Array:
    """A size and the ones beside it."""
    at = int(np.argmin(np.abs(sizes - here)))
    return np.asarray(sizes[max(0, at - 1) : at + 2])


def _ascent(chance: Callable[[Array, int], Array], begin: Array, ends: Array) -> float:
    """The greatest chance within the ends, from a beginning."""
    from scipy.optimize import minimize

    step, scale = 1e-6, 1e4

    def fall(x: Array) -> tuple[float, Array]:
        points = np.vstack([x, *(x + step * scale * np.eye(len(x)))]) / scale
        told = np.log(np.maximum(chance(points, 1), 1e-12))
        return float(-told[0]), -(told[1:] - told[0]) / (step * scale)

    found = minimize(
        fall, begin * scale, jac=True, method="L-BFGS-B", bounds=ends * scale,
        options={"maxiter": 30, "ftol": 1e-6},
    )  # fmt: skip
    return float(chance(np.asarray(found.x)[None] / scale, 0)[0])
