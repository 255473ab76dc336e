"""A pair's flanks from its blank dimensions, and the outline of a tooth to draw a pattern on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.bevel_blank import BlankPair, MeanDepths
from casewright.mechanics.contact_flank import (
    Array,
    Form,
    Hand,
    ToothedPair,
    active_root_angle,
    tip_angle,
)


def toothed_pair(
    blanks: MeanDepths | BlankPair,
    pinion_teeth: int,
    gear_teeth: int,
    shaft_angle: float,
    pressure_angle: float,
    *,
    form: Form = "octoid",
    spiral_angle: float = 0.0,
    pinion_hand: Hand = "straight",
    cutter_radius: float | None = None,
    lengthwise_crowning: float = 0.0,
    profile_crowning: float = 0.0,
) -> ToothedPair:
    """Flanks of a pair from its blanks; addenda taken at the middle of the face.

    Args:
        blanks: blanks of any of the systems in `bevel_blank` [m, rad].
        pinion_teeth: pinion teeth [-].
        gear_teeth: gear teeth [-].
        shaft_angle: shaft angle [rad].
        pressure_angle: normal pressure angle [rad].
        form: tooth form [-].
        spiral_angle: mean spiral angle [rad].
        pinion_hand: hand of the pinion [-].
        cutter_radius: mean cutter radius of spiral teeth [m].
        lengthwise_crowning: relief at toe and heel [m].
        profile_crowning: relief at tip and active root [m].
    Returns:
        ToothedPair: lengths [m], angles [rad].
    Valid: straight face lines.
    Raises: RangeError, MissingError where the parts don't make a pair.
    Source: ISO-23509 data type I; addendum falling by (b/2) tan(theta_a) from heel to middle
    """
    pair = blanks.blanks if isinstance(blanks, MeanDepths) else blanks
    half = 0.5 * pair.face_width
    addenda = [m.addendum - half * np.tan(m.addendum_angle) for m in (pair.pinion, pair.gear)]
    return ToothedPair(
        pinion_teeth=pinion_teeth,
        gear_teeth=gear_teeth,
        shaft_angle=shaft_angle,
        outer_cone_distance=pair.pitch.outer_cone_distance,
        face_width=pair.face_width,
        pressure_angle=pressure_angle,
        pinion_addendum=float(addenda[0]),
        gear_addendum=float(addenda[1]),
        form=form,
        spiral_angle=spiral_angle,
        pinion_hand=pinion_hand,
        cutter_radius=cutter_radius,
        pinion_addendum_angle=pair.pinion.addendum_angle,
        gear_addendum_angle=pair.gear.addendum_angle,
        lengthwise_crowning=lengthwise_crowning,
        profile_crowning=profile_crowning,
    )


@dataclass(frozen=True, slots=True)
class ToothOutline:
    """A tooth seen from the side, toe to heel: distance from the toe and heights [m].

    Heights are over the pitch line: `tip`, `active_root` (0 of a pattern's share up, the tip
    being 1) and `root`.
    """

    from_toe: Array
    tip: Array
    active_root: Array
    root: Array


def tooth_outline(
    pair: ToothedPair, side: int, member: int, clearance: float, count: int = 17
) -> ToothOutline:
    """Outline of one member's tooth, to scale, for a picture of its pattern.

    Args:
        pair: the pair [-].
        side: +1 or -1: which flank [-].
        member: -1 pinion, +1 gear [-].
        clearance: bottom clearance at the middle of the face [m].
        count: points from toe to heel [-].
    Returns:
        ToothOutline: lengths [m], shape (count,).
    Valid: uniform clearance; heights along the back cone's direction.
    Raises: RangeError for a negative clearance or an undercut flank, UnconvergedError.
    Source: ISO-23509 depths along the face
    """
    if clearance < 0:
        raise RangeError("clearance", clearance, "zero or more")
    pitch = pair.angles[0 if member < 0 else 1]
    mate_pitch = pair.angles[1 if member < 0 else 0]
    radius = np.linspace(pair.inner_cone_distance, pair.outer_cone_distance, count)
    mate_tip = radius * np.tan(tip_angle(pair, -member, radius) - mate_pitch)
    return ToothOutline(
        from_toe=radius - pair.inner_cone_distance,
        tip=radius * np.tan(tip_angle(pair, member, radius) - pitch),
        active_root=radius * np.tan(active_root_angle(pair, side, member, radius) - pitch),
        root=-mate_tip - clearance,
    )
