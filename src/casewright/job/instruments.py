"""Instruments as the job knows them: register, practice values, repeatability learned here.

A certificate's ± is taken as it is printed, for k = 2. Scatter learned from this job's repeats is
pooled with the practice value, which counts as `PRACTICE_FREEDOM` repeats; a reading's own repeats
are left out of what was learned for it, so that they don't count twice.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from casewright.drive.schema import Feature
from casewright.errors import CasewrightError, InputError
from casewright.job.kinds import InstrumentKnown
from casewright.job.limits import dimension_of, values_of
from casewright.job.once import once
from casewright.job.state import KeptReading, State
from casewright.reasoning.readings import Instrument
from casewright.tables.bench_instruments import practice_instrument, range_in_name
from casewright.units import DIMENSIONS, parse

PRACTICE_FREEDOM = 5.0
CERTIFICATE_FACTOR = 2.0
_DEGREES = re.compile(r"^\s*(-?\d+(?:\.\d+)?)\s*(?:°|deg)\s*$")
_POINT = re.compile(r"^\s*(-?\d+(?:\.\d+)?)\s*,\s*(-?\d+(?:\.\d+)?)\s*(?:mm)?\s*$")
_DIGITS = re.compile(r"[.,](\d+)")
# A repeat this many usual scatters off all others is a slip.
SLIP = 6.0


@dataclass(frozen=True, slots=True)
class BenchInstrument:
    """An instrument for one kind of quantity, with where its figures come from, in words.

    `learned` is how many repeats of this job stand behind its scatter; `due` as registered.
    """

    instrument: Instrument
    registered: bool
    dimension: str
    due: str = ""
    span: tuple[float, float] | None = None
    learned: int = 0
    notes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """As the shop calls it."""
        return self.instrument.name


@dataclass(frozen=True, slots=True)
class _Repeats:
    """Sum of squares of one reading's repeats about the means of their places."""

    reading: str
    instrument: str
    squares: float
    freedom: int


def places_of(feature: Feature) -> int:
    """Places at which a feature is to be read."""
    return feature.directions * heights_of(feature)


def heights_of(feature: Feature) -> int:
    """Rounds of readings that a feature is to have: heights of a bore, places along a shaft."""
    return len(feature.along) or feature.heights


def place_names(feature: Feature) -> tuple[str, ...]:
    """What each place of a feature is called, in the order of its values; none for one place."""
    if places_of(feature) == 1:
        return ()
    if feature.kind == "tooth":
        return tuple(f"tooth {k}" for k in range(1, feature.directions + 1))
    full = 360 if feature.kind == "run-out" else 180
    turns = [f"{full * k / feature.directions:g}°" for k in range(feature.directions)]
    if feature.along:
        return tuple(f"{place.text}, {turn}" for place in feature.along for turn in turns)
    if feature.heights == 1:
        return tuple(turns)
    return tuple(f"height {h}, {turn}" for h in range(1, feature.heights + 1) for turn in turns)


def has_marks(feature: Feature) -> bool:
    """Whether its places are marks round one turn, which a dial is read at."""
    return feature.kind == "run-out" and not feature.along and places_of(feature) > 1


def angle_of(text: str) -> float | None:
    """A mark round the turn typed like 45° [degrees]; None for another kind of place."""
    match = _DEGREES.match(text)
    return float(match[1]) if match else None


def point_of(text: str) -> tuple[float, float] | None:
    """A place on a face typed like 120,40 in millimetres [m]; None for another kind of place."""
    match = _POINT.match(text)
    return (float(match[1]) * 1e-3, float(match[2]) * 1e-3) if match else None


def by_place(values: tuple[float, ...], places: int) -> tuple[tuple[float, ...], ...]:
    """Values grouped by place: whole rounds one after the other; one place takes all."""
    if places > 1 and len(values) % places == 0:
        return tuple(values[place::places] for place in range(places))
    return (values,) if places == 1 else tuple((value,) for value in values)


def named_instrument(state: State, reading: KeptReading) -> str:
    """The instrument of a reading: as said, else the one that the sheet asks for."""
    feature = state.lookup.features.get(reading.body.target)
    return reading.body.instrument or (feature.instrument if feature else "")


def bench_instrument(
    state: State, name: str, dimension: str, *, day: str = "", leave_out: str = "", step: float = 0
) -> BenchInstrument:
    """What is known of an instrument on a day; `leave_out` is a reading that must not teach.

    `step` is the last digit typed, which is taken as the display's step where nothing else is.
    """
    kept = state.instruments.get(name)
    given = _registered(kept.body, dimension) if kept else None
    usual = practice_instrument(name)
    is_length = dimension == "length"
    resolution, expanded, notes = _figures(given, usual.resolution, usual.expanded, is_length, step)
    scatter, freedom, count = _scatter(
        state, name, usual.repeatability if is_length else 0.0, leave_out
    )
    overdue = bool(kept and kept.body.due and day and day > kept.body.due)
    kinds = _kinds(kept.body) if kept else ()
    return BenchInstrument(
        Instrument(
            name or "instrument not named", resolution, expanded / CERTIFICATE_FACTOR,
            scatter if freedom else None, freedom or math.inf,
            wear=(_quantity(kept.body.wear, dimension) if kept else None) or 0.0, overdue=overdue,
            kinds=kinds or usual.kinds, minutes=usual.minutes,
        ),
        kept is not None, dimension, kept.body.due if kept else "", range_in_name(name), count,
        notes,
    )  # fmt: skip


def registered_instruments(state: State, dimension: str) -> tuple[BenchInstrument, ...]:
    """The register's instruments for a kind of quantity; whether one is due is told by its date."""
    return tuple(one for one in once(state, _register) if one.dimension == dimension)


def _register(state: State) -> tuple[BenchInstrument, ...]:
    return tuple(
        bench_instrument(state, name, kept.body.measures)
        for name, kept in state.instruments.items()
        if kept.body.measures in DIMENSIONS
    )


def learned_scatter(state: State, name: str, leave_out: str = "") -> tuple[float, int]:
    """Pooled standard deviation of this job's repeats with an instrument, and its freedom."""
    parts = [r for r in once(state, _repeats) if r.instrument == name and r.reading != leave_out]
    freedom = sum(part.freedom for part in parts)
    squares = math.fsum(part.squares for part in parts)
    return (math.sqrt(squares / freedom) if freedom else 0.0), freedom


def _registered(body: InstrumentKnown, dimension: str) -> tuple[float | None, float | None]:
    """Resolution and certificate's ± of the register [SI]; None where not given or not readable."""
    return _quantity(body.resolution, dimension), _quantity(body.uncertainty, dimension)


def _quantity(text: str, dimension: str) -> float | None:
    try:
        return parse(text.lstrip("±+- "), dimension).value if text else None
    except InputError:
        return None


def _figures(
    given: tuple[float | None, float | None] | None,
    usual_step: float,
    usual_expanded: float,
    is_length: bool,
    step: float,
) -> tuple[float, float, tuple[str, ...]]:
    """Display step and ±, and what had to be taken from practice."""
    resolution, expanded = given or (None, None)
    notes = []
    if given is None:
        notes.append("Not in the register: usual practice values stand in for its figures.")
    elif resolution is None or expanded is None:
        missing = "its step" if resolution is None else "its calibration"
        notes.append(f"The register doesn't say {missing}: a practice value stands in.")
    if not is_length and expanded is None:
        notes.append("Its calibration isn't known: nothing is counted for it.")
    usual = (usual_step, usual_expanded) if is_length else (step, 0.0)
    return (
        resolution if resolution is not None else usual[0],
        expanded if expanded is not None else usual[1],
        tuple(notes),
    )


def _scatter(state: State, name: str, usual: float, leave_out: str) -> tuple[float, float, int]:
    """Scatter of one reading, its freedom, and how much of that was learned in this job."""
    learned, freedom = learned_scatter(state, name, leave_out)
    weight = PRACTICE_FREEDOM if usual > 0 else 0.0
    total = freedom + weight
    if not total:
        return 0.0, 0.0, 0
    return math.sqrt((freedom * learned**2 + weight * usual**2) / total), total, freedom


def _kinds(body: InstrumentKnown) -> tuple[str, ...]:
    return tuple(part.strip() for part in re.split(r"[,;]", body.suits) if part.strip())


def _repeats(state: State) -> tuple[_Repeats, ...]:
    return tuple(_found_repeats(state))


def _found_repeats(state: State) -> Iterator[_Repeats]:
    """Readings that hold repeats at one place, told by the sheet's number of places.

    A single value far from all others is a slip, not the instrument's scatter: it teaches nothing.
    """
    for reading in state.readings:
        feature = state.lookup.features.get(reading.body.target)
        if feature is None or len(reading.body.values) < 2:
            continue
        name = named_instrument(state, reading)
        groups = tuple(_without_slip(name, group) for group in _groups(state, reading, feature))
        freedom = sum(len(group) - 1 for group in groups)
        if freedom:
            yield _Repeats(reading.id, name, _squares(groups), freedom)


def _groups(state: State, reading: KeptReading, feature: Feature) -> tuple[tuple[float, ...], ...]:
    if dimension_of(state, feature.key) is None or feature.kind in ("run-out", "flatness"):
        return ()
    try:
        return by_place(values_of(state, reading), places_of(feature))
    except InputError:
        return ()


def _without_slip(name: str, group: tuple[float, ...]) -> tuple[float, ...]:
    """The repeats without the one that lies far off the rest, where there is exactly one."""
    usual = practice_instrument(name)
    far = SLIP * usual.repeatability + usual.resolution
    rests = [(k, group[:k] + group[k + 1 :]) for k in range(len(group))] if len(group) > 2 else []
    slips = [
        k
        for k, rest in rests
        if max(rest) - min(rest) <= far < abs(group[k] - math.fsum(rest) / len(rest))
    ]
    return group[: slips[0]] + group[slips[0] + 1 :] if len(slips) == 1 else group


def _squares(groups: tuple[tuple[float, ...], ...]) -> float:
    means = [math.fsum(group) / len(group) for group in groups]
    return math.fsum(
        (value - mean) ** 2 for group, mean in zip(groups, means, strict=True) for value in group
    )


def last_digit(text: str, dimension: str, unit: str) -> float:
    """What one of the last digit typed is [SI]; 0 where it can't be told."""
    own = text.strip("0123456789.,-+ ") or unit
    places = len(match[1]) if (match := _DIGITS.search(text)) else 0
    try:
        one, none = (parse(bare, dimension, own).value for bare in ("1", "0"))
    except CasewrightError:
        return 0.0
    return float((one - none) * 10.0**-places)


def at_other_step(one: BenchInstrument, step: float) -> BenchInstrument:
    """The same, read no finer than the last digit that was typed."""
    if step <= one.instrument.resolution:
        return one
    return replace(one, instrument=replace(one.instrument, resolution=step))
