"""The first guess."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.reasoning.shim_prior import (
    Dimension,
    DryReading,
    as_found,
    build_rows,
    dry_row,
    first_dimensions,
    offsets,
    rank_dry_readings,
    stack_up,
    take_dry,
    variance_shares,
    was_right,
)

MM = 1e-3
CHAIN = (
    Dimension("seat", 0.04 * MM, {"height": 1.0, "lash": 0.4}, replaced=True),
    Dimension("stand", 0.02 * MM, {"height": 1.0}),
)
RESPONSES = ("height", "lash")


def rows_of(old: bool) -> np.ndarray:
    return build_rows(CHAIN, RESPONSES, first_dimensions(CHAIN).names, old)


def test_only_replaced_pieces_are_renewed() -> None:
    state = first_dimensions(CHAIN)
    assert state.names == ("old:seat", "new:seat", "stand")
    known = was_right(state, rows_of(True), [0, 0], [-1e-7, -np.inf], [1e-7, np.inf])
    mean, cov = offsets(known, rows_of(False), [0, 0])
    # old seat + stand known to be 0; the new seat is independent of both
    stand = 1 / (1 / 0.02**2 + 1 / 0.04**2)
    assert cov[0, 0] ** 0.5 == pytest.approx((0.04**2 + stand) ** 0.5 * MM, rel=1e-3)
    assert mean[0] == pytest.approx(0.0)


def test_conditioning_on_the_old_build_equals_rejection_sampling() -> None:
    state = first_dimensions(CHAIN)
    known = was_right(state, rows_of(True)[:1], [0.03 * MM], [-0.03 * MM], [0.03 * MM], aim=1 / 3)
    draw = np.random.default_rng(1)
    old, stand = draw.normal(0, 0.04, 2_000_000), draw.normal(0, 0.02, 2_000_000)
    keep = np.abs(old + stand + 0.03 - draw.normal(0, 0.01, 2_000_000)) < 0.0004
    place = state.names.index("stand")
    assert known.mean[place] / MM == pytest.approx(stand[keep].mean(), abs=0.0006)
    assert known.covariance[place, place] ** 0.5 / MM == pytest.approx(stand[keep].std(), rel=0.03)


def test_the_same_shoulder_in_both_housings_often_gives_the_pack_outright() -> None:
    state = was_right(first_dimensions(CHAIN), rows_of(True), [0, 0], [-1e-6, -1e-6], [1e-6, 1e-6])
    reading = DryReading("shoulder", {"new:seat": 1.0, "old:seat": -1.0}, 0.005 * MM, 4.0)
    mean, cov = offsets(take_dry(state, reading, 0.07 * MM), rows_of(False), [0, 0])
    assert mean[0] == pytest.approx(0.07 * MM, rel=0.02)
    assert cov[0, 0] ** 0.5 < 0.006 * MM


def test_a_gauge_bias_cancels_in_the_difference() -> None:
    reading = DryReading("shoulder", {"new:seat": 1.0, "old:seat": -1.0}, 1e-6, 4.0)
    row = dry_row(first_dimensions(CHAIN).names, reading)
    assert row @ np.array([1.0, 1.0, 0.0]) == 0.0


def test_wear_explains_a_reading_that_is_too_high() -> None:
    state, row = first_dimensions(CHAIN), rows_of(True)[1]
    plain = as_found(state, row, 0.05 * MM, 0.01 * MM, wear=0.0)
    worn = as_found(state, row, 0.05 * MM, 0.01 * MM, wear=0.06 * MM)
    assert row @ worn.mean < row @ plain.mean
    assert row @ worn.covariance @ row > row @ plain.covariance @ row
    assert as_found(state, row, 0.05 * MM, 0.01 * MM, wear=None) is state
    with pytest.raises(RangeError, match="wear"):
        as_found(state, row, 0.0, 1e-5, wear=-1.0)


def test_wear_has_the_moments_of_a_half_normal() -> None:
    draw = np.abs(np.random.default_rng(3).normal(0, 0.06, 1_000_000))
    state = first_dimensions((Dimension("d", 1e3, {"lash": 1.0}),))
    worn = as_found(state, np.array([1.0]), 0.0, 0.0, wear=0.06)
    assert worn.mean[0] == pytest.approx(-draw.mean(), rel=0.01)
    assert worn.covariance[0, 0] == pytest.approx(draw.var(), rel=0.01)


def test_dry_readings_rank_by_narrowing_per_minute() -> None:
    state = first_dimensions(CHAIN)
    readings = [
        DryReading("stand height", {"stand": 1.0}, 0.005 * MM, 2.0),
        DryReading("new shoulder, slowly", {"new:seat": 1.0}, 0.005 * MM, 40.0),
        DryReading("new shoulder", {"new:seat": 1.0}, 0.005 * MM, 4.0),
        DryReading("old shoulder", {"old:seat": 1.0}, 0.005 * MM, 1.0),
    ]
    advice = rank_dry_readings(state, rows_of(False), [0.05 * MM, 0.07 * MM], readings)
    assert advice[0].name == "new shoulder"
    assert advice[-1].name in ("old shoulder", "new shoulder, slowly")
    told = next(one for one in advice if one.name == "old shoulder")
    assert told.narrowing == pytest.approx(0.0, abs=1e-12)  # nothing ties old to new yet
    spreads = [one.spread_after[0] for one in advice]
    assert spreads == sorted(spreads, reverse=True)
    with pytest.raises(RangeError, match="minutes"):
        rank_dry_readings(state, rows_of(False), [1, 1], [DryReading("x", {}, 1.0, 0.0)])


@given(st.lists(st.floats(0.001, 1.0), min_size=3, max_size=3))
def test_variance_shares_sum_to_one(sizes: list[float]) -> None:
    chain = [Dimension(str(i), size, {"height": 1.0 + i}) for i, size in enumerate(sizes)]
    state = first_dimensions(chain)
    row = build_rows(chain, ["height"], state.names, False)[0]
    shares = variance_shares(state, row)
    assert sum(one.share for one in shares) == pytest.approx(1.0)
    total = sum(((1 + i) * size) ** 2 for i, size in enumerate(sizes))
    own = {one.source: one.share for one in shares}
    assert own["1"] == pytest.approx((2 * sizes[1]) ** 2 / total)


def test_stack_up_lies_between_its_bounds() -> None:
    chain = stack_up([10, 5], [0.1, 0.2], [1, -1])
    assert chain.rectangular < chain.root_sum_square < chain.worst
    draw = np.random.default_rng(1)
    sampled = draw.uniform(-0.1, 0.1, 500_000) - draw.uniform(-0.2, 0.2, 500_000)
    assert chain.rectangular == pytest.approx(sampled.std(), rel=0.01)
    with pytest.raises(InputError, match="chain"):
        stack_up([1], [1, 2], [1])


def test_bad_dimensions_are_named() -> None:
    with pytest.raises(InputError, match="once"):
        first_dimensions([CHAIN[1], CHAIN[1]])
    with pytest.raises(RangeError, match="d"):
        first_dimensions([Dimension("d", -1.0, {})])
    with pytest.raises(InputError, match="shoulder"):
        dry_row(("a",), DryReading("shoulder", {"b": 1.0}, 1.0, 1.0))
    with pytest.raises(RangeError, match="aim"):
        was_right(first_dimensions(CHAIN), rows_of(True), [0, 0], [0, 0], [1, 1], aim=0.0)
