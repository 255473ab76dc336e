"""What dials, V-blocks and micrometers show, against simulated round and lobed shafts."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.dial import (
    blind_waves,
    cosine_corrected,
    plunger_second_wave,
    raw_span_range,
    two_point_factor,
    vblock_factor,
    vblock_span,
)


def simulated_vblock(order, included, dial, c=1e-4):
    """Span of the dial as a body with support function 1 + c cos(nφ) turns in the V."""
    half = included / 2
    turn = np.linspace(0, 2 * pi, 721)

    def support(direction):
        return 1 + c * np.cos(order * (direction - turn))

    # The flanks touch below left and right, their normals h under the horizontal; both contacts
    # fix the centre.
    right, left = -half, pi + half
    n1, n2 = np.array([cos(right), sin(right)]), np.array([cos(left), sin(left)])
    matrix = np.vstack([n1, n2])
    rest = -1.0  # flank planes where a round unit shaft stands with its centre at zero
    centre = np.linalg.solve(matrix, np.vstack([-support(right), -support(left)]) - rest)
    top, bottom = centre[1] + support(pi / 2), centre[1] - support(-pi / 2)
    return float(np.ptp(top if dial == "opposite" else bottom))


@pytest.mark.parametrize("dial", ["opposite", "apex"])
@pytest.mark.parametrize("angle", [60, 72, 90, 108, 120])
@pytest.mark.parametrize("order", range(1, 9))
def test_the_factor_agrees_with_a_simulated_v_block(order, angle, dial):
    span = simulated_vblock(order, radians(angle), dial)
    assert span == pytest.approx(vblock_span(1e-4, order, radians(angle), dial), abs=2e-8)


@pytest.mark.parametrize("angle", [60, 90, 108, 120])
def test_a_v_block_under_the_journal_does_not_see_its_eccentricity(angle):
    assert vblock_factor(1, radians(angle)) == pytest.approx(0, abs=1e-12)


def test_a_sixty_degree_v_misses_ovals_and_a_ninety_shows_them():
    """K printed in the closed-form table: 60° n 2 and 5 give 0; 90° n 1 and 7 give 0."""
    assert {2, 5} <= set(blind_waves(radians(60), highest=6))
    assert 3 not in blind_waves(radians(60))
    assert set(blind_waves(radians(90), highest=8)) == {1, 7}


def test_a_micrometer_does_not_see_odd_lobes():
    assert [two_point_factor(n) for n in (1, 2, 3, 4, 5)] == [0, 2, 0, 2, 0]


@given(st.floats(-1, 1), st.floats(-1.0, 1.0))
def test_the_two_cosine_cases_are_inverse_and_named(travel, inclination):
    shown = cosine_corrected(travel, inclination, "plunger")
    assert cosine_corrected(shown, inclination, "motion") == pytest.approx(travel, abs=1e-12)


def test_the_usual_case_over_reads():
    assert cosine_corrected(0.80, radians(20), "motion") < 0.80
    assert cosine_corrected(0.80, radians(20), "plunger") > 0.80


def test_the_case_must_be_named_and_the_plunger_not_flat():
    with pytest.raises(InputError, match="touched face"):
        cosine_corrected(0.80, 0.1, "shaft")
    with pytest.raises(RangeError, match="60"):
        cosine_corrected(0.80, 20.0, "motion")


@given(st.integers(3, 40), st.floats(0, 2 * pi))
def test_sampled_spans_stay_in_their_range_and_reach_it(n, phase):
    low, high = raw_span_range(1.0, n)
    span = np.ptp(np.cos(2 * pi * np.arange(n) / n - phase))
    assert low - 1e-9 <= span <= high + 1e-9
    phases = np.linspace(0, 2 * pi / n, 201)[:, None]
    spans = np.ptp(np.cos(2 * pi * np.arange(n) / n - phases), axis=1)
    assert spans.max() == pytest.approx(high, abs=1e-3)
    assert spans.min() == pytest.approx(low, abs=2e-2)


def test_nonsense_is_refused():
    with pytest.raises(RangeError):
        raw_span_range(0.1, 2)
    with pytest.raises(RangeError):
        plunger_second_wave(2.0, 1.0)
    with pytest.raises(RangeError):
        vblock_factor(0, 1.0)
    with pytest.raises(RangeError):
        vblock_factor(2, 90.0)
    with pytest.raises(InputError):
        vblock_factor(2, 1.0, "side")
    with pytest.raises(RangeError):
        two_point_factor(0)
