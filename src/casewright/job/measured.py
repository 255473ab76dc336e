"""Every reading of every feature judged: size with its doubt, chance to be inside, the decision.

A reading belongs to the piece that it was taken on. Of several readings of one feature on one
piece the latest stands; an earlier one by a finer instrument that agrees with it stands instead.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from casewright.drive.schema import Feature
from casewright.errors import CasewrightError
from casewright.job.gauged import brought
from casewright.job.instruments import (
    BenchInstrument,
    angle_of,
    at_other_step,
    bench_instrument,
    heights_of,
    last_digit,
    named_instrument,
    point_of,
)
from casewright.job.limits import Limits, dimension_of, limits_of, values_of
from casewright.job.once import once
from casewright.job.sizes import sized
from casewright.job.state import KeptReading, State
from casewright.job.typed import Sized, Typed
from casewright.reasoning.conformity import Conformance, conformance
from casewright.reasoning.readings import REFERENCE_TEMPERATURE, Body
from casewright.reasoning.uncertainty import rectangular
from casewright.tables.materials import MATERIALS
from casewright.units import DIMENSIONS, parse

# Half-widths: how well a part's temperature is known when one was typed, and the gauge's when not.
PART_KELVIN, GAUGE_KELVIN = 1.0, 4.0
GAUGE_MATERIAL = "steel"
AGREE = 2.0
# Readings nearer together than this are repeats, not wear, unless hours say otherwise.
LEAST_DAYS, DAY = 14, 86400.0


@dataclass(frozen=True, slots=True)
class OneReading:
    """One reading of a feature judged; `problem` says why it can't be, where it can't."""

    reading: KeptReading
    instrument: BenchInstrument
    values: tuple[float, ...]
    sized: Sized | None
    conformance: Conformance | None
    problem: str = ""
    typed: Typed | None = None

    @property
    def uncertainty(self) -> float:
        """Standard uncertainty, infinite where there is none."""
        found = self.sized.budget if self.sized else None
        return found.standard_uncertainty if found else math.inf


@dataclass(frozen=True, slots=True)
class Measured:
    """A feature on one piece: the reading that stands, the others, and what they say together."""

    feature: Feature
    piece: str
    limits: Limits
    stands: OneReading
    others: tuple[OneReading, ...]
    notes: tuple[str, ...]


def measured(state: State) -> tuple[Measured, ...]:
    """Every feature that was read, per piece, in the order of the sheet."""
    return once(state, _measured)


def measured_on(state: State, feature: str, piece: str) -> Measured | None:
    """What is known of a feature on one piece."""
    return next(
        (one for one in measured(state) if one.feature.key == feature and one.piece == piece), None
    )


def _measured(state: State) -> tuple[Measured, ...]:
    grouped: dict[tuple[str, str], list[KeptReading]] = {}
    for reading in state.readings:
        if has_place(state, reading.body.target):
            grouped.setdefault((reading.body.target, reading.piece), []).append(reading)
    order = {feature.key: place for place, feature in enumerate(state.lookup.sheet.features)}
    # Readings of an earlier visit alone say nothing of the piece as it lies here.
    today = {key: rows for key, rows in grouped.items() if not _all_earlier(state, rows)}
    found = sorted(today.items(), key=lambda item: order[item[0][0]])
    return tuple(_feature(state, target, piece, rows) for (target, piece), rows in found)


def _all_earlier(state: State, rows: list[KeptReading]) -> bool:
    return all(is_earlier(state, row) for row in rows)


def earlier_of(state: State, target: str, piece: str) -> KeptReading | None:
    """The last reading of an earlier visit, for a feature that wasn't read on this one yet."""
    rows = state.readings_of(target, piece=piece)
    return rows[-1] if rows and _all_earlier(state, list(rows)) else None


def has_place(state: State, target: str) -> bool:
    """Whether a target is a feature at a position that the sheet has."""
    feature = state.lookup.features.get(target)
    return feature is not None and feature.position in state.lookup.positions


def _feature(state: State, target: str, piece: str, rows: list[KeptReading]) -> Measured:
    feature = state.lookup.features[target]
    limits = limits_of(state, target)
    assert limits is not None
    judged = [_one(state, feature, limits, row) for row in _in_order(state, rows)]
    stands = _standing(judged)
    others = tuple(one for one in judged if one is not stands)
    return Measured(feature, piece, limits, stands, others, tuple(_changes(judged)))


def _in_order(state: State, rows: list[KeptReading]) -> list[KeptReading]:
    """As service went on, whenever they were typed; an earlier visit's first."""
    services = {row.id: service_of(state, row) for row in rows}
    told = all(found is not None for found in services.values())

    def moment(row: KeptReading) -> tuple[bool, float, str, int]:
        service = services[row.id] if told else None
        return not is_earlier(state, row), service or 0.0, row.happened_at, row.sequence

    return sorted(rows, key=moment)


def is_earlier(state: State, reading: KeptReading) -> bool:
    """Whether a reading is of an earlier visit: dated well before this job, or at fewer hours."""
    if _before(state, reading):
        return True
    then, now = service_of(state, reading), service_now(state)
    return then is not None and now is not None and then < now


def _before(state: State, reading: KeptReading) -> bool:
    """Dated weeks before the job was opened; a few days are a job that was opened late."""
    if state.opened is None:
        return False
    opened, taken = (
        datetime.fromisoformat(text) for text in (state.opened.happened_at, reading.happened_at)
    )
    return (opened - taken).total_seconds() >= LEAST_DAYS * DAY


def service_of(state: State, reading: KeptReading) -> float | None:
    """Service at a reading [s]: as typed with it, else the owner's hours if it is of this visit."""
    if reading.body.hours:
        return _service(reading.body.hours)
    return None if _before(state, reading) else service_now(state)


def service_now(state: State) -> float | None:
    """The owner's hours at this visit [s]; None where nobody said them."""
    return _service(state.complaint.body.hours if state.complaint else "")


def _service(text: str) -> float | None:
    try:
        return parse(text, "time", "h").value if text else None
    except CasewrightError:
        return None


def _standing(judged: list[OneReading]) -> OneReading:
    """The latest; a finer one that agrees with it stands instead; a readable one before none."""
    readable = [one for one in judged if one.sized and one.sized.budget]
    if not readable:
        return judged[-1]
    latest = readable[-1]
    agreeing = [one for one in readable if same_visit(one, latest) and _agree(one, latest)]
    return min(reversed(agreeing), key=lambda one: one.uncertainty)


def same_visit(one: OneReading, other: OneReading) -> bool:
    """Whether no service lies between two readings: the same hours, and not weeks apart."""
    moments = [datetime.fromisoformat(each.reading.happened_at) for each in (one, other)]
    near = abs((moments[1] - moments[0]).total_seconds()) < LEAST_DAYS * DAY
    return near and one.reading.body.hours == other.reading.body.hours


def _agree(one: OneReading, other: OneReading) -> bool:
    spread = math.hypot(one.uncertainty, other.uncertainty)
    return abs(_value(one) - _value(other)) <= AGREE * spread


def _value(one: OneReading) -> float:
    return one.sized.budget.value if one.sized and one.sized.budget else math.nan


def _changes(judged: list[OneReading]) -> Iterator[str]:
    """Readings of one piece that differ by more than their instruments explain."""
    readable = [one for one in judged if one.sized and one.sized.budget]
    # Some service apart is wear, and said as such.
    readable = [one for one in readable if same_visit(one, readable[-1])]
    if len(readable) > 1 and not all(_agree(one, readable[-1]) for one in readable[:-1]):
        yield (
            "An earlier reading differs by more than the instruments explain: cleaned, worked on, "
            "or read at another place? The latest stands."
        )


def _one(state: State, feature: Feature, limits: Limits, row: KeptReading) -> OneReading:
    dimension = dimension_of(state, feature.key) or "length"
    instrument = bench_instrument(
        state, named_instrument(state, row), dimension, day=row.happened_at[:10], leave_out=row.id
    )
    try:
        values = values_of(state, row)
        instrument = at_other_step(instrument, _typed_step(row, dimension, instrument))
        typed = _typed(state, feature, limits, row, values, instrument)
        found = sized(typed)
        inside = _conformance(found, limits)
    except CasewrightError as error:
        return OneReading(row, instrument, (), None, None, str(error))
    return OneReading(row, instrument, values, found, inside, typed=typed)


def _conformance(found: Sized, limits: Limits) -> Conformance | None:
    if found.budget is None or not limits.known or found.budget.standard_uncertainty <= 0:
        return None
    return conformance(
        found.budget.value, found.budget.standard_uncertainty, limits.low, limits.high,
        freedom=found.budget.degrees_of_freedom,
    )  # fmt: skip


def _typed_step(row: KeptReading, dimension: str, instrument: BenchInstrument) -> float:
    """The last digit typed where the display's step isn't known: no finer than that was read."""
    if instrument.instrument.resolution > 0:
        return 0.0
    return min(last_digit(text, dimension, row.body.unit or "mm") for text in row.body.values)


def _typed(
    state: State,
    feature: Feature,
    limits: Limits,
    row: KeptReading,
    values: tuple[float, ...],
    instrument: BenchInstrument,
) -> Typed:
    notes = []
    if not row.body.instrument:
        notes.append("The instrument wasn't named: the sheet's is taken.")
    bodies, said = _bodies(state, feature, row)
    dimension = dimension_of(state, feature.key) or "length"
    how = brought(state, feature, row.body, values, instrument.instrument)
    counted = tuple(value + how.change for value in values) if how else values
    return Typed(
        feature.kind, counted, feature.directions, heights_of(feature), instrument.instrument,
        limits.low, limits.high, DIMENSIONS[dimension].si, _angles(row.body.at),
        _points(row.body.at), bodies, (*notes, *(how.notes if how else ()), *said),
        tuple(place.value for place in feature.along), _supports(feature),
        feature.held or "v-blocks", how,
    )  # fmt: skip


def _supports(feature: Feature) -> tuple[float, float] | None:
    if len(feature.supports) != 2:
        return None
    first, second = feature.supports
    return first.value, second.value


def _angles(at: Iterable[str]) -> tuple[float, ...] | None:
    found = [angle_of(text) for text in at]
    if not found or None in found:
        return None
    return tuple(math.radians(angle) for angle in found if angle is not None)


def _points(at: Iterable[str]) -> tuple[tuple[float, float], ...] | None:
    found = [point_of(text) for text in at]
    return tuple(one for one in found if one) if found and None not in found else None


def _bodies(
    state: State, feature: Feature, row: KeptReading
) -> tuple[tuple[Body, Body] | None, tuple[str, ...]]:
    """Part and gauge with their temperatures, where the part's was given."""
    if not row.body.temperature:
        return None, ()
    key = state.lookup.part_at(feature.position).material
    if key not in MATERIALS:
        said = f"Its material ({key}) has no expansion in the tables: not corrected to 20 °C."
        return None, (said,)
    part = _kelvin(row.body.temperature)
    gauge = _kelvin(row.body.gauge_temperature) if row.body.gauge_temperature else None
    doubt = PART_KELVIN if gauge else GAUGE_KELVIN
    said = "" if gauge else "The gauge's temperature wasn't given: 20 °C ± 4 K is taken."
    bodies = (
        _body(key, part, PART_KELVIN),
        _body(GAUGE_MATERIAL, gauge or REFERENCE_TEMPERATURE, doubt),
    )
    return bodies, ((said,) if said else ())


def _body(key: str, kelvin: float, half_width: float) -> Body:
    one = MATERIALS[key]
    low, high = one.expansion_span
    return Body(kelvin, one.expansion, rectangular(half_width), rectangular((high - low) / 2))


def _kelvin(text: str) -> float:
    return parse(text, "temperature", "°C", "temperature").value
