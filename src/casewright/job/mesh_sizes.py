"""Sizes of a mesh as far as its sheet goes: pitch angles and mean radii."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.drive.schema import Mesh
from casewright.errors import CasewrightError
from casewright.mechanics.bevel import pitch_angles

RIGHT_ANGLE = math.pi / 2


@dataclass(frozen=True, slots=True)
class MeshSizes:
    """What is known of a mesh: pitch angles [rad], mean radii and outer over mean, or None."""

    pinion_angle: float
    gear_angle: float
    pinion_radius: float | None
    gear_radius: float | None
    outer_over_mean: float | None


def mesh_sizes(mesh: Mesh) -> MeshSizes | None:
    """Pitch angles and mean radii as far as the sheet goes; None where teeth make no pair."""
    shaft = mesh.shaft_angle.value if mesh.shaft_angle else RIGHT_ANGLE
    try:
        pinion, gear = pitch_angles(mesh.pinion_teeth, mesh.gear_teeth, shaft)
    except CasewrightError:
        return None
    outer = mesh.gear_data.outer_pitch_diameter
    if outer is None:
        return MeshSizes(pinion, gear, None, None, None)
    cone = outer.value / (2 * math.sin(gear))
    # Without a face width the usual three tenths of the cone distance: common practice, no source.
    face = mesh.gear_data.face_width.value if mesh.gear_data.face_width else 0.3 * cone
    mean = cone - face / 2
    return MeshSizes(
        pinion, gear, mean * math.sin(pinion), mean * math.sin(gear), cone / mean if mean else None
    )
