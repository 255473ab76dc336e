"""Earlier jobs of the same leg: what was read then goes on telling."""

from __future__ import annotations

from collections.abc import Callable

from casewright.job.state import State
from casewright.store.protocol import LogStore


def earlier_jobs(
    store: LogStore, job: str, state: State, state_of: Callable[[str], State]
) -> tuple[State, ...]:
    """States of the jobs that were opened before this one for the leg with the same number.

    A leg without a number has no earlier jobs: nothing is guessed from names.
    """
    if state.opened is None:
        return ()
    others = [one for one in store.jobs_of_leg(state.opened.body.leg_serial) if one != job]
    found = [(kept.happened_at, one) for one in map(state_of, others) if (kept := one.opened)]
    before = [pair for pair in found if pair[0] < state.opened.happened_at]
    return tuple(one for _, one in sorted(before, key=lambda pair: pair[0]))
