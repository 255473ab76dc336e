"""Adjusters other than shim packs: spacer, crush sleeve, nut to a torque, threaded turns.

How much turning torque comes with each hundredth of a millimetre is learned from two trials
of this leg. It is never computed: friction laws give no better than ±50 % at hand speed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

import numpy as np

from casewright.errors import InputError, MissingError, RangeError
from casewright.reasoning.shim_stock import PackRules, ShelfShim

_WIDTH_95 = 1.959964


@dataclass(frozen=True, slots=True)
class TorqueTrial:
    """One trial: the adjuster's setting [m, more = tighter] and the torque to turn [N·m]."""

    setting: float
    torque: float
    deviation: float


@dataclass(frozen=True, slots=True)
class TorqueRate:
    """Turning torque learned: `rate` [N·m per m] ± `deviation`, torque at `setting`."""

    rate: float
    deviation: float
    setting: float
    torque: float
    torque_deviation: float
    trials: int


@dataclass(frozen=True, slots=True)
class NextSetting:
    """How far to go on [m], between `least` and `most`, and why; 0 with "stop" when there."""

    word: str
    move: float
    least: float
    most: float
    forecast: float
    forecast_deviation: float
    reason: str


def selective_spacers(
    sizes: Sequence[tuple[str, float, int]], deviation: float
) -> tuple[tuple[ShelfShim, ...], PackRules]:
    """A list of spacers of which exactly one is fitted, as shelf and rules for the choice.

    Args:
        sizes: name, thickness and number in stock of each [-, m, -].
        deviation: standard deviation of one spacer's thickness [m].
    Returns:
        shelf [m] and rules [-] for `shim_choice.choose`; joins other seats' shelf.
    Valid: names that no shim bears.
    Raises: MissingError for an empty list; RangeError for a thickness that is not above 0.
    Source: own: a pack of exactly one piece.
    """
    if not sizes:
        raise MissingError("spacers", "at least one size")
    for name, thickness, _ in sizes:
        if thickness <= 0:
            raise RangeError(f"spacer {name}", thickness, "a thickness above 0")
    shelf = tuple(ShelfShim(name, size, count, deviation) for name, size, count in sizes)
    return shelf, PackRules(1, 1, 0.0, inf, frozenset(name for name, _, _ in sizes))


def learn_torque_rate(trials: Sequence[TorqueTrial], drag: float) -> TorqueRate:
    """N·m for each metre from two trials or more that turn harder than the loose shaft.

    Weighted straight line through the trials; those at the drag say nothing of the slope.

    Args:
        trials: settings and torques, conditions alike (seals, pump, used bearings) [m, N·m].
        drag: turning torque of the loose shaft [N·m].
    Returns:
        the rate [N·m per m] with its deviation, and the torque at the last setting.
    Valid: within and near the trials; friction changes with oil, seals and running in.
    Raises: MissingError with fewer than two trials above the drag, or both at one setting;
        RangeError when torque falls as the adjuster is tightened.
    Source: own: weighted least squares of a line.
    Example:
        >>> rate = learn_torque_rate(
        ...     [TorqueTrial(0.0, 0.8, 0.05), TorqueTrial(5e-5, 1.8, 0.05)], drag=0.3
        ... )
        >>> round(rate.rate * 1e-5, 3)
        0.2
    """
    used = [trial for trial in trials if trial.torque > drag + trial.deviation]
    if len({trial.setting for trial in used}) < 2:
        expected = "two trials at different settings, both above the drag of the loose shaft"
        raise MissingError("torque trials", expected, "Set a little tighter and read again.")
    x = np.array([trial.setting for trial in used])
    weight = np.array([1 / trial.deviation**2 for trial in used])
    y = np.array([trial.torque for trial in used])
    middle = float((weight * x).sum() / weight.sum())
    moment = float((weight * (x - middle) ** 2).sum())
    rate = float((weight * (x - middle) * y).sum()) / moment
    if rate <= 0:
        expected = "torque that rises as it is tightened"
        raise RangeError("torque trials", rate, expected, "Check the readings and the sense.")
    last = used[-1].setting
    at_last = float((weight * y).sum() / weight.sum()) + rate * (last - middle)
    doubt = sqrt(1 / float(weight.sum()) + (last - middle) ** 2 / moment)
    return TorqueRate(rate, 1 / sqrt(moment), last, at_last, doubt, len(used))


def setting_for_torque(rate: TorqueRate, low: float, high: float) -> NextSetting:
    """How far on to the middle of a torque window, from what the trials taught.

    Args:
        rate: learned from trials [-].
        low: lower limit [N·m].
        high: upper limit [N·m].
    Returns:
        the move from the last setting [m], negative to slacken.
    Valid: near the trials.
    Raises: InputError for a window whose low is above its high.
    Source: own: the line of `learn_torque_rate` solved for the middle.
    """
    if low >= high:
        raise InputError("window", f"{low:g} to {high:g}", "low below high")
    least, most = (low - rate.torque) / rate.rate, (high - rate.torque) / rate.rate
    move = (least + most) / 2
    if low <= rate.torque <= high:
        spread = rate.torque_deviation
        return NextSetting("stop", 0.0, least, most, rate.torque, spread, "in window")
    forecast = (low + high) / 2
    spread = sqrt(rate.torque_deviation**2 + (move * rate.deviation) ** 2)
    return NextSetting("go on", move, least, most, forecast, spread, "middle of the window")


def crush_further(rate: TorqueRate, low: float, high: float) -> NextSetting:
    """How far to crush on: as far as the window's top is not passed in 39 of 40 cases.

    A crush sleeve goes one way. So the step stops short of the middle where the rate is in
    doubt, and a sleeve that is past the window is replaced, never slackened.

    Args:
        rate: learned from trials [-].
        low: lower limit [N·m].
        high: upper limit [N·m].
    Returns:
        the step [m], never negative; "new sleeve" when the window is passed.
    Valid: near the trials; the sleeve crushes steadily.
    Raises: InputError for a window whose low is above its high.
    Source: own: one-sided limit on the forecast.
    """
    plain = setting_for_torque(rate, low, high)
    if rate.torque > high:
        reason = "the sleeve is crushed past the window and does not come back"
        return NextSetting("new sleeve", 0.0, 0.0, 0.0, rate.torque, rate.torque_deviation, reason)
    if plain.word == "stop":
        return plain
    move = _safe_step(rate, high, plain.move)
    forecast = rate.torque + rate.rate * move
    spread = sqrt(rate.torque_deviation**2 + (move * rate.deviation) ** 2)
    reason = "as far as is safe; read the torque again" if move < plain.move else plain.reason
    return NextSetting("go on", move, plain.least, plain.most, forecast, spread, reason)


def _safe_step(rate: TorqueRate, high: float, wanted: float) -> float:
    """Largest step up to `wanted` whose 95 % upper end stays below `high` (bisection)."""

    def upper(move: float) -> float:
        spread = sqrt(rate.torque_deviation**2 + (move * rate.deviation) ** 2)
        return rate.torque + rate.rate * move + _WIDTH_95 * spread

    if upper(wanted) <= high:
        return wanted
    below, above = 0.0, wanted
    for _ in range(60):
        middle = (below + above) / 2
        below, above = (middle, above) if upper(middle) <= high else (below, middle)
    return below


def turns_for_move(move: float, pitch: float, notches: int = 0) -> tuple[float, int, float]:
    """Turns of a threaded adjuster for an axial move, whole notches, and what is left over.

    Args:
        move: axial move wanted [m], signed.
        pitch: thread pitch, move for one turn [m].
        notches: locking positions in one turn [-]; 0 for any angle.
    Returns:
        turns [-], notches to the nearest [-], and the move missed by them [m].
    Valid: single-start threads (lead = pitch); slack taken up from one side.
    Raises: RangeError for a pitch that is not above 0 or notches below 0.
    Source: own: one turn moves one pitch.
    Example:
        >>> turns_for_move(0.25e-3, 1.5e-3, 24)[:2]
        (0.16666666666666666, 4)
    """
    if pitch <= 0 or notches < 0:
        raise RangeError("pitch and notches", (pitch, notches), "pitch above 0, notches 0 or more")
    turns = move / pitch
    if not notches:
        return turns, 0, 0.0
    steps = round(turns * notches)
    return turns, steps, move - steps / notches * pitch
