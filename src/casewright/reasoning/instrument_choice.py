"""Which instrument can decide about a feature: its uncertainty against the tolerance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.errors import MissingError
from casewright.reasoning.conformity import Zone, zones
from casewright.reasoning.readings import Instrument, reading_components

COMFORTABLE = 4.0


@dataclass(frozen=True, slots=True)
class Suitability:
    """One instrument for one feature.

    `capability` is T/(4u): the tolerance (or the room to a single limit) against ±2u.
    `undecided` is the share of the tolerance in which a reading would prove nothing.
    """

    instrument: str
    uncertainty: float
    capability: float
    undecided: float
    zone: Zone
    can_decide: bool
    measures_it: bool
    overdue: bool
    minutes: float
    warning: str


def suitability(
    instrument: Instrument,
    lower: float | None,
    upper: float | None,
    nominal: float | None = None,
    repeats: int = 1,
    kind: str = "",
) -> Suitability:
    """How well one instrument can decide about a feature.

    Args:
        instrument: what is known of it [unit of the feature].
        lower: lower limit [same unit].
        upper: upper limit [same unit].
        nominal: size as new, needed where there is only one limit [same unit].
        repeats: readings that will be averaged [-].
        kind: kind of feature, such as "bore" [-].
    Returns:
        uncertainty [same unit], capability, zones, a warning in words where it can't decide [-].
    Valid: before any reading, so scatter is the learned repeatability.
    Raises: MissingError where a single limit comes without the nominal size.
    Source: JCGM106 7.6.3 (measurement capability index); ISO14253-1 default rule.
    """
    room = _room(lower, upper, nominal)
    parts = reading_components([0.0] * max(repeats, 1), _steady(instrument))
    u = math.sqrt(math.fsum(part.contribution**2 for part in parts))
    zone = zones(u, lower, upper) if u > 0 else Zone(lower, upper, -math.inf, math.inf)
    undecided = _undecided(zone, lower, upper, room)
    capability = room / (4 * u) if u > 0 else math.inf
    measures = not kind or not instrument.kinds or kind in instrument.kinds
    warning = _warning(instrument, kind, measures, undecided, capability)
    decides = undecided < 1 and measures
    return Suitability(
        instrument.name,
        u,
        capability,
        undecided,
        zone,
        decides,
        measures,
        instrument.overdue,
        instrument.minutes,
        warning,
    )


def suggest(
    instruments: Sequence[Instrument],
    lower: float | None,
    upper: float | None,
    nominal: float | None = None,
    repeats: int = 1,
    kind: str = "",
) -> tuple[Suitability, ...]:
    """Instruments for a feature, the suggested one first.

    Args:
        instruments: the shop's instruments [unit of the feature].
        lower: lower limit [same unit].
        upper: upper limit [same unit].
        nominal: size as new, needed where there is only one limit [same unit].
        repeats: readings that will be averaged [-].
        kind: kind of feature, such as "bore" [-].
    Returns:
        quickest of those whose tolerance is at least four times ±2u and that aren't overdue;
        then the others by capability [-].
    Valid: as `suitability`; four to one is a rule of practice.
    Raises: MissingError without an instrument.
    Source: own: order; JCGM106 7.6.3 for the index.
    """
    if not instruments:
        raise MissingError("instruments", "at least one instrument", "Enter it in the register.")
    found = [suitability(item, lower, upper, nominal, repeats, kind) for item in instruments]

    def rank(one: Suitability) -> tuple[bool, bool, bool, float, float]:
        good = one.capability >= COMFORTABLE
        last = one.minutes if good else -one.capability
        return (not one.measures_it, one.overdue, not good, last, -one.capability)

    return tuple(sorted(found, key=rank))


def _steady(instrument: Instrument) -> Instrument:
    """The instrument with its learned repeatability taken as known (nothing is read yet)."""
    return Instrument(
        instrument.name,
        instrument.resolution,
        instrument.calibration_uncertainty,
        instrument.repeatability or 0.0,
        wear=instrument.wear,
    )


def _room(lower: float | None, upper: float | None, nominal: float | None) -> float:
    if lower is not None and upper is not None:
        return upper - lower
    if nominal is None:
        raise MissingError("nominal", "the size as new, since there is only one limit")
    limit = upper if upper is not None else lower
    if limit is None:
        raise MissingError("limits", "a lower or an upper limit", "It is not in the sheet.")
    return abs(limit - nominal)


def _undecided(zone: Zone, lower: float | None, upper: float | None, room: float) -> float:
    """Share of the room inside the limits where a reading proves nothing."""
    low_gap = 0.0 if lower is None or zone.accept_low is None else zone.accept_low - lower
    high_gap = 0.0 if upper is None or zone.accept_high is None else upper - zone.accept_high
    if zone.accept_low is None and zone.accept_high is None:
        return 1.0
    return min((low_gap + high_gap) / room, 1.0) if room > 0 else 1.0


def _warning(
    instrument: Instrument, kind: str, measures: bool, undecided: float, capability: float
) -> str:
    if not measures:
        return f"{instrument.name} does not measure a {kind}."
    if undecided >= 1:
        return f"{instrument.name} can't prove this feature good anywhere inside its limits."
    late = " Its calibration is overdue." if instrument.overdue else ""
    if capability < COMFORTABLE:
        where = f"in {100 * undecided:.0f} % of the room inside the limits"
        return f"{instrument.name} can't prove a part good {where}.{late}"
    return late.strip()
