"""What may be recorded at the strip-down: a step that isn't possible yet is refused by its lock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from casewright.errors import InputError, LockedError
from casewright.job.kinds import Attempt, SettingMade, StepDone
from casewright.job.state import Kept, State
from casewright.job.strip_state import STOP_RUNG, Lock, family_of, lock_of, lock_words
from casewright.reasoning.chances import chance
from casewright.tables.ladder_defaults import FAMILIES

CHANCE = "chance."


def step_possible(state: State, body: StepDone) -> Iterator[InputError]:
    """A joint's step waits for what blocks it; a separation also for its count.

    That a step was left out, or that something sticks, can be said while a count is open.
    """
    for key in body.answered:
        if key in state.lookup.joints and body.outcome != "skipped":
            lock = lock_of(state, key)
            if body.outcome != "stuck" or lock.waits_for:
                _refuse_locked(state, lock)
        if body.also and body.outcome != "stuck":  # each stands open for those after it
            answer = Kept(body, "", state.count + 1, "", "")
            state = replace(state, steps={**state.steps, key: answer})
    yield from _known_positions(state, "broke", body.broke)


def attempt_possible(state: State, body: Attempt) -> Iterator[InputError]:
    """Force on a joint waits for its lock; the method must be one of the joint's ladder."""
    joint = state.lookup.joints.get(body.joint)
    if joint is None:
        return
    if body.outcome not in ("abandoned", "prepared"):
        _refuse_locked(state, lock_of(state, body.joint))
    family = FAMILIES.get(family_of(state, joint))
    if family and body.rung not in (known := [r.id for r in family.rungs] + [STOP_RUNG]):
        yield InputError("rung", body.rung, f"a method of this ladder ({', '.join(known)})")
    yield from _known_positions(state, "harmed", body.harmed)


def _refuse_locked(state: State, lock: Lock) -> None:
    if lock.shut:
        raise LockedError(lock.name, lock_words(state, lock))


def _known_positions(state: State, field: str, keys: tuple[str, ...]) -> Iterator[InputError]:
    for key in keys:
        if state.sheet is not None and key not in state.lookup.positions:
            yield InputError(field, key, "one of the sheet's positions", "Choose it from the list.")


def chance_readable(state: State, body: SettingMade) -> Iterator[InputError]:
    """A chance set for a method is a word or a number from 0 to 1."""
    if body.name.startswith(CHANCE) and body.value.strip():
        try:
            chance(body.value, "value")
        except InputError as error:
            yield error
