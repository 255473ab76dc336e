"""Bodies that open a job and keep it in order: sheet, additions, instruments, corrections."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, StringConstraints

from casewright.job.bodies_base import (
    ROOMS,
    Body,
    Needed,
    Reason,
    Short,
    Slot,
    Words,
)


class JobOpened(Body):
    """A job begins: its title, how much of the leg it covers, what the leg works at."""

    KIND = "job-opened"
    title: Needed
    scope: Needed = "whole rebuild"
    rooms: tuple[Literal[ROOMS], ...] = ROOMS  # type: ignore[valid-type]
    duty: Short = ""
    leg_serial: Short = ""
    owner: Short = ""
    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")] = "EUR"


class SheetAdopted(Body):
    """The drive sheet of this job, whole, so that the job reads the same for ever."""

    KIND = "sheet-adopted"
    name: Needed
    text: str
    digest: str


class SheetAdded(Body):
    """A part, position, joint, block or feature that the sheet didn't list, added at the bench."""

    KIND = "sheet-added"
    table: Literal["parts", "positions", "joints", "blocks", "features", "responses", "adjusters"]
    item: dict[str, Any]
    because: Words = ""


class LimitAdded(Body):
    """A limit typed at the bench for a feature or a response, with its source if there is one."""

    KIND = "limit-added"
    target: Needed
    low: Short = ""
    high: Short = ""
    source: Short = ""

    def slots(self) -> tuple[Slot, ...]:
        """One limit a target."""
        return (("limit", self.target),)


class Complaint(Body):
    """What the owner says, the hours, the last service, what was hit."""

    KIND = "complaint"
    words: Words
    hours: Short = ""
    last_service: Short = ""
    hit: Short = ""


class Calculated(Body):
    """A calculation that someone acted on, as a plain snapshot."""

    KIND = "calculation"
    name: Needed
    inputs: dict[str, Any]
    outputs: dict[str, Any]
    method: Short = ""
    formula: Words = ""
    source: Short = ""
    version: Short = ""


class Withdrawn(Body):
    """An earlier entry is taken back: it stays in the log and no longer counts."""

    KIND = "withdrawn"
    entry: Needed
    reason: Reason


class Settled(Body):
    """Two writers answered the same question; a person says which answer counts."""

    KIND = "settled"
    keep: Needed
    drop: Annotated[tuple[Needed, ...], Field(min_length=1)]
    reason: Reason


class Noted(Body):
    """A note in words, at a position or about the whole job."""

    KIND = "note"
    words: Annotated[Words, StringConstraints(min_length=1)]
    position: Short = ""


class Photographed(Body):
    """A photograph by the hash of its bytes; what it shows may be said later."""

    KIND = "photo"
    digest: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
    name: Short = ""
    about: Words = ""
    position: Short = ""
    explains: Short = ""
    damage: Short = ""


class InstrumentKnown(Body):
    """An instrument of the shop: resolution, calibration uncertainty, date due."""

    KIND = "instrument"
    instrument: Needed
    name: Short = ""
    measures: Short = "length"
    resolution: Short = ""
    uncertainty: Short = ""
    due: Short = ""
    suits: Short = ""
    wear: Short = ""

    def slots(self) -> tuple[Slot, ...]:
        """One description an instrument."""
        return (("instrument", self.instrument),)


class SettingMade(Body):
    """A value of this job that a person sets: hourly rate, what waiting costs, a part's price."""

    KIND = "setting"
    name: Needed
    value: Short

    def slots(self) -> tuple[Slot, ...]:
        """One value a name."""
        return (("setting", self.name),)
