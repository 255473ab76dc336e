"""Sizes that a dial gives: run-out, a shaft read along its length, spans; and small amplitudes.

An amplitude fitted to scattered readings can't be below nothing, so that near nothing value ± doubt
isn't straight any more: there the doubt is found by Monte Carlo.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from casewright.errors import CasewrightError, InputError, MissingError
from casewright.job.typed import Sized, Typed
from casewright.mechanics.runout import FORM_RATIO, fit_runout
from casewright.mechanics.shaft_bend import ShaftBend, shaft_bend
from casewright.reasoning.montecarlo import Draw, simulate
from casewright.reasoning.readings import Instrument
from casewright.reasoning.uncertainty import (
    Budget,
    Component,
    budget,
    coverage_factor,
    from_resolution,
)

# Below this many standard uncertainties an amplitude is too near nothing for a straight ±.
STRAIGHT = 5.0
DRAWS = 200_000
BY_DRAWS = (
    "So near nothing that a plain ± would mislead: value and doubt by Monte Carlo, 200 000 draws "
    "seeded from the readings."
)


def budget_of(
    typed: Typed, value: float, parts: Sequence[Component], notes: Sequence[str] = ()
) -> Budget:
    """The budget of a reading, an overdue instrument noted in it."""
    overdue = ("The instrument's calibration was overdue.",) if typed.instrument.overdue else ()
    return budget(value, parts, unit=typed.unit, notes=(*notes, *overdue))


def run_out(typed: Typed, one_place: Callable[[Typed], Sized]) -> Sized:
    """One number is the dial's span as noted; three or more round the turn are fitted."""
    if len(typed.values) == 1:
        return replace(one_place(typed), what="total movement of the dial, as noted")
    if typed.along:
        return _along(typed)
    if len(typed.values) == 2:
        said = "Two positions: the true run-out may be larger. Read at three or more, best eight."
        return span(typed, abs(typed.values[0] - typed.values[1]), (said,))
    try:
        turn = fit_runout(typed.values, typed.angles)
    except CasewrightError as error:
        return span(typed, max(typed.values) - min(typed.values), (str(error),))
    if turn.raw_span > FORM_RATIO * turn.total_indicated:
        found = span(typed, turn.raw_span, turn.warnings)
        return replace(found, turn=turn)
    spread = None if turn.uncertainty is None else 2 * turn.uncertainty
    scatter = fitted(typed, spread, turn.degrees_of_freedom)
    made, said_too = amplitude(typed, turn.total_indicated, scatter, dial_parts(typed.instrument))
    what = "run-out, twice the eccentricity of the once-per-turn wave"
    return Sized(what, made, turn=turn, notes=(*turn.warnings, *said_too))


def _along(typed: Typed) -> Sized:
    """A shaft read at several places: the one that runs out most about its supports is judged."""
    count = len(typed.along)
    # Without angles, fewer or more than were asked for could be anywhere: a whole place left out
    # would be taken for marks left out at each.
    around = len(typed.values) // count if typed.angles else typed.directions
    if len(typed.values) != count * around:
        raise InputError(
            "values", len(typed.values),
            f"{typed.directions} readings at each of the {count} places, place after place",
        )  # fmt: skip
    rounds = [typed.values[k * around : (k + 1) * around] for k in range(count)]
    angles = _same_angles(typed.angles, count, around)
    bend = shaft_bend(typed.along, rounds, typed.held, typed.supports, angles)
    worst = bend.worst
    spread = None if worst.uncertainty is None else 2 * worst.uncertainty
    scatter = fitted(typed, spread, bend.degrees_of_freedom, around)
    made, said = amplitude(typed, worst.run_out, scatter, dial_parts(typed.instrument))
    what = f"largest run-out of {count} places along, about the supports"
    return Sized(what, made, bend=bend, notes=(*_warned(bend), *said))


def _same_angles(
    angles: tuple[float, ...] | None, count: int, around: int
) -> tuple[float, ...] | None:
    """The angles of one round where all rounds share them."""
    if angles is None:
        return None
    rows = {angles[k * around : (k + 1) * around] for k in range(count)}
    if len(rows) != 1:
        raise InputError("at", "other angles at other places", "the same marks at every place")
    return rows.pop()


def _warned(bend: ShaftBend) -> tuple[str, ...]:
    """Warnings of the fits, those of all places said once; form is told place by place."""
    said = [note for one in bend.stations for note in one.fit.warnings if "dial moved" not in note]
    return tuple(dict.fromkeys(said))


def amplitude(
    typed: Typed, value: float, scatter: Component, others: Sequence[Component]
) -> tuple[Budget, tuple[str, ...]]:
    """Budget of a fitted amplitude; by Monte Carlo where it is near nothing against its doubt."""
    parts = [part for part in (scatter, *others) if part.standard_uncertainty > 0]
    if not parts:
        raise MissingError("uncertainty", "a resolution or a scatter of the instrument")
    plain = budget_of(typed, value, parts)
    if value >= STRAIGHT * scatter.standard_uncertainty:
        return plain, ()
    return _drawn(typed, value, scatter, parts[1:] if parts[0] is scatter else parts), (BY_DRAWS,)


def _drawn(typed: Typed, value: float, scatter: Component, others: Sequence[Component]) -> Budget:
    """|(V + x, y)| + z: scatter both along and across the wave, the rest along the reading.

    Only a high limit is held against an amplitude, so the upper half of the 95 % interval counts.
    """
    freedom = scatter.degrees_of_freedom
    shape = "normal" if math.isinf(freedom) else "t"
    across = Draw(0.0, scatter.standard_uncertainty, shape, freedom)
    rest = Draw(0.0, math.sqrt(math.fsum(part.contribution**2 for part in others)))
    found = simulate(
        lambda x, y, z: np.hypot(value + x, y) + z,
        (across, across, rest), repr((typed, value)), DRAWS,
    )  # fmt: skip
    upper = (found.high - found.mean) / coverage_factor(math.inf)
    return budget_of(typed, found.mean, [Component("Monte Carlo", upper)], (BY_DRAWS,))


def fitted(typed: Typed, spread: float | None, freedom: int, count: int = 0) -> Component:
    """Scatter of twice a fitted amplitude: from residuals, else from the instrument's scatter."""
    if spread is not None and spread > 0:
        return Component("scatter of the fit", spread, float(freedom), "A")
    known = typed.instrument
    scatter = (known.repeatability or 0.0) * 2 * math.sqrt(2 / (count or len(typed.values)))
    return Component("scatter of the readings", scatter, known.repeatability_freedom, "A")


def dial_parts(instrument: Instrument) -> tuple[Component, ...]:
    """A span is the difference of two readings: both are rounded; calibration counts once."""
    return (
        Component("resolution", math.sqrt(2) * from_resolution(instrument.resolution)),
        Component("calibration", instrument.calibration_uncertainty),
    )


def span(typed: Typed, moved: float, notes: tuple[str, ...]) -> Sized:
    """All that the dial moved, judged as it stands."""
    known = typed.instrument
    scatter = math.sqrt(2) * (known.repeatability or 0.0)
    parts = [
        Component("scatter of two readings", scatter, known.repeatability_freedom, "A"),
        *dial_parts(known),
    ]
    kept = [part for part in parts if part.standard_uncertainty > 0]
    if not kept:
        raise MissingError("uncertainty", "a resolution or a scatter of the instrument")
    return Sized("all that the dial moved", budget_of(typed, moved, kept), notes=notes)
