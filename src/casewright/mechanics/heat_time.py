"""How long heating takes and how long a clearance lasts, by lumped capacity with losses.

The whole part has one temperature: good while the Biot number stays under 0.1, said when not.
Floats or numpy arrays; a time of `math.inf` means never.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.mechanics.interference import Number, holds
from casewright.tables.heat_sources import STILL_AIR, HeatSource
from casewright.tables.materials import Material
from casewright.tables.temperature_ceilings import CAUTIONS
from casewright.working import Term, Working

BIOT_LIMIT = 0.1


@dataclass(frozen=True, slots=True)
class LumpedBody:
    """Time constant [s] and its inverse [1/s], Biot number, and whether lumping holds."""

    time_constant: Number
    rate: Number
    biot: Number
    lumping_holds: Number


@dataclass(frozen=True, slots=True)
class TimeRange:
    """Quickest and slowest time [s] with the outcome in words; infinite means never."""

    quickest: float
    slowest: float
    outcome: str
    biot: float
    biot_warning: str
    working: Working
    cautions: tuple[str, ...]


def characteristic_length(mass: Number, density: Number, area: Number) -> Number:
    """Volume per surface of a part, Lc = m / (rho A).

    Args:
        mass: mass [kg].
        density: density [kg/m3].
        area: surface that exchanges heat [m2].
    Returns:
        length [m].
    Valid: any shape.
    Raises: RangeError for a value that is not positive.
    Source: INCROPERA section 5.2 (Biot number with volume per area).

    Example:
        >>> round(float(characteristic_length(6.0, 2680, 0.25)), 6)
        0.008955
    """
    _check_positive(mass=mass, density=density, area=area)
    return mass / (density * area)


def lumped_body(
    length: Number, density: Number, specific_heat: Number, film: Number, conductivity: Number
) -> LumpedBody:
    """Time constant tau = rho c Lc / h and Biot number h Lc / k of a part.

    Args:
        length: characteristic length, volume per surface [m].
        density: density [kg/m3].
        specific_heat: specific heat [J/(kg K)].
        film: heat transfer coefficient at the surface [W/(m2 K)].
        conductivity: thermal conductivity of the part [W/(m K)].
    Returns:
        time constant, rate, Biot number, and whether it is under 0.1 [s, 1/s, -].
    Valid: Biot number under 0.1; at 0.1 lumping is 3 % under the true mean, 5 % under the middle.
    Raises: RangeError for a value that is not positive.
    Source: CENGEL section 4-1; INCROPERA section 5.1.

    Example:
        >>> round(float(lumped_body(0.001 / 6, 8500, 320, 210, 35).rate), 3)
        0.463
    """
    _check_positive(
        length=length,
        density=density,
        specific_heat=specific_heat,
        film=film,
        conductivity=conductivity,
    )
    tau = density * specific_heat * length / film
    biot = film * length / conductivity
    return LumpedBody(tau, 1 / tau, biot, np.less(biot, BIOT_LIMIT))


def temperature_after(
    start: Number, surroundings: Number, time: Number, time_constant: Number
) -> Number:
    """Temperature after a time, T = Ta + (T0 - Ta) exp(-t/tau).

    Args:
        start: temperature at the start [K].
        surroundings: end temperature, of the air or bath [K].
        time: time passed [s].
        time_constant: tau [s].
    Returns:
        temperature [K].
    Valid: Biot number under 0.1, constant film and surroundings.
    Raises: RangeError for a time constant that is not positive.
    Source: CENGEL eq. 4-4 form; INCROPERA section 5.1.

    Example:
        >>> round(float(temperature_after(194.65, 293.15, 60, 805)) - 273.15, 2)
        -71.43
    """
    _check_positive(time_constant=time_constant)
    return surroundings + (start - surroundings) * np.exp(-np.divide(time, time_constant))


def time_to_reach(
    start: Number,
    target: Number,
    surroundings: Number,
    time_constant: Number,
    loss: Number = 1.0,
    power: Number = 0.0,
) -> Number:
    """Time to a temperature, t = tau ln((T_end - T0)/(T_end - T1)), T_end = Ta + P/(h A).

    Args:
        start: temperature at the start [K].
        target: temperature wanted [K].
        surroundings: temperature of the air or bath [K].
        time_constant: tau [s].
        loss: heat loss h A per kelvin, needed with a power only [W/K].
        power: heat that goes into the part [W].
    Returns:
        time; infinite where the target is never reached [s].
    Valid: Biot number under 0.1; heating and cooling alike.
    Raises: RangeError for a time constant or loss that is not positive.
    Source: CENGEL section 4-1; INCROPERA section 5.3 with a heat source.

    Example:
        >>> round(float(time_to_reach(293.15, 393.15, 293.15, 1800, 3.0, 1500)), 1)
        401.7
        >>> float(time_to_reach(293.15, 393.15, 293.15, 1800, 3.0, 250))
        inf
    """
    _check_positive(time_constant=time_constant, loss=loss)
    end = surroundings + np.divide(power, loss)
    before, after = np.subtract(end, start), np.subtract(end, target)
    reached = np.equal(start, target)
    between = (before * after > 0) & (np.abs(after) < np.abs(before))
    with np.errstate(divide="ignore", invalid="ignore"):
        time = time_constant * np.log(np.divide(before, after))
    result: Number = np.where(reached, 0.0, np.where(between, time, math.inf))[()]
    return result


def heating_time(
    mass: float,
    area: float,
    one: Material,
    source: HeatSource,
    start: float,
    target: float,
    surroundings: float,
) -> TimeRange:
    """Time to heat a part with a source, as a range over the source's film and power.

    Args:
        mass: mass that gets hot [kg].
        area: surface of that mass [m2].
        one: its material [-].
        source: oven, hot-air gun, induction or torch [-].
        start: temperature at the start [K].
        target: temperature wanted [K].
        surroundings: of the shop, or of the oven for an oven [K].
    Returns:
        quickest and slowest time with the outcome in words [s].
    Valid: lumped; the whole mass heats alike. Local heat is quicker at the spot: probe it.
    Raises: RangeError for temperatures in Celsius, a target not above the start, or values
        that are not positive.
    Source: CENGEL section 4-1; film and power spans as the source's record says.
    """
    _check_heating(start, target, surroundings)
    length = characteristic_length(mass, one.density, area)
    times = []
    for film, power in itertools.product(source.film, source.power):
        body = lumped_body(length, one.density, one.specific_heat, film, one.conductivity)
        times.append(
            float(
                time_to_reach(start, target, surroundings, body.time_constant, film * area, power)
            )
        )
    biot = max(source.film) * float(length) / one.conductivity
    return _time_range(min(times), max(times), biot, source, mass, area, target)


def clearance_time(
    clearance: Number,
    diameter: Number,
    expansion: Number,
    start: Number,
    surroundings: Number,
    time_constant: Number,
) -> Number:
    """Working time until a clearance is used up while one part goes back to shop temperature.

    The part must change by c/(a d) kelvin: a hot hub cools, a chilled ring warms.

    Args:
        clearance: clearance at the start [m].
        diameter: joint diameter [m].
        expansion: mean coefficient of the part that changes [1/K].
        start: its temperature at the start [K].
        surroundings: temperature it goes towards [K].
        time_constant: its tau [s].
    Returns:
        time; infinite where the clearance outlasts it [s].
    Valid: parts not touching; a hot hub on a cold ring loses its clearance many times faster.
    Raises: RangeError for values that are not positive.
    Source: CENGEL section 4-1; linear expansion.

    Example:
        >>> t = clearance_time(10e-6, 0.062, 10.5e-6, 194.65, 293.15, 805)
        >>> round(float(t), 1)
        136.5
    """
    _check_positive(diameter=diameter, expansion=expansion)
    change = np.divide(clearance, np.multiply(expansion, diameter))
    if not holds(change >= 0):
        raise RangeError("clearance", clearance, "zero or more [m]", "It is gone already.")
    target = start + np.where(np.greater_equal(surroundings, start), change, -change)[()]
    return time_to_reach(start, target, surroundings, time_constant)


def working_time(
    clearance: float,
    diameter: float,
    one: Material,
    expansion: float,
    mass: float,
    area: float,
    start: float,
    surroundings: float,
) -> TimeRange:
    """Seconds to put together before the clearance is gone, over the films of still air.

    Args:
        clearance: clearance at the start [m].
        diameter: joint diameter [m].
        one: material of the part that is hot or cold [-].
        expansion: its mean coefficient over the span, the cold one for a chilled part [1/K].
        mass: its mass [kg].
        area: its surface [m2].
        start: its temperature at the start [K].
        surroundings: temperature of the shop [K].
    Returns:
        quickest and slowest loss of the clearance, with outcome in words [s].
    Valid: carried in still air; once hot and cold part touch it is a matter of seconds.
    Raises: RangeError for temperatures in Celsius or values that are not positive.
    Source: CENGEL section 4-1; films of still air from memory.
    """
    for field, value in (("start", start), ("surroundings", surroundings)):
        _check_span(field, value, 70)
    length = float(characteristic_length(mass, one.density, area))
    times = []
    for film in STILL_AIR:
        body = lumped_body(length, one.density, one.specific_heat, film, one.conductivity)
        times.append(
            float(
                clearance_time(
                    clearance, diameter, expansion, start, surroundings, body.time_constant
                )
            )
        )
    inputs = (
        Term("clearance", clearance, "m"),
        Term("joint diameter", diameter, "m"),
        Term("start", start, "K"),
        Term("surroundings", surroundings, "K"),
        Term("mass", mass, "kg"),
        Term("surface", area, "m²"),
    )
    return _working_range(
        min(times), max(times), max(STILL_AIR) * length / one.conductivity, inputs
    )


def _working_range(
    quickest: float, slowest: float, biot: float, inputs: tuple[Term, ...]
) -> TimeRange:
    """The working time with its outcome in words, working and cautions."""
    outcome = "the clearance lasts" if math.isinf(quickest) else "the clearance goes"
    working = Working(
        method="clearance lost in still air (lumped)",
        formula="t = τ ln((T0 - Ta)/(T1 - Ta)), |T1 - T0| = c/(a d)",
        inputs=inputs,
        outputs=(Term("quickest", quickest, "s"), Term("slowest", slowest, "s")),
        source="lumped capacity; films of still air from memory",
        notes=("Once the parts touch the clearance goes in seconds: one smooth movement.",),
        estimate=True,
    )
    cautions = tuple(CAUTIONS[key] for key in ("standing", "hot-part", "frost", "hot-seat"))
    return TimeRange(quickest, slowest, outcome, biot, _biot_warning(biot), working, cautions)


def _check_positive(**values: Number) -> None:
    """Each value is more than zero."""
    for field, value in values.items():
        if not holds(value > 0):
            raise RangeError(field.replace("_", " "), value, "more than zero")


def _check_heating(start: float, target: float, surroundings: float) -> None:
    """Temperatures are kelvin and the target lies above the start."""
    for field, value in (("start", start), ("target", target), ("surroundings", surroundings)):
        _check_span(field, value, 200)
    if target <= start:
        raise RangeError("target temperature", target, f"above the start of {start} K")


def _check_span(field: str, value: float, least: float) -> None:
    """A temperature is kelvin and within reason."""
    if not least <= value <= 1500:
        raise RangeError(f"{field} temperature", value, f"{least} to 1500 K", "20 °C is 293.15 K.")


def _biot_warning(biot: float) -> str:
    """Words when the inside lags the surface, else nothing."""
    if biot < BIOT_LIMIT:
        return ""
    return f"Biot number {biot:.2g}: the inside lags the surface; the time is only a guide"


def _time_range(
    quickest: float,
    slowest: float,
    biot: float,
    source: HeatSource,
    mass: float,
    area: float,
    target: float,
) -> TimeRange:
    """The range with its outcome in words, Biot warning and working."""
    if math.isinf(quickest):
        outcome = "never"
    elif math.isinf(slowest):
        outcome = "may never get there"
    else:
        outcome = "gets there"
    working = Working(
        method="lumped heating with losses",
        formula="t = τ ln((T_end - T0)/(T_end - T1)), T_end = Ta + P/(h A), τ = m c/(h A)",
        inputs=(
            Term("mass", mass, "kg"),
            Term("surface", area, "m²"),
            Term("target", target, "K"),
            Term("film, low", source.film[0], "W/(m² K)"),
            Term("film, high", source.film[1], "W/(m² K)"),
            Term("power into the part, low", source.power[0], "W"),
            Term("power into the part, high", source.power[1], "W"),
        ),
        outputs=(Term("quickest", quickest, "s"), Term("slowest", slowest, "s")),
        steps=(Term("Biot number", biot),),
        source=f"lumped capacity, heat transfer textbooks; {source.known}",
        estimate=True,
    )
    return TimeRange(
        quickest, slowest, outcome, biot, _biot_warning(biot), working, source.cautions
    )
