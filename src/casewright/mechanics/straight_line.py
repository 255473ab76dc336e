"""A straight line through readings by weighted least squares, with its uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from casewright.errors import RangeError


@dataclass(frozen=True, slots=True)
class StraightLine:
    """y = intercept + slope·x, with standard deviations and how well it fits."""

    intercept: float
    slope: float
    intercept_deviation: float
    slope_deviation: float
    residual_deviation: float
    r_squared: float
    degrees_of_freedom: int
    slope_half_width: float


def straight_line(
    x: ArrayLike, y: ArrayLike, weights: ArrayLike | None = None, confidence: float = 0.95
) -> StraightLine:
    """Least-squares line; slope = Σw(x−x̄)(y−ȳ)/Σw(x−x̄)², s_slope = s/√Σw(x−x̄)².

    Args:
        x: abscissae [unit of x], shape (n,).
        y: readings [unit of y], shape (n,).
        weights: relative weights, one for each reading, equal unless given [-], shape (n,).
        confidence: chance that the slope lies within its half width [-].
    Returns:
        intercept [y], slope [y/x], their standard deviations, the residual's, R² [-], and the
        half width of the slope by Student's t [y/x].
    Valid: three readings or more at two abscissae or more; independent errors in y only.
    Raises: RangeError for fewer readings, all at one abscissa, or weights not above zero.
    Source: DANIELS2015, precision of the mass-point slope; NIST-STRD for the checks.
    """
    at, value = np.asarray(x, float), np.asarray(y, float)
    weight = np.ones_like(at) if weights is None else np.asarray(weights, float)
    if len(at) < 3 or at.shape != value.shape or at.shape != weight.shape:
        raise RangeError("readings", len(at), "three or more pairs, one weight for each")
    if not np.all(weight > 0):
        raise RangeError("weights", float(weight.min()), "above zero")
    weight = weight * len(at) / weight.sum()
    centre, level = np.average(at, weights=weight), np.average(value, weights=weight)
    spread = float(np.sum(weight * (at - centre) ** 2))
    if not spread > 0:
        raise RangeError("abscissae", float(centre), "readings at two places or more")
    slope = float(np.sum(weight * (at - centre) * (value - level))) / spread
    residual = value - level - slope * (at - centre)
    squares, total = (
        float(np.sum(weight * residual**2)),
        float(np.sum(weight * (value - level) ** 2)),
    )
    freedom = len(at) - 2
    deviation = float(np.sqrt(squares / freedom))
    slope_deviation = deviation / float(np.sqrt(spread))
    return StraightLine(
        intercept=float(level - slope * centre),
        slope=slope,
        intercept_deviation=deviation * float(np.sqrt(1 / len(at) + centre**2 / spread)),
        slope_deviation=slope_deviation,
        residual_deviation=deviation,
        r_squared=1 - squares / total if total > 0 else 1.0,
        degrees_of_freedom=freedom,
        slope_half_width=_student(confidence, freedom) * slope_deviation,
    )


def _student(confidence: float, freedom: int) -> float:
    """Student's two-sided quantile; scipy's special functions only where they are needed."""
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 0.5 + confidence / 2))
