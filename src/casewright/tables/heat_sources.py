"""Heat sources of the bench: film coefficients and the heat that really goes into a part, as spans.

Films are from memory of heat transfer handbooks; the share of a gun's or flame's heat that
goes in is an own estimate, wide on purpose. A shop that has timed its own oven replaces them.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.tables.temperature_ceilings import CAUTIONS

Span = tuple[float, float]
STILL_AIR: Span = (5.0, 15.0)  # W/(m² K), radiation included; memory


@dataclass(frozen=True, slots=True)
class HeatSource:
    """A way to heat: film coefficient [W/(m² K)] and heat that goes into the part [W], as spans.

    A `bath` surrounds the part at its own temperature and heats through the film; the others
    bring power while the film loses heat to the shop.
    """

    key: str
    name: str
    film: Span
    power: Span
    bath: bool
    known: str
    cautions: tuple[str, ...]


_FLAME = ("standing", "hot-part", "probe", "oil-residue", "penetrant", "hydrogen-fluoride")


def _cautions(*keys: str) -> tuple[str, ...]:
    return tuple(CAUTIONS[key] for key in keys)


HEAT_SOURCES = {
    one.key: one
    for one in (
        HeatSource(
            "oven",
            "oven, still air",
            STILL_AIR,
            (0.0, 0.0),
            True,
            "memory: film in still air with radiation",
            _cautions("standing", "hot-part", "probe", "oil-residue"),
        ),
        HeatSource(
            "fan-oven",
            "fan oven",
            (15.0, 30.0),
            (0.0, 0.0),
            True,
            "memory: film of a fan oven",
            _cautions("standing", "hot-part", "probe", "oil-residue"),
        ),
        HeatSource(
            "hot-air-gun",
            "hot-air gun, 2 kW",
            STILL_AIR,
            (400.0, 1000.0),
            False,
            "own estimate: a fifth to a half of the air's heat goes in; film from memory",
            _cautions(*_FLAME),
        ),
        HeatSource(
            "induction",
            "induction heater, 3 kW class",
            STILL_AIR,
            (1500.0, 2700.0),
            False,
            "own estimate: half to nine tenths of the mains power; film from memory",
            _cautions("standing", "hot-part", "probe", "oil-residue"),
        ),
        HeatSource(
            "torch",
            "gas torch, 5 kW flame",
            STILL_AIR,
            (500.0, 1500.0),
            False,
            "own estimate: a tenth to three tenths of the flame; film from memory",
            _cautions(*_FLAME),
        ),
    )
}
