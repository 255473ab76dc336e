"""How a range narrowed from take-in to inspection, and sums in round money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

from casewright.errors import MissingError
from casewright.reasoning.quote import Range


@dataclass(frozen=True, slots=True)
class Staged:
    """The range as it stood at one stage of the job."""

    stage: str
    cost: Range


@dataclass(frozen=True, slots=True)
class Narrowing:
    """The newest range with the earlier ones behind it, oldest first.

    `widths` are shares of the first width; `surprises` names stages whose mean lay outside the
    range of the stage before, from one in ten below to one in ten above.
    """

    now: Staged
    earlier: tuple[Staged, ...]
    widths: tuple[float, ...]
    surprises: tuple[str, ...]


def narrowing(stages: Sequence[Staged]) -> Narrowing:
    """The newest range with the earlier ones behind it: how it narrowed, where it surprised.

    Args:
        stages: ranges in the order in which they were told, at least one [currency].
    Returns:
        newest, earlier, widths as shares of the first [-].
    Valid: ranges of the same choice.
    Raises: MissingError where there is no stage.
    Source: own: ratios of widths.
    """
    if not stages:
        raise MissingError("stages", "at least one range")
    first = stages[0].cost.width
    surprises = tuple(
        new.stage
        for old, new in pairwise(stages)
        if not old.cost.one_in_ten_below <= new.cost.mean <= old.cost.one_in_ten_above
    )
    widths = tuple(each.cost.width / first if first else 0.0 for each in stages)
    return Narrowing(stages[-1], tuple(stages[:-1]), widths, surprises)


def as_money(value: float, unit: Decimal = Decimal("0.01")) -> Decimal:
    """A simulated sum as decimal money, rounded half up to a unit that doesn't feign precision.

    Args:
        value: simulated sum [currency].
        unit: rounding unit, 0.01 or 10 or 50 [currency].
    Returns:
        rounded sum [currency].
    Valid: finite values.
    Raises: nothing.
    Source: common practice: a range is told in round sums.
    Example:
        >>> as_money(2061.352, Decimal(10))
        Decimal('2060')
    """
    steps = (Decimal(repr(value)) / unit).quantize(Decimal(1), rounding=ROUND_HALF_UP)
    return steps * unit
