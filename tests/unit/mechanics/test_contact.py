"""Unloaded contact against closed forms, exact contact equations and published directions."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize

from bench import contact as bench
from casewright.errors import InfeasibleError, MissingError, RangeError
from casewright.mechanics import contact as contact_module
from casewright.mechanics.bevel_forces import tooth_forces
from casewright.mechanics.bevel_lash import lash_of_axial_moves
from casewright.mechanics.contact import MARKING_FILM, analyse, flank_contact
from casewright.mechanics.contact_flank import ToothedPair, body_points, meeting
from casewright.mechanics.contact_gallery import gallery
from casewright.mechanics.contact_gap import Misplacement, gear_flank, reach, relief, view
from casewright.mechanics.contact_path import LIFTED, layout, sweep

STRAIGHT = ToothedPair(
    pinion_teeth=20,
    gear_teeth=40,
    shaft_angle=math.pi / 2,
    outer_cone_distance=67.082e-3,
    face_width=22e-3,
    pressure_angle=math.radians(20),
    pinion_addendum=2.5e-3,
    gear_addendum=2.5e-3,
    pinion_addendum_angle=math.radians(2.5),
    gear_addendum_angle=math.radians(2.5),
)
INVOLUTE = replace(STRAIGHT, form="spherical involute")
SPIRAL = ToothedPair(
    pinion_teeth=14,
    gear_teeth=25,
    shaft_angle=math.pi / 2,
    outer_cone_distance=60e-3,
    face_width=18e-3,
    pressure_angle=math.radians(20),
    pinion_addendum=2.4e-3,
    gear_addendum=2.4e-3,
    form="circular",
    spiral_angle=math.radians(35),
    pinion_hand="left",
    cutter_radius=57e-3,
    pinion_addendum_angle=math.radians(2.0),
    gear_addendum_angle=math.radians(2.0),
)
CROWNED = {"lengthwise_crowning": 15e-6, "profile_crowning": 8e-6}
EVERY = [
    replace(STRAIGHT, **CROWNED),
    replace(INVOLUTE, **CROWNED),
    replace(SPIRAL, **CROWNED),
    replace(SPIRAL, pinion_hand="right", **CROWNED),
    replace(STRAIGHT, shaft_angle=math.radians(75), **CROWNED),
]
NAMES = ["octoid", "involute", "spiral left", "spiral right", "octoid at 75 degrees"]
SHIM = 5e-5
COARSE = (24, 16)


def error_at_nominal_roll(pair, off, side, grid=COARSE):
    """Push of the pair at zero roll, where a pair as drawn touches at the pitch point [rad]."""
    contact = flank_contact(pair, off, side, 41, grid)
    order = np.argsort(contact.pinion_turn)
    return side * float(np.interp(0.0, contact.pinion_turn[order], contact.error_of_pair[order]))


def highest_push(pair, off, side, roll_share=(0.25, 0.5, 0.75)):
    """Push at some rolls over a fine grid: contact lines need no polishing [rad]."""
    laid = layout(pair, side, (9, 401))
    rolls = np.quantile(laid.points.roll, roll_share)
    return sweep(laid, view(pair, off, rolls)).push.max((1, 2))


@pytest.mark.parametrize("side", [1, -1], ids=["one flank", "other flank"])
@pytest.mark.parametrize("degrees", [90, 75])
def test_spherical_involute_in_perfect_position_has_no_transmission_error(side, degrees):
    """Closed form: base cones in the ratio of the teeth (20/40), so the gear turns evenly.

    Every roll of the mesh, not the middle alone; 0.2 µrad is what the flank's interpolant keeps.
    """
    pair = replace(INVOLUTE, shaft_angle=math.radians(degrees))
    push = highest_push(pair, Misplacement(), side, np.linspace(0.02, 0.98, 25))
    assert np.abs(push).max() < 2e-7


@pytest.mark.parametrize("side", [1, -1], ids=["one flank", "other flank"])
@pytest.mark.parametrize("error", [0.0, 1e-3, -1e-3])
def test_spherical_involute_runs_true_also_with_a_shaft_angle_error(error, side):
    push = highest_push(INVOLUTE, Misplacement(shaft_angle=error), side)
    assert np.ptp(push) < 2e-7


def test_spherical_involute_shaft_angle_error_opens_the_lash_by_the_working_angles():
    """Closed form: lash from the working pressure angle, as with spur gears' centre distance."""
    error = 1e-3
    opening = -highest_push(INVOLUTE, Misplacement(shaft_angle=error), 1).mean()
    # small-angle: the pitch cones part by error (about y), normal share sin(alpha) per flank
    cosine = math.cos(INVOLUTE.pressure_angle) * math.sin(INVOLUTE.angles[1])
    assert opening == pytest.approx(error * math.sin(INVOLUTE.pressure_angle) / cosine, rel=0.02)


def test_octoid_runs_true_as_drawn_but_not_with_a_shaft_angle_error():
    assert np.ptp(highest_push(STRAIGHT, Misplacement(), 1)) < 2e-7
    off = Misplacement(shaft_angle=4e-3)
    assert np.ptp(highest_push(STRAIGHT, off, 1)) > 1e-6
    assert np.ptp(highest_push(INVOLUTE, off, 1)) < 3e-7


@pytest.mark.parametrize("side", [1, -1])
def test_two_members_of_one_crown_gear_run_true(side):
    push = highest_push(SPIRAL, Misplacement(), side)
    assert np.abs(push).max() < 2e-7


def test_a_crown_gear_pair_of_an_acute_and_an_obtuse_shaft_angle_runs_true():
    for degrees in (60, 110):
        pair = replace(STRAIGHT, shaft_angle=math.radians(degrees))
        assert np.ptp(highest_push(pair, Misplacement(), 1)) < 2e-7


@pytest.mark.parametrize("pair", EVERY, ids=NAMES)
@pytest.mark.parametrize("member", ["pinion_axial", "gear_axial"])
def test_lash_of_an_axial_move_is_the_closed_formula_in_its_linear_range(pair, member):
    move = 2e-6
    opened = 0.0
    for side in (1, -1):
        out = error_at_nominal_roll(pair, Misplacement(**{member: move}), side)
        back = error_at_nominal_roll(pair, Misplacement(**{member: -move}), side)
        opened += 0.5 * (back - out)
    arc = opened * pair.mean_cone_distance * math.sin(pair.angles[1])
    pinion, gear = (move, 0.0) if member == "pinion_axial" else (0.0, move)
    closed = lash_of_axial_moves(
        pinion, gear, *pair.angles, pair.pressure_angle, pair.spiral_angle
    ).transverse
    assert arc == pytest.approx(closed, rel=2e-3)


@pytest.mark.parametrize("form", ["octoid", "spherical involute"])
@pytest.mark.parametrize("member", ["pinion_axial", "gear_axial"])
def test_axial_play_and_lash_are_in_the_published_relation(form, member):
    """Axial play of a bevel mesh jx = jt / (2 tan(alpha) sin(delta)), member by member.

    Source: gear makers' technical references, table of bevel gear backlash (from memory). The
    contact model's lash and the project's closed formula are both held against it, at numbers that
    follow by hand: 0.10 mm at alpha 20, teeth 20/40: 0.03255 mm (pinion), 0.06511 mm (gear).
    """
    pair = replace(STRAIGHT, form=form, **CROWNED)
    sine, by_hand = {
        "pinion_axial": (1 / math.sqrt(5), 0.03255e-3),
        "gear_axial": (2 / math.sqrt(5), 0.06511e-3),
    }[member]
    published = 2 * math.tan(math.radians(20)) * sine
    assert 1e-4 * published == pytest.approx(by_hand, abs=5e-9)
    closed = lash_of_axial_moves(
        *((1.0, 0.0) if member == "pinion_axial" else (0.0, 1.0)), *pair.angles, pair.pressure_angle
    ).transverse
    assert closed == pytest.approx(published, rel=1e-12)
    move, opened = 2e-6, 0.0
    for side in (1, -1):
        out, back = (
            error_at_nominal_roll(pair, Misplacement(**{member: sign * move}), side)
            for sign in (1, -1)
        )
        opened += 0.5 * (back - out)
    arc = opened * pair.mean_cone_distance * math.sin(pair.angles[1])
    assert arc / move == pytest.approx(published, rel=2e-3)


@pytest.mark.parametrize("pair", EVERY, ids=NAMES)
def test_mean_lash_of_a_shim_stays_near_the_closed_formula(pair):
    """2 % for a gear's move and 10 % for a pinion's, as found against two solved flank pairs."""
    for member, tolerance in (("gear_axial", 0.02), ("pinion_axial", 0.10)):
        out, back = (
            analyse(pair, Misplacement(**{member: sign * SHIM}), grid=COARSE).lash_arc
            for sign in (1, -1)
        )
        moves = (SHIM, 0.0) if member == "pinion_axial" else (0.0, SHIM)
        closed = lash_of_axial_moves(
            *moves, *pair.angles, pair.pressure_angle, pair.spiral_angle
        ).transverse
        assert 0.5 * (out - back) == pytest.approx(closed, rel=tolerance)


def test_uncrowned_straight_teeth_touch_first_at_the_heel_moving_out_at_the_toe_moving_in():
    for move, end in ((SHIM, 1.0), (-SHIM, 0.0)):
        contact = analyse(STRAIGHT, Misplacement(gear_axial=move), grid=COARSE)
        for flank in (contact.drive, contact.coast):
            middle = slice(15, 26)
            assert flank.path.pinion_along[middle] == pytest.approx(end, abs=1e-9)


def test_uncrowned_straight_teeth_open_as_seen_at_the_heel():
    opened = sum(
        -error_at_nominal_roll(STRAIGHT, Misplacement(gear_axial=SHIM), side) for side in (1, -1)
    )
    gear = STRAIGHT.angles[1]
    normal = 2 * SHIM * math.sin(STRAIGHT.pressure_angle) * math.sin(gear)
    arm = math.cos(STRAIGHT.pressure_angle) * STRAIGHT.outer_cone_distance * math.sin(gear)
    assert opened == pytest.approx(normal / arm, rel=0.01)


@pytest.mark.parametrize("pair", EVERY, ids=NAMES)
def test_gear_out_moves_the_pattern_to_the_heel_on_both_flanks(pair):
    """Toe on both sides: move the gear away (TM 10-3930-671-24, TM 5-3810-306-34)."""
    drawn = analyse(pair, Misplacement(), grid=COARSE)
    out = analyse(pair, Misplacement(gear_axial=SHIM), grid=COARSE)
    tight = analyse(pair, Misplacement(gear_axial=-SHIM), grid=COARSE)
    for flank in ("drive", "coast"):
        along = [getattr(c, flank).pattern.gear.along for c in (tight, drawn, out)]
        assert np.diff(along).min() > 0.005


@pytest.mark.parametrize("pair", EVERY, ids=NAMES)
def test_pinion_out_moves_the_pattern_high_on_the_gear_on_both_flanks(pair):
    """High on the gear: move the pinion in (TM 10-3930-671-24, TM 5-3810-306-34)."""
    out = analyse(pair, Misplacement(pinion_axial=SHIM), grid=COARSE)
    deep = analyse(pair, Misplacement(pinion_axial=-SHIM), grid=COARSE)
    for flank in ("drive", "coast"):
        high, low = (getattr(c, flank).pattern for c in (out, deep))
        assert high.gear.up > low.gear.up + 0.05
        assert high.pinion.up < low.pinion.up - 0.05


@pytest.mark.parametrize("pair", EVERY, ids=NAMES)
def test_offset_moves_the_pattern_opposite_ways_on_the_two_flanks(pair):
    """Cross contact (gear handbook rule, from memory)."""
    drawn = analyse(pair, Misplacement(), grid=COARSE)
    off = analyse(pair, Misplacement(offset=SHIM), grid=COARSE)
    drive = off.drive.pattern.gear.along - drawn.drive.pattern.gear.along
    coast = off.coast.pattern.gear.along - drawn.coast.pattern.gear.along
    assert drive * coast < 0
    assert min(abs(drive), abs(coast)) > 0.05


def test_a_right_hand_pair_is_the_mirror_image_of_a_left_hand_pair():
    left, right = EVERY[2], EVERY[3]
    off = Misplacement(SHIM, -SHIM, 2e-5, 5e-4)
    mirrored = replace(off, offset=-off.offset)
    one, other = analyse(left, off, grid=COARSE), analyse(right, mirrored, grid=COARSE)
    assert one.lash_arc == pytest.approx(other.lash_arc, abs=1e-10)
    assert one.drive.pattern.gear.along == pytest.approx(other.drive.pattern.gear.along, abs=1e-6)


def test_the_coast_flank_drives_when_the_shaft_turns_the_other_way():
    ahead = analyse(SPIRAL, Misplacement(), grid=COARSE)
    astern = analyse(SPIRAL, Misplacement(), grid=COARSE, concave_drives=False)
    assert ahead.drive.side == astern.coast.side == 1


@pytest.mark.parametrize("pair", EVERY[:2], ids=NAMES[:2])
def test_path_is_where_a_simplex_search_finds_the_hardest_push(pair):
    off = Misplacement(3e-5, -4e-5, 2e-5, 3e-4)
    contact = flank_contact(pair, off, 1, 11, (64, 32))
    laid = layout(pair, 1, (64, 32))
    roll = np.linspace(laid.points.roll.min(), laid.points.roll.max(), 11)
    flank = gear_flank(pair, 1)
    for k in np.flatnonzero(~contact.path.edge):
        seen = view(pair, off, roll[k : k + 1])

        def push(at, seen=seen):
            lengthwise, height = np.array([at[0] * 1e-3]), np.array([at[1] * 1e-3])
            met = meeting(pair, 1, lengthwise, height)
            radius = np.linalg.norm(met.points, axis=-1)
            body = body_points(pair, -1, met, relief(pair, radius, height))
            placed = seen.turn[0] @ body[0] + seen.shift[0]
            return -1e6 * float(reach(1, flank, placed).push)

        best = np.unravel_index(sweep(laid, seen).push[0].argmax(), (64, 32))
        start = laid.points.lengthwise[best] * 1e3, laid.points.height[best] * 1e3
        options = {"xatol": 1e-6, "fatol": 1e-9}
        found = minimize(push, start, method="Nelder-Mead", options=options)
        met = meeting(pair, 1, *(np.array([v * 1e-3]) for v in found.x))
        along = float(laid.along(np.linalg.norm(met.points, axis=-1))[0])
        assert contact.path.pinion_along[k] == pytest.approx(along, abs=2e-3)
        assert contact.error_of_pair[k] == pytest.approx(-found.fun * 1e-6, abs=1e-9)


def test_gaps_are_never_negative_and_the_pattern_is_where_they_are_under_the_film():
    contact = analyse(EVERY[2], Misplacement(gear_axial=SHIM))
    for flank in (contact.drive, contact.coast):
        assert flank.pattern.gap.min() > -1e-7
        wiped = flank.pattern.gap <= MARKING_FILM
        assert flank.pattern.pinion.area == pytest.approx(wiped.mean())
        assert flank.carries.any()


def test_a_thicker_film_marks_more():
    thin, thick = (analyse(EVERY[0], Misplacement(), grid=COARSE, film=f) for f in (4e-6, 12e-6))
    assert thin.drive.pattern.gear.area < thick.drive.pattern.gear.area


def test_pattern_length_of_a_crowned_tooth_is_where_the_parabola_meets_the_film():
    """Crowning only along: gap = c t² at mid profile, so the mark ends at t = sqrt(film/c)."""
    pair = replace(STRAIGHT, lengthwise_crowning=25e-6)
    patch = analyse(pair, Misplacement(), grid=(129, 32)).drive.pattern.pinion
    half = 0.5 * math.sqrt(MARKING_FILM / 25e-6)
    assert patch.along_from == pytest.approx(0.5 - half, abs=0.02)
    assert patch.along_to == pytest.approx(0.5 + half, abs=0.02)


def test_design_lash_is_added_and_tight_teeth_show_negative_lash():
    free = analyse(EVERY[0], Misplacement(), 0.15e-3, grid=COARSE)
    none = analyse(EVERY[0], Misplacement(), 0.0, grid=COARSE)
    assert free.lash_arc - none.lash_arc == pytest.approx(0.15e-3)
    assert analyse(EVERY[0], Misplacement(gear_axial=-SHIM), grid=COARSE).lash_arc < 0
    assert free.estimate


def test_the_gallery_shows_what_one_shim_does():
    pictures = {p.title: p.contact for p in gallery(EVERY[2], SHIM, SHIM, 0.1e-3, COARSE)}
    assert len(pictures) == 5
    drawn = pictures["as drawn"]
    assert pictures["gear one shim out"].lash_arc > drawn.lash_arc
    assert pictures["pinion one shim in"].lash_arc < drawn.lash_arc


def test_bad_inputs_are_refused_by_name():
    with pytest.raises(RangeError, match="gear axial"):
        analyse(STRAIGHT, Misplacement(gear_axial=2e-3))
    with pytest.raises(RangeError, match="design lash"):
        analyse(STRAIGHT, Misplacement(), -1e-5)
    with pytest.raises(RangeError, match="shaft angle error"):
        analyse(STRAIGHT, Misplacement(shaft_angle=0.2))
    with pytest.raises(RangeError, match="grid"):
        analyse(STRAIGHT, Misplacement(), grid=(2, 2))
    with pytest.raises(MissingError, match="cutter radius"):
        replace(SPIRAL, cutter_radius=None)
    with pytest.raises(MissingError, match="hand"):
        replace(SPIRAL, pinion_hand="straight")
    with pytest.raises(RangeError, match="spiral angle"):
        replace(STRAIGHT, spiral_angle=0.3)
    with pytest.raises(RangeError, match="shim step"):
        gallery(STRAIGHT, 0.0, SHIM)


def test_an_undercut_flank_is_not_answered():
    few = replace(STRAIGHT, pinion_teeth=8, gear_teeth=40, pressure_angle=math.radians(14.5))
    with pytest.raises(RangeError, match="undercut"):
        analyse(few, Misplacement(), grid=COARSE)


def test_spiral_contact_is_where_the_true_surfaces_touch_by_scipy_roots():
    """Path and gaps against root finding on surfaces written out a second time (bench.contact)."""
    found = analyse(bench.PAIR, bench.OFF)
    apart, compared, _ = bench.path_distance(bench.PAIR, found, bench.OFF)
    assert apart < 1e-3
    assert compared > 50
    solved, _ = bench.field_by_roots(bench.PAIR, bench.OFF, 1, stride=48)
    laid = layout(bench.PAIR, 1, bench.GRID)
    rolls = np.linspace(laid.points.roll.min(), laid.points.roll.max(), bench.POSITIONS)
    ours = sweep(laid, view(bench.PAIR, bench.OFF, rolls)).push
    assert np.abs(ours - solved)[solved > -1].max() < 2e-8


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("side", [1, -1])
def test_flank_normals_push_the_pinion_as_the_tooth_forces_say(hand, side):
    """Hand, rotation and flank mean the same in contact and forces."""
    pair = replace(SPIRAL, pinion_hand=hand)
    met = meeting(pair, side, np.zeros(1), np.zeros(1))
    on_pinion = -met.normals[0]
    pinion = pair.angles[0]
    axis = np.array([math.cos(pinion), 0.0, -math.sin(pinion)])
    outward = np.array([math.sin(pinion), 0.0, math.cos(pinion)])
    turns = np.cross(axis, [1.0, 0.0, 0.0])[1] * side  # + : counter-clockwise from the heel
    way = "counter-clockwise" if turns > 0 else "clockwise"
    found = tooth_forces(
        1.0, 1.0, pinion, pair.pressure_angle, pair.spiral_angle, hand, way, driving=True
    )
    scale = 1 / -(on_pinion[1] * side)
    assert scale > 0
    assert found.axial == pytest.approx(on_pinion @ axis * scale)
    assert found.radial == pytest.approx(-(on_pinion @ outward) * scale)


def test_the_concave_flank_of_a_left_hand_pinion_drives_clockwise_and_is_pushed_out():
    """Its centre of curvature lies outside the pinion, on the side the normal points to."""
    flank = analyse(SPIRAL, Misplacement(), grid=COARSE).drive
    arc = np.array([-4e-3, 0.0, 4e-3])
    met = meeting(SPIRAL, flank.side, arc, np.zeros(3))
    body = body_points(SPIRAL, -1, met)
    sag = body[0] + body[2] - 2 * body[1]
    assert float(sag @ met.normals[1]) > 0
    # turning this way the teeth move to +y of side: clockwise is -axis
    assert flank.side == 1


def test_forty_one_rolls_leave_the_mark_within_a_micrometre():
    few = analyse(EVERY[2], Misplacement(gear_axial=SHIM)).drive.pattern
    many = analyse(EVERY[2], Misplacement(gear_axial=SHIM), positions=321).drive.pattern
    marked = many.gap <= MARKING_FILM
    assert np.abs(few.gap - many.gap)[marked].max() < 1.5e-6


def test_flanks_that_touch_nowhere_are_said_to_and_not_averaged(monkeypatch):
    def lifted(laid, seen):
        swept = sweep(laid, seen)
        return replace(swept, push=np.full_like(swept.push, LIFTED))

    monkeypatch.setattr(contact_module, "sweep", lifted)
    with pytest.raises(InfeasibleError, match="don't meet"):
        analyse(EVERY[0], Misplacement(), grid=COARSE)
