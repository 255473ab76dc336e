"""Signs of every layout, against points moved along a line."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.reasoning.shim_model import Sensitivity
from casewright.reasoning.shim_signs import (
    AWAY,
    LOOSER,
    TIGHTER,
    TOWARD,
    Mesh,
    Seat,
    against_walk,
    motion_from_stack,
    response_signs,
    sign_walk,
    signed_sensitivities,
)

MESHES = (
    Mesh("ahead lash", ("pinion", "ahead gear")),
    Mesh("astern lash", ("pinion", "astern gear")),
)
HEIGHTS = {"pinion height": "pinion"}
PLAYS = {"propeller shaft play": "propeller shaft", "drive shaft play": "drive shaft"}


def placed(stack: list[str], wall: str, pack: float) -> dict[str, float]:
    """Centres of things pressed together along an axis, the wall held at 100, the apex at 0."""
    thick = dict.fromkeys(stack, 10.0) | {"pack": pack, wall: 0.0}
    order = stack.index(wall)
    at = {wall: 100.0}
    edge = 100.0
    for name in stack[order + 1 :]:
        at[name] = edge + thick[name] / 2
        edge += thick[name]
    edge = 100.0
    for name in reversed(stack[:order]):
        at[name] = edge - thick[name] / 2
        edge -= thick[name]
    return at


@pytest.mark.parametrize("stack", list(permutations(["gear", "cup", "pack", "wall"])))
def test_motion_equals_moving_points_on_a_line(stack: tuple[str, ...]) -> None:
    """Every order of gear, bearing cup, pack and wall, seen from the apex outward."""
    thin, thick = (placed(list(stack), "wall", pack)["gear"] for pack in (1.0, 1.1))
    moved = thick - thin
    if abs(moved) < 1e-9:  # the pack is not between the wall and the gear
        with pytest.raises(InputError, match="between"):
            motion_from_stack(stack, "gear", "pack", "wall")
    else:
        wanted = AWAY if moved > 0 else TOWARD
        assert motion_from_stack(stack, "gear", "pack", "wall") == wanted


def gap_between_cones(pinion: float, gear: float) -> float:
    """Gap between two touching right-angle pitch cones when each moves out along its axis.

    The gear's cone stands on x with its apex at (gear, 0), the pinion's on y with its apex at
    (0, pinion); the gap is the distance of the pinion's apex line above the gear's, measured
    across both, along their common direction (1, 1)/√2.
    """
    on_gear, on_pinion = (gear + 1.0, 1.0), (1.0, pinion + 1.0)
    across = (1 / 2**0.5, -1 / 2**0.5)
    return sum((a - b) * c for a, b, c in zip(on_gear, on_pinion, across, strict=True))


@pytest.mark.parametrize(
    ("seat", "moves"),
    [
        (Seat("p", "pinion", AWAY), (1e-4, 0.0)),
        (Seat("p", "pinion", TOWARD), (-1e-4, 0.0)),
        (Seat("g", "ahead gear", AWAY), (0.0, 1e-4)),
        (Seat("g", "ahead gear", TOWARD), (0.0, -1e-4)),
    ],
)
def test_lash_and_height_follow_the_cones(seat: Seat, moves: tuple[float, float]) -> None:
    signs = response_signs(seat, MESHES, HEIGHTS, PLAYS)
    gap = gap_between_cones(*moves)
    assert signs["ahead lash"] == (1 if gap > 0 else -1)
    if seat.moves == "pinion":
        assert signs["pinion height"] == (1 if moves[0] > 0 else -1)
        assert signs["astern lash"] == signs["ahead lash"]
    else:
        assert "pinion height" not in signs
        assert "astern lash" not in signs


@pytest.mark.parametrize("under_cup", [True, False])
def test_end_play_follows_the_cups(under_cup: bool) -> None:
    """Two cups facing each other round a shaft: play is their distance less the cones'."""

    def play(pack: float) -> float:
        left_wall, right_wall, cone_length = 0.0, 100.0, 89.0
        if under_cup:
            return (right_wall - 5.0) - (left_wall + 5.0 + pack) - cone_length
        return (right_wall + pack - 5.0) - (left_wall + 5.0) - cone_length

    bearings = TIGHTER if under_cup else LOOSER
    signs = response_signs(
        Seat("cover", shaft="propeller shaft", bearings=bearings),
        MESHES,
        HEIGHTS,
        PLAYS,
        {"propeller shaft torque": "propeller shaft"},
    )
    assert signs["propeller shaft play"] == (1 if play(1.1) > play(1.0) else -1)
    assert signs["propeller shaft torque"] == -signs["propeller shaft play"]
    assert "drive shaft play" not in signs


def test_one_pack_can_move_the_pinion_and_its_preload() -> None:
    """Paired tapers on the drive shaft: one shim raises the pinion and tightens the pair."""
    seat = Seat("top", "pinion", AWAY, "drive shaft", TIGHTER)
    signs = response_signs(seat, MESHES, HEIGHTS, PLAYS)
    assert signs == {"pinion height": 1, "ahead lash": 1, "astern lash": 1, "drive shaft play": -1}


@given(st.floats(1e-6, 2.0), st.sampled_from([TOWARD, AWAY]))
def test_a_sensitivity_never_gets_its_sign_from_its_size(size: float, motion: str) -> None:
    seat = Seat("g", "ahead gear", motion)
    signs = response_signs(seat, MESHES, HEIGHTS, PLAYS)
    rate = signed_sensitivities(seat, signs, {"ahead lash": (size, 0.1, "sheet")})[0]
    assert (rate.value > 0) == (motion == AWAY)
    assert abs(rate.value) == size
    with pytest.raises(RangeError, match="sign follows"):
        signed_sensitivities(seat, signs, {"ahead lash": (-size, 0.1, "sheet")})


def test_the_walk_says_what_a_step_does() -> None:
    seat = Seat("pinion seat", "pinion", TOWARD)
    rates = (
        Sensitivity("pinion height", "pinion seat", -1.0, 0.0),
        Sensitivity("ahead lash", "pinion seat", -0.4, 0.05, "geometry"),
        Sensitivity("ahead lash", "ahead seat", 0.8, 0.1),
    )
    walk = sign_walk(seat, rates, {"pinion height": "height", "ahead lash": "lash"}, 1e-4)
    assert [(line.response, line.word) for line in walk] == [
        ("pinion height", "goes lower"),
        ("ahead lash", "closes"),
    ]
    assert walk[1].change == pytest.approx(-0.04e-3)
    with pytest.raises(InputError, match="kind"):
        sign_walk(seat, rates, {}, 1e-4)


def test_a_rate_against_the_drawing_is_found() -> None:
    signs = {"seat": {"lash": 1}}
    good, bad = Sensitivity("lash", "seat", 0.4, 0.1), Sensitivity("lash", "seat", -0.1, 0.1)
    assert against_walk([good], signs) == ()
    assert against_walk([good, bad], signs) == (("lash", "seat"),)


@pytest.mark.parametrize(
    "seat", [Seat("x", "pinion", "up"), Seat("x", shaft="s", bearings="firm"), Seat("x")]
)
def test_unknown_words_and_idle_seats_are_refused(seat: Seat) -> None:
    with pytest.raises(InputError, match="x"):
        response_signs(seat, MESHES, HEIGHTS, PLAYS)


def test_a_name_not_in_the_stack_is_refused() -> None:
    with pytest.raises(InputError, match="stack"):
        motion_from_stack(["gear", "pack"], "gear", "pack", "wall")
