"""The torque log judged: window, tool, friction, proof margin, order and steps, way to turn.

A torque that the sheet doesn't give is never filled in: the verdict is then "not in the sheet".
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isfinite

from casewright.errors import CasewrightError, InputError, RangeError
from casewright.mechanics.preload import (
    PreloadRange,
    combined_stress,
    preload_from_torque,
    preload_range,
)
from casewright.mechanics.threads import ProofMargin, proof_margin
from casewright.mechanics.wrench import true_torque_interval
from casewright.tables.property_classes import property_class
from casewright.tables.threads import hexagon_friction_diameter, thread
from casewright.working import Term, Working

# Practice ranges of friction, thread and head alike; a sheet or the shop's settings replace them.
SURFACE_FRICTION = {
    "dry": (0.14, 0.24),
    "oiled": (0.08, 0.16),
    "locking compound": (0.10, 0.16),
}
INSIDE, OUTSIDE, NOT_PROVEN, NOT_IN_SHEET = "inside", "outside", "not proven", "not in the sheet"
# The widest deviation that ISO 6789 allows a hand tool: beyond it a bare torque isn't shown.
ROUGHEST_TOOL = 0.06

Step = tuple[int, str]


@dataclass(frozen=True, slots=True)
class TorqueRule:
    """What the sheet says of a joint's torque [N m]; every part of it may be missing."""

    joint: str
    designation: str | None = None
    nominal: float | None = None
    low: float | None = None
    high: float | None = None
    surface: str | None = None
    class_name: str | None = None
    friction: tuple[float, float] | None = None
    friction_diameter: float | None = None


@dataclass(frozen=True, slots=True)
class TorqueRecord:
    """What was done: torque at the fastener [N m], tool's deviation as a share, surface state."""

    torque: float
    tool_tolerance: float
    surface: str | None = None


@dataclass(frozen=True, slots=True)
class TorqueAudit:
    """The verdict on one recorded torque, the interval [N m] it stands for, and why."""

    joint: str
    verdict: str
    low: float
    high: float
    preload: PreloadRange | None
    proof: ProofMargin | None
    above_proof: bool
    preload_change: float | None
    reasons: tuple[str, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class OrderAudit:
    """Steps missing, taken out of order, repeated or unknown to the sheet; all by name."""

    missing: tuple[Step, ...]
    out_of_order: tuple[Step, ...]
    repeated: tuple[Step, ...]
    unknown: tuple[Step, ...]
    complete: bool
    words: tuple[str, ...] = field(default=())


def way_to_turn(designation: str, aim: str) -> str:
    """Which way to turn, seen from the head or nut, by the hand of the thread.

    Args:
        designation: thread, `LH` for left hand [-].
        aim: "tighten" or "loosen" [-].
    Returns:
        "clockwise" or "counter-clockwise" [-].
    Valid: seen from the side on which the tool is put.
    Raises: InputError for another aim.
    Source: ISO68-1 (right-hand thread advances when turned clockwise)
    Example:
        >>> way_to_turn("M30x1.5 LH", "loosen")
        'clockwise'
    """
    if aim not in {"tighten", "loosen"}:
        raise InputError("aim", aim, '"tighten" or "loosen"')
    right = thread(designation).hand == "right"
    return "clockwise" if right == (aim == "tighten") else "counter-clockwise"


def _window(rule: TorqueRule) -> tuple[float, float] | None:
    """The sheet's window; a bare nominal is a window of no width; nothing is made up."""
    low = rule.low if rule.low is not None else rule.nominal
    high = rule.high if rule.high is not None else rule.nominal
    if low is None and high is None:
        return None
    window = (low if low is not None else 0.0, high if high is not None else float("inf"))
    if window[0] > window[1] or not window[1] > 0:
        raise InputError(f"torque of {rule.joint}", window, "a window with its lower end first")
    return window


def _window_verdict(
    window: tuple[float, float] | None, low: float, high: float, tolerance: float
) -> tuple[str, list[str]]:
    if window is None:
        return NOT_IN_SHEET, ["The sheet gives no torque for this joint; none is assumed."]
    least, most = window
    if high < least:
        return OUTSIDE, ["Too little: even with the tool's deviation below the sheet's torque."]
    if low > most:
        return OUTSIDE, ["Too much: even with the tool's deviation above the sheet's torque."]
    if least == most and tolerance > ROUGHEST_TOOL:
        return NOT_PROVEN, ["The sheet gives one torque; this tool is too rough to show it."]
    if least == most:
        return INSIDE, ["The sheet gives one torque; the reading is it, within the tool."]
    if least <= low and high <= most:
        return INSIDE, []
    return NOT_PROVEN, ["The tool's deviation reaches over the edge of the window."]


def surface_preload_change(
    designation: str,
    friction_meant: tuple[float, float],
    friction_done: tuple[float, float],
    friction_diameter: float,
) -> float:
    """Preload with the surface as done over the surface as meant, less 1, at one torque.

    Args:
        designation: thread [-].
        friction_meant: friction range for which the torque stands [-], pair.
        friction_done: friction range as tightened [-], pair.
        friction_diameter: mean diameter of the turned face [m].
    Returns:
        change as a share, at the middle of both ranges; +0.5 is half as much again [-].
    Valid: an estimate; one torque and the same faces.
    Raises: RangeError for a friction outside 0 to 1.
    Source: VDI2230 tightening torque at two frictions
    """
    done, meant = (
        preload_from_torque(designation, 1.0, middle, middle, friction_diameter)
        for middle in (0.5 * sum(friction_done), 0.5 * sum(friction_meant))
    )
    return done / meant - 1


def _friction_of(rule: TorqueRule, record: TorqueRecord) -> tuple[float, float] | None:
    """Friction as tightened: the sheet's where the surface is the sheet's, else the practice's."""
    surface = record.surface or rule.surface
    if rule.friction is not None and surface == rule.surface:
        return rule.friction
    return None if surface is None else _surface(surface)


def _surface(name: str) -> tuple[float, float]:
    if name not in SURFACE_FRICTION:
        raise InputError("surface", name, "one of: " + ", ".join(SURFACE_FRICTION))
    return SURFACE_FRICTION[name]


def _face(rule: TorqueRule) -> float | None:
    if rule.friction_diameter is not None or rule.designation is None:
        return rule.friction_diameter
    try:
        return hexagon_friction_diameter(rule.designation)
    except RangeError:
        return None


def _force(rule: TorqueRule, record: TorqueRecord, reasons: list[str]) -> PreloadRange | None:
    friction, face = _friction_of(rule, record), _face(rule)
    if rule.designation is None or friction is None or face is None:
        missing = {"thread": rule.designation, "friction or surface": friction, "face": face}
        names = ", ".join(name for name, value in missing.items() if value is None)
        reasons.append(f"Preload not computed: {names} not in the sheet.")
        return None
    return preload_range(rule.designation, record.torque, friction, face, record.tool_tolerance)


def _overload(
    rule: TorqueRule, record: TorqueRecord, force: PreloadRange, reasons: list[str]
) -> tuple[ProofMargin | None, bool]:
    """Proof margin of the greatest preload; `True` where proof or yield may be passed."""
    if rule.designation is None or rule.class_name is None:
        reasons.append("Proof margin not computed: property class not in the sheet.")
        return None, False
    margin = proof_margin(rule.designation, rule.class_name, force.high)
    friction = _friction_of(rule, record)
    assert friction is not None
    strengths = property_class(rule.class_name, thread(rule.designation).major)
    stress = combined_stress(rule.designation, force.high, strengths.yielding, friction[0])
    if margin.exceeded:
        reasons.append(
            f"At the lowest friction the preload passes the {margin.limit_name} "
            f"({100 * margin.share:.0f} % of it)."
        )
    if stress.exceeded:
        reasons.append(
            "At the lowest friction pull and twist together pass the yield strength "
            f"({100 * stress.yield_share:.0f} % of it)."
        )
    return margin, margin.exceeded or stress.exceeded


def _changed(rule: TorqueRule, record: TorqueRecord, reasons: list[str]) -> float | None:
    face = _face(rule)
    if record.surface is None or rule.surface is None or record.surface == rule.surface:
        return None
    reasons.append(f"Tightened {record.surface}; the sheet's torque is for {rule.surface}.")
    if rule.designation is None or face is None:
        return None
    meant = rule.friction or _surface(rule.surface)
    change = surface_preload_change(rule.designation, meant, _surface(record.surface), face)
    reasons.append(f"At one torque that changes the preload by about {100 * change:+.0f} %.")
    return change


def audit_torque(rule: TorqueRule, record: TorqueRecord) -> TorqueAudit:
    """Whether a recorded torque is inside the sheet's window once tool and friction are counted.

    Args:
        rule: what the sheet says of the joint; missing parts stay missing [-].
        record: torque at the fastener (adapter already taken off) and how it was done [-].
    Returns:
        verdict "inside", "outside", "not proven" or "not in the sheet" [-], the interval [N m],
        preload range [N], proof margin, overload, change by another surface [-].
    Valid: wrench readings; prevailing torque of lock nuts already taken off. Where the sheet gives
        one torque without a window, it passes if a tool of 6 % or better may have given it.
        A joint tightened with another surface than the sheet's is never "inside".
    Raises: RangeError for a torque of zero or less; InputError for an unknown surface or class.
    Source: ISO6789 deviation; VDI 2230 preload; own verdict rule
    """
    low, high = true_torque_interval(record.torque, record.tool_tolerance)
    window = _window(rule)
    verdict, reasons = _window_verdict(window, low, high, record.tool_tolerance)
    change = _changed(rule, record, reasons)
    if change is not None or (rule.surface and record.surface not in {None, rule.surface}):
        verdict = OUTSIDE if verdict in {INSIDE, NOT_PROVEN} else verdict
    proof, above = None, False
    force = _force(rule, record, reasons)
    if force is not None:
        proof, above = _overload(rule, record, force, reasons)
    terms = [Term("recorded torque", record.torque, "N m"), Term("tool", record.tool_tolerance)]
    if window is not None:
        edges = zip(("window from", "window to"), window, strict=True)
        terms += [Term(name, edge, "N m") for name, edge in edges if isfinite(edge)]
    working = Working(
        method="recorded torque against the sheet",
        formula="true torque between Xa/(1 + t) and Xa/(1 − t)",
        inputs=tuple(terms),
        outputs=(Term("true torque from", low, "N m"), Term("true torque to", high, "N m")),
        source="ISO 6789 (deviation); VDI 2230 (preload)",
        notes=tuple(reasons),
    )
    return TorqueAudit(
        rule.joint, verdict, low, high, force, proof, above, change, tuple(reasons), working
    )


def plan_steps(order: Sequence[str], stages: int) -> tuple[Step, ...]:
    """All (stage, fastener) steps in the sheet's order: every fastener, then the next stage.

    Args:
        order: fasteners in the order that the sheet gives [-].
        stages: number of torque stages [-].
    Returns:
        steps, stages counted from 1 [-].
    Valid: one order for all stages.
    Raises: InputError for a fastener named twice; RangeError for no stage.
    Source: common practice: in steps, in the given order
    """
    if stages < 1:
        raise RangeError("stages", stages, "one or more")
    if len(set(order)) != len(order):
        raise InputError("order", tuple(order), "each fastener once")
    return tuple((stage, name) for stage in range(1, stages + 1) for name in order)


def audit_order(planned: Sequence[Step], done: Sequence[Step]) -> OrderAudit:
    """Which steps are missing, out of order, repeated or unknown; the fewest that explain it.

    Args:
        planned: (stage, fastener) in the sheet's order [-].
        done: (stage, fastener) in the order in which they were done [-].
    Returns:
        the steps by name, and whether all were done in order [-].
    Valid: a repeated step counts where it was first done (a second pull does no harm by itself).
    Raises: InputError where the plan names a step twice.
    Source: own: longest run in order (patience sorting)
    """
    place = {step: index for index, step in enumerate(planned)}
    if len(place) != len(planned):
        raise InputError("planned steps", len(planned), "each step once")
    counts = Counter(done)
    first = [step for step in dict.fromkeys(done) if step in place]
    kept = _longest_rising([place[step] for step in first])
    missing = tuple(step for step in planned if step not in counts)
    late = tuple(step for index, step in enumerate(first) if index not in kept)
    repeated = tuple(step for step, count in counts.items() if count > 1 and step in place)
    unknown = tuple(step for step in counts if step not in place)
    named = (("missing", missing), ("out of order", late), ("not in the sheet", unknown))
    words = tuple(
        f"{what}: {name}, stage {stage}" for what, steps in named for stage, name in steps
    )
    return OrderAudit(missing, late, repeated, unknown, not (missing or late or unknown), words)


def _longest_rising(places: Sequence[int]) -> set[int]:
    """Indices of one longest rising run."""
    ends: list[int] = []
    at: list[int] = []
    before: list[int] = []
    for index, value in enumerate(places):
        length = bisect_left(ends, value)
        before.append(at[length - 1] if length else -1)
        ends[length : length + 1] = [value]
        at[length : length + 1] = [index]
    kept, index = set(), at[-1] if at else -1
    while index >= 0:
        kept.add(index)
        index = before[index]
    return kept


def audit_log(
    rules: Sequence[TorqueRule], records: dict[str, TorqueRecord]
) -> tuple[TorqueAudit | str, ...]:
    """Every joint of the sheet judged; a joint without a record is named, bad input is said.

    Args:
        rules: what the sheet says, joint by joint [-].
        records: joint name to what was done [-].
    Returns:
        an audit, or a sentence where there is none to give, in the sheet's order [-].
    Valid: as `audit_torque`.
    Raises: nothing: one bad entry doesn't hide the others.
    Source: own: one line for each joint
    """
    lines: list[TorqueAudit | str] = []
    for rule in rules:
        if rule.joint not in records:
            lines.append(f"{rule.joint}: no torque recorded")
            continue
        try:
            lines.append(audit_torque(rule, records[rule.joint]))
        except CasewrightError as error:
            lines.append(f"{rule.joint}: {error}")
    unknown = [name for name in records if name not in {rule.joint for rule in rules}]
    return (*lines, *(f"{name}: recorded, but not in the sheet" for name in unknown))
