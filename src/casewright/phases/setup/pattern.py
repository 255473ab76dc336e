"""The contact pattern as a second witness, and what drawn flanks would show.

A seen pattern gives directions, agrees or disagrees with height and lash, and may forbid "stop".
Shims come from it only once two known moves have been seen on this leg. The computed patches
stand on a drawing's flanks: an estimate of what to look for, never of what is there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from casewright.drive.schema import Mesh
from casewright.errors import CasewrightError, InputError
from casewright.job.kinds import PatternSeen
from casewright.job.mesh_sizes import RIGHT_ANGLE
from casewright.job.state import Kept, State, occasion_order
from casewright.mechanics.bevel_blank import method_zero_blank
from casewright.mechanics.contact import FlankContact, TeethContact
from casewright.mechanics.contact_flank import Hand
from casewright.mechanics.contact_gallery import gallery
from casewright.mechanics.contact_learning import (
    PatternMoves,
    PatternSensitivity,
    PatternTrial,
    learn_from_legs,
    moves_from_pattern,
)
from casewright.mechanics.contact_pattern import (
    Belief,
    PatternStatement,
    SeenPattern,
    Witness,
    compare_with_readings,
    state_pattern,
)
from casewright.mechanics.contact_tooth import ToothOutline, tooth_outline, toothed_pair
from casewright.phases.setup.seen import SeenFlank, seen_flank, seen_pattern
from casewright.phases.setup.signs import MOTION, rates
from casewright.phases.setup.trials import trial_pack
from casewright.reasoning.shim_choice import ResponseForecast
from casewright.reasoning.shim_signs import AWAY

# What a drawing would give where the sheet has no angle: assumed, said beside every picture.
PRESSURE, SPIRAL, CUTTER = math.radians(20), math.radians(35), 0.6
CROWNING, PROFILE = 15e-6, 8e-6
SHIFTS = (0.0, 0.2, 0.35, 0.5)
SHIM = 1e-4
GRID = (32, 16)
NOT_LOOKED = SeenFlank(None, None)


@dataclass(frozen=True, slots=True)
class Look:
    """A patch to draw: outline and path of contact in shares of the tooth (along, up), its centre.

    `error` is the transmission error as arc at the gear's mean radius, peak to peak [m].
    """

    outline: tuple[tuple[float, float], ...]
    along: float
    up: float
    path: tuple[tuple[float, float], ...] = ()
    error: float = 0.0


@dataclass(frozen=True, slots=True)
class Computed:
    """What drawn flanks show for one move: title, drive and coast patch on the gear, lash [m].

    The title says "one shim"; the gallery holds how thick that is.
    """

    title: str
    drive: Look | None
    coast: Look | None
    lash: float


@dataclass(frozen=True, slots=True)
class Gallery:
    """Tooth outline of the gear (lengths [m]) and the patches for a shim more and less."""

    from_toe: tuple[float, ...]
    tip: tuple[float, ...]
    active_root: tuple[float, ...]
    root: tuple[float, ...]
    pictures: tuple[Computed, ...]
    assumed: str
    shim: float = SHIM


@dataclass(frozen=True, slots=True)
class PatternLine:
    """One mesh: what was seen, what it says, whether it agrees, and what to expect."""

    mesh: str
    name: str
    seen: Kept[PatternSeen] | None
    drive: SeenFlank
    coast: SeenFlank
    statement: PatternStatement | None
    witness: Witness | None
    moves: PatternMoves | None
    taught: str
    learning: str
    learned: PatternSensitivity | None
    gallery: Gallery | None
    gallery_gap: str
    current: bool
    heel_left: bool

    @property
    def veto(self) -> str:
        """Why this pattern forbids to stop; empty where it doesn't."""
        if self.current and self.statement is not None and self.statement.vetoes_stop:
            return f"the contact pattern of the {self.name}"
        return ""


def pattern_lines(
    state: State,
    occasion: str,
    told: tuple[ResponseForecast, ...],
    family: tuple[State, ...] = (),
) -> tuple[PatternLine, ...]:
    """Every mesh with its latest pattern against the readings of this assembly.

    `family`: other jobs on the same sheet, whose known moves teach this leg's pattern too.
    """
    return tuple(_line(state, mesh, occasion, told, family) for mesh in state.lookup.sheet.meshes)


def _line(
    state: State,
    mesh: Mesh,
    occasion: str,
    told: tuple[ResponseForecast, ...],
    family: tuple[State, ...],
) -> PatternLine:
    mine = _patterns(state, mesh.key)
    seen = mine[-1] if mine else None
    pattern = seen_pattern(seen.body) if seen else None
    statement = state_pattern(pattern) if pattern else None
    belief = _belief(state, mesh, told)
    witness = compare_with_readings(statement, belief) if statement and belief else None
    own, learning, whose = _learned(state, mesh, family)
    known = own or family_sensitivity(mesh)
    drawn, gap = _gallery_of(mesh)
    drive, coast = (
        seen_flank(seen.body, flank) if seen else NOT_LOOKED for flank in ("drive", "coast")
    )
    return PatternLine(
        mesh.key, mesh.name, seen, drive, coast, statement, witness, _moves(known, pattern),
        _taught(known, whose), learning, own, drawn, gap,
        seen is not None and seen.body.occasion in (occasion, "final"),
        state.settings.get(heel_setting(mesh.key)) == "left",
    )  # fmt: skip


def heel_setting(mesh: str) -> str:
    """Name of the job's setting: on which hand the heel lies, looking at the drive flank."""
    return f"pattern-heel.{mesh}"


def _belief(state: State, mesh: Mesh, told: tuple[ResponseForecast, ...]) -> Belief | None:
    """Where height and lash put pinion and gear against the middle of their windows."""
    by_kind: dict[str, ResponseForecast] = {}
    for one in told:
        response = state.lookup.responses[one.name]
        if response.mesh == mesh.key or (response.kind == "pinion-height"):
            by_kind.setdefault(response.kind, one)
    height, lash = by_kind.get("pinion-height"), by_kind.get("lash")
    if height is None or lash is None:
        return None
    from casewright.phases.setup.geometry import lash_size
    from casewright.phases.setup.model import middle_of, window_in_force

    response = state.lookup.responses[lash.name]
    pinion_rate = lash_size(state.lookup, response, mesh.pinion)
    gear_rate = lash_size(state.lookup, response, mesh.gear)
    if pinion_rate is None or gear_rate is None:
        return None
    limits = [window_in_force(state, state.lookup.responses[o.name]) for o in (height, lash)]
    pinion = (height.mean - middle_of(limits[0])) * _height_sense(state, mesh, height.name)
    off = lash.mean - middle_of(limits[1])
    gear = (off - pinion_rate.size * pinion) / gear_rate.size
    spread = math.hypot(lash.deviation, pinion_rate.size * height.deviation) / gear_rate.size
    return Belief(pinion, max(height.deviation, 1e-6), gear, max(spread, 1e-6))


def _height_sense(state: State, mesh: Mesh, height: str) -> int:
    """+1 where a pinion farther from the apex reads more; −1 where its gauge reads less."""
    for rate in rates(state):
        adjuster = state.lookup.adjusters[rate.adjuster]
        motion = MOTION[adjuster.thicker_moves]
        if rate.response == height and adjuster.moves == mesh.pinion and motion:
            return rate.sign * (1 if motion == AWAY else -1)
    return 1


def _patterns(state: State, mesh: str) -> list[Kept[PatternSeen]]:
    """A mesh's patterns in the order of the assemblies."""
    mine = [kept for kept in state.patterns if kept.body.mesh == mesh]
    return sorted(mine, key=lambda kept: occasion_order(kept.body.occasion))


def _learned(
    state: State, mesh: Mesh, family: tuple[State, ...]
) -> tuple[PatternSensitivity | None, str, str]:
    """What known moves taught of this pattern, what is missing for it, and on which legs."""
    own = _trials(state, mesh)
    others = [found for other in family if len(found := _trials(other, mesh)) > 1]
    legs = [leg for leg in (own, *others) if leg]
    try:
        taught = learn_from_legs(legs)
    except InputError as error:
        return None, f"it takes {error.expected}. {error.remedy}".strip(), ""
    return taught, "", _legs(len(own) > 1, len(others))


def _legs(own: bool, others: int) -> str:
    more = f"{others} {'other' if own else 'earlier'} leg{'s' if others > 1 else ''} of this sheet"
    if not others:
        return "this leg"
    return f"this leg and {more}" if own else more


def _trials(state: State, mesh: Mesh) -> list[PatternTrial]:
    """A leg's patterns with both flanks seen at known places; none where its teeth differ."""
    same = state.lookup.meshes.get(mesh.key)
    if same is None or (same.pinion_teeth, same.gear_teeth) != (mesh.pinion_teeth, mesh.gear_teeth):
        return []
    found = []
    for kept in _patterns(state, mesh.key):
        pattern = seen_pattern(kept.body)
        pinion, gear = (_place(state, m, kept.body.occasion) for m in (same.pinion, same.gear))
        if pattern and pattern.drive and pattern.coast and pinion is not None and gear is not None:
            found.append(PatternTrial(pinion, gear, pattern))
    return found


def family_sensitivity(mesh: Mesh) -> PatternSensitivity | None:
    """What the sheet holds of this leg family's pattern; None unless both members were moved."""
    by_member = {one.member: one for one in mesh.pattern_moves}
    if set(by_member) != {"pinion", "gear"}:
        return None
    both = [by_member["pinion"], by_member["gear"]]
    rows = [(m.drive_along, m.drive_up, m.coast_along, m.coast_up) for m in both]
    return PatternSensitivity(
        matrix=1e3 * np.array(rows).T,
        base=np.full(4, np.nan),
        covariance=np.diag([0.0, *((1e3 * m.doubt) ** 2 for m in both)]),
        trials=min(m.trials for m in both),
        residual=0.0,
    )


def _moves(known: PatternSensitivity | None, now: SeenPattern | None) -> PatternMoves | None:
    """Moves from the pattern, only by measured sensitivities and where both flanks were seen."""
    if known is None or now is None or now.drive is None or now.coast is None:
        return None
    return moves_from_pattern(known, now)


def _taught(known: PatternSensitivity | None, whose: str) -> str:
    if known is None:
        return ""
    whose = whose or "legs of this family (by the sheet)"
    return f"{known.trials} trials with known moves taught on {whose}"


def _place(state: State, member: str, occasion: str) -> float | None:
    """Axial place of a member by its packs [m], + away from the apex; None where not recorded."""
    place = 0.0
    for adjuster in state.lookup.sheet.adjusters:
        motion = MOTION[adjuster.thicker_moves]
        if adjuster.moves == member and motion:
            pack = trial_pack(state, adjuster.key, occasion)
            if pack is None or not pack.sizes:
                return None
            place += pack.total * (1 if motion == AWAY else -1)
    return place


def _gallery_of(mesh: Mesh) -> tuple[Gallery | None, str]:
    data = mesh.gear_data
    if data.outer_pitch_diameter is None or data.face_width is None:
        return None, (
            f"the {mesh.name} has no outer pitch diameter and face width: patches can't be drawn "
            "to scale; what was seen is judged all the same"
        )
    try:
        return drawn_gallery(
            mesh.pinion_teeth, mesh.gear_teeth,
            mesh.shaft_angle.value if mesh.shaft_angle else RIGHT_ANGLE,
            data.outer_pitch_diameter.value, data.face_width.value,
            data.pressure_angle.value if data.pressure_angle else None,
            data.spiral_angle.value if data.spiral_angle else None, data.hand,
        ), ""  # fmt: skip
    except CasewrightError as error:
        return None, f"no flank can be drawn for the {mesh.name}: {error}"


@lru_cache(maxsize=16)
def drawn_gallery(
    pinion_teeth: int,
    gear_teeth: int,
    shaft_angle: float,
    diameter: float,
    face: float,
    pressure: float | None,
    spiral: float | None,
    hand: str,
) -> Gallery:
    """Patches on drawn flanks, as drawn and for 0.10 mm more and less at pinion and gear."""
    turn, alpha = spiral or 0.0, pressure or PRESSURE
    trouble: CasewrightError | None = None
    for shift in SHIFTS:
        try:
            cone = diameter / (2 * math.sin(math.atan2(gear_teeth, pinion_teeth)))
            cutter = CUTTER * cone if turn else None
            blank = method_zero_blank(
                pinion_teeth, gear_teeth, shaft_angle, diameter, face, turn, alpha,
                profile_shift=shift, cutter_radius=cutter,
            )  # fmt: skip
            flank_hand: Hand = "straight"
            if turn:
                flank_hand = "left" if hand == "left" else "right"
            pair = toothed_pair(
                blank, pinion_teeth, gear_teeth, shaft_angle, alpha,
                form="circular" if turn else "octoid", spiral_angle=turn, pinion_hand=flank_hand,
                cutter_radius=cutter, lengthwise_crowning=CROWNING, profile_crowning=PROFILE,
            )  # fmt: skip
            shown = gallery(pair, SHIM, SHIM, 0.0, GRID)
            outline = tooth_outline(pair, 1, 1, blank.clearance)
        except CasewrightError as error:
            trouble = error
            continue
        pictures = tuple(_computed(one.title, one.contact) for one in shown)
        return _gallery(outline, pictures, pressure, spiral)
    raise trouble if trouble else ValueError("no profile shift was tried")


def _gallery(
    outline: ToothOutline, pictures: tuple[Computed, ...], pressure: float | None,
    spiral: float | None,
) -> Gallery:  # fmt: skip
    assumed = []
    if pressure is None:
        assumed.append("pressure angle 20° taken")
    if spiral is None:
        assumed.append("straight teeth taken")
    assumed.append("crowning of 0.015 mm lengthwise and 0.008 mm in height taken")
    lines = (outline.from_toe, outline.tip, outline.active_root, outline.root)
    toe, tip, active, root = (tuple(float(v) for v in line) for line in lines)
    return Gallery(toe, tip, active, root, pictures, ", ".join(assumed))


def _computed(title: str, contact: TeethContact) -> Computed:
    radius = contact.lash_arc / contact.lash_angle if contact.lash_angle else 0.0
    drive, coast = (_look(flank, radius) for flank in (contact.drive, contact.coast))
    return Computed(title, drive, coast, contact.lash_arc)


def _look(flank: FlankContact, radius: float) -> Look | None:
    """Outline of the wiped points on the gear, column by column from toe to heel."""
    pattern = flank.pattern
    wiped = pattern.gap <= pattern.film
    if not wiped.any():
        return None
    along, up = np.clip(pattern.gear_along, 0, 1), np.clip(pattern.gear_up, 0, 1)
    columns = [i for i in range(wiped.shape[0]) if wiped[i].any()]
    top = [_point(along, up, wiped, i, True) for i in columns]
    low = [_point(along, up, wiped, i, False) for i in columns]
    return Look(
        (*top, *reversed(low)), pattern.gear.along, pattern.gear.up, _path(flank),
        abs(flank.ripple * radius),
    )  # fmt: skip


def _path(flank: FlankContact) -> tuple[tuple[float, float], ...]:
    """Where the teeth touch, roll by roll, while this pair holds the gear."""
    places = zip(
        flank.path.gear_along[flank.carries], flank.path.gear_up[flank.carries], strict=True
    )
    return tuple((round(float(a), 4), round(float(u), 4)) for a, u in places)


def _point(along: object, up: object, wiped: object, i: int, top: bool) -> tuple[float, float]:
    a, u = np.asarray(along)[i], np.asarray(up)[i]
    inside = np.flatnonzero(np.asarray(wiped)[i])
    j = inside[int(np.argmax(u[inside]) if top else np.argmin(u[inside]))]
    return round(float(a[j]), 4), round(float(u[j]), 4)
