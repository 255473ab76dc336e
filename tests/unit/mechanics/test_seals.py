"""Seal lands and O-rings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics import seals

INCH = 0.0254


def test_a_land_within_practice_is_accepted():
    assert seals.judge_land(0.3e-6, 0.002 * INCH, 0.004 * INCH, 0.0, 3.0, 40.0).accepted


@pytest.mark.parametrize(
    ("land", "words"),
    [
        ({"roughness": 0.1e-6}, "too smooth"),
        ({"roughness": 0.6e-6}, "too rough"),
        ({"lead_angle": -0.002}, "lead"),
        ({"misalignment": 0.0035 * INCH}, "out of line"),
        ({"run_out": 0.006 * INCH}, "runs out"),
        # 30 mm at 3000 rpm is 4.7 m/s: hardened land asked for.
        ({"speed": 4.712, "hardness": 45.0}, "55 HRC"),
    ],
)
def test_each_fault_of_a_land_is_named(land, words):
    judged = seals.judge_land(**land)
    assert not judged.accepted
    assert any(words in text for text in judged.findings)


def test_both_at_their_limits_just_meet_the_sum():
    assert seals.judge_land(misalignment=0.003 * INCH, run_out=0.005 * INCH).accepted


@given(st.floats(0.001, 0.007), st.floats(0, 0.0002), st.floats(0.0005, 0.006), st.floats(0, 0.001))
def test_least_squeeze_is_never_more_than_most(section, tolerance, depth, play):
    found = seals.o_ring_squeeze(section, tolerance, depth, depth + play)
    assert found.least <= found.most
    assert found.least_share <= found.most_share


def test_a_ring_thinner_than_its_gland_shows_a_negative_squeeze():
    assert seals.o_ring_squeeze(0.00178, 0.00008, 0.0018, 0.0019).least_share < 0


def test_stretch_is_a_share_of_the_free_ring():
    assert seals.o_ring_stretch(0.051, 0.050) == pytest.approx(0.02)


@pytest.mark.parametrize("call", [
    lambda: seals.surface_speed(0.0, 50),
    lambda: seals.o_ring_fill(0.003, 0.0, 0.004),
    lambda: seals.o_ring_stretch(0.05, 0.0),
    lambda: seals.o_ring_squeeze(0.003, 0.0, 0.003, 0.002),
])  # fmt: skip
def test_what_cannot_be_is_refused(call):
    with pytest.raises(RangeError):
        call()
