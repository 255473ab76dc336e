"""Damage that comes together: pieces of one unit share a trouble, so they are condemned together.

One hidden yes-or-no for each unit (struck hard, stood in water, ran dry). Where it is so, every
piece there is likelier to be condemned, where it isn't, less likely; the chance of each piece alone
stays what the sheet says.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from casewright.errors import RangeError


def with_trouble(chance: float, trouble: float, share: float) -> tuple[float, float]:
    """Chances to be condemned with the shared trouble and without it, the overall one kept.

    Without: b = max(p·(1 - w), (p - q) / (1 - q)); with: a = (p - (1 - q)·b) / q.

    Args:
        chance: overall chance p that the piece is condemned [-].
        trouble: chance q of the shared trouble [-].
        share: share w of the piece's chance that only the trouble brings [-].
    Returns:
        chance with the trouble, chance without it [-].
    Valid: 0 ≤ p ≤ 1, 0 < q < 1, 0 ≤ w ≤ 1; where p is too high for its share to come from the
        trouble alone, the piece is surely condemned with it and the share is less.
    Raises: RangeError for chances and shares out of range.
    Source: own: total probability, q·a + (1 - q)·b = p.
    Example:
        >>> [round(each, 3) for each in with_trouble(0.3, 0.3, 0.5)]
        [0.65, 0.15]
    """
    for name, value in (("chance", chance), ("share", share)):
        if not 0 <= value <= 1:
            raise RangeError(name, value, "0 to 1")
    if not 0 < trouble < 1:
        raise RangeError("trouble", trouble, "above 0, below 1")
    without = max(chance * (1 - share), (chance - trouble) / (1 - trouble))
    given = (chance - (1 - trouble) * without) / trouble
    return min(1.0, max(0.0, given)), min(1.0, without)


def trouble_seen(seen: Iterable[tuple[float, bool]], trouble: float, share: float) -> float:
    """Chance of the shared trouble once some pieces are decided: Bayes over those pieces.

    Args:
        seen: overall chance of each decided piece [-], and whether it was condemned.
        trouble: chance of the trouble before anything was seen [-].
        share: as in `with_trouble` [-].
    Returns:
        chance of the trouble now [-].
    Valid: pieces independent once the trouble is known.
    Raises: RangeError as `with_trouble`.
    Source: own: Bayes' rule in odds.
    Example:
        >>> round(trouble_seen([(0.3, True), (0.3, True)], 0.3, 0.5), 3)
        0.889
    """
    yes, no = math.log(trouble), math.log1p(-trouble)
    for chance, condemned in seen:
        given, without = with_trouble(chance, trouble, share)
        yes += _log(given if condemned else 1 - given)
        no += _log(without if condemned else 1 - without)
    if math.isinf(yes) and math.isinf(no):
        return trouble
    return 1 / (1 + math.exp(min(700.0, no - yes)))


def _log(chance: float) -> float:
    return math.log(chance) if chance > 0 else -math.inf
