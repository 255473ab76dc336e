"""Where to look for a leak with soap and water, by what the test has shown.

A lip seals against the side it faces: pressure on its face presses it shut, pressure from behind
lifts it. Leg seals often stand as a pair, one lip facing the oil, one facing the water. Common
practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import MissingError


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the tests showed; none where a test was not made."""

    under_pressure: bool | None = None
    under_vacuum: bool | None = None
    at_low_pressure_only: bool | None = None
    when_shaft_turned: bool | None = None
    when_shift_moved: bool | None = None
    gross: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """One place to look, and the evidence that points there."""

    where: str
    because: str


_OIL_LIP = "oil-side lips (facing into the case) of shaft and shift seals"
_WATER_LIP = "water-side lips (facing outwards) of shaft and shift seals"
_STATIC = "plug and vent gaskets, O-rings of carrier and covers, split faces, cracks, porosity"


def places_to_look(evidence: Evidence) -> tuple[Place, ...]:
    """Places to soap, most telling evidence first.

    Args:
        evidence: what the pressure and vacuum tests showed [-].
    Returns:
        places in the order to try, each with its reason [-].
    Valid: a leak was found; the test hose itself is always looked at first.
    Raises: MissingError where neither a pressure nor a vacuum test was made.
    Source: common practice, no source.
    Example:
        >>> places_to_look(Evidence(under_pressure=False, under_vacuum=True))[1].where[:15]
        'water-side lips'
    """
    if evidence.under_pressure is None and evidence.under_vacuum is None:
        raise MissingError("evidence", "the outcome of a pressure or a vacuum test")
    places = [Place("test hose, adapter and gauge", "they leak as often as the case")]
    if evidence.gross:
        places.append(Place("a plug, seal or O-ring left out, a crack", "the leak is gross"))
    if evidence.when_shaft_turned:
        places.append(Place("seal under the turned shaft, its land and spring", "it leaks turning"))
    if evidence.when_shift_moved:
        places.append(
            Place("shift shaft or rod seal and its bush", "it leaks when the shift moves")
        )
    if evidence.at_low_pressure_only:
        places.append(Place(_OIL_LIP, "high pressure presses a worn lip shut"))
    places += _by_side(evidence)
    return tuple(places)


def _by_side(evidence: Evidence) -> list[Place]:
    """Lips or static joints, by which side of the atmosphere leaks."""
    pressure, vacuum = evidence.under_pressure, evidence.under_vacuum
    if pressure and vacuum is False:
        return [
            Place(_OIL_LIP, "tight under vacuum: only the lip that holds oil in fails"),
            Place(_STATIC, "a joint that pressure opens"),
        ]
    if vacuum and pressure is False:
        return [
            Place(_WATER_LIP, "tight under pressure: only the lip that keeps water out fails"),
            Place("seal fitted the wrong way round", "a lip that faces the other way"),
        ]
    if pressure and vacuum:
        return [
            Place(_STATIC, "it leaks both ways: a path that has no direction"),
            Place("seal land grooved or scored, seal outside in its bore", "both lips passed"),
        ]
    other = "vacuum" if vacuum is None else "pressure"
    return [
        Place(_OIL_LIP if pressure else _WATER_LIP, "the lip that faces this test's pressure"),
        Place(_STATIC, f"make the {other} test too: it tells lips from joints"),
    ]
