"""Bench sums of sealing tests: two readings of pressure and temperature, a circuit's volume."""

from __future__ import annotations

import math

from casewright.errors import MissingError, RangeError
from casewright.mechanics.leak import (
    ATMOSPHERE,
    DRAIN,
    FIRST_WORDS,
    PRACTICE_CEILING,
    REGULATOR,
    ROOM,
    checked_test_pressure,
    convert_leak_rate,
    drop_limit,
    two_point_leak,
)
from casewright.mechanics.leak_volume import CircuitVolume, volume_by_air_let_out, volume_by_vessel
from casewright.mechanics.stored_energy import stored_energy
from casewright.sums.answer import Answer, Line, Told
from casewright.working import Term, Working

AIR = (FIRST_WORDS, DRAIN, REGULATOR)


def leak(
    *,
    relative: str,
    volume: float,
    before: float,
    before_at: float,
    after: float,
    after_at: float,
    minutes: float,
    air: float,
    step: float | None,
    warmth: float | None,
    drop: float | None,
    hold: float | None,
    ceiling: float | None,
) -> Answer:
    """Did it leak or only cool down? Two readings and the time between.

    Args: "gauge" or "absolute"; volume [m³]; pressures [Pa]; gas temperatures [K]; time [s]; air
        around [Pa]; steps of gauge [Pa] and thermometer [K]; printed drop [Pa] in a hold [s];
        ceiling [Pa gauge].
    Raises: RangeError above the ceiling (no sum is made), or for an absolute below vacuum.
    """
    start, end = (
        _absolute("before", before, relative, air),
        _absolute("after", after, relative, air),
    )
    _held("before", start - air, ceiling)
    _held("after", end - air, ceiling)
    sign = 1.0 if start >= air else -1.0
    rate = sign * two_point_leak(volume, start, end, before_at, after_at, minutes)
    at_start = end * before_at / after_at
    corrected, bare = sign * (start - at_start), sign * (start - end)
    doubt = _doubt(end, after_at, step, warmth)
    rate_doubt = 2 * volume * ROOM / before_at * doubt / minutes if doubt else None
    lines = [
        Line("Gauge lost" if sign > 0 else "Vacuum lost", bare, "pressure", lead=True),
        Line("Of that, temperature", bare - corrected, "pressure", lead=True),
        Line("Lost by itself, temperature taken out", corrected, "pressure", lead=True,
             doubt=2 * doubt if doubt else None),
        Line("Leak rate at 20 °C", rate, "leak", doubt=rate_doubt, lead=True),
        Line("As standard cm³ a minute", convert_leak_rate(rate, "Pa m3/s", "sccm", ROOM), "plain",
             unit="sccm"),
    ]  # fmt: skip
    workings = [("Leak rate", _leak_work(volume, start, end, before_at, after_at, minutes, rate))]
    words = [*_told(corrected, doubt)]
    more, told, work = _limit(rate, rate_doubt, volume, drop, hold)
    lines, words, workings = [*lines, *more], [*told, *words], [*workings, *work]
    energy, extra, energy_work = _energy(volume, max(start, end) - air)
    limit = () if ceiling is None else (Line("the circuit's ceiling", ceiling, "pressure"),)
    checked = checked_test_pressure(max(start, end) - air, ceiling)
    return Answer(
        (*lines, *energy), tuple(words), ceilings=limit,
        cautions=tuple(dict.fromkeys((*checked.cautions, *extra))),
        workings=(*workings, *energy_work),
    )  # fmt: skip


def _absolute(field: str, value: float, relative: str, air: float) -> float:
    """Absolute pressure of a reading; what can't be is most often gauge said as absolute."""
    absolute = value + air if relative == "gauge" else value
    if not absolute > 0:
        raise RangeError(field, value, "a pressure above full vacuum", "Gauge, or absolute?")
    if relative == "absolute" and absolute < 0.05 * air:
        raise RangeError(
            field, value, "an absolute pressure",
            "So near to full vacuum it is most likely a gauge reading: say gauge.",
        )  # fmt: skip
    return absolute


def _held(field: str, gauge: float, ceiling: float | None) -> None:
    """Above the ceiling there is no sum, only a stop."""
    top = PRACTICE_CEILING if ceiling is None else ceiling
    if gauge <= top * (1 + 1e-9):
        return
    if ceiling is None:
        raise MissingError(
            "ceiling", "the maker's ceiling, since the pressure is above 97 kPa gauge",
            "Let the pressure down first, and stand out of line with plugs and seals.",
        )  # fmt: skip
    raise RangeError(
        field, gauge, "no more than the ceiling",
        "Stop: let the pressure down through the regulator, touch no plug before it is gone.",
    )  # fmt: skip


def _doubt(end: float, kelvin: float, step: float | None, warmth: float | None) -> float | None:
    """Standard uncertainty of the corrected drop [Pa] from the steps of gauge and thermometer."""
    if step is None:
        return None
    gauge = step / math.sqrt(12) * math.sqrt(2)
    wall = end / kelvin * (warmth or 0.0) / math.sqrt(12) * math.sqrt(2)
    return math.hypot(gauge, wall)


def _told(corrected: float, doubt: float | None) -> tuple[Told, ...]:
    words = []
    if doubt is None:
        words.append(Told("Give the gauge's smallest step to see the doubt."))
    elif abs(corrected) <= 2 * doubt:
        words.append(Told("The drop is within the doubt of the gauge: hold longer.", "unsure"))
    words.append(
        Told(
            "Two readings are no verdict: the air follows the wall late. The log of a whole hold, "
            "in the room Proof, fits that lag and says leak, tight or not proven yet.",
            "estimate",
        )
    )
    return tuple(words)


def _limit(
    rate: float, doubt: float | None, volume: float, drop: float | None, hold: float | None
) -> tuple[tuple[Line, ...], tuple[Told, ...], tuple[tuple[str, Working], ...]]:
    """The printed limit as a rate, and what share of it leaks."""
    if drop is None and hold is None:
        return (), (Told("No printed drop: nobody says how much is too much."),), ()
    if drop is None or hold is None:
        missing = "drop" if drop is None else "hold"
        raise MissingError(missing, "drop and minutes as the manual prints them, both")
    limit = drop_limit(drop, hold, volume)
    share = rate / limit.leak_rate
    lines = (
        Line("Limit as a rate", limit.leak_rate, "leak"),
        Line("Share of the limit", max(share, 0.0), "share", lead=True),
    )
    over = doubt is not None and rate - doubt > limit.leak_rate
    told = Told("More than the limit: look for the leak with soap and water.", "bad")
    return lines, ((told,) if over else ()), (("Limit as printed", limit.working),)


def _energy(
    volume: float, gauge: float
) -> tuple[tuple[Line, ...], tuple[str, ...], tuple[tuple[str, Working], ...]]:
    if gauge <= 0:
        return (), (), ()
    one = stored_energy(volume, gauge)
    lines = (
        Line("Stored energy", one.expansion, "plain", unit="J"),
        Line("As one kilogram falling", one.drop_of_one_kilogram, "plain", unit="m"),
    )
    return lines, one.cautions, (("Stored energy", one.working),)


def _leak_work(
    volume: float, start: float, end: float, start_at: float, end_at: float, time: float,
    rate: float,
) -> Working:  # fmt: skip
    return Working(
        method="leak rate from two readings",
        formula="Q = V·T₀·(p₁/T₁ − p₂/T₂)/Δt",
        inputs=(
            Term("volume", volume, "m³", "V"),
            Term("absolute pressure before", start, "Pa", "p₁"),
            Term("absolute pressure after", end, "Pa", "p₂"),
            Term("gas temperature before", start_at, "K", "T₁"),
            Term("gas temperature after", end_at, "K", "T₂"),
            Term("time between", time, "s", "Δt"),
            Term("reference temperature", ROOM, "K", "T₀"),
        ),
        outputs=(Term("leak rate", rate, "Pa·m³/s", "Q"),),
        source="ideal gas; 40 CFR 1065.644",
        estimate=True,
    )


def bleed_volume(
    *,
    bleed: float,
    minutes: float,
    before: float,
    after: float,
    own: float | None,
    bleed_doubt: float | None,
    step: float | None,
) -> Answer:
    """A circuit's volume from air let out through a known bleed, and the drop it made.

    Args: bleed as a flow of open air [m³/s] with its doubt; time [s]; gauge pressures [Pa]; own
        leak meanwhile [Pa lost a second, as a drop over the same time: Pa]; gauge step [Pa].
    Raises: RangeError where the pressure did not fall.
    """
    if not before > after:
        raise RangeError("after", after, "less than before, since air was let out")
    found = volume_by_air_let_out(
        bleed, minutes, before - after, own or 0.0, (bleed_doubt or 0.0) / 2, step or 0.0
    )
    share = (before - after) / (before + ATMOSPHERE)
    told = [Told("Valid at a steady temperature: wait until the gauge rests.", "estimate")]
    if share > 0.2:
        told.append(Told("A big drop: a bleed slows as the pressure falls. A smaller drop is "
                         "surer.", "unsure"))  # fmt: skip
    return _volume_answer(found, tuple(told))


def bottle_volume(*, bottle: float, before: float, after: float, step: float | None) -> Answer:
    """A circuit's volume from opening it to a bottle of known volume at open air.

    Args: the bottle's volume [m³]; gauge pressures before and after [Pa]; gauge step [Pa].
    Raises: RangeError where the pressure after does not lie between.
    """
    found = volume_by_vessel(
        bottle, before + ATMOSPHERE, after + ATMOSPHERE, ATMOSPHERE,
        pressure_uncertainty=(step or 0.0) / math.sqrt(12),
    )  # fmt: skip
    return _volume_answer(found, (Told("Let both come to rest before reading.", "estimate"),))


def _volume_answer(found: CircuitVolume, told: tuple[Told, ...]) -> Answer:
    line = Line("Volume of the circuit, hose and gauge with it", found.volume, "volume",
                doubt=2 * found.uncertainty or None, lead=True)  # fmt: skip
    return Answer((line,), told, cautions=AIR, workings=(("Volume", found.working),))
