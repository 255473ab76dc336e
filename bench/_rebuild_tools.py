"""The choosers of benchmark `rebuilds`, for many legs at once.

The tool is the library's own model, update and chances; only the walk over packs is written
for many legs (nearest seven packs at each seat, best sixteen settled by the joint chance),
and `agreement` compares it with the library's exact search leg by leg.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bench._rebuild_world import (
    HEIGHT_WINDOW,
    LASH,
    LASH_WINDOW,
    MM,
    MOST,
    REFERENCE,
    SEATS,
    SHELF_SIZES,
    rate_matrix,
)
from casewright.reasoning.shim_choice import choose
from casewright.reasoning.shim_model import (
    Gauge,
    Response,
    Sensitivity,
    SetUp,
    State,
    first_state,
)
from casewright.reasoning.shim_moments import moments, pack_moments
from casewright.reasoning.shim_prior import (
    Dimension,
    DryReading,
    build_rows,
    dry_row,
    first_dimensions,
    was_right,
)
from casewright.reasoning.shim_rectangle import marginal_chance, rectangle_chance
from casewright.reasoning.shim_stock import PackRules, ShelfShim, pack_classes, thinned
from casewright.reasoning.shim_update import Reading, condition, misread_chances, reading_rows

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
RESPONSES = ("height", "ahead lash", "astern lash")
GAUGES = ("height gauge", "dial", "dial")


@dataclass(frozen=True)
class Belief:
    """What a chooser assumes beforehand [m]: seats, rates, gauge doubt, swing, wrong readings."""

    seat: float
    factor: float
    factor_doubt: float
    height_doubt: float
    dial_doubt: float
    swing: float
    swing_doubt: float
    gauge: float = 0.01 * MM
    shim: float = 0.004 * MM
    misreads: bool = True


# the sheet prints seats ±0.08; limits are taken as two standard deviations
TOOL = Belief(0.08 * MM / 2, 0.435, 0.045, 0.010 * MM, 0.010 * MM, 0.018 * MM, 0.010 * MM)


def true_belief() -> Belief:
    """The reference's: the spread that the legs are really drawn from."""
    swing = 0.02 * MM / np.sqrt(2)
    doubt = (0.51 - 0.36) / np.sqrt(12)
    mean, deviation = swing * np.sqrt(np.pi / 2), swing * np.sqrt(2 - np.pi / 2)
    return Belief(0.04 * MM, 0.435, doubt, 0.0, 0.0, mean, deviation, misreads=False)


def set_up(belief: Belief) -> SetUp:
    """The library's set-up for these legs."""
    rates, doubts = rate_matrix(belief.factor), rate_matrix(belief.factor_doubt)
    rows = [Sensitivity("height", "pinion", 1.0, 0.0)]
    for r in (1, 2):
        for s in (0, r):
            doubt = abs(float(doubts[r, s]))
            rate = float(rates[r, s])
            rows.append(Sensitivity(RESPONSES[r], SEATS[s], rate, doubt, "geometry", "angles"))
    lash = (LASH - LASH_WINDOW, LASH + LASH_WINDOW, belief.swing, belief.swing_doubt)
    responses = (
        Response("height", -HEIGHT_WINDOW, HEIGHT_WINDOW),
        Response("ahead lash", *lash),
        Response("astern lash", *lash),
    )
    gauges = (Gauge("height gauge", belief.height_doubt), Gauge("dial", belief.dial_doubt))
    return SetUp(responses, SEATS, tuple(rows), (REFERENCE,) * 3, gauges)


def blind_state(belief: Belief) -> State:
    """First guess from the sheet's seat tolerances alone."""
    rates = rate_matrix(belief.factor)
    spread = rates @ rates.T * belief.seat**2
    return first_state(set_up(belief), [0.0, LASH, LASH], spread)


def informed_state(belief: Belief, dry: Array, old_pack: float = 0.003 * MM) -> State:
    """First guess from the old packs in the old housing and the seats read in both, [N]."""
    rates = rate_matrix(belief.factor)
    chain = [
        Dimension(name, belief.seat, {r: float(rates[i, s]) for i, r in enumerate(RESPONSES)}, True)
        for s, name in enumerate(SEATS)
    ]
    state = first_dimensions(chain)
    names = state.names
    old = build_rows(chain, RESPONSES, names, old=True)
    new = build_rows(chain, RESPONSES, names, old=False)
    return _after_dry(belief, state, old, new, dry, rates * old_pack)


def _after_dry(
    belief: Belief, state: State, old: Array, new: Array, dry: Array, packs: Array
) -> State:
    """Old build right (its packs measured), then the shoulders' differences."""
    count, size = len(dry), len(RESPONSES)
    nominal = np.zeros(size)
    half = np.array([HEIGHT_WINDOW, LASH_WINDOW, LASH_WINDOW])
    low, high = -half, half
    # the old packs' nominal thickness is the unknown that made the old build right: offsets
    # are told from the old build, so its own rows are given a wide common start
    names = (*state.names, *(f"built:{name}" for name in RESPONSES))
    wide = np.diag(np.full(size, (1.0 * MM) ** 2)) + packs @ packs.T
    covariance = np.block([[state.covariance, np.zeros((6, size))], [np.zeros((size, 6)), wide]])
    whole = State(names, np.zeros(len(names)), covariance)
    old = np.hstack([old, np.eye(size)])
    new = np.hstack([new, np.eye(size)])
    whole = was_right(whole, old, nominal, low, high)
    readings = [
        DryReading(name, {f"new:{name}": 1.0, f"old:{name}": -1.0}, belief.gauge * np.sqrt(2), 4.0)
        for name in SEATS
    ]
    rows = np.stack([dry_row(names, reading) for reading in readings])
    noise = [reading.deviation**2 for reading in readings]
    many = replace(whole, mean=np.broadcast_to(whole.mean, (count, len(names))))
    many = condition(many, rows, dry, noise)
    spread = new @ many.covariance @ new.T + packs @ packs.T
    mean = np.array([0.0, LASH, LASH]) + many.mean @ new.T
    first = first_state(set_up(belief), mean[0], spread)
    means = np.tile(first.mean, (count, 1))
    means[:, :size] = mean
    return replace(first, mean=means)


def many(state: State, count: int) -> State:
    """One state for many legs."""
    size = len(state.names)
    if state.covariance.ndim == 3:
        return state
    return replace(
        state,
        mean=np.array(np.broadcast_to(state.mean, (count, size))),
        covariance=np.array(np.broadcast_to(state.covariance, (count, size, size))),
    )


def shelf() -> tuple[list[ShelfShim], PackRules]:
    """Plenty of eight thicknesses, at most six a pack."""
    shims = [ShelfShim(f"{size:.2f}", size * MM, 18) for size in SHELF_SIZES]
    return shims, PackRules(most=MOST)


def pack_list() -> tuple[Array, Array]:
    """Thickness of every pack and the fewest shims that make it, thinnest first."""
    classes = pack_classes(*shelf())
    best = thinned(classes, 1)
    order = best[np.argsort(classes.thickness[best])]
    return classes.thickness[order], classes.count[order].astype(float)


@dataclass
class Windows:
    """Limits for the means of each leg, narrowed by its swing, and the swing's doubt."""

    low: Array
    high: Array
    extra: Array

    def only(self, which: Array) -> Windows:
        """Those of some legs."""
        return Windows(self.low[which], self.high[which], self.extra)


def windows_of(swing: Array, doubt: float) -> Windows:
    """Windows from the swing believed [N, 2]."""
    count = len(swing)
    half = np.column_stack([np.full(count, HEIGHT_WINDOW), LASH_WINDOW - swing])
    middle = np.array([0.0, LASH, LASH])
    extra = np.array([0.0, doubt**2, doubt**2])
    return Windows(middle - half, middle + half, extra)


def present_chances(belief: Belief, state: State, packs: Array, frame: Windows) -> Array:
    """Joint chance of the packs as fitted, [N]."""
    law = moments(set_up(belief), state)
    stay = np.ones((len(packs), 1, 3))
    mean, covariance = pack_moments(law, packs[:, None, :], 0 * stay, stay, swing=False)
    spread = covariance[:, 0] + np.diag(frame.extra)
    return rectangle_chance(mean[:, 0], spread, frame.low, frame.high)


def best_packs(
    belief: Belief, state: State, now: Array, frame: Windows, table: tuple[Array, Array]
) -> tuple[Array, Array]:
    """Packs with the best joint chance and that chance, [N, 3] and [N]."""
    law = moments(set_up(belief), state)
    size, near = 3, 7
    middle = (frame.low + frame.high) / 2
    miss = (middle - law.mean[:, :, 0])[..., None]
    wanted = REFERENCE + np.linalg.solve(law.mean[:, :, 1 : 1 + size], miss)[..., 0]
    centre = np.clip(np.searchsorted(table[0], wanted), near // 2, len(table[0]) - near // 2 - 1)
    grid = np.array(list(product(range(near), repeat=size))) - near // 2
    index = centre[:, None, :] + grid
    top = _screen(law, table, index, now, frame)
    index = np.take_along_axis(index, top[..., None], axis=1)
    thickness, variance, kept = _columns(belief, table, index, now)
    mean, covariance = pack_moments(law, thickness, variance, kept, swing=False)
    spread = covariance + np.diag(frame.extra)
    low, high = frame.low[:, None, :], frame.high[:, None, :]
    chance = rectangle_chance(mean, spread, low, high, coarse=True)
    best = chance.argmax(axis=1)
    rows = np.arange(len(best))
    picked = spread[rows, best], thickness[rows, best]
    exact = rectangle_chance(mean[rows, best], picked[0], frame.low, frame.high)
    return picked[1], exact


def _columns(
    belief: Belief, table: tuple[Array, Array], index: Array, now: Array
) -> tuple[Array, Array, Array]:
    """Thickness, fresh variance, kept flag of combinations [N, K, 3]."""
    thickness = table[0][index]
    kept = (np.abs(thickness - now[:, None, :]) < 1e-8).astype(float)
    return thickness, table[1][index] * belief.shim**2 * (1 - kept), kept


def _screen(
    law: object, table: tuple[Array, Array], index: Array, now: Array, frame: Windows
) -> Array:
    """The sixteen of 343 with the best product of the windows' own chances."""
    mean_law, covariance = law.mean, law.covariance  # type: ignore[attr-defined]
    change = table[0][index] - REFERENCE
    mean = mean_law[:, None, :, 0] + np.einsum("nks,nrs->nkr", change, mean_law[:, :, 1:4])
    spread = np.einsum("nrr->nr", covariance[:, :, 0, :, 0]) + 4 * (0.004 * MM) ** 2 + frame.extra
    low, high = frame.low[:, None, :], frame.high[:, None, :]
    chance = marginal_chance(mean, spread[:, None, :], low, high).prod(axis=2)
    return np.argpartition(-chance, 16, axis=1)[:, :16]


@dataclass
class Learned:
    """After a trial: likeliest state, joint chance of the packs as fitted, a reading suspect."""

    state: State
    chance: Array
    suspect: Flags


def learn(
    belief: Belief, state: State, packs: Array, values: Array, frame: Windows, ask: Flags
) -> Learned:
    """All sets of readings of one assembly [N, 3 a set] taken together, one wrong at most.

    The chance is worked out for the legs in `ask`; it stays 1 for the others.
    """
    setup = set_up(belief)
    readings = [
        Reading(name, 0.0, belief.gauge, gauge)
        for name, gauge in zip(RESPONSES, GAUGES, strict=True)
    ]
    rows = reading_rows(setup, state, packs, readings)
    rows = np.concatenate([rows] * (values.shape[1] // 3), axis=1)
    noise = np.full(values.shape, belief.gauge**2)
    if not belief.misreads:
        return Learned(condition(state, rows, values, noise), np.ones(len(packs)), packs[:, 0] < 0)
    odds, spreads = misread_chances(state, rows, values, noise)
    best = odds.argmax(axis=1)
    legs = np.arange(len(best))
    after = condition(state, rows, values, spreads[legs, best])
    chance = np.where(ask, 0.0, 1.0)
    for i in range(odds.shape[1]):
        likely = np.flatnonzero(ask & (odds[:, i] > 1e-3))
        if len(likely):
            part = condition(only(state, likely), rows[likely], values[likely], spreads[likely, i])
            inside = present_chances(belief, part, packs[likely], frame.only(likely))
            chance[likely] += odds[likely, i] * inside
    return Learned(after, chance, best > 0)


def only(state: State, which: Array) -> State:
    """The state of some legs."""
    return replace(state, mean=state.mean[which], covariance=state.covariance[which])


def renew(belief: Belief, state: State, changed: Array, count: Array) -> State:
    """Changed packs get fresh deviations in the state."""
    mean, covariance = state.mean.copy(), state.covariance.copy()
    for s, name in enumerate(SEATS):
        place = state.names.index(f"pack:{name}")
        keep = np.where(changed[:, s], 0.0, 1.0)
        mean[:, place] *= keep
        covariance[:, place, :] *= keep[:, None]
        covariance[:, :, place] *= keep[:, None]
        covariance[:, place, place] += (1 - keep) * count[:, s] * belief.shim**2
    return replace(state, mean=mean, covariance=covariance)


def agreement(count: int) -> float:
    """Share of legs on which the walk in bulk is as good as the library's exact search."""
    draw = np.random.default_rng(3)
    setup, (shims, rules), table = set_up(TOOL), shelf(), pack_list()
    start = blind_state(TOOL)
    shifts = draw.normal(0, 0.06 * MM, (count, 3))
    legs = many(start, count)
    legs.mean[:, :3] += shifts
    frame = windows_of(np.full((count, 2), TOOL.swing), TOOL.swing_doubt)
    _, chance = best_packs(TOOL, legs, np.zeros((count, 3)), frame, table)
    good = 0
    for place in range(count):
        one = replace(start, mean=legs.mean[place])
        exact = choose(setup, one, shims, [rules] * 3).best.chance
        good += bool(chance[place] >= exact - 1e-3)
    return good / count
