"""Pattern sensitivities of one leg family, measured by trials with known moves.

Nothing here is computed from a drawing: without two known moves that differ there is no
answer, and the tool asks for them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from casewright.errors import MissingError, RangeError
from casewright.mechanics.contact_pattern import SeenPattern, Wanted, on_gear

RESPONSES = ("drive along", "drive up", "coast along", "coast up")
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PatternTrial:
    """A pattern seen with the members at known places, + away from the apex [m]."""

    pinion: float
    gear: float
    pattern: SeenPattern


@dataclass(frozen=True, slots=True)
class PatternSensitivity:
    """Pattern centre for moves of pinion and gear on one leg family.

    `matrix` (4, 2) in shares per metre, rows as RESPONSES, columns pinion and gear; `base`
    (4,) with both at zero; `covariance` (3, 3) of one row of (base, pinion, gear).
    """

    matrix: Array
    base: Array
    covariance: Array
    trials: int
    residual: float


def learn_sensitivity(
    trials: Sequence[PatternTrial], tap_deviation: float | None = None
) -> PatternSensitivity:
    """Sensitivity of the pattern from one leg's trials; least squares of centres on known places.

    Args:
        trials: at least three patterns: a first and two known moves that differ [m, -].
        tap_deviation: standard deviation of a seen centre; None takes the least sure one's, or the
            scatter about the fit where that is larger [-].
    Returns:
        PatternSensitivity: shares of the tooth per metre [1/m].
    Valid: small moves of the same pair; both flanks seen.
    Raises: MissingError naming the move that is still wanted, RangeError for bad patterns.
    Source: own: ordinary least squares with the tap's spread
    """
    return learn_from_legs([trials], tap_deviation)


def learn_from_legs(
    legs: Sequence[Sequence[PatternTrial]], tap_deviation: float | None = None
) -> PatternSensitivity:
    """Sensitivity of a leg family's pattern: each leg has its own base, all share the rates.

    Args:
        legs: trials leg by leg, at least two known moves that differ among all of them [m, -].
        tap_deviation: as in `learn_sensitivity` [-].
    Returns:
        PatternSensitivity: shares of the tooth per metre [1/m]; `base` is the first leg's.
    Valid: small moves; legs of one family with the same teeth. A leg seen once teaches nothing.
    Raises: MissingError naming the move that is still wanted, RangeError for bad patterns.
    Source: own: least squares with a base for each leg; scatter between legs widens the doubt
    """
    trials = [trial for leg in legs for trial in leg]
    _told_apart(legs)
    places = _places(legs)
    seen = np.array([_centres(t.pattern) for t in trials])
    fitted = np.linalg.lstsq(places, seen, rcond=None)[0]
    off = places @ fitted - seen
    deviation = tap_deviation or max(_deviation([t.pattern for t in trials]), _scatter(places, off))
    kept = (0, -2, -1)  # the first leg's base, pinion and gear
    inverse: Array = np.linalg.inv(places.T @ places).astype(np.float64)
    covariance = deviation**2 * inverse[np.ix_(kept, kept)]
    residual = float(np.abs(off).max())
    return PatternSensitivity(fitted[-2:].T.copy(), fitted[0], covariance, len(trials), residual)


def _told_apart(legs: Sequence[Sequence[PatternTrial]]) -> None:
    """Known moves must tell pinion from gear, and be larger than a shim's own doubt."""
    moves = np.array(
        [(t.pinion - leg[0].pinion, t.gear - leg[0].gear) for leg in legs for t in leg[1:]]
    )
    wanted = "a first pattern and two trials with known moves, one of the pinion, one of the gear"
    if len(moves) < 2:
        raise MissingError("pattern trials", wanted, f"There are {sum(map(len, legs))}.")
    strengths = np.linalg.svd(moves, compute_uv=False)
    if strengths[-1] < 5e-6 or strengths[-1] < 0.05 * strengths[0]:
        raise MissingError(
            "pattern trials", wanted, f"Not yet told apart: move the {_weaker(moves)} alone."
        )


def _places(legs: Sequence[Sequence[PatternTrial]]) -> Array:
    """One row a trial: which leg, then where its pinion and its gear stood [m]."""
    bases = np.repeat(np.eye(len(legs)), [len(leg) for leg in legs], axis=0)
    moved = np.array([(t.pinion, t.gear) for leg in legs for t in leg])
    return np.hstack([bases, moved])


def _scatter(places: Array, off: Array) -> float:
    """Standard deviation about the fit, where there are more trials than it takes [-]."""
    freedom = places.shape[0] - places.shape[1]
    return float(np.sqrt((off**2).sum() / (off.shape[1] * freedom))) if freedom > 0 else 0.0


def _deviation(patterns: Sequence[SeenPattern]) -> float:
    """Standard deviation of the least sure centre; its doubt is taken as two of them [-]."""
    patches = [p for one in patterns for p in (one.drive, one.coast) if p is not None]
    return max(max(p.along_doubt, p.up_doubt) for p in patches) / 2


def _weaker(moves: Array) -> str:
    pinion, gear = np.abs(moves).max(0)
    return "pinion" if pinion < gear else "gear"


def _centres(pattern: SeenPattern) -> Array:
    seen = on_gear(pattern)
    if seen.drive is None or seen.coast is None:
        raise MissingError("pattern", "both the drive and the coast flank, to learn from it")
    return np.array([seen.drive.along, seen.drive.up, seen.coast.along, seen.coast.up])


@dataclass(frozen=True, slots=True)
class PatternMoves:
    """Moves that would bring the pattern to the wanted middle [m], with standard deviations."""

    pinion: float
    gear: float
    pinion_deviation: float
    gear_deviation: float
    left_over: float


def moves_from_pattern(
    learned: PatternSensitivity | None,
    pattern: SeenPattern,
    wanted: Wanted | None = None,
    tap_deviation: float | None = None,
) -> PatternMoves:
    """Moves towards the wanted pattern, from measured sensitivities only.

    Args:
        learned: sensitivity measured on this leg family; None refuses [-].
        pattern: as seen now, both flanks [-].
        wanted: where the pattern should be on the gear [-].
        tap_deviation: standard deviation of a seen centre; None takes this pattern's own [-].
    Returns:
        PatternMoves: pinion and gear, + away from the apex, standard deviations [m];
        `left_over` is how far the pattern stays off [-].
    Valid: as `learn_sensitivity`; the doubt of the sensitivities is carried to first order.
    Raises: MissingError without measured sensitivities or without both flanks.
    Source: own: least squares and linear propagation
    """
    if learned is None:
        raise MissingError(
            "pattern sensitivities",
            "sensitivities measured on this leg family",
            "Make two trials with known moves and record the pattern after each.",
        )
    goal = wanted or Wanted()
    middle = np.array([sum(goal.along) / 2, sum(goal.up) / 2] * 2)
    miss = middle - _centres(pattern)
    gain = np.linalg.pinv(learned.matrix)
    moves = gain @ miss
    deviation = _deviation([pattern]) if tap_deviation is None else tap_deviation
    doubt = deviation**2 + moves @ learned.covariance[1:, 1:] @ moves
    spread = np.sqrt(np.diag(doubt * gain @ gain.T))
    if not np.isfinite(spread).all():
        raise RangeError("pattern sensitivities", learned.matrix, "a pattern that moves")
    left = float(np.abs(miss - learned.matrix @ moves).max())
    return PatternMoves(float(moves[0]), float(moves[1]), float(spread[0]), float(spread[1]), left)
