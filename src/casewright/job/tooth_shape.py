"""The spur gear that a member's teeth resemble at the heel, and what its chord would be as new.

Teeth are counted and diameters sometimes printed; the maker's blank isn't. So what follows here for
a chord as new is an estimate, shown beside a reading and never held against one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.drive.lookup import Lookup
from casewright.drive.schema import Feature, Mesh
from casewright.errors import CasewrightError
from casewright.job.mesh_sizes import RIGHT_ANGLE
from casewright.mechanics.bevel import equivalent_teeth, pitch_angles
from casewright.mechanics.bevel_blank import (
    BlankPair,
    unequal_addendum_spiral_blank,
    unequal_addendum_straight_blank,
)
from casewright.mechanics.gauging import ChordalTooth, chordal_tooth
from casewright.working import Term, Working

USUAL_ANGLE = math.radians(20)
# A crown gear's teeth are those of a rack; so many do for one.
RACK_TEETH = 1e6
# Addendum of equal teeth in outer modules, straight and spiral; face width over cone distance.
STRAIGHT_ADDENDUM, SPIRAL_ADDENDUM, USUAL_FACE = 1.0, 0.85, 0.3
# Blanks whose addenda differ by less than this share of a module are equal.
ALIKE = 1e-3


@dataclass(frozen=True, slots=True)
class VirtualGear:
    """A member's teeth as a spur gear's: their number, normal module [m] at the heel or None.

    `pressure_angle` and `spiral_angle` [rad] as printed, None where they aren't.
    """

    mesh: Mesh
    is_pinion: bool
    pitch_angle: float
    teeth: float
    outer_module: float | None
    pressure_angle: float | None
    spiral_angle: float | None

    @property
    def module(self) -> float | None:
        """Normal module at the heel, by the mean spiral angle [m]."""
        return None if self.outer_module is None else self.normal(self.outer_module)

    def normal(self, outer: float) -> float:
        """A size across the teeth from one along the pitch circle [m]."""
        return outer * math.cos(self.spiral_angle or 0.0)

    @property
    def angle(self) -> float:
        """Pressure angle as printed, else the usual one [rad]."""
        return self.pressure_angle or USUAL_ANGLE


@dataclass(frozen=True, slots=True)
class ToothGuess:
    """Chord and height of a new tooth by standard proportions: `equal` addenda, and long and short.

    `unequal` is None where both members would have the same addendum, or no system is known.
    """

    equal: ChordalTooth
    unequal: ChordalTooth | None
    working: Working


def virtual_gear(lookup: Lookup, position: str) -> VirtualGear | None:
    """The virtual gear of a position's teeth; None where no mesh of the sheet holds it."""
    meshes = lookup.meshes_with(position)
    if not meshes:
        return None
    # A pinion runs in two meshes: that of which more is printed tells.
    mesh = min(meshes, key=_unprinted)
    data = mesh.gear_data
    shaft = mesh.shaft_angle.value if mesh.shaft_angle else RIGHT_ANGLE
    try:
        angles = pitch_angles(mesh.pinion_teeth, mesh.gear_teeth, shaft)
    except CasewrightError:
        return None
    is_pinion = position == mesh.pinion
    pitch = angles[0] if is_pinion else angles[1]
    spiral = data.spiral_angle.value if data.spiral_angle else None
    count = mesh.pinion_teeth if is_pinion else mesh.gear_teeth
    outer = data.outer_pitch_diameter
    return VirtualGear(
        mesh, is_pinion, pitch, min(equivalent_teeth(count, pitch, spiral or 0.0), RACK_TEETH),
        outer.value / mesh.gear_teeth if outer else None,
        data.pressure_angle.value if data.pressure_angle else None, spiral,
    )  # fmt: skip


def _unprinted(mesh: Mesh) -> int:
    data = mesh.gear_data
    return [data.outer_pitch_diameter, data.pressure_angle, data.spiral_angle].count(None)


def tooth_guess(lookup: Lookup, feature: Feature) -> ToothGuess | None:
    """What a new tooth's chord and height would be; None where the sheet prints the height."""
    if feature.kind != "tooth" or feature.at_height is not None:
        return None
    gear = virtual_gear(lookup, feature.position)
    outer = gear.outer_module if gear else None
    if gear is None or outer is None:
        return None
    try:
        equal, unequal = _equal(gear, outer), _unequal(gear, outer)
    except CasewrightError:
        return None
    return ToothGuess(equal, unequal, _working(gear, outer, equal, unequal))


def _equal(gear: VirtualGear, outer: float) -> ChordalTooth:
    share = SPIRAL_ADDENDUM if gear.spiral_angle else STRAIGHT_ADDENDUM
    return chordal_tooth(gear.normal(outer), gear.teeth, gear.angle, addendum=share * outer)


def _unequal(gear: VirtualGear, outer: float) -> ChordalTooth | None:
    """With the pinion's addendum long and the gear's short, as most pairs but 1 to 1 are made."""
    mesh = gear.mesh
    if mesh.shaft_angle and abs(mesh.shaft_angle.value - RIGHT_ANGLE) > 1e-6:
        return None
    blanks = _blanks(gear, outer)
    own, other = blanks.pinion.addendum, blanks.gear.addendum
    if not gear.is_pinion:
        own, other = other, own
    # The teeth are thicker by what the addendum is longer, at the pressure angle.
    shift = (own - other) / (2 * gear.normal(outer))
    if abs(shift) < ALIKE:
        return None
    return chordal_tooth(gear.normal(outer), gear.teeth, gear.angle, shift, own)


def _blanks(gear: VirtualGear, module: float) -> BlankPair:
    mesh = gear.mesh
    cone = module * mesh.gear_teeth / (2 * math.sin(math.atan2(mesh.gear_teeth, mesh.pinion_teeth)))
    face = mesh.gear_data.face_width.value if mesh.gear_data.face_width else USUAL_FACE * cone
    teeth = mesh.pinion_teeth, mesh.gear_teeth
    if gear.spiral_angle:
        return unequal_addendum_spiral_blank(*teeth, module, face, gear.spiral_angle)
    return unequal_addendum_straight_blank(*teeth, module, face)


def _working(
    gear: VirtualGear, outer: float, equal: ChordalTooth, unequal: ChordalTooth | None
) -> Working:
    longer = (
        ()
        if unequal is None
        else (
            Term("height, long and short addenda", unequal.height, "m"),
            Term("chord as new, long and short addenda", unequal.thickness, "m"),
        )
    )
    taken = [] if gear.pressure_angle else ["A pressure angle of 20° is taken: none is printed."]
    if gear.spiral_angle is None:
        taken.append("Straight teeth are taken: the sheet prints no spiral angle.")
    return Working(
        "chord of a new tooth by standard proportions",
        "z_v = z/(cos δ cos³ β); s = m z_v sin q, h = ha + m z_v/2 (1 − cos q), "
        "q = π/(2 z_v) + 2x tan α/z_v",
        (
            Term("outer module", outer, "m", "m"),
            Term("pitch angle", gear.pitch_angle, "rad", "δ"),
            Term("pressure angle", gear.angle, "rad", "α"),
        ),
        (
            Term("height, equal addenda", equal.height, "m", "h"),
            Term("chord as new, equal addenda", equal.thickness, "m", "s"),
            *longer,
        ),
        "docs/theory/form.md, after common tables of chordal thickness; Tredgold's virtual teeth",
        (Term("virtual number of teeth", gear.teeth, "", "z_v"),),
        (
            *taken,
            "Lash isn't taken off the tooth. The maker's blank decides: never a limit.",
        ),
        estimate=True,
    )
