"""Unknowns of a quote, drawn at random or counted out in full, as one weighted table."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.reasoning.schedule import draw_beta, stream

# Exact cases are doubles; draws are single precision, half the bytes to move for the same answer.
Floats = NDArray[np.floating[Any]]
Words = NDArray[np.uint32]
BLOCK = 25_000  # 100 kB an unknown: smaller blocks lose more in calls than the cache gives back
ALL = 2**32  # an even draw is one word of 32 bits


@dataclass(frozen=True, slots=True)
class Chance:
    """Yes (1) with this chance, else no (0): a part condemned, a core refused."""

    chance: float


@dataclass(frozen=True, slots=True)
class Given:
    """Yes with a chance that hangs on another yes-or-no: a bent shaft where the strike was hard."""

    parent: str
    if_yes: float
    if_no: float


@dataclass(frozen=True, slots=True)
class Count:
    """One of a few values with their chances: set-up assemblies."""

    values: tuple[float, ...]
    chances: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Triangular:
    """Between low and high, most often near `likely`."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Beta:
    """Between low and high, mean (low + 4 likely + high) / 6; tighter than the triangle."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Lognormal:
    """Even chance at `median`, never below zero, a long dear tail; `sigma` of the logarithm."""

    median: float
    sigma: float


Discrete = Chance | Given | Count
Smooth = Triangular | Beta | Lognormal
Spread = Discrete | Smooth
Unknowns = Mapping[str, Spread]


class Room:
    """Arrays of one size that are used again for each block: new ones cost more than the sums."""

    def __init__(self) -> None:
        self._arrays: list[Floats] = []
        self._given = 0

    def take(self, size: int) -> Floats:
        """An array that nobody else has until `clear`; what is in it is left over."""
        if self._given == len(self._arrays):
            self._arrays.append(np.empty(max(size, BLOCK), np.float32))
        self._given += 1
        return self._arrays[self._given - 1][:size]

    @property
    def mark(self) -> int:
        """How many arrays are given; `clear` goes back to it."""
        return self._given

    def clear(self, mark: int = 0) -> None:
        """All arrays given since the mark may be given again."""
        self._given = mark


@dataclass(frozen=True, slots=True)
class Draws:
    """Values of every unknown, one row each draw; `weights` add up to 1 (None: all alike).

    `room` is where sums over a block of draws are written; they hold until the next block.
    """

    values: Mapping[str, Floats]
    size: int
    weights: Floats | None = None
    room: Room | None = None

    def blank(self) -> Floats:
        """An array for one sum, of any content."""
        return np.empty(self.size) if self.room is None else self.room.take(self.size)

    @property
    def exact(self) -> bool:
        """True where the rows are all cases there are, with their chances."""
        return self.weights is not None

    def mean(self, of: Floats) -> float:
        """Weighted mean."""
        return weighted_mean(of, self.weights)


def check_unknowns(unknowns: Unknowns) -> None:
    """Raise all mistakes of the unknowns at once.

    Args:
        unknowns: name to spread [-].
    Returns:
        nothing [-].
    Valid: any mapping.
    Raises: FormErrors for chances outside 0 to 1, points out of order, parents not known.
    Source: own: the rules that drawing relies on.
    """
    found: list[InputError] = []
    for name, spread in unknowns.items():
        found += _mistakes(name, spread, unknowns)
    if found:
        raise FormErrors("unknowns", found)


def _mistakes(name: str, spread: Spread, unknowns: Unknowns) -> list[InputError]:
    """Mistakes of one unknown."""
    given: object
    match spread:
        case Chance(chance):
            good, given, wanted = 0 <= chance <= 1, chance, "a chance from 0 to 1"
        case Given(parent, if_yes, if_no):
            if not isinstance(unknowns.get(parent), Chance):
                return [MissingError(f"{name}: hangs on {parent}", "a plain chance of this name")]
            good = 0 <= if_yes <= 1 and 0 <= if_no <= 1
            given, wanted = (if_yes, if_no), "chances from 0 to 1"
        case Count(values, chances):
            good = len(values) == len(chances) > 0 and min(chances) >= 0
            good = good and math.isclose(sum(chances), 1, abs_tol=1e-9)
            given, wanted = chances, "one chance for each value, 1 in sum"
        case Lognormal(median, sigma):
            good, given, wanted = median > 0 and sigma > 0, (median, sigma), "both above zero"
        case Triangular(low, likely, high) | Beta(low, likely, high):
            good = -math.inf < low <= likely <= high < math.inf
            given, wanted = (low, likely, high), "low ≤ likely ≤ high"
    return [] if good else [RangeError(name, given, wanted)]


def sample(unknowns: Unknowns, seed: int, samples: int = 100_000) -> Draws:
    """Draws of all unknowns, each from a stream of its own: common to all choices and stages.

    Args:
        unknowns: name to spread [-].
        seed: of the whole; the caller takes it from the digest of the inputs [-].
        samples: number of draws [-].
    Returns:
        the draws [unit of each unknown].
    Valid: unknowns independent but for `Given`.
    Raises: FormErrors for mistakes of the unknowns.
    Source: JCG101 clause 5 (propagation by Monte Carlo); own: one stream for each name.
    """
    values = {name: np.empty(samples) for name in unknowns}
    start = 0
    for block in draw_blocks(unknowns, seed, samples):
        for name, drawn in block.values.items():
            values[name][start : start + block.size] = drawn
        start += block.size
    return Draws(values, samples)


def draw_blocks(unknowns: Unknowns, seed: int, samples: int) -> Iterator[Draws]:
    """The draws of `sample` in blocks small enough for the cache; each block overwrites the last.

    Args:
        unknowns: name to spread [-].
        seed: of the whole [-].
        samples: number of draws in all [-].
    Returns:
        blocks of draws [unit of each unknown].
    Valid: as `sample`; who keeps a block copies it.
    Raises: FormErrors for mistakes of the unknowns.
    Source: JCG101 clause 5.
    """
    check_unknowns(unknowns)
    late = [name for name, spread in unknowns.items() if isinstance(spread, Given)]
    order = [*(name for name in unknowns if name not in late), *late]
    streams = [stream(seed, name) for name in order]
    drawn, room = np.empty((len(order), BLOCK), np.float32), Room()
    for start in range(0, samples, BLOCK):
        size = min(BLOCK, samples - start)
        values = {name: drawn[place, :size] for place, name in enumerate(order)}
        for name, source in zip(order, streams, strict=True):
            _draw(unknowns[name], source, values[name], values)
        room.clear()
        yield Draws(values, size, room=room)


def _draw(
    spread: Spread, source: np.random.Generator, out: Floats, known: Mapping[str, Floats]
) -> None:
    """Draws of one unknown; the smaller the chance, the fewer of the same draws say yes."""
    match spread:
        case Beta(low, likely, high):
            out[:] = draw_beta(source, low, likely, high, out.size)
        case Lognormal(median, sigma):
            out[:] = source.standard_normal(out.size)
            np.multiply(np.exp(np.multiply(out, sigma, out=out), out=out), median, out=out)
        case Chance(chance):
            np.copyto(out, _yes(_words(source, out.size), chance))
        case Given(parent, if_yes, if_no):
            words, yes = _words(source, out.size), known[parent] > 0
            np.copyto(out, _yes(words, if_yes) & yes | _yes(words, if_no) & ~yes)
        case Count(values, chances):
            _draw_count(_words(source, out.size), values, chances, out)
        case Triangular(low, likely, high):
            _draw_triangular(_words(source, 2 * out.size), low, likely, high, out)


def _words(source: np.random.Generator, size: int) -> Words:
    """Even draws as words of 32 bits, two from each draw of the stream."""
    raw: NDArray[np.uint64] = source.bit_generator.random_raw((size + 1) // 2)
    return raw.view(np.uint32)[:size]


def _yes(words: Words, chance: float) -> NDArray[np.bool_]:
    """Yes where a draw is under the chance; good to 2^-32, never and always exactly."""
    edge = round(chance * ALL)
    return np.ones(words.size, bool) if edge >= ALL else np.less(words, np.uint32(edge))


def _draw_count(
    words: Words, values: Sequence[float], chances: Sequence[float], out: Floats
) -> None:
    """Even draws to values: from the last one down, each edge that a draw is under steps back."""
    out[:] = values[-1]
    for edge, before, after in zip(np.cumsum(chances), values, values[1:], strict=False):
        np.add(out, np.multiply(_yes(words, float(edge)), np.float32(before - after)), out=out)


def _draw_triangular(words: Words, low: float, likely: float, high: float, out: Floats) -> None:
    """Smaller and greater of two even draws, weighed: exactly triangular (STE09).

    Words with a sign run evenly from -2^31 to 2^31: the half that they lack is added with `low`.
    """
    both = words.view(np.int32).astype(np.float32).reshape(2, out.size)
    smaller = np.minimum(both[0], both[1], out=out)
    greater = np.maximum(both[0], both[1], out=both[0])
    np.multiply(smaller, (high - likely) / ALL, out=out)
    np.multiply(greater, (likely - low) / ALL, out=greater)
    np.add(out, greater, out=out)
    np.add(out, (low + high) / 2, out=out)


def count_out(unknowns: Unknowns, most: int = 2**16) -> Draws:
    """Every combination of discrete unknowns with its chance: exact where the job is small.

    Args:
        unknowns: name to spread, discrete ones only [-].
        most: no more combinations than this [-].
    Returns:
        all combinations, weights their chances [-].
    Valid: yes-or-no unknowns and counts.
    Raises: FormErrors for mistakes; RangeError for smooth spreads or too many combinations.
    Source: own: enumeration.
    """
    check_unknowns(unknowns)
    smooth = [name for name, spread in unknowns.items() if isinstance(spread, Smooth)]
    if smooth:
        raise RangeError("unknowns", ", ".join(smooth), "none with a smooth spread", "Draw them.")
    size = math.prod(_size(spread) for spread in unknowns.values())
    if size > most:
        raise RangeError("unknowns", f"{size} combinations", f"{most} at most", "Draw them.")
    values: dict[str, Floats] = {}
    weights, step = np.ones(size), size
    late = [name for name, spread in unknowns.items() if isinstance(spread, Given)]
    for name in [*(name for name in unknowns if name not in late), *late]:
        spread = unknowns[name]
        step //= _size(spread)
        place = np.arange(size) // step % _size(spread)
        if isinstance(spread, Count):
            values[name] = np.asarray(spread.values, dtype=float)[place]
            weights *= np.asarray(spread.chances)[place]
            continue
        if isinstance(spread, Given):
            yes = spread.if_no + (spread.if_yes - spread.if_no) * values[spread.parent]
        else:
            yes = np.full(size, spread.chance) if isinstance(spread, Chance) else np.ones(size)
        values[name] = place.astype(float)
        weights *= np.where(place == 1, yes, 1 - yes)
    return Draws(values, size, weights)


def _size(spread: Spread) -> int:
    """How many values a discrete unknown has."""
    return len(spread.values) if isinstance(spread, Count) else 2


def weighted_mean(of: Floats | NDArray[np.bool_], weights: Floats | None = None) -> float:
    """Σ weight·value, or the plain mean.

    Args:
        of: values [any unit], or yes and no.
        weights: chance of each [-], None where all are alike.
    Returns:
        mean [same unit].
    Valid: weights that add up to 1.
    Raises: nothing.
    Source: JCG101 clause 7.6.
    """
    if weights is not None:
        return float(weights @ of)
    if of.dtype == bool:
        return int(np.count_nonzero(of)) / of.size
    return float(np.add.reduce(of, dtype=np.float64)) / of.size


def quantiles(
    of: Floats, shares: Sequence[float], weights: Floats | None = None
) -> tuple[float, ...]:
    """For each share, the least value that at least this share of the draws doesn't pass.

    Args:
        of: values [any unit], one for each draw.
        shares: 0.5 for even chance, 0.9 for one in ten dearer [-].
        weights: chance of each draw [-], None where all are alike.
    Returns:
        the values [same unit].
    Valid: shares above 0, at most 1.
    Raises: nothing.
    Source: JCG101 clause 7.7 (quantiles from ordered draws).
    Example:
        >>> quantiles(np.array([10.0, 20.0, 30.0]), [0.5], np.array([0.2, 0.7, 0.1]))
        (20.0,)
    """
    last = of.size - 1
    if weights is None:
        places = [min(last, max(0, math.ceil(share * of.size - 1e-9) - 1)) for share in shares]
        ranked = of.copy()
        found = []
        for place in places:  # one copy, parted again and again: all at once is slower
            ranked.partition(place)
            found.append(float(ranked[place]))
        return tuple(found)
    order = np.argsort(of, kind="stable")
    reached = np.cumsum(weights[order])
    wanted = np.asarray(shares) * reached[-1] - 1e-12
    return tuple(float(of[order[min(last, place)]]) for place in np.searchsorted(reached, wanted))
