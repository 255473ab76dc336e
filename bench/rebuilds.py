"""Virtual rebuilds: assemblies until truly in window, and how often "stop" was wrong.

Thousands of legs with a new housing and three shimmed seats are drawn from a spread of our
own (printed beside each row; nothing here was measured on a real leg). An assembly is: fit
packs, read height and both lashes, decide. A leg counts its assemblies until the first one
that is truly in window, run-out's extremes included; a chooser that says "stop" on a leg out
of window has stopped wrongly (its leg goes on, as when the final reading finds it). "Read
again" takes no assembly; after four sets of readings the chooser declines, which is not a
stop, and fits its best packs.

References in the same run, on the same legs: a one-step-best chooser that knows the true
spread and sees the same readings; rounding the algebraic answer (nearest packs for all seats
at once, stop when the readings are in window); one seat at a time (height, then ahead, then
astern). `excess_over_reference` is the tool's mean from sheet tolerances alone over that of
the one-step-best chooser. The worst share of wrong stops is taken over doubled spread, a
gauge biased by 0.02 (height gauge, dial), 5 % wrong readings and a wrong pressure angle.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from time import perf_counter

import numpy as np

from bench._rebuild_tools import (
    TOOL,
    Array,
    Belief,
    agreement,
    best_packs,
    blind_state,
    informed_state,
    learn,
    many,
    only,
    pack_list,
    renew,
    set_up,
    true_belief,
    windows_of,
)
from bench._rebuild_world import (
    HEIGHT_WINDOW,
    LASH,
    LASH_WINDOW,
    MM,
    REFERENCE,
    Legs,
    Spread,
    draw_legs,
    rate_matrix,
)
from casewright.reasoning.shim_model import State, forecast
from casewright.reasoning.shim_stop import Prices, sceptic, stop_advice

MOST_ASSEMBLIES = 8
READINGS = 4
PRICES = Prices()


@dataclass
class Outcome:
    """What happened to each leg: first assembly in window, whether stopped, whether wrongly."""

    assemblies: Array
    at_stop: Array
    wrong: Array
    stopped: Array
    covered: float

    def row(self, name: str) -> str:
        """One line of the table."""
        if not self.stopped.any():  # a chooser that is not asked to stop
            return f"{name:44s} {self.assemblies.mean():6.3f} {100 * self.covered:37.1f} %"
        return (
            f"{name:44s} {self.assemblies.mean():6.3f} {self.at_stop.mean():6.3f} "
            f"{100 * self.wrong.mean():6.2f} % {100 * (1 - self.stopped.mean()):6.2f} % "
            f"{100 * self.covered:6.1f} %"
        )


@dataclass
class Bench:
    """What lies on the bench: legs, beliefs (the sceptic's too), packs, swings as now known."""

    legs: Legs
    belief: Belief
    states: list[State]
    packs: Array
    swing: Array
    doubt: float
    table: tuple[Array, Array]

    def choose(self, rows: Array) -> tuple[Array, Array]:
        """Best packs and their chance for legs `rows` (states already cut to them)."""
        frame = windows_of(self.swing[rows], self.doubt)
        return best_packs(self.belief, self.states[0], self.packs[rows], frame, self.table)


def rebuild(legs: Legs, belief: Belief, state: State, stops: bool) -> Outcome:
    """The Bayesian choosers: the tool (stops), or the one-step-best reference (never does)."""
    count = len(legs.offset)
    rows = np.arange(count)
    tally = Tally(count)
    swing = np.full((count, 2), belief.swing)
    states = [many(state, count), many(sceptic(state) if belief.misreads else state, count)]
    bench = Bench(
        legs, belief, states, np.zeros((count, 3)), swing, belief.swing_doubt, pack_list()
    )
    for assembly in range(1, MOST_ASSEMBLIES + 1):
        _fit(bench, rows, bench.choose(rows)[0])
        tally.cover(bench, rows)
        right = legs.in_window(rows, bench.packs[rows])
        says = _decide(bench, rows) & stops
        tally.note(rows, assembly, right, says)
        going = ~(says & right) if stops else ~right
        rows, bench.states = rows[going], [only(one, going) for one in bench.states]
        if not len(rows):
            break
    return tally.outcome()


class Tally:
    """Counts of one run."""

    def __init__(self, count: int) -> None:
        self.first = np.full(count, float(MOST_ASSEMBLIES + 1))
        self.at_stop = np.full(count, float(MOST_ASSEMBLIES))
        self.wrong, self.stopped = np.zeros(count, bool), np.zeros(count, bool)
        self.hits = self.total = 0

    def note(self, rows: Array, assembly: int, right: Array, says: Array) -> None:
        """One assembly of legs `rows`: truly in window or not, "stop" said or not."""
        self.first[rows] = np.where(right, np.minimum(self.first[rows], assembly), self.first[rows])
        fresh = says & ~self.stopped[rows]
        self.at_stop[rows] = np.where(fresh, assembly, self.at_stop[rows])
        self.wrong[rows] |= fresh & ~right
        self.stopped[rows] |= fresh

    def cover(self, bench: Bench, rows: Array) -> None:
        """Whether forecasts before reading hold the truth."""
        inside = forecast(set_up(bench.belief), bench.states[0], bench.packs[rows])
        deviation = np.sqrt(np.einsum("nrr->nr", inside.covariance))
        miss = np.abs(bench.legs.truth(rows, bench.packs[rows]) - inside.mean)
        self.hits += int((miss <= 1.959964 * deviation).sum())
        self.total += miss.size

    def outcome(self) -> Outcome:
        """The run's outcome."""
        covered = self.hits / self.total if self.total else np.nan
        return Outcome(self.first, self.at_stop, self.wrong, self.stopped, covered)


def _fit(bench: Bench, rows: Array, wanted: Array) -> None:
    """Fit the wanted packs: fresh deviations in truth and in the states where they change."""
    changed = np.abs(wanted - bench.packs[rows]) > 1e-8
    counts = bench.table[1][np.searchsorted(bench.table[0], wanted - 1e-9)]
    bench.legs.fit(rows, changed, counts)
    bench.packs[rows] = wanted
    bench.states = [renew(bench.belief, one, changed, counts) for one in bench.states]


def _decide(bench: Bench, rows: Array) -> Array:
    """Read, and read again while that is the advice: who says stop."""
    _learn_swing(bench, rows)
    says = np.zeros(len(rows), bool)
    asking = np.arange(len(rows))
    before, values = bench.states, np.zeros((len(rows), 0))
    for taken in range(1, READINGS + 1):
        legs = rows[asking]
        packs = bench.packs[legs]
        values = np.hstack([values, bench.legs.read(legs, packs)])
        frame = windows_of(bench.swing[legs], bench.doubt)
        ask = np.ones(len(legs), bool)
        found = []
        for one in before:
            found.append(learn(bench.belief, only(one, asking), packs, values, frame, ask))
            ask = ask & (found[0].chance >= PRICES.ask)
        bench.states = [
            _put(one, asking, new.state) for one, new in zip(bench.states, found, strict=True)
        ]
        if not bench.belief.misreads:
            continue
        chance = np.minimum(found[0].chance, found[1].chance)
        suspect = found[0].suspect | found[1].suspect
        better = np.ones(len(legs))
        open_ = ~suspect & (chance < PRICES.ask)
        open_ &= (taken >= PRICES.repeats) | (chance <= PRICES.hopeless)
        if open_.any():
            part = only(found[0].state, open_)
            better[open_] = best_packs(
                bench.belief, part, packs[open_], frame.only(open_), bench.table
            )[1]
        word = _words(chance, better, taken, suspect)
        says[asking[word == "stop"]] = True
        again = word == "read again"
        asking, values = asking[again], values[again]
        if not len(asking):
            break
    return says


def _words(chance: Array, after: Array, taken: int, suspect: Array) -> Array:
    """The library's stop advice for each leg."""
    return np.array(
        [
            stop_advice(min(c, 1.0), min(a, 1.0), PRICES, taken, "a reading" if s else "").word
            for c, a, s in zip(chance, after, suspect, strict=True)
        ]
    )


def _learn_swing(bench: Bench, rows: Array) -> None:
    """The lash's swing from six positions, joined to what was believed."""
    noise = (bench.belief.gauge**2) * 2 / 6
    weight = bench.doubt**2 / (bench.doubt**2 + noise)
    bench.swing[rows] += weight * (bench.legs.read_swing(rows) - bench.swing[rows])
    bench.doubt = float(np.sqrt(bench.doubt**2 * (1 - weight)))


def _put(state: State, which: Array, part: State) -> State:
    """The state with some legs replaced."""
    mean, covariance = state.mean.copy(), state.covariance.copy()
    mean[which], covariance[which] = part.mean, part.covariance
    return replace(state, mean=mean, covariance=covariance)


def rule_of_thumb(legs: Legs, one_seat: bool) -> Outcome:
    """Round the algebraic answer, or mend one seat at a time; stop when readings are in window."""
    count = len(legs.offset)
    table = pack_list()
    rates = rate_matrix(TOOL.factor)
    packs = np.full((count, 3), REFERENCE)
    rows = np.arange(count)
    legs.fit(rows, np.ones((count, 3), bool), np.full((count, 3), 2.0))
    tally = Tally(count)
    middle = np.array([0.0, LASH, LASH])
    half = np.array([HEIGHT_WINDOW, LASH_WINDOW, LASH_WINDOW])
    for assembly in range(1, MOST_ASSEMBLIES + 1):
        right = legs.in_window(rows, packs[rows])
        values = legs.read(rows, packs[rows])
        swing = np.column_stack([np.zeros(len(rows)), legs.read_swing(rows)])
        out = np.abs(values - middle) + swing > half
        tally.note(rows, assembly, right, ~out.any(axis=1))
        wanted = _thumb_packs(packs[rows], middle - values, rates, out, one_seat, table)
        changed = np.abs(wanted - packs[rows]) > 1e-8
        counts = table[1][np.searchsorted(table[0], wanted - 1e-9)]
        legs.fit(rows, changed, counts)
        packs[rows] = wanted
        rows = rows[~(right & ~out.any(axis=1))]
        if not len(rows):
            break
    return tally.outcome()


def _thumb_packs(
    packs: Array, miss: Array, rates: Array, out: Array, one_seat: bool, table: tuple[Array, Array]
) -> Array:
    """The packs a rule of thumb asks for, rounded to the nearest that the shelf makes."""
    if one_seat:
        seat = np.where(out.any(axis=1), out.argmax(axis=1), 0)
        step = np.zeros_like(packs)
        legs = np.arange(len(packs))
        step[legs, seat] = miss[legs, seat] / rates[seat, seat]
    else:
        step = np.linalg.solve(rates, miss[..., None])[..., 0]
    wanted = packs + step
    upper = np.clip(np.searchsorted(table[0], wanted), 1, len(table[0]) - 1)
    lower = upper - 1
    nearer = wanted - table[0][lower] < table[0][upper] - wanted
    rounded = np.where(nearer, table[0][lower], table[0][upper])
    return np.where(step == 0, packs, rounded)


def _run(count: int, spread: Spread, seed: int, dry: bool, belief: Belief = TOOL) -> Outcome:
    """The tool on freshly drawn legs."""
    legs = draw_legs(count, spread, seed, old=dry)
    state = informed_state(belief, legs.dry) if dry else blind_state(belief)
    return rebuild(legs, belief, state, stops=True)


def stresses() -> dict[str, tuple[Spread, Belief]]:
    """Worlds in which the tool's assumptions are wrong."""
    straight = replace(TOOL, factor=0.37, factor_doubt=0.02)
    return {
        "doubled spread": (Spread(seat=0.08 * MM, old_build=2 / 3, shim=0.008 * MM), TOOL),
        "height gauge off by 0.02": (Spread(height_bias=0.02 * MM), TOOL),
        "dial off by 0.02": (Spread(dial_bias=0.02 * MM), TOOL),
        "5 % wrong readings": (Spread(outliers=0.05), TOOL),
        "wrong pressure angle": (Spread(factor=(0.50, 0.51)), straight),
    }


def _declared(count: int) -> tuple[dict[str, Outcome], dict[str, float]]:
    """All choosers on the declared spread."""
    spread, known = Spread(), true_belief()
    found = {
        "tool, dry readings first": _run(count, spread, 11, dry=True),
        "tool, sheet tolerances alone": _run(count, spread, 12, dry=False),
    }
    legs = draw_legs(count, spread, 12, old=False)
    found["one-step-best, knows the true spread"] = rebuild(
        legs, known, blind_state(known), stops=False
    )
    thumb: Callable[[bool], Outcome] = lambda one: rule_of_thumb(  # noqa: E731
        draw_legs(count, spread, 12, old=False), one
    )
    found["rounding the algebraic answer"] = thumb(False)
    found["one seat at a time"] = thumb(True)
    checked = replace(TOOL, height_doubt=0.002 * MM, dial_doubt=0.002 * MM)
    found["tool, dry readings, gauges checked first"] = _run(count, spread, 11, True, checked)
    dry, blind, best, algebra, seat, sure = found.values()
    return found, {
        "mean_assemblies": float(dry.assemblies.mean()),
        "mean_assemblies_blind": float(blind.assemblies.mean()),
        "excess_over_reference": float(blind.assemblies.mean() / best.assemblies.mean()),
        "wrongly_stopped": float(max(one.wrong.mean() for one in (dry, blind, sure))),
        "mean_assemblies_until_stop": float(dry.at_stop.mean()),
        "mean_assemblies_until_stop_gauges_checked": float(sure.at_stop.mean()),
        "mean_assemblies_algebraic": float(algebra.assemblies.mean()),
        "wrongly_stopped_algebraic": float(algebra.wrong.mean()),
        "mean_assemblies_one_seat": float(seat.assemblies.mean()),
        "wrongly_stopped_one_seat": float(seat.wrong.mean()),
        "coverage_95": float(dry.covered),
        "coverage_95_blind": float(blind.covered),
    }


def run(quick: bool = False) -> dict[str, float]:
    """Print the table of all choosers and worlds; return the figures."""
    count = 500 if quick else 5000
    start = perf_counter()
    print(f"{count} virtual legs a row, drawn from our own assumptions; nothing measured.")
    print("declared: " + Spread().words())
    heads = "assemblies until in window / until stop, stopped wrongly, declined, 95 % covers"
    print(heads)
    found, figures = _declared(count)
    for name, outcome in found.items():
        print(outcome.row(name))
    worst, mean = 0.0, 0.0
    for name, (spread, belief) in stresses().items():
        print(f"{name}: {spread.words()}")
        for dry in (True, False):
            outcome = _run(count, spread, 21, dry, belief)
            print(outcome.row("   dry readings first" if dry else "   sheet tolerances alone"))
            worst, mean = (
                max(worst, float(outcome.wrong.mean())),
                max(mean, outcome.assemblies.mean()),
            )
    figures["wrongly_stopped_worst"] = worst
    figures["mean_assemblies_worst"] = float(mean)
    figures["agreement"] = agreement(20 if quick else 60)
    print(f"bulk chooser as good as the exact search: {100 * figures['agreement']:.0f} % of legs")
    figures["housings"] = float(count)
    figures["seconds"] = perf_counter() - start
    return figures
