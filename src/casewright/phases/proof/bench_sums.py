"""Press fits at assembly: what grips, how hard to press, how hot it may get, how long it takes.

For each joint with a fit in the sheet: the interference from measured shaft and bore where they
were read on the pieces that go in, else from the sheet's window or its letters; then press or heat,
against the ceilings of what is in the unit. Estimates all; the maker's own figures rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from casewright.drive.schema import Fit, Joint
from casewright.errors import CasewrightError
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.mechanics.fits import fit as letters_fit
from casewright.mechanics.heat_plans import AssemblyPlan
from casewright.mechanics.heat_time import TimeRange
from casewright.mechanics.press_fits import Joint as Rings
from casewright.mechanics.press_fits import PressVerdict
from casewright.mechanics.press_plans import Grip, PressPlan
from casewright.phases.proof.bench_heat import ceilings_of, heated_part, left_in_place
from casewright.phases.proof.bench_readings import FitReading, measured_bore, measured_shaft
from casewright.phases.proof.fit_plans import HeatTimes, Span, plan_fit
from casewright.tables.iso286 import bearing_outside_limits
from casewright.tables.materials import material
from casewright.tables.temperature_ceilings import Ceiling

RINGS = ("cup", "cone", "bearing", "needle-bearing")


@dataclass(frozen=True, slots=True)
class FitSum:
    """One press fit for the bench; parts that can't be computed are None and say why in `gaps`."""

    joint: str
    name: str
    opened: bool
    fit: Fit
    shaft: FitReading | None
    bore: FitReading | None
    span: Span | None
    press: PressPlan | None
    capacity: PressVerdict | None
    grip_likely: Grip | None
    heat: AssemblyPlan | None
    ceilings: tuple[Ceiling, ...]
    left: tuple[str, ...]
    heated: str
    times: tuple[HeatTimes, ...]
    carry: TimeRange | None
    way: str
    refusal: str
    gaps: tuple[str, ...]


def fit_sums(state: State, settings: Settings, opened: frozenset[str]) -> tuple[FitSum, ...]:
    """Every press fit of the sheet, those that were opened first."""
    joints = [joint for joint in state.lookup.sheet.joints if joint.fit is not None]
    joints.sort(key=lambda joint: joint.key not in opened)
    return tuple(fit_sum(state, settings, joint, joint.key in opened) for joint in joints)


def fit_sum(state: State, settings: Settings, joint: Joint, opened: bool = False) -> FitSum:
    """One press fit: press or heat, and what is left of the grip at work."""
    assert joint.fit is not None
    shaft, bore = measured_shaft(state, joint), measured_bore(state, joint)
    empty = FitSum(
        joint.key, joint.name, opened, joint.fit, shaft, bore, None, None, None, None, None, (), (),
        "", (), None, "", "", (),
    )  # fmt: skip
    try:
        return _summed(state, settings, joint, empty)
    except CasewrightError as error:
        return replace(empty, refusal=str(error), span=None)


def _summed(state: State, settings: Settings, joint: Joint, empty: FitSum) -> FitSum:
    span, gaps = interference_span(state, joint, empty.shaft, empty.bore)
    if span is None:
        return replace(empty, gaps=tuple(gaps))
    if span.most <= 0:
        return replace(empty, span=span, way="slides", gaps=tuple(gaps))
    rings, more = rings_of(state, joint)
    ceilings, (part, mass) = ceilings_of(state, joint), heated_part(state, joint)
    known = joint.fit is not None and joint.fit.length is not None
    plan = plan_fit(rings, span, ceilings, mass, settings, known)
    return replace(
        empty, span=span, press=plan.press, capacity=plan.capacity, grip_likely=plan.grip_likely,
        heat=plan.heat, ceilings=ceilings, left=left_in_place(state, joint), heated=part,
        times=plan.times, carry=plan.carry, way=plan.way,
        gaps=tuple(dict.fromkeys((*gaps, *more, *plan.gaps))),
    )  # fmt: skip


def interference_span(
    state: State, joint: Joint, shaft: FitReading | None, bore: FitReading | None
) -> tuple[Span | None, list[str]]:
    """Interference from what is known best: both read, the sheet's window, one read, letters."""
    fit = joint.fit
    assert fit is not None
    ring = _ring_limits(state, joint)
    if shaft and bore:
        half = 2 * math.hypot(shaft.uncertainty, bore.uncertainty)
        middle = shaft.diameter - bore.diameter
        return Span(middle - half, middle + half, "measured shaft and bore"), []
    if bore and ring:
        low = ring[0] - bore.diameter - 2 * bore.uncertainty
        high = ring[1] - bore.diameter + 2 * bore.uncertainty
        return Span(low, high, "measured bore, ring by its Normal class limits"), [
            "Only the bore was read: the ring's outside is taken from its tolerance class."
        ]
    if fit.interference_low is not None and fit.interference_high is not None:
        span = Span(fit.interference_low.value, fit.interference_high.value, "the sheet's window")
        return span, ["Shaft and bore were not both read: this is the whole window of the sheet."]
    if fit.hole and fit.shaft:
        drawn = letters_fit(fit.diameter.value, fit.hole, fit.shaft)
        name = f"limits of {fit.hole}/{fit.shaft}"
        return Span(-drawn.most_clearance, -drawn.least_clearance, name), []
    return None, ["No interference in the sheet and no readings: press force and heat are not told"]


def _ring_limits(state: State, joint: Joint) -> tuple[float, float] | None:
    """Outside limits of a rolling bearing's ring in this joint; None where it is something else."""
    assert joint.fit is not None
    if not _is_ring(state, joint):
        return None
    try:
        limits = bearing_outside_limits(joint.fit.diameter.value)
    except CasewrightError:
        return None
    return limits.smallest, limits.largest


def _is_ring(state: State, joint: Joint) -> bool:
    held = [p for p in joint.holds if p in state.lookup.positions]
    return any(state.lookup.part_at(position).kind in RINGS for position in held)


def rings_of(state: State, joint: Joint) -> tuple[Rings, list[str]]:
    """The joint as the press formulas read it, and what had to be taken for it."""
    fit, gaps = joint.fit, []
    assert fit is not None
    if fit.length is None:
        gaps.append("The joint's length is not in the sheet: no press force.")
    if fit.hub_outside is None:
        gaps.append(
            "The hub's outside is not in the sheet: taken as a big block, which grips most."
        )
    shaft = "bearing-steel" if _is_ring(state, joint) else fit.shaft_material
    rings = Rings(
        fit.diameter.value,
        fit.length.value if fit.length else fit.diameter.value / 4,
        fit.hub_outside.value if fit.hub_outside else math.inf,
        material(fit.hub_material),
        material(shaft),
        fit.inner_bore.value if fit.inner_bore else 0.0,
    )
    return rings, gaps
