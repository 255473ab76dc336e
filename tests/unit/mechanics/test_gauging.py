"""Circle by points, wires, chords."""

from __future__ import annotations

from math import cos, pi, sin

import circle_fit
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.gauging import (
    best_wire,
    chordal_tooth,
    fit_circle,
    linear_circle,
    over_wires,
    pitch_diameter_over_wires,
)
from casewright.mechanics.threads import geometry

GANDER = ([1, 2, 5, 7, 9, 3], [7, 6, 8, 7, 5, 7])


@settings(max_examples=40)
@given(
    st.floats(-1, 1), st.floats(-1, 1), st.floats(0.005, 0.5), st.floats(0, 6), st.floats(1.0, 6.0)
)
def test_points_of_a_circle_give_it_back(x, y, radius, start, arc):
    turns = [start + arc * i / 7 for i in range(8)]
    found = fit_circle([x + radius * cos(t) for t in turns], [y + radius * sin(t) for t in turns])
    assert (found.x, found.y) == pytest.approx((x, y), abs=1e-7)
    assert found.radius == pytest.approx(radius, rel=1e-7)
    widest = max(arc / 7, 2 * pi - arc)
    assert found.arc == pytest.approx(2 * pi - widest, abs=1e-5)


@pytest.mark.parametrize("seed", range(5))
def test_the_geometric_fit_agrees_with_an_open_library(seed):
    """Its standard least-squares fit is geometric; its stopping is loose (1e-4)."""
    rng = np.random.default_rng(seed)
    turns = rng.uniform(0, 2 * pi, 20)
    points = np.column_stack([5 + 3 * np.cos(turns), -2 + 3 * np.sin(turns)])
    points += rng.normal(0, 0.02, points.shape)
    x, y, radius, _ = circle_fit.standardLSQ(points)
    found = fit_circle(points[:, 0].tolist(), points[:, 1].tolist())
    assert (found.x, found.y, found.radius) == pytest.approx((x, y, radius), abs=1e-4)


def test_the_geometric_fit_has_the_least_sum_and_is_not_the_algebraic_one():
    """Published: geometric R 4.71423, algebraic R 3.03704 on the same six points."""
    x, y = (np.asarray(values, dtype=float) for values in GANDER)
    found = fit_circle(*GANDER)

    def total(a, b, radius):
        return float(np.sum((np.hypot(x - a, y - b) - radius) ** 2))

    least = total(found.x, found.y, found.radius)
    assert least < total(5.37941, 7.25320, 3.03704)
    assert least < total(*linear_circle(*GANDER))
    for step in (1e-3, -1e-3):
        assert least < total(found.x + step, found.y, found.radius)
        assert least < total(found.x, found.y + step, found.radius)
        assert least < total(found.x, found.y, found.radius + step)


def test_a_short_arc_says_that_its_radius_is_weak():
    rng = np.random.default_rng(3)
    turns = np.linspace(1.3, 1.8, 9)
    noise = rng.normal(0, 2e-6, 9)
    short = fit_circle(
        ((0.05 + noise) * np.cos(turns)).tolist(), ((0.05 + noise) * np.sin(turns)).tolist()
    )
    whole = np.linspace(0, 2 * pi, 9, endpoint=False)
    full = fit_circle(
        ((0.05 + noise) * np.cos(whole)).tolist(), ((0.05 + noise) * np.sin(whole)).tolist()
    )
    assert short.notes
    assert not full.notes
    assert short.radius_uncertainty > 10 * full.radius_uncertainty
    assert abs(short.radius - 0.05) < 4 * short.radius_uncertainty


@pytest.mark.parametrize("arc", [0.8, 2.5])
def test_the_stated_uncertainty_of_the_radius_is_that_of_repeated_trials(arc):
    rng = np.random.default_rng(11)
    turns = 0.4 + np.linspace(-arc / 2, arc / 2, 12)
    runs = []
    for _ in range(150):
        radii = 0.05 + rng.normal(0, 2e-6, 12)
        runs.append(fit_circle((radii * np.cos(turns)).tolist(), (radii * np.sin(turns)).tolist()))
    spread = np.std([run.radius for run in runs])
    typical = np.sqrt(np.mean([run.radius_uncertainty**2 for run in runs]))
    assert typical == pytest.approx(spread, rel=0.2)


def test_three_points_leave_nothing_to_judge_by():
    assert fit_circle([10, 0, -6], [0, 10, -8]).radius_uncertainty is None


def test_too_few_or_straight_points_are_refused():
    with pytest.raises(RangeError, match="three"):
        fit_circle([0, 1], [0, 1])
    with pytest.raises(RangeError, match="line"):
        fit_circle([0, 1, 2, 3], [0, 1, 2, 3])
    with pytest.raises(InputError):
        fit_circle([0, 1, 2], [0, 1])
    with pytest.raises(InputError):
        fit_circle([0, 1, float("nan")], [0, 1, 2])


@given(st.sampled_from(["M6", "M10", "M12", "1/2-13", "M90x2"]), st.floats(0.52, 1.0))
def test_wires_and_pitch_diameter_are_inverse(thread, share):
    pitch = geometry(thread).pitch
    measure = over_wires(thread, share * pitch)
    back = pitch_diameter_over_wires(measure, share * pitch, pitch)
    assert back == pytest.approx(geometry(thread).pitch_diameter, rel=1e-12)


def test_the_best_wire_touches_at_the_pitch_line():
    """A wire of w = P/(2 cos 30°) centred in a 60° groove touches where groove and land are P/2."""
    pitch = 1.5
    wire = best_wire(pitch)
    # Contact lies w/2 sin 30° nearer the axis than the wire's centre, w/2 cos 30° beside it.
    assert wire / 2 * cos(pi / 6) == pytest.approx(pitch / 4)
    measure = over_wires("M10", wire * 1e-3)
    centre_radius = (measure - wire * 1e-3) / 2
    contact = centre_radius - wire * 1e-3 / 2 * sin(pi / 6)
    assert contact == pytest.approx(geometry("M10").pitch_diameter / 2, rel=1e-6)


@pytest.mark.parametrize("share", [0.3, 1.2])
def test_a_wire_that_misses_the_flanks_is_refused(share):
    with pytest.raises(RangeError, match="Best"):
        over_wires("M10", share * 1.5e-3)
    with pytest.raises(RangeError):
        best_wire(0.0)


@given(st.integers(8, 200), st.floats(-0.3, 0.5))
def test_the_chord_and_its_height_lie_on_the_pitch_circle(teeth, shift):
    """The arc over the half angle is the tooth thickness m (π/2 + 2 x tan α) of the standard."""
    tooth = chordal_tooth(1.0, teeth, pi / 9, shift)
    arc = tooth.half_angle * teeth
    assert arc == pytest.approx(pi / 2 + 2 * shift * np.tan(pi / 9))
    assert tooth.thickness < arc
    assert tooth.height > 1 + shift


def test_a_chord_of_nothing_is_refused():
    with pytest.raises(RangeError):
        chordal_tooth(0.0, 20)
    with pytest.raises(RangeError):
        chordal_tooth(1.0, 3)
