"""When to stop: in window with what chance, and whether one more trial is worth its cost.

Two guards keep "stop" honest. The chance counts every hypothesis about the readings: all
sound, or one of them wrong; so one lucky misreading can't say "stop". And a sceptic, who
takes the first guess to be twice as wide, must agree; so a first guess that was too sure
can't argue a reading away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from casewright.errors import RangeError
from casewright.reasoning.shim_choice import present_chance
from casewright.reasoning.shim_model import SetUp, State
from casewright.reasoning.shim_update import Update


@dataclass(frozen=True, slots=True)
class Prices:
    """What one more assembly costs, and what a leg that goes out of window costs [money].

    `ask` is the chance from which "stop" may be said at all. Before a leg is taken apart with a
    chance above `hopeless`, its readings are repeated until there are `repeats` of them: that
    costs minutes, an assembly hours.
    """

    trial: float = 1.0
    wrong: float = 20.0
    ask: float = 0.95
    hopeless: float = 0.3
    repeats: int = 3


@dataclass(frozen=True, slots=True)
class StopAdvice:
    """`word` is "stop", "change packs" or "read again"; the chances and costs behind it.

    `helps` is how much the chance of being in window would rise with the best other packs,
    `worth` that rise times what a wrong leg costs, less the trial.
    """

    word: str
    chance: float
    chance_after: float
    helps: float
    worth: float
    trial: float
    suspect: str
    reasons: tuple[str, ...]


def sceptic(state: State, factor: float = 2.0) -> State:
    """The first state of someone who doubts the first guess: offsets `factor` times as wide.

    Args:
        state: first state, before any trial [-].
        factor: on the standard deviations of the offsets [-].
    Returns:
        the wider state [-]; readings are taken into it just as into the first.
    Valid: before trials; widening later would throw readings away.
    Raises: RangeError for a factor below 1.
    Source: own: a guard against a first guess that is too sure.
    """
    if factor < 1:
        raise RangeError("factor", factor, "1 or more")
    scale = np.array([factor if name.startswith("offset:") else 1.0 for name in state.names])
    return replace(state, covariance=state.covariance * scale[:, None] * scale)


def chance_in_window(set_up: SetUp, update: Update, packs: Sequence[float]) -> float:
    """Chance that the packs fitted hold all windows, over all hypotheses about the readings.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        update: from `shim_update.take_readings` [-].
        packs: thickness of the packs fitted [m], [adjusters].
    Returns:
        chance [-].
    Valid: at most one wrong reading.
    Raises: nothing.
    Source: own: total probability.
    """
    return sum(
        one.chance * present_chance(set_up, one.state, packs)
        for one in update.hypotheses
        if one.chance > 1e-6
    )


def stop_advice(
    chance: float,
    chance_after: float,
    prices: Prices,
    readings: int = 1,
    suspect: str = "",
    vetoes: Sequence[str] = (),
) -> StopAdvice:
    """Stop, change packs, or read again: least expected cost, under the asked chance.

    Read again while a reading does not fit or a witness disagrees. Stop when the chance is
    at least `ask` and other packs would not save more than a trial costs. Change when they
    would, after readings have been repeated. Else the gauges are the limit: read again.

    Args:
        chance: in window as fitted, the lower of `chance_in_window` and its sceptic's [-].
        chance_after: in window with the best packs, from `shim_choice.choose` [-].
        prices: cost of a trial and of a wrong leg; chance asked for [money, -].
        readings: sets of readings taken at this assembly [-].
        suspect: name of a reading that does not fit, "" for none [-].
        vetoes: witnesses that disagree (the seen pattern), in words [-].
    Returns:
        the advice with its chances and costs [-, money].
    Valid: chances from the same readings.
    Raises: RangeError for a chance outside 0 to 1.
    Source: own: least expected cost of stopping, changing or reading.
    """
    for name, value in (("chance", chance), ("chance after", chance_after)):
        if not -1e-9 <= value <= 1 + 1e-9:
            raise RangeError(name, value, "a chance from 0 to 1")
    helps = max(chance_after - chance, 0.0)
    worth = helps * prices.wrong - prices.trial
    word, reason = _word(chance, worth, prices, readings, suspect)
    reasons = tuple(f"{witness} disagrees" for witness in vetoes) or (reason,)
    word = "read again" if vetoes and word == "stop" else word
    return StopAdvice(word, chance, chance_after, helps, worth, prices.trial, suspect, reasons)


def _word(
    chance: float, worth: float, prices: Prices, readings: int, suspect: str
) -> tuple[str, str]:
    """The word and the reason for it."""
    if suspect:
        return "read again", f"{suspect} does not fit the other readings"
    if worth <= 0 and chance >= prices.ask:
        return "stop", "in window, and another trial is not worth its cost"
    if chance > prices.hopeless and readings < prices.repeats:
        return "read again", "another reading costs minutes, another assembly hours"
    if worth > 0:
        return "change packs", "other packs are worth another assembly"
    return "read again", "not sure: other packs would hardly help, a better reading would"
