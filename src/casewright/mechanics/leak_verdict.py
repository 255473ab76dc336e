"""Leak, tight, or not proven yet: a sequential verdict with the time still needed.

Two hypotheses are weighed as readings come in: *tight*, no more than half of the limit, and
*leak*, one and a half times the limit or more. Between them lies indifference, where either
word does no harm. The log of their generalised likelihood ratio, each hypothesis standing for the
rate within it that suits the estimate best, is held against Wald's bounds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.leak_columns import DriftModel, Gauge
from casewright.mechanics.leak_estimate import History, leak_history
from casewright.mechanics.leak_log import LeakLog
from casewright.working import Term, Working

LEAK, TIGHT, NOT_PROVEN = "leak", "tight", "not proven yet"


@dataclass(frozen=True, slots=True)
class VerdictRules:
    """Bounds of the verdict; shares are of the limit, times in seconds."""

    tight_share: float = 0.5
    leak_share: float = 1.5
    false_tight: float = 0.003
    false_leak: float = 0.003
    # "Tight" waits for the gas to settle; a leak may be called as soon as it stands out.
    least_time_tight: float = 60.0
    least_steps: float = 2.0
    longest_time: float = 3600.0
    gross_share: float = 10.0


@dataclass(frozen=True, slots=True)
class LeakVerdict:
    """The word, when it fell, what stands behind it, and what is still missing."""

    word: str
    gross: bool
    seconds: float
    leak_rate: float
    uncertainty: float
    share_of_limit: float
    uncorrected_rate: float
    uncorrected_word: str
    time_still_needed: float | None
    correction_trusted: bool
    reasons: tuple[str, ...]
    working: Working


def log_likelihood_ratio(
    leak_rate: float,
    uncertainty: float,
    limit_rate: float,
    tight_share: float = 0.5,
    leak_share: float = 1.5,
) -> float:
    """How much better *leak* explains an estimate than *tight*; [(Q−Q_t)² − (Q−Q_l)²]/(2u²).

    Q_t = min(Q, aL) and Q_l = max(Q, bL) are the rates of each hypothesis nearest to the estimate;
    between aL and bL this is Wald's ratio of the two edges.

    Args:
        leak_rate: estimated leak rate Q [Pa·m³/s].
        uncertainty: its standard uncertainty u [Pa·m³/s].
        limit_rate: the limit L [Pa·m³/s].
        tight_share: a, the share of the limit that is called tight [-].
        leak_share: b, the share of the limit that is called a leak [-].
    Returns:
        natural log of the likelihood ratio, positive for a leak [-].
    Valid: an estimate with a normal error.
    Raises: RangeError for an uncertainty or limit not above zero.
    Source: WALD1945, ratio of two hypotheses; own: each at its rate nearest to the estimate.
    Example:
        >>> log_likelihood_ratio(1.0, 0.5, 1.0)
        0.0
    """
    if not (uncertainty > 0 and limit_rate > 0):
        raise RangeError("uncertainty and limit", (uncertainty, limit_rate), "above zero")
    against_tight = max(leak_rate - tight_share * limit_rate, 0.0)
    against_leak = max(leak_share * limit_rate - leak_rate, 0.0)
    return (against_tight**2 - against_leak**2) / (2 * uncertainty**2)


def wald_bounds(false_leak: float, false_tight: float) -> tuple[float, float]:
    """Bounds between which a sequential test goes on; ln(β/(1−α)) and ln((1−β)/α).

    Args:
        false_leak: α, chance wanted of calling a tight circuit leaking [-].
        false_tight: β, chance wanted of calling a leaking circuit tight [-].
    Returns:
        lower bound (tight at or below) and upper bound (leak at or above) [-].
    Valid: chances well under one half.
    Raises: RangeError for chances outside 0 to 0.5.
    Source: WALD1945, section on the bounds.
    Example:
        >>> [round(bound, 3) for bound in wald_bounds(0.01, 0.01)]
        [-4.595, 4.595]
    """
    for name, chance in (("false leak", false_leak), ("false tight", false_tight)):
        if not 0 < chance < 0.5:
            raise RangeError(name, chance, "a chance between 0 and 0.5")
    return math.log(false_tight / (1 - false_leak)), math.log((1 - false_tight) / false_leak)


def _ratios(history: History, limit_rate: float, rules: VerdictRules) -> np.ndarray:
    """Log likelihood ratio at each moment."""
    tight, leak = rules.tight_share * limit_rate, rules.leak_share * limit_rate
    q, u = history.leak_rate, history.uncertainty
    against_tight, against_leak = np.maximum(q - tight, 0.0), np.maximum(leak - q, 0.0)
    return np.asarray((against_tight**2 - against_leak**2) / (2 * u**2))


def _first_crossing(
    history: History, limit_rate: float, step_rate: float, rules: VerdictRules
) -> tuple[int, str]:
    """First moment at which a bound is crossed, with its word; the last moment if none."""
    low, high = wald_bounds(rules.false_leak, rules.false_tight)
    ratio = _ratios(history, limit_rate, rules)
    in_time = history.seconds <= rules.longest_time
    # At the limit the gauge must have had time to move, else "no change" says nothing.
    resolvable = history.seconds * limit_rate >= rules.least_steps * step_rate
    tight = (ratio <= low) & (history.seconds >= rules.least_time_tight) & resolvable & in_time
    leak = (ratio >= high) & (history.steps_seen >= rules.least_steps) & in_time
    called = np.flatnonzero(tight | leak)
    if not called.size:
        return len(history.seconds) - 1, NOT_PROVEN
    return int(called[0]), TIGHT if tight[called[0]] else LEAK


def _time_needed(
    history: History, limit_rate: float, step_rate: float, rules: VerdictRules
) -> float | None:
    """Seconds still needed if the estimate stays where it is; none if the cap comes first.

    The uncertainty of a slope falls between as 1/t (a stepping gauge, a steady drift) and as
    t^-1.5 (independent readings); the log's own course is used, kept within these.
    """
    now, u = float(history.seconds[-1]), float(history.uncertainty[-1])
    low, high = wald_bounds(rules.false_leak, rules.false_tight)
    # No circuit leaks backwards: an estimate below zero will come up.
    rate = max(float(history.leak_rate[-1]), 0.0)
    ratio = log_likelihood_ratio(rate, u, limit_rate, rules.tight_share, rules.leak_share)
    bound = high if ratio > 0 else -low
    shrink = math.sqrt(max(abs(ratio), 1e-6) / bound)
    half = int(np.searchsorted(history.seconds, now / 2))
    power = 1.0
    if half < len(history.seconds) - 1 and float(history.uncertainty[half]) > u:
        course = math.log(float(history.uncertainty[half]) / u)
        power = min(max(course / math.log(now / float(history.seconds[half])), 0.7), 1.5)
    by_spread = now * max(1 / shrink, 1.0) ** (1 / power)
    least = rules.least_time_tight if ratio < 0 else 0.0
    total = max(by_spread, least, rules.least_steps * step_rate / limit_rate)
    return total - now if total <= rules.longest_time else None


def _uncorrected_word(history: History, limit_rate: float) -> str:
    """What the bare gauge would have said at this moment."""
    return LEAK if float(history.uncorrected_rate[-1]) > limit_rate else TIGHT


def _until(history: History, index: int) -> History:
    """The history up to a moment."""
    return History(*(getattr(history, name)[: index + 1] for name in History.__dataclass_fields__))


def judge_leak(
    log: LeakLog,
    volume: float,
    gauge: Gauge,
    limit_rate: float,
    volume_uncertainty: float = 0.0,
    reference_temperature: float = 293.15,
    rules: VerdictRules | None = None,
    model: DriftModel | None = None,
    unlogged_drift: float | None = None,
) -> LeakVerdict:
    """The verdict that the log supports, at the first moment that it did; SPRT on the leak rate.

    Args:
        log: the readings so far [-].
        volume: volume of the circuit, hose and gauge included [m³].
        gauge: what the instruments can do [-].
        limit_rate: the limit at the start pressure [Pa·m³/s].
        volume_uncertainty: standard uncertainty of the volume; zero where the limit is printed as
            a drop in this same circuit, since the volume then cancels [m³].
        reference_temperature: temperature at which the throughput is counted [K].
        rules: bounds of the verdict [-].
        model: how the gas may follow the wall [-].
        unlogged_drift: as in `leak_history` [K].
    Returns:
        word, moment [s], leak rate and uncertainty [Pa·m³/s], time still needed [s] or none, and
        what the uncorrected gauge would have said [-].
    Valid: as `leak_history`; between the two shares of the limit either word may fall.
    Raises: RangeError for a limit not above zero; else as `leak_history`.
    Source: WALD1945, sequential test; own: least time, least gauge steps, cap.
    """
    if not limit_rate > 0:
        raise RangeError("limit leak rate", limit_rate, "above zero")
    rules = rules or VerdictRules()
    history = leak_history(
        log, volume, gauge, volume_uncertainty, reference_temperature, model, unlogged_drift,
        horizon=rules.longest_time,
    )  # fmt: skip
    step_rate = volume * gauge.resolution
    index, word = _first_crossing(history, limit_rate, step_rate, rules)
    history = _until(history, index)
    needed = _time_needed(history, limit_rate, step_rate, rules) if word == NOT_PROVEN else 0.0
    return _verdict(history, word, needed, limit_rate, log.temperature is not None, rules)


def _verdict(
    history: History,
    word: str,
    needed: float | None,
    limit_rate: float,
    logged: bool,
    rules: VerdictRules,
) -> LeakVerdict:
    """The verdict with its reasons and working."""
    rate, u = float(history.leak_rate[-1]), float(history.uncertainty[-1])
    raw, lag_part = float(history.uncorrected_rate[-1]), float(history.lag_uncertainty[-1])
    trusted = logged and lag_part <= max(0.5 * abs(raw - rate), 0.1 * limit_rate)
    gross = word == LEAK and rate - 2 * u > rules.gross_share * limit_rate
    return LeakVerdict(
        word=word,
        gross=gross,
        seconds=float(history.seconds[-1]),
        leak_rate=rate,
        uncertainty=u,
        share_of_limit=rate / limit_rate,
        uncorrected_rate=raw,
        uncorrected_word=_uncorrected_word(history, limit_rate),
        time_still_needed=needed,
        correction_trusted=trusted,
        reasons=_reasons(history, word, needed, limit_rate, trusted, gross),
        working=_working(history, limit_rate, rules),
    )


def _reasons(
    history: History,
    word: str,
    needed: float | None,
    limit_rate: float,
    trusted: bool,
    gross: bool,
) -> tuple[str, ...]:
    """Why the word fell, or didn't, in plain sentences."""
    reasons = []
    if gross:
        reasons.append("Gross leak: more than any cooling could take away.")
    if word != _uncorrected_word(history, limit_rate) and word != NOT_PROVEN:
        reasons.append("The bare gauge would have misled: the temperature moved it.")
    if not trusted:
        reasons.append("The correction for temperature is not trustworthy yet.")
    if word == NOT_PROVEN:
        if float(history.steps_seen[-1]) < 2:
            reasons.append("The gauge has hardly moved; it may be too coarse for this limit.")
        reasons.append(
            f"Hold about {needed:.0f} s more."
            if needed is not None
            else "Not provable within the longest test: let the case come to room temperature, "
            "use a finer gauge, or fill part of the volume."
        )
    return tuple(reasons)


def _working(history: History, limit_rate: float, rules: VerdictRules) -> Working:
    """The numbers behind the verdict."""
    rate, u = float(history.leak_rate[-1]), float(history.uncertainty[-1])
    low, high = wald_bounds(rules.false_leak, rules.false_tight)
    raw = float(history.uncorrected_rate[-1])
    return Working(
        method="sequential leak verdict",
        formula="[(Q−Q_t)² − (Q−Q_l)²]/(2u²) against Wald's bounds; Q = V·d/dt(p·T₀/T)",
        inputs=(
            Term("limit leak rate", limit_rate, "Pa·m³/s", "L"),
            Term("time", float(history.seconds[-1]), "s"),
        ),
        outputs=(
            Term("leak rate", rate, "Pa·m³/s", "Q"),
            Term("standard uncertainty", u, "Pa·m³/s", "u"),
            Term("log likelihood ratio", float(_ratios(history, limit_rate, rules)[-1])),
        ),
        steps=(
            Term("uncorrected rate", raw, "Pa·m³/s"),
            Term("drift from temperature", raw - rate, "Pa·m³/s"),
            Term("gas behind wall sensor", float(history.lag[-1]), "s"),
            Term("uncertainty from the lag", float(history.lag_uncertainty[-1]), "Pa·m³/s"),
            Term("tight at or below", low),
            Term("leak at or above", high),
        ),
        source="WALD1945; DANIELS2015; own lag model",
        estimate=True,
    )
