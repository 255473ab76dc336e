"""Bench sums of fits: limits by letters, a press fit from two readings."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import InputError, MissingError, RangeError
from casewright.mechanics.fits import fit_of, measured_interference
from casewright.mechanics.press_fits import Joint, interference_after_removal, judge_press
from casewright.mechanics.press_plans import Duty, Grip, PressPlan, Roughness, grip_at, press_plan
from casewright.phases.proof.fit_plans import HUB_YIELD, RING_YIELD, STEEL_YIELD
from casewright.sums.answer import Answer, Line, Told, Zones
from casewright.tables.iso286 import Limits, bearing_outside_limits, limits
from casewright.tables.materials import Friction, material, press_friction
from casewright.working import Term, Working

RING_WORDS = ("bearing", "ring", "bearing ring")
STANDING = "Maker's manual, local codes and licensed practice come first."


def limits_of_size(*, size: float, hole: str, shaft: str) -> Answer:
    """Limits of hole and shaft by ISO 286, and what lies between them.

    Args: size [m]; letters with grade, "bearing" for a Normal class bearing's outside diameter.
    Raises: RangeError where size or letters are not tabled; MissingError without letters.
    """
    if not hole and not shaft:
        raise MissingError("hole", "letters of the hole, of the shaft, or both", "Like H7 and k6.")
    if hole and not hole[0].isupper():
        raise RangeError("hole", hole, "a capital letter with its grade", "Holes are like H7.")
    if shaft and shaft.lower() not in RING_WORDS and not shaft[0].islower():
        raise RangeError("shaft", shaft, "a small letter with its grade", "Shafts are like k6.")
    found = [_named("Hole", "hole", size, hole)] if hole else []
    found += [_named("Shaft", "shaft", size, shaft)] if shaft else []
    lines = [line for name, one in found for line in _size_lines(name, one)]
    words: tuple[Told, ...] = (Told("Limits as drawn; measured sizes come first."),)
    workings: tuple[tuple[str, Working], ...] = tuple((f"{n}", _limits_work(o)) for n, o in found)
    if len(found) == 2:
        drawn = fit_of(found[0][1], found[1][1])
        lines = [*_clearance(drawn.least_clearance, drawn.most_clearance), *lines]
        words = (Told(f"A {drawn.character} fit.", "lead"), *words)
        workings = (("The fit", drawn.working), *workings)
    zones = Zones(
        size, tuple((f"{n} {o.code}", o.lower_deviation, o.upper_deviation) for n, o in found),
        "Tolerance zones to scale, from the nominal size",
    )  # fmt: skip
    return Answer(tuple(lines), words, workings=workings, drawing=zones, cautions=(STANDING,))


def _named(name: str, field: str, size: float, code: str) -> tuple[str, Limits]:
    """Limits of one letter, refused by the name of its field."""
    try:
        ring = code.lower() in RING_WORDS
        return (name, bearing_outside_limits(size) if ring else limits(size, code))
    except RangeError as error:
        if error.field == "size":
            raise
        raise InputError(field, code, error.expected, error.remedy) from None


def _size_lines(name: str, one: Limits) -> tuple[Line, ...]:
    return (
        Line(f"{name} {one.code}", one.smallest, "size", one.largest, lead=True),
        Line(f"{name} from nominal", one.lower_deviation, "fine", one.upper_deviation),
    )


def _clearance(least: float, most: float) -> tuple[Line, ...]:
    """Clearance, interference, or one of each."""
    if least >= -1e-12:
        return (Line("Clearance", max(least, 0.0), "fine", most, lead=True),)
    if most <= 1e-12:
        return (Line("Interference", max(-most, 0.0), "fine", -least, lead=True),)
    return (
        Line("From an interference of", -least, "fine", lead=True),
        Line("to a clearance of", most, "fine", lead=True),
    )


def _limits_work(one: Limits) -> Working:
    return Working(
        method="ISO 286 limits of size",
        formula="smallest = size + lower deviation, largest = size + upper deviation",
        inputs=(Term("size", one.size, "m"),),
        steps=(
            Term("lower deviation", one.lower_deviation, "m"),
            Term("upper deviation", one.upper_deviation, "m"),
        ),
        outputs=(Term("smallest", one.smallest, "m"), Term("largest", one.largest, "m")),
        source="ISO 286-1 with the delta rule, ISO 286-2; ISO 492 for bearings",
    )


@dataclass(frozen=True, slots=True)
class _Rings:
    """The joint, its interference [m] with the standard uncertainty, and the work temperature."""

    joint: Joint
    interference: float
    uncertainty: float
    at_work: float

    @property
    def least(self) -> float:
        """Interference less two standard uncertainties [m]."""
        return self.interference - 2 * self.uncertainty

    @property
    def most(self) -> float:
        """Interference with two standard uncertainties more [m]."""
        return self.interference + 2 * self.uncertainty


def press_fit(
    *,
    shaft: float,
    bore: float,
    shaft_doubt: float,
    bore_doubt: float,
    length: float,
    hub_outside: float | None,
    shaft_bore: float | None,
    hub: str,
    ring: str,
    press: float,
    at_work: float,
    torque: float | None,
    friction_low: float | None,
    friction_high: float | None,
    hub_rz: float | None,
    shaft_rz: float | None,
    smoothed: float,
    lost: float | None,
) -> Answer:
    """A press fit from measured shaft and bore: what it takes to press, what it holds, warm too.

    Args: diameters, doubts (two standard uncertainties), length and Rz [m]; keys of materials;
        rated press [N]; temperature at work [K]; torque to hold [N m]; friction [-]; shares [-].
    Raises: RangeError for rings that can't be (shaft larger than the hub's outside, and so on).
    """
    if hub_outside is not None and not hub_outside > shaft:
        raise RangeError(
            "hub_outside", hub_outside, "more than the shaft's diameter",
            "Check that hub and shaft are not exchanged.",
        )  # fmt: skip
    if shaft_bore is not None and not shaft_bore < shaft:
        raise RangeError("shaft_bore", shaft_bore, "less than the shaft's diameter")
    joint = Joint(
        shaft, length, hub_outside or math.inf, material(hub), material(ring), shaft_bore or 0.0
    )
    joint.pressure(0.0)
    measured = measured_interference(shaft, bore, shaft_doubt / 2, bore_doubt / 2)
    rings = _Rings(joint, float(measured.interference), float(measured.uncertainty), at_work)
    zones = Zones(
        bore,
        (("Bore", -bore_doubt, bore_doubt),
         ("Shaft", shaft - bore - shaft_doubt, shaft - bore + shaft_doubt)),
        "Shaft against bore, with their doubt, to scale",
    )  # fmt: skip
    if rings.most <= 0:
        return _slides(rings, zones)
    friction, gap = _friction(hub, ring, friction_low, friction_high)
    rough = Roughness(hub_rz or 0.0, shaft_rz or 0.0, smoothed)
    plan = _plan(rings, friction or Friction(0.0, 0.0, "", "none"), rough, torque or 0.0)
    usable = rings.interference - smoothed * ((hub_rz or 0.0) + (shaft_rz or 0.0))
    likely = grip_at(joint, usable, friction.low if friction else 0.0, _duty(at_work, torque))
    lines = [_gripping(rings), *(_pressing(plan, press) if friction else ())]
    lines += [*_holding(plan, likely, rings, torque is not None, friction is not None)]
    lines += [*_stressing(plan), *_removal(rings, lost)]
    words = [*_verdict(plan, press, friction is not None), *_spinning(plan, likely, friction)]
    words += [Told(gap, "unsure")] if gap else []
    if hub_outside is None:
        words.append(Told("No hub's outside was given: a big block was taken, which grips most."))
    return Answer(
        tuple(lines), tuple(words), cautions=plan.cautions,
        workings=(("Press force and grip", plan.working),), drawing=zones,
    )  # fmt: skip


def _duty(at_work: float, torque: float | None) -> Duty:
    return Duty(at_work, at_work, torque or 0.0)


def _gripping(rings: _Rings) -> Line:
    return Line(
        "Interference", rings.interference, "fine", doubt=2 * rings.uncertainty, lead=True
    )  # fmt: skip


def _slides(rings: _Rings, zones: Zones) -> Answer:
    """Shaft smaller than bore throughout: nothing grips."""
    clear = Line("Clearance", -rings.most, "fine", -rings.least, lead=True)
    told = Told("It slides in: nothing is pressed, and nothing grips.", "lead")
    working = Working(
        "interference from two readings", "U = shaft - bore",
        (Term("shaft", rings.joint.diameter, "m"),),
        (Term("interference", rings.interference, "m"),), "own: a difference",
    )  # fmt: skip
    return Answer(
        (clear,), (told,), workings=(("The difference", working),), drawing=zones,
        cautions=(STANDING,),
    )  # fmt: skip


def _friction(
    hub: str, ring: str, low: float | None, high: float | None
) -> tuple[Friction | None, str]:
    """Friction as given, else as tabled; None, and said, where neither is there."""
    if low is not None or high is not None:
        if low is None or high is None or low > high:
            raise InputError("friction_high", high, "least and most friction, the smaller first")
        return Friction(low, high, "given", "as given"), ""
    shaft = "steel" if ring in ("steel", "bearing-steel") else ring
    try:
        return press_friction(f"{shaft}/{hub}"), ""
    except MissingError:
        return None, (
            f"No friction is tabled for {shaft} in {hub}: no press force and no torque. Give the "
            "least and most from your own source."
        )


def _plan(rings: _Rings, friction: Friction, rough: Roughness, torque: float) -> PressPlan:
    joint = rings.joint
    hub_yield = HUB_YIELD.get(joint.hub.key, STEEL_YIELD)
    ring_yield = RING_YIELD if joint.shaft.key == "bearing-steel" else STEEL_YIELD
    duty = _duty(rings.at_work, torque)
    return press_plan(
        joint, rings.interference, rings.uncertainty, friction, hub_yield, ring_yield, rough, duty
    )


def _pressing(plan: PressPlan, press: float) -> tuple[Line, ...]:
    force, verdict = plan.force, judge_press(press, plan.force)
    return (
        Line("Press force, full depth", max(force.least, 0.0), "force", force.most, lead=True),
        Line("Press wanted, with reserve", verdict.wanted, "force"),
    )


def _holding(
    plan: PressPlan, likely: Grip, rings: _Rings, asked: bool, known: bool
) -> tuple[Line, ...]:
    """What is left at work: interference, pressure, slip torque."""
    worst = plan.grip
    lines = [
        Line(
            "Interference left at work", worst.interference, "fine", likely.interference, lead=True
        ),
        Line("Grip gone at", likely.gone_at, "temperature"),
    ]
    if known:
        cold = grip_at(rings.joint, max(rings.least, 0.0), 0.0, Duty()).pressure
        lines.insert(0, Line("Torque it holds at work", worst.torque, "torque", likely.torque))
        most = rings.joint.pressure(rings.most)
        lines.insert(0, Line("Pressure at 20 °C", cold, "stress", float(most)))
    return tuple(lines)


def _stressing(plan: PressPlan) -> tuple[Line, ...]:
    stress, limits = plan.stress, plan.limits
    return (
        Line("Hub, stress at most (von Mises)", float(stress.hub_von_mises), "stress"),
        Line("Pressure at which hub or shaft yields", float(min(limits.hub, limits.shaft)),
             "stress"),
    )  # fmt: skip


def _removal(rings: _Rings, lost: float | None) -> tuple[Line, ...]:
    """What one pressing out may cost, by the shop's own share."""
    if lost is None:
        return ()
    left = interference_after_removal(rings.interference, (0.0, lost))
    name = "Left after it was pressed out once"
    return (Line(name, left.least, "fine", left.most),)


def _verdict(plan: PressPlan, press: float, known: bool) -> tuple[Told, ...]:
    words = []
    if known:
        verdict = judge_press(press, plan.force)
        tone = {"enough": "good", "perhaps": "unsure", "too small": "bad"}[verdict.verdict]
        words.append(Told(f"The press is {verdict.verdict}: {verdict.reason}.", tone))  # type: ignore[arg-type]
    if plan.yields:
        words.append(
            Told("At the most interference the seat yields: it would not hold again.", "bad")
        )
    return tuple(words)


def _spinning(plan: PressPlan, likely: Grip, friction: Friction | None) -> tuple[Told, ...]:
    """What is left at work, in words; a race that would spin says so."""
    loose = plan.grip.interference <= 0
    if not friction and not loose:
        return ()
    said = f"At work: {likely.advice} (likely interference); {plan.grip.advice} (least)."
    tone = "bad" if likely.would_spin else "unsure" if plan.grip.would_spin else "good"
    return (Told(said, tone),)  # type: ignore[arg-type]
