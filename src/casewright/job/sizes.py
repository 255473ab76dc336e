"""From what was typed for a feature to the one size that its limits are held against.

Size features (diameters, bores, lengths) are judged at the place nearest to a limit: every place
has to conform. Run-out is what the dial moves once per turn, or all it moves where form adds to it.
Everything here is numbers; which reading, which instrument and which limits is `measured`'s matter.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from itertools import product

from casewright.errors import CasewrightError
from casewright.job.dial_sizes import amplitude, budget_of, fitted, run_out, span
from casewright.job.instruments import by_place
from casewright.job.typed import Sized, Typed
from casewright.mechanics.form import CylinderForm, fit_cylinder, fit_plane
from casewright.reasoning.readings import reading_components, temperature_corrected
from casewright.reasoning.repeats import RepeatCheck, check_repeats
from casewright.reasoning.uncertainty import Component, coverage_factor, from_resolution

SIZES = ("diameter", "bore", "thickness", "length", "thread")
# A tooth's chord is so short that its warmth doesn't count.
WARMED = SIZES


@lru_cache(maxsize=512)
def sized(typed: Typed) -> Sized:
    """The size of a feature from what was typed."""
    found = _by_kind(typed)
    return replace(found, notes=(*typed.notes, *found.notes))


def _by_kind(typed: Typed) -> Sized:
    if typed.kind == "run-out":
        return run_out(typed, _one_place)
    if typed.kind == "ovality":
        return _ovality(typed)
    if typed.points is not None and typed.kind == "flatness":
        return _plane(typed)
    if typed.places > 1 or typed.kind in ("flatness", "squareness"):
        return _worst_place(typed)
    return _one_place(typed)


def _one_place(typed: Typed) -> Sized:
    """Mean of repeats at one place, corrected to 20 °C where a temperature was given."""
    mean = math.fsum(typed.values) / len(typed.values)
    return _at_20(typed, mean, typed.values, _repeated(len(typed.values)))


def _repeated(count: int) -> str:
    return "as read" if count == 1 else f"mean of {count} repeats"


@lru_cache(maxsize=256)
def repeats(typed: Typed) -> tuple[RepeatCheck, ...]:
    """Whether the repeats at each place agree; apart from the size, since it takes its time."""
    if typed.kind in ("run-out", "flatness") or typed.points is not None:
        return ()
    checks = (_check(typed, group) for group in by_place(typed.values, typed.places))
    return tuple(check for check in checks if check is not None)


def _check(typed: Typed, values: tuple[float, ...]) -> RepeatCheck | None:
    known = typed.instrument
    scatter = known.repeatability or 0.0
    if len(values) < 2 or not (scatter or known.resolution):
        return None
    # Few repeats behind the scatter widen it as they widen a coverage factor; exact tables of the
    # range with few degrees of freedom cost a third of a second each.
    freedom = known.repeatability_freedom
    wide = coverage_factor(freedom) / coverage_factor(math.inf) if freedom >= 1 else 1.0
    return check_repeats(values, scatter * wide, math.inf, known.resolution)


def _at_20(typed: Typed, value: float, values: tuple[float, ...], what: str) -> Sized:
    """A local size with its budget; the temperature's doubt is part of it."""
    parts = list(reading_components(values, typed.instrument))
    correction, brought = None, typed.brought
    if brought is not None:
        parts += brought.components
        what = f"{what}, {brought.what}" if brought.what else what
    if typed.bodies is not None and typed.kind in WARMED:
        correction = temperature_corrected(value, *typed.bodies)
        value, parts = correction.value, [*parts, *correction.components]
        what = f"{what}, at 20 °C"
    if not parts:
        return Sized(what, None, notes=("Nothing is known of its uncertainty: no verdict.",))
    return Sized(what, budget_of(typed, value, parts), correction=correction, brought=brought)


def _worst_place(typed: Typed) -> Sized:
    """Several places: the one nearest to a limit is judged, the form is fitted beside it."""
    groups = _gaps(typed) or by_place(typed.values, typed.places)
    means = [math.fsum(group) / len(group) for group in groups]
    worst = min(range(len(means)), key=lambda place: _room(typed, means[place]))
    extreme = "largest" if means[worst] == max(means) else "smallest"
    what = f"{extreme} of {len(means)} places" if len(means) > 1 else _repeated(len(groups[0]))
    found = _at_20(typed, means[worst], groups[worst], what)
    form, notes = _form(typed)
    return replace(found, form=form, notes=notes)


def _gaps(typed: Typed) -> tuple[tuple[float, ...], ...]:
    """Gaps under a straight edge are places, never repeats: a mean would hide the largest."""
    return tuple((value,) for value in typed.values) if typed.kind == "flatness" else ()


def _room(typed: Typed, value: float) -> float:
    """Room to the nearer limit; without limits the largest counts as worst."""
    low = math.inf if typed.low is None else value - typed.low
    high = math.inf if typed.high is None else typed.high - value
    return -value if typed.low is None and typed.high is None else min(low, high)


def _form(typed: Typed) -> tuple[CylinderForm | None, tuple[str, ...]]:
    """Size, ovality, taper by least squares where the whole pattern of places was read."""
    if typed.kind not in ("diameter", "bore", "ovality"):
        return None, ()
    if len(typed.values) % typed.places:
        said = f"{len(typed.values)} readings for {typed.places} places: no form can be told."
        return None, (said,)
    heights, turns = _pattern(typed)
    try:
        form = fit_cylinder(typed.values, heights, turns)
    except CasewrightError as error:
        return None, (str(error),)
    return form, tuple(_capital(note) for note in form.notes)


def _pattern(typed: Typed) -> tuple[list[float], list[float]]:
    """Heights (in steps) and directions [rad] of the values: heights outside, directions inside."""
    rounds = len(typed.values) // typed.places
    if typed.angles is not None and typed.heights == 1:
        return [0.0] * len(typed.values), list(typed.angles)
    pairs = list(product(range(typed.heights), range(typed.directions))) * rounds
    return (
        [float(height) for height, _ in pairs],
        [math.pi * direction / typed.directions for _, direction in pairs],
    )


def _ovality(typed: Typed) -> Sized:
    form, notes = _form(typed)
    if len(typed.values) == 1:
        return _one_place(typed)
    if form is None or form.ovality is None:
        return Sized("ovality", None, form=form, notes=notes or ("Ovality not determinable.",))
    scatter = fitted(typed, form.ovality_uncertainty, form.degrees_of_freedom)
    steps = math.sqrt(2) * from_resolution(typed.instrument.resolution)
    found, said = amplitude(typed, form.ovality, scatter, [Component("resolution", steps)])
    what = "ovality, largest less smallest diameter of the fit"
    return Sized(what, found, form=form, notes=(*notes, *said))


def _plane(typed: Typed) -> Sized:
    """Flatness from heights at named points."""
    points = typed.points or ()
    if len(points) < 4:
        said = "Three points always lie in one plane: read the height at four or more."
        return Sized("heights", None, notes=(said,))
    plane = fit_plane([p[0] for p in points], [p[1] for p in points], typed.values)
    found = span(typed, plane.flatness, ())
    return replace(found, what="flatness, span about the best plane", plane=plane)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
