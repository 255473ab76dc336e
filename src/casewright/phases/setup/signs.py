"""The sign walk: what more of each adjuster does, from the side on which it sits; rates with signs.

A sign follows from `thicker_moves` and `thicker_makes`, a size from the sheet or from geometry.
Where the sheet's own figure has the other sign, nothing is advised at that adjuster until a person
has settled it. Pinion height is the exception: a gauge may read less as the pinion rises, so there
the sheet's figure carries the sign of its gauge.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.drive.lookup import Lookup
from casewright.drive.schema import Adjuster, Effect, Response
from casewright.errors import InputError
from casewright.job.limits import dimension_of
from casewright.job.state import State
from casewright.phases.setup.geometry import SHEET_DOUBT, Size, lash_size
from casewright.reasoning.shim_model import Sensitivity
from casewright.reasoning.shim_signs import (
    AWAY,
    LOOSER,
    TIGHTER,
    TOWARD,
    Mesh,
    Seat,
    response_signs,
)

STEP = 1e-4
MOTION = {"away from the mesh": AWAY, "towards the mesh": TOWARD, "not at all": ""}
BEARINGS = {"tighter": TIGHTER, "looser": LOOSER, "no change": ""}


@dataclass(frozen=True, slots=True)
class Rate:
    """What one more metre at an adjuster does to a response, with its doubt and where from.

    `sign` always stands; `value` is None where only trials can tell the size.
    """

    response: str
    adjuster: str
    sign: int
    value: float | None
    deviation: float
    source: str
    note: str
    against: bool = False


@dataclass(frozen=True, slots=True)
class SignLine:
    """One response in the walk: how it changes for one step more, and how sure the size is."""

    response: str
    name: str
    kind: str
    sign: int
    change: float | None
    deviation: float
    dimension: str
    source: str
    note: str
    against: bool


@dataclass(frozen=True, slots=True)
class Walk:
    """One adjuster in words: where it sits, what moves, what a step more does, what was said."""

    adjuster: Adjuster
    lines: tuple[SignLine, ...]
    agreed: bool | None
    member: str = "its member"

    @property
    def against(self) -> tuple[SignLine, ...]:
        """Lines in which the sheet contradicts itself."""
        return tuple(line for line in self.lines if line.against)

    @property
    def open(self) -> bool:
        """Whether a person still has to say yes or no."""
        return self.agreed is None

    @property
    def advised(self) -> bool:
        """Whether packs may be told here: confirmed by a person, and the sheet at one with it."""
        return self.agreed is True and not self.against


def walks(state: State) -> tuple[Walk, ...]:
    """The sign walk, adjuster by adjuster."""
    found = rates(state)
    return tuple(
        Walk(
            adjuster,
            tuple(_line(state, rate) for rate in found if rate.adjuster == adjuster.key),
            state.signs.get(adjuster.key),
            state.lookup.name_of(adjuster.moves),
        )
        for adjuster in state.lookup.sheet.adjusters
    )


def _line(state: State, rate: Rate) -> SignLine:
    response = state.lookup.responses[rate.response]
    change = None if rate.value is None else rate.value * STEP
    dimension = dimension_of(state, response.key) or "length"
    return SignLine(
        response.key, response.name, response.kind, rate.sign, change, rate.deviation * STEP,
        dimension, rate.source, rate.note, rate.against,
    )  # fmt: skip


def seat_of(adjuster: Adjuster) -> Seat:
    """The adjuster in the words of the sign rules."""
    return Seat(
        adjuster.key,
        adjuster.moves,
        MOTION[adjuster.thicker_moves],
        adjuster.shaft or "",
        BEARINGS[adjuster.thicker_makes],
    )


def signs_of(lookup: Lookup, adjuster: Adjuster) -> dict[str, int]:
    """Response to +1 or −1 from where the adjuster sits; empty where it moves nothing."""
    responses = lookup.sheet.responses
    meshes, heights = [], {}
    for one in responses:
        mesh = lookup.meshes.get(one.mesh or "")
        if mesh and one.kind == "lash":
            meshes.append(Mesh(one.key, (mesh.pinion, mesh.gear)))
        if mesh and one.kind == "pinion-height":
            heights[one.key] = mesh.pinion
    plays = {r.key: r.shaft for r in responses if r.kind == "end-play" and r.shaft}
    tight = ("turning-torque", "preload")
    torques = {r.key: r.shaft for r in responses if r.kind in tight and r.shaft}
    try:
        return response_signs(seat_of(adjuster), meshes, heights, plays, torques)
    except InputError:
        return {}


def rates(state: State) -> tuple[Rate, ...]:
    """Every adjuster's rates: sheet first, geometry as fallback, size unknown where only trials."""
    lookup = state.lookup
    found = []
    for adjuster in lookup.sheet.adjusters:
        signs = signs_of(lookup, adjuster)
        effects = {effect.response: effect for effect in adjuster.effects}
        for response in lookup.sheet.responses:
            sign, effect = signs.get(response.key, 0), effects.get(response.key)
            if effect is not None and effect.per_mm.value:
                found.append(_from_sheet(adjuster, response, effect, sign))
            elif sign:
                found.append(_fallback(state, adjuster, response, sign))
    return tuple(found)


def _from_sheet(adjuster: Adjuster, response: Response, effect: Effect, sign: int) -> Rate:
    value = effect.per_mm.value / 1e-3
    doubt = effect.doubt.value / 1e-3 if effect.doubt else SHEET_DOUBT * abs(value)
    own = 1 if value > 0 else -1
    against = bool(sign) and sign != own and response.kind != "pinion-height"
    source = effect.source or adjuster.source or "no source given"
    return Rate(response.key, adjuster.key, own, value, doubt, "sheet", source, against)


def _fallback(state: State, adjuster: Adjuster, response: Response, sign: int) -> Rate:
    size = _fallback_size(state, adjuster, response)
    if size is None:
        note = "the size is learned from two trials of this leg, never computed"
        return Rate(response.key, adjuster.key, sign, None, 0.0, "trials", note)
    value = sign * size.size
    return Rate(response.key, adjuster.key, sign, value, size.deviation, size.source, size.note)


def _fallback_size(state: State, adjuster: Adjuster, response: Response) -> Size | None:
    dimension = dimension_of(state, response.key) or "length"
    if response.kind == "lash":
        return lash_size(state.lookup, response, adjuster.moves, dimension)
    if dimension == "length":
        return Size(1.0, 0.02, "geometry", "millimetre for millimetre along the shaft")
    return None


def sensitivity(rate: Rate) -> Sensitivity | None:
    """A rate for the model; None while its size is unknown."""
    if rate.value is None:
        return None
    family = "angles" if rate.source == "geometry" and rate.value not in (1.0, -1.0) else ""
    return Sensitivity(
        rate.response, rate.adjuster, rate.value, rate.deviation, rate.source, family
    )
