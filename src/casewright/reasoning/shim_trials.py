"""From the first guess through all trials to advice: the one call that the set-up room makes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.errors import InputError
from casewright.reasoning.shim_choice import Advice, choose
from casewright.reasoning.shim_model import SetUp, State, refit
from casewright.reasoning.shim_stock import PackRules, ShelfShim, recipe
from casewright.reasoning.shim_stop import (
    Prices,
    StopAdvice,
    chance_in_window,
    sceptic,
    stop_advice,
)
from casewright.reasoning.shim_update import Reading, Update, take_readings

Pack = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Trial:
    """One assembly: the pack at each adjuster (name to number) and all readings taken with it."""

    packs: tuple[Pack, ...]
    readings: tuple[Reading, ...]
    held: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class SetUpAdvice:
    """Packs to fit and whether to stop; one update for each trial, newest last."""

    packs: Advice
    stop: StopAdvice | None
    updates: tuple[Update, ...]


def thickness_of(shelf: Sequence[ShelfShim], pack: Pack) -> float:
    """Thickness of a pack, measured shims as measured.

    Args:
        shelf: shims by name [-].
        pack: name to number [-].
    Returns:
        thickness [m].
    Valid: always.
    Raises: InputError for a shim that the shelf doesn't list.
    Source: own: a sum.
    """
    known = {shim.name: shim for shim in shelf}
    for name in pack:
        if name not in known:
            raise InputError("pack", name, f"one of: {', '.join(known)}")
    return sum(known[name].thickness * number for name, number in pack.items())


def replay(
    set_up: SetUp, first: State, shelf: Sequence[ShelfShim], trials: Sequence[Trial]
) -> tuple[State, tuple[Update, ...]]:
    """The state after all trials: packs changed shim by shim, readings taken in.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        first: first guess [-].
        shelf: shims by name, those fitted included [-].
        trials: assemblies in order [-].
    Returns:
        state after the last trial [-], and each trial's update [-].
    Valid: fitted packs begin empty: the first trial's shims are all new.
    Raises: InputError for packs that don't fit the leg or the shelf.
    Source: own: refit, then condition, trial by trial.
    """
    state, updates = first, []
    fitted: Sequence[Pack] = [{} for _ in set_up.adjusters]
    for trial in trials:
        if len(trial.packs) != len(set_up.adjusters):
            raise InputError("packs of a trial", len(trial.packs), "one for each adjuster")
        for name, before, now in zip(set_up.adjusters, fitted, trial.packs, strict=True):
            state = _changed(state, name, shelf, before, now)
        packs = [thickness_of(shelf, pack) for pack in trial.packs]
        updates.append(take_readings(set_up, state, packs, trial.readings, trial.held))
        state, fitted = updates[-1].state, trial.packs
    return state, tuple(updates)


def _changed(
    state: State, adjuster: str, shelf: Sequence[ShelfShim], before: Pack, now: Pack
) -> State:
    """The state after one pack's change; shims in both stay, the others come and go."""
    if dict(before) == dict(now):
        return state
    old, new = recipe(shelf, before), recipe(shelf, now)
    doubts = [shim.deviation**2 for shim in shelf]
    stay = [min(a, b) for a, b in zip(old, new, strict=True)]
    kept = sum(float(n) * d for n, d in zip(stay, doubts, strict=True))
    fitted = sum(float(n) * d for n, d in zip(old, doubts, strict=True))
    wanted = sum(float(n) * d for n, d in zip(new, doubts, strict=True))
    return refit(state, adjuster, kept, fitted, wanted - kept)


def advise(
    set_up: SetUp,
    first: State,
    shelf: Sequence[ShelfShim],
    rules: Sequence[PackRules],
    trials: Sequence[Trial],
    prices: Prices | None = None,
    vetoes: Sequence[str] = (),
) -> SetUpAdvice:
    """What to fit, or to stop: choice of packs and stop advice after all trials.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        first: first guess [-].
        shelf: shims by name, those fitted included [-].
        rules: what the sheet allows at each adjuster [-].
        trials: assemblies in order; none before the first [-].
        prices: cost of a trial and a wrong leg, chance asked for [money, -].
        vetoes: witnesses that disagree [-].
    Returns:
        packs, stop advice (None before the first trial), updates [-].
    Valid: as the parts.
    Raises: as the parts.
    Source: own: the parts in order.
    """
    state, updates = replay(set_up, first, shelf, trials)
    if not trials:
        return SetUpAdvice(choose(set_up, state, shelf, rules), None, updates)
    last = trials[-1]
    packs = [thickness_of(shelf, pack) for pack in last.packs]
    _, doubting = replay(set_up, sceptic(first), shelf, trials)
    chance = min(chance_in_window(set_up, one, packs) for one in (updates[-1], doubting[-1]))
    advice = choose(set_up, state, shelf, rules, last.packs)
    suspects = [one[-1].suspect for one in (updates, doubting) if one[-1].suspect is not None]
    suspect = last.readings[suspects[0]].response if suspects else ""
    names = [reading.response for reading in last.readings]
    sets = min((names.count(name) for name in set(names)), default=1)
    after = min(max(advice.best.chance, 0.0), 1.0)
    word = stop_advice(min(chance, 1.0), after, prices or Prices(), sets, suspect, vetoes)
    return SetUpAdvice(advice, word, updates)
