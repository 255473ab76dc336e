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
from casewright.job.ratings import WORDS, Ratings, duty_figures, ratings
from casewright.job.state import State
from casewright.mechanics.bearing_life import basic_life
from casewright.mechanics.gear_rating import RatedPair, Rating, bending_rating, wear_rating
from casewright.mechanics.used_bearings import service_left
from casewright.tables.damage_form import BEARING_KINDS
from casewright.units import parse
from casewright.working import Working

RATING = "gear-rating:"
RATED = ("capacity", "load", "speed")
# Geometry factors of a straight bevel of usual proportions, and its grade, where none was typed:
# our choice after a textbook's charts. Service wanted where none was typed [s].
BENDING_PINION, BENDING_GEAR, CONTACT, WANTED = 0.22, 0.20, 0.075, 1000 * 3600.0
HARDNESS = 300.0


@dataclass(frozen=True, slots=True)
class UsedBearing:
    """A bearing's rating life [s], service so far [s], and what is left by its rating [s].

    `nine_in_ten` and `even` are service from now with that chance; None with the trouble in words.
    `given` are figures that nobody had to type, in words.
    """

    life: float | None
    run: float | None
    nine_in_ten: float | None
    even: float | None
    trouble: str = ""
    given: tuple[str, ...] = ()


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


@dataclass(frozen=True, slots=True)
class PairDuty:
    """A mesh with torque [N·m] and speed [rad/s] of its pinion by the sheet's duty, if any."""

    mesh: Mesh
    torque: float | None
    speed: float | None


def meshes_of(state: State, position: str) -> tuple[PairDuty, ...]:
    """The meshes in which the piece of a position runs."""
    return tuple(
        PairDuty(mesh, *duty_figures(state.lookup, mesh.key))
        for mesh in state.lookup.meshes_with(position)
    )


def is_bearing(kind: str) -> bool:
    """Whether a part has a rating life of its own; a cup's stands with its cone."""
    return kind in BEARING_KINDS and kind != "cup"


def _needed(
    typed: Mapping[str, object], key: str, dimension: str, unit: str, else_: float | None = None
) -> float:
    found = figure(typed, key, dimension, unit)
    found = else_ if found is None else found
    if found is None:
        raise MissingError(key.replace("_", " "), "its figure, with its unit")
    return found


def _run(state: State, typed: Mapping[str, object]) -> float | None:
    """Service so far as typed, else the owner's hours."""
    found = figure(typed, "run", "time", "h")
    text = state.complaint.body.hours if state.complaint else ""
    return parse(text, "time", "h").value if found is None and text else found


def used_bearing(state: State, position: str) -> UsedBearing | None:
    """What a bearing's rating says of using it on, as typed or by the sheet."""
    typed = typed_figures(state, LIFE + position)
    try:
        known = ratings(state, position, typed or {})
        if typed is None and known.missing:
            return None
        return _left(state, position, known, _run(state, typed or {}))
    except CasewrightError as error:
        return UsedBearing(None, None, None, None, str(error))


def _left(state: State, position: str, known: Ratings, run: float | None) -> UsedBearing:
    """Life and what is left of it; what it still needs where figures are missing."""
    given = tuple(f"{WORDS[key]} {source}" for key, source in known.given.items() if key in RATED)
    if known.capacity is None or known.load is None or known.speed is None:
        needed = f"needed: {', '.join(known.missing)}"
        return UsedBearing(None, None, None, None, needed, given)
    turns = basic_life(known.capacity, known.load, rolls_on(state, position))
    life = turns * 2 * math.pi / known.speed
    if run is None:
        unknown = "the hours that it has run aren't known"
        return UsedBearing(life, None, None, None, unknown, given)
    nine_in_ten, even = (service_left(run, life, chance) for chance in (0.9, 0.5))
    return UsedBearing(life, run, nine_in_ten, even, given=given)


def used_gear(state: State, pair: PairDuty) -> UsedGear | None:
    """What a textbook rating says of a used pair; None where nobody asked for it.

    Not unasked, whatever the sheet holds: it doesn't know the teeth's hardness, and a book's usual
    one condemns case-hardened teeth that carry their load for years.
    """
    mesh = pair.mesh
    typed = typed_figures(state, RATING + mesh.key)
    if typed is None:
        return None
    try:
        return _rated(state, pair, typed)
    except CasewrightError as error:
        return UsedGear(mesh.name, None, None, WANTED, trouble=str(error))


def _rated(state: State, pair: PairDuty, typed: Mapping[str, object]) -> UsedGear:
    mesh, assumed = pair.mesh, list[str]()

    def or_usual(key: str, usual: float, words: str) -> float:
        found = figure(typed, key, "count", "")
        if found is None:
            assumed.append(f"{words} {usual:g}")
        return usual if found is None else found

    wanted = figure(typed, "wanted", "time", "h") or WANTED
    torque = _needed(typed, "torque", "torque", "N·m", pair.torque)
    speed = _needed(typed, "speed", "speed", "rpm", pair.speed)
    run = _run(state, typed)
    if run is None:
        assumed.append("no service so far")
    hardness = or_usual("hardness", HARDNESS, "hardness HB")
    sized = _pair(mesh, typed, speed, hardness, (run or 0.0) + wanted)
    pinion = bending_rating(sized, or_usual("bending_pinion", BENDING_PINION, "J of the pinion"))
    wheel = bending_rating(
        sized, or_usual("bending_gear", BENDING_GEAR, "J of the gear"), gear=True
    )
    worn = wear_rating(sized, or_usual("contact", CONTACT, "I"), crowned=True, gear=False)
    load = 2 * torque / (sized.module * sized.pinion_teeth)
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
