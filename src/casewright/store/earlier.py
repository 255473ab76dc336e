"""What the shop's other jobs tell this one: earlier jobs of its leg, and jobs of its family."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.store.protocol import LogStore

StateOf = Callable[[str], State]


def with_memory(
    settings: Settings, store: LogStore, job: str, state: State, state_of: StateOf
) -> Settings:
    """The settings with what the store's other jobs tell of this job's leg and of its family."""
    return replace(
        settings,
        earlier=earlier_jobs(store, job, state, state_of),
        family=family_jobs(store, job, state, state_of),
    )


def earlier_jobs(store: LogStore, job: str, state: State, state_of: StateOf) -> tuple[State, ...]:
    """States of the jobs that were opened before this one for the leg with the same number.

    A leg without a number has no earlier jobs: nothing is guessed from names.
    """
    if state.opened is None:
        return ()
    others = [one for one in store.jobs_of_leg(state.opened.body.leg_serial) if one != job]
    found = [(kept.happened_at, one) for one in map(state_of, others) if (kept := one.opened)]
    before = [pair for pair in found if pair[0] < state.opened.happened_at]
    return tuple(one for _, one in sorted(before, key=lambda pair: pair[0]))


def family_jobs(store: LogStore, job: str, state: State, state_of: StateOf) -> tuple[State, ...]:
    """States of other jobs on the same sheet in which contact patterns were seen.

    Looked for only once a pattern was seen in this job: before, they have nothing to say.
    """
    if not state.patterns:
        return ()
    others = store.jobs_on_sheet(state.sheet_name, "pattern-seen")
    return tuple(state_of(one) for one in others if one != job)
