"""Leak tests of a circuit: throughput, its units, the manual's own limit, and the pressure ceiling.

A leak rate is a throughput in Pa·m³/s of gas at a *reference temperature* that is always said;
two throughputs compare only at the same one. A standard cubic centimetre is counted at 0 °C.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import MissingError, RangeError
from casewright.working import Term, Working

GAS_CONSTANT = 8.31446261815324
FREEZING = 273.15
ROOM = 293.15
ATMOSPHERE = 101_325.0
# Highest gauge pressure that workshop practice names without a sheet at hand (14 psi).
PRACTICE_CEILING = 97_000.0
# A lip seal is built for next to no pressure; one seal maker names 0.5 bar for small sizes.
LIP_CAUTION = 50_000.0

# Throughput of one unit in Pa·m³/s. A standard cubic centimetre is an amount of gas counted at
# 0 °C and 101 325 Pa, so it alone needs the reference temperature of the throughput.
THROUGHPUT_UNITS = {
    "Pa m3/s": 1.0,
    "Pa L/s": 1e-3,
    "mbar L/s": 0.1,
    "Torr L/s": ATMOSPHERE / 760 * 1e-3,
    "atm cm3/s": ATMOSPHERE * 1e-6,
}


def _positive(**values: float) -> None:
    """Refuse what must be above zero, by name."""
    for name, value in values.items():
        if not value > 0:
            raise RangeError(name.replace("_", " "), value, "a value above zero")


def _kelvin(**values: float) -> None:
    """Refuse a temperature that can't be kelvin on a bench."""
    for name, value in values.items():
        if not 150.0 < value < 600.0:
            raise RangeError(
                name.replace("_", " "),
                value,
                "kelvin between 150 and 600",
                "A figure such as 20 is degrees Celsius: add 273.15.",
            )


def _standard_cc(reference_temperature: float) -> float:
    """Throughput of one standard cubic centimetre a minute, at the reference temperature."""
    return ATMOSPHERE * 1e-6 / 60 * reference_temperature / FREEZING


def convert_leak_rate(
    value: float, unit: str, to_unit: str, reference_temperature: float = FREEZING
) -> float:
    """Leak rate in another unit, by way of Pa·m³/s.

    Args:
        value: the leak rate [in `unit`].
        unit: a key of `THROUGHPUT_UNITS`, or "sccm" [-].
        to_unit: the unit wanted, from the same list [-].
        reference_temperature: temperature at which the throughput is counted [K].
    Returns:
        the leak rate [in `to_unit`].
    Valid: ideal gas; "sccm" is counted at 0 °C and 101 325 Pa.
    Raises: RangeError for a unit that isn't in the list or a temperature that isn't kelvin.
    Source: LIWO leak-rate table; own arithmetic of the definitions.
    Example:
        >>> round(convert_leak_rate(1.0, "mbar L/s", "sccm"), 1)
        59.2
    """
    _kelvin(reference_temperature=reference_temperature)
    factors = {**THROUGHPUT_UNITS, "sccm": _standard_cc(reference_temperature)}
    for field, name in (("unit", unit), ("to unit", to_unit)):
        if name not in factors:
            raise RangeError(field, name, "one of " + ", ".join(factors))
    return value * factors[unit] / factors[to_unit]


def throughput_at(throughput: float, from_temperature: float, to_temperature: float) -> float:
    """The same flow of gas counted at another reference temperature; Q·T₂/T₁.

    Args:
        throughput: leak rate counted at `from_temperature` [Pa·m³/s].
        from_temperature: its reference temperature [K].
        to_temperature: the reference temperature wanted [K].
    Returns:
        leak rate counted at `to_temperature` [Pa·m³/s].
    Valid: ideal gas.
    Raises: RangeError for temperatures that aren't kelvin.
    Source: own: ideal gas law.
    """
    _kelvin(from_temperature=from_temperature, to_temperature=to_temperature)
    return throughput * to_temperature / from_temperature


def molar_rise(
    volume: float,
    pressure_start: float,
    pressure_end: float,
    temperature_start: float,
    temperature_end: float,
    seconds: float,
    gas_constant: float = GAS_CONSTANT,
) -> float:
    """Gas that came in between two readings; (V/R)(p₂/T₂ − p₁/T₁)/Δt, negative when it left.

    Args:
        volume: volume of the circuit [m³].
        pressure_start: absolute pressure at the first reading [Pa].
        pressure_end: absolute pressure at the second reading [Pa].
        temperature_start: gas temperature at the first reading [K].
        temperature_end: gas temperature at the second reading [K].
        seconds: time between them [s].
        gas_constant: molar gas constant [J/(mol·K)].
    Returns:
        molar flow into the circuit [mol/s].
    Valid: ideal gas, tight connections outside the circuit, gas at the temperature given.
    Raises: RangeError for a volume, pressure or time not above zero, or Celsius given as kelvin.
    Source: CFR1065 644, Eq. 1065.644-1.
    """
    _positive(volume=volume, pressure_start=pressure_start, pressure_end=pressure_end)
    _positive(seconds=seconds)
    _kelvin(temperature_start=temperature_start, temperature_end=temperature_end)
    change = pressure_end / temperature_end - pressure_start / temperature_start
    return volume / gas_constant * change / seconds


def two_point_leak(
    volume: float,
    pressure_start: float,
    pressure_end: float,
    temperature_start: float,
    temperature_end: float,
    seconds: float,
    reference_temperature: float = ROOM,
) -> float:
    """Leak rate out of a pressurised circuit from two readings; V·T₀(p₁/T₁ − p₂/T₂)/Δt.

    Args:
        volume: volume of the circuit [m³].
        pressure_start: absolute pressure at the first reading [Pa].
        pressure_end: absolute pressure at the second reading [Pa].
        temperature_start: gas temperature at the first reading [K].
        temperature_end: gas temperature at the second reading [K].
        seconds: time between them [s].
        reference_temperature: temperature at which the throughput is counted [K].
    Returns:
        leak rate, positive out of the circuit [Pa·m³/s].
    Valid: as `molar_rise`; two readings carry no uncertainty of their own, a log does.
    Raises: RangeError as `molar_rise`.
    Source: CFR1065 644, as a throughput.
    """
    _kelvin(reference_temperature=reference_temperature)
    gained = molar_rise(
        volume, pressure_start, pressure_end, temperature_start, temperature_end, seconds
    )
    return -gained * GAS_CONSTANT * reference_temperature


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The manual's "no more than so much in so many minutes", as printed and as a leak rate."""

    drop: float
    seconds: float
    volume: float
    leak_rate: float
    standard_cc: float
    working: Working

    @property
    def slope(self) -> float:
        """Pressure lost a second at the limit [Pa/s]."""
        return self.drop / self.seconds


def drop_limit(
    drop: float, seconds: float, volume: float, reference_temperature: float = ROOM
) -> DropLimit:
    """A printed "drop in minutes" as a leak rate; Q = V·Δp/Δt.

    Args:
        drop: the pressure that may be lost, or gained under vacuum [Pa].
        seconds: in this time [s].
        volume: volume of the circuit, hoses and gauge included [m³].
        reference_temperature: temperature at which the throughput is counted [K].
    Returns:
        the limit as printed and as a throughput (fields in [Pa], [s], [m³], [Pa·m³/s], [sccm]).
    Valid: the manual means gas at steady temperature; the printed limit itself stays the limit.
    Raises: RangeError for anything not above zero.
    Source: own: definition of throughput.
    Example:
        >>> round(drop_limit(7000.0, 600.0, 0.0015).leak_rate, 4)
        0.0175
    """
    _positive(drop=drop, seconds=seconds, volume=volume)
    leak_rate = volume * drop / seconds
    standard = convert_leak_rate(leak_rate, "Pa m3/s", "sccm", reference_temperature)
    working = Working(
        method="drop limit as leak rate",
        formula="Q = V·Δp/Δt",
        inputs=(
            Term("pressure drop", drop, "Pa", "Δp"),
            Term("time", seconds, "s", "Δt"),
            Term("volume", volume, "m³", "V"),
        ),
        outputs=(
            Term("leak rate", leak_rate, "Pa·m³/s", "Q"),
            Term("standard cubic centimetres a minute", standard, "sccm"),
        ),
        source="definition of throughput; the limit itself is the maker's",
    )
    return DropLimit(drop, seconds, volume, leak_rate, standard, working)


def time_to_resolve(
    volume: float, pressure_step: float, limit_rate: float, steps: float = 1.0
) -> float:
    """Shortest hold that lets the gauge show a leak at the limit; steps·V·δp/Q.

    Args:
        volume: volume of the circuit [m³].
        pressure_step: smallest change of pressure that the gauge shows [Pa].
        limit_rate: leak rate of the limit [Pa·m³/s].
        steps: gauge steps wanted; the practice for this test asks for ten [-].
    Returns:
        time [s].
    Valid: steady temperature.
    Raises: RangeError for anything not above zero.
    Source: E2930 5.1, resolution ten times finer than the limit.
    Example:
        >>> round(time_to_resolve(0.0015, 500.0, convert_leak_rate(1.0, "sccm", "Pa m3/s")))
        444
    """
    _positive(volume=volume, pressure_step=pressure_step, limit_rate=limit_rate, steps=steps)
    return steps * volume * pressure_step / limit_rate


@dataclass(frozen=True, slots=True)
class PressureCheck:
    """A test pressure that may be used, with what to mind."""

    gauge_pressure: float
    ceiling: float | None
    cautions: tuple[str, ...]


FIRST_WORDS = "The maker's manual, local codes and licensed practice come first."
DRAIN = "Drain the oil first; eye protection on; stand out of line with plugs and seals."
REGULATOR = "Regulator and relief valve between supply and case: never shop air straight in."
LOW_FIRST = "Low pressure first (20 to 35 kPa): high pressure can press a bad lip shut."
LIPS = "Above 50 kPa gauge many lip seals are past what they are made for; they may be harmed."
NO_CEILING = "No ceiling in the sheet: look up the maker's before raising the pressure."


def checked_test_pressure(gauge_pressure: float, ceiling: float | None) -> PressureCheck:
    """Refuse a test pressure above the circuit's ceiling; give the cautions that go with the rest.

    Args:
        gauge_pressure: wanted test pressure, negative for vacuum [Pa].
        ceiling: the highest gauge pressure that the circuit's sheet allows, or none [Pa].
    Returns:
        the pressure with its cautions [-].
    Valid: without a ceiling, up to the highest pressure of workshop practice (97 kPa) only.
    Raises: RangeError above the ceiling or below vacuum; MissingError for a high pressure
        without a ceiling.
    Source: common practice, no source; the sheet's ceiling is the maker's.
    """
    if not gauge_pressure > -ATMOSPHERE:
        raise RangeError("test pressure", gauge_pressure, "a gauge pressure above full vacuum")
    if ceiling is not None and not gauge_pressure <= ceiling:
        raise RangeError(
            "test pressure",
            gauge_pressure,
            f"no more than the circuit's ceiling of {ceiling:.0f} Pa gauge",
            "Let the pressure down; a case, plug or seal can fly.",
        )
    if ceiling is None and not gauge_pressure <= PRACTICE_CEILING:
        raise MissingError(
            "pressure ceiling",
            f"the maker's ceiling before going above {PRACTICE_CEILING:.0f} Pa gauge",
            "Enter it in the sheet with its source.",
        )
    cautions = [FIRST_WORDS, DRAIN, REGULATOR]
    if gauge_pressure > 0:
        cautions.append(LOW_FIRST)
    if gauge_pressure > LIP_CAUTION:
        cautions.append(LIPS)
    if ceiling is None:
        cautions.append(NO_CEILING)
    return PressureCheck(gauge_pressure, ceiling, tuple(cautions))
