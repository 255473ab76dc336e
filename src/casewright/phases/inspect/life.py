"""Hours to the limit where one piece was read twice, some time of service apart. An estimate."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from casewright.errors import CasewrightError
from casewright.job.measured import (
    DAY,
    LEAST_DAYS,
    Measured,
    OneReading,
    is_earlier,
    same_visit,
    service_of,
)
from casewright.job.state import State
from casewright.reasoning.wear import WearLife, hours_to_limit


@dataclass(frozen=True, slots=True)
class Life:
    """Wear between two readings of one piece [m] and what follows [s]; by hours or by calendar."""

    earlier: float
    later: float
    apart: float
    by_calendar: bool
    found: WearLife


def life_of(state: State, item: Measured) -> Life | None:
    """The wear life of a feature on one piece; None where its readings don't carry one."""
    last = item.stands
    if not (last.sized and last.sized.budget) or item.limits.dimension != "length":
        return None
    rows = [one for one in item.others if one.sized and one.sized.budget]
    earlier = [one for one in rows if not same_visit(one, last)]
    if not (earlier and item.limits.known):
        return None
    first = min(earlier, key=lambda one: (not is_earlier(state, one.reading), _when(one)))
    apart, by_calendar = _apart(state, first, last)
    limit = _towards(item, _value(first), _value(last))
    if apart <= 0 or limit is None:
        return None
    try:
        found = _life(
            _value(first), first.uncertainty, _value(last), last.uncertainty, apart, limit,
            _correlation(first, last),
        )  # fmt: skip
    except CasewrightError:
        return None
    return Life(_value(first), _value(last), apart, by_calendar, found)


_life = lru_cache(maxsize=256)(hours_to_limit)


def _value(one: OneReading) -> float:
    assert one.sized
    assert one.sized.budget
    return one.sized.budget.value


def _apart(state: State, first: OneReading, last: OneReading) -> tuple[float, bool]:
    """Service time between two readings [s], and whether only the calendar tells it."""
    early, late = (service_of(state, one.reading) for one in (first, last))
    if early is not None and late is not None and late > early:
        return late - early, False
    moments = [datetime.fromisoformat(one.reading.happened_at) for one in (first, last)]
    seconds = (moments[1] - moments[0]).total_seconds()
    return (seconds, True) if seconds >= LEAST_DAYS * DAY else (0.0, True)


def _when(one: OneReading) -> str:
    return one.reading.happened_at


def _towards(item: Measured, earlier: float, later: float) -> float | None:
    """The limit that it wears towards; None where it stands still or none lies there."""
    if later == earlier:
        return None
    return item.limits.high if later > earlier else item.limits.low


def _correlation(first: OneReading, last: OneReading) -> float:
    """One instrument's calibration is in both readings, as is a flank's or a wire's doubt."""
    shared = 0.0
    if first.instrument.name == last.instrument.name:
        shared = first.instrument.instrument.calibration_uncertainty**2
    one, other = (each.sized.brought if each.sized else None for each in (first, last))
    if one is not None and other is not None:
        shared += one.in_common(other)
    return max(-0.99, min(shared / (first.uncertainty * last.uncertainty), 0.99))
