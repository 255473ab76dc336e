"""Circle by points, wires, chords."""

from __future__ import annotations

from math import cos, inf, pi, radians, sin, tan

import circle_fit
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.gauging import (
    best_wire,
    chord_at_pitch_line,
    chordal_tooth,
    fit_circle,
    flank_slope,
    linear_circle,
    over_wires,
    pitch_diameter_over_wires,
    wire_angle_slope,
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


def drawn_chord(teeth, level, angle=pi / 9, thinner=0.0):
    """Chord of a module 1 tooth at a level [modules over the axis], from a string's own points.

    A taut string unwound from the base circle draws the flank: each point is the point of tangency
    plus the string that has come off. The flank is turned so that the tooth is half a pitch thick
    on the pitch circle, less what it is thinner there. No involute function is used.
    """
    radius, base = teeth / 2, teeth / 2 * cos(angle)
    unwound = np.linspace(0, 2.0, 400_001)
    x = base * (np.sin(unwound) - unwound * np.cos(unwound))
    y = base * (np.cos(unwound) + unwound * np.sin(unwound))
    there = float(np.interp(radius, np.hypot(x, y), np.arctan2(x, y)))
    # The string's flank leans to +x as it rises; the tooth's flank leans the other way.
    half = pi / (2 * teeth) - thinner / (2 * radius)
    turn = half + there
    across = np.sin(turn) * y - np.cos(turn) * x
    along = np.cos(turn) * y + np.sin(turn) * x
    return 2 * float(np.interp(level, along, across))


@pytest.mark.parametrize("teeth", [12, 20, 33, 60])
@pytest.mark.parametrize("thinner", [0.0, 0.08])
@pytest.mark.parametrize("deeper", [-0.4, -0.1, 0.05, 0.2])
def test_a_chord_read_elsewhere_is_brought_back_along_a_flank_drawn_point_by_point(
    teeth, thinner, deeper
):
    half = pi / (2 * teeth) - thinner / teeth
    line = teeth / 2 * cos(half)
    at_line = drawn_chord(teeth, line, thinner=thinner)
    read = drawn_chord(teeth, line - deeper, thinner=thinner)
    assert (read > at_line) == (deeper > 0)  # deeper is thicker
    assert at_line == pytest.approx(teeth * sin(half), abs=2e-6)
    found = chord_at_pitch_line(read, deeper, teeth / 2)
    assert found == pytest.approx(at_line, abs=1e-5)


@pytest.mark.parametrize("teeth", [12, 20, 60, 400])
@pytest.mark.parametrize("angle", [14.5, 20, 25])
def test_the_slope_at_the_pitch_line_is_that_of_the_drawn_flank(teeth, angle):
    """2 tan α is the rack's; at 20 teeth it is a third too steep."""
    half = pi / (2 * teeth)
    line, step = teeth / 2 * cos(half), 0.01
    drawn = [drawn_chord(teeth, line + s, radians(angle)) for s in (step, -step)]
    slope = (drawn[1] - drawn[0]) / (2 * step)
    assert flank_slope(radians(angle), half) == pytest.approx(slope, abs=2e-4)
    if (teeth, angle) == (20, 20):
        assert flank_slope(radians(20)) / slope == pytest.approx(1.31, abs=0.01)


@given(st.integers(6, 300), st.floats(0.7, 2.0))
def test_read_at_its_height_a_chord_is_what_it_was(teeth, chord):
    assert chord_at_pitch_line(chord, 0.0, teeth / 2) == pytest.approx(chord, rel=1e-12)


@given(st.floats(0.5, 5), st.floats(-0.5, 0.5), st.floats(14, 25))
def test_a_rack_has_straight_flanks_and_large_gears_come_near_it(chord, deeper, angle):
    alpha = radians(angle)
    straight = chord - 2 * tan(alpha) * deeper
    assert chord_at_pitch_line(chord, deeper, inf, alpha) == straight
    assert chord_at_pitch_line(chord, deeper, 1e5, alpha) == pytest.approx(straight, abs=1e-4)


def test_a_blade_below_the_flank_or_no_tooth_at_all_is_refused():
    with pytest.raises(RangeError, match="involute"):
        chord_at_pitch_line(1.57, 0.9, 6.0)
    with pytest.raises(RangeError, match="chord"):
        chord_at_pitch_line(0.0, 0.1, 6.0)
    with pytest.raises(RangeError, match="chord"):
        chord_at_pitch_line(13.0, 0.1, 6.0)


def contact_of_wire(wire, pitch, half_angle):
    """Pitch diameter less measure, by the wire's centre in a groove of any angle, no 60° formula.

    The groove is P/2 wide on the pitch line; its apex lies (P/4)/tan a below it; the wire's centre
    (w/2)/sin a above the apex.
    """
    apex = -pitch / 4 / tan(half_angle)
    centre = apex + wire / 2 / sin(half_angle)
    return -2 * (centre + wire / 2)


@given(st.sampled_from([0.5, 1.0, 1.5, 2.0, 6.0]), st.floats(0.52, 1.0))
def test_over_wires_and_its_angle_follow_from_the_groove(pitch, share):
    wire, step = share * pitch, 1e-5
    plain = contact_of_wire(wire, pitch, pi / 6)
    assert pitch_diameter_over_wires(50.0, wire, pitch) - 50.0 == pytest.approx(plain, abs=1e-12)
    turned = [contact_of_wire(wire, pitch, pi / 6 + s) for s in (step, -step)]
    slope = (turned[0] - turned[1]) / (2 * step)
    assert wire_angle_slope(wire, pitch) == pytest.approx(slope, abs=1e-6 * pitch)
    assert wire_angle_slope(best_wire(pitch), pitch) == pytest.approx(0, abs=1e-12)
