"""A bent shaft turned under a dial, by plain geometry, against what is found from its readings."""

from __future__ import annotations

from math import atan, cos, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.shaft_bend import plane_of, shaft_bend

MARKS = [k * pi / 4 for k in range(8)]
UM = 1e-6


def turned(offset: complex, lobes: tuple[int, float] = (0, 0.0)) -> list[float]:
    """What the dial shows at eight marks of a place that is off the axis by a vector."""
    order, size = lobes
    return [
        1e-3 + offset.real * cos(a) + offset.imag * sin(a) + size * cos(order * a) for a in MARKS
    ]


def kinked(z: float, at: float, span: float, height: float) -> float:
    """Offset of a shaft with one sharp bend between its supports at 0 and at `span`."""
    if z <= at:
        return height * z / at
    return height * (span - z) / (span - at)  # beyond the span it goes on straight


def test_one_sharp_bend_between_v_blocks_and_the_overhang_that_follows() -> None:
    way = complex(cos(0.7), sin(0.7))
    places = [0.05, 0.10, 0.20, 0.42]
    shaft = [kinked(z, 0.1, 0.3, 60 * UM) * way for z in places]
    found = shaft_bend(places, [turned(e) for e in shaft], "v-blocks", (0.0, 0.3))
    for station, e in zip(found.stations, shaft, strict=True):
        assert station.run_out == pytest.approx(2 * abs(e), rel=1e-9)
    assert found.bow is not None
    assert found.bow.bow == pytest.approx(60 * UM, rel=1e-9)
    assert found.bow.bow_at == pytest.approx(0.10)
    # The angle between the two straight halves, from their slopes.
    slopes = atan(60 * UM / 0.1) + atan(60 * UM / 0.2)
    assert found.bow.bend_angle == pytest.approx(slopes, rel=1e-6)
    # Beyond the second support it swings the other way: 0.12 m past it, at the second half's slope.
    assert found.worst.along == 0.10
    beyond = found.stations[-1]
    assert beyond.run_out == pytest.approx(2 * 60 * UM * 0.12 / 0.2, rel=1e-9)
    assert (beyond.phase - 0.7) % (2 * pi) == pytest.approx(pi, abs=1e-9)


@given(
    st.complex_numbers(max_magnitude=1e-4, allow_nan=False),
    st.complex_numbers(max_magnitude=1e-4, allow_nan=False),
)
def test_between_centres_the_axis_of_the_journals_is_taken_off(a: complex, b: complex) -> None:
    """Knocked centres move the whole shaft by a straight line: the bend is what it was."""
    places = [0.0, 0.15, 0.3, 0.4]
    bent = [0j, 40 * UM + 0j, 0j, -13 * UM + 5j * UM]
    moved = [e + a + (b - a) * z / 0.4 for e, z in zip(bent, places, strict=True)]
    plain = shaft_bend(places, [turned(e) for e in bent], "centres", (0.0, 0.3))
    found = shaft_bend(places, [turned(e) for e in moved], "centres", (0.0, 0.3))
    for one, other in zip(plain.stations, found.stations, strict=True):
        assert one.offset == pytest.approx(other.offset, abs=1e-12)


def test_lobes_are_named_and_are_no_bend() -> None:
    rounds = [turned(30 * UM + 0j), turned(30 * UM + 0j, (3, 20 * UM)), turned(0j, (2, 15 * UM))]
    found = shaft_bend([0.1, 0.2, 0.25], rounds, "v-blocks", (0.0, 0.3))
    assert found.stations[0].lobes is None
    three, oval = found.stations[1].lobes, found.stations[2].lobes
    assert three is not None
    assert oval is not None
    assert (three.order, oval.order) == (3, 2)
    assert three.span == pytest.approx(40 * UM)
    assert found.stations[1].run_out == pytest.approx(60 * UM)


def test_scatter_gives_the_doubt_that_repeated_trials_show() -> None:
    draw = np.random.default_rng(7)
    places, offsets = [0.0, 0.1, 0.3], [5 * UM, 80 * UM, 5 * UM]
    sizes, doubts = [], []
    for _ in range(400):
        rounds = [[v + draw.normal(0, 4 * UM) for v in turned(e + 0j)] for e in offsets]
        middle = shaft_bend(places, rounds, "centres", (0.0, 0.3)).stations[1]
        sizes.append(middle.offset)
        doubts.append(middle.uncertainty)
    assert np.std(sizes) == pytest.approx(np.mean(np.array(doubts, float)), rel=0.1)


def test_what_it_cannot_see_is_said() -> None:
    rounds = [turned(0j), turned(20 * UM + 0j)]
    blocks = shaft_bend([0.0, 0.3], rounds, "v-blocks")
    assert any("doesn't show" in note and "V-blocks" in note for note in blocks.notes)
    assert any("first and the last place" in note for note in blocks.notes)
    assert any("between the supports" in note for note in blocks.notes)
    assert blocks.bow is None
    inside = shaft_bend([0.1, 0.2], rounds, "v-blocks", (0.0, 0.3))
    assert any("beyond the supports" in note for note in inside.notes)


def test_a_side_view_is_the_offset_seen_square_to_its_plane() -> None:
    found = shaft_bend([0.1, 0.2], [turned(10j * UM), turned(10 * UM + 0j)], "v-blocks", (0.0, 0.3))
    assert plane_of(found.stations, pi / 2) == pytest.approx((10 * UM, 0.0), abs=1e-12)


def test_what_can_not_be_told_is_refused_with_the_remedy() -> None:
    row = turned(0j)
    with pytest.raises(RangeError, match="journal"):
        shaft_bend([0.1, 0.2], [row, row], "centres", (0.0, 0.3))
    with pytest.raises(RangeError, match="places"):
        shaft_bend([0.1], [row], "v-blocks", (0.0, 0.3))
    with pytest.raises(RangeError, match="supports"):
        shaft_bend([0.1, 0.2], [row, row], "v-blocks", (0.3, 0.3))
    with pytest.raises(InputError, match="each"):
        shaft_bend([0.1, 0.2], [row, row[:5]], "v-blocks", (0.0, 0.3))
    with pytest.raises(InputError, match="round"):
        shaft_bend([0.1, 0.2], [row], "v-blocks", (0.0, 0.3))
