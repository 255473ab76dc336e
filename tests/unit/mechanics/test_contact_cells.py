"""Wiped cells of a tooth picture: middle, extents, doubt; mirrored pictures say mirrored things."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.contact_cells import GRID, marks_of_cells
from casewright.mechanics.contact_pattern import (
    TAP_HALF_WIDTH,
    SeenPatch,
    SeenPattern,
    state_pattern,
)

CELLS = st.sets(
    st.tuples(st.integers(1, GRID[0]), st.integers(1, GRID[1])), min_size=1, max_size=24
)


def block(along: tuple[int, int], up: tuple[int, int]) -> list[tuple[int, int]]:
    return [(a, u) for a in range(along[0], along[1] + 1) for u in range(up[0], up[1] + 1)]


@settings(deadline=None, max_examples=100)
@given(CELLS)
def test_the_middle_lies_inside_the_extents_and_the_extents_on_the_tooth(cells):
    marks = marks_of_cells(cells)
    assert 0 <= marks.along_from < marks.along_to <= 1
    assert 0 <= marks.up_from < marks.up_to <= 1
    assert marks.islands >= 1
    assert (marks.patch is None) == (marks.islands > 1)
    if marks.patch is not None:
        assert marks.along_from < marks.patch.along < marks.along_to
        assert marks.up_from < marks.patch.up < marks.up_to


@settings(deadline=None, max_examples=100)
@given(CELLS)
def test_a_mirrored_picture_has_the_mirrored_middle(cells):
    wide, tall = GRID
    one = marks_of_cells(cells)
    along = marks_of_cells([(wide + 1 - a, u) for a, u in cells])
    up = marks_of_cells([(a, tall + 1 - u) for a, u in cells])
    assert along.islands == up.islands == one.islands
    assert along.along_from == pytest.approx(1 - one.along_to)
    assert up.up_to == pytest.approx(1 - one.up_from)
    if one.patch is not None:
        assert along.patch.along == pytest.approx(1 - one.patch.along)
        assert along.patch.up == pytest.approx(one.patch.up)
        assert up.patch.up == pytest.approx(1 - one.patch.up)


@settings(deadline=None, max_examples=60)
@given(CELLS, st.integers(2, 4))
def test_a_finer_picture_of_the_same_patch_has_the_same_middle_and_less_doubt(cells, times):
    fine = [
        (times * (a - 1) + i + 1, times * (u - 1) + j + 1)
        for a, u in cells for i in range(times) for j in range(times)
    ]  # fmt: skip
    one, other = marks_of_cells(cells), marks_of_cells(fine, (times * GRID[0], times * GRID[1]))
    assert other.along_to == pytest.approx(one.along_to)
    if one.patch is not None:
        assert other.patch.along == pytest.approx(one.patch.along)
        assert TAP_HALF_WIDTH < other.patch.along_doubt < one.patch.along_doubt


@pytest.mark.parametrize("way", [0, 1])
def test_the_cells_doubt_is_that_of_patches_drawn_at_random(way):
    """Second method: patches with edges anywhere, cells ticked where half wiped, middles compared."""
    rng = np.random.default_rng(23 + way)
    count, cell = GRID[way], 1 / GRID[way]
    off = []
    for _ in range(4000):
        low, high = sorted(rng.uniform(0, 1, 2))
        if high - low < 1.5 * cell:
            continue
        ticked = [
            k for k in range(1, count + 1)
            if min(high, k * cell) - max(low, (k - 1) * cell) >= cell / 2
        ]  # fmt: skip
        cells = [(k, 1) if way == 0 else (1, k) for k in ticked]
        patch = marks_of_cells(cells).patch
        off.append((patch.along, patch.up)[way] - (low + high) / 2)
    spread = math.sqrt(sum(x * x for x in off) / len(off))
    patch = marks_of_cells([(1, 1)]).patch
    stated = (patch.along_doubt, patch.up_doubt)[way]
    of_cells = math.sqrt(stated**2 - TAP_HALF_WIDTH**2) / 2
    assert spread == pytest.approx(of_cells, rel=0.05)


def test_edges_that_the_patch_runs_out_to_are_named():
    assert marks_of_cells(block((5, 6), (2, 3))).edges == ("heel",)
    assert marks_of_cells(block((1, 2), (4, 4))).edges == ("toe", "top")
    assert marks_of_cells(block((3, 4), (2, 3))).edges == ()


def test_marks_at_both_ends_have_no_middle_that_nothing_wiped():
    marks = marks_of_cells([*block((1, 1), (2, 3)), *block((6, 6), (2, 3))])
    assert marks.islands == 2
    assert marks.patch is None


def test_cells_that_touch_at_a_corner_are_one_patch():
    assert marks_of_cells([(2, 2), (3, 3)]).islands == 1


def test_cells_say_less_than_a_sharper_middle_would():
    """A centre that its own doubt reaches back into the window says nothing."""
    sharp = SeenPatch(0.19, 0.5)
    coarse = SeenPatch(0.19, 0.5, along_doubt=0.12)
    assert state_pattern(SeenPattern("gear", sharp, None)).drive_along == "toe"
    assert state_pattern(SeenPattern("gear", coarse, None)).drive_along == "not sure"


@pytest.mark.parametrize("corner", ["toe", "heel"])
def test_the_wiped_end_of_a_tooth_asks_for_the_gear_as_the_manuals_do(corner):
    """TM 10-3930-671-24 p. 569; TM 10-3930-653-14P p. 4-181: toe: gear away; heel: gear closer."""
    columns = (1, 1) if corner == "toe" else (5, 6)
    patch = marks_of_cells(block(columns, (2, 3))).patch
    (direction,) = state_pattern(SeenPattern("gear", patch, patch)).directions
    assert (direction.member, direction.move) == ("gear", "out" if corner == "toe" else "in")
    assert direction.high - direction.low == pytest.approx(2 * patch.along_doubt)


def test_nothing_tapped_and_cells_outside_the_tooth_are_refused():
    with pytest.raises(MissingError, match="wiped cell"):
        marks_of_cells([])
    for cell in ((0, 1), (7, 1), (1, 0), (1, 5)):
        with pytest.raises(RangeError, match="1-1 to 6-4"):
            marks_of_cells([(3, 2), cell])
