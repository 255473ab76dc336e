"""From sheet and job to the model of this leg: responses, seats, rates, the first guess.

Left out, with the reason, is what packs can't bring into a window: responses without one, those
that a nut, ring or sleeve sets, and those whose rate only trials can tell.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from casewright.drive.schema import PACKED, Adjuster, Response
from casewright.job.build import final_window
from casewright.job.limits import Limits, limits_of, values_of
from casewright.job.packs import Pack, pack_at
from casewright.job.state import State
from casewright.phases.setup.dry import (
    ETCHED_DOUBT,
    ETCHED_SPREAD,
    DryLine,
    Piece,
    dry_lines,
    etched_readings,
    known_difference,
    replaced_positions,
    stack,
)
from casewright.phases.setup.signs import Rate, rates, sensitivity
from casewright.phases.setup.trials import Taken, doubt_of, taken
from casewright.reasoning import shim_model, shim_prior
from casewright.reasoning.shim_model import Gauge, Sensitivity, SetUp

Array = NDArray[np.float64]
SIZE_DOUBT, MEASURED_DOUBT, SEAT_DOUBT = 4e-6, 2e-6, 5e-5
# Teeth and drag of a new piece, as a share of half the window: assumed, no source.
OWN_SHARE = 1 / 4


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A response that packs aren't chosen for, and why."""

    response: str
    why: str


@dataclass(frozen=True, slots=True)
class Leg:
    """The model of one leg before any trial.

    `dimensions` are the pieces' deviations after all that is known, `rows` what each response
    makes of them in the new build; `labels` say what each unknown is in words.
    """

    set_up: SetUp
    offsets: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    references: tuple[Pack | None, ...]
    dimensions: shim_model.State
    rows: Array
    half_windows: tuple[float, ...]
    labels: Mapping[str, str]
    dry: tuple[DryLine, ...]
    left_out: tuple[LeftOut, ...]
    limits: Mapping[str, Limits]


def window_in_force(state: State, response: Response) -> Limits:
    """The window by the bearings that this build runs in; trials are read without seals."""
    limits, window = final_window(state, response)
    bearings = window.bearings if window else "any"
    without = limits_of(state, response.key, bearings=bearings, seals="out")
    return without if without is not None and without.known else limits


def build_leg(state: State) -> Leg | None:
    """The model of this leg as far as the sheet allows; None where there is nothing to choose."""
    adjusters = [a for a in state.lookup.sheet.adjusters if a.kind in PACKED]
    found = [(rate, sensitivity(rate)) for rate in rates(state)]
    inside, left_out, limits = _sorted_out(state, adjusters, [rate for rate, _ in found])
    keys = {response.key for response in inside}
    usable = [
        s for _, s in found
        if s is not None and s.response in keys and s.adjuster in {a.key for a in adjusters}
    ]  # fmt: skip
    adjusters = [a for a in adjusters if any(s.adjuster == a.key and s.value for s in usable)]
    if not adjusters or not inside:
        return None
    references = tuple(pack_at(state, adjuster.key, "as-found") for adjuster in adjusters)
    set_up = SetUp(
        tuple(_response(state, response, limits[response.key]) for response in inside),
        tuple(adjuster.key for adjuster in adjusters),
        tuple(usable),
        tuple(_reference(a, p) for a, p in zip(adjusters, references, strict=True)),
        tuple(Gauge(response.key, _gauge_doubt(state, response)) for response in inside),
    )
    return _first_guess(state, set_up, adjusters, inside, references, left_out, limits)


def _gauge_doubt(state: State, response: Response) -> float:
    """The gauge's own doubt, and that of an etched number which every reading of it shares."""
    dry = state.lookup.dry_readings.get(response.gauge.etched or "") if response.gauge else None
    etched = 0.0 if dry is None else dry.doubt.value if dry.doubt else ETCHED_DOUBT
    return math.hypot(doubt_of(response), etched)


def _sorted_out(
    state: State, adjusters: list[Adjuster], found: list[Rate]
) -> tuple[list[Response], tuple[LeftOut, ...], dict[str, Limits]]:
    """Responses that packs are chosen for, and those left out with the reason."""
    packs = {adjuster.key for adjuster in adjusters}
    inside, out, limits = [], [], {}
    for response in state.lookup.sheet.responses:
        limits[response.key] = window_in_force(state, response)
        mine = [rate for rate in found if rate.response == response.key]
        why = _why_out(state, response, limits[response.key], mine, packs)
        if why:
            out.append(LeftOut(response.key, why))
        else:
            inside.append(response)
    return inside, tuple(out), limits


def _why_out(
    state: State, response: Response, limits: Limits, mine: list[Rate], packs: set[str]
) -> str:
    if not limits.known:
        return "no window in the sheet: readings are kept, no verdict, and no pack is chosen for it"
    turned = [r.adjuster for r in mine if r.adjuster not in packs]
    if turned:
        names = " and ".join(state.lookup.name_of(key) for key in dict.fromkeys(turned))
        return f"set at each assembly by the {names}"
    if not any(rate.value for rate in mine):
        if mine:
            return "how much a pack moves it is learned from two trials of this leg, not computed"
        return "no adjuster of the sheet moves it"
    return ""


def _response(state: State, response: Response, limits: Limits) -> shim_model.Response:
    swings = [(t.half_range, t.half_range_doubt) for t in taken(state, response) if t.counts]
    half, doubt = swings[-1] if swings else (0.0, 0.0)
    low = -math.inf if limits.low is None else limits.low
    high = math.inf if limits.high is None else limits.high
    if high - low <= 2 * half:
        half, doubt = 0.0, 0.0  # the swing alone fills the window: said as a gap elsewhere
    floor = 0.0 if response.kind == "end-play" and low >= 0 else None
    return shim_model.Response(response.key, low, high, half, doubt, floor, response.conditions)


def _reference(adjuster: Adjuster, pack: Pack | None) -> float:
    """The as-found pack; the middle of what the sheet allows where it wasn't measured."""
    if pack is not None and pack.sizes:
        return pack.total
    return sum(_range(adjuster)) / 2


def _range(adjuster: Adjuster) -> tuple[float, float]:
    sizes = [size.value for size in adjuster.sizes]
    low = adjuster.least.value if adjuster.least else min(sizes, default=0.0)
    most = max(sizes, default=1e-3) * (1 if adjuster.kind == "selective-spacer" else 2)
    return low, max(low, adjuster.most.value if adjuster.most else most)


def middle_of(limits: Limits) -> float:
    """Where a builder aims: the middle of a window, or its only edge."""
    ends = [end for end in (limits.low, limits.high) if end is not None]
    return sum(ends) / len(ends)


def half_of(limits: Limits) -> float:
    """Half the window; infinite where it has one edge only."""
    if limits.low is None or limits.high is None:
        return math.inf
    return (limits.high - limits.low) / 2


def _first_guess(
    state: State,
    set_up: SetUp,
    adjusters: list[Adjuster],
    inside: list[Response],
    references: tuple[Pack | None, ...],
    left_out: tuple[LeftOut, ...],
    limits: dict[str, Limits],
) -> Leg:
    changed = replaced_positions(state)
    pieces = {a.key: stack(state, a, changed) for a in adjusters}
    chain = [one for a in adjusters for one in _chain(a, pieces[a.key], set_up.sensitivities)]
    unknown = [
        _unknown_pack(a, set_up.sensitivities)
        for a, pack in zip(adjusters, references, strict=True)
        if pack is None or not pack.sizes
    ]
    own = [_own(state, response, limits[response.key], changed) for response in inside]
    dimensions = [*chain, *unknown, *own]
    names = [response.key for response in inside]
    first = shim_prior.first_dimensions(dimensions)
    old = shim_prior.build_rows(dimensions, names, first.names, True)
    new = shim_prior.build_rows(dimensions, names, first.names, False)
    for one in unknown:  # the pack that isn't known belongs to the old build alone
        new[:, first.names.index(f"new:{one.name}")] = 0.0
    known = [limits[name] for name in names]
    nominal = [middle_of(one) for one in known]
    ends = [
        [math.nan if end is None else end for end in pair]
        for pair in zip(*((one.low, one.high) for one in known), strict=True)
    ]
    told = shim_prior.was_right(first, old, nominal, ends[0], ends[1])
    told = _with_as_found(state, told, old, inside, nominal, changed)
    lines = dry_lines(state)
    told = _with_dry(told, lines, pieces)
    offsets, covariance = shim_prior.offsets(told, new, nominal)
    halves = tuple(half_of(one) for one in known)
    return Leg(
        set_up, tuple(map(float, offsets)), tuple(tuple(map(float, r)) for r in covariance),
        references, told, new, halves, _labels(state, adjusters, pieces, inside),
        _ranked(told, new, halves, lines, pieces), left_out, limits,
    )  # fmt: skip


def _chain(
    adjuster: Adjuster, pieces: tuple[Piece, ...], all_rates: tuple[Sensitivity, ...]
) -> list[shim_prior.Dimension]:
    """A seat's deviation shared out evenly, in variance, over the pieces of its stack."""
    whole = adjuster.deviation.value if adjuster.deviation else SEAT_DOUBT
    each = whole / math.sqrt(len(pieces)) if pieces else 0.0
    moved = {rate.response: rate.value for rate in all_rates if rate.adjuster == adjuster.key}
    return [
        # One more of it calls for `sign` more pack: it acts as that much less of the pack.
        shim_prior.Dimension(
            piece.name,
            ETCHED_SPREAD if piece.etched else each,
            {r: -piece.sign * v for r, v in moved.items()},
            piece.replaced,
        )
        for piece in pieces
    ]


def _unknown_pack(adjuster: Adjuster, all_rates: tuple[Sensitivity, ...]) -> shim_prior.Dimension:
    low, high = _range(adjuster)
    moved = {rate.response: rate.value for rate in all_rates if rate.adjuster == adjuster.key}
    return shim_prior.Dimension(f"{adjuster.key}|pack", (high - low) / math.sqrt(12), moved, True)


def _own(
    state: State, response: Response, limits: Limits, changed: frozenset[str]
) -> shim_prior.Dimension:
    """What packs don't explain: tooth thickness of a new gear, drag of new bearings."""
    half = half_of(limits)
    deviation = OWN_SHARE * half if math.isfinite(half) else 0.25 * abs(middle_of(limits))
    places: set[str] = set()
    if response.kind == "lash" and response.mesh in state.lookup.meshes:
        mesh = state.lookup.meshes[str(response.mesh)]
        places = {mesh.pinion, mesh.gear}
    elif response.kind in ("turning-torque", "preload") and response.shaft in state.lookup.shafts:
        places = set(state.lookup.shafts[str(response.shaft)].bearings)
    return shim_prior.Dimension(
        f"own|{response.key}", deviation, {response.key: 1.0}, bool(places & changed)
    )


def _with_as_found(
    state: State,
    told: shim_model.State,
    old: Array,
    inside: list[Response],
    nominal: list[float],
    changed: frozenset[str],
) -> shim_model.State:
    """As-found readings of what wore but wasn't broken; a condemned piece says nothing."""
    for place, response in enumerate(inside):
        if response.kind not in ("lash", "end-play") or _spoilt(state, response) & changed:
            continue
        read = [t for t in taken(state, response) if t.occasion == "as-found" and t.values]
        if not read:
            continue
        wear = half_of(window_in_force(state, response))
        doubt = math.hypot(read[-1].noise, doubt_of(response))
        change = read[-1].mean - nominal[place]
        told = shim_prior.as_found(
            told, old[place], change, doubt, wear if math.isfinite(wear) else None
        )
    return told


def _spoilt(state: State, response: Response) -> frozenset[str]:
    """Positions whose damage makes an as-found reading worthless."""
    lookup, places = state.lookup, set()
    if response.mesh in lookup.meshes:
        mesh = lookup.meshes[str(response.mesh)]
        places |= {mesh.pinion, mesh.gear}
    shafts = [response.shaft] + [lookup.positions[p].on for p in places if p in lookup.positions]
    for key in shafts:
        if key in lookup.shafts:
            bearings = lookup.shafts[str(key)].bearings
            places |= set(bearings).union(*(lookup.matched_with.get(b, ()) for b in bearings))
    units = {lookup.positions[p].unit for p in places if p in lookup.positions}
    places |= {p.key for p in lookup.sheet.positions
               if p.unit in units and lookup.parts[p.part].kind == "housing"}  # fmt: skip
    return frozenset(places)


def _with_dry(
    told: shim_model.State, lines: tuple[DryLine, ...], pieces: Mapping[str, tuple[Piece, ...]]
) -> shim_model.State:
    for line in lines:
        piece = _piece_of(line, pieces)
        if piece and line.etched:
            for one, value in etched_readings(line, piece):
                told = shim_prior.take_dry(told, one, value)
            continue
        reading = known_difference(line, piece) if piece else None
        if reading is not None and line.difference is not None:
            told = shim_prior.take_dry(told, reading, line.difference)
    return told


def _piece_of(line: DryLine, pieces: Mapping[str, tuple[Piece, ...]]) -> Piece | None:
    return next((p for p in pieces.get(line.adjuster, ()) if p.dry == line.key), None)


def _ranked(
    told: shim_model.State,
    rows: Array,
    halves: tuple[float, ...],
    lines: tuple[DryLine, ...],
    pieces: Mapping[str, tuple[Piece, ...]],
) -> tuple[DryLine, ...]:
    """Dry readings still worth taking first, by what they narrow per minute."""
    offered = {}
    for line in lines:
        piece = _piece_of(line, pieces)
        reading = known_difference(line, piece) if piece and line.open else None
        if reading is not None:
            offered[line.key] = reading
    advice = shim_prior.rank_dry_readings(told, rows, halves, list(offered.values()))
    by_key = {line.key: line for line in lines}
    first = [
        replace(by_key[one.name], narrowing=one.narrowing, per_minute=one.per_minute)
        for one in advice
    ]
    return (*first, *(line for line in lines if line.key not in offered))


def _labels(
    state: State,
    adjusters: list[Adjuster],
    pieces: Mapping[str, tuple[Piece, ...]],
    inside: list[Response],
) -> dict[str, str]:
    labels = {}
    for adjuster in adjusters:
        for piece in pieces[adjuster.key]:
            where = f"{piece.label}, at the {adjuster.name}"
            labels[piece.name] = where
            labels[f"old:{piece.name}"] = f"old {where}"
            labels[f"new:{piece.name}"] = f"new {where}"
        for age in ("old", "new"):
            labels[f"{age}:{adjuster.key}|pack"] = f"as-found pack not measured: {adjuster.name}"
        labels[f"pack:{adjuster.key}"] = f"thickness of the {adjuster.name}'s shims"
    for response in inside:
        what = "tooth thickness" if response.kind == "lash" else "drag and friction"
        what = what if response.kind in ("lash", "turning-torque", "preload") else "reading"
        for age in ("", "old:", "new:"):
            labels[f"{age}own|{response.key}"] = f"{what}, {response.name}"
        labels[f"offset:{response.key}"] = f"what stacks up behind the {response.name}"
        labels[f"gauge:{response.key}"] = f"gauge of the {response.name}"
        for adjuster in adjusters:
            label = f"how much the {adjuster.name} moves the {response.name}"
            labels[f"rate:{response.key}|{adjuster.key}"] = label
    return labels


def size_doubt_of(adjuster: Adjuster, measured: bool) -> float:
    """Standard deviation of one shim's thickness."""
    if measured:
        return MEASURED_DOUBT
    return adjuster.size_doubt.value if adjuster.size_doubt else SIZE_DOUBT


def readings_on(state: State, response: Response, occasion: str) -> tuple[Taken, ...]:
    """Readings of a response on one occasion, counted or not."""
    return tuple(one for one in taken(state, response) if one.occasion == occasion)


__all__ = [
    "LeftOut",
    "Leg",
    "build_leg",
    "half_of",
    "middle_of",
    "readings_on",
    "size_doubt_of",
    "values_of",
    "window_in_force",
]  # fmt: skip
