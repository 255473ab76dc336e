"""Packs from the shelf."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.reasoning.shim_stock import (
    PackRules,
    ShelfShim,
    algebraic_pack,
    closest_pack,
    pack_change,
    pack_classes,
    supply,
    thinned,
)

MM = 1e-3
SIZES = st.lists(st.integers(3, 60), min_size=1, max_size=4, unique=True)


@settings(max_examples=60)
@given(SIZES, st.integers(0, 200))
def test_closest_pack_equals_trying_all(sizes: list[int], wanted: int) -> None:
    shelf = [ShelfShim(str(size), size * 0.01 * MM, 3) for size in sizes]
    pack = closest_pack(shelf, PackRules(most=4), wanted * 0.01 * MM)
    tries = [
        (abs(np.dot(n, sizes) - wanted), sum(n))
        for n in product(range(4), repeat=len(sizes))
        if sum(n) <= 4
    ]
    assert (abs(int(pack @ sizes) - wanted), int(pack.sum())) == min(tries)


def test_largest_first_would_be_wrong() -> None:
    shelf = [ShelfShim("0.30", 0.30 * MM, 5), ShelfShim("0.20", 0.20 * MM, 5)]
    pack = closest_pack(shelf, PackRules(), 0.40 * MM)
    assert pack.tolist() == [0, 2]  # thickest first takes 0.30 and is left with 0.10


def test_of_equal_packs_the_one_with_the_thickest_shim_comes_first() -> None:
    shelf = [ShelfShim(str(s), s * 0.01 * MM, 2) for s in (20, 30, 10, 40)]
    assert closest_pack(shelf, PackRules(), 0.50 * MM).tolist() == [0, 0, 1, 1]


@pytest.mark.parametrize(
    ("rate", "target", "wanted"),
    [(-1.0, 0.0, 1.25), (1.0, 0.0, 0.75), (-1.0, -0.05, 1.30), (1.0, -0.05, 0.70)],
)
def test_preload_from_end_play_depends_on_the_side_of_the_pack(
    rate: float, target: float, wanted: float
) -> None:
    """Under a cup a thicker pack tightens; under a cover flange it loosens."""
    got = algebraic_pack(1.0 * MM, 0.25 * MM, target * MM, rate)
    assert got == pytest.approx(wanted * MM)


def test_a_pack_that_does_not_move_the_reading_is_refused() -> None:
    with pytest.raises(RangeError, match="rate"):
        algebraic_pack(1.0, 0.1, 0.0, 0.0)


def test_classes_are_the_distinct_sums_and_counts() -> None:
    shelf = [ShelfShim(str(s), s * 0.01 * MM, 3) for s in (10, 20, 30)]
    classes = pack_classes(shelf, PackRules(most=3))
    wanted = {(np.dot(n, (10, 20, 30)), sum(n)) for n in product(range(4), repeat=3) if sum(n) <= 3}
    got = {
        (round(t / MM * 100), int(c)) for t, c in zip(classes.thickness, classes.count, strict=True)
    }
    assert got == {(int(s), int(c)) for s, c in wanted}
    assert len(classes.thickness) == len(got)


def test_fewest_shims_of_each_thickness_are_kept() -> None:
    shelf = [ShelfShim(str(s), s * 0.01 * MM, 3) for s in (10, 20, 30)]
    classes = pack_classes(shelf, PackRules(most=3))
    kept = thinned(classes, 1)
    grains = np.rint(classes.thickness[kept] * 1e5)
    assert len(set(grains)) == len(grains)
    assert classes.count[kept][grains == 30] == 1


def test_supply_shares_the_stock() -> None:
    one, two = np.array([[1, 0], [0, 2]]), np.array([[1, 0]])
    packs = supply([one, two], np.array([1, 2]), [None, None])
    assert packs is not None
    assert packs[0].tolist() == [0, 2]
    assert supply([two, two], np.array([1, 2]), [None, None]) is None


def test_supply_changes_as_little_as_it_can() -> None:
    options = np.array([[2, 0, 1], [0, 1, 2]])
    packs = supply([options], np.array([9, 9, 9]), [np.array([0, 1, 1])])
    assert packs is not None
    assert packs[0].tolist() == [0, 1, 2]


def test_changes_list_outs_before_ins_thickest_first() -> None:
    shelf = [ShelfShim("a", 1.0, 5), ShelfShim("b", 2.0, 5), ShelfShim("c", 3.0, 5)]
    lines = pack_change("seat", shelf, np.array([2, 1, 0]), np.array([0, 0, 2]))
    assert [(x.action, x.count, x.shim) for x in lines] == [
        ("out", 1, "b"),
        ("out", 2, "a"),
        ("in", 2, "c"),
    ]


def test_too_many_packs_are_refused_before_memory_is() -> None:
    shelf = [ShelfShim(str(i), 0.1 + i * 1e-3, 9) for i in range(30)]
    with pytest.raises(RangeError, match="shelf"):
        pack_classes(shelf, PackRules(most=9))
