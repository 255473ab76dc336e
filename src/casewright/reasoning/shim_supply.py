"""Whether the shared stock can give packs for all seats at once, with the fewest shims.

Packs of one thickness stand for each other: the search weighs each thickness with its fewest
shims, and here the stock decides which of its packs go in. Packs with more shims only add doubt.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.reasoning.shim_stock import GRAIN, PackClasses

Whole = NDArray[np.int64]

_NODES = 3000


@dataclass(frozen=True, slots=True)
class Option:
    """One pack of a seat: its class, its shims, how many, how many differ from those fitted."""

    index: int
    shims: Whole
    count: int
    moved: int


@dataclass(frozen=True, slots=True)
class Supplied:
    """What goes in: each seat's class [seats] and its number of each shelf shim.

    `short` says that some pack has more shims than its thickness needs.
    """

    index: tuple[int, ...]
    packs: tuple[Whole, ...]
    short: bool


class Stock:
    """The shared shelf, asked for one combination of thicknesses after the other."""

    def __init__(
        self,
        seats: Sequence[PackClasses],
        stock: Whole,
        now: Sequence[Whole | None],
        grain: float = GRAIN,
    ) -> None:
        """Packs alike to `grain` [m] stand for each other; none is looked at before it is asked."""
        self._seats, self._stock, self._now = seats, stock, now
        self._grains = [np.rint(seat.thickness / grain).astype(np.int64) for seat in seats]
        self._known: dict[tuple[int, int], tuple[Option, ...]] = {}
        self._told: dict[tuple[int, ...], Supplied | None] = {}
        self._unsure: set[tuple[int, ...]] = set()

    def coarser(self, grain: float) -> Stock:
        """The same shelf with packs alike to `grain` [m] standing for each other."""
        return Stock(self._seats, self._stock, self._now, grain)

    def unsure(self, row: Sequence[int]) -> bool:
        """Whether the tries ran out before this row was known to be short."""
        return tuple(map(int, row)) in self._unsure

    def options(self, seat: int, index: int) -> tuple[Option, ...]:
        """Every pack of this class's thickness, fewest shims first; of a fitted pack itself."""
        if (seat, index) not in self._known:
            self._known[seat, index] = self._listed(seat, index)
        return self._known[seat, index]

    def _listed(self, seat: int, index: int) -> tuple[Option, ...]:
        classes, now = self._seats[seat], self._now[seat]
        same = (self._grains[seat] == self._grains[seat][index]) & (classes.kept == 0)
        wanted = [index] if classes.kept[index] else np.flatnonzero(same).tolist()
        found = [
            Option(k, pack, int(pack.sum()), 0 if now is None else int(np.abs(pack - now).sum()))
            for k in wanted
            for pack in classes.recipes[k]
            if (pack <= self._stock).all()
        ]
        return tuple(sorted(found, key=lambda one: (one.count, one.moved)))

    def supply(self, row: Sequence[int]) -> Supplied | None:
        """Packs for these thicknesses with the fewest shims in all; None where stock is short.

        Args:
            row: a class of each seat, standing for its thickness [-].
        Returns:
            the packs [-], or None.
        Valid: exact up to 3000 half-filled tries, then counted as short.
        Raises: nothing.
        Source: own: depth-first, one more shim in all allowed after the other.
        """
        key = tuple(map(int, row))
        if key not in self._told:
            self._told[key] = self._supplied(key)
        return self._told[key]

    def _supplied(self, key: tuple[int, ...]) -> Supplied | None:
        options = [self.options(seat, index) for seat, index in enumerate(key)]
        if not all(options):
            return None
        # The seat with the fewest packs first: what can't be done is seen at once.
        order = sorted(range(len(options)), key=lambda seat: len(options[seat]))
        search = _Filling([options[seat] for seat in order])
        most = sum(one[-1].count - one[0].count for one in options)
        for extra in range(most + 1):
            found = search.fill(0, self._stock, extra)
            if found is not None:
                placed = dict(zip(order, found, strict=True))
                packs = [placed[seat] for seat in range(len(options))]
                index = tuple(p.index for p in packs)
                return Supplied(index, tuple(p.shims for p in packs), index != key)
            if search.nodes > _NODES:
                self._unsure.add(key)
                return None
        return None


class _Filling:
    """Depth-first filling of the seats from the stock, counting its tries."""

    def __init__(self, options: Sequence[tuple[Option, ...]]) -> None:
        self._options = options
        self.nodes = 0

    def fill(self, seat: int, left: Whole, extra: int) -> tuple[Option, ...] | None:
        """Packs from this seat on with at most `extra` shims more than the fewest."""
        if seat == len(self._options):
            return ()
        fewest = self._options[seat][0].count
        for one in self._options[seat]:
            self.nodes += 1
            if one.count - fewest > extra or self.nodes > _NODES:
                return None
            rest = left - one.shims
            if (rest >= 0).all():
                found = self.fill(seat + 1, rest, extra - one.count + fewest)
                if found is not None:
                    return (one, *found)
        return None
