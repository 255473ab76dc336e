"""What heat does to a taper pair's play, life and static safety: estimates where data is there."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.drive.schema import Shaft
from casewright.errors import CasewrightError
from casewright.job.state import State
from casewright.mechanics.bearing_life import basic_life
from casewright.mechanics.bearing_preload import (
    Arrangement,
    PlayChange,
    Seat,
    Warming,
    thermal_play_change,
)
from casewright.mechanics.bearings import static_safety
from casewright.tables.materials import material
from casewright.units import parse
from casewright.working import Term, Working

# From a cold bench to a working leg, and contact angles of usual tapers: assumed, no source.
RISE = 40.0
CONTACT = (math.radians(10), math.radians(16))
ARRANGEMENTS: dict[str, Arrangement] = {"face-to-face": "X", "back-to-back": "O"}
MATERIALS = {"aluminium": "aluminium", "cast-iron": "cast-iron", "steel": "steel"}
LIFE = "bearing-life:"


@dataclass(frozen=True, slots=True)
class HeatLine:
    """A pair's change of play from cold to working [m], + looser: least and most, or the gap."""

    shaft: str
    name: str
    low: float | None
    high: float | None
    gap: str
    working: Working | None = None


@dataclass(frozen=True, slots=True)
class LifeLine:
    """A bearing whose maker's figures were typed: life [revolutions, hours], static safety."""

    position: str
    name: str
    revolutions: float | None
    hours: float | None
    safety: float | None
    trouble: str


def heat_lines(state: State) -> tuple[HeatLine, ...]:
    """Every shaft with a pair of tapers."""
    return tuple(
        _heat(state, shaft)
        for shaft in state.lookup.sheet.shafts
        if shaft.arrangement in ARRANGEMENTS
    )


def _heat(state: State, shaft: Shaft) -> HeatLine:
    cups = _cup_diameters(state, shaft)
    missing = [
        what
        for what, there in (
            ("the span of the pair", shaft.span),
            ("the cups' outside diameter", cups),
        )
        if not there
    ]
    if missing or shaft.span is None:
        gap = f"{' and '.join(missing)} of the {shaft.name}: what heat does to its play is not told"
        return HeatLine(shaft.key, shaft.name, None, None, gap)
    housing = _housing(state, shaft)
    try:
        found = [_change(shaft, cups, housing, angle) for angle in CONTACT]
    except CasewrightError as error:
        return HeatLine(shaft.key, shaft.name, None, None, str(error))
    both = sorted(one.total for one in found)
    return HeatLine(shaft.key, shaft.name, both[0], both[1], "", _heat_working(shaft, cups, found))


def _change(shaft: Shaft, cups: tuple[float, ...], housing: str, angle: float) -> PlayChange:
    heat = Warming(material(housing).expansion, material("steel").expansion, RISE, RISE)
    assert shaft.span is not None
    seats = [Seat(cups[0], angle), Seat(cups[-1], angle)]
    return thermal_play_change(ARRANGEMENTS[shaft.arrangement], seats, shaft.span.value, heat)


def _cup_diameters(state: State, shaft: Shaft) -> tuple[float, ...]:
    """Outside diameters of the cups, from press fits of the same parts."""
    lookup = state.lookup
    fits = {}
    for joint in lookup.sheet.joints:
        if joint.fit:
            for position in joint.holds:
                if position in lookup.positions:
                    part = lookup.part_at(position)
                    if part.kind == "cup":
                        fits[part.key] = joint.fit.diameter.value
    near = set(shaft.bearings).union(*(lookup.matched_with.get(b, ()) for b in shaft.bearings))
    cups = [p for p in sorted(near) if p in lookup.positions and lookup.part_at(p).kind == "cup"]
    if not cups:
        cups = [p.key for p in lookup.sheet.positions
                if p.on == shaft.key and lookup.parts[p.part].kind == "cup"]  # fmt: skip
    return tuple(fits[lookup.part_at(p).key] for p in cups if lookup.part_at(p).key in fits)


def _housing(state: State, shaft: Shaft) -> str:
    for position in state.lookup.sheet.positions:
        part = state.lookup.parts[position.part]
        if position.unit == shaft.unit and part.kind == "housing":
            return MATERIALS.get(part.material, "aluminium")
    return "aluminium"


def _heat_working(shaft: Shaft, cups: tuple[float, ...], found: list[PlayChange]) -> Working:
    assert shaft.span is not None
    return Working(
        "play of a taper pair from cold to working",
        "sum(growth / tan angle) ± (housing − shaft) · span",
        (
            Term("span", shaft.span.value, "m"),
            Term("cup", cups[0], "m"),
            Term("warmer by", RISE, ""),
        ),
        tuple(Term("play change", one.total, "m") for one in found),
        "geometry of two cones; expansion of housing and steel",
        notes=(
            "Contact angle 10° to 16°, 40 K warmer, the cup following the housing: all assumed.",
            "An upper bound: a heavy press fit follows less.",
        ),
        estimate=True,
    )


def life_lines(state: State) -> tuple[LifeLine, ...]:
    """Bearings for which somebody typed the maker's figures and the load."""
    latest = {
        kept.body.name: kept.body.inputs
        for kept in state.calculations
        if kept.body.name.startswith(LIFE)
    }
    return tuple(_life(state, name.removeprefix(LIFE), typed) for name, typed in latest.items())


def _life(state: State, position: str, typed: dict[str, object]) -> LifeLine:
    name = state.lookup.name_of(position)
    try:
        capacity, load = (_force(typed, one) for one in ("capacity", "load"))
        if capacity is None or load is None:
            return LifeLine(
                position, name, None, None, None, "dynamic capacity and load are needed"
            )
        kind = "ball" if state.lookup.part_at(position).kind == "bearing" else "roller"
        life = basic_life(capacity, load, kind)  # type: ignore[arg-type]
        speed = str(typed.get("speed", "")).strip()
        turns = parse(speed, "speed", "rpm").value / (2 * math.pi) if speed else 0.0
        static, most = _force(typed, "static_capacity"), _force(typed, "static_load")
        safety = static_safety(static, most or load) if static else None
        return LifeLine(position, name, life, life / turns / 3600 if turns else None, safety, "")
    except CasewrightError as error:
        return LifeLine(position, name, None, None, None, str(error))


def _force(typed: dict[str, object], key: str) -> float | None:
    text = str(typed.get(key, "")).strip()
    return parse(text, "force", "N", key).value if text else None


def bearing_positions(state: State) -> tuple[tuple[str, str], ...]:
    """Bearings that figures could be typed for."""
    lookup = state.lookup
    found: dict[str, str] = {}
    for shaft in lookup.sheet.shafts:
        for position in shaft.bearings:
            if position in lookup.positions:
                found[position] = lookup.positions[position].name
    return tuple(found.items())
