"""Means, variances and distribution functions of a quote's unknowns, in closed form."""

from __future__ import annotations

import math

from casewright.reasoning.quote_draws import (
    Beta,
    Chance,
    Count,
    Given,
    Lognormal,
    Smooth,
    Spread,
    Triangular,
    Unknowns,
)


def moments(spread: Spread, unknowns: Unknowns) -> tuple[float, float]:
    """Mean and variance of one unknown in closed form.

    Args:
        spread: its spread [any unit].
        unknowns: all unknowns, for the parent of a `Given` [-].
    Returns:
        mean and variance [unit, unit²].
    Valid: any spread.
    Raises: nothing.
    Source: JCG101 clause 6.4 (triangular, normal); own: lognormal, beta, counts.
    """
    match spread:
        case Chance(chance):
            return chance, chance * (1 - chance)
        case Given(parent, if_yes, if_no):
            up = moments(unknowns[parent], unknowns)[0]
            chance = up * if_yes + (1 - up) * if_no
            return chance, chance * (1 - chance)
        case Count(values, chances):
            mean = math.fsum(v * c for v, c in zip(values, chances, strict=True))
            square = math.fsum(v * v * c for v, c in zip(values, chances, strict=True))
            return mean, square - mean * mean
        case Lognormal(median, sigma):
            mean = median * math.exp(sigma * sigma / 2)
            return mean, mean * mean * math.expm1(sigma * sigma)
        case Beta(low, likely, high):
            mean = (low + 4 * likely + high) / 6
            return mean, (mean - low) * (high - mean) / 7
        case Triangular(low, likely, high):
            a, m, b = low, likely, high
            return (a + m + b) / 3, (a * a + m * m + b * b - a * m - a * b - m * b) / 18


def not_above(spread: Smooth, value: float) -> float:
    """Chance that a smooth unknown is not above `value`: its distribution function.

    Args:
        spread: triangular, beta or lognormal [any unit].
        value: where [same unit].
    Returns:
        chance [-].
    Valid: any value.
    Raises: nothing.
    Source: own: closed forms; incomplete beta from scipy.
    """
    if isinstance(spread, Lognormal):
        if value <= 0:
            return 0.0
        return 0.5 * math.erfc(-math.log(value / spread.median) / (spread.sigma * math.sqrt(2)))
    low, likely, high = spread.low, spread.likely, spread.high
    if value < low or value >= high:
        return float(value >= high)
    width = high - low
    if isinstance(spread, Beta):
        from scipy.special import betainc

        first, last = 1 + 4 * (likely - low) / width, 1 + 4 * (high - likely) / width
        return float(betainc(first, last, (value - low) / width))
    if value < likely:
        return (value - low) ** 2 / (width * (likely - low))
    return 1 - (high - value) ** 2 / (width * (high - likely))
