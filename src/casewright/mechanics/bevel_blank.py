"""Blank dimensions of bevel gears by three published systems of tooth proportions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from casewright.errors import MissingError, RangeError
from casewright.mechanics.bevel import PitchGeometry, pitch_geometry

Taper = Literal["standard", "constant slot"]


@dataclass(frozen=True, slots=True)
class MemberBlank:
    """One member's blank at the heel: lengths [m], angles [rad]."""

    addendum: float
    dedendum: float
    addendum_angle: float
    dedendum_angle: float
    face_angle: float
    root_angle: float
    outside_diameter: float
    apex_to_crown: float
    axial_face: float
    inner_tip_diameter: float


@dataclass(frozen=True, slots=True)
class BlankPair:
    """Pitch cones and both blanks."""

    pitch: PitchGeometry
    face_width: float
    pinion: MemberBlank
    gear: MemberBlank


def member_blank(
    pitch_diameter: float,
    pitch_angle: float,
    face_width: float,
    addendum: float,
    dedendum: float,
    addendum_angle: float,
    dedendum_angle: float,
) -> MemberBlank:
    """Turned dimensions; da = d + 2 ha cos d, X = Re cos d - ha sin d, Xb = b cos da / cos ta.

    Args:
        pitch_diameter: outer pitch diameter [m].
        pitch_angle: pitch angle [rad].
        face_width: face width [m].
        addendum: outer addendum [m].
        dedendum: outer dedendum [m].
        addendum_angle: addendum angle [rad].
        dedendum_angle: dedendum angle [rad].
    Returns:
        MemberBlank: lengths [m], angles [rad].
    Valid: straight face and root lines.
    Raises: RangeError for a face width outside the cone.
    Source: KHK bevel gear tables
    """
    cone = pitch_diameter / (2 * math.sin(pitch_angle))
    if not 0 < face_width < cone:
        raise RangeError("face width", face_width, "between 0 and the cone distance")
    face = pitch_angle + addendum_angle
    outside = pitch_diameter + 2 * addendum * math.cos(pitch_angle)
    slant = face_width / math.cos(addendum_angle)
    return MemberBlank(
        addendum=addendum,
        dedendum=dedendum,
        addendum_angle=addendum_angle,
        dedendum_angle=dedendum_angle,
        face_angle=face,
        root_angle=pitch_angle - dedendum_angle,
        outside_diameter=outside,
        apex_to_crown=cone * math.cos(pitch_angle) - addendum * math.sin(pitch_angle),
        axial_face=slant * math.cos(face),
        inner_tip_diameter=outside - 2 * slant * math.sin(face),
    )


def _blanks(
    pitch: PitchGeometry,
    face_width: float,
    addenda: tuple[float, float],
    dedenda: tuple[float, float],
    addendum_angles: tuple[float, float],
    dedendum_angles: tuple[float, float],
) -> BlankPair:
    diameters = pitch.pinion_outer_diameter, pitch.gear_outer_diameter
    cones = pitch.pinion_pitch_angle, pitch.gear_pitch_angle
    made = [
        member_blank(d, c, face_width, ha, hf, ta, tf)
        for d, c, ha, hf, ta, tf in zip(
            diameters, cones, addenda, dedenda, addendum_angles, dedendum_angles, strict=True
        )
    ]
    return BlankPair(pitch, face_width, made[0], made[1])


def standard_straight_blank(
    pinion_teeth: int, gear_teeth: int, shaft_angle: float, module: float, face_width: float
) -> BlankPair:
    """Standard straight bevel: ha = m, hf = 1.25 m, both angles from the apex.

    Args:
        pinion_teeth: pinion teeth [-].
        gear_teeth: gear teeth [-].
        shaft_angle: shaft angle [rad].
        module: outer transverse module [m].
        face_width: face width [m].
    Returns:
        BlankPair: lengths [m], angles [rad].
    Valid: straight teeth; clearance tapers with the tooth.
    Raises: RangeError for sizes that make no gear.
    Source: KHK table "standard straight bevel gears"
    """
    pitch = pitch_geometry(pinion_teeth, gear_teeth, shaft_angle, module * gear_teeth, face_width)
    cone = pitch.outer_cone_distance
    tip, root = math.atan(module / cone), math.atan(1.25 * module / cone)
    return _blanks(
        pitch, face_width, (module, module), (1.25 * module,) * 2, (tip, tip), (root, root)
    )


def _unequal(
    pitch: PitchGeometry,
    face_width: float,
    module: float,
    depth: tuple[float, float],
    gear_share: tuple[float, float],
    ratio: float,
) -> BlankPair:
    """Long-addendum pinion: working and whole depth in modules, uniform clearance."""
    share = math.cos(pitch.gear_pitch_angle) / (math.cos(pitch.pinion_pitch_angle) * ratio)
    gear = module * (gear_share[0] + gear_share[1] * share)
    addenda = depth[0] * module - gear, gear
    dedenda = depth[1] * module - addenda[0], depth[1] * module - addenda[1]
    roots = [math.atan(hf / pitch.outer_cone_distance) for hf in dedenda]
    return _blanks(pitch, face_width, addenda, dedenda, (roots[1], roots[0]), (roots[0], roots[1]))


def unequal_addendum_straight_blank(
    pinion_teeth: int, gear_teeth: int, module: float, face_width: float
) -> BlankPair:
    """Straight, long-addendum pinion, right angle; ha2 = m (0.540 + 0.460 z1 cos d2/(z2 cos d1)).

    Args:
        pinion_teeth: pinion teeth [-].
        gear_teeth: gear teeth [-].
        module: outer transverse module [m].
        face_width: face width [m].
    Returns:
        BlankPair: lengths [m], angles [rad].
    Valid: shaft angle 90 degrees; working depth 2.000 m, whole depth 2.188 m.
    Raises: RangeError for sizes that make no gear.
    Source: KHK table of straight bevel gears with unequal addenda
    """
    pitch = pitch_geometry(pinion_teeth, gear_teeth, math.pi / 2, module * gear_teeth, face_width)
    ratio = gear_teeth / pinion_teeth
    return _unequal(pitch, face_width, module, (2.000, 2.188), (0.540, 0.460), ratio)


def unequal_addendum_spiral_blank(
    pinion_teeth: int, gear_teeth: int, module: float, face_width: float, spiral_angle: float
) -> BlankPair:
    """Spiral, long-addendum pinion, right angle; ha2 = m (0.460 + 0.390 z1 cos d2/(z2 cos d1)).

    Args:
        pinion_teeth: pinion teeth [-].
        gear_teeth: gear teeth [-].
        module: outer transverse module [m].
        face_width: face width [m].
        spiral_angle: mean spiral angle [rad].
    Returns:
        BlankPair: lengths [m], angles [rad].
    Valid: shaft angle 90 degrees; working depth 1.700 m, whole depth 1.888 m.
    Raises: RangeError for sizes that make no gear.
    Source: KHK table of spiral bevel gears
    """
    pitch = pitch_geometry(
        pinion_teeth, gear_teeth, math.pi / 2, module * gear_teeth, face_width, spiral_angle
    )
    ratio = gear_teeth / pinion_teeth
    return _unequal(pitch, face_width, module, (1.700, 1.888), (0.460, 0.390), ratio)


@dataclass(frozen=True, slots=True)
class MeanDepths:
    """Tooth depths at the mean cone distance [m] and dedendum angles [rad] (data type I)."""

    pinion_addendum: float
    gear_addendum: float
    pinion_dedendum: float
    gear_dedendum: float
    clearance: float
    pinion_dedendum_angle: float
    gear_dedendum_angle: float
    blanks: BlankPair


def method_zero_blank(
    pinion_teeth: int,
    gear_teeth: int,
    shaft_angle: float,
    gear_outer_diameter: float,
    face_width: float,
    spiral_angle: float,
    pressure_angle: float,
    *,
    addendum_factor: float = 1.0,
    dedendum_factor: float = 1.25,
    profile_shift: float = 0.0,
    taper: Taper = "standard",
    cutter_radius: float | None = None,
) -> MeanDepths:
    """Bevel pair without offset from mean-point data; ham = mmn (khap ± xhm), uniform clearance.

    Args:
        pinion_teeth: pinion teeth [-].
        gear_teeth: gear teeth [-].
        shaft_angle: shaft angle [rad].
        gear_outer_diameter: outer pitch diameter of the gear [m].
        face_width: face width [m].
        spiral_angle: mean spiral angle [rad].
        pressure_angle: normal pressure angle [rad].
        addendum_factor: basic crown gear addendum khap [-].
        dedendum_factor: basic crown gear dedendum khfp [-].
        profile_shift: profile shift xhm of the pinion [-].
        taper: standard depth, or constant slot width [-].
        cutter_radius: mean cutter radius, for constant slot width [m].
    Returns:
        MeanDepths: depths [m], angles [rad], and the blanks.
    Valid: no hypoid offset. How the constant-slot sum is shared between the members follows
        the mean addenda (from memory).
    Raises: MissingError without the cutter radius, RangeError for sizes that make no gear.
    Source: ISO-23509 method 0, data type I
    """
    pitch = pitch_geometry(
        pinion_teeth, gear_teeth, shaft_angle, gear_outer_diameter, face_width, spiral_angle
    )
    module, mean = pitch.mean_normal_module, pitch.mean_cone_distance
    addenda = [module * (addendum_factor + x) for x in (profile_shift, -profile_shift)]
    dedenda = [module * (dedendum_factor - x) for x in (profile_shift, -profile_shift)]
    if taper == "standard":
        roots = [math.atan(hf / mean) for hf in dedenda]
    else:
        total = _constant_slot_sum(pitch, pressure_angle, spiral_angle, cutter_radius)
        roots = [total * addenda[1] / sum(addenda), total * addenda[0] / sum(addenda)]
    half = 0.5 * face_width
    outer_tip = tuple(addenda[i] + half * math.tan(roots[1 - i]) for i in (0, 1))
    outer_root = tuple(dedenda[i] + half * math.tan(roots[i]) for i in (0, 1))
    blanks = _blanks(
        pitch,
        face_width,
        (outer_tip[0], outer_tip[1]),
        (outer_root[0], outer_root[1]),
        (roots[1], roots[0]),
        (roots[0], roots[1]),
    )
    clearance = module * (dedendum_factor - addendum_factor)
    return MeanDepths(
        addenda[0], addenda[1], dedenda[0], dedenda[1], clearance, roots[0], roots[1], blanks
    )


def _constant_slot_sum(
    pitch: PitchGeometry, pressure_angle: float, spiral_angle: float, cutter_radius: float | None
) -> float:
    """Sum of dedendum angles [rad] at which the slot keeps its width along the face."""
    if cutter_radius is None:
        raise MissingError("cutter radius", "the mean cutter radius for constant slot width")
    share = 1 - pitch.mean_cone_distance * math.sin(spiral_angle) / cutter_radius
    slope = math.tan(pressure_angle) * math.cos(spiral_angle)
    degrees = 90 * pitch.outer_transverse_module / (pitch.outer_cone_distance * slope) * share
    return math.radians(degrees)
