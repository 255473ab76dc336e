"""A leak test's log: times, absolute pressures, temperatures and marks of turned shafts.

Whether the pressure is gauge or absolute must be said; it is never guessed. Pasted text is read by
`leak_text`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import MissingError, RangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LeakLog:
    """Readings in SI: seconds from the first, absolute pascals, kelvin, turned-shaft marks."""

    time: Floats
    pressure: Floats
    temperature: Floats | None
    turned: NDArray[np.bool_]
    atmosphere: float
    notes: tuple[str, ...] = ()


def _check_times(time: Floats) -> None:
    """Refuse a time that stands still or runs backwards, at its row."""
    steps = np.diff(time)
    if not (bad := np.flatnonzero(~(steps > 0))).size:
        return
    row = int(bad[0]) + 2
    raise RangeError(
        f"row {row} time",
        float(time[row - 1]),
        f"later than {time[row - 2]:g} s of the row before",
        "The time stands still or runs backwards; past midnight, give dates too.",
    )


def kelvin_of(values: Floats, unit: str) -> Floats:
    """Kelvin, or a refusal where the figures can't be in the unit that was said.

    Args:
        values: temperatures [K, °C or °F as `unit` says], shape (n,).
        unit: "K", "C" or "F" [-].
    Returns:
        temperatures [K], shape (n,).
    Valid: a bench: kelvin are above 150, Celsius below.
    Raises: RangeError for Celsius called kelvin, or kelvin called Celsius.
    Source: own: checks at the door.
    """
    middle = float(np.median(values))
    if unit == "K" and middle < 150:
        raise RangeError("temperature", middle, "kelvin", "This looks like degrees Celsius.")
    if unit == "C" and middle > 150:
        raise RangeError("temperature", middle, "degrees Celsius", "This looks like kelvin.")
    if unit == "F":
        values = (values - 32) / 1.8
    return values if unit == "K" else values + 273.15


def _to_absolute(values: Floats, kind: str, atmosphere: float) -> Floats:
    """Absolute pressure from what the gauge said."""
    absolute = {"absolute": values, "gauge": values + atmosphere, "vacuum": atmosphere - values}
    result = absolute[kind]
    if not np.all(result > 0):
        row = int(np.flatnonzero(~(result > 0))[0]) + 1
        raise RangeError(
            f"row {row} pressure",
            float(values[row - 1]),
            f"a {kind} pressure above full vacuum",
            "Check the unit, and whether gauge or absolute was meant.",
        )
    return result


def gaps(time: Floats) -> NDArray[np.bool_]:
    """Rows that come after a gap: a minute or more, and five times the usual interval.

    Args:
        time: reading times, rising [s], shape (n,).
    Returns:
        true at rows that follow a gap [-], shape (n,).
    Valid: two readings or more.
    Raises: nothing.
    Source: own: what happened in a gap is unknown, so it is cut like a turned shaft.
    """
    steps = np.diff(time)
    after = np.zeros(len(time), bool)
    if len(steps):
        after[1:] = (steps >= 60) & (steps > 5 * np.median(steps))
    return after


def leak_log(
    time: Sequence[float] | Floats,
    pressure: Sequence[float] | Floats,
    temperature: Sequence[float] | Floats | None,
    turned: Sequence[bool] | NDArray[np.bool_] | None = None,
    pressure_kind: str | None = None,
    atmosphere: float = 101_325.0,
) -> LeakLog:
    """A log from SI columns, checked: times rise, pressures make sense, temperatures are kelvin.

    Args:
        time: reading times [s], shape (n,).
        pressure: pressures as `pressure_kind` says [Pa], shape (n,).
        temperature: temperatures [K], shape (n,), or none.
        turned: rows at or before which, since the row above, a shaft was turned [-], shape (n,).
        pressure_kind: "gauge", "absolute" or "vacuum" (counted downwards) [-].
        atmosphere: pressure around the circuit [Pa].
    Returns:
        the log, time from its first reading, absolute pressures [-].
    Valid: three readings or more.
    Raises: MissingError where gauge or absolute isn't said; RangeError as the columns demand.
    Source: own: checks at the door.
    """
    if pressure_kind not in ("gauge", "absolute", "vacuum"):
        raise MissingError(
            "pressure kind",
            "gauge, absolute or vacuum",
            "Say which: 70 kPa gauge is 171 kPa absolute.",
        )
    seconds, pascals = np.asarray(time, float), np.asarray(pressure, float)
    if len(seconds) < 3 or len(seconds) != len(pascals):
        raise RangeError("readings", len(seconds), "three or more, one pressure for each time")
    _check_times(seconds)
    if not 50_000 < atmosphere < 110_000:
        raise RangeError("atmosphere", atmosphere, "between 50 000 and 110 000 Pa")
    kelvin = None if temperature is None else kelvin_of(np.asarray(temperature, float), "K")
    if kelvin is not None and len(kelvin) != len(seconds):
        raise RangeError("temperatures", len(kelvin), f"one for each of {len(seconds)} times")
    marks = np.zeros(len(seconds), bool) if turned is None else np.asarray(turned, bool)
    if len(marks) != len(seconds):
        raise RangeError("turned marks", len(marks), f"one for each of {len(seconds)} times")
    absolute = _to_absolute(pascals, pressure_kind, atmosphere)
    return LeakLog(
        seconds - seconds[0],
        absolute,
        kelvin,
        marks,
        atmosphere,
        _notes(seconds, absolute, kelvin, pressure_kind, atmosphere),
    )


def _notes(
    time: Floats, absolute: Floats, temperature: Floats | None, kind: str, atmosphere: float
) -> tuple[str, ...]:
    """What a reader should know about the log."""
    notes = [
        f"Gap of {time[row] - time[row - 1]:.0f} s before row {row + 1}: cut there."
        for row in np.flatnonzero(gaps(time))
    ]
    if kind == "absolute" and absolute[0] < 0.98 * atmosphere:
        notes.append("Taken as absolute, the log is a vacuum test; if not, say gauge.")
    if temperature is None:
        notes.append("No temperatures: drift can't be told from a leak.")
    return tuple(notes)
