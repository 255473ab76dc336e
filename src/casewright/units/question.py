"""Ask before a number is swallowed that is far from what its window leads one to expect."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.units.catalogue import DIMENSIONS, unit_named
from casewright.units.parse import Quantity, parse
from casewright.units.write import write

LENGTHS = ("in", "mm")
# A value within this factor of the plausible range still counts as plausible: windows are narrow.
SLACK = 2.0
FAR = 10.0


@dataclass(frozen=True, slots=True)
class Question:
    """What is odd about a value, in a sentence, and the spellings that would settle it."""

    field: str
    given: str
    because: str
    suggestions: tuple[str, ...] = ()


def question(
    reading: Quantity, low: float | None, high: float | None, field: str = "value"
) -> Question | None:
    """None where the value is plausible against its window [SI]; else what to ask.

    >>> reading = Quantity("0.012", 0.012e-3, "mm", "length", bare=True)
    >>> question(reading, 0.25e-3, 0.40e-3, "ahead lash").suggestions
    ('0.012 in', '0.012 mm')
    """
    bounds = [abs(bound) for bound in (low, high) if bound is not None and bound != 0]
    if not bounds or reading.value == 0 or reading.dimension == "temperature":
        return None
    if reading.value < 0 and low is not None and low >= 0:
        return _below_zero(reading, field, low, high)
    least, most = min(bounds), max(bounds)
    size = abs(reading.value)
    if reading.bare and (other := _meant(reading, least, most, low)):
        return _slip(reading, other, field, low, high)
    too_small = low not in (None, 0) and size < least / FAR
    if size > most * FAR or too_small:
        return _far(reading, field, low, high)
    return None


def _meant(reading: Quantity, least: float, most: float, low: float | None) -> str:
    """The unit in which a bare number would be plausible where it isn't as read; "" for none.

    A small length against an upper limit alone is asked too: 0.002 is more often typed in inches.
    """
    size = abs(reading.value)
    likely = size <= most * SLACK and (low in (None, 0) or size >= least / SLACK)
    others = LENGTHS if reading.dimension == "length" else DIMENSIONS[reading.dimension].signs
    if likely and reading.dimension != "length":
        return ""
    for other in others:
        meant = parse(reading.text, reading.dimension, other).value
        if other != reading.unit and least / SLACK <= abs(meant) <= most * SLACK:
            return other
    return ""


def _below_zero(reading: Quantity, field: str, low: float | None, high: float | None) -> Question:
    because = (
        f"{field}: {reading.text} is below zero, and its window is "
        f"{_window(reading, low, high)}. If the sign is right, say so; else type it again."
    )
    return Question(field, reading.text, because)


def _window(reading: Quantity, low: float | None, high: float | None) -> str:
    unit = unit_named(reading.dimension, reading.unit)
    ends = [write(b, reading.dimension, unit.sign) for b in (low, high) if b is not None]
    return (
        " to ".join(ends)
        if len(ends) == 2
        else ("at least " if high is None else "at most ") + ends[0]
    )


def _slip(
    reading: Quantity, other: str, field: str, low: float | None, high: float | None
) -> Question:
    because = (
        f"{field}: {reading.text} was read as {reading.unit}, far off "
        f"{_window(reading, low, high)}. Is it {reading.text} {other}? Type it with its unit."
    )
    return Question(
        field, reading.text, because, (f"{reading.text} {other}", f"{reading.text} {reading.unit}")
    )


def _far(reading: Quantity, field: str, low: float | None, high: float | None) -> Question:
    because = (
        f"{field}: {reading.text} is more than ten times off {_window(reading, low, high)}. "
        "If it is right, say so; else type it again."
    )
    return Question(field, reading.text, because)
