"""Targets of readings: what kind of quantity, which limits are in force, where they come from."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.drive.meaning import RESPONSE_KIND
from casewright.drive.measures import Measure
from casewright.drive.schema import Feature, Response, Window
from casewright.job.gauge_sums import etched_value, whole
from casewright.job.state import KeptReading, State
from casewright.units import parse

DRY = "length"


@dataclass(frozen=True, slots=True)
class Limits:
    """Low and high [SI] of a target, as printed beside it, with source; None where not given.

    `unit` is the unit in which they are printed.
    """

    low: float | None
    high: float | None
    dimension: str
    printed: str
    source: str
    unit: str = ""

    @property
    def known(self) -> bool:
        """Whether there is any limit at all."""
        return self.low is not None or self.high is not None

    def holds(self, value: float) -> bool:
        """Whether a value lies inside, the ends with it; an end that is None keeps nothing out."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


def target_name(state: State, target: str) -> str:
    """What a target is called in words."""
    dry = next((d.name for d in state.lookup.sheet.dry_readings if d.key == target), None)
    return dry or state.lookup.name_of(target)


def dimension_of(state: State, target: str) -> str | None:
    """The kind of quantity that a target is read in; None for an unknown target.

    The limit's own unit decides where there is one (a lash given as an angle); else the kind.
    """
    limits = limits_of(state, target)
    if limits is not None and limits.known:
        return limits.dimension
    if response := state.lookup.responses.get(target):
        return RESPONSE_KIND[response.kind][0]
    if feature := state.lookup.features.get(target):
        return {"hardness": "count", "squareness": "length", "twist": "angle"}.get(
            feature.kind, "length"
        )
    if any(dry.key == target for dry in state.lookup.sheet.dry_readings):
        return DRY
    return None


def limits_of(
    state: State, target: str, *, bearings: str = "any", seals: str = "any"
) -> Limits | None:
    """The limits in force for a feature or response; None for an unknown target.

    A response may have several windows with conditions (bearings new or used, seals in or out); the
    first that fits them is taken.
    """
    if feature := state.lookup.features.get(target):
        return _limits(feature.low, feature.high, feature.source)
    if response := state.lookup.responses.get(target):
        window = window_of(response, bearings=bearings, seals=seals)
        return (
            _limits(window.low, window.high, window.source) if window else _limits(None, None, "")
        )
    return None


def window_of(response: Response, *, bearings: str = "any", seals: str = "any") -> Window | None:
    """The first window of a response whose conditions fit."""
    for window in response.windows:
        fits = window.bearings in ("any", bearings) or bearings == "any"
        if fits and (window.seals in ("any", seals) or seals == "any"):
            return window
    return None


def _limits(low: Measure | None, high: Measure | None, source: str) -> Limits:
    given = low or high
    printed = " to ".join(m.text for m in (low, high) if m) or "not in the sheet"
    if given and not (low and high):
        printed = f"at least {printed}" if low else f"at most {printed}"
    return Limits(
        low.value if low else None,
        high.value if high else None,
        given.dimension if given else "length",
        printed,
        source,
        given.unit if given else "",
    )


def plausible(state: State, target: str) -> tuple[float | None, float | None]:
    """The range against which a reading is questioned: the limits in force."""
    limits = limits_of(state, target)
    return (limits.low, limits.high) if limits else (None, None)


def values_of(state: State, reading: KeptReading) -> tuple[float, ...]:
    """The SI values of a reading as they count: a gauge's constant and etched number reckoned in.

    MissingError while a number that belongs to it isn't typed yet.
    """
    return whole(state, reading, shown_of(state, reading))


def shown_of(state: State, reading: KeptReading) -> tuple[float, ...]:
    """The SI values of a reading's texts, as typed."""
    dry = state.lookup.dry_readings.get(reading.body.target)
    if dry is not None and dry.etched:
        return tuple(etched_value(dry, text, reading.body.unit) for text in reading.body.values)
    dimension = dimension_of(state, reading.body.target) or "length"
    return tuple(parse(text, dimension, reading.body.unit).value for text in reading.body.values)


def feature_consequence(state: State, feature: Feature) -> str:
    """How bad a wrong keep of this feature is: its own word, else its part's."""
    return feature.consequence or state.lookup.part_at(feature.position).consequence
