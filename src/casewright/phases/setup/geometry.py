"""Lash at a lever's mark from tooth numbers and radii: a labelled fallback, with its spread.

The sheet's own figure always comes first. What no manual prints (pressure and spiral angle, often
the pitch diameter) is carried as a spread.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.drive.lookup import Lookup
from casewright.drive.schema import Mesh, Response
from casewright.job.mesh_sizes import MeshSizes, mesh_sizes
from casewright.mechanics.bevel_lash import LashGeometry, Where, geometric_sensitivity, lash_beside
from casewright.working import Working

# How much larger lash shows at a mark than at the mesh, where no pitch diameter is known: assumed.
MARK_RANGE = (1.0, 4.0)
SHEET_DOUBT = 0.10


@dataclass(frozen=True, slots=True)
class Size:
    """A sensitivity without its sign: size and deviation, where from, in words, its working."""

    size: float
    deviation: float
    source: str
    note: str
    working: Working | None = None


def mark_factor(response: Response, sizes: MeshSizes, dimension: str) -> tuple[float, float, str]:
    """Reading for one of arc at the mesh: factor, its standard deviation, in words."""
    on_gear = response.lever is not None and response.lever.on == "gear shaft"
    radius = sizes.gear_radius if on_gear else sizes.pinion_radius
    if dimension == "angle":
        if radius:
            return 1 / radius, 0.0, "an angle of its shaft"
        return 1 / 0.025, 0.4 / 0.025, "an angle; the pitch radius isn't in the sheet, 25 mm taken"
    by_lever = response.gauge is not None and response.gauge.kind == "indicator-on-lever"
    if response.lever is None and not by_lever:
        return 1.0, 0.0, "read at the teeth"
    if radius and response.lever is not None:
        factor = response.lever.radius.value / radius
        return factor, 0.0, f"at the mark, {factor:.2f} times the arc at the teeth"
    low, high = MARK_RANGE
    missing = "pitch diameter" if response.lever is not None else "radius of the lever's mark"
    note = (
        f"the {missing} isn't in the sheet: the mark is taken to show "
        f"{low:g} to {high:g} times the arc at the teeth"
    )
    return (low + high) / 2, (high - low) / math.sqrt(12), note


def lash_size(
    lookup: Lookup, response: Response, member: str, dimension: str = "length"
) -> Size | None:
    """Lash as read for one of axial move of the pinion or the gear; None where not that mesh's."""
    mesh = lookup.meshes.get(response.mesh or "")
    sizes = mesh_sizes(mesh) if mesh else None
    if mesh is None or sizes is None or member not in (mesh.pinion, mesh.gear):
        return None
    is_pinion = member == mesh.pinion
    own, other = sizes.pinion_angle, sizes.gear_angle
    if not is_pinion:
        own, other = other, own
    if borrowed := _from_other_member(lookup, response, mesh, member, own, other):
        return borrowed
    data = mesh.gear_data
    found = geometric_sensitivity(
        own,
        "pinion" if is_pinion else "gear",
        data.pressure_angle.value if data.pressure_angle else None,
        data.spiral_angle.value if data.spiral_angle else None,
    )
    factor, doubt, note = mark_factor(response, sizes, dimension)
    relative = math.hypot(found.standard_deviation / found.value, doubt / factor)
    size = found.value * factor
    printed = data.pressure_angle is not None and data.spiral_angle is not None
    angles = "and the sheet's angles" if printed else "with angles that aren't all in the sheet"
    words = f"from tooth numbers {angles}; {note}"
    return Size(size, size * relative, "geometry", words, found.working)


def _from_other_member(
    lookup: Lookup, response: Response, mesh: Mesh, member: str, own: float, other: float
) -> Size | None:
    """The sheet's figure for the other member, by the ratio of the sines: no angle is needed."""
    partner = mesh.gear if member == mesh.pinion else mesh.pinion
    for adjuster in lookup.sheet.adjusters:
        if adjuster.moves != partner:
            continue
        for effect in adjuster.effects:
            if effect.response == response.key and effect.per_mm.value:
                ratio = math.sin(own) / math.sin(other)
                size = abs(effect.per_mm.value) / 1e-3 * ratio
                sheet = effect.doubt.value / 1e-3 * ratio if effect.doubt else SHEET_DOUBT * size
                note = f"the sheet's figure for the {adjuster.name}, by the pitch angles"
                return Size(size, math.hypot(sheet, SHEET_DOUBT * size), "geometry", note)
    return None


def lash_elsewhere(lookup: Lookup, response: Response, value: float) -> dict[Where, float]:
    """A lash as printed at the mark, beside it at the mean radius, the outer end, as an angle."""
    mesh = lookup.meshes.get(response.mesh or "")
    sizes = mesh_sizes(mesh) if mesh else None
    if mesh is None or sizes is None or response.lever is None or value < 0:
        return {}
    radius = sizes.gear_radius if response.lever.on == "gear shaft" else sizes.pinion_radius
    if radius is None:
        return {}
    where = LashGeometry(radius, response.lever.radius.value, sizes.outer_over_mean)
    return lash_beside(value, "lever", where)
