"""When no pack reaches the window: which window, by how much, and what would explain it.

Each explanation says how the readings would differ from the first guess if it were true (a
shift with a spread, one-sided where it can only go one way); Bayes ranks them. The shares
that they start with are assumed, a shop's own counts replace them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from casewright.errors import InputError, MissingError
from casewright.reasoning.shim_choice import Advice
from casewright.reasoning.shim_model import Sensitivity, SetUp, State, windows
from casewright.reasoning.shim_update import Reading, reading_rows

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Gap:
    """A window that the best packs miss: by how much the mean lies outside, and which way."""

    response: str
    mean: float
    chance: float
    beyond: float
    side: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """What would explain readings off the first guess: reading name to (shift, spread).

    The shifts of one explanation move together (one cause); `share` is how often it is the
    reason beforehand.
    """

    name: str
    share: float
    shifts: Mapping[str, float]
    spread: float
    check: str = ""


@dataclass(frozen=True, slots=True)
class Ranked:
    """An explanation with its chance now, and the size that fits best [of its unit shift]."""

    name: str
    chance: float
    size: float
    check: str


def missed_windows(set_up: SetUp, advice: Advice, enough: float = 0.5) -> tuple[Gap, ...]:
    """Windows that even the best packs don't reach, worst first.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        advice: from `shim_choice.choose` [-].
        enough: chance under which a window counts as not reached [-].
    Returns:
        gaps [m or N·m], `beyond` 0 where the mean is inside but its doubt is too wide.
    Valid: windows for every reading are narrowed by the run-out first.
    Raises: nothing.
    Source: own: distance of the forecast from the window.
    """
    low, high, _ = windows(set_up)
    gaps = []
    for one, bottom, top in zip(advice.best.forecasts, low, high, strict=True):
        if one.chance < enough:
            under, over = float(bottom - one.mean), float(one.mean - top)
            side = "below" if under > over else "above"
            side = side if max(under, over) > 0 else "too uncertain"
            gaps.append(Gap(one.name, one.mean, one.chance, max(under, over, 0.0), side))
    return tuple(sorted(gaps, key=lambda gap: gap.chance))


def usual_explanations(
    sensitivities: Sequence[Sensitivity],
    gauges: Mapping[str, Sequence[str]],
    off: Mapping[str, float] | None = None,
) -> tuple[Explanation, ...]:
    """What usually stands in the way, for each seat and gauge of this leg.

    Dirt or a cup not seated acts as a thicker pack at that seat (one way); a wrong part
    either way and wide; a gauge off moves all its readings alike; a bore out of square after
    a strike moves every lash of its seat's member without moving the height.

    Args:
        sensitivities: of the leg [response unit per m].
        gauges: gauge name to the responses read with it [-].
        off: how far a gauge that is off moves each response [unit]; 0.1 mm where not given.
    Returns:
        explanations [-] with shares that are assumed.
    Valid: one cause at a time.
    Raises: MissingError without sensitivities.
    Source: common practice, no source: the list and its shares are assumed.
    """
    if not sensitivities:
        raise MissingError("sensitivities", "at least one")
    found = [Explanation("the spread that was assumed", 0.30, {}, 0.0, "fit the best packs")]
    for seat in dict.fromkeys(rate.adjuster for rate in sensitivities):
        shifts = {r.response: r.value for r in sensitivities if r.adjuster == seat}
        check = f"take the {seat} cup out, clean it, press it home, measure again"
        found += [
            Explanation(f"dirt under the {seat} cup", 0.15, _scaled(shifts, 1e-4), 0.5, check),
            Explanation(f"{seat} cup not seated", 0.10, _scaled(shifts, 4e-4), 0.5, check),
            Explanation(
                f"wrong part at {seat}", 0.06, _scaled(shifts, 1e-3), -1.0, "compare part numbers"
            ),
            Explanation(
                f"pack miscounted at {seat}",
                0.08,
                _scaled(shifts, 1.5e-4),
                -1.0,
                "measure the pack",
            ),
        ]
    for gauge, responses in gauges.items():
        shifts = {one: (off or {}).get(one, 1e-4) for one in responses}
        found.append(Explanation(f"{gauge} off", 0.10, shifts, -1.0, f"check the {gauge}"))
    lashes = dict.fromkeys((r for rs in gauges.values() for r in rs if "lash" in r), 1e-4)
    if lashes:
        check = "measure the bores' squareness"
        found.append(Explanation("bore not square after a strike", 0.05, lashes, -1.0, check))
    return tuple(found)


def _scaled(shifts: Mapping[str, float], size: float) -> dict[str, float]:
    """Shifts for a move of that size."""
    return {name: value * size for name, value in shifts.items()}


def rank_explanations(
    set_up: SetUp,
    state: State,
    packs: ArrayLike,
    readings: Sequence[Reading],
    explanations: Sequence[Explanation],
) -> tuple[Ranked, ...]:
    """Explanations ranked by their chance, given readings and the first guess.

    An explanation with `spread` above 0 has a size of 1 ± spread (one way); below 0 a size
    of 0 ± |spread| (either way). Readings are normal given the explanation.

    Args:
        set_up: the leg's responses, adjusters and rates [-].
        state: the first guess, before these readings [-].
        packs: packs fitted [m], [adjusters].
        readings: what was read [-].
        explanations: what could be [-].
    Returns:
        chances that sum to 1, largest first, and the size of each that fits best [-].
    Valid: exactly one of the explanations.
    Raises: InputError for no readings or no explanations.
    Source: own: Bayes with normal likelihoods.
    """
    if not readings or not explanations:
        raise InputError("diagnosis", "nothing to weigh", "readings and explanations")
    rows = reading_rows(set_up, state, packs, readings)
    noise = np.array([one.deviation**2 for one in readings])
    base = rows @ state.covariance @ rows.T + np.diag(noise)
    miss = np.array([one.value for one in readings]) - rows @ state.mean
    fits = [_fit(base, miss, readings, one) for one in explanations]
    scores = np.array([np.log(one.share) for one in explanations]) + [fit[0] for fit in fits]
    weight = np.exp(scores - scores.max())
    ranked = [
        Ranked(one.name, float(w), fit[1], one.check)
        for one, w, fit in zip(explanations, weight / weight.sum(), fits, strict=True)
    ]
    return tuple(sorted(ranked, key=lambda one: -one.chance))


def _fit(
    base: Array, miss: Array, readings: Sequence[Reading], one: Explanation
) -> tuple[float, float]:
    """Log likelihood of the misses under an explanation, and the size that fits best."""
    shift = np.array([one.shifts.get(reading.response, 0.0) for reading in readings])
    centre = 1.0 if one.spread > 0 else 0.0
    spread = base + one.spread**2 * np.outer(shift, shift)
    scale = np.sqrt(np.diag(spread))
    scaled, rest = spread / np.outer(scale, scale), (miss - centre * shift) / scale
    solved = np.linalg.solve(scaled, rest)
    volume = 0.5 * np.linalg.slogdet(scaled)[1] + np.log(scale).sum()
    size = centre + one.spread**2 * float((shift / scale) @ solved)
    return float(-0.5 * rest @ solved - volume), size
