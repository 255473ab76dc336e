"""The heavy part, cached on frozen inputs: forecasts, packs to fit, when to stop, what if not."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casewright.errors import CasewrightError
from casewright.phases.setup.suspects import off_which_way, set_aside, suspect_of
from casewright.reasoning.shim_choice import (
    Advice,
    Choice,
    ResponseForecast,
    choose,
    present_chance,
)
from casewright.reasoning.shim_diagnosis import (
    Gap,
    Ranked,
    missed_windows,
    rank_explanations,
    usual_explanations,
)
from casewright.reasoning.shim_model import (
    SetUp,
    State,
    current_rates,
    first_state,
    forecast,
    refit,
    response_rows,
)
from casewright.reasoning.shim_prior import Share, variance_shares
from casewright.reasoning.shim_stock import PackRules, ShelfShim
from casewright.reasoning.shim_stop import (
    Prices,
    StopAdvice,
    chance_in_window,
    sceptic,
    stop_advice,
)
from casewright.reasoning.shim_update import Reading, Update, rate_sources, take_readings

Array = NDArray[np.float64]
Names = tuple[tuple[str, int], ...]
WIDTH_95 = 1.959964
MOST = 0.02
# A leg that goes out of window, in trials: assumed.
WRONG = 20.0
# A window held with less than this chance at best counts as out of reach.
HOPELESS = 0.02
SURE = 0.95
# Two readings of one assembly that are this far off, in standard deviations: assumed.
FAR_OFF = 5.0


@dataclass(frozen=True, slots=True)
class Assembly:
    """One trial: packs [m], what of each is new (variances [m²]), its readings."""

    occasion: str
    packs: tuple[float, ...]
    was: tuple[float, ...]
    kept: tuple[float, ...]
    renewed: tuple[float, ...]
    readings: tuple[Reading, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """Everything that the plan depends on, hashable, so that a page costs it once."""

    set_up: SetUp
    offsets: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    assemblies: tuple[Assembly, ...]
    shelf: tuple[ShelfShim, ...]
    rules: tuple[PackRules, ...]
    present: tuple[Names, ...] | None
    trial_price: float
    vetoes: tuple[str, ...] = ()
    readings: tuple[tuple[str, int], ...] = ()
    choosing: bool = True


@dataclass(frozen=True, slots=True)
class RateNow:
    """A rate as it stands: value ± deviation, and where it now comes from."""

    response: str
    adjuster: str
    value: float
    deviation: float
    source: str


@dataclass(frozen=True, slots=True)
class Plan:
    """What is known and what to do. `trouble` says why nothing can be chosen.

    `advice` are packs worth an assembly; `weighed` the same, and those that are not worth it too.
    `set_aside` is the response of which one reading is left out, since another answered it.
    """

    present: tuple[ResponseForecast, ...]
    advice: Advice | None
    stop: StopAdvice | None
    suspect: str
    suspect_chance: float
    surprises: tuple[tuple[str, float], ...]
    shares: tuple[tuple[str, tuple[Share, ...]], ...]
    rates: tuple[RateNow, ...]
    gaps: tuple[Gap, ...]
    explanations: tuple[Ranked, ...]
    trouble: str = ""
    weighed: Advice | None = None
    seats: tuple[str, ...] = ()
    set_aside: str = ""

    @property
    def best(self) -> Choice | None:
        """The packs to fit."""
        return self.advice.best if self.advice else None


@lru_cache(maxsize=32)
def plan(case: Case) -> Plan:
    """Forecast, choice and stop advice of one leg as its readings stand."""
    reference = dict(zip(case.set_up.adjusters, _first_doubts(case), strict=True))
    first = first_state(case.set_up, case.offsets, np.array(case.covariance), reference)
    state, update, before, trouble = _taken(case, first)
    packs = case.assemblies[-1].packs if case.assemblies else case.set_up.reference
    present = 0.0 if update is None else min(1.0, chance_in_window(case.set_up, update, packs))
    # Where no packs can save more than a trial costs, they are shown and not advised.
    worth_it = (1 - present) * WRONG > 1
    weighed, why = _choice(case, state)
    advice = weighed if worth_it else None
    told = forecasts(case.set_up, state, packs)
    stop = _stop(case, update, packs, advice, told) if update is not None else None
    suspect, chance, surprises = suspect_of(_last_readings(case), update)
    gaps = missed_windows(case.set_up, advice) if advice else ()
    return Plan(
        told, advice, stop, suspect, chance, surprises,
        _shares(case.set_up, state, packs), _rates(case.set_up, first, state),
        gaps, _explained(case, before, gaps, suspect), trouble or why, weighed,
        case.set_up.adjusters, set_aside(_last_readings(case), update),
    )  # fmt: skip


def _first_doubts(case: Case) -> tuple[float, ...]:
    return case.assemblies[0].was if case.assemblies else tuple(0.0 for _ in case.set_up.adjusters)


def _taken(case: Case, first: State) -> tuple[State, Update | None, State, str]:
    """All assemblies in turn: the state, the last update, the state before it, what went wrong.

    A response that is off the same way at two assemblies, or far off in two readings of one, was
    guessed wrong, not read wrong: its first guess is widened and everything is taken again.
    """
    chain = _chain(case, first)
    for name in _twice_off(case, chain[4]):
        at = first.names.index(f"offset:{name}")
        window = next(r for r in case.set_up.responses if r.name == name)
        wide = window.high - window.low
        covariance = first.covariance.copy()
        covariance[at, at] += (2 * wide if np.isfinite(wide) else 1e-3) ** 2
        first = replace(first, covariance=covariance)
        chain = _chain(case, first)
    return chain[:4]


Chain = tuple[State, Update | None, State, str, list[tuple[str, float]]]


def _chain(case: Case, first: State) -> Chain:
    """One pass through the assemblies, with the suspects by name and which way they were off."""
    state, before, update, trouble = first, first, None, ""
    off: list[tuple[str, float]] = []
    for assembly in case.assemblies:
        for place, name in enumerate(case.set_up.adjusters):
            state = refit(
                state, name, assembly.kept[place], assembly.was[place], assembly.renewed[place]
            )
        before = state
        if not assembly.readings:
            continue
        try:
            update = take_readings(case.set_up, state, assembly.packs, assembly.readings)
        except CasewrightError as error:
            trouble = f"{assembly.occasion}: {error}"
            continue
        state = update.state
        off += off_which_way(assembly.readings, update)
        off += _agreed_off(case, assembly, before)
    return state, update, before, trouble, off


def _agreed_off(case: Case, assembly: Assembly, before: State) -> list[tuple[str, float]]:
    """Readings of a response that was read again, each far off what was expected."""
    told = forecast(case.set_up, before, assembly.packs)
    expected = {
        one.name: (float(mean), float(variance))
        for one, mean, variance in zip(
            case.set_up.responses, told.mean, np.diag(told.covariance), strict=True
        )
    }
    found = []
    for one in assembly.readings:
        mean, variance = expected[one.response]
        surprise = (one.value - mean) / float(np.hypot(np.sqrt(variance), one.deviation))
        if abs(surprise) > FAR_OFF:
            found.append((one.response, surprise))
    again = Counter((name, surprise > 0) for name, surprise in found)
    return [(name, surprise) for name, surprise in found if again[name, surprise > 0] > 1]


def _twice_off(case: Case, off: list[tuple[str, float]]) -> tuple[str, ...]:
    """Responses off the same way twice, at two assemblies or at one."""
    ways = Counter((name, surprise > 0) for name, surprise in off)
    return tuple(name for (name, _), count in ways.items() if count > 1)


def _choice(case: Case, state: State) -> tuple[Advice | None, str]:
    """The best packs of all that the shelf gives."""
    if not case.choosing:
        return None, ""
    present = None if case.present is None else [dict(pack) for pack in case.present]
    reachable = _reachable(case.set_up, state, nearest_middle(case, state))
    try:
        advice = choose(reachable, state, case.shelf, case.rules, present)
    except CasewrightError as error:
        return None, str(error)
    return (advice if reachable == case.set_up else _as_printed(case, state, advice)), ""


def nearest_middle(case: Case, state: State) -> Array:
    """Thicknesses, within the sheet's rules, whose means lie nearest the windows' middles [m]."""
    from scipy.optimize import lsq_linear

    set_up, rules = case.set_up, case.rules
    told = forecast(set_up, state, set_up.reference)
    low = np.array([one.low for one in set_up.responses])
    high = np.array([one.high for one in set_up.responses])
    used = np.isfinite(low) & np.isfinite(high)
    least = np.array([_ends(case, rule)[0] for rule in rules])
    top = np.array([_ends(case, rule)[1] for rule in rules])
    start = np.array(set_up.reference)
    if not used.any():
        return np.asarray(np.clip(start, least, top), np.float64)
    weight = 2 / (high - low)[used]
    table = current_rates(set_up, state)[used] * weight[:, None] * 1e-3
    miss = ((low + high) / 2 - told.mean)[used] * weight
    ends = ((least - start) * 1e3 - 1e-6, (top - start) * 1e3 + 1e-6)
    return np.asarray(start + 1e-3 * lsq_linear(table, miss, ends).x, np.float64)


def _ends(case: Case, rule: PackRules) -> tuple[float, float]:
    """Thinnest and thickest pack; of a spacer the sizes that there are."""
    if rule.most > 1 or rule.names is None:
        return rule.thinnest, min(rule.thickest, MOST)
    sizes = [one.thickness for one in case.shelf if one.name in rule.names and one.count]
    return max(rule.thinnest, min(sizes, default=0.0)), min(rule.thickest, max(sizes, default=MOST))


def _reachable(set_up: SetUp, state: State, wanted: Array) -> SetUp:
    """The same leg with every window that no pack can reach moved to where packs come nearest.

    So the search weighs the windows that can be held; the others are judged as printed after it.
    """
    told = forecasts(set_up, state, tuple(float(want) for want in wanted))
    moved = []
    for one, here in zip(set_up.responses, told, strict=True):
        if here.chance > HOPELESS or not np.isfinite(one.high - one.low):
            moved.append(one)
        else:
            half = (one.high - one.low) / 2
            moved.append(replace(one, low=here.mean - half, high=here.mean + half))
    return replace(set_up, responses=tuple(moved))


def _as_printed(case: Case, state: State, advice: Advice) -> Advice:
    """The choices judged by the windows as printed."""

    def judged(one: Choice) -> Choice:
        chance = present_chance(case.set_up, state, one.thickness)
        return replace(one, chance=chance, forecasts=forecasts(case.set_up, state, one.thickness))

    present = judged(advice.present) if advice.present else None
    others = tuple(judged(one) for one in advice.runners_up)
    return replace(advice, best=judged(advice.best), runners_up=others, present=present)


def _stop(
    case: Case,
    update: Update,
    packs: tuple[float, ...],
    advice: Advice | None,
    told: tuple[ResponseForecast, ...],
) -> StopAdvice:
    """Stop or not, by the lower chance of ours and of a sceptic's."""
    chance = chance_in_window(case.set_up, update, packs)
    reference = dict(zip(case.set_up.adjusters, _first_doubts(case), strict=True))
    first = first_state(case.set_up, case.offsets, np.array(case.covariance), reference)
    _, doubting, _, _ = _taken(case, sceptic(first))
    if doubting is not None:
        chance = min(chance, chance_in_window(case.set_up, doubting, packs))
    after = max(chance, advice.best.chance if advice else chance)
    price = max(case.trial_price, 1e-6)
    suspect, _, _ = suspect_of(_last_readings(case), update)
    prices, repeats = Prices(price, WRONG * price), _repeats(case, told)
    return stop_advice(min(chance, 1.0), min(after, 1.0), prices, repeats, suspect, case.vetoes)


def _repeats(case: Case, told: tuple[ResponseForecast, ...]) -> int:
    """How often the responses that are in doubt were read at this assembly, the fewest."""
    counts = dict(case.readings)
    unsure = [one.name for one in told if one.chance < SURE] or list(counts)
    return min((counts.get(name, 0) for name in unsure), default=1)


def _last_readings(case: Case) -> tuple[Reading, ...]:
    """Readings of the last assembly that was read."""
    return next((a.readings for a in reversed(case.assemblies) if a.readings), ())


def forecasts(
    set_up: SetUp, state: State, packs: tuple[float, ...]
) -> tuple[ResponseForecast, ...]:
    """Each response with the packs as they are: mean, 95 % interval, its window's chance."""
    from casewright.reasoning.shim_rectangle import marginal_chance

    told = forecast(set_up, state, packs)
    spread = np.sqrt(np.maximum(np.diag(told.covariance), 1e-24))
    low = np.array([r.low + r.half_range for r in set_up.responses])
    high = np.array([r.high - r.half_range for r in set_up.responses])
    extra = np.array([r.half_range_deviation**2 for r in set_up.responses])
    chance = marginal_chance(told.mean, spread**2 + extra, low, high)
    return tuple(
        ResponseForecast(
            one.name, float(m), float(s), float(m - WIDTH_95 * s), float(m + WIDTH_95 * s), float(p)
        )
        for one, m, s, p in zip(set_up.responses, told.mean, spread, chance, strict=True)
    )


def _shares(
    set_up: SetUp, state: State, packs: tuple[float, ...]
) -> tuple[tuple[str, tuple[Share, ...]], ...]:
    rows = response_rows(set_up, state, packs)
    return tuple(
        (one.name, variance_shares(state, row))
        for one, row in zip(set_up.responses, rows, strict=True)
    )


def _rates(set_up: SetUp, first: State, state: State) -> tuple[RateNow, ...]:
    sources = rate_sources(set_up, first, state)
    now = current_rates(set_up, state)
    keys = [one.name for one in set_up.responses]
    found = []
    for rate in set_up.sensitivities:
        name = f"{rate.response}|{rate.adjuster}"
        if f"rate:{name}" in state.names:
            at = state.names.index(f"rate:{name}")
            place = keys.index(rate.response), set_up.adjusters.index(rate.adjuster)
            doubt = float(np.sqrt(max(state.covariance[at, at], 0.0)))
            found.append(
                RateNow(rate.response, rate.adjuster, float(now[place]), doubt, sources[name])
            )
    return tuple(found)


def _explained(
    case: Case, before: State, gaps: tuple[Gap, ...], suspect: str
) -> tuple[Ranked, ...]:
    """What would explain it, only where no pack reaches a window or a reading doesn't fit."""
    read = [a for a in case.assemblies if a.readings]
    if not (gaps or suspect) or not read:
        return ()
    gauges: dict[str, list[str]] = {}
    for reading in read[-1].readings:
        gauges.setdefault(f"gauge of {reading.response}", []).append(reading.response)
    # A gauge that is off is so by ten of its doubts, in its own unit: assumed.
    off = {gauge.name: 10 * gauge.doubt for gauge in case.set_up.gauges}
    explanations = usual_explanations(case.set_up.sensitivities, gauges, off)
    try:
        return rank_explanations(
            case.set_up, before, read[-1].packs, read[-1].readings, explanations
        )[:5]
    except CasewrightError:
        return ()
