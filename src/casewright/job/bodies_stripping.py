"""Bodies of taking apart and judging: findings, readings, counts, steps, attempts, verdicts."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from casewright.job.bodies_base import (
    Body,
    Decision,
    Needed,
    Occasion,
    Reason,
    Short,
    Slot,
    Words,
)


class Found(Body):
    """A finding: seen, heard or smelt. `key` is a finding of the cause network, or free words."""

    KIND = "finding"
    key: Short = ""
    answer: Literal["yes", "no", "unknown"] = "yes"
    words: Words = ""
    position: Short = ""
    piece: Short = ""
    occasion: Occasion = "as-found"
    damage: Short = ""
    severity: Literal["", "trace", "moderate", "severe", "destroyed"] = ""
    photo: Short = ""
    feature: Short = ""
    look: Literal["", "as new", "worn, usable", "replace"] = ""

    def slots(self) -> tuple[Slot, ...]:
        """One answer per finding key; free findings stand side by side."""
        return (("finding", self.key),) if self.key else ()


class Reading(Body):
    """One or several readings of a feature, response or dry dimension, as typed.

    `as_shown`: what the gauge shows; its constant (`constant`, else the sheet's) and the etched
    number are added by the tool. Without it the values are taken as whole.
    `at_height`, `tip_low`: where a gear-tooth calliper stood, and how much lower than new the tip
    is on which it stood; `wire`: the wires over which a thread was read.
    """

    KIND = "reading"
    target: Needed
    position: Short = ""
    piece: Short = ""
    occasion: Occasion = "as-found"
    values: Annotated[tuple[Needed, ...], Field(min_length=1, max_length=200)]
    at: tuple[Short, ...] = ()
    unit: Short = ""
    instrument: Short = ""
    conditions: tuple[Short, ...] = ()
    temperature: Short = ""
    setting: Short = ""
    gauge_temperature: Short = ""
    hours: Short = ""
    confirmed: bool = False
    as_shown: bool = False
    constant: Short = ""
    at_height: Short = ""
    tip_low: Short = ""
    wire: Short = ""
    words: Words = ""


class FastenersCounted(Body):
    """Fasteners of a joint, by place: out, absent, broken and stays in, or not original."""

    KIND = "fasteners-counted"
    joint: Needed
    places: Annotated[tuple[int, ...], Field(min_length=1)]
    fastener_state: Literal["out", "absent", "broken, stays in", "not original"]
    words: Words = ""

    def slots(self) -> tuple[Slot, ...]:
        """One answer for each place."""
        return tuple(("fastener", self.joint, str(place)) for place in self.places)


class StepDone(Body):
    """The answer to a step of the strip list (or of any room's list): done, stuck, broke, found.

    `also`: further steps that the same answer holds for, one after the other; minutes are of all.
    """

    KIND = "step-done"
    step: Needed
    also: tuple[Short, ...] = ()
    outcome: Literal["done", "stuck", "broke something", "found something", "skipped"] = "done"
    minutes: Annotated[float, Field(ge=0)] | None = None
    broke: tuple[Short, ...] = ()
    words: Words = ""

    @model_validator(mode="before")
    @classmethod
    def _first_of_several(cls, given: Any) -> Any:
        """Steps that were only ticked in a list: the first of them is the step."""
        if isinstance(given, dict) and not given.get("step") and given.get("also"):
            first, *rest = given["also"]
            return {**given, "step": first, "also": tuple(rest)}
        return given

    @property
    def answered(self) -> tuple[str, ...]:
        """All steps that this answers, in their order."""
        return tuple(dict.fromkeys((self.step, *self.also)))

    def slots(self) -> tuple[Slot, ...]:
        """One answer a step; stuck is a report on the way, not the answer."""
        return tuple(("step", one) for one in self.answered) if self.outcome != "stuck" else ()


class Attempt(Body):
    """A rung of a ladder was tried on a stuck joint: what came of it, what it harmed."""

    KIND = "attempt"
    joint: Needed
    rung: Needed
    outcome: Literal["released", "held", "prepared", "abandoned"]
    harmed: tuple[Short, ...] = ()
    minutes: Annotated[float, Field(ge=0)] | None = None
    words: Words = ""


class LockOpened(Body):
    """A lock was opened although its condition isn't met; the reason stands for ever."""

    KIND = "lock-opened"
    lock: Needed
    reason: Reason

    def slots(self) -> tuple[Slot, ...]:
        """One opening a lock."""
        return (("lock", self.lock),)


class VerdictGiven(Body):
    """A person's verdict on a piece; it stands over the tool's, with its reason."""

    KIND = "verdict"
    position: Needed
    piece: Short = ""
    decision: Decision
    reason: Reason
    rework: Short = ""

    def slots(self) -> tuple[Slot, ...]:
        """One verdict a piece (or position, where no piece is named)."""
        return (("verdict", self.piece or self.position),)


class RemedySettled(Body):
    """A cause above the threshold: its remedy done, or overruled with a reason."""

    KIND = "remedy"
    cause: Needed
    outcome: Literal["done", "overruled"]
    reason: Reason

    def slots(self) -> tuple[Slot, ...]:
        """One outcome a cause."""
        return (("remedy", self.cause),)
