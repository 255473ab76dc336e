"""What a seen pattern may say: published directions, silence, veto, refusals."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import MissingError, RangeError
from casewright.mechanics.contact_pattern import (
    Belief,
    SeenPatch,
    SeenPattern,
    Wanted,
    compare_with_readings,
    state_pattern,
)

SHARE = st.floats(0, 1)


def seen(drive, coast, member="gear"):
    return SeenPattern(
        member, SeenPatch(*drive) if drive else None, SeenPatch(*coast) if coast else None
    )


def moves(statement):
    return {d.member: d.move for d in statement.directions}


def test_low_on_the_gear_asks_for_the_pinion_out():
    """TM 10-3930-671-24 p. 569; TM 5-3810-306-34 p. 8-42."""
    assert moves(state_pattern(seen((0.45, 0.1), (0.45, 0.15)))) == {"pinion": "out"}


def test_high_on_the_gear_asks_for_the_pinion_in():
    """TM 10-3930-671-24 p. 569; TM 5-3810-306-34 p. 8-42."""
    assert moves(state_pattern(seen((0.45, 0.9), (0.45, 0.85)))) == {"pinion": "in"}


def test_toe_on_both_asks_for_the_gear_away():
    """The same manuals, and TM 10-3930-653-14P p. 4-181."""
    assert moves(state_pattern(seen((0.1, 0.5), (0.15, 0.5)))) == {"gear": "out"}


def test_heel_on_both_asks_for_the_gear_closer():
    """The same manuals, and TM 10-3930-653-14P p. 4-181."""
    assert moves(state_pattern(seen((0.9, 0.5), (0.85, 0.5)))) == {"gear": "in"}


def test_high_on_the_pinion_is_low_on_the_gear():
    on_pinion = state_pattern(seen((0.45, 0.9), (0.45, 0.9), "pinion"))
    assert moves(on_pinion) == {"pinion": "out"}


def test_cross_contact_gets_no_shim_but_a_look_at_the_bores():
    statement = state_pattern(seen((0.1, 0.5), (0.9, 0.5)))
    assert statement.cross_contact
    assert statement.vetoes_stop
    assert "gear" not in moves(statement)
    assert "offset" in " ".join(statement.words)


def test_one_flank_is_enough_for_a_direction():
    assert moves(state_pattern(seen((0.1, 0.5), None))) == {"gear": "out"}


def test_flanks_that_contradict_each_other_in_height_say_nothing_of_the_pinion():
    assert "pinion" not in moves(state_pattern(seen((0.45, 0.1), (0.45, 0.9))))


def test_a_place_within_a_tap_of_the_window_says_nothing():
    statement = state_pattern(seen((0.22, 0.5), (0.22, 0.5)))
    assert statement.drive_along == "not sure"
    assert not statement.directions
    assert not statement.vetoes_stop


def test_a_good_pattern_vetoes_nothing():
    statement = state_pattern(seen((0.45, 0.5), (0.45, 0.5)))
    assert not statement.vetoes_stop
    assert statement.words == ("nothing against this set-up",)


def test_the_sheets_own_picture_comes_first():
    wanted = Wanted(along=(0.75, 0.95), up=(0.4, 0.6))
    assert not state_pattern(seen((0.85, 0.5), (0.85, 0.5)), wanted).directions


@settings(deadline=None, max_examples=50)
@given(SHARE, SHARE, SHARE, SHARE)
def test_interval_is_ten_per_cent_wide_each_way_and_words_never_name_millimetres(a, b, c, d):
    statement = state_pattern(seen((a, b), (c, d)))
    for direction in statement.directions:
        assert direction.high - direction.low == pytest.approx(0.20)
    assert " mm" not in " ".join(statement.words)
    assert statement.vetoes_stop == bool(statement.directions or statement.cross_contact)


@settings(deadline=None, max_examples=50)
@given(SHARE, SHARE)
def test_the_lengthwise_effect_of_the_pinion_is_never_claimed(along, up):
    """Published tables disagree about it (spiral bevel against hypoid)."""
    for direction in state_pattern(seen((along, up), (along, up))).directions:
        lengthwise = direction.finding in ("at the toe", "at the heel")
        assert lengthwise == (direction.member == "gear")


@pytest.mark.parametrize("place", [(-0.1, 0.5), (1.2, 0.5), (0.5, -0.01), (0.5, float("nan"))])
def test_a_pattern_outside_the_tooth_is_refused(place):
    with pytest.raises(RangeError, match="drive pattern"):
        state_pattern(seen(place, None))


def test_no_patch_at_all_is_asked_for():
    with pytest.raises(MissingError, match="pattern"):
        state_pattern(seen(None, None))


def test_pattern_and_readings_agree_disagree_or_keep_silent():
    heel = state_pattern(seen((0.9, 0.5), (0.9, 0.5)))
    too_far = Belief(0.0, 2e-5, 6e-5, 2e-5)
    too_near = Belief(0.0, 2e-5, -6e-5, 2e-5)
    in_place = Belief(0.0, 2e-5, 0.0, 2e-5)
    verdicts = [compare_with_readings(heel, b) for b in (too_far, too_near, in_place)]
    assert [v.gear for v in verdicts] == ["agrees", "disagrees", "disagrees"]
    assert {v.pinion for v in verdicts} == {"silent"}
    assert all(v.vetoes_stop for v in verdicts)


def test_a_belief_needs_a_doubt():
    with pytest.raises(RangeError, match="standard deviation"):
        compare_with_readings(state_pattern(seen((0.5, 0.5), None)), Belief(0, 0, 0, 1e-5))
