"""Adjusters that are turned: crush sleeve, nut, threaded ring. Learned from trials.

Each reading taken with a known setting (turns, degrees, millimetres) is a trial. Two that differ
give how much the response moves for one of the setting, and how far to go on. With the thread's
pitch in the sheet turns, degrees and millimetres are one, and one reading of a play or a lash tells
how far to go by the rate of the sheet. Turning torque is never computed, pitch or not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from casewright.drive.schema import Adjuster, Response
from casewright.errors import CasewrightError
from casewright.job.limits import Limits
from casewright.job.packs import pack_at
from casewright.job.state import State
from casewright.phases.setup.model import window_in_force
from casewright.phases.setup.signs import PACKED, Rate, rates
from casewright.phases.setup.trials import Taken, doubt_of, taken
from casewright.reasoning.shim_adjusters import (
    NextSetting,
    TorqueRate,
    TorqueTrial,
    crush_further,
    learn_torque_rate,
    setting_for_torque,
)
from casewright.units import Quantity, parse_any


@dataclass(frozen=True, slots=True)
class TurnedLine:
    """One response that a turned adjuster sets: last reading, which way to turn, how far on.

    `way` is "in", "out", "there", "new part" or "" (nothing read yet). `rate` is in response unit
    for one SI unit of the setting, `unit` the setting's sign as typed. `source` says where the rate
    is from: "trials", or the sheet or geometry where the pitch turns its millimetres into turns.
    """

    adjuster: Adjuster
    response: Response
    limits: Limits
    sign: int
    last: Taken | None
    way: str
    why: str
    rate: TorqueRate | None = None
    move: NextSetting | None = None
    unit: str = ""
    dimension: str = ""
    trials: int = 0
    source: str = "trials"

    @property
    def pitch(self) -> float | None:
        """How far one turn moves it [m]; None where the sheet has no pitch."""
        return self.adjuster.pitch.value if self.adjuster.pitch else None


def turned_lines(state: State) -> tuple[TurnedLine, ...]:
    """Every pair of turned adjuster and response."""
    found = rates(state)
    return tuple(
        _line(state, adjuster, rate)
        for adjuster in state.lookup.sheet.adjusters
        if adjuster.kind not in PACKED
        for rate in found
        if rate.adjuster == adjuster.key
    )


def _line(state: State, adjuster: Adjuster, rate: Rate) -> TurnedLine:
    response = state.lookup.responses[rate.response]
    limits = window_in_force(state, response)
    read = [t for t in taken(state, response) if t.counts and t.values and t.occasion != "final"]
    read = [t for t in read if not t.occasion.startswith("as-")]
    if adjuster.kind == "crush-sleeve":
        read = _this_sleeve(limits, read)
    last = read[-1] if read else None
    way, why = _way(adjuster, limits, rate.sign, last)
    trials = list(_trials(state, adjuster, response, read))
    line = TurnedLine(adjuster, response, limits, rate.sign, last, way, why, trials=len(trials))
    learned = _learned(line, trials) if trials else line
    return learned if learned.rate else _by_pitch(learned, rate)


def _way(adjuster: Adjuster, limits: Limits, sign: int, last: Taken | None) -> tuple[str, str]:
    if last is None:
        return "", "not read yet"
    if not limits.known:
        return "", "no window in the sheet: readings are kept, no verdict"
    under = limits.low is not None and last.mean < limits.low
    over = limits.high is not None and last.mean > limits.high
    if not under and not over:
        return "there", "in its window"
    way = "in" if (sign > 0) == under else "out"
    if way == "out" and adjuster.kind == "crush-sleeve":
        return "new part", "a crushed sleeve does not come back: a new sleeve, and begin again"
    return way, "under its window" if under else "over its window"


def _this_sleeve(limits: Limits, read: list[Taken]) -> list[Taken]:
    """Readings since the last sleeve that was crushed too far; that one, if nothing came after."""
    over = [i for i, one in enumerate(read) if limits.high is not None and one.mean > limits.high]
    return read[over[-1] + 1 :] or read if over else read


Trial = tuple[float, str, str, float]


def _trials(
    state: State, adjuster: Adjuster, response: Response, read: list[Taken]
) -> Iterator[Trial]:
    """(setting SI, its unit, its dimension, reading) for readings with a known setting."""
    for one in read:
        pack = pack_at(state, adjuster.key, one.occasion)
        text = one.setting or (pack.setting if pack else "")
        if not text:
            continue
        try:
            found = parse_any(text, "setting")
        except CasewrightError:
            continue
        yield *_as_travel(adjuster, found), one.mean


def _as_travel(adjuster: Adjuster, found: Quantity) -> tuple[float, str, str]:
    """A setting as travel along the thread where the pitch is known; else as typed."""
    turns = {"count": 1.0, "angle": 1 / (2 * math.pi)}.get(found.dimension)
    if adjuster.pitch is None or turns is None:
        return found.value, found.unit, found.dimension
    return found.value * turns * adjuster.pitch.value, "mm", "length"


def _by_pitch(line: TurnedLine, rate: Rate) -> TurnedLine:
    """One reading of a length, the sheet's or geometry's rate and the pitch tell how far to turn.

    Not for a torque: that is learned from two trials.
    """
    fits = line.limits.dimension == "length" and line.pitch and rate.value
    if not fits or line.last is None or line.way not in ("in", "out", "there"):
        return line
    doubt = max(doubt_of(line.response), 1e-9)
    found = TorqueRate(
        abs(rate.value or 0.0), rate.deviation, 0.0, line.sign * line.last.mean, doubt, 1
    )
    try:
        move = _next(line, found)
    except CasewrightError:
        return line
    return replace(
        line, rate=found, move=move, unit="mm", dimension="length", source=rate.source
    )  # fmt: skip


def _learned(line: TurnedLine, trials: list[Trial]) -> TurnedLine:
    """The rate from trials in one kind of setting, and the next setting."""
    unit, dimension = trials[-1][1], trials[-1][2]
    same = [t for t in trials if t[2] == dimension]
    doubt = max(doubt_of(line.response), 1e-9)
    signed = [TorqueTrial(s, line.sign * value, doubt) for s, _, _, value in same]
    try:
        rate = learn_torque_rate(signed, -math.inf)
        move = _next(line, rate)
    except CasewrightError:
        return replace(line, unit=unit, dimension=dimension)
    return replace(line, rate=rate, move=move, unit=unit, dimension=dimension)


def _next(line: TurnedLine, rate: TorqueRate) -> NextSetting | None:
    low, high = line.limits.low, line.limits.high
    if low is None or high is None:
        return None
    ends = (low, high) if line.sign > 0 else (-high, -low)
    if line.adjuster.kind == "crush-sleeve":
        return crush_further(rate, *ends)
    return setting_for_torque(rate, *ends)
