"""Shim choice: exact search over the shelf's packs against exhaustive search.

The reference evaluates the joint chance of every combination of distinct (thickness, count)
classes, in bulk, with few nodes first and many for those that can still be the best: as lean
as exhaustive can be. It runs at a size that it allows (three seats, four thicknesses, up to
three a pack). `seconds` is ours at full size: three seats, eight thicknesses, up to six a
pack, shared shelf stock, runners-up and forecasts included (median over legs).
"""

from __future__ import annotations

from statistics import median
from time import perf_counter

import numpy as np

from casewright.reasoning.shim_choice import choose
from casewright.reasoning.shim_model import (
    Response,
    Sensitivity,
    SetUp,
    State,
    first_state,
    windows,
)
from casewright.reasoning.shim_moments import moments, pack_moments
from casewright.reasoning.shim_rectangle import rectangle_chance
from casewright.reasoning.shim_stock import PackRules, ShelfShim, pack_classes

MM = 1e-3
FULL = (0.05, 0.08, 0.10, 0.13, 0.15, 0.20, 0.30, 0.50)
SMALL = (0.10, 0.13, 0.20, 0.30)


def leg(draw: np.random.Generator, reference: float) -> tuple[SetUp, State]:
    """A leg with two meshes, drawn from our own assumptions."""
    factor, doubt = draw.uniform(0.36, 0.51), 0.04
    sines = (0.447, 0.894)
    rows = [Sensitivity("height", "pinion", 1.0, 0.0)]
    for lash in ("ahead", "astern"):
        for seat, sign in (("pinion", sines[0]), (lash, -sines[1])):
            value = 2 * factor * sign
            rows.append(Sensitivity(lash, seat, value, abs(2 * doubt * sign), "geometry", "angles"))
    lash = (0.125 * MM, 0.275 * MM, 0.02 * MM, 0.005 * MM)
    responses = (
        Response("height", -0.05 * MM, 0.05 * MM),
        Response("ahead", *lash),
        Response("astern", *lash),
    )
    seats = ("pinion", "ahead", "astern")
    set_up = SetUp(responses, seats, tuple(rows), (reference,) * 3)
    rates = np.array(
        [
            [r.value for r in rows if r.response == n and r.adjuster == s] or [0.0]
            for n in ("height", "ahead", "astern")
            for s in seats
        ]
    )
    spread = rates.reshape(3, 3)
    sd = draw.uniform(0.012, 0.04) * MM
    middle = np.array([0.0, 0.2 * MM, 0.2 * MM]) + spread @ draw.normal(0, 0.05 * MM, 3)
    return set_up, first_state(set_up, middle, spread @ spread.T * sd**2)


def exhaustive(set_up: SetUp, state: State, shelf: list[ShelfShim], rule: PackRules) -> float:
    """Best joint chance over all combinations of classes."""
    low, high, _ = windows(set_up)
    classes = [pack_classes(shelf, rule) for _ in set_up.adjusters]
    grid = np.stack(np.meshgrid(*[np.arange(len(c.thickness)) for c in classes], indexing="ij"))
    index = grid.reshape(len(classes), -1).T
    columns = [
        np.stack([getattr(c, name)[i] for c, i in zip(classes, index.T, strict=True)], axis=1)
        for name in ("thickness", "variance", "kept")
    ]
    mean, covariance = pack_moments(moments(set_up, state), *columns)
    rough = rectangle_chance(mean, covariance, low, high, coarse=True)
    near = rough >= rough.max() - 4e-3
    return float(rectangle_chance(mean[near], covariance[near], low, high).max())


def _small(count: int) -> tuple[float, float, int]:
    """Seconds of the reference and of ours, and how often ours is a worse optimum."""
    draw = np.random.default_rng(5)
    shelf = [ShelfShim(f"{size:.2f}", size * MM, 9) for size in SMALL]
    rule = PackRules(most=3)
    reference = ours = 0.0
    worse = 0
    for _ in range(count):
        set_up, state = leg(draw, 0.60 * MM)
        start = perf_counter()
        best = exhaustive(set_up, state, shelf, rule)
        middle = perf_counter()
        found = choose(set_up, state, shelf, [rule] * 3)
        ours += perf_counter() - middle
        reference += middle - start
        worse += found.best.chance < best - 5e-4 - 1e-9
    return reference / count, ours / count, worse


def _full(count: int) -> list[float]:
    """Seconds of each full choice with packs fitted and shared stock."""
    draw = np.random.default_rng(6)
    shelf = [ShelfShim(f"{size:.2f}", size * MM, 6) for size in FULL]
    seconds = []
    for _ in range(count):
        set_up, state = leg(draw, 0.80 * MM)
        start = perf_counter()
        choose(set_up, state, shelf, [PackRules()] * 3, [{"0.50": 1, "0.30": 1}] * 3)
        seconds.append(perf_counter() - start)
    return seconds


def run(quick: bool = False) -> dict[str, float]:
    """Print both sizes; return the ratio and the seconds at full size."""
    _small(1)
    reference, ours, worse = _small(3 if quick else 10)
    full = _full(10 if quick else 40)
    print(f"three seats, {len(SMALL)} thicknesses, up to 3 a pack, all (sum, count) classes")
    print(f"  exhaustive {reference:8.4f} s    ours {ours:8.4f} s    worse optimum: {worse}")
    print(f"three seats, {len(FULL)} thicknesses, up to 6 a pack, shared stock, with runners-up")
    print(f"  ours: median {median(full):.4f} s, slowest {max(full):.4f} s")
    return {
        "speed_ratio": reference / ours,
        "seconds": median(full),
        "seconds_slowest": max(full),
        "worse_optimum": float(worse),
    }
