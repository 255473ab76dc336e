"""The leg behind the demo: what its gauges would read for given packs. Millimetres and N·m.

A technician never sees this. It keeps the demo's numbers coherent: each shim moves what it moves on
a real bevel pair, and the readings follow. Geometry: 13 and 28 teeth, 2.6 mm module, 11 mm face,
20° pressure angle, 32° spiral; lash in the transverse plane changes by 2·tan α/cos β·sin δ for one
of axial move, and the lever at 40 mm sees it enlarged by 40 over the pinion's mean radius.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

PITCH_PINION = math.atan2(13, 28)
PITCH_GEAR = math.pi / 2 - PITCH_PINION
CONE = 0.5 * math.hypot(13 * 2.6, 28 * 2.6)
MEAN_RADIUS = 0.5 * 13 * 2.6 * (CONE - 5.5) / CONE
LEVER = 40 / MEAN_RADIUS
FLANK = 2 * math.tan(math.radians(20)) / math.cos(math.radians(32)) * LEVER
LASH_PER_HEIGHT = FLANK * math.sin(PITCH_PINION)
LASH_PER_GEAR = FLANK * math.sin(PITCH_GEAR)
TORQUE_PER_SHIM = 8.4


@dataclass(frozen=True)
class Packs:
    """Totals at the five adjusters [mm]."""

    height: float
    cover: float
    ahead: float
    astern: float
    ring: float


AS_FOUND = Packs(0.55, 0.43, 0.40, 0.63, 2.60)
# What the old and the new housing and bearings differ in, as dry readings show it [mm]...
SHOULDER, STAND, AHEAD_SHOULDER, AHEAD_STAND, CARRIER_SEAT = -0.07, 0.045, -0.06, 0.12, -0.02
# ... and what no dry reading shows: lower cone's stand, rollers not yet run in, the cup's bedding.
LOWER_STAND, UNSEATED, BEDDING = 0.02, 0.085, 0.08


@dataclass(frozen=True)
class Reads:
    """What the gauges read: height, lashes and play [mm], turning torque [N·m]."""

    height: float
    torque: float
    ahead: float
    astern: float
    play: float


OLD = Reads(height=0.63, torque=0.40, ahead=0.93, astern=0.78, play=0.42)


def new_build(packs: Packs) -> Reads:
    """The new housing and bearings with these packs."""
    lifted = packs.height - AS_FOUND.height - SHOULDER
    height = OLD.height + lifted + LOWER_STAND
    squeeze = STAND + UNSEATED + lifted - (packs.cover - AS_FOUND.cover)
    nearer = AHEAD_STAND - AHEAD_SHOULDER + packs.ahead - AS_FOUND.ahead - BEDDING
    astern = packs.astern - AS_FOUND.astern + CARRIER_SEAT
    pinion = LASH_PER_HEIGHT * (height - OLD.height)
    return Reads(
        height=height,
        torque=OLD.torque + TORQUE_PER_SHIM * squeeze,
        ahead=OLD.ahead + pinion - LASH_PER_GEAR * nearer,
        astern=OLD.astern + pinion - LASH_PER_GEAR * astern,
        play=OLD.play - CARRIER_SEAT - nearer - (packs.ring - AS_FOUND.ring),
    )


# The waves of gear and pinion at the places read, and how a hand scatters; fixed, not random.
WAVE4 = (0.03, -0.01, -0.03, 0.01)
WAVE3 = (0.01, -0.01, 0.00)
HAND = (0.02, -0.03, 0.01)


def rows(
    value: float, spread: tuple[float, ...], step: float = 0.01, unit: str = "mm"
) -> list[str]:
    """Readings as typed: value and spread on the gauge's own steps, with the unit."""
    places = 2 if step >= 0.01 else 3
    return [f"{round((value + one) / step) * step:.{places}f} {unit}" for one in spread]


def leak_rows(
    start: float,
    minutes: float,
    rate: float,
    warm: float,
    turned: tuple[float, ...] = (),
    unit: str = "kPa",
) -> str:
    """A sealing test as logged each half minute: gauge kPa falling by `rate` a minute, wall in °C.

    The wall cools towards 19.5 °C from `warm` above it and the air follows; pressure goes with the
    absolute temperature. `turned` are the minutes at which a shaft was being turned. With unit psi
    the gauge shows psi to a hundredth; `start` and `rate` stay kPa.
    """
    size, places = {"kPa": (1.0, 1), "psi": (6.894757, 2)}[unit]
    lines = [f"time [min], pressure [{unit} gauge], wall [degC], turned"]
    first = 273.15 + 19.5 + warm
    for step in range(round(2 * minutes) + 1):
        time = step / 2
        kelvin = 273.15 + 19.5 + warm * math.exp(-time / 9)
        pressure = (start + 101.3) * kelvin / first - rate * time - 101.3
        mark = "yes" if time in turned else ""
        lines.append(f"{time:.1f}, {pressure / size:.{places}f}, {kelvin - 273.15:.1f}, {mark}")
    return "\n".join(lines)


# Which shims make up the totals that the demo fits, and which adjuster holds which total.
SHIMS = {
    0.55: ("0.30 mm", "0.20 mm", "0.05 mm"),
    0.43: ("0.30 mm", "0.13 mm"),
    0.40: ("0.30 mm", "0.10 mm"),
    0.63: ("0.50 mm", "0.13 mm"),
    2.60: ("2.60 mm",),
    0.48: ("0.30 mm", "0.13 mm", "0.05 mm"),
    0.38: ("0.20 mm", "0.13 mm", "0.05 mm"),
    0.50: ("0.30 mm", "0.20 mm"),
}
SEATS = {
    "height-pack": "height",
    "cover-pack": "cover",
    "ahead-pack": "ahead",
    "astern-pack": "astern",
    "thrust-ring": "ring",
}
