"""How much of the scatter is the gauge and the hand: repeatability and reproducibility.

Data: operators × trials × parts. Two ways, average-and-range and analysis of variance. All
results are one standard deviation (older constants that carry a factor 5.15 are not used).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import RangeError

Floats = NDArray[np.float64]

# Mean of the range of m normal values, d2, and of its spread, d3, in standard deviations
# (m = 2 … 10). The constant for g ranges follows: d2*² = d2² + d3²/g.
MEAN_RANGE = (1.12838, 1.69257, 2.05875, 2.32593, 2.53441, 2.70436, 2.84720, 2.97003, 3.07751)
SPREAD_OF_RANGE = (0.85250, 0.88837, 0.87981, 0.86408, 0.84804, 0.83321, 0.81983, 0.80783, 0.79705)
MANY_RANGES = 15


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """Standard deviations: gauge, hand, both, parts, total; and what the gauge can tell apart."""

    repeatability: float
    reproducibility: float
    gauge: float
    parts: float
    total: float
    distinct_categories: int
    interaction: float = 0.0
    interaction_chance: float = math.nan

    @property
    def share(self) -> float:
        """Gauge's standard deviation over the total."""
        return self.gauge / self.total if self.total > 0 else math.nan


@dataclass(frozen=True, slots=True)
class OneWay:
    """One-way analysis of variance."""

    between: float
    within: float
    between_freedom: int
    within_freedom: int
    ratio: float
    explained: float
    residual_deviation: float


def one_way(groups: Sequence[Sequence[float]]) -> OneWay:
    """Sums of squares between and within groups, F ratio, R², residual standard deviation.

    Args:
        groups: readings of each group [any].
    Returns:
        the analysis [squares of the unit; ratios -].
    Valid: two groups or more, more readings than groups; sums are taken about the first value.
    Raises: RangeError for too few groups or readings.
    Source: STRD (definitions of its analysis-of-variance data sets).
    """
    count = sum(len(group) for group in groups)
    if len(groups) < 2 or count <= len(groups) or not all(groups):
        raise RangeError("groups", [len(g) for g in groups], "two or more, one with repeats")
    shifted = [[value - groups[0][0] for value in group] for group in groups]
    grand = math.fsum(value for group in shifted for value in group) / count
    means = [math.fsum(group) / len(group) for group in shifted]
    between = math.fsum(len(g) * (m - grand) ** 2 for g, m in zip(shifted, means, strict=True))
    within = math.fsum((v - m) ** 2 for g, m in zip(shifted, means, strict=True) for v in g)
    free, rest = len(groups) - 1, count - len(groups)
    ratio = (between / free) / (within / rest) if within > 0 else math.inf
    explained = between / (between + within)
    return OneWay(between, within, free, rest, ratio, explained, math.sqrt(within / rest))


def range_constant(size: int, ranges: int) -> float:
    """d2* of the mean of several ranges of so many values, √(d2² + d3²/g); d2 from 15 ranges on.

    Args:
        size: values in each range [-].
        ranges: number of ranges averaged, g [-].
    Returns:
        d2* [-].
    Valid: 2 to 10 values.
    Raises: RangeError outside it.
    Source: DUNCAN1986 appendix table D3; d2, d3 checked by integration in the tests.
    """
    if not (2 <= size <= 10 and ranges >= 1):
        raise RangeError("size, ranges", (size, ranges), "2 to 10 values, one range or more")
    mean, spread = MEAN_RANGE[size - 2], SPREAD_OF_RANGE[size - 2]
    return mean if ranges > MANY_RANGES else math.sqrt(mean**2 + spread**2 / ranges)


def range_factor(size: int, ranges: int) -> float:
    """Standard deviation over mean range, K = 1/d2*, rounded to four digits as it is printed.

    Args:
        size: values in each range [-].
        ranges: number of ranges averaged [-].
    Returns:
        K [-].
    Valid: 2 to 10 values.
    Raises: RangeError outside it.
    Source: AIAG2010 chapter III section B (K1, K2, K3).
    Example:
        >>> range_factor(3, 1), range_factor(10, 1)
        (0.5231, 0.3146)
    """
    return round(1 / range_constant(size, ranges), 4)


def average_range(readings: ArrayLike) -> GaugeStudy:
    """Gauge study by averages and ranges.

    Args:
        readings: operators × trials × parts [any], shape (o, r, p).
    Returns:
        standard deviations [same unit].
    Valid: 2 to 10 operators, trials and parts; no interaction of operator and part.
    Raises: RangeError for another shape.
    Source: AIAG2010 chapter III section B, average and range method.
    """
    data = _shape(readings)
    operators, trials, parts = data.shape
    repeat = float(np.ptp(data, axis=1).mean()) * range_factor(trials, operators * parts)
    spread = float(np.ptp(data.mean(axis=(1, 2)))) * range_factor(operators, 1)
    hand = math.sqrt(max(spread**2 - repeat**2 / (parts * trials), 0.0))
    part = float(np.ptp(data.mean(axis=(0, 1)))) * range_factor(parts, 1)
    return _study(repeat, hand, part)


def by_variance(readings: ArrayLike, pool_above: float = 0.05) -> GaugeStudy:
    """Gauge study by two-way analysis of variance.

    Args:
        readings: operators × trials × parts [any], shape (o, r, p).
        pool_above: the interaction is pooled where its chance (p-value) is above this [-].
    Returns:
        standard deviations; reproducibility holds operator and interaction [same unit].
    Valid: 2 to 10 operators, trials and parts; negative variances are taken as 0.
    Raises: RangeError for another shape.
    Source: AIAG2010 chapter III section B, analysis of variance method.
    """
    from scipy.special import fdtrc

    data = _shape(readings)
    o, r, p = data.shape
    grand, cells = data.mean(), data.mean(axis=1)
    square_o = r * p * float(((data.mean(axis=(1, 2)) - grand) ** 2).sum()) / (o - 1)
    square_p = r * o * float(((data.mean(axis=(0, 1)) - grand) ** 2).sum()) / (p - 1)
    sum_cells = r * float(((cells - grand) ** 2).sum())
    sum_both = sum_cells - square_o * (o - 1) - square_p * (p - 1)
    sum_error = float(((data - cells[:, None, :]) ** 2).sum())
    free_both, free_error = (o - 1) * (p - 1), o * p * (r - 1)
    square_both, error = sum_both / free_both, sum_error / free_error
    chance = float(fdtrc(free_both, free_error, square_both / error)) if error > 0 else 0.0
    if chance > pool_above:
        error = square_both = (sum_both + sum_error) / (free_both + free_error)
    both = max((square_both - error) / r, 0.0)
    hand = max((square_o - square_both) / (p * r), 0.0)
    part = max((square_p - square_both) / (o * r), 0.0)
    return _study(math.sqrt(error), math.sqrt(hand + both), math.sqrt(part), both, chance)


def _study(
    repeat: float, hand: float, part: float, both: float = 0.0, chance: float = math.nan
) -> GaugeStudy:
    gauge = math.hypot(repeat, hand)
    categories = math.floor(1.41 * part / gauge) if gauge > 0 else 0
    total = math.hypot(gauge, part)
    return GaugeStudy(repeat, hand, gauge, part, total, categories, math.sqrt(both), chance)


def _shape(readings: ArrayLike) -> Floats:
    data = np.asarray(readings, float)
    if data.ndim != 3 or min(data.shape) < 2 or max(data.shape) > 10:
        raise RangeError(
            "readings", data.shape, "operators × trials × parts, 2 to 10 of each, none missing"
        )
    return data
