"""Life and static safety of a shaft's bearings from tooth forces: estimates where data is held.

The crossing of the axes is at zero, z runs towards 100 of `along`. A shaft on two bearings, or on a
pair of tapers and one more, is reckoned by statics; anything else, and every figure that isn't in
the sheet, is named as missing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from casewright.drive.lookup import Lookup
from casewright.drive.schema import BearingData, Duty, Mesh, Shaft
from casewright.errors import CasewrightError
from casewright.job.bearing_figures import data_at
from casewright.job.mesh_sizes import mesh_sizes
from casewright.job.once import once
from casewright.job.state import State
from casewright.mechanics.bearing_life import basic_life
from casewright.mechanics.bearings import (
    TaperRow,
    ball_equivalent_load,
    ball_static_load,
    static_safety,
    taper_equivalent_load,
    taper_factors,
    taper_pair_loads,
    taper_static_load,
)
from casewright.mechanics.bevel_forces import (
    Hand,
    MeshLoad,
    Rotation,
    mesh_load,
    shaft_reactions,
    tooth_forces,
    torque_from_power,
)
from casewright.working import Term, Working

ROWS = ("ball", "taper", "cylindrical", "needle")


@dataclass(frozen=True, slots=True)
class Support:
    """A bearing of a shaft: its position, its maker's figures, its load centre [m]."""

    position: str
    name: str
    data: BearingData
    place: float


@dataclass(frozen=True, slots=True)
class Carried:
    """What one bearing carries [N] and how long it lasts: turns, hours, static safety [-].

    `equivalent` and `static` are its equivalent dynamic and static load; `speed` [rad/s].
    """

    position: str
    name: str
    radial: float
    axial: float
    equivalent: float
    static: float
    speed: float | None
    revolutions: float | None
    hours: float | None
    safety: float | None
    gap: str = ""


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One shaft under one duty: its bearings, the working; or what is missing for it."""

    shaft: str
    name: str
    mesh: str
    bearings: tuple[Carried, ...]
    missing: tuple[str, ...]
    working: Working | None = None


@dataclass(frozen=True, slots=True)
class OneMesh:
    """A mesh under its duty with everything that the forces need [SI]."""

    mesh: Mesh
    duty: Duty
    torque: float
    pressure_angle: float
    spiral_angle: float


def load_lines(state: State) -> tuple[LoadLine, ...]:
    """Every shaft of every mesh whose duty is known; nothing without a duty."""
    return once(state, _load_lines)


def _load_lines(state: State) -> tuple[LoadLine, ...]:
    lookup = state.lookup
    latest = {duty.mesh: duty for duty in lookup.sheet.duties}
    return tuple(
        _line(lookup, lookup.meshes[key], duty, shaft)
        for key, duty in latest.items()
        if key in lookup.meshes
        for shaft in _shafts(lookup, lookup.meshes[key])
    )


def meshes_without_duty(state: State) -> tuple[tuple[str, str], ...]:
    """Key and name of the meshes for which nobody gave torque and speed."""
    known = {duty.mesh for duty in state.lookup.sheet.duties}
    return tuple((m.key, m.name) for m in state.lookup.sheet.meshes if m.key not in known)


def _shafts(lookup: Lookup, mesh: Mesh) -> Iterator[Shaft]:
    for member in (mesh.pinion, mesh.gear):
        place = lookup.positions.get(member)
        if place and place.on in lookup.shafts:
            yield lookup.shafts[str(place.on)]


def _line(lookup: Lookup, mesh: Mesh, duty: Duty, shaft: Shaft) -> LoadLine:
    member = mesh.pinion if lookup.positions[mesh.pinion].on == shaft.key else mesh.gear
    missing = [*_mesh_missing(mesh, duty), *_shaft_missing(lookup, shaft, member)]
    if missing:
        return LoadLine(shaft.key, shaft.name, mesh.name, (), tuple(dict.fromkeys(missing)))
    try:
        return _reckoned(lookup, mesh, duty, shaft, member)
    except CasewrightError as error:
        return LoadLine(shaft.key, shaft.name, mesh.name, (), (str(error),))


def _mesh_missing(mesh: Mesh, duty: Duty) -> Iterator[str]:
    data, name = mesh.gear_data, mesh.name
    if torque_of(duty) is None:
        yield f"torque, or power and speed, of the {name}'s pinion"
    if data.outer_pitch_diameter is None:
        yield f"outer pitch diameter of the {name}'s gear"
    if data.pressure_angle is None:
        yield f"pressure angle of the {name}"
    if data.spiral_angle is None:
        yield f"spiral angle of the {name} (0° where straight)"
    elif data.spiral_angle.value and not (data.hand and duty.turns):
        yield f"hand of the {name}'s pinion and the way it turns"


def _shaft_missing(lookup: Lookup, shaft: Shaft, member: str) -> Iterator[str]:
    if lookup.positions[member].from_crossing is None:
        yield f"place of the {lookup.name_of(member)} from the crossing of the axes"
    if len(shaft.bearings) not in (2, 3):
        yield f"two or three bearings on the {shaft.name}; the sheet names {len(shaft.bearings)}"
    for position in shaft.bearings:
        name, data = lookup.name_of(position), data_at(lookup, position)
        if data is None:
            yield f"[parts.bearing] of the {name}"
        if position in lookup.positions and lookup.positions[position].from_crossing is None:
            yield f"place of the {name} from the crossing of the axes"
        if data and data.kind == "taper" and not (data.contact_angle or data.thrust_factor):
            yield f"contact angle of the {name}"
        if data and data.kind == "ball" and data.static_rating is None:
            yield f"static load rating of the {name}"


def _reckoned(lookup: Lookup, mesh: Mesh, duty: Duty, shaft: Shaft, member: str) -> LoadLine:
    torque, data = torque_of(duty), mesh.gear_data
    assert torque is not None
    assert data.pressure_angle
    assert data.spiral_angle
    one = OneMesh(mesh, duty, torque, data.pressure_angle.value, data.spiral_angle.value)
    load = member_load(lookup, one, member)
    is_gear = member == mesh.gear
    thrust = duty.thrust.value if duty.thrust and is_gear else 0.0
    rows = _supports(lookup, shaft)
    radial, axial = reactions(rows, load, thrust)
    ratio = mesh.pinion_teeth / mesh.gear_teeth if is_gear else 1.0
    speed = duty.speed.value * ratio if duty.speed else None
    carried = tuple(_carried(shaft, rows, radial, axial, speed))
    return LoadLine(
        shaft.key, shaft.name, mesh.name, carried, (), _working(one, load, thrust, carried)
    )  # fmt: skip


def torque_of(duty: Duty) -> float | None:
    """Torque on the pinion's shaft [N·m], as given or from power and speed; None without both."""
    if duty.torque is not None:
        return duty.torque.value
    if duty.power is None or duty.speed is None:
        return None
    return torque_from_power(duty.power.value, duty.speed.value)


def member_load(lookup: Lookup, one: OneMesh, member: str) -> MeshLoad:
    """The tooth forces on a mesh's pinion or gear, as a force at a point of its shaft."""
    mesh, sizes = one.mesh, mesh_sizes(one.mesh)
    assert sizes
    assert sizes.pinion_radius
    assert sizes.gear_radius
    driving = member == mesh.pinion
    radius = sizes.pinion_radius if driving else sizes.gear_radius
    angle = sizes.pinion_angle if driving else sizes.gear_angle
    torque = one.torque if driving else one.torque * mesh.gear_teeth / mesh.pinion_teeth
    # Seen each from its own heel, the two members turn opposite ways, and their hands differ.
    turns: Rotation = "clockwise" if one.duty.turns == "clockwise" else "counter-clockwise"
    hand: Hand = (mesh.gear_data.hand or "straight") if one.spiral_angle else "straight"
    if not driving:
        turns = "counter-clockwise" if turns == "clockwise" else "clockwise"
        hand = {"left": "right", "right": "left", "straight": "straight"}[hand]  # type: ignore[assignment]
    forces = tooth_forces(
        torque, radius, angle, one.pressure_angle, one.spiral_angle, hand, turns, driving
    )
    place = lookup.positions[member].from_crossing
    heel = 1 if place is None or place.value > 0 else -1
    return mesh_load(forces, radius, angle, 0.0, heel, 0.0, turns, driving)  # type: ignore[arg-type]


def _supports(lookup: Lookup, shaft: Shaft) -> tuple[Support, ...]:
    found = []
    for position in shaft.bearings:
        data, place = data_at(lookup, position), lookup.positions[position].from_crossing
        assert data is not None
        assert place is not None
        found.append(Support(position, lookup.name_of(position), data, place.value))
    return tuple(sorted(found, key=lambda one: one.place))


def reactions(
    rows: tuple[Support, ...], load: MeshLoad, thrust: float
) -> tuple[tuple[float, ...], float]:
    """Radial load of each bearing [N], and the thrust along the shaft, + towards 100 [N].

    Of three bearings a pair of tapers counts as one support in its middle, shared evenly.
    """
    pair = [row for row in rows if row.data.kind == "taper"]
    if len(rows) == 3 and len(pair) == 2:
        middle = sum(row.place for row in pair) / 2
        other = next(row for row in rows if row.data.kind != "taper")
        ends = [middle, other.place]
    elif len(rows) == 2:
        ends = [row.place for row in rows]
    else:
        raise _three(rows)
    found = shaft_reactions([load.point], [load.force], (0, 0, ends[0]), (0, 0, ends[1]))
    along = load.force[2] + thrust
    if len(rows) == 2:
        return (found.first_radial, found.second_radial), along
    return (
        tuple(found.first_radial / 2 if row in pair else found.second_radial for row in rows),
        along,
    )


def _three(rows: tuple[Support, ...]) -> CasewrightError:
    from casewright.errors import InputError

    kinds = ", ".join(row.data.kind for row in rows)
    return InputError("bearings", kinds, "two, or a pair of tapers and one more")


def _carried(
    shaft: Shaft, rows: tuple[Support, ...], radial: tuple[float, ...], axial: float,
    speed: float | None,
) -> Iterator[Carried]:  # fmt: skip
    tapers = [i for i, row in enumerate(rows) if row.data.kind == "taper"]
    shares = dict.fromkeys(range(len(rows)), 0.0)
    if len(tapers) == 2 and shaft.arrangement in ("face-to-face", "back-to-back"):
        shares |= _pair(shaft, rows, radial, axial, tapers)
    else:
        # Which of them holds the thrust isn't told: each is reckoned as if it held all of it.
        shares |= {i: abs(axial) for i, r in enumerate(rows) if r.data.kind in ("taper", "ball")}
    for place, row in enumerate(rows):
        yield _one(row, radial[place], shares[place], speed)


def _pair(
    shaft: Shaft, rows: tuple[Support, ...], radial: tuple[float, ...], axial: float,
    tapers: list[int],
) -> dict[int, float]:  # fmt: skip
    """Axial load of each taper of a pair [N].

    Face to face the cup on the side that the shaft is pushed to holds it; back to back the other.
    """
    meets = tapers[1] if (axial > 0) == (shaft.arrangement == "face-to-face") else tapers[0]
    yields = tapers[0] if meets == tapers[1] else tapers[1]
    first, second = (_taper(rows[i].data, radial[i]) for i in (meets, yields))
    loads = taper_pair_loads(first, second, abs(axial))
    return {meets: loads.first.axial, yields: loads.second.axial}


def _taper(data: BearingData, radial: float) -> TaperRow:
    limit, thrust, static = taper_figures(data)
    return TaperRow(radial, limit, thrust, 1.0, static)


def taper_figures(data: BearingData) -> tuple[float, float, float]:
    """e, Y and Y0 of a taper: from its printed Y, else from its angle."""
    if data.thrust_factor is not None:
        angle = math.atan(0.4 / data.thrust_factor)
        return 1.5 * math.tan(angle), data.thrust_factor, 0.22 / math.tan(angle)
    assert data.contact_angle is not None
    found = taper_factors(data.contact_angle.value)
    return found.limit, found.thrust, found.static_thrust


def equivalent(data: BearingData, radial: float, axial: float) -> tuple[float, float]:
    """Equivalent dynamic and static load of a bearing [N]."""
    if data.kind == "taper":
        limit, thrust, static = taper_figures(data)
        return (
            taper_equivalent_load(radial, axial, limit, thrust),
            taper_static_load(radial, axial, static),
        )
    if data.kind == "ball" and data.static_rating is not None:
        rating = data.static_rating.value
        return ball_equivalent_load(radial, axial, rating), ball_static_load(radial, axial)
    return radial, radial


def _one(row: Support, radial: float, axial: float, speed: float | None) -> Carried:
    dynamic, static = equivalent(row.data, radial, axial)
    life = hours = safety = None
    gaps = []
    if row.data.dynamic_rating is None:
        gaps.append("dynamic load rating")
    elif dynamic > 0:
        kind = "ball" if row.data.kind == "ball" else "roller"
        life = basic_life(row.data.dynamic_rating.value, dynamic, kind)  # type: ignore[arg-type]
        hours = life * 2 * math.pi / speed / 3600 if speed else None
    if row.data.static_rating is None:
        gaps.append("static load rating")
    elif static > 0:
        safety = static_safety(row.data.static_rating.value, static)
    return Carried(
        row.position,
        row.name,
        radial,
        axial,
        dynamic,
        static,
        speed,
        life,
        hours,
        safety,
        " and ".join(gaps),
    )


def _working(
    one: OneMesh, load: MeshLoad, thrust: float, carried: tuple[Carried, ...]
) -> Working:  # fmt: skip
    along = load.force[2]
    return Working(
        "bearing loads from tooth forces",
        "forces and moments of the shaft sum to zero; L10 = 10⁶ (C/P)^p; s0 = C0/P0",
        (
            Term("torque of the pinion", one.torque, "N·m"),
            Term("pressure angle", one.pressure_angle, "rad"),
            Term("spiral angle", one.spiral_angle, "rad"),
            Term("thrust from outside", thrust, "N"),
        ),
        tuple(Term(f"equivalent load, {c.name}", c.equivalent, "N") for c in carried),
        one.duty.source or "duty as typed; ISO 281, ISO 76",
        steps=(
            Term("tooth force along the shaft, + towards 100", along, "N"),
            Term("tooth force across it", math.hypot(load.force[0], load.force[1]), "N"),
            *(Term(f"radial, {c.name}", c.radial, "N") for c in carried),
            *(Term(f"axial, {c.name}", c.axial, "N") for c in carried),
        ),
        notes=(
            "At the mean radius, stiff shaft, no preload, no shock, clean oil.",
            "Of three bearings the taper pair counts as one support in its middle.",
            "Beside a single taper or ball each is reckoned as if it held all the thrust.",
            "Water in the oil shortens life far more than any figure here shows.",
        ),
        estimate=True,
    )
