"""Uncertainty of a reading by the GUM: components, their combination, degrees of freedom.

A `Component` is one input of the budget as a standard uncertainty with its sensitivity; a
`Budget` is the reading with all of them and what follows.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import MissingError, RangeError
from casewright.working import Term, Working

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Component:
    """One uncertain input: standard uncertainty, sensitivity, freedom, type A or B."""

    name: str
    standard_uncertainty: float
    degrees_of_freedom: float = math.inf
    kind: str = "B"
    sensitivity: float = 1.0

    @property
    def contribution(self) -> float:
        """|c|·u, in the unit of the result."""
        return abs(self.sensitivity) * self.standard_uncertainty


@dataclass(frozen=True, slots=True)
class Budget:
    """A value with its combined and expanded uncertainty, and the components behind them."""

    value: float
    components: tuple[Component, ...]
    standard_uncertainty: float
    degrees_of_freedom: float
    coverage_factor: float
    expanded_uncertainty: float
    level: float
    working: Working


@dataclass(frozen=True, slots=True)
class Summary:
    """Mean, sample standard deviation, lag-1 autocorrelation and standard error of repeats."""

    count: int
    mean: float
    standard_deviation: float
    autocorrelation: float
    standard_error: float


@dataclass(frozen=True, slots=True)
class Propagated:
    """Results of a measuring function with their covariance, and its sensitivities."""

    values: Floats
    covariance: Floats
    sensitivities: Floats

    @property
    def standard_uncertainties(self) -> Floats:
        """√ of the diagonal."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def correlation(self) -> Floats:
        """Correlation matrix of the results."""
        u = self.standard_uncertainties
        return np.asarray(self.covariance / np.outer(u, u))


def summary(values: Sequence[float]) -> Summary:
    """Mean, standard deviation s, lag-1 autocorrelation and s/√n of repeats.

    Args:
        values: repeats in the order taken [any], shape (n,).
    Returns:
        statistics [same unit; autocorrelation -].
    Valid: n >= 2; sums are taken about the first value, so that leading digits don't cost any.
    Raises: MissingError for fewer than two values.
    Source: JCGM100 4.2; autocorrelation as certified by STRD.
    Example:
        >>> summary([10000001, 10000003, 10000002]).standard_deviation
        1.0
    """
    if len(values) < 2:
        raise MissingError("values", "at least two repeats", "Read once more.")
    shifted = [value - values[0] for value in values]
    mean = math.fsum(shifted) / len(values)
    rest = [value - mean for value in shifted]
    squares = math.fsum(r * r for r in rest)
    lagged = math.fsum(a * b for a, b in pairwise(rest))
    deviation = math.sqrt(squares / (len(values) - 1))
    autocorrelation = lagged / squares if squares > 0 else 0.0
    error = deviation / math.sqrt(len(values))
    return Summary(len(values), values[0] + mean, deviation, autocorrelation, error)


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a value that lies anywhere within ±a: a/√3.

    Args:
        half_width: a [any].
    Returns:
        standard uncertainty [same unit].
    Valid: a >= 0.
    Raises: RangeError for a negative half-width.
    Source: JCGM100 4.3.7.
    """
    return _not_negative("half_width", half_width) / math.sqrt(3)


def triangular(half_width: float) -> float:
    """Standard uncertainty of a value within ±a, likelier near the middle: a/√6.

    Args:
        half_width: a [any].
    Returns:
        standard uncertainty [same unit].
    Valid: a >= 0.
    Raises: RangeError for a negative half-width.
    Source: JCGM100 4.3.9.
    """
    return _not_negative("half_width", half_width) / math.sqrt(6)


def arcsine(half_width: float) -> float:
    """Standard uncertainty of a value that swings between ±a, such as a room's temperature: a/√2.

    Args:
        half_width: a [any].
    Returns:
        standard uncertainty [same unit].
    Valid: a >= 0.
    Raises: RangeError for a negative half-width.
    Source: JCGM100 H.1.3.4 (cyclic temperature).
    """
    return _not_negative("half_width", half_width) / math.sqrt(2)


def from_resolution(resolution: float) -> float:
    """Standard uncertainty that a display's last step leaves: d/(2√3).

    Args:
        resolution: d, the step of the display or the part of a division that is read [any].
    Returns:
        standard uncertainty [same unit].
    Valid: d >= 0.
    Raises: RangeError for a negative resolution.
    Source: JCGM100 F.2.2.1.
    """
    return rectangular(resolution / 2)


def combine(
    sensitivities: Sequence[float],
    uncertainties: Sequence[float],
    correlation: Sequence[Sequence[float]] | None = None,
) -> float:
    """Combined standard uncertainty, u_c² = Σ Σ c_i c_j u_i u_j r_ij.

    Args:
        sensitivities: c_i [result per input], shape (n,).
        uncertainties: u_i [input], shape (n,).
        correlation: r_ij [-], shape (n, n); none where inputs are independent.
    Returns:
        u_c [result].
    Valid: first order: the model nearly straight within the uncertainties.
    Raises: RangeError for a matrix that is no correlation matrix.
    Source: JCGM100 5.1.2 equation (10), 5.2.2 equation (16).
    """
    parts = np.asarray(sensitivities, float) * np.asarray(uncertainties, float)
    if correlation is None:
        return float(np.sqrt(parts @ parts))
    matrix = np.asarray(correlation, float)
    _check_correlation(matrix, parts.size)
    return float(np.sqrt(max(parts @ matrix @ parts, 0.0)))


def _check_correlation(matrix: Floats, size: int) -> None:
    right = matrix.shape == (size, size) and np.allclose(matrix, matrix.T)
    right = right and np.allclose(np.diag(matrix), 1)
    if not right or np.linalg.eigvalsh(matrix).min() < -1e-9:
        raise RangeError(
            "correlation",
            matrix.tolist(),
            "a symmetric matrix with 1 on its diagonal, no eigenvalue below 0",
            "Correlations that can't hold together were given.",
        )


def effective_freedom(contributions: Sequence[float], freedoms: Sequence[float]) -> float:
    """Effective degrees of freedom (Welch and Satterthwaite), u_c⁴ / Σ u_i⁴/ν_i.

    Args:
        contributions: |c_i| u_i [result], shape (n,).
        freedoms: ν_i [-], infinite where u_i is taken as exactly known.
    Returns:
        ν_eff, not truncated [-]; infinite where every ν_i that counts is.
    Valid: independent inputs only.
    Raises: RangeError for ν_i not above 0.
    Source: JCGM100 G.4.1 equation (G.2b).
    """
    if any(freedom <= 0 for freedom in freedoms):
        raise RangeError("freedoms", list(freedoms), "degrees of freedom above 0")
    pairs = list(zip(contributions, freedoms, strict=True))
    below = math.fsum(u**4 / nu for u, nu in pairs)
    return math.fsum(u**2 for u, _ in pairs) ** 2 / below if below > 0 else math.inf


def coverage_factor(freedom: float, level: float = 0.95) -> float:
    """Coverage factor t_p(ν), ν truncated to the next lower integer.

    Args:
        freedom: ν_eff [-].
        level: coverage probability p [-].
    Returns:
        t_p(ν) [-].
    Valid: ν >= 1, 0 < p < 1.
    Raises: RangeError outside it.
    Source: JCGM100 G.3.4, G.4.1 note 1.
    Example:
        >>> round(coverage_factor(16.64, 0.99), 3)
        2.921
    """
    from scipy.special import ndtri, stdtrit

    if not (freedom >= 1 and 0 < level < 1):
        raise RangeError("freedom, level", (freedom, level), "ν of 1 or more, 0 < p < 1")
    tail = (1 + level) / 2
    if math.isinf(freedom):
        return float(ndtri(tail))
    return float(stdtrit(math.floor(freedom), tail))


def covariance_of_means(observations: Sequence[Sequence[float]]) -> Propagated:
    """Means of quantities that were read together, with the covariance of the means.

    Args:
        observations: one row of n simultaneous readings for each quantity [any], shape (k, n).
    Returns:
        means, covariance of the means, unit sensitivities [units of the rows].
    Valid: n >= 2.
    Raises: MissingError for fewer than two readings.
    Source: JCGM100 5.2.3 equation (17).
    """
    rows = np.asarray(observations, float)
    if rows.ndim != 2 or rows.shape[1] < 2:
        raise MissingError("observations", "rows of at least two readings taken together")
    covariance = np.atleast_2d(np.cov(rows)) / rows.shape[1]
    return Propagated(rows.mean(axis=1), covariance, np.eye(len(rows)))


def propagate(
    function: Callable[[Floats], ArrayLike], values: Sequence[float], covariance: ArrayLike
) -> Propagated:
    """Values and covariance of a measuring function, J·V·Jᵀ with J by central differences.

    Args:
        function: inputs, shape (n,) → results, shape (m,) or one number [any].
        values: input estimates [any], shape (n,).
        covariance: of the inputs [products of their units], shape (n, n) or the u_i, shape (n,).
    Returns:
        results, their covariance and sensitivities J, shape (m, n) [units of the results].
    Valid: first order; see `montecarlo` for a check.
    Raises: RangeError for a covariance with a negative variance.
    Source: JCGM100 5.1.3 note 2 (numerical sensitivities), H.2.3; JCGM102 6.2.
    """
    matrix = np.asarray(covariance, float)
    matrix = np.diag(matrix**2) if matrix.ndim == 1 else matrix
    if np.any(np.diag(matrix) < 0):
        raise RangeError("covariance", np.diag(matrix).tolist(), "variances of 0 or more")
    at = np.asarray(values, float)
    middle = np.atleast_1d(np.asarray(function(at), float))
    steps = 0.1 * np.sqrt(np.diag(matrix))
    jacobian = np.zeros((middle.size, at.size))
    for column in np.flatnonzero(steps):
        step = np.zeros_like(at)
        step[column] = steps[column]
        change = np.asarray(function(at + step), float) - np.asarray(function(at - step), float)
        jacobian[:, column] = change / (2 * steps[column])
    return Propagated(middle, jacobian @ matrix @ jacobian.T, jacobian)


def budget(
    value: float,
    components: Sequence[Component],
    level: float = 0.95,
    unit: str = "",
    notes: Sequence[str] = (),
) -> Budget:
    """Combined, effective degrees of freedom, expanded uncertainty U = t_p(ν_eff)·u_c.

    Args:
        value: the estimate [any].
        components: independent components [same unit after their sensitivity].
        level: coverage probability [-].
        unit: SI unit of the value, for the working [-].
        notes: words to carry along in the working [-].
    Returns:
        the budget [same unit].
    Valid: independent components.
    Raises: MissingError without a component; RangeError where ν_eff falls below 1.
    Source: JCGM100 5.1, G.4, 8.
    """
    if not components:
        raise MissingError("components", "at least one source of uncertainty")
    contributions = [part.contribution for part in components]
    combined = math.sqrt(math.fsum(c * c for c in contributions))
    freedom = effective_freedom(contributions, [p.degrees_of_freedom for p in components])
    factor = coverage_factor(freedom, level)
    working = Working(
        "uncertainty of a reading",
        "u² = Σ (c_i u_i)²; U = t_p(ν_eff)·u",
        tuple(Term(p.name, p.contribution, unit) for p in components),
        (
            Term("standard uncertainty", combined, unit, "u"),
            Term("expanded uncertainty", factor * combined, unit, "U"),
        ),
        "JCGM 100:2008, 5.1 and G.4",
        (
            Term("effective degrees of freedom", freedom, "", "ν_eff"),
            Term("coverage factor", factor, "", "k"),
        ),
        tuple(notes),
    )
    return Budget(
        value, tuple(components), combined, freedom, factor, factor * combined, level, working
    )


def _not_negative(field: str, value: float) -> float:
    if not value >= 0:
        raise RangeError(field, value, "0 or more")
    return value
