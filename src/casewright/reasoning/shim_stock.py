"""Packs that the shelf can give: every distinct (thickness, count), rules and shared stock.

A shim's measured thickness overrides its nominal. The shims now fitted count as stock: they
come back when a pack is taken apart.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from casewright.errors import InfeasibleError, InputError, RangeError

Array = NDArray[np.float64]
Whole = NDArray[np.int64]

GRAIN = 1e-7
MOST_PACKS = 500_000


@dataclass(frozen=True, slots=True)
class ShelfShim:
    """Shims of one thickness: `nominal` [m], how many, and what a micrometer says of them.

    `deviation` is the standard deviation of one shim's thickness, from its tolerance or from
    the micrometer.
    """

    name: str
    nominal: float
    count: int
    deviation: float = 4e-6
    measured: float | None = None

    @property
    def thickness(self) -> float:
        """Measured thickness where there is one, else nominal [m]."""
        return self.nominal if self.measured is None else self.measured


@dataclass(frozen=True, slots=True)
class PackRules:
    """What the sheet allows in one pack: number of shims, total thickness [m], allowed names.

    A selective spacer is a pack of exactly one piece from its own list (`names`).
    """

    fewest: int = 0
    most: int = 6
    thinnest: float = 0.0
    thickest: float = float("inf")
    names: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class PackChange:
    """One line of a change: so many of this shim out of or into the pack at that adjuster."""

    adjuster: str
    action: str
    count: int
    shim: str
    thickness: float


@dataclass(frozen=True, slots=True)
class PackClasses:
    """Distinct packs for one adjuster: thickness [m], shims, variance [m²], kept (0 or 1).

    `kept` marks the pack that is fitted now, whose deviation is already in the state.
    `recipes` are, for each, the packs (number of each shelf shim) that give it.
    """

    thickness: Array
    count: Whole
    variance: Array
    kept: Array
    recipes: tuple[Whole, ...] = field(repr=False)


def all_packs(shelf: Sequence[ShelfShim], rules: PackRules) -> Whole:
    """Every pack that rules and stock allow, as number of each shelf shim.

    Args:
        shelf: shims at hand, those now fitted included [-].
        rules: what the sheet allows [-].
    Returns:
        packs [-], [packs, shelf shims].
    Valid: up to half a million packs.
    Raises: RangeError when there would be more; InfeasibleError when there is none.
    Source: own: bounded multisets, built shim by shim.
    """
    packs = np.zeros((1, 0), np.int64)
    for shim in shelf:
        allowed = rules.names is None or shim.name in rules.names
        most = min(shim.count, rules.most) if allowed else 0
        used = packs.sum(axis=1)
        layers = [
            np.column_stack(
                [packs[used + n <= rules.most], np.full(np.sum(used + n <= rules.most), n)]
            )
            for n in range(most + 1)
        ]
        packs = np.concatenate(layers)
        if len(packs) > MOST_PACKS:
            raise RangeError("shelf", len(packs), f"at most {MOST_PACKS} packs", "Limit the list.")
    thickness = packs @ np.array([shim.thickness for shim in shelf])
    fits = (packs.sum(axis=1) >= rules.fewest) & (thickness >= rules.thinnest - GRAIN)
    packs = packs[fits & (thickness <= rules.thickest + GRAIN)]
    if not len(packs):
        raise InfeasibleError("a pack from the shelf", ["no pack meets the sheet's rules"])
    return np.asarray(packs)


def pack_classes(
    shelf: Sequence[ShelfShim], rules: PackRules, present: Mapping[str, int] | None = None
) -> PackClasses:
    """Distinct (thickness, count, doubt) of all packs, and the pack that is fitted now.

    Args:
        shelf: shims at hand, those now fitted included [-].
        rules: what the sheet allows [-].
        present: shims in the pack now, name to number [-]; None when nothing is fitted.
    Returns:
        the classes [-], the fitted pack last.
    Valid: thicknesses told apart to 0.1 µm.
    Raises: as `all_packs`.
    Source: own: grouping of equal sums.
    """
    packs = all_packs(shelf, rules)
    size = np.array([shim.thickness for shim in shelf])
    doubt = np.array([shim.deviation**2 for shim in shelf])
    grains = np.rint(packs @ size / GRAIN).astype(np.int64)
    keys = np.column_stack([grains, packs.sum(axis=1), np.rint(packs @ doubt * 1e15)])
    _, first, group = np.unique(
        keys.astype(np.int64), axis=0, return_index=True, return_inverse=True
    )
    order = np.argsort(group.ravel(), kind="stable")
    recipes = np.split(packs[order], np.cumsum(np.bincount(group.ravel()))[:-1])
    chosen, kept = packs[first], np.zeros(len(first))
    if present is not None:
        fitted = recipe(shelf, present)
        chosen, kept = np.vstack([chosen, fitted]), np.append(kept, 1.0)
        recipes = [*recipes, fitted[None, :]]
    variance = (chosen @ doubt) * (1 - kept)
    return PackClasses(chosen @ size, chosen.sum(axis=1), variance, kept, tuple(recipes))


def recipe(shelf: Sequence[ShelfShim], pack: Mapping[str, int]) -> Whole:
    """A pack given by names as number of each shelf shim.

    Args:
        shelf: shims at hand [-].
        pack: name to number [-].
    Returns:
        numbers [-], [shelf shims].
    Valid: always.
    Raises: InputError for a shim that the shelf doesn't hold, or not so many of.
    Source: own: look-up.
    """
    stock = {shim.name: shim.count for shim in shelf}
    for name, number in pack.items():
        if number > stock.get(name, 0):
            expected = f"at most {stock.get(name, 0)} of them on the shelf"
            raise InputError(f"pack with {name}", number, expected, "Choose another pack.")
    return np.array([pack.get(shim.name, 0) for shim in shelf], np.int64)


def thinned(classes: PackClasses, levels: int) -> Whole:
    """Indices of the classes with the fewest shims for their thickness; fitted pack included.

    Args:
        classes: all classes of one adjuster [-].
        levels: how many counts to keep for each thickness, fewest first [-].
    Returns:
        indices into the classes [-].
    Valid: more shims of the same thickness only add doubt; they matter when stock is short.
    Raises: nothing.
    Source: own: fewest shims first.
    """
    grains = np.rint(classes.thickness / GRAIN).astype(np.int64)
    order = np.lexsort((classes.variance, classes.count, classes.kept, grains))
    ordered = grains[order]
    starts = np.flatnonzero(np.append(True, ordered[1:] != ordered[:-1]))
    rank = np.arange(len(order)) - np.repeat(starts, np.diff(np.append(starts, len(order))))
    return np.sort(order[(rank < levels) | (classes.kept[order] > 0)])


def supply(
    options: Sequence[Whole], stock: Whole, present: Sequence[Whole | None]
) -> tuple[Whole, ...] | None:
    """One pack for each adjuster that the shared stock can give together, least changed first.

    Args:
        options: for each adjuster the packs of equal thickness and count [-].
        stock: number of each shelf shim, those now fitted included [-].
        present: packs fitted now, None where none is [-].
    Returns:
        a pack for each adjuster, or None when the stock doesn't reach [-].
    Valid: always (exact, depth-first).
    Raises: nothing.
    Source: own: depth-first search.
    """
    if not options:
        return ()
    packs, fitted = options[0], present[0]
    moved = np.zeros(len(packs)) if fitted is None else np.abs(packs - fitted).sum(axis=1)
    for pack in packs[np.argsort(moved, kind="stable")]:
        left = stock - pack
        if (left >= 0).all() and (rest := supply(options[1:], left, present[1:])) is not None:
            return (pack, *rest)
    return None


def pack_change(
    adjuster: str, shelf: Sequence[ShelfShim], present: Whole, wanted: Whole
) -> tuple[PackChange, ...]:
    """What to take out and put in at one adjuster, thickest first, outs before ins.

    Args:
        adjuster: where [-].
        shelf: shims at hand [-].
        present: pack fitted now, number of each shelf shim [-].
        wanted: pack to fit [-].
    Returns:
        lines ready for words [-]: "out" or "in", how many, which shim, its thickness.
    Valid: always.
    Raises: nothing.
    Source: own: difference of two packs.
    """
    lines = [
        PackChange(adjuster, "out" if step < 0 else "in", abs(int(step)), shim.name, shim.thickness)
        for shim, step in zip(shelf, wanted - present, strict=True)
        if step
    ]
    return tuple(sorted(lines, key=lambda line: (line.action == "in", -line.thickness)))


def algebraic_pack(fitted: float, reading: float, target: float, rate: float) -> float:
    """The pack that simple algebra asks for: s = s₀ + (g* − g₀)/rate.

    A direct gap that a thicker pack closes has rate −1; end play under a cup (thicker =
    tighter) −1, under a retainer (thicker = looser) +1; a lash its own factor.

    Args:
        fitted: pack at the trial [m].
        reading: what was read with it [m or N·m].
        target: what is wanted [m or N·m]; a preload deflection is a negative end play.
        rate: change of the reading for one metre more of pack [unit per m], with its sign.
    Returns:
        thickness asked for [m]; not yet a pack from the shelf.
    Valid: one adjuster, one reading, linear.
    Raises: RangeError for a rate of zero.
    Source: own: one linear equation solved; the sign comes from where the pack sits.
    Example:
        >>> round(algebraic_pack(1.00e-3, 0.30e-3, 0.20e-3, -1.0) * 1e3, 3)
        1.1
    """
    if rate == 0:
        raise RangeError("rate", rate, "a rate that is not zero", "This pack doesn't move it.")
    return fitted + (target - reading) / rate


def closest_pack(shelf: Sequence[ShelfShim], rules: PackRules, thickness: float) -> Whole:
    """The pack nearest a thickness: least |sum − s|, then fewest shims, then thickest first.

    Args:
        shelf: shims at hand [-].
        rules: what the sheet allows [-].
        thickness: wanted [m].
    Returns:
        number of each shelf shim [-].
    Valid: exact over all packs (taking the thickest that fits, again and again, is not).
    Raises: as `all_packs`.
    Source: own: exact search over all packs.
    """
    packs = all_packs(shelf, rules)
    size = np.array([shim.thickness for shim in shelf])
    miss = np.rint(np.abs(packs @ size - thickness) / GRAIN)
    by_size = packs[:, np.argsort(-size, kind="stable")]
    best = np.lexsort((*(-by_size.T[::-1]), packs.sum(axis=1), miss))[0]
    return np.asarray(packs[best])
