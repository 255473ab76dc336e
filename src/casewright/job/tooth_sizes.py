"""A chord read with a gear-tooth calliper, brought to the height for which its limit is printed.

The calliper hangs on the tip. If it stood deeper than printed, or on a tip that is worn low, its
blades met a thicker place of the tooth: what the flank gains on the way is taken off again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from casewright.drive.gauged import DEEPEST, too_deep
from casewright.drive.lookup import Lookup
from casewright.drive.schema import Feature
from casewright.errors import CasewrightError, InputError
from casewright.job.instruments import last_digit
from casewright.job.kinds import Reading
from casewright.job.tooth_shape import USUAL_ANGLE, virtual_gear
from casewright.job.typed import Brought
from casewright.mechanics.gauging import chord_at_pitch_line, flank_slope
from casewright.reasoning.readings import Instrument
from casewright.reasoning.uncertainty import (
    Component,
    Propagated,
    from_resolution,
    propagate,
    rectangular,
)
from casewright.units import parse, write
from casewright.working import Term, Working

# Half-widths: of the pressure angle where none is printed (14.5° to 25°), and where one is, since
# the printed height may lie a little off the pitch line. The second is our choice.
ANY_ANGLE, PRINTED_ANGLE = math.radians(10.5) / 2, math.radians(1)
# One over the number of teeth where no mesh tells: twenty, from ten to a rack.
ANY_SHARE, ANY_SHARE_DOUBT = 1 / 20, 1 / 20
# A spiral that isn't printed makes the virtual number larger, by up to twice: share of 1/z.
UNPRINTED_SPIRAL = 0.25
# A flank runs about a module, so much of its chord, to either side of the printed height.
REACH = 2 / math.pi
# Doubts of the flank's shape, the same at every reading of a gear.
SHAPE = ("pressure angle", "number of teeth")
# What moves a chord by less than this is nothing [m].
NOTHING = 1e-10


@dataclass(frozen=True, slots=True)
class HeightMove:
    """Where the calliper stood, where the limit holds, how low the tip is [m]; None if unsaid."""

    stood: float | None
    printed: float | None
    low: float

    @property
    def deeper(self) -> float:
        """How much deeper than the limit's height the blades met the tooth [m]."""
        if self.stood is None or self.printed is None:
            return self.low
        return self.stood - self.printed + self.low

    @property
    def blade(self) -> float | None:
        """The blades' depth below a new tip [m]."""
        height = self.printed if self.stood is None else self.stood
        return None if height is None else height + self.low


@dataclass(frozen=True, slots=True)
class Flank:
    """A flank's shape: pressure angle [rad], one over the teeth [-], each with its half-width.

    `module` [m] is None where it has to follow from the chord; `taken` is what nobody printed.
    """

    angle: float
    angle_doubt: float
    share: float
    share_doubt: float
    module: float | None
    taken: tuple[str, ...]

    def radius(self, chord: float, share: float) -> float:
        """Pitch radius for a share of teeth; a tooth is half a pitch thick where nothing tells."""
        module = self.module or 2 * chord / math.pi
        return module / (2 * share) if share > 0 else math.inf


def length_of(body: Reading, name: str) -> float | None:
    """A length of the reading's own fields [m]; a bare number is in the reading's unit."""
    text = getattr(body, name)
    return parse(text, "length", body.unit or "mm", name).value if text else None


def said_of(body: Reading, name: str) -> str:
    """A length of the reading's own fields as typed, with the unit that it was read in."""
    text = getattr(body, name)
    bare = text and parse(text, "length", body.unit or "mm", name).bare
    return f"{text} {body.unit or 'mm'}" if bare else text


def height_move(feature: Feature, body: Reading, chord: float) -> HeightMove:
    """Heights as typed and printed; InputError for what can't be a height on this tooth."""
    stood, low = length_of(body, "at_height"), length_of(body, "tip_low") or 0.0
    if stood is not None and not stood > 0:
        raise InputError(
            "at_height", body.at_height, "a height below the tip, more than nothing",
            "Leave it empty if the calliper stood at the printed height.",
        )  # fmt: skip
    if low < 0:
        raise InputError(
            "tip_low", body.tip_low, "how much lower than new the tip is, not negative",
            "A tip that stands higher has a burr: take it off and read again.",
        )  # fmt: skip
    move = HeightMove(stood, feature.at_height.value if feature.at_height else None, low)
    if move.blade is not None and too_deep(move.blade, chord):
        name = "tip_low" if stood is None or not too_deep(stood, chord) else "at_height"
        most = write(DEEPEST * chord, "length", body.unit or "mm")
        raise InputError(
            name, getattr(body, name), f"a height on the tooth, which is less than {most} deep",
            "Check the unit, and that height and chord weren't exchanged.",
        )  # fmt: skip
    if abs(move.deeper) > REACH * chord:
        raise _off_the_flank(feature, body)
    return move


def flank_of(lookup: Lookup, position: str) -> Flank:
    """What the sheet tells of a gear's flank, and what has to be taken instead."""
    gear = virtual_gear(lookup, position)
    taken = []
    angle, angle_doubt = (gear.pressure_angle if gear else None), PRINTED_ANGLE
    if angle is None:
        angle, angle_doubt = USUAL_ANGLE, ANY_ANGLE
        taken.append("a pressure angle of 20°, 14.5° to 25°")
    if gear is None:
        taken.append("20 teeth, 10 or more, since no mesh of the sheet holds this gear")
        return Flank(angle, angle_doubt, ANY_SHARE, ANY_SHARE_DOUBT, None, tuple(taken))
    doubt = 0.0
    if gear.spiral_angle is None:
        doubt = UNPRINTED_SPIRAL / gear.teeth
        taken.append("straight teeth")
    return Flank(angle, angle_doubt, 1 / gear.teeth, doubt, gear.module, tuple(taken))


def chord_moved(flank: Flank, chord: float, deeper: float) -> float:
    """The chord where the limit holds [m]; exactly as read where it was read there."""
    if abs(deeper) < NOTHING:
        return chord
    return chord_at_pitch_line(chord, deeper, flank.radius(chord, flank.share), flank.angle)


@lru_cache(maxsize=512)
def _sensitive(flank: Flank, chord: float, deeper: float, doubt: float) -> Propagated:
    """How the chord follows depth, pressure angle and number of teeth."""
    doubts = (doubt, rectangular(flank.angle_doubt), rectangular(flank.share_doubt))
    return propagate(
        lambda x: chord_at_pitch_line(chord, x[0], flank.radius(chord, x[2]), x[1]),
        (deeper, flank.angle, flank.share),
        doubts,
    )


def height_doubt(instrument: Instrument) -> float:
    """Standard uncertainty of a height that was set on the calliper's own slide [m]."""
    return math.hypot(from_resolution(instrument.resolution), instrument.calibration_uncertainty)


def brought_chord(
    lookup: Lookup, feature: Feature, body: Reading, values: Sequence[float], instrument: Instrument
) -> Brought:
    """What brings the chord of a reading to its printed height, with what that makes uncertain."""
    chord = math.fsum(values) / len(values)
    move, flank = height_move(feature, body, chord), flank_of(lookup, feature.position)
    low = _low_doubt(body, instrument)
    depth = math.hypot(height_doubt(instrument), low)
    try:
        at_height = chord_moved(flank, chord, move.deeper)
        by_depth, by_angle, by_share = _sensitive(flank, chord, move.deeper, depth).sensitivities[0]
    except CasewrightError as error:
        raise _off_the_flank(feature, body) from error
    parts = (
        Component("height of the calliper", height_doubt(instrument), sensitivity=by_depth),
        Component("how low the tip is", low, sensitivity=by_depth),
        Component(SHAPE[0], rectangular(flank.angle_doubt), sensitivity=by_angle),
        Component(SHAPE[1], rectangular(flank.share_doubt), sensitivity=by_share),
    )
    return Brought(
        _what(move), _how(feature, body), at_height - chord,
        tuple(part for part in parts if part.contribution > NOTHING),
        _working(move, flank, chord, at_height), tuple(_notes(feature, body, move, flank)), SHAPE,
    )  # fmt: skip


def _low_doubt(body: Reading, instrument: Instrument) -> float:
    """The tip was compared no finer than it was typed, nor than the calliper reads."""
    if not body.tip_low:
        return 0.0
    step = last_digit(body.tip_low, "length", body.unit or "mm")
    return from_resolution(max(step, instrument.resolution))


def _off_the_flank(feature: Feature, body: Reading) -> InputError:
    name = "at_height" if body.at_height or not body.tip_low else "tip_low"
    where = f" of {feature.at_height}" if feature.at_height else ""
    return InputError(
        name, getattr(body, name), "a height at which the blades lie on the flank",
        f"{_slip(feature, body)}Set the calliper to the printed height{where}, on a tip that isn't "
        "worn, and read again.",
    )  # fmt: skip


def _slip(feature: Feature, body: Reading) -> str:
    """Whether inches typed as millimetres would explain a height."""
    stood = length_of(body, "at_height")
    if stood is None or feature.at_height is None:
        return ""
    return "Is it in inches? " if 0.8 < feature.at_height.value / (25.4 * stood) < 1.25 else ""


def _what(move: HeightMove) -> str:
    if move.printed is not None:
        return "at the printed height"
    return "at the height that was set" if move.stood is not None else ""


def _how(feature: Feature, body: Reading) -> str:
    """From where to where the chord was brought, in words."""
    low = f"a tip {said_of(body, 'tip_low')} low" if body.tip_low else ""
    if body.at_height and feature.at_height is not None:
        stood = f"from {said_of(body, 'at_height')}" + (f" on {low}" if low else "")
        return f"brought {stood} to the printed height of {feature.at_height}"
    where = f"the printed height of {feature.at_height}" if feature.at_height else "a new tip"
    return f"brought from {low or 'where it was read'} to {where}"


def _notes(feature: Feature, body: Reading, move: HeightMove, flank: Flank) -> list[str]:
    notes = []
    if move.stood is None and feature.at_height is not None:
        notes.append(
            "Where the calliper stood wasn't typed: the printed height of "
            f"{feature.at_height} is taken."
        )
    elif move.stood is None:
        notes.append("Neither the sheet nor this reading says at which height the chord holds.")
    elif feature.at_height is None:
        notes.append(
            "The sheet prints no height: the limit is held against the chord at "
            f"{said_of(body, 'at_height')}."
        )
    if flank.taken and abs(move.deeper) >= NOTHING:
        notes.append(f"Taken for the flank: {'; '.join(flank.taken)}. Its doubt is counted.")
    return notes


def _working(move: HeightMove, flank: Flank, chord: float, at_height: float) -> Working:
    half = math.asin(min(at_height / 2 / flank.radius(chord, flank.share), 1.0))
    heights = (
        ("calliper's height", move.stood),
        ("printed height", move.printed),
        ("tip lower than new", move.low),
    )
    return Working(
        "chord brought to its printed height along the flank",
        "involute through the blade's point: q = θ + inv α_R − inv α, t = 2 r sin q; "
        "near the pitch line dt/dh = 2 tan(α − q)",
        (
            Term("chord as read", chord, "m"),
            *(Term(name, value, "m") for name, value in heights if value is not None),
            Term("pressure angle", flank.angle, "rad", "α"),
            Term("virtual number of teeth", 1 / flank.share, "", "z_v"),
        ),
        (
            Term("chord at its height", at_height, "m", "t"),
            Term("taken off", chord - at_height, "m"),
        ),
        "docs/theory/form.md, circles, wires, chords",
        (
            Term("blades deeper than its height", move.deeper, "m"),
            Term("chord grows, for one deeper", flank_slope(flank.angle, half), "", "dt/dh"),
        ),
        (
            *(f"Taken: {words}." for words in flank.taken),
            *(() if move.low else ("Nothing was said of the tip: as high as new is taken.",)),
        ),
        estimate=bool(flank.taken) and abs(move.deeper) >= NOTHING,
    )
