"""Pattern and lash of misplaced gears against published adjustment tables, gear by gear.

The table is TM 10-3930-653-14P p. 4-181 (read): where the bearing lies on the gear, what is out of
place, and what is done about it. TM 10-3930-671-24 p. 569 and TM 5-3810-306-34 p. 8-42 (read) say
the same. None of them tells drive from coast flank: both go the same way.
"""

import math
from dataclasses import dataclass

import pytest

from casewright.mechanics.bevel_blank import (
    method_zero_blank,
    standard_straight_blank,
    unequal_addendum_spiral_blank,
    unequal_addendum_straight_blank,
)
from casewright.mechanics.contact import analyse
from casewright.mechanics.contact_gap import Misplacement
from casewright.mechanics.contact_pattern import SeenPatch, SeenPattern, state_pattern
from casewright.mechanics.contact_tooth import toothed_pair

RIGHT, ALPHA, BETA = math.pi / 2, math.radians(20), math.radians(35)
CROWNED = {"lengthwise_crowning": 15e-6, "profile_crowning": 8e-6}
SPIRAL = {"form": "circular", "spiral_angle": BETA, "pinion_hand": "left", **CROWNED}
# Blanks as published: O1 to O3 of tests/published/bevel.toml, and two of usual leg tooth numbers.
GEARS = {
    "standard straight 20/40": toothed_pair(
        standard_straight_blank(20, 40, RIGHT, 3e-3, 22e-3), 20, 40, RIGHT, ALPHA, **CROWNED
    ),
    "unequal addenda, straight 20/40": toothed_pair(
        unequal_addendum_straight_blank(20, 40, 3e-3, 22e-3), 20, 40, RIGHT, ALPHA, **CROWNED
    ),
    "spherical involute 14/28": toothed_pair(
        unequal_addendum_straight_blank(14, 28, 4e-3, 16e-3), 14, 28, RIGHT, ALPHA,
        form="spherical involute", **CROWNED,
    ),
    "ISO 23509 sample 1, spiral 14/39": toothed_pair(
        method_zero_blank(14, 39, RIGHT, 0.176893, 0.0254, BETA, ALPHA, profile_shift=0.3),
        14, 39, RIGHT, ALPHA, cutter_radius=0.1143, **SPIRAL,
    ),
    "spiral 13/21, right hand": toothed_pair(
        unequal_addendum_spiral_blank(13, 21, 4e-3, 16e-3, BETA), 13, 21, RIGHT, ALPHA,
        cutter_radius=57e-3, **(SPIRAL | {"pinion_hand": "right"}),
    ),
}  # fmt: skip
GRID = (24, 16)
SHIM = 8e-5


@dataclass(frozen=True)
class Row:
    """A published row: bearing on the gear, what stands where, lash, and the correction."""

    bearing: str
    off: Misplacement
    lash: int
    asks: tuple[str, str]


TABLE = [
    Row("toe", Misplacement(gear_axial=-SHIM), -1, ("gear", "out")),
    Row("heel", Misplacement(gear_axial=SHIM), +1, ("gear", "in")),
    Row("high", Misplacement(pinion_axial=SHIM), +1, ("pinion", "in")),
    Row("low", Misplacement(pinion_axial=-SHIM), -1, ("pinion", "out")),
]


@pytest.mark.parametrize("row", TABLE, ids=[row.bearing for row in TABLE])
@pytest.mark.parametrize("gear", GEARS)
def test_a_misplaced_gear_bears_where_the_published_table_says(gear, row):
    drawn, off = (analyse(GEARS[gear], at, grid=GRID) for at in (Misplacement(), row.off))
    way = "along" if row.bearing in ("toe", "heel") else "up"
    sign = 1 if row.bearing in ("heel", "high") else -1
    for flank in ("drive", "coast"):
        moved, nominal = (getattr(c, flank).pattern.gear for c in (off, drawn))
        assert sign * (getattr(moved, way) - getattr(nominal, way)) > 0.01, flank
    assert row.lash * (off.lash_arc - drawn.lash_arc) > 0


@pytest.mark.parametrize("row", TABLE, ids=[row.bearing for row in TABLE])
def test_the_seen_bearing_asks_for_the_published_correction(row):
    place = {"toe": (0.1, 0.5), "heel": (0.9, 0.5), "high": (0.45, 0.9), "low": (0.45, 0.1)}
    patch = SeenPatch(*place[row.bearing])
    (direction,) = state_pattern(SeenPattern("gear", patch, patch)).directions
    assert (direction.member, direction.move) == row.asks
