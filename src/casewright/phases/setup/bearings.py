"""What heat does to a taper pair's play, life and static safety: estimates where data is there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from casewright.drive.schema import Shaft
from casewright.errors import CasewrightError
from casewright.job.bearing_figures import LIFE, data_at, rolls_on
from casewright.job.ratings import WORDS, Ratings, ratings
from casewright.job.state import State
from casewright.mechanics.bearing_life import basic_life
from casewright.mechanics.bearing_preload import (
    Arrangement,
    PlayChange,
    PreloadChange,
    RollerRow,
    Seat,
    Warming,
    preload_at_temperature,
    preload_of_squeeze,
    thermal_play_change,
)
from casewright.mechanics.bearings import static_safety
from casewright.phases.setup.model import window_in_force
from casewright.tables.materials import material
from casewright.working import Term, Working

# From a cold bench to a working leg, and contact angles of usual tapers: assumed, no source.
RISE = 40.0
CONTACT = (math.radians(10), math.radians(16))
ARRANGEMENTS: dict[str, Arrangement] = {"face-to-face": "X", "back-to-back": "O"}
MATERIALS = {"aluminium": "aluminium", "cast-iron": "cast-iron", "steel": "steel"}


@dataclass(frozen=True, slots=True)
class WarmPreload:
    """A cold setting and what is left of it at work: preload [N] or end play [m], as a range.

    `words` says what the cold setting is; preloads and plays are (least, most), 0 where none.
    """

    words: str
    cold_preload: float
    cold_play: float
    preload: tuple[float, float]
    play: tuple[float, float]


@dataclass(frozen=True, slots=True)
class HeatLine:
    """A pair's change of play from cold to working [m], + looser: least and most, or the gap.

    `settings` tells it in newtons where the sheet has the rollers. `changes` is the play's change
    with cups that follow the housing not at all and wholly [m], least and most; `hold` the preload
    that such a change takes away, or brings from zero play [N], least and most.
    """

    shaft: str
    name: str
    low: float | None
    high: float | None
    gap: str
    working: Working | None = None
    settings: tuple[WarmPreload, ...] = ()
    changes: tuple[float, float] = (0.0, 0.0)
    hold: tuple[float, float] | None = None
    spring_gap: str = ""
    stiffness: float | None = None


@dataclass(frozen=True, slots=True)
class LifeLine:
    """A bearing for which figures were typed: life [revolutions, hours], static safety.

    `given` are figures that came from the sheet, in words.
    """

    position: str
    name: str
    revolutions: float | None
    hours: float | None
    safety: float | None
    trouble: str
    given: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BearingPlace:
    """A bearing that figures can be typed for, and those that the sheet has of it."""

    position: str
    name: str
    known: Ratings


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
    housing, angles = _housing(state, shaft), _angles(state, shaft)
    try:
        found = [_change(shaft, cups, housing, pair) for pair in angles]
    except CasewrightError as error:
        return HeatLine(shaft.key, shaft.name, None, None, str(error))
    both = sorted(one.total for one in found)
    known = len(angles) == 1
    line = HeatLine(
        shaft.key, shaft.name, both[0], both[-1], "", _heat_working(shaft, cups, found, known)
    )
    return _in_newtons(state, shaft, line, cups, housing)


def _angles(state: State, shaft: Shaft) -> tuple[tuple[float, float], ...]:
    """Contact angles of both rows: the sheet's, else both ends of what is usual."""
    data = [data_at(state.lookup, position) for position in shaft.bearings]
    own = [d.contact_angle.value for d in data if d and d.kind == "taper" and d.contact_angle]
    return ((own[0], own[1]),) if len(own) == 2 else tuple((angle, angle) for angle in CONTACT)


def _change(
    shaft: Shaft, cups: tuple[float, ...], housing: str, angles: tuple[float, float]
) -> PlayChange:
    assert shaft.span is not None
    seats = [Seat(cups[0], angles[0]), Seat(cups[-1], angles[1])]
    heat = _warming(housing)
    return thermal_play_change(ARRANGEMENTS[shaft.arrangement], seats, shaft.span.value, heat)


def _warming(housing: str, follows: float = 1.0) -> Warming:
    return Warming(material(housing).expansion, material("steel").expansion, RISE, RISE, follows)


def _in_newtons(
    state: State, shaft: Shaft, line: HeatLine, cups: tuple[float, ...], housing: str
) -> HeatLine:
    """The same in newtons where the sheet has both rows' rollers; else what is missing for it."""
    rows, missing = _rows(state, shaft)
    if missing or shaft.span is None:
        return replace(line, spring_gap="; ".join(missing))
    diameters, arrangement = (cups[0], cups[-1]), ARRANGEMENTS[shaft.arrangement]
    span = shaft.span.value

    def warm(preload: float, play: float, follows: float) -> PreloadChange:
        heat = _warming(housing, follows)
        return preload_at_temperature(arrangement, rows, diameters, span, heat, preload, play)

    settings = tuple(
        _warm_setting(words, [warm(preload, play, follows) for follows in (0.0, 1.0)])
        for words, preload, play in _cold_settings(state, shaft)
    )
    changes = sorted(warm(0.0, 0.0, follows).change.total for follows in (0.0, 1.0))
    ends = sorted(preload_of_squeeze(rows, abs(change)) for change in changes)
    stiff = warm(ends[1], 0.0, 1.0).stiffness if ends[1] > 0 else None
    return replace(
        line, settings=settings, changes=(changes[0], changes[1]), hold=(ends[0], ends[1]),
        stiffness=stiff,
    )  # fmt: skip


def _warm_setting(words: str, found: list[PreloadChange]) -> WarmPreload:
    loads = sorted(one.warm_preload for one in found)
    plays = sorted(one.warm_play for one in found)
    cold = found[0]
    return WarmPreload(
        words, cold.cold_preload, cold.cold_play, (loads[0], loads[1]), (plays[0], plays[1])
    )


def _rows(state: State, shaft: Shaft) -> tuple[tuple[RollerRow, ...], list[str]]:
    """Both taper rows, or what of them isn't in the sheet."""
    rows, missing = [], []
    tapers = [p for p in shaft.bearings if (d := data_at(state.lookup, p)) and d.kind == "taper"]
    for position in tapers:
        data, name = data_at(state.lookup, position), state.lookup.name_of(position)
        assert data is not None
        if data.contact_angle and data.rollers and data.roller_length:
            angle, length = data.contact_angle.value, data.roller_length.value
            rows.append(RollerRow(angle, data.rollers, length))
        else:
            missing.append(f"contact angle, rollers and roller length of the {name}")
    if len(tapers) != 2:
        missing.append(f"[parts.bearing] of both tapers of the {shaft.name}")
    return tuple(rows), missing


def _cold_settings(state: State, shaft: Shaft) -> Iterator[tuple[str, float, float]]:
    """Cold settings that the sheet prints: preload in N, or end play; both ends of each window."""
    ends = (shaft.cold_preload_low, shaft.cold_preload_high)
    yield from ((f"preload of {m}", m.value, 0.0) for m in ends if m)
    for response in state.lookup.sheet.responses:
        limits = window_in_force(state, response)
        if response.shaft != shaft.key or not limits.known:
            continue
        for end in (limits.low, limits.high):
            if end is not None and response.kind == "end-play":
                yield f"{response.name} at the end of its window", 0.0, max(end, 0.0)
            elif end is not None and response.kind == "preload" and limits.dimension == "force":
                yield f"{response.name} at the end of its window", max(end, 0.0), 0.0


def _cup_diameters(state: State, shaft: Shaft) -> tuple[float, ...]:
    """Outside diameters of the cups: from their maker's figures, else from their press fits."""
    lookup = state.lookup
    own = [data_at(lookup, position) for position in shaft.bearings]
    known = [d.outside.value for d in own if d and d.kind == "taper" and d.outside]
    if len(known) == 2:
        return tuple(known)
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


def _heat_working(
    shaft: Shaft, cups: tuple[float, ...], found: list[PlayChange], known: bool
) -> Working:
    assert shaft.span is not None
    angle = "Contact angles of the sheet" if known else "Contact angle 10° to 16°, assumed"
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
            f"{angle}; 40 K warmer, the cup following the housing: assumed.",
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
        known = ratings(state, position, typed)
        if known.capacity is None or known.load is None:
            said = "dynamic capacity and load are needed"
            return LifeLine(position, name, None, None, None, said)
        life = basic_life(known.capacity, known.load, rolls_on(state, position))
        hours = life * 2 * math.pi / known.speed / 3600 if known.speed else None
        safety = None
        if known.static_capacity and known.static_load:
            safety = static_safety(known.static_capacity, known.static_load)
        given = tuple(f"{WORDS[key]} {source}" for key, source in known.given.items())
        return LifeLine(position, name, life, hours, safety, "", given)
    except CasewrightError as error:
        return LifeLine(position, name, None, None, None, str(error))


def bearing_places(state: State) -> tuple[BearingPlace, ...]:
    """Bearings that figures could be typed for."""
    lookup = state.lookup
    places = dict.fromkeys(
        position
        for shaft in lookup.sheet.shafts
        for position in shaft.bearings
        if position in lookup.positions
    )
    return tuple(
        BearingPlace(place, lookup.positions[place].name, ratings(state, place, {}))
        for place in places
    )
