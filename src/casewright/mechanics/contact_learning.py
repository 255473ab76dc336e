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
    """Sensitivity of the pattern from trials; least squares of centres on known places.

    Args:
        trials: at least three patterns: a first and two known moves that differ [m, -].
        tap_deviation: standard deviation of a seen centre; None takes the least sure one's [-].
    Returns:
        PatternSensitivity: shares of the tooth per metre [1/m].
    Valid: small moves of the same pair or the same leg family; both flanks seen.
    Raises: MissingError naming the move that is still wanted, RangeError for bad patterns.
    Source: own: ordinary least squares with the tap's spread
    """
    wanted = "a first pattern and two trials with known moves, one of the pinion, one of the gear"
    if len(trials) < 3:
        raise MissingError("pattern trials", wanted, f"There are {len(trials)}.")
    places = np.array([(1.0, t.pinion, t.gear) for t in trials])
    moves = places[1:, 1:] - places[0, 1:]
    strengths = np.linalg.svd(moves, compute_uv=False)
    if strengths[-1] < 5e-6 or strengths[-1] < 0.05 * strengths[0]:
        raise MissingError(
            "pattern trials", wanted, f"Not yet told apart: move the {_weaker(moves)} alone."
        )
    seen = np.array([_centres(t.pattern) for t in trials])
    fitted = np.linalg.lstsq(places, seen, rcond=None)[0]
    deviation = _deviation([t.pattern for t in trials]) if tap_deviation is None else tap_deviation
    covariance = deviation**2 * np.linalg.inv(places.T @ places)
    residual = float(np.abs(places @ fitted - seen).max())
    return PatternSensitivity(fitted[1:].T.copy(), fitted[0], covariance, len(trials), residual)


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
