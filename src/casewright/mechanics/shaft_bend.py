"""Is the shaft bent? Run-out read at several places along it, held in V-blocks or on centres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, pi, sqrt
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from casewright.errors import InputError, RangeError
from casewright.mechanics.dial import blind_waves
from casewright.mechanics.runout import BentShaft, RunOut, bent_shaft, fit_runout
from casewright.working import Term, Working

FloatArray = npt.NDArray[np.floating[Any]]
Held = Literal["v-blocks", "centres"]
TURN = 2 * pi
RIGHT_ANGLE_V = pi / 2
# A place of the shaft this near to a support (share of the span) is read on the support.
NEAR = 0.02
# Lobes are named where they stand out of the scatter and aren't nothing against the run-out.
LOBES_STAND_OUT, LOBES_SHARE = 3.0, 0.2


@dataclass(frozen=True, slots=True)
class Lobes:
    """The largest form wave at a place: how many round the turn, all that it moves the dial [m]."""

    order: int
    span: float


@dataclass(frozen=True, slots=True)
class Station:
    """One place: along the shaft [m], its once-per-turn fit, offset from the axis of the supports.

    `offset` [m] with its angle [rad] and standard uncertainty [m]; twice it is the run-out that
    bend alone gives. `lobes` is None where form doesn't stand out, or too few readings can't tell.
    """

    along: float
    fit: RunOut
    offset: float
    phase: float
    uncertainty: float | None
    lobes: Lobes | None

    @property
    def run_out(self) -> float:
        """Total indicated run-out about the axis of the supports [m]."""
        return 2 * self.offset


@dataclass(frozen=True, slots=True)
class ShaftBend:
    """A shaft read along its length: every place, and the bow between the supports if there is one.

    `bow` is None where nothing was read between the supports; `notes` say what can't be seen.
    """

    held: Held
    supports: tuple[float, float]
    stations: tuple[Station, ...]
    worst: Station
    bow: BentShaft | None
    deviation: float | None
    degrees_of_freedom: int
    notes: tuple[str, ...]
    working: Working


def shaft_bend(
    along: Sequence[float],
    rounds: Sequence[Sequence[float]],
    held: Held,
    supports: tuple[float, float] | None = None,
    angles: Sequence[float] | None = None,
) -> ShaftBend:
    """Bend of a shaft from dial readings round the turn at several places along it.

    Offsets are vectors: e(z) less the line through the eccentricities at the two supports.

    Args:
        along: places from one end z [m], shape (m,).
        rounds: readings at each place [m], m rows of n; zero of angle the same at all places.
        held: "v-blocks" (the journals under it turn true) or "centres" (they may not) [-].
        supports: places of the V-blocks, or of the two journals whose axis counts [m]; the first
            and last place read where not given.
        angles: positions round the turn [rad], shape (n,); equal steps where not given.
    Returns:
        offset and run-out at each place [m], bow [m] and bend angle [rad], lobes, notes [-].
    Valid: three or more readings round, two or more places; small bends. On V-blocks what the
        block's own journal does can't be seen; on centres both journals have to be read.
    Raises: RangeError for too few places or readings; InputError for unequal counts.
    Source: own: vectors in the plane square to the shaft; GUM least squares for each place
    """
    places = np.asarray(along, dtype=float)
    _check(places, rounds)
    ends = supports or (float(places.min()), float(places.max()))
    fits = [fit_runout(row, angles) for row in rounds]
    turned = np.asarray([complex(fit.cosine, fit.sine) for fit in fits])
    _check_ends(ends)
    first, last = (_at_support(places, turned, end, held) for end in ends)
    share = (places - ends[0]) / (ends[1] - ends[0])
    offsets = turned - first - (last - first) * share
    deviation, freedom = _pooled(fits)
    spread = _spreads(share, deviation, len(rounds[0]), held)
    stations = tuple(
        Station(
            float(z), fit, float(abs(e)), float(np.angle(e) % TURN), u, _lobes(row, angles, fit)
        )
        for z, fit, e, u, row in zip(places, fits, offsets, spread, rounds, strict=True)
    )
    bow = _bow(places, offsets, ends)
    worst = max(stations, key=lambda one: one.offset)
    return ShaftBend(
        held, ends, stations, worst, bow, deviation, freedom,
        tuple(_notes(held, ends, stations, supports is None)), _working(stations, bow, ends),
    )  # fmt: skip


def _check(places: FloatArray, rounds: Sequence[Sequence[float]]) -> None:
    if places.size != len(rounds):
        raise InputError("places", places.size, f"one round of readings for each of {len(rounds)}")
    if places.size < 2 or np.ptp(places) <= 0:
        raise RangeError("places along the shaft", places.size, "two or more, apart")
    if len({len(row) for row in rounds}) != 1:
        raise InputError("readings", [len(row) for row in rounds], "as many at each place")


def _check_ends(ends: tuple[float, float]) -> None:
    if ends[0] == ends[1]:
        raise RangeError("supports", ends[0], "two places apart")


def _at_support(places: FloatArray, turned: Any, end: float, held: Held) -> complex:
    """Eccentricity at a support: nothing on a V-block, as read between centres."""
    near = int(np.argmin(abs(places - end)))
    if abs(places[near] - end) <= NEAR * float(np.ptp(places)):
        return complex(turned[near])
    if held == "v-blocks":
        return 0j
    raise RangeError(
        "places along the shaft", float(end), "a reading at each journal whose axis counts",
        "Between centres the journals run out too: read them, or hold the shaft in V-blocks.",
    )  # fmt: skip


def _pooled(fits: Sequence[RunOut]) -> tuple[float | None, int]:
    """Scatter of one reading about the once-per-turn waves of all places, with its freedom."""
    freedom = sum(fit.degrees_of_freedom for fit in fits)
    if not freedom:
        return None, 0
    squares = sum((fit.deviation or 0.0) ** 2 * fit.degrees_of_freedom for fit in fits)
    return sqrt(squares / freedom), freedom


def _spreads(
    share: FloatArray, deviation: float | None, count: int, held: Held
) -> list[float | None]:
    """Standard uncertainty of each offset along its own direction: own and both supports' part."""
    if deviation is None:
        return [None] * share.size
    own = 2 * deviation**2 / count
    others = (1 - share) ** 2 + share**2 if held == "centres" else np.zeros(share.size)
    return [sqrt(own * (1 + float(more))) for more in others]


def _lobes(row: Sequence[float], angles: Sequence[float] | None, fit: RunOut) -> Lobes | None:
    """The largest wave above the first that the readings can carry, where it stands out."""
    highest = min((len(row) - 1) // 2, 6)
    if highest < 2:
        return None
    try:
        whole = fit_runout(row, angles, harmonics=highest)
    except RangeError:
        return None
    wave = max(whole.waves[1:], key=lambda one: one.amplitude)
    rest = whole.deviation or 0.0
    stands = wave.amplitude > LOBES_STAND_OUT * rest * sqrt(2 / len(row))
    large = 2 * wave.amplitude > LOBES_SHARE * fit.total_indicated
    return Lobes(wave.order, 2 * wave.amplitude) if stands and large else None


def _bow(places: FloatArray, offsets: Any, ends: tuple[float, float]) -> BentShaft | None:
    """The bow between the supports, the line through them already taken off."""
    low, high = min(ends), max(ends)
    inside = [k for k, z in enumerate(places) if low < z < high]
    gap = NEAR * float(np.ptp(places))
    inside = [k for k in inside if min(abs(places[k] - low), abs(places[k] - high)) > gap]
    if not inside:
        return None
    z = [low, *(float(places[k]) for k in inside), high]
    e = [0j, *(complex(offsets[k]) for k in inside), 0j]
    return bent_shaft(z, [abs(one) for one in e], [atan2(one.imag, one.real) for one in e])


def _notes(
    held: Held, ends: tuple[float, float], stations: tuple[Station, ...], assumed: bool
) -> list[str]:
    low, high = min(ends), max(ends)
    found = []
    if assumed:
        found.append("The supports weren't named: the first and the last place read are taken.")
    if held == "v-blocks":
        hidden = ", ".join(str(n) for n in blind_waves(RIGHT_ANGLE_V) if n > 1)
        found.append(
            "V-blocks make the journals that lie in them turn true: a journal that is itself "
            "eccentric, or a bend right at a block, doesn't show. A 90° V hardly shows "
            f"{hidden} lobes. Between centres, both journals read, it would."
        )
    else:
        found.append(
            "Centres turn on their own holes: a knocked centre looks like run-out all along, and "
            "is taken off by the line through the two journals."
        )
    if all(low <= one.along <= high for one in stations):
        found.append("Nothing was read beyond the supports: a bent end there doesn't show.")
    if not any(low < one.along < high for one in stations):
        found.append("Nothing was read between the supports: a bow there doesn't show.")
    return found


def _working(
    stations: tuple[Station, ...], bow: BentShaft | None, ends: tuple[float, float]
) -> Working:
    steps = [Term(f"offset at {1000 * one.along:.0f} mm", one.offset, "m") for one in stations]
    outputs = [Term("largest run-out about the supports", max(s.run_out for s in stations), "m")]
    if bow is not None:
        outputs.append(Term("bow between the supports", bow.bow, "m"))
        outputs.append(Term("if it is one sharp bend", bow.bend_angle, "rad"))
    return Working(
        method="bend of a shaft: once-per-turn waves as vectors, less the line of the supports",
        formula="e(z) − e_a − (e_b − e_a)·(z − z_a)/(z_b − z_a); run-out = 2e",
        inputs=(Term("first support", ends[0], "m"), Term("second support", ends[1], "m")),
        outputs=tuple(outputs),
        source="vectors in the plane square to the shaft",
        steps=tuple(steps),
    )


def plane_of(stations: Sequence[Station], phase: float) -> tuple[float, ...]:
    """Offsets seen square to one plane through the axis, as a side view shows them; e cos(φ − p).

    Args:
        stations: the places [-].
        phase: angle of the plane p [rad].
    Returns:
        offsets in that plane [m].
    Valid: always.
    Raises: nothing.
    Source: own: projection of a vector
    """
    return tuple(one.offset * cos(one.phase - phase) for one in stations)
