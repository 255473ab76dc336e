"""Is it inside its limits? Conformance probability, what is proven, and the risks of a rule.

A limit that doesn't exist is None; with both limits both tails count.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import MissingError, RangeError

Floats = NDArray[np.float64]


class Outcome(Enum):
    """What a reading proves."""

    CONFORMING = "verified conforming"
    NON_CONFORMING = "verified non-conforming"
    NOT_PROVEN = "not proven"


@dataclass(frozen=True, slots=True)
class Size:
    """What is known of a true size: estimate, standard uncertainty, degrees of freedom."""

    value: float
    uncertainty: float
    freedom: float = math.inf


@dataclass(frozen=True, slots=True)
class Conformance:
    """Chances that the true size is inside, below and above, and what that proves."""

    inside: float
    below: float
    above: float
    outcome: Outcome
    level: float

    @property
    def outside(self) -> float:
        """Chance that it is truly out of limit."""
        return self.below + self.above


@dataclass(frozen=True, slots=True)
class Zone:
    """Readings that prove conformity (None: no reading does) and those that prove the contrary.

    Below `reject_below` and above `reject_above` a reading proves non-conformity.
    """

    accept_low: float | None
    accept_high: float | None
    reject_below: float
    reject_above: float


@dataclass(frozen=True, slots=True)
class Risks:
    """Global risks of an acceptance rule over a whole stream of parts."""

    consumer: float
    producer: float
    accepted: float
    consumer_given_accepted: float


def chances(
    value: ArrayLike,
    uncertainty: ArrayLike,
    lower: float | None = None,
    upper: float | None = None,
    freedom: float = math.inf,
) -> tuple[Floats, Floats]:
    """Chances that the true size is below the lower and above the upper limit, vectorised.

    Args:
        value: estimates [any], any shape.
        uncertainty: standard uncertainties [same unit], same shape or one number.
        lower: lower limit [same unit].
        upper: upper limit [same unit].
        freedom: degrees of freedom of u; the t distribution is used where finite [-].
    Returns:
        below and above, each of the same shape [-].
    Valid: normal or t; u > 0.
    Raises: RangeError for u not above 0 or limits the wrong way round; MissingError without any.
    Source: JCGM106 7.2 to 7.4.
    """
    from scipy.special import ndtr, stdtr

    _check_limits(lower, upper)
    y, u = np.asarray(value, float), np.asarray(uncertainty, float)
    if not np.all(u > 0):
        raise RangeError("uncertainty", uncertainty, "a standard uncertainty above 0")
    low = -math.inf if lower is None else lower
    high = math.inf if upper is None else upper
    z_low, z_high = (low - y) / u, (y - high) / u
    if math.isinf(freedom):
        return np.asarray(ndtr(z_low)), np.asarray(ndtr(z_high))
    return np.asarray(stdtr(freedom, z_low)), np.asarray(stdtr(freedom, z_high))


def conformance(
    value: float,
    uncertainty: float,
    lower: float | None = None,
    upper: float | None = None,
    level: float = 0.95,
    freedom: float = math.inf,
) -> Conformance:
    """Chance that the true size is inside its limits, and what the reading proves.

    Args:
        value: estimate [any].
        uncertainty: standard uncertainty [same unit].
        lower: lower limit [same unit].
        upper: upper limit [same unit].
        level: probability that counts as proof [-].
        freedom: degrees of freedom of u [-].
    Returns:
        chances and outcome [-].
    Valid: with one limit, or wide limits, the outcome equals the guard band 1.645·u of the rule;
        with limits that are close against u both tails count.
    Raises: RangeError, MissingError as `chances`.
    Source: JCGM106 7.2 (probability); ISO14253-1 default rule (proof at 95 %).
    Example:
        >>> conformance(-5.47, 0.05, upper=-5.40).outcome.value
        'not proven'
    """
    if not 0.5 < level < 1:
        raise RangeError("level", level, "between 0.5 and 1")
    below, above = (float(part) for part in chances(value, uncertainty, lower, upper, freedom))
    inside = 1 - below - above
    if below + above <= 1 - level:
        outcome = Outcome.CONFORMING
    elif inside <= 1 - level:
        outcome = Outcome.NON_CONFORMING
    else:
        outcome = Outcome.NOT_PROVEN
    return Conformance(max(inside, 0.0), below, above, outcome, level)


def with_prior(prior: Size, reading: Size) -> Size:
    """What is known after a reading: prior and reading weighed by 1/u².

    Args:
        prior: what such pieces usually measure [any].
        reading: the reading [same unit].
    Returns:
        estimate and standard uncertainty [same unit].
    Valid: both normal; the smaller degrees of freedom are carried on (cautious).
    Raises: RangeError for u not above 0.
    Source: JCGM106 7.2.2, A.4.4.
    """
    if not (prior.uncertainty > 0 and reading.uncertainty > 0):
        raise RangeError("uncertainty", reading.uncertainty, "above 0 for prior and reading")
    heavy, light = prior.uncertainty**-2, reading.uncertainty**-2
    value = (prior.value * heavy + reading.value * light) / (heavy + light)
    return Size(value, (heavy + light) ** -0.5, min(prior.freedom, reading.freedom))


def guard_band(uncertainty: float, level: float = 0.95) -> float:
    """Guard band of a single limit, g = Φ⁻¹(level)·u.

    Args:
        uncertainty: standard uncertainty [any].
        level: probability that counts as proof [-].
    Returns:
        g [same unit].
    Valid: normal; the rule rounds the factor at 95 % to 1.65.
    Raises: nothing.
    Source: ISO14253-1 default rule; JCGM106 8.3.
    """
    from scipy.special import ndtri

    return float(ndtri(level)) * uncertainty


def zones(
    uncertainty: float, lower: float | None, upper: float | None, level: float = 0.95
) -> Zone:
    """Readings that prove conformity, and those that prove non-conformity.

    Args:
        uncertainty: standard uncertainty of a reading [any].
        lower: lower limit [same unit].
        upper: upper limit [same unit].
        level: probability that counts as proof [-].
    Returns:
        the zones [same unit]; no acceptance zone where even the middle proves nothing.
    Valid: normal; with two limits both tails are counted.
    Raises: RangeError, MissingError as `chances`.
    Source: ISO14253-1 default rule; JCGM106 8.3.
    """
    _check_limits(lower, upper)
    guard = guard_band(uncertainty, level)
    reject_below = -math.inf if lower is None else _edge(lower, upper, uncertainty, 1 - level, -1)
    reject_above = math.inf if upper is None else _edge(upper, lower, uncertainty, 1 - level, 1)
    if lower is None or upper is None:
        low = None if lower is None else lower + guard
        high = None if upper is None else upper - guard
        return Zone(low, high, reject_below, reject_above)
    if conformance((lower + upper) / 2, uncertainty, lower, upper).inside < level:
        return Zone(None, None, reject_below, reject_above)
    low = _edge(lower, upper, uncertainty, level, -1)
    return Zone(low, upper - (low - lower), reject_below, reject_above)


def _edge(limit: float, other: float | None, u: float, wanted: float, side: int) -> float:
    """The reading near `limit` (upper for side 1) at which P(inside) falls to `wanted`."""
    from scipy.optimize import brentq

    lower, upper = (limit, other) if side < 0 else (other, limit)
    middle = limit - side * 40 * u if other is None else (limit + other) / 2

    def surplus(reading: float) -> float:
        return conformance(reading, u, lower, upper).inside - wanted

    if surplus(middle) <= 0:
        return middle
    return float(brentq(surplus, middle, limit + side * 40 * u, xtol=1e-12 * u + 1e-300))


def global_risks(
    process_mean: float,
    process_spread: float,
    uncertainty: float,
    tolerance: tuple[float, float],
    acceptance: tuple[float, float],
) -> Risks:
    """Risks of accepting a bad part and of rejecting a good one, over a stream of parts.

    Args:
        process_mean: mean of the true sizes [any].
        process_spread: their standard deviation [same unit].
        uncertainty: standard uncertainty of a reading [same unit].
        tolerance: lower and upper limit (±inf where there is none) [same unit].
        acceptance: lower and upper limit of accepted readings [same unit].
    Returns:
        consumer's and producer's risk, share accepted, consumer's risk among the accepted [-].
    Valid: true sizes and readings normal.
    Raises: RangeError for spreads not above 0 or limits the wrong way round.
    Source: JCGM106 9.5.2 equations (21), (22).
    """
    if not (process_spread > 0 and uncertainty > 0):
        raise RangeError("uncertainty", uncertainty, "above 0, and a process spread above 0")
    _check_limits(*tolerance)
    z, weights = _quadrature(
        *(tuple((x - process_mean) / process_spread for x in p) for p in (tolerance, acceptance)),
        width=min(uncertainty / process_spread, 1.0),
    )
    sizes = process_mean + process_spread * z
    mass = weights * np.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)
    low, high = chances(sizes, uncertainty, *acceptance)
    good = (sizes >= tolerance[0]) & (sizes <= tolerance[1])
    kept = mass * (1 - low - high)
    consumer, accepted = float(kept[~good].sum()), float(kept.sum())
    producer = float((mass * (low + high))[good].sum())
    return Risks(consumer, producer, accepted, consumer / accepted if accepted > 0 else 0.0)


def _quadrature(*limits: tuple[float, ...], width: float) -> tuple[Floats, Floats]:
    """Gauss-Legendre nodes over ±9 spreads, panels cut at every limit and no wider than `width`."""
    cuts = sorted({-9.0, 9.0, *(x for pair in limits for x in pair if -9 < x < 9)})
    step = max(width, 1 / 2000)
    panels = [np.linspace(a, b, math.ceil((b - a) / step) + 1)[:-1] for a, b in pairwise(cuts)]
    edges = np.concatenate([*panels, np.array([9.0])])
    x, w = np.polynomial.legendre.leggauss(12)
    half, middle = np.diff(edges) / 2, (edges[1:] + edges[:-1]) / 2
    return (middle[:, None] + half[:, None] * x).ravel(), (half[:, None] * w).ravel()


def _check_limits(lower: float | None, upper: float | None) -> None:
    if lower is None and upper is None:
        raise MissingError("limits", "a lower or an upper limit", "It is not in the sheet.")
    if lower is not None and upper is not None and not lower < upper:
        raise RangeError("limits", (lower, upper), "the lower limit below the upper one")
