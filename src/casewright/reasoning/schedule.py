"""Networks of activities: critical path, three-point (PERT) estimate, simulation.

Any one unit of time will do as long as it is the same throughout; quotes use days.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import FormErrors, InputError, MissingError, RangeError

Floats = NDArray[np.float64]
After = Mapping[str, Sequence[str]]


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """Shortest, likely and longest duration of one activity, and what must be done before."""

    name: str
    low: float
    likely: float
    high: float
    after: tuple[str, ...] = ()

    @property
    def mean(self) -> float:
        """(a + 4 m + b) / 6."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def variance(self) -> float:
        """((b - a) / 6)²."""
        return ((self.high - self.low) / 6) ** 2


@dataclass(frozen=True, slots=True)
class Times:
    """Earliest and latest start and finish of each activity, slack, and the critical path."""

    early_start: Mapping[str, float]
    early_finish: Mapping[str, float]
    late_start: Mapping[str, float]
    late_finish: Mapping[str, float]
    slack: Mapping[str, float]
    critical: tuple[str, ...]
    duration: float


@dataclass(frozen=True, slots=True)
class PertEstimate:
    """Critical path of mean durations; its variance taken alone, which flatters the date."""

    times: Times
    duration: float
    variance: float
    critical: tuple[str, ...]

    @property
    def standard_deviation(self) -> float:
        """Root of the variance along the critical path."""
        return math.sqrt(self.variance)


@dataclass(frozen=True, slots=True)
class SimulatedTimes:
    """Finish of the whole over many draws; how often each activity was on the critical path."""

    mean: float
    even_chance: float
    one_in_ten_later: float
    critical_share: Mapping[str, float]
    finish: Floats

    def chance_by(self, due: float) -> float:
        """Share of draws that are ready by `due`."""
        return float(np.mean(self.finish <= due))


def working_order(after: After) -> tuple[str, ...]:
    """An order in which every activity comes after all that it waits for.

    Args:
        after: activity to the activities that must be done before it [-].
    Returns:
        names in order [-].
    Valid: any network without a circle.
    Raises: FormErrors naming every unknown predecessor, or every activity in a circle.
    Source: KEL59 (activity networks); own: repeated taking of what waits for nothing.
    Example:
        >>> working_order({"b": ["a"], "a": []})
        ('a', 'b')
    """
    unknown: list[InputError] = [
        MissingError(f"{name}: after {before}", "an activity of this name")
        for name, befores in after.items()
        for before in befores
        if before not in after
    ]
    if unknown:
        raise FormErrors("activities", unknown)
    done: dict[str, None] = {}
    while len(done) < len(after):
        ready = [
            name for name in after if name not in done and all(each in done for each in after[name])
        ]
        if not ready:
            stuck = ", ".join(name for name in after if name not in done)
            fault = RangeError("activities", stuck, "none that waits for itself through others")
            raise FormErrors("activities", [fault])
        done.update(dict.fromkeys(ready))
    return tuple(done)


def finish_times(
    durations: Mapping[str, Floats | float], after: After, order: Sequence[str] | None = None
) -> dict[str, Floats]:
    """Earliest finish of each activity: latest finish before it + its own duration, vectorised.

    Args:
        durations: activity to duration [any one unit], scalar or array of draws.
        after: activity to the activities before it [-].
        order: their `working_order` [-], where it is known already.
    Returns:
        activity to earliest finish [unit of the durations], arrays as broadcast.
    Valid: durations of zero or more.
    Raises: FormErrors for circles and unknown names.
    Source: KEL59: the forward pass.
    """
    finish: dict[str, Floats] = {}
    for name in order or working_order(after):
        first, *others = after[name] or ("",)
        start = finish.get(first, 0.0)
        for before in others:
            start = np.maximum(start, finish[before])
        finish[name] = np.asarray(start + durations[name], dtype=float)
    return finish


def critical_path(durations: Mapping[str, float], after: After) -> Times:
    """Earliest and latest times, slack = latest - earliest start, critical = no slack.

    Args:
        durations: activity to duration [any one unit].
        after: activity to the activities before it [-].
    Returns:
        times [unit of the durations].
    Valid: durations of zero or more.
    Raises: FormErrors for circles, unknown names and durations below zero.
    Source: KEL59: forward and backward pass.
    """
    bad: list[InputError] = [
        RangeError(f"duration of {name}", value, "zero or more")
        for name, value in durations.items()
        if not value >= 0
    ]
    if bad:
        raise FormErrors("activities", bad)
    order = working_order(after)
    finish = {name: float(value) for name, value in finish_times(durations, after).items()}
    total = max(finish.values(), default=0.0)
    late = dict.fromkeys(order, total)
    for name in reversed(order):
        for before in after[name]:
            late[before] = min(late[before], late[name] - durations[name])
    slack = {name: late[name] - finish[name] for name in order}
    return Times(
        early_start={name: finish[name] - durations[name] for name in order},
        early_finish=finish,
        late_start={name: late[name] - durations[name] for name in order},
        late_finish=late,
        slack=slack,
        critical=tuple(name for name in order if slack[name] <= 1e-9 * max(1.0, total)),
        duration=total,
    )


def pert(activities: Sequence[ThreePoint]) -> PertEstimate:
    """Three-point estimate: mean (a+4m+b)/6, variance ((b-a)/6)² summed along the critical path.

    Args:
        activities: three-point durations with what comes before [any one unit].
    Returns:
        duration, variance and critical path [unit, unit²].
    Valid: one path clearly longest; else the chance of being ready is too rosy (merge bias).
    Raises: FormErrors for bad points, circles and unknown names.
    Source: MAL59: three-point means and variances along the critical path.
    """
    _check(activities)
    after = {each.name: each.after for each in activities}
    times = critical_path({each.name: each.mean for each in activities}, after)
    by_name = {each.name: each for each in activities}
    path = _one_path(times, after)
    variance = sum(by_name[name].variance for name in path)
    return PertEstimate(times, times.duration, variance, path)


def chance_by(estimate: PertEstimate, due: float) -> float:
    """Chance that all is done by `due`: Φ((due - T) / σ) along the critical path alone.

    Args:
        estimate: the three-point estimate [any one unit].
        due: when it should be done [same unit].
    Returns:
        chance [-].
    Valid: optimistic where other paths are nearly as long; `simulate` shows by how much.
    Raises: nothing.
    Source: MAL59: normal approximation of the sum.
    """
    if estimate.variance == 0:
        return float(due >= estimate.duration)
    z = (due - estimate.duration) / estimate.standard_deviation
    return 0.5 * math.erfc(-z / math.sqrt(2))


def simulate(activities: Sequence[ThreePoint], seed: int, samples: int = 100_000) -> SimulatedTimes:
    """Finish times with durations drawn from beta(1+4(m-a)/(b-a), 1+4(b-m)/(b-a)), vectorised.

    Args:
        activities: three-point durations with what comes before [any one unit].
        seed: of the draws; the same seed and activity give the same durations [-].
        samples: number of draws [-].
    Returns:
        mean, even chance, one in ten later, critical shares, all finishes [unit].
    Valid: independent durations.
    Raises: FormErrors for bad points, circles and unknown names.
    Source: SLY63 (merge bias shown by simulation); own: the beta of PERT with its mean and mode.
    """
    _check(activities)
    after = {each.name: each.after for each in activities}
    durations = {
        each.name: draw_beta(stream(seed, each.name), each.low, each.likely, each.high, samples)
        for each in activities
    }
    finish = finish_times(durations, after)
    total = np.max(np.stack(list(finish.values())), axis=0)
    even, late = np.quantile(total, [0.5, 0.9])
    return SimulatedTimes(
        mean=float(total.mean()),
        even_chance=float(even),
        one_in_ten_later=float(late),
        critical_share=_critical_shares(durations, finish, after, total),
        finish=total,
    )


def estimate_from_table(
    activities: Mapping[str, Sequence[float]],
    after: After,
    due: float | None = None,
    seed: int = 1,
    samples: int = 0,
) -> dict[str, object]:
    """Three-point estimate and, where samples are asked for, its simulation, from plain tables.

    Args:
        activities: name to shortest, likely, longest [any one unit].
        after: name to the names before it, may be left out for none [-].
        due: when it should be done [same unit], or None.
        seed: of the draws [-].
        samples: number of draws, 0 for none [-].
    Returns:
        `estimate`, `chance`, `simulated`, `simulated_chance`; None where not asked for [-].
    Valid: as `pert` and `simulate`.
    Raises: FormErrors for bad points, circles and unknown names.
    Source: own: reading, then `pert`, `chance_by`, `simulate`.
    """
    network = [
        ThreePoint(name, low, likely, high, tuple(after.get(name, ())))
        for name, (low, likely, high) in activities.items()
    ]
    estimate = pert(network)
    simulated = simulate(network, seed, samples) if samples else None
    return {
        "estimate": estimate,
        "chance": None if due is None else chance_by(estimate, due),
        "simulated": simulated,
        "simulated_chance": None if due is None or not simulated else simulated.chance_by(due),
    }


def stream(seed: int, name: str) -> np.random.Generator:
    """The random stream of one unknown: the same for every choice and stage that knows it.

    Args:
        seed: of the whole [-].
        name: of the unknown [-].
    Returns:
        a generator of its own [-].
    Valid: a seed of zero or more.
    Raises: nothing.
    Source: own: common random numbers by seeding each name from seed and a digest of the name.
    """
    digest = int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], "big")
    return np.random.Generator(np.random.SFC64([seed, digest]))


def draw_beta(
    source: np.random.Generator, low: float, likely: float, high: float, samples: int
) -> Floats:
    """Draws between low and high with mode `likely` and mean (a+4m+b)/6.

    Args:
        source: random stream [-].
        low: least value [any one unit].
        likely: most likely value [same unit].
        high: greatest value [same unit].
        samples: number of draws [-].
    Returns:
        draws [same unit].
    Valid: low ≤ likely ≤ high.
    Raises: nothing.
    Source: MAL59: the beta with α = 1+4(m-a)/(b-a), β = 1+4(b-m)/(b-a).
    """
    if high == low:
        return np.full(samples, float(low))
    width = high - low
    first, last = 1 + 4 * (likely - low) / width, 1 + 4 * (high - likely) / width
    return low + width * source.beta(first, last, samples)


def _check(activities: Sequence[ThreePoint]) -> None:
    """All mistakes of names and points at once."""
    found: list[InputError] = []
    names = [each.name for each in activities]
    for each in activities:
        points = (each.low, each.likely, each.high)
        if not (0 <= each.low <= each.likely <= each.high < math.inf):
            found.append(RangeError(each.name, points, "0 ≤ shortest ≤ likely ≤ longest"))
        if names.count(each.name) > 1:
            found.append(RangeError(each.name, "named twice", "one activity of this name"))
    if found:
        raise FormErrors("activities", found)


def _one_path(times: Times, after: After) -> tuple[str, ...]:
    """One longest path from end to start; where several tie, the one found first."""
    if not times.critical:
        return ()
    ends = [n for n in times.critical if times.early_finish[n] >= times.duration - 1e-9]
    path = [ends[0]]
    while befores := [name for name in after[path[-1]] if name in times.critical]:
        path.append(max(befores, key=lambda name: times.early_finish[name]))
    return tuple(reversed(path))


def _critical_shares(
    durations: Mapping[str, Floats], finish: Mapping[str, Floats], after: After, total: Floats
) -> dict[str, float]:
    """Share of draws in which each activity has no slack, by a backward pass on all draws."""
    late = dict.fromkeys(finish, total)
    for name in reversed(list(finish)):
        for before in after[name]:
            late[before] = np.minimum(late[before], late[name] - durations[name])
    edge = 1e-9 * np.maximum(1.0, total)
    return {name: float(np.mean(late[name] - finish[name] <= edge)) for name in finish}
