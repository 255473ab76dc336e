"""A thread read over three wires: the pitch diameter that follows, with the doubt of the wires."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.drive.gauged import wire_misses
from casewright.drive.measures import Measure
from casewright.drive.schema import Feature
from casewright.errors import InputError
from casewright.job.instruments import last_digit
from casewright.job.kinds import Reading
from casewright.job.typed import Brought
from casewright.mechanics.gauging import best_wire, pitch_diameter_over_wires, wire_angle_slope
from casewright.reasoning.uncertainty import Component, from_resolution, rectangular
from casewright.tables.threads import thread
from casewright.units import parse
from casewright.working import Term, Working

# Half-widths, common practice without a source: of a set of thread wires, and of a flank's half
# angle, which counts the more the farther the wire is from the best.
WIRE_SET, HALF_ANGLE = 2e-6, math.radians(0.5)
WIRES = 3


def wire_used(feature: Feature, body: Reading) -> Measure | None:
    """The wire of a reading: as typed, else the sheet's; None where it was read without wires.

    InputError for a wire that can't be on this thread.
    """
    if feature.kind != "thread" or not (body.wire or feature.wire):
        return None
    if not body.wire:
        return feature.wire
    found = parse(body.wire, "length", body.unit or "mm", "wire")
    if found.value == 0:
        return None
    if not feature.thread:
        raise InputError(
            "wire", body.wire, "nothing: the sheet doesn't say which thread this is",
            "Put the thread on the list again with its designation, or type its pitch diameter.",
        )  # fmt: skip
    text = f"{body.wire} {found.unit}" if found.bare else body.wire
    wire = Measure(text, found.value, found.unit, found.dimension)
    if words := wire_misses(wire, thread(feature.thread).pitch):
        expected, _, remedy = words.removeprefix("expected ").partition("; ")
        raise InputError("wire", body.wire, expected, f"{remedy[:1].upper()}{remedy[1:]}.")
    return wire


def wire_components(feature: Feature, wire: Measure) -> tuple[Component, ...]:
    """What wires leave in doubt: their diameter three times, and the angle of the flanks."""
    pitch = thread(feature.thread).pitch
    typed = from_resolution(last_digit(wire.text, "length", wire.unit))
    diameter = math.hypot(rectangular(WIRE_SET), typed)
    parts = (
        Component(f"wires of {wire.text}", diameter, sensitivity=-float(WIRES)),
        Component(
            "half angle of the flanks", rectangular(HALF_ANGLE),
            sensitivity=wire_angle_slope(wire.value, pitch),
        ),
    )  # fmt: skip
    return tuple(part for part in parts if part.contribution > 0)


def brought_from_wires(feature: Feature, body: Reading, values: Sequence[float]) -> Brought | None:
    """What makes a pitch diameter of the measure over wires; None where there were no wires."""
    wire = wire_used(feature, body)
    if wire is None:
        return None
    pitch, measure = thread(feature.thread).pitch, math.fsum(values) / len(values)
    diameter = pitch_diameter_over_wires(measure, wire.value, pitch)
    parts = wire_components(feature, wire)
    return Brought(
        "pitch diameter over wires", f"over wires of {wire.text} brought to the pitch diameter",
        diameter - measure, parts, _working(measure, wire.value, pitch, diameter),
        tuple(_notes(body, wire)), tuple(part.name for part in parts),
    )  # fmt: skip


def _notes(body: Reading, wire: Measure) -> list[str]:
    notes = []
    if not body.wire:
        notes.append(f"The wire wasn't typed: the sheet's {wire.text} is taken.")
    step = last_digit(wire.text, "length", wire.unit)
    if from_resolution(step) > rectangular(WIRE_SET):
        notes.append(
            f"A wire of {wire.text} is known to its last digit only, and that counts three times: "
            "type it as it is marked, to the micrometre."
        )
    return notes


def _working(measure: float, wire: float, pitch: float, diameter: float) -> Working:
    return Working(
        "pitch diameter from the measure over three wires",
        "d2 = M − 3 w + 0.866025 P",
        (
            Term("measure over the wires", measure, "m", "M"),
            Term("wires' diameter", wire, "m", "w"),
            Term("pitch", pitch, "m", "P"),
        ),
        (Term("pitch diameter", diameter, "m", "d2"),),
        "docs/theory/form.md, circles, wires, chords",
        (Term("best wire", best_wire(pitch), "m"),),
        ("The lead angle is neglected: below about 5°.",),
    )
