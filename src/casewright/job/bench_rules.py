"""What may be typed at the bench: what a dial shows, places round a turn, warmth, instruments."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from casewright.errors import InputError
from casewright.job.instruments import angle_of, point_of
from casewright.job.kinds import InstrumentKnown, Reading
from casewright.job.limits import limits_of
from casewright.job.state import State
from casewright.units import DIMENSIONS, Quantity, Question, parse, write

# A bare temperature above this is more often one in °F; no part on a bench is hotter than `HOT`
# or colder than `COLD`. Common practice, no source. [K]
LUKEWARM, HOT, COLD = 45 + 273.15, 120 + 273.15, -40 + 273.15

# Sizes that a thimble or a dial that counts turns gives; asked about when they lie more than this
# many times the room between their limits outside. Own choice.
THIMBLE, FAR_OUT = ("diameter", "bore", "thickness", "length"), 10.0


def swings(state: State, body: Reading) -> bool:
    """Whether each value is where a dial stood, on both sides of its zero, and not a size.

    Round a turn, or as heights of named points; one value alone is all that the dial moved.
    """
    feature = state.lookup.features.get(body.target)
    if feature is None or len(body.values) < 2:
        return False
    heights = feature.kind == "flatness" and len(body.at) > 0 and all(map(point_of, body.at))
    return feature.kind == "run-out" or heights


def differs(state: State, body: Reading) -> bool:
    """Whether what counts is how far the values lie apart, and none of them alone."""
    feature = state.lookup.features.get(body.target)
    oval = feature is not None and feature.kind == "ovality" and len(body.values) > 1
    return oval or swings(state, body)


def all_moved(body: Reading, dimension: str) -> Quantity:
    """How far the values lie apart: that is held against a limit, never where a dial stood."""
    typed = [parse(text, dimension, body.unit) for text in body.values]
    span = max(one.value for one in typed) - min(one.value for one in typed)
    shown = span / parse("1", dimension, typed[0].unit).value
    return Quantity(f"{shown:.6g}", span, typed[0].unit, dimension, typed[0].bare)


def far_out(state: State, body: Reading) -> Iterator[Question]:
    """A size so far outside two near limits that a turn of the thimble is likelier than wear."""
    feature, limits = state.lookup.features.get(body.target), limits_of(state, body.target)
    if feature is None or limits is None or feature.kind not in THIMBLE:
        return
    if limits.low is None or limits.high is None:
        return
    for text in body.values:
        value = parse(text, limits.dimension, body.unit).value
        out = max(limits.low - value, value - limits.high)
        if out > FAR_OUT * (limits.high - limits.low):
            unit = limits.unit or "mm"
            because = (
                f"{feature.name}: {text} lies {write(out, limits.dimension, unit)} outside "
                f"{limits.printed}. A turn of the thimble misread, a digit, another place? If it "
                "is right, say so; else type it again."
            )
            yield Question("values", text, because)
            return


def angles_readable(state: State, body: Reading) -> Iterator[InputError]:
    """Marks round a turn have to be angles; else even steps would be taken in silence."""
    feature = state.lookup.features.get(body.target)
    if feature is None or feature.kind != "run-out" or feature.along:
        return
    for text in body.at:
        if angle_of(text) is None:
            yield InputError("at", text, "the angle of the mark", "Type it like 45°.")
    turned = [found % 360 for text in body.at if (found := angle_of(text)) is not None]
    if len(turned) > 2 and len(set(turned)) < 3:
        yield InputError("at", ", ".join(body.at), "three or more marks round the turn")


def warmth_asked(body: Reading) -> Iterator[Question]:
    """A temperature that is likelier in another unit, or that no part on a bench has."""
    for name, what in (("temperature", "part"), ("gauge_temperature", "gauge")):
        if text := getattr(body, name):
            yield from _warmth(parse(text, "temperature", "°C", name), name, what)


def _warmth(typed: Quantity, name: str, what: str) -> Iterator[Question]:
    odd = not COLD < typed.value < HOT
    if not odd and not (typed.bare and typed.value > LUKEWARM):
        return
    asked = f" Is it {typed.text} °F? Type it with its unit." if typed.bare else ""
    because = f"The {what}'s temperature: {typed.text} was read as {typed.unit}.{asked}"
    told = " If it is right, say so; else type it again." if not typed.bare else ""
    yield Question(name, typed.text, because + told)


def instrument_readable(_: State, body: InstrumentKnown) -> Iterator[InputError]:
    """Figures with their units and a date: what can't be read would count for nothing, unsaid."""
    if body.measures not in DIMENSIONS:
        yield InputError("measures", body.measures, f"one of {', '.join(DIMENSIONS)}")
        return
    for name in ("resolution", "uncertainty", "wear"):
        yield from _figure(name, getattr(body, name), body.measures)
    if body.due and not _is_day(body.due):
        yield InputError("due", body.due, "a date like 2030-05-17")


def _figure(name: str, text: str, dimension: str) -> Iterator[InputError]:
    if not text:
        return
    try:
        value = parse(text.lstrip("±+ "), dimension, field=name).value
    except InputError as error:
        yield error
        return
    if value < 0:
        yield InputError(name, text, "a figure that isn't negative", "Check the sign.")


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
