"""The virtual legs of benchmark `rebuilds`: what is true, and what gauges say of it.

Everything here is drawn from our own assumptions (`SPREAD`); nothing was measured on a leg.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
MM = 1e-3
SEATS = ("pinion", "ahead", "astern")
REFERENCE = 0.80 * MM
SINES = (0.4472, 0.8944)  # pitch angles of a 13/26 pair at a right angle
FACTOR = (0.36, 0.51)  # tan α / cos β, even over what is usual
HEIGHT_WINDOW = 0.05 * MM
LASH_WINDOW = 0.075 * MM
LASH = 0.20 * MM
SHELF_SIZES = (0.05, 0.10, 0.13, 0.15, 0.18, 0.20, 0.30, 0.50)
MOST = 6


@dataclass(frozen=True)
class Spread:
    """How far things are from where they should be, standard deviations [m]."""

    seat: float = 0.04 * MM
    gauge: float = 0.01 * MM
    run_out: float = 0.02 * MM  # root mean square of the swing of single lash readings
    shim: float = 0.004 * MM
    old_build: float = 1 / 3  # of the half window
    old_pack: float = 0.003 * MM
    height_bias: float = 0.0
    dial_bias: float = 0.0
    outliers: float = 0.0
    factor: tuple[float, float] = FACTOR

    def words(self) -> str:
        """One line for the table."""
        mm = 1e3
        return (
            f"seats {self.seat * mm:.3f}, gauge {self.gauge * mm:.3f} (bias "
            f"{self.height_bias * mm:+.3f} height, {self.dial_bias * mm:+.3f} dial), run-out "
            f"{self.run_out * mm:.3f}, shim {self.shim * mm:.3f} mm; wrong readings "
            f"{100 * self.outliers:.0f} %; tan α/cos β {self.factor[0]:.2f} to "
            f"{self.factor[1]:.2f}; old build within {self.old_build:.2f} of the half window (1 s)"
        )


def rate_matrix(factor: Array | float) -> Array:
    """True rates [..., 3 responses, 3 seats]: height up with the pinion's pack, gears to mesh."""
    f = np.asarray(factor, float)
    rates = np.zeros((*f.shape, 3, 3))
    rates[..., 0, 0] = 1.0
    for row in (1, 2):
        rates[..., row, 0] = 2 * f * SINES[0]
        rates[..., row, row] = -2 * f * SINES[1]
    return rates


@dataclass
class Legs:
    """Many true legs: offsets at the reference packs, rates, swings, and the packs in them."""

    spread: Spread
    draw: np.random.Generator
    offset: Array
    rates: Array
    swing: Array
    dry: Array = field(default_factory=lambda: np.zeros((0, 3)))
    error: Array = field(default_factory=lambda: np.zeros((0, 3)))

    def fit(self, rows: Array, changed: Array, count: Array) -> None:
        """New packs: where they change, their deviations are drawn afresh."""
        fresh = self.draw.normal(0, 1, count.shape) * self.spread.shim * np.sqrt(count)
        self.error[rows] = np.where(changed, fresh, self.error[rows])

    def truth(self, rows: Array, packs: Array) -> Array:
        """True height and mean lashes [N, 3]."""
        move = packs - REFERENCE + self.error[rows]
        return self.offset[rows] + np.einsum("nrs,ns->nr", self.rates[rows], move)

    def in_window(self, rows: Array, packs: Array) -> NDArray[np.bool_]:
        """Truly in window, extremes of lash included."""
        value = self.truth(rows, packs)
        lash = np.abs(value[:, 1:] - LASH) + self.swing[rows] <= LASH_WINDOW
        return (np.abs(value[:, 0]) <= HEIGHT_WINDOW) & lash.all(axis=1)

    def read(self, rows: Array, packs: Array) -> Array:
        """Readings [N, 3]: gauge noise, bias, now and then a wrong one."""
        s = self.spread
        bias = np.array([s.height_bias, s.dial_bias, s.dial_bias])
        value = self.truth(rows, packs) + bias + self.draw.normal(0, s.gauge, (len(rows), 3))
        wrong = self.draw.random(value.shape) < s.outliers
        slip = self.draw.uniform(0.06, 0.30, value.shape) * self.draw.choice([-1, 1], value.shape)
        return value + wrong * slip * MM

    def read_swing(self, rows: Array) -> Array:
        """Swing fitted to six positions round the turn [N, 2]."""
        noise = self.spread.gauge * np.sqrt(2 / 6)
        parts = self.draw.normal(0, noise, (2, len(rows), 2))
        return np.hypot(self.swing[rows] + parts[0], parts[1])


def draw_legs(count: int, spread: Spread, seed: int, old: bool) -> Legs:
    """Legs with a new housing; with `old`, offsets belong to packs right in the old one."""
    draw = np.random.default_rng(seed)
    rates = rate_matrix(draw.uniform(*spread.factor, count))
    seats = draw.normal(0, spread.seat, (count, 3))
    middle = np.array([0.0, LASH, LASH])
    run_out = spread.run_out / np.sqrt(2)
    swing = np.hypot(*draw.normal(0, run_out, (2, count, 2)))
    dry = np.zeros((count, 3))
    offset = middle + np.einsum("nrs,ns->nr", rates, seats)
    if old:
        before = draw.normal(0, spread.seat, (count, 3))
        half = np.array([HEIGHT_WINDOW, LASH_WINDOW, LASH_WINDOW])
        built = np.clip(draw.normal(0, spread.old_build, (count, 3)), -1, 1) * half
        measured = draw.normal(0, spread.old_pack, (count, 3))
        moved = np.einsum("nrs,ns->nr", rates, seats - before - measured)
        offset = middle + built + moved
        dry = seats - before + draw.normal(0, spread.gauge, (2, count, 3)).sum(axis=0)
    return Legs(spread, draw, offset, rates, swing, dry, np.zeros((count, 3)))
