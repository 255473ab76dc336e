"""Which readings belong to a press fit: shaft and bore of its size, on the pieces that go in.

The reading that stands, and its instrument, are those of the inspection; a fit takes the mean of
the places, the judgement of the part takes the worst.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from casewright.drive.schema import Feature, Joint
from casewright.job.measured import OneReading, measured_on
from casewright.job.state import State

# A feature belongs to a fit when its size is this close to the fit's [share of the diameter].
NEAR = 0.01


@dataclass(frozen=True, slots=True)
class FitReading:
    """A diameter as read, with its standard uncertainty [m], from which feature and piece."""

    diameter: float
    uncertainty: float
    feature: str
    piece: str


def measured_shaft(state: State, joint: Joint) -> FitReading | None:
    """The outside diameter of what goes in, read on the piece that goes in; None where not."""
    return _measured(state, joint, "diameter", joint.holds)


def measured_bore(state: State, joint: Joint) -> FitReading | None:
    """The bore of this size in the same unit, read on the piece that is there; None where not."""
    held = [state.lookup.positions[p] for p in joint.holds if p in state.lookup.positions]
    units = {position.unit for position in held}
    places = [p.key for p in state.lookup.sheet.positions if p.unit in units]
    return _measured(state, joint, "bore", places)


def _measured(state: State, joint: Joint, kind: str, positions: Iterable[str]) -> FitReading | None:
    assert joint.fit is not None
    size, places = joint.fit.diameter.value, set(positions)
    for feature in state.lookup.sheet.features:
        if feature.kind == kind and feature.position in places:
            reading = _on_piece(state, feature)
            if reading is not None and abs(reading.diameter - size) <= NEAR * size:
                return reading
    return None


def _on_piece(state: State, feature: Feature) -> FitReading | None:
    """The standing reading of a feature on the piece that is there in the final build: its mean."""
    piece = state.occupant(feature.position, "final")
    found = measured_on(state, feature.key, piece)
    if found is None or not found.stands.values:
        return None
    values, tool = found.stands.values, found.stands.instrument.instrument
    spread = (max(values) - min(values)) / 2
    parts = (
        tool.resolution / math.sqrt(12),
        tool.calibration_uncertainty,
        tool.repeatability or 0.0,
        spread / math.sqrt(3),
    )
    mean = sum(values) / len(values) + _to_20(found.stands)
    return FitReading(mean, math.hypot(*parts), feature.name, piece)


def _to_20(reading: OneReading) -> float:
    """What the inspection adds to bring the reading to 20 °C [m]; none where it was read there."""
    correction = reading.sized.correction if reading.sized else None
    return correction.correction if correction else 0.0
