"""Repeats that disagree by more than the instrument explains, and the one that stands apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from casewright.errors import MissingError, RangeError


@dataclass(frozen=True, slots=True)
class RepeatCheck:
    """Whether repeats agree; `outlier` is the place of the one that stands apart, if one does.

    `allowed` is the largest spread that the instrument explains at `level`; `chance` that of a
    spread as large as this one or larger.
    """

    agree: bool
    spread: float
    allowed: float
    chance: float
    outlier: int | None
    level: float


@dataclass(frozen=True, slots=True)
class Grubbs:
    """Grubbs' test of the value farthest from the mean."""

    place: int
    statistic: float
    critical: float

    @property
    def stands_apart(self) -> bool:
        """Whether the statistic is above the critical value."""
        return self.statistic > self.critical


def check_repeats(
    values: Sequence[float],
    repeatability: float,
    freedom: float = math.inf,
    resolution: float = 0.0,
    level: float = 0.95,
) -> RepeatCheck:
    """Spread of repeats against the spread that the instrument explains, d + q(n, ν)·σ.

    Args:
        values: repeats of one feature in one place [any], shape (n,).
        repeatability: σ, standard deviation of one reading with this instrument [same unit].
        freedom: degrees of freedom behind it, ν [-].
        resolution: step of the display, d: rounding alone may part two readings so far [same unit].
        level: chance with which honest repeats stay below `allowed` [-].
    Returns:
        agreement, spread, allowed spread, place of the outlier [same unit].
    Valid: n >= 2; with two that disagree nobody can say which one is wrong, so none is named; one
        is named only where all others agree without it.
    Raises: MissingError for fewer than two; RangeError without any repeatability or resolution.
    Source: ISO5725-6 4.1 (critical range), widened by the display's step.
    """
    if len(values) < 2:
        raise MissingError("values", "at least two repeats", "Read once more.")
    if not (repeatability >= 0 and resolution >= 0 and repeatability + resolution > 0):
        raise RangeError("repeatability", repeatability, "above 0, or a resolution")
    known = _Known(repeatability, freedom, resolution)
    chance = known.chance(values)
    factor = critical_range_factor(len(values), freedom, level) if repeatability > 0 else 0.0
    agree = chance >= 1 - level
    outlier = None if agree else _apart(values, known, level)
    allowed = resolution + factor * repeatability
    return RepeatCheck(agree, float(np.ptp(values)), allowed, chance, outlier, level)


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of the instrument."""

    repeatability: float
    freedom: float
    resolution: float

    def chance(self, values: Sequence[float]) -> float:
        """Chance of a spread as large as this one or larger, beyond what rounding explains."""
        excess = float(np.ptp(values)) - self.resolution * (1 + 1e-6)
        if excess <= 0:
            return 1.0
        if self.repeatability == 0:
            return 0.0
        return _chance_of_range(excess / self.repeatability, len(values), self.freedom)


def critical_range_factor(count: int, freedom: float = math.inf, level: float = 0.95) -> float:
    """Largest range of so many readings, in standard deviations, q_level(n, ν).

    Args:
        count: number of readings [-].
        freedom: degrees of freedom of the standard deviation [-].
        level: probability [-].
    Returns:
        the factor [-].
    Valid: 2 readings or more.
    Raises: RangeError otherwise.
    Source: ISO5725-6 table 1 (infinite ν).
    Example:
        >>> round(critical_range_factor(2), 1)
        2.8
    """
    from scipy.optimize import brentq

    if count < 2 or not 0 < level < 1:
        raise RangeError("count", count, "2 readings or more, and a level between 0 and 1")
    most = 1000.0 if freedom < 5 else 30.0
    return float(
        brentq(lambda q: _chance_of_range(q, count, freedom) - (1 - level), 1e-3, most, xtol=1e-6)
    )


def _chance_of_range(ratio: float, count: int, freedom: float) -> float:
    """P(range of `count` normal values > ratio standard deviations)."""
    from scipy.special import ndtr

    if math.isfinite(freedom):
        from scipy.stats import studentized_range

        return float(studentized_range.sf(ratio, count, freedom))
    x, step = np.linspace(-9.0, 9.0, 1801, retstep=True)
    density = np.exp(-0.5 * x * x) / math.sqrt(2 * math.pi)
    inside = count * float(np.sum(density * (ndtr(x + ratio) - ndtr(x)) ** (count - 1)) * step)
    return max(1 - inside, 0.0)


def _apart(values: Sequence[float], known: _Known, level: float) -> int | None:
    """The one value without which all others agree, where there is exactly one such."""
    if len(values) < 3:
        return None
    rests = [[value for k, value in enumerate(values) if k != p] for p in range(len(values))]
    cures = [place for place, rest in enumerate(rests) if known.chance(rest) >= 1 - level]
    return cures[0] if len(cures) == 1 else None


def grubbs(values: Sequence[float], level: float = 0.95, one_sided: bool = False) -> Grubbs:
    """Grubbs' test where nothing is known of the instrument: farthest value against own scatter.

    Args:
        values: repeats [any], shape (n,).
        level: 1 - significance [-].
        one_sided: the side was chosen beforehand [-].
    Returns:
        place, statistic |x - mean|/s and its critical value [-].
    Valid: n >= 3, normal scatter.
    Raises: MissingError for fewer than three.
    Source: GRUBBS1969; STRD-HANDBOOK 1.3.5.17.1.
    """
    from scipy.special import stdtrit

    n = len(values)
    if n < 3:
        raise MissingError("values", "at least three repeats", "Read once more.")
    data = np.asarray(values, float)
    away = abs(data - data.mean())
    place, deviation = int(away.argmax()), float(data.std(ddof=1))
    tail = (1 - level) / (n if one_sided else 2 * n)
    t = -float(stdtrit(n - 2, tail))
    critical = (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))
    statistic = float(away[place]) / deviation if deviation > 0 else 0.0
    return Grubbs(place, statistic, critical)
