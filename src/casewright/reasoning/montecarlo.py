"""Propagation of distributions by Monte Carlo, where the measuring function isn't straight.

The generator is seeded from a digest that the caller gives (of the inputs), so that page,
terminal and book show the same figures.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from casewright.errors import InputError, RangeError, UnconvergedError

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Draw:
    """Distribution of one input: its centre, its standard uncertainty, its shape.

    Shapes: normal, rectangular, triangular, arcsine, and t, whose `standard_uncertainty` is the
    scale s/√n with `freedom` degrees.
    """

    centre: float
    standard_uncertainty: float
    shape: str = "normal"
    freedom: float = math.inf


@dataclass(frozen=True, slots=True)
class Distribution:
    """Mean, standard uncertainty and two coverage intervals of the result."""

    mean: float
    standard_uncertainty: float
    low: float
    high: float
    shortest_low: float
    shortest_high: float
    level: float
    draws: int


@dataclass(frozen=True, slots=True)
class Validation:
    """Whether the first-order interval agrees with Monte Carlo within the tolerance."""

    agrees: bool
    tolerance: float
    low_difference: float
    high_difference: float


def generator(digest: str) -> np.random.Generator:
    """Random generator that follows from a digest of the inputs.

    Args:
        digest: any text that stands for the inputs [-].
    Returns:
        the generator [-].
    Valid: the same text gives the same draws with the same numpy version.
    Raises: nothing.
    Source: own.
    """
    return np.random.Generator(np.random.PCG64(int.from_bytes(sha256(digest.encode()).digest())))


def sample(draw: Draw, count: int, random: np.random.Generator) -> Floats:
    """Draws from one input's distribution.

    Args:
        draw: the distribution [any].
        count: how many [-].
        random: the generator [-].
    Returns:
        shape (count,) [same unit].
    Valid: shapes named in `Draw`.
    Raises: InputError for another shape.
    Source: JCGM101 6.4.
    """
    return draw.centre + draw.standard_uncertainty * _unit(draw, count, random)


def _unit(draw: Draw, count: int, random: np.random.Generator) -> Floats:
    """Draws with centre 0 and standard deviation 1 (scale 1 for t)."""
    if draw.shape == "normal":
        return random.standard_normal(count)
    if draw.shape == "rectangular":
        return random.uniform(-math.sqrt(3), math.sqrt(3), count)
    if draw.shape == "triangular":
        return np.asarray(math.sqrt(6) * (random.random(count) - random.random(count)))
    if draw.shape == "arcsine":
        return math.sqrt(2) * np.asarray(np.sin(2 * math.pi * random.random(count)))
    if draw.shape == "t":
        return random.standard_t(draw.freedom, count)
    raise InputError("shape", draw.shape, "normal, rectangular, triangular, arcsine or t")


def correlated_normals(
    centres: Sequence[float], covariance: Floats, count: int, random: np.random.Generator
) -> Floats:
    """Draws from a joint normal distribution.

    Args:
        centres: means [any], shape (n,).
        covariance: of the inputs [products of their units], shape (n, n).
        count: how many draws [-].
        random: the generator [-].
    Returns:
        shape (n, count) [units of the inputs].
    Valid: covariance without negative eigenvalues.
    Raises: RangeError otherwise.
    Source: JCGM101 6.4.8.
    """
    values, vectors = np.linalg.eigh(np.asarray(covariance, float))
    if values.min() < -1e-9 * abs(values).max():
        raise RangeError("covariance", values.tolist(), "no negative eigenvalue")
    root = vectors * np.sqrt(np.clip(values, 0, None))
    drawn = random.standard_normal((len(values), count))
    return np.asarray(np.asarray(centres, float)[:, None] + root @ drawn)


def simulate(
    function: Callable[..., Floats],
    inputs: Sequence[Draw],
    digest: str,
    draws: int = 200_000,
    level: float = 0.95,
) -> Distribution:
    """Distribution of function(inputs) with a fixed number of draws.

    Args:
        function: takes one array per input, returns an array [any].
        inputs: their distributions [any].
        digest: text that stands for the inputs; seeds the draws [-].
        draws: number of trials [-].
        level: coverage probability [-].
    Returns:
        mean, standard uncertainty and coverage intervals [unit of the result].
    Valid: independent inputs; 10 000 draws or more.
    Raises: RangeError for too few draws.
    Source: JCGM101 7.
    """
    if draws < 10_000:
        raise RangeError("draws", draws, "10 000 or more")
    random = generator(digest)
    return describe(function(*(sample(item, draws, random) for item in inputs)), level)


def describe(values: Floats, level: float = 0.95) -> Distribution:
    """Mean, standard deviation, symmetric and shortest coverage interval of draws.

    Args:
        values: results of the trials [any], shape (draws,).
        level: coverage probability [-].
    Returns:
        the distribution [same unit].
    Valid: 0 < level < 1.
    Raises: RangeError outside it.
    Source: JCGM101 7.6, 7.7 and 5.3.4 (shortest interval).
    """
    if not 0 < level < 1:
        raise RangeError("level", level, "between 0 and 1")
    ordered = np.sort(values)
    inside = round(level * ordered.size)
    low, high = np.quantile(ordered, [(1 - level) / 2, (1 + level) / 2])
    widths = ordered[inside:] - ordered[: ordered.size - inside]
    start = int(widths.argmin())
    return Distribution(
        float(ordered.mean()),
        float(ordered.std(ddof=1)),
        float(low),
        float(high),
        float(ordered[start]),
        float(ordered[start + inside]),
        level,
        ordered.size,
    )


def simulate_until(
    function: Callable[..., Floats],
    inputs: Sequence[Draw],
    digest: str,
    digits: int = 2,
    level: float = 0.95,
    most_blocks: int = 400,
) -> Distribution:
    """Monte Carlo in blocks of 10 000 until the figures are steady to the digits wanted.

    Args:
        function: takes one array per input, returns an array [any].
        inputs: their distributions [any].
        digest: text that seeds the draws [-].
        digits: significant digits of the standard uncertainty [-].
        level: coverage probability [-].
        most_blocks: where to give up [-].
    Returns:
        the distribution of all draws [unit of the result].
    Valid: independent inputs.
    Raises: UnconvergedError after `most_blocks` blocks.
    Source: JCGM101 7.9 (adaptive procedure).
    """
    random = generator(digest)
    blocks: list[Floats] = []
    rows: list[tuple[float, ...]] = []
    while len(blocks) < most_blocks:
        blocks.append(function(*(sample(item, 10_000, random) for item in inputs)))
        block = describe(blocks[-1], level)
        rows.append((block.mean, block.standard_uncertainty, block.low, block.high))
        if len(rows) < 2:
            continue
        spread = np.std(rows, axis=0, ddof=1) / math.sqrt(len(rows))
        tolerance = numerical_tolerance(float(np.mean([row[1] for row in rows])), digits)
        if 2 * spread.max() < tolerance:
            return describe(np.concatenate(blocks), level)
    raise UnconvergedError("Monte Carlo", spread=float(spread.max()), tolerance=tolerance)


def numerical_tolerance(uncertainty: float, digits: int = 2) -> float:
    """Half of the last digit of u written with so many significant digits, δ = ½·10^l.

    Args:
        uncertainty: u [any].
        digits: significant digits, 1 or 2 [-].
    Returns:
        δ [same unit].
    Valid: u > 0.
    Raises: RangeError otherwise.
    Source: JCGM101 7.9.2.
    Example:
        >>> numerical_tolerance(0.35)
        0.005
    """
    if not uncertainty > 0:
        raise RangeError("uncertainty", uncertainty, "above 0")
    power = math.floor(math.log10(uncertainty)) - digits + 1
    if round(uncertainty / 10.0**power) >= 10**digits:
        power += 1
    return 0.5 * 10.0**power


def validate(value: float, expanded: float, simulated: Distribution, digits: int = 2) -> Validation:
    """Whether y ± U and the Monte Carlo interval differ by no more than δ at either end.

    Args:
        value: y of the first-order budget [any].
        expanded: its U at the same level [same unit].
        simulated: the Monte Carlo result [same unit].
        digits: digits to which u is meant [-].
    Returns:
        agreement, δ and the two differences [same unit].
    Valid: same coverage probability on both sides.
    Raises: nothing.
    Source: JCGM101 8.1.
    """
    tolerance = numerical_tolerance(simulated.standard_uncertainty, digits)
    low = abs(value - expanded - simulated.low)
    high = abs(value + expanded - simulated.high)
    return Validation(max(low, high) <= tolerance, tolerance, low, high)
