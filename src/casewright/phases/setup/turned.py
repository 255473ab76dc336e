"""Adjusters that are turned: crush sleeve, nut, threaded ring. Learned from trials.

Each reading taken with a known setting (turns, degrees, millimetres) is a trial. Two that differ
give how much the response moves for one of the setting, and how far to go on. With the thread's
pitch in the sheet turns, degrees and millimetres are one, and one reading of a play or a lash tells
how far to go by the rate of the sheet. Turning torque is never computed, pitch or not.

Two may move one response: a ring that carries the gear also takes up the play that a nut sets. Then
the one that moves least besides *sets* it, the other only disturbs it: what was read before the
other was turned no longer stands, and teaches nothing.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from casewright.drive.schema import PACKED, Adjuster, Response
from casewright.errors import CasewrightError
from casewright.job.limits import Limits
from casewright.job.once import once
from casewright.job.packs import pack_at
from casewright.job.state import State, moment_of
from casewright.job.turn_settings import read_setting
from casewright.phases.setup.assemblies import final_begun
from casewright.phases.setup.model import window_in_force
from casewright.phases.setup.signs import Rate, rates
from casewright.phases.setup.trials import FINAL, Taken, doubt_of, is_build, taken, trial_pack
from casewright.reasoning.shim_adjusters import (
    NextSetting,
    TorqueRate,
    TorqueTrial,
    crush_further,
    learn_torque_rate,
    setting_for_torque,
)
from casewright.units import Quantity

# Settings nearer together than this are one, whatever units they were typed in [m, rad, turns].
SAME_SETTING = 1e-7


@dataclass(frozen=True, slots=True)
class TurnedLine:
    """One response that a turned adjuster sets: last reading, which way to turn, how far on.

    `way` is "in", "out", "there", "new part", "too" (another sets it) or "" (nothing read yet).
    `rate` is in response unit for one SI unit of the setting, `unit` the setting's sign as typed.
    `source` says where the rate is from: "trials", or the sheet or geometry where the pitch turns
    its millimetres into turns. `along` is the response for a metre of travel inwards, where known.
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
    along: float | None = None

    @property
    def sets(self) -> bool:
        """Whether this adjuster sets the response, and doesn't only disturb it."""
        return self.way != "too"

    @property
    def wrong(self) -> bool:
        """Whether it is to be turned, or renewed."""
        return self.way in ("in", "out", "new part")

    @property
    def pitch(self) -> float | None:
        """How far one turn moves it [m]; None where the sheet has no pitch."""
        return self.adjuster.pitch.value if self.adjuster.pitch else None


@dataclass(frozen=True, slots=True)
class SideEffect:
    """What a turn does to a response that another adjuster sets.

    `after` is the reading expected then; where the turn would take more play than there is, `back`
    says how far the setter goes first [m of travel, below 0 is out]. None where it isn't known.
    """

    line: TurnedLine
    setter: TurnedLine
    after: float | None
    back: float | None


def side_effects(line: TurnedLine, lines: tuple[TurnedLine, ...]) -> tuple[SideEffect, ...]:
    """What turning one adjuster as told does besides."""
    setters = {one.response.key: one for one in lines if one.sets}
    return tuple(
        _side_effect(line, one, setters[one.response.key])
        for one in lines
        if one.adjuster.key == line.adjuster.key and not one.sets
    )


def _side_effect(line: TurnedLine, other: TurnedLine, setter: TurnedLine) -> SideEffect:
    travel = line.move.move if line.move is not None and line.dimension == "length" else None
    if travel is None or other.along is None or other.last is None:
        return SideEffect(other, setter, None, None)
    after = other.last.mean + other.along * travel
    low, high = other.limits.low, other.limits.high
    gone = other.response.kind == "end-play" and after < 0 and setter.along
    if not gone or low is None or high is None:
        return SideEffect(other, setter, after, None)
    return SideEffect(other, setter, after, ((low + high) / 2 - after) / (setter.along or 1.0))


def first_to_turn(lines: tuple[TurnedLine, ...], order: tuple[str, ...]) -> TurnedLine | None:
    """The adjuster to turn first: in the order of the readings, what disturbs others before them.

    What moves the gear goes before what only takes up the play: the other way round the second
    turn undoes the first.
    """
    wrong = sorted(
        (line for line in lines if line.wrong), key=lambda one: order.index(one.response.key)
    )
    if not wrong:
        return None
    disturb = {one.adjuster.key for one in lines
               if not one.sets and one.response.key == wrong[0].response.key}  # fmt: skip
    return next((one for one in wrong if one.adjuster.key in disturb), wrong[0])


def turned_lines(state: State) -> tuple[TurnedLine, ...]:
    """Every pair of turned adjuster and response."""
    found, disturbed = _turned_rates(state), disturbed_readings(state)
    setters = _setters(found)
    return tuple(
        _line(state, state.lookup.adjusters[rate.adjuster], rate, disturbed)
        if setters[rate.response] == rate.adjuster
        else _too(state, rate, setters[rate.response], disturbed)
        for rate in found
    )


def _turned_rates(state: State) -> tuple[Rate, ...]:
    """Rates of the adjusters that are turned, adjuster by adjuster."""
    kinds = {adjuster.key: adjuster.kind for adjuster in state.lookup.sheet.adjusters}
    return tuple(rate for rate in rates(state) if kinds[rate.adjuster] not in PACKED)


def _setters(found: tuple[Rate, ...]) -> dict[str, str]:
    """Response to the adjuster that sets it: of those that move it, the one that moves least."""
    moves = Counter(rate.adjuster for rate in found)
    chosen: dict[str, str] = {}
    for rate in found:
        before = chosen.get(rate.response)
        if before is None or moves[rate.adjuster] < moves[before]:
            chosen[rate.response] = rate.adjuster
    return chosen


def disturbed_readings(state: State) -> Mapping[str, str]:
    """Readings of trials that no longer stand, by their entry: what was turned after them."""
    return once(state, _disturbed)


def _disturbed(state: State) -> Mapping[str, str]:
    found = _turned_rates(state)
    setters = _setters(found)
    moments = {kept.id: moment_of(kept) for kept in state.readings}
    why: dict[str, str] = {}
    for rate in found:
        if setters[rate.response] == rate.adjuster:
            continue
        name = state.lookup.name_of(rate.adjuster)
        own = [key for key, setter in setters.items() if setter == rate.adjuster]
        turns = [moments[e] for key in own for e in _after_a_turn(state, rate.adjuster, key)]
        for one in _of_trials(state, state.lookup.responses[rate.response]):
            if any(moments[one.entry] < moment for moment in turns):
                why[one.entry] = f"read before the {name} was turned"
    return why


def _after_a_turn(state: State, adjuster: str, response: str) -> Iterator[str]:
    """Entries that were read after the adjuster was turned, since the reading before it.

    It was turned where the setting is another; where none was typed, where the one before it was
    outside its window and is read again at the same assembly.
    """
    one = state.lookup.responses[response]
    limits = window_in_force(state, one)
    read = _of_trials(state, one)
    for before, after in itertools.pairwise(read):
        was, now = (_setting(state, state.lookup.adjusters[adjuster], x) for x in (before, after))
        if was is None or now is None:
            turned = before.occasion == after.occasion and not limits.holds(before.mean)
        else:
            turned = was[2] != now[2] or not math.isclose(was[0], now[0], abs_tol=SAME_SETTING)
        if turned:
            yield after.entry


def _of_trials(state: State, response: Response) -> list[Taken]:
    """Readings of trials that count, in their order."""
    return [
        one for one in taken(state, response)
        if one.counts and one.values and is_build(one.occasion) and one.occasion != FINAL
    ]  # fmt: skip


def _too(state: State, rate: Rate, setter: str, disturbed: Mapping[str, str]) -> TurnedLine:
    """An adjuster that moves a response which another sets."""
    adjuster = state.lookup.adjusters[rate.adjuster]
    response = state.lookup.responses[rate.response]
    read = [one for one in _of_trials(state, response) if one.entry not in disturbed]
    why = f"the {state.lookup.name_of(setter)} sets it"
    return TurnedLine(
        adjuster, response, window_in_force(state, response), rate.sign,
        _last(state, response, read), "too", why, along=rate.value,
    )  # fmt: skip


def _last(state: State, response: Response, read: list[Taken]) -> Taken | None:
    """Where the response stands: as the final build reads once that is begun, else a trial."""
    final = [one for one in taken(state, response) if one.counts and one.occasion == FINAL]
    return final[-1] if final and final_begun(state) else read[-1] if read else None


def _line(state: State, adjuster: Adjuster, rate: Rate, disturbed: Mapping[str, str]) -> TurnedLine:
    response = state.lookup.responses[rate.response]
    limits = window_in_force(state, response)
    read = [one for one in _of_trials(state, response) if one.entry not in disturbed]
    read = _with_packs_of_last(state, response, adjuster, read)
    if adjuster.kind == "crush-sleeve":
        read = _this_sleeve(limits, read)
    last = _last(state, response, read)
    way, why = _way(adjuster, limits, rate.sign, last)
    trials = list(_trials(state, adjuster, read))
    line = TurnedLine(
        adjuster, response, limits, rate.sign, last, way, why, trials=len(trials), along=rate.value
    )
    learned = _learned(line, trials) if trials else line
    return learned if learned.rate else _by_pitch(learned, rate)


def _with_packs_of_last(
    state: State, response: Response, own: Adjuster, read: list[Taken]
) -> list[Taken]:
    """Readings with the packs of the last one: a pack that moves the response moves the line."""
    keys = {rate.adjuster for rate in rates(state) if rate.response == response.key} - {own.key}

    def packs(one: Taken) -> list[float | None]:
        found = [trial_pack(state, key, one.occasion) for key in sorted(keys)]
        return [None if pack is None else round(pack.total, 8) for pack in found]

    return [one for one in read if packs(one) == packs(read[-1])]


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


Trial = tuple[float, str, str, float, str]


def _trials(state: State, adjuster: Adjuster, read: list[Taken]) -> Iterator[Trial]:
    """(setting SI, its unit, its dimension, reading, entry) for readings with a known setting."""
    for one in read:
        setting = _setting(state, adjuster, one)
        if setting is not None:
            yield *setting, one.mean, one.entry


def _setting(state: State, adjuster: Adjuster, one: Taken) -> tuple[float, str, str] | None:
    """Where the adjuster stood at a reading: setting SI, unit, dimension; None where untold."""
    pack = pack_at(state, adjuster.key, one.occasion)
    text = one.setting or (pack.setting if pack else "")
    try:
        return _as_travel(adjuster, read_setting(text, adjuster.notches)) if text else None
    except CasewrightError:
        return None


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
    signed = [TorqueTrial(s, line.sign * value, doubt) for s, _, _, value, _ in same]
    try:
        rate = learn_torque_rate(signed, -math.inf)
        if line.last is not None and line.last.entry != same[-1][4]:
            # Read again since, its setting untold: it goes on from there.
            rate = replace(rate, torque=line.sign * line.last.mean, torque_deviation=doubt)
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
