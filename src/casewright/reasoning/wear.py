"""Hours to the limit from two dated readings of one piece, with what the readings can't tell."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.working import Term, Working


@dataclass(frozen=True, slots=True)
class WearLife:
    """Wear rate and hours left, all counted from the later reading.

    `even_chance`: at this many hours it is as likely worn past the limit as not. `cautious`: one
    in ten would be past it earlier; `hopeful`: nine in ten. None: never, as far as the readings
    can tell. `wearing_chance`: chance that it wears towards the limit at all.
    """

    rate: float
    rate_uncertainty: float
    even_chance: float | None
    cautious: float | None
    hopeful: float | None
    past_now: float
    wearing_chance: float
    working: Working


@dataclass(frozen=True, slots=True)
class _Line:
    """Size now and rate as a joint normal, turned so that wear counts upwards to `room`."""

    room: float
    rate: float
    room_variance: float
    rate_variance: float
    covariance: float


def hours_to_limit(
    earlier: float,
    earlier_uncertainty: float,
    later: float,
    later_uncertainty: float,
    hours_between: float,
    limit: float,
    correlation: float = 0.0,
    rate_spread: float = 0.0,
) -> WearLife:
    """Hours until the limit by a straight line through two readings, with their uncertainty.

    Args:
        earlier: first reading [m].
        earlier_uncertainty: its standard uncertainty [m].
        later: second reading [m].
        later_uncertainty: its standard uncertainty [m].
        hours_between: service time between them [s].
        limit: wear limit [m]; beyond the later reading in the direction of wear.
        correlation: of the two readings (same instrument: its calibration is in both) [-].
        rate_spread: relative spread of the rate from duty to duty [-].
    Returns:
        rate [m/s], service times left [s], chances [-].
    Valid: even wear at like duty; an estimate. Times are exact percentiles of the joint normal
        line (Fieller's construction), so that they may have no upper end.
    Raises: RangeError for times, uncertainties or a correlation outside their range.
    Source: FIELLER1954; joint normal line by JCGM106 7.
    """
    _check(hours_between, earlier_uncertainty, later_uncertainty, correlation, rate_spread)
    side = 1.0 if limit >= (earlier + later) / 2 else -1.0
    rate = side * (later - earlier) / hours_between
    mixed = correlation * earlier_uncertainty * later_uncertainty
    variance = (earlier_uncertainty**2 + later_uncertainty**2 - 2 * mixed) / hours_between**2
    line = _Line(
        side * (limit - later),
        rate,
        later_uncertainty**2,
        variance + (rate_spread * rate) ** 2,
        (later_uncertainty**2 - mixed) / hours_between,
    )
    times = {share: _time_at(line, share) for share in (0.1, 0.5, 0.9)}
    return WearLife(
        side * rate,
        math.sqrt(line.rate_variance),
        times[0.5],
        times[0.1],
        times[0.9],
        _chance_past(line, 0.0),
        _normal(rate / math.sqrt(line.rate_variance)),
        _working(line, side, times),
    )


def _check(hours: float, u1: float, u2: float, correlation: float, spread: float) -> None:
    if not hours > 0:
        raise RangeError("hours_between", hours, "service time above 0 between the readings")
    if not (u1 > 0 and u2 > 0 and spread >= 0):
        raise RangeError("uncertainty", (u1, u2, spread), "standard uncertainties above 0")
    if not -1 < correlation < 1:
        raise RangeError("correlation", correlation, "between -1 and 1")


def _chance_past(line: _Line, time: float) -> float:
    """Chance that the piece is past its limit after `time` more."""
    variance = line.room_variance + 2 * time * line.covariance + time**2 * line.rate_variance
    return _normal((line.rate * time - line.room) / math.sqrt(variance))


def _time_at(line: _Line, share: float) -> float | None:
    """Time at which the chance of being past the limit first reaches `share`; None if never."""
    from scipy.optimize import brentq

    if _chance_past(line, 0.0) >= share:
        return 0.0
    if _normal(line.rate / math.sqrt(line.rate_variance)) <= share:
        return None
    scale = abs(line.room) / (abs(line.rate) + math.sqrt(line.rate_variance))
    scale += math.sqrt(line.room_variance / line.rate_variance)
    while _chance_past(line, scale) < share:
        scale *= 2
    return float(brentq(lambda t: _chance_past(line, t) - share, 0.0, scale, xtol=1e-9 * scale))


def _normal(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def _working(line: _Line, side: float, times: dict[float, float | None]) -> Working:
    left = times[0.5]
    return Working(
        "hours to the limit",
        "rate = (later - earlier)/hours; chance past the limit after t = Φ((rate·t - room)/u(t))",
        (Term("room to the limit", line.room, "m"), Term("rate", side * line.rate, "m/s")),
        () if left is None else (Term("even chance", left, "s"),),
        "straight line through two readings; percentiles of the joint normal line",
        (Term("standard uncertainty of the rate", math.sqrt(line.rate_variance), "m/s"),),
        ("Even wear at like duty is assumed.",),
        estimate=True,
    )
