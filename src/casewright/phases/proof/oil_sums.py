"""Oil readings told: water, look, particles, viscosity against the grade, and metals over time."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from casewright.errors import CasewrightError
from casewright.job.kinds import OilRead
from casewright.job.state import Kept, State
from casewright.mechanics.oil import appearance_class, viscosity_grade, water_life_factor
from casewright.mechanics.oil_analysis import WearTrend, particle_code, wear_trend
from casewright.units import parse

# Own: from here on water is a finding for the cause, whatever the oil looks like (by mass).
MUCH_WATER = 500e-6


@dataclass(frozen=True, slots=True)
class OilReading:
    """One sample in sentences; `water_sign` says that it speaks for water in the case."""

    kept: Kept[OilRead]
    sentences: tuple[str, ...]
    water_sign: bool


@dataclass(frozen=True, slots=True)
class MetalTrend:
    """A metal over the samples of this leg; how many, and how many of them in earlier jobs."""

    metal: str
    trend: WearTrend
    samples: int
    earlier: int


def oil_readings(state: State) -> tuple[OilReading, ...]:
    """Every sample of this job, in the order taken."""
    return tuple(_reading(state, kept) for kept in state.oil_readings)


def _reading(state: State, kept: Kept[OilRead]) -> OilReading:
    body, said = kept.body, []
    sign = body.appearance in ("milky", "caramel", "hazy")
    for tell in (_water, _look, _particles, _viscosity):
        try:
            said += list(tell(state, body))
        except (CasewrightError, ValueError) as error:
            said.append(str(error))
    return OilReading(kept, tuple(said), sign or _is_wet(body.water))


def _is_wet(text: str) -> bool:
    """Whether the water read is much; what can't be read has its sentence already."""
    try:
        return bool(text) and _share(text) >= MUCH_WATER
    except CasewrightError:
        return False


def _share(text: str) -> float:
    return parse(text, "ratio", "ppm", "water").value


def _water(state: State, body: OilRead) -> Iterator[str]:
    if body.water:
        life = water_life_factor(_share(body.water))
        yield f"Water {body.water}: bearing life about {life.factor:.1f} times that at 100 ppm."
        yield from life.cautions


def _look(state: State, body: OilRead) -> Iterator[str]:
    if body.appearance:
        yield appearance_class(body.appearance)


def _particles(state: State, body: OilRead) -> Iterator[str]:
    """A code is kept as given; three counts a millilitre become one."""
    if not body.particles:
        return
    if re.fullmatch(r"\s*[≥>]?\d+\s*/\s*[≥>]?\d+\s*/\s*[≥>]?\d+\s*", body.particles):
        yield f"Particles {body.particles} (ISO 4406)."
        return
    counts = [float(part) for part in re.split(r"[;\s]+", body.particles.strip())]
    yield f"Particles {particle_code(counts)} (ISO 4406, from counts a millilitre)."


def _viscosity(state: State, body: OilRead) -> Iterator[str]:
    if not body.viscosity:
        return
    match = re.match(r"\s*(\d+(?:[.,]\d+)?)", body.viscosity)
    if match is None:
        raise ValueError(f"viscosity: got {body.viscosity!r}, expected mm²/s at 40 °C")
    grade = viscosity_grade(float(match[1].replace(",", ".")) * 1e-6)
    found = f"within ISO VG {grade}" if grade else "between two grades"
    yield f"Viscosity {match[1]} mm²/s at 40 °C: {found}."
    wanted = re.search(r"\d+", state.lookup.sheet.oil.grade)
    if wanted and grade != int(wanted[0]):
        yield f"The sheet asks for {state.lookup.sheet.oil.grade}: wrong oil, water, or worn out."


def metal_trends(state: State, earlier: tuple[State, ...] = ()) -> tuple[MetalTrend, ...]:
    """Metals that were read with hours beside them, over the leg's jobs; three make a trend."""
    before = _points(earlier)
    points = _points((*earlier, state))
    return tuple(
        MetalTrend(
            metal, wear_trend([t for t, _ in rows], [c for _, c in rows], metal), len(rows),
            len(before.get(metal, ())),
        )
        for metal, rows in points.items()
    )  # fmt: skip


def _points(states: tuple[State, ...]) -> dict[str, list[tuple[float, float]]]:
    """Hours [s] and share of each metal in every sample that gives both, sorted by hours."""
    points: dict[str, list[tuple[float, float]]] = {}
    for state in states:
        for kept in state.oil_readings:
            for metal, text in kept.body.metals.items():
                try:
                    hours = parse(_hours(state, kept.body), "time", "h", "hours").value
                    points.setdefault(metal.lower(), []).append((hours, _share(text)))
                except CasewrightError:
                    continue
    return {metal: sorted(rows) for metal, rows in points.items()}


def _hours(state: State, body: OilRead) -> str:
    """Hours as typed with the sample; of oil as received, else the owner's."""
    asked = state.complaint.body.hours if state.complaint else ""
    return body.hours or (asked if body.occasion == "as-received" else "")
