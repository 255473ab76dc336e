"""Heat windows: needed temperature against the ceilings, chilled shafts, and taking rings out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.mechanics.heat import (
    RemovalTemperature,
    assembly_temperature,
    removal_temperature,
)
from casewright.tables.materials import T20, Material, mean_expansion
from casewright.tables.temperature_ceilings import (
    CAUTIONS,
    COOLANTS,
    Ceiling,
    Coolant,
    Release,
    allowed_temperature,
)
from casewright.working import Term, Working

NARROW = 15.0  # K; own: a crayon, a probe and an oven are together worth about so much


@dataclass(frozen=True, slots=True)
class HeatWindow:
    """Window of hub temperatures `low` to `high` [K], closed when low is above high."""

    low: float
    high: float
    is_open: bool
    narrow: bool
    limiting: str
    advice: str
    working: Working


@dataclass(frozen=True, slots=True)
class ChilledOption:
    """The window once the shaft comes out of one coolant."""

    coolant: Coolant
    expansion: float
    window: HeatWindow


@dataclass(frozen=True, slots=True)
class AssemblyPlan:
    """Heat alone, each chilled shaft beside it, what to do, and the cautions."""

    window: HeatWindow
    chilled: tuple[ChilledOption, ...]
    advice: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RemovalPlan:
    """Windows for taking a ring out, with the ring still cold and once it has followed."""

    temperatures: RemovalTemperature
    ring_cold: HeatWindow
    ring_follows: HeatWindow
    advice: str
    cautions: tuple[str, ...]


def heat_window(
    need: float, ceilings: Iterable[Ceiling], duration: float = 3600.0, narrow: float = NARROW
) -> HeatWindow:
    """Window of temperatures between what is needed and the lowest ceiling.

    Args:
        need: lowest temperature that does it, infinite where none does [K].
        ceilings: ceilings of all parts that get hot [-].
        duration: time at temperature [s].
        narrow: width under which the window is called narrow [K].
    Returns:
        the window with advice and working [K].
    Valid: as good as the ceilings; the maker's own come first.
    Raises: RangeError when no ceiling is given, or the need is not a temperature in kelvin.
    Source: own: the lowest ceiling rules.
    """
    if not need >= 0:
        raise RangeError("needed temperature", need, "kelvin, zero or more", "20 °C is 293.15 K.")
    allowed = sorted((allowed_temperature(one, duration), one.part) for one in ceilings)
    if not allowed:
        raise RangeError(
            "ceilings", (), "at least one", "Name the casting, ring, seals and paint that get hot."
        )
    high, part = allowed[0]
    is_open, is_narrow = need <= high, need <= high < need + narrow
    advice = _window_advice(need, high, part, is_narrow)
    working = Working(
        method="heat window",
        formula="need ≤ T ≤ lowest ceiling",
        inputs=(
            Term("needed temperature", need, "K"),
            *(Term(f"ceiling: {name}", value, "K") for value, name in allowed),
            Term("time at temperature", duration, "s"),
        ),
        outputs=(Term("low", need, "K"), Term("high", high, "K")),
        source="linear expansion; ceilings each with its own source",
        notes=(CAUTIONS["standing"], "Typical ceilings: the maker's own come first."),
        estimate=True,
    )
    return HeatWindow(need, high, is_open, is_narrow, part, advice, working)


def plan_assembly(
    interference: float,
    clearance: float,
    diameter: float,
    hub: Material,
    shaft: Material,
    ceilings: Sequence[Ceiling],
    duration: float = 3600.0,
    coolants: Sequence[Coolant] = tuple(COOLANTS.values()),
) -> AssemblyPlan:
    """How to put a shaft or ring in with clearance: heat alone, or with a chilled shaft.

    Args:
        interference: largest interference at 20 °C [m].
        clearance: clearance wanted while putting together [m].
        diameter: joint diameter [m].
        hub: material of the heated part [-].
        shaft: material of the shaft or ring [-].
        ceilings: ceilings of all parts that get hot [-].
        duration: time at temperature [s].
        coolants: cold baths to try, mildest first [-].
    Returns:
        windows, advice and cautions [K].
    Valid: shaft at 20 °C unless chilled; a shaft without a known cold coefficient is not chilled.
    Raises: RangeError as for the window.
    Source: own: linear expansion; cold coefficients as the material's record says.
    """
    warm = assembly_temperature(interference, clearance, diameter, hub.expansion)
    window = heat_window(float(warm), ceilings, duration)
    options = []
    for one in coolants if shaft.cooling else ():
        cold = mean_expansion(shaft, one.temperature)
        need = assembly_temperature(
            interference, clearance, diameter, hub.expansion, cold, one.temperature
        )
        options.append(ChilledOption(one, cold, heat_window(float(need), ceilings, duration)))
    cautions = _cautions("standing", "hot-part", "probe", "oil-residue", "penetrant", "hot-seat")
    cold_cautions = tuple(line for option in options for line in option.coolant.cautions)
    return AssemblyPlan(
        window,
        tuple(options),
        _assembly_advice(window, options),
        tuple(dict.fromkeys(cautions + cold_cautions)),
    )


def plan_removal(
    interference: float,
    clearance: float,
    diameter: float,
    hub: Material,
    ring: Material,
    ceilings: Sequence[Ceiling],
    compound: Release | None = None,
    duration: float = 3600.0,
) -> RemovalPlan:
    """How hot a casting must get to let a ring out, against the ceilings.

    Args:
        interference: largest interference at 20 °C [m].
        clearance: clearance wanted [m].
        diameter: joint diameter [m].
        hub: material of the casting [-].
        ring: material of the ring [-].
        ceilings: ceilings of all parts that get hot [-].
        compound: locking compound in the joint that lets go only when hot, if any [-].
        duration: time at temperature [s].
    Returns:
        temperatures, windows, advice and cautions [K].
    Valid: the truth lies between a cold ring and one that followed.
    Raises: RangeError as for the window.
    Source: own: linear expansion; once the ring followed only the difference counts.
    """
    both = removal_temperature(interference, clearance, diameter, hub.expansion, ring.expansion)
    release = compound.low if compound else 0.0
    cold = heat_window(max(float(both.ring_cold), release), ceilings, duration)
    follows = heat_window(max(float(both.ring_follows), release), ceilings, duration)
    keys = ("standing", "hot-part", "probe", "oil-residue", "hydrogen-fluoride", "penetrant")
    return RemovalPlan(
        both, cold, follows, _removal_advice(cold, follows, compound), _cautions(*keys, "press")
    )


def _cautions(*keys: str) -> tuple[str, ...]:
    return tuple(CAUTIONS[key] for key in keys)


def _celsius(kelvin: float) -> str:
    return f"{kelvin - 273.15:.0f} °C"


def _window_advice(need: float, high: float, part: str, narrow: bool) -> str:
    if math.isinf(need):
        return "no heat does it: both parts grow alike; press it, or chill the shaft"
    if need > high:
        return (
            f"no safe window: {_celsius(need)} needed, {part} allows {_celsius(high)}; "
            "press it, or chill the shaft"
        )
    if need <= T20:
        return "drops in without heat"
    warning = f"; narrow, only {high - need:.0f} K: measure the part itself" if narrow else ""
    return f"{_celsius(need)} to {_celsius(high)} ({part}){warning}"


def _assembly_advice(window: HeatWindow, options: Sequence[ChilledOption]) -> str:
    if window.is_open:
        return "heat the hub: " + window.advice
    works = [one.coolant.name for one in options if one.window.is_open]
    fails = [one.coolant.name for one in options if not one.window.is_open]
    tried = "by heat alone" + (f" or with {' or '.join(fails)}" if fails else "")
    ways = " or ".join([*works, "press"])
    return f"no safe window {tried}; {ways}"


def _removal_advice(cold: HeatWindow, follows: HeatWindow, compound: Release | None) -> str:
    if compound and not cold.is_open:
        return (
            f"no safe window: {compound.name} lets go only above {_celsius(compound.low)}; "
            "local short heat on the ring, or press"
        )
    if follows.is_open:
        return "heat the casting: " + follows.advice + "; lower while the ring is still cold"
    if cold.is_open:
        return (
            "only while the ring is still cold: heat the casting fast to "
            f"{cold.advice} and pull at once; once the ring has followed, press"
        )
    return "no safe window: press or pull it, or cool the ring while the casting is warm"
