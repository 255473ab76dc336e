"""Used bearings and gears: what their ratings say of going on with them. Estimates, labelled.

The figures are typed once (`calculation` `bearing-life:POSITION`, `gear-rating:MESH`); nothing is
guessed where they are missing, but for what a textbook takes as usual, which is said.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from casewright.drive.schema import Mesh
from casewright.errors import CasewrightError, MissingError
from casewright.job.bearing_figures import LIFE, figure, rolls_on, typed_figures
from casewright.job.state import State
from casewright.mechanics.bearing_life import basic_life
from casewright.mechanics.gear_rating import RatedPair, Rating, bending_rating, wear_rating
from casewright.mechanics.used_bearings import service_left
from casewright.tables.damage_form import BEARING_KINDS
from casewright.units import parse
from casewright.working import Working

RATING = "gear-rating:"
# Geometry factors of a straight bevel of usual proportions, and its grade, where none was typed:
# our choice after a textbook's charts. Service wanted where none was typed [s].
BENDING_PINION, BENDING_GEAR, CONTACT, WANTED = 0.22, 0.20, 0.075, 1000 * 3600.0
HARDNESS = 300.0


@dataclass(frozen=True, slots=True)
class UsedBearing:
    """A bearing's rating life [s], service so far [s], and what is left by its rating [s].

    `nine_in_ten` and `even` are service from now with that chance; None with the trouble in words.
    """

    life: float | None
    run: float | None
    nine_in_ten: float | None
    even: float | None
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class UsedGear:
    """How many times its load a pair carries, by bending and by wear, for the service wanted [s].

    `assumed` are figures that nobody typed, in words.
    """

    mesh: str
    bending: float | None
    wear: float | None
    wanted: float
    assumed: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()
    trouble: str = ""


def meshes_of(state: State, position: str) -> tuple[Mesh, ...]:
    """The meshes in which the piece of a position runs."""
    return state.lookup.meshes_with(position)


def is_bearing(kind: str) -> bool:
    """Whether a part has a rating life of its own; a cup's stands with its cone."""
    return kind in BEARING_KINDS and kind != "cup"


def _needed(typed: Mapping[str, object], key: str, dimension: str, unit: str) -> float:
    found = figure(typed, key, dimension, unit)
    if found is None:
        raise MissingError(key.replace("_", " "), "its figure, with its unit")
    return found


def _run(state: State, typed: Mapping[str, object]) -> float | None:
    """Service so far as typed, else the owner's hours."""
    found = figure(typed, "run", "time", "h")
    text = state.complaint.body.hours if state.complaint else ""
    return parse(text, "time", "h").value if found is None and text else found


def used_bearing(state: State, position: str) -> UsedBearing | None:
    """What a bearing's rating says of using it on; None where nobody typed its figures."""
    typed = typed_figures(state, LIFE + position)
    if typed is None:
        return None
    try:
        capacity, load = (_needed(typed, one, "force", "N") for one in ("capacity", "load"))
        turning = _needed(typed, "speed", "speed", "rpm")
        life = basic_life(capacity, load, rolls_on(state, position)) * 2 * math.pi / turning
        run = _run(state, typed)
        if run is None:
            return UsedBearing(life, None, None, None, "the hours that it has run aren't known")
        return UsedBearing(life, run, service_left(run, life, 0.9), service_left(run, life, 0.5))
    except CasewrightError as error:
        return UsedBearing(None, None, None, None, str(error))


def used_gear(state: State, mesh: Mesh) -> UsedGear | None:
    """What a textbook rating says of a used pair; None where nobody typed its figures."""
    typed = typed_figures(state, RATING + mesh.key)
    if typed is None:
        return None
    try:
        return _rated(state, mesh, typed)
    except CasewrightError as error:
        return UsedGear(mesh.name, None, None, WANTED, trouble=str(error))


def _rated(state: State, mesh: Mesh, typed: Mapping[str, object]) -> UsedGear:
    assumed: list[str] = []

    def or_usual(key: str, usual: float, words: str) -> float:
        found = figure(typed, key, "count", "")
        if found is None:
            assumed.append(f"{words} {usual:g}")
        return usual if found is None else found

    wanted = figure(typed, "wanted", "time", "h") or WANTED
    torque, speed = (
        _needed(typed, "torque", "torque", "N·m"),
        _needed(typed, "speed", "speed", "rpm"),
    )
    run = _run(state, typed)
    if run is None:
        assumed.append("no service so far")
    hardness = or_usual("hardness", HARDNESS, "hardness HB")
    pair = _pair(mesh, typed, speed, hardness, (run or 0.0) + wanted)
    pinion = bending_rating(pair, or_usual("bending_pinion", BENDING_PINION, "J of the pinion"))
    wheel = bending_rating(pair, or_usual("bending_gear", BENDING_GEAR, "J of the gear"), gear=True)
    worn = wear_rating(pair, or_usual("contact", CONTACT, "I"), crowned=True, gear=False)
    load = 2 * torque / (pair.module * pair.pinion_teeth)
    rated: tuple[Rating, ...] = (pinion, wheel, worn)
    return UsedGear(
        mesh.name, min(pinion.load, wheel.load) / load, worn.load / load, wanted, tuple(assumed),
        tuple(one.working for one in rated),
    )  # fmt: skip


def _pair(
    mesh: Mesh, typed: Mapping[str, object], speed: float, hardness: float, service: float
) -> RatedPair:
    """The pair by the sheet's tooth data, else by what was typed."""
    data = mesh.gear_data
    outer = data.outer_pitch_diameter
    module = outer.value / mesh.gear_teeth if outer else _needed(typed, "module", "length", "mm")
    face = (
        data.face_width.value if data.face_width else _needed(typed, "face_width", "length", "mm")
    )
    cycles = min(
        max(service * speed / (2 * math.pi), 3e6 * mesh.gear_teeth / mesh.pinion_teeth), 1e10
    )
    return RatedPair(
        mesh.pinion_teeth, mesh.gear_teeth, module, face, speed, hardness, pinion_cycles=cycles
    )
