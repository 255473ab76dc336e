"""Press fits at the bench: force to press in, whether the press suffices, Monte Carlo.

`press_in` takes floats or arrays, the same function for one fit and for a million.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.interference import (
    Number,
    PressedStress,
    joint_pressure,
    pressed_stress,
    sliding_force,
    slip_torque,
)
from casewright.tables.materials import Friction, Material

RESERVE = 1.25  # own: a press or puller that is just enough stops halfway
COVERAGE = 2.0  # standard uncertainties on each side


@dataclass(frozen=True, slots=True)
class Joint:
    """A ring on a shaft: sizes [m] and materials; `hub_outside` infinite for a big block."""

    diameter: float
    length: float
    hub_outside: float
    hub: Material
    shaft: Material
    shaft_bore: float = 0.0

    def elastic(self) -> tuple[float, float, float, float, float]:
        """Moduli [Pa], Poisson's ratios and bore [m] in the order of the Lamé functions."""
        hub, shaft = self.hub, self.shaft
        return hub.modulus, hub.poisson, shaft.modulus, shaft.poisson, self.shaft_bore

    def pressure(self, interference: Number) -> Number:
        """Joint pressure [Pa] of an interference [m]."""
        return joint_pressure(interference, self.diameter, self.hub_outside, *self.elastic())

    def stress(self, pressure: Number) -> PressedStress:
        """Stresses [Pa] and changes of diameter [m] under a pressure [Pa]."""
        return pressed_stress(pressure, self.diameter, self.hub_outside, *self.elastic())

    def force(self, pressure: Number, friction: Number) -> Number:
        """Sliding force [N] of the whole joint under a pressure [Pa]."""
        return sliding_force(pressure, self.diameter, self.length, friction)


@dataclass(frozen=True, slots=True)
class Spread:
    """Least, likely and most of one quantity."""

    least: float
    likely: float
    most: float


@dataclass(frozen=True, slots=True)
class PressIn:
    """Interference [m], pressure [Pa], force [N] and slip torque [N m]; floats or arrays."""

    interference: Number
    pressure: Number
    force: Number
    torque: Number


@dataclass(frozen=True, slots=True)
class PressVerdict:
    """Whether a press or puller suffices: "enough", "perhaps" or "too small", and why."""

    verdict: str
    capacity: float
    wanted: float
    reason: str


@dataclass(frozen=True, slots=True)
class SimulatedFits:
    """Monte Carlo of one fit: every draw, and the 5 %, 50 % and 95 % points."""

    draws: PressIn
    interference: Spread
    force: Spread
    loose_share: float


def press_in(shaft: Number, bore: Number, joint: Joint, friction: Number) -> PressIn:
    """Interference, pressure, force and slip torque from shaft and bore; F = pi d L p mu.

    Args:
        shaft: shaft diameter at 20 °C [m], shape (n,) or one.
        bore: bore diameter at 20 °C [m], shape (n,) or one.
        joint: sizes and materials [m, -].
        friction: coefficient of friction [-], shape (n,) or one.
    Returns:
        interference, pressure, force, torque [m, Pa, N, N m].
    Valid: elastic; sizes in the Lamé factor are the joint's own, the readings give U only.
    Raises: RangeError for impossible rings or an interference over 1 % of the diameter.
    Source: SHIGLEY-8 eq. 7-39.
    """
    interference = shaft - bore
    pressure = joint.pressure(interference)
    force = joint.force(pressure, friction)
    return PressIn(interference, pressure, force, slip_torque(force, joint.diameter))


def force_range(
    interference: float,
    uncertainty: float,
    joint: Joint,
    friction: Friction,
    coverage: float = COVERAGE,
) -> Spread:
    """Force to press in: least from U - k u and low friction, most from U + k u and high friction.

    Args:
        interference: measured interference [m].
        uncertainty: its standard uncertainty u [m].
        joint: sizes and materials [m, -].
        friction: span of the coefficient [-].
        coverage: k, standard uncertainties on each side [-].
    Returns:
        least, likely and most force at full depth [N].
    Valid: clean, aligned, square start; a cocked ring takes any force.
    Raises: RangeError for a negative uncertainty, or as `press_in`.
    Source: SHIGLEY-8 eq. 7-39; the range is own.
    """
    if uncertainty < 0:
        raise RangeError("uncertainty", uncertainty, "zero or more [m]")
    spread = spread_about(interference, coverage * uncertainty)
    middle = (friction.low + friction.high) / 2
    forces = [
        float(joint.force(joint.pressure(one), mu))
        for one, mu in (
            (spread.least, friction.low),
            (spread.likely, middle),
            (spread.most, friction.high),
        )
    ]
    return Spread(*forces)


def judge_press(capacity: float, force: Spread, reserve: float = RESERVE) -> PressVerdict:
    """Whether a press or puller suffices: enough when it has a reserve over the most force.

    Args:
        capacity: rated force of the press or puller [N].
        force: force to press or pull [N].
        reserve: factor over the most force [-].
    Returns:
        verdict, wanted capacity and reason [N, -].
    Valid: force at full depth; a seized or corroded joint takes more than it took to press.
    Raises: RangeError for a capacity that is not positive or a reserve under 1.
    Source: own: the reserve is a setting.

    Example:
        >>> judge_press(98e3, Spread(19.6e3, 36.6e3, 58.7e3)).verdict
        'enough'
    """
    if capacity <= 0 or reserve < 1:
        raise RangeError("capacity and reserve", (capacity, reserve), "over 0 N, at least 1")
    wanted = reserve * force.most
    if capacity >= wanted:
        return PressVerdict("enough", capacity, wanted, "covers the most force with its reserve")
    if capacity >= force.likely:
        return PressVerdict(
            "perhaps", capacity, wanted, "covers the likely force, not the most with its reserve"
        )
    return PressVerdict(
        "too small", capacity, wanted, "below the likely force: warm the hub or take a bigger one"
    )


def interference_after_removal(interference: float, lost: tuple[float, float]) -> Spread:
    """Interference left after a ring was pressed out once, for a share lost.

    Args:
        interference: interference before it was first pressed in [m].
        lost: least and most share lost, the shop's own experience [-].
    Returns:
        least, middle and most interference left [m].
    Valid: an expectation only: measure shaft and bore again before it is trusted.
    Raises: RangeError for shares outside 0 to 1 or in the wrong order.
    Source: common practice, no source: there is no published share; measuring again rules.

    Example:
        >>> left = interference_after_removal(40e-6, (0.1, 0.3))
        >>> round(left.least * 1e6, 1), round(left.most * 1e6, 1)
        (28.0, 36.0)
    """
    low, high = lost
    if not 0 <= low <= high <= 1:
        raise RangeError("share lost", lost, "two shares of 0 to 1, the smaller first")
    return Spread(
        interference * (1 - high), interference * (1 - (low + high) / 2), interference * (1 - low)
    )


def simulate_fits(
    joint: Joint,
    shaft: float,
    bore: float,
    shaft_uncertainty: float,
    bore_uncertainty: float,
    friction: Friction,
    count: int = 100_000,
    seed: int = 0,
) -> SimulatedFits:
    """Monte Carlo of one measured fit: normal readings, friction even over its span.

    Args:
        joint: sizes and materials [m, -].
        shaft: measured shaft diameter at 20 °C [m].
        bore: measured bore diameter at 20 °C [m].
        shaft_uncertainty: its standard uncertainty [m].
        bore_uncertainty: its standard uncertainty [m].
        friction: span of the coefficient [-].
        count: number of draws [-].
        seed: seed, from the digest of the inputs so that every face shows the same [-].
    Returns:
        draws, 5, 50 and 95 % points of interference and force, share without grip [m, N, -].
    Valid: independent readings.
    Raises: RangeError for a negative uncertainty or fewer than 100 draws.
    Source: JCGM101 propagation by Monte Carlo.
    """
    if count < 100 or min(shaft_uncertainty, bore_uncertainty) < 0:
        raise RangeError(
            "draws or uncertainty",
            (count, shaft_uncertainty, bore_uncertainty),
            "at least 100 draws, uncertainties of zero or more",
        )
    random = np.random.default_rng(seed)
    draws = press_in(
        shaft + shaft_uncertainty * random.standard_normal(count),
        bore + bore_uncertainty * random.standard_normal(count),
        joint,
        random.uniform(friction.low, friction.high, count),
    )
    loose = float(np.mean(np.less_equal(draws.interference, 0)))
    return SimulatedFits(draws, _points(draws.interference), _points(draws.force), loose)


def spread_about(middle: float, half: float) -> Spread:
    """Spread of a value and a half width on each side.

    Args:
        middle: likely value [any unit].
        half: half width, zero or more [same unit].
    Returns:
        least, likely and most [same unit].
    Valid: any.
    Raises: nothing.
    Source: own: a definition.
    """
    return Spread(middle - half, middle, middle + half)


def _points(values: Number) -> Spread:
    low, middle, high = np.quantile(np.asarray(values, dtype=float), (0.05, 0.5, 0.95))
    return Spread(float(low), float(middle), float(high))
