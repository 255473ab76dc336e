"""What can't be meant of a tooth's chord or a thread over wires, in a sheet or at the bench."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.drive.measures import Measure
from casewright.drive.schema import Feature
from casewright.errors import CasewrightError
from casewright.mechanics.gauging import WIRE_SHARES, best_wire
from casewright.mechanics.threads import geometry
from casewright.tables.threads import thread
from casewright.units import write

# A tooth is about 1.4 times as deep as it is thick at the pitch line, 1.7 where it was made thin.
DEEPEST = 1.7
# Limits farther than this share off a thread's pitch diameter are those of something else.
OFF_PITCH = 0.05


def wrong_gauged(feature: Feature) -> Iterator[tuple[str, str]]:
    """What can't be meant of height, thread and wire: the key and why."""
    for name, kind in (("at_height", "tooth"), ("thread", "thread"), ("wire", "thread")):
        if getattr(feature, name) and feature.kind != kind:
            yield name, f"{name} is for a feature of kind {kind}, this is {feature.kind}"
    if feature.kind == "tooth":
        yield from _wrong_tooth(feature)
    elif feature.kind == "thread":
        yield from _wrong_thread(feature)


def _wrong_tooth(feature: Feature) -> Iterator[tuple[str, str]]:
    if feature.heights > 1:
        yield "heights", "a tooth is read at one height: write it as at_height"
    if feature.at_height is None:
        return
    thickest = max(_lengths(feature), key=lambda one: one.value, default=None)
    if not feature.at_height.value > 0:
        yield "at_height", "expected a height below the tip, more than nothing"
    elif thickest is not None and too_deep(feature.at_height.value, thickest.value):
        yield (
            "at_height",
            f"{feature.at_height} is deeper than a tooth that is {thickest} thick; check the unit",
        )


def _lengths(feature: Feature) -> list[Measure]:
    """Its limits, but for those of another kind, which are said where kinds are checked."""
    known = [one for one in (feature.low, feature.high) if one is not None]
    return [one for one in known if one.dimension == "length"]


def too_deep(height: float, chord: float) -> bool:
    """Whether a height below the tip is deeper than a tooth of that chord."""
    return height > DEEPEST * chord


def _wrong_thread(feature: Feature) -> Iterator[tuple[str, str]]:
    if feature.wire is not None and not feature.thread:
        yield "thread", "a wire needs the thread's designation: thread = 'M24x2'"
    if not feature.thread:
        return
    try:
        pitch = thread(feature.thread).pitch
    except CasewrightError:
        yield "thread", f"{feature.thread!r} can't be read; write it like M24x2 or 1-8 UN"
        return
    if feature.wire is not None and (words := wire_misses(feature.wire, pitch)):
        yield "wire", words


def wire_misses(wire: Measure, pitch: float) -> str:
    """What is expected of a wire that doesn't touch this thread's flanks; "" where it does."""
    low, high = (share * pitch for share in WIRE_SHARES)
    if low <= wire.value <= high:
        return ""
    ends = [write(end, "length", wire.unit) for end in (low, high, best_wire(pitch))]
    other = {"mm": (25.4, "inches"), "in": (1 / 25.4, "millimetres")}.get(wire.unit)
    slip = other is not None and low <= wire.value * other[0] <= high
    asked = f" (is it in {other[1]}?)" if slip and other else ""
    return (
        f"expected {ends[0]} to {ends[1]}{asked}, a wire that touches the flanks of this thread; "
        f"best is {ends[2]}"
    )


def far_from_thread(feature: Feature) -> str:
    """That the limits of a thread over wires are no pitch diameters of it; "" where they may be."""
    if feature.kind != "thread" or not feature.thread:
        return ""
    try:
        basic = geometry(feature.thread).pitch_diameter
    except CasewrightError:
        return ""
    for limit in _lengths(feature):
        if abs(limit.value - basic) > OFF_PITCH * basic:
            shown = write(basic, "length", limit.unit)
            return (
                f"{limit} isn't near the pitch diameter of {feature.thread}, {shown}; if it is the "
                "measure over the wires itself, write kind = 'diameter' and leave thread out"
            )
    return ""
