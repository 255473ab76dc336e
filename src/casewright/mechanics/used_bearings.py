"""A bearing that has run already: how far it goes on, given that it got this far.

Estimates: fatigue alone, at the load and oil of the rating. What the eye finds comes first.
"""

from __future__ import annotations

import math

from casewright.errors import RangeError

# Constants of the three-parameter life, as multiples of the rating life (Shigley ch. 11).
GUARANTEED, CHARACTERISTIC, SHAPE = 0.02, 4.459, 1.483


def service_left(run: float, rating_life: float, chance: float) -> float:
    """Service that a bearing still sound after `run` reaches with a chance.

    Args:
        run: service so far [s].
        rating_life: life that nine in ten new ones reach [s].
        chance: wanted chance [-].
    Returns:
        service from now [s]; x = x0 + (θ - x0)(used^b - ln chance)^(1/b), less what it has run.
    Valid: three-parameter Weibull life; same load, speed and oil as before; sound so far.
    Raises: RangeError for a chance outside 0 to 1, a life or service that isn't possible.
    Source: SHIGLEY ch. 11 bearing survival, conditional on having survived
    """
    _check(run, rating_life)
    if not 0 < chance < 1:
        raise RangeError("chance", chance, "between 0 and 1")
    used = max(run / rating_life - GUARANTEED, 0.0) / (CHARACTERISTIC - GUARANTEED)
    whole = (used**SHAPE - math.log(chance)) ** (1 / SHAPE)
    return float(GUARANTEED + (CHARACTERISTIC - GUARANTEED) * whole) * rating_life - run


def _check(run: float, rating_life: float) -> None:
    if not rating_life > 0:
        raise RangeError("rating life", rating_life, "more than zero")
    if not run >= 0:
        raise RangeError("service", run, "zero or more")
