"""Readings that have to be brought to the size that their limits mean: chords, wires.

One door for both: what is done to a reading, what that adds to an instrument's doubt before there
is one, and what is refused or asked about when it is typed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from casewright.drive.schema import Feature
from casewright.errors import CasewrightError, InputError
from casewright.job.kinds import Reading
from casewright.job.limits import Limits, limits_of
from casewright.job.state import State
from casewright.job.tooth_sizes import (
    brought_chord,
    flank_of,
    height_doubt,
    length_of,
    said_of,
)
from casewright.job.typed import Brought
from casewright.job.wire_sizes import brought_from_wires, wire_components
from casewright.mechanics.gauging import flank_slope, pitch_diameter_over_wires
from casewright.reasoning.readings import Instrument
from casewright.tables.threads import thread
from casewright.units import Question, parse, question

# What belongs to which kind of feature.
FIELDS = {"at_height": "tooth", "tip_low": "tooth", "wire": "thread"}
KIND_WORDS = {"tooth": "a tooth's chord", "thread": "a thread"}
# A chord's height lies between these shares of the chord, from short addenda to long ones.
HEIGHT_SHARES = (0.3, 1.0)
# A tip worn by more than this share of the chord is asked about: our choice.
WORN_MOST = 0.25
NO_INSTRUMENT = Instrument("", 0.0)


def brought(
    state: State, feature: Feature, body: Reading, values: Sequence[float], instrument: Instrument
) -> Brought | None:
    """How a reading becomes the size that is judged; None where it is that already."""
    if feature.kind == "tooth":
        return brought_chord(state.lookup, feature, body, values, instrument)
    return brought_from_wires(feature, body, values) if feature.kind == "thread" else None


def with_setting(state: State, feature: Feature, instrument: Instrument) -> Instrument:
    """The instrument with what height or wires will add to its doubt on this feature."""
    try:
        added = _setting_doubt(state, feature, instrument)
    except CasewrightError:  # a thread that can't be read: said where it is read
        return instrument
    known = math.hypot(instrument.calibration_uncertainty, added)
    return replace(instrument, calibration_uncertainty=known) if added else instrument


def _setting_doubt(state: State, feature: Feature, instrument: Instrument) -> float:
    if feature.kind == "tooth":
        flank = flank_of(state.lookup, feature.position)
        slope = flank_slope(flank.angle, math.pi / 2 * flank.share)
        return abs(slope) * height_doubt(instrument)
    if feature.kind == "thread" and feature.wire is not None:
        parts = wire_components(feature, feature.wire)
        return math.sqrt(math.fsum(part.contribution**2 for part in parts))
    return 0.0


def size_in_hand(feature: Feature, size: float) -> float:
    """What an instrument has to span for a size: the wires come on top of a pitch diameter [m]."""
    if feature.kind != "thread" or feature.wire is None:
        return size
    try:
        pitch = thread(feature.thread).pitch
        return size - pitch_diameter_over_wires(0.0, feature.wire.value, pitch)
    except CasewrightError:
        return size


def mistakes(state: State, body: Reading) -> Iterator[InputError]:
    """What can't be of height, tip and wire: each at its field, then what they make together."""
    feature = state.lookup.features.get(body.target)
    found = [error for name in FIELDS if (error := _wrong_field(feature, body, name))]
    yield from found
    if found or feature is None or feature.kind not in KIND_WORDS:
        return
    try:
        values = [parse(text, "length", body.unit).value for text in body.values]
        if min(values) > 0:
            brought(state, feature, body, values, NO_INSTRUMENT)
    except InputError as error:
        # Readings that can't be read are said at their own field.
        if error.field in FIELDS:
            yield error


def _wrong_field(feature: Feature | None, body: Reading, name: str) -> InputError | None:
    text, kind = getattr(body, name), FIELDS[name]
    if not text:
        return None
    if feature is None or feature.kind != kind:
        return InputError(
            name, text, f"nothing: this is not {KIND_WORDS[kind]}", "Leave the field empty."
        )
    try:
        value = length_of(body, name) or 0.0
    except InputError as error:
        return error
    if value < 0:
        return InputError(name, text, "a length that isn't negative", "Check the sign.")
    return None


def questions(state: State, body: Reading) -> Iterator[Question]:
    """Slips of unit, and a pitch diameter typed where the measure over wires is asked for."""
    feature, limits = state.lookup.features.get(body.target), limits_of(state, body.target)
    if feature is None or limits is None:
        return
    try:
        values = [parse(text, "length", body.unit or "mm").value for text in body.values]
    except CasewrightError:
        return
    if feature.kind == "tooth":
        yield from _height_question(feature, body, max(values))
    elif feature.kind == "thread":
        yield from _wire_question(state, feature, limits, body, values)


def _height_question(feature: Feature, body: Reading, chord: float) -> Iterator[Question]:
    """Heights that another unit would explain, and a tip that is hardly there any more."""
    if (length_of(body, "tip_low") or 0.0) > WORN_MOST * chord:
        because = (
            f"{feature.name}: a tip that is {said_of(body, 'tip_low')} low is a good part of the "
            "tooth. If it is right, say so; else type it with its unit."
        )
        yield Question("tip_low", body.tip_low, because)
    if not body.at_height:
        return
    printed = feature.at_height.value if feature.at_height else None
    low, high = (printed, printed) if printed else (share * chord for share in HEIGHT_SHARES)
    read = parse(body.at_height, "length", body.unit or "mm")
    if asked := question(read, low, high, "the calliper's height"):
        yield replace(asked, field="at_height")


def _wire_question(
    state: State, feature: Feature, limits: Limits, body: Reading, values: list[float]
) -> Iterator[Question]:
    """What lies inside the limits as typed, but not with the wires taken off."""
    found = brought(state, feature, body, values, NO_INSTRUMENT)
    if found is None or limits.low is None or limits.high is None:
        return
    for text, value in zip(body.values, values, strict=True):
        if limits.low <= value <= limits.high and value + found.change < limits.low:
            because = (
                f"{feature.name}: {text} lies inside the limits of the pitch diameter already, and "
                "the wires would be taken off it. Type the measure over the wires, or 0 as the "
                "wire if it was read without."
            )
            yield Question("values", text, because)
