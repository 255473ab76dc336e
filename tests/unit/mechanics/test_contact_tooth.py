"""Flanks from blanks, and the outline of a tooth."""

import math

import numpy as np
import pytest

from casewright.errors import RangeError
from casewright.mechanics.bevel_blank import (
    method_zero_blank,
    unequal_addendum_spiral_blank,
    unequal_addendum_straight_blank,
)
from casewright.mechanics.contact import analyse
from casewright.mechanics.contact_gap import Misplacement
from casewright.mechanics.contact_tooth import tooth_outline, toothed_pair

ALPHA, BETA = math.radians(20), math.radians(35)
RIGHT = math.pi / 2


def test_mean_addenda_come_back_from_the_blank():
    made = method_zero_blank(14, 39, RIGHT, 0.176893, 0.0254, BETA, ALPHA, profile_shift=0.3)
    pair = toothed_pair(
        made, 14, 39, RIGHT, ALPHA,
        form="circular", spiral_angle=BETA, pinion_hand="left", cutter_radius=0.1143,
    )  # fmt: skip
    assert pair.pinion_addendum == pytest.approx(made.pinion_addendum)
    assert pair.gear_addendum == pytest.approx(made.gear_addendum)


@pytest.mark.parametrize(("z1", "z2"), [(13, 21), (14, 28), (20, 20), (17, 24)])
def test_pairs_of_usual_tooth_numbers_can_be_laid_out(z1, z2):
    straight = toothed_pair(
        unequal_addendum_straight_blank(z1, z2, 4e-3, 16e-3), z1, z2, RIGHT, ALPHA,
        lengthwise_crowning=10e-6, profile_crowning=5e-6,
    )  # fmt: skip
    spiral = toothed_pair(
        unequal_addendum_spiral_blank(z1, z2, 4e-3, 16e-3, BETA), z1, z2, RIGHT, ALPHA,
        form="circular", spiral_angle=BETA, pinion_hand="left", cutter_radius=57e-3,
        lengthwise_crowning=10e-6, profile_crowning=5e-6,
    )  # fmt: skip
    for pair in (straight, spiral):
        found = analyse(pair, Misplacement(), 0.1e-3, grid=(16, 12))
        assert found.drive.pattern.gear.along == pytest.approx(0.5, abs=0.1)
        assert found.lash_arc == pytest.approx(0.1e-3, abs=1e-5)


def test_outline_runs_from_root_over_active_root_to_tip():
    made = unequal_addendum_straight_blank(14, 28, 4e-3, 16e-3)
    pair = toothed_pair(made, 14, 28, RIGHT, ALPHA)
    for member, blank in ((-1, made.pinion), (1, made.gear)):
        outline = tooth_outline(pair, 1, member, 0.188 * 4e-3)
        assert outline.from_toe[-1] == pytest.approx(16e-3)
        assert outline.tip[-1] == pytest.approx(blank.addendum)
        assert outline.root[-1] == pytest.approx(-blank.dedendum)
        assert np.all(outline.root < outline.active_root)
        assert np.all(outline.active_root < outline.tip)


def test_negative_clearance_is_refused():
    pair = toothed_pair(unequal_addendum_straight_blank(14, 28, 4e-3, 16e-3), 14, 28, RIGHT, ALPHA)
    with pytest.raises(RangeError, match="clearance"):
        tooth_outline(pair, 1, 1, -1e-4)
