"""A million fits: Monte Carlo of bore and shaft to interference, pressure and press force.

Ours: `press_in` on arrays of a million shafts, bores and frictions.
Reference: the same public function, `press_in`, called for one fit at a time in a lean loop
over plain floats (bound to a local name, nothing else in the loop). Beside it a second loop
with the bare formula inlined, constants taken out and nothing checked: the least that plain
Python can do; its ratio is `bare_loop_ratio`. All in the same run, on the same draws, and the
forces compared value by value. The draws themselves are made once, outside all three times,
and their time is printed. `--quick` loops over 20,000 fits and scales; the array still holds
a million.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from casewright.mechanics.interference import joint_compliance
from casewright.mechanics.press_fits import Joint, press_in
from casewright.tables.materials import material

Array = NDArray[np.float64]
Loop = Callable[[list[float], list[float], list[float]], list[float]]
COUNT = 1_000_000
JOINT = Joint(0.062, 0.018, 0.082, material("aluminium"), material("bearing-steel"), 0.053)


def draw(count: int) -> tuple[Array, Array, Array]:
    """Shafts, bores [m] and frictions."""
    random = np.random.default_rng(20)
    shaft = 0.062039 + 3e-6 * random.standard_normal(count)
    bore = 0.062 + 4e-6 * random.standard_normal(count)
    return shaft, bore, random.uniform(0.05, 0.07, count)


def array_time(draws: tuple[Array, Array, Array], repeats: int) -> tuple[float, Array]:
    """Best time of a million fits at once, and their forces."""
    best = math.inf
    for _ in range(repeats):
        start = perf_counter()
        force = press_in(draws[0], draws[1], JOINT, draws[2]).force
        best = min(best, perf_counter() - start)
    return best, np.asarray(force)


def public_loop(shaft: list[float], bore: list[float], friction: list[float]) -> list[float]:
    """Forces by the public function, one fit at a time."""
    solve, joint = press_in, JOINT
    return [
        solve(one, other, joint, mu).force  # type: ignore[misc]
        for one, other, mu in zip(shaft, bore, friction, strict=True)
    ]


def bare_loop(shaft: list[float], bore: list[float], friction: list[float]) -> list[float]:
    """Forces by the inlined formula, one fit at a time, nothing checked."""
    d = JOINT.diameter
    compliance = float(joint_compliance(d, JOINT.hub_outside, *JOINT.elastic()))
    scale = math.pi * d * JOINT.length / (d * compliance)
    return [
        scale * mu * (one - other) if one > other else 0.0
        for one, other, mu in zip(shaft, bore, friction, strict=True)
    ]


def loop_time(loop: Loop, draws: tuple[Array, Array, Array], count: int) -> tuple[float, Array]:
    """Time of a loop over `count` fits scaled to a million, and its forces."""
    lists = [one[:count].tolist() for one in draws]
    start = perf_counter()
    forces = loop(*lists)
    return (perf_counter() - start) * COUNT / count, np.array(forces)


def run(quick: bool) -> dict[str, float]:
    """Time the array, the public loop and the bare loop; print and return the figures."""
    start = perf_counter()
    draws = draw(COUNT)
    drawing = perf_counter() - start
    seconds, force = array_time(draws, 3 if quick else 7)
    count = 20_000 if quick else COUNT
    public, public_force = loop_time(public_loop, draws, count)
    bare, bare_force = loop_time(bare_loop, draws, COUNT)
    same = bool(np.allclose(public_force, force[:count], rtol=1e-12, atol=0))
    same = same and bool(np.allclose(bare_force, force, rtol=1e-9, atol=1e-9))
    if not same:
        raise RuntimeError("the loops and the array disagree")
    low, middle, high = np.quantile(force, (0.05, 0.5, 0.95)) / 1e3
    print(f"a million fits, force {low:.2f} / {middle:.2f} / {high:.2f} kN (5, 50, 95 %)")
    print(f"{'array':<32}{seconds:10.4f} s   (drawing {drawing:.3f} s)")
    print(f"{'public function in a loop':<32}{public:10.4f} s   over {count:,} fits")
    print(f"{'bare formula in a loop':<32}{bare:10.4f} s")
    figures = {
        "speed_ratio": public / seconds,
        "bare_loop_ratio": bare / seconds,
        "seconds": seconds,
    }
    for name, value in figures.items():
        print(f"{name:<32}{value:10.3f}")
    return figures
