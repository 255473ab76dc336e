"""The state of a job, frozen: what the entries that count add up to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from typing import Any, Generic, TypeVar

from casewright.drive.lookup import Lookup
from casewright.drive.schema import DriveSheet
from casewright.job.entry import FIRST, Accepted
from casewright.job.kinds import (
    AnodeRead,
    Attempt,
    Body,
    Calculated,
    Complaint,
    Found,
    FunctionTested,
    InstrumentKnown,
    JobOpened,
    LeakLogged,
    LimitAdded,
    Noted,
    OffersImported,
    OilFilled,
    OilRead,
    Ordered,
    OwnerSaid,
    PackFitted,
    PartsShelved,
    PatternSeen,
    Photographed,
    PiecePlaced,
    Quoted,
    Reading,
    Received,
    RemedySettled,
    SettingMade,
    SheetAdded,
    ShelfCounted,
    SignedOff,
    StepDone,
    Torqued,
    VerdictGiven,
    trial_number,
)

B = TypeVar("B", bound=Body, covariant=True)
AS_FOUND = ("as-received", "as-found")


@dataclass(frozen=True, slots=True)
class Kept(Generic[B]):
    """A body that counts, with where it stands in the log and who said it when."""

    body: B
    id: str
    sequence: int
    who: str
    happened_at: str


@dataclass(frozen=True, slots=True)
class Piece:
    """A physical thing: its id, the position that it belongs to, where it comes from, its marks."""

    id: str
    position: str
    part: str
    origin: str
    marks: str = ""
    was: str = ""
    part_number: str = ""


@dataclass(frozen=True, slots=True)
class KeptReading:
    """A reading with its position and piece resolved."""

    body: Reading
    position: str
    piece: str
    id: str
    sequence: int
    who: str
    happened_at: str


def moment_of(kept: Kept[Any] | KeptReading) -> tuple[datetime, int]:
    """When something happened, then where it stands in the log; times of different zones compare.

    What is typed late doesn't make an old thing new.
    """
    found = datetime.fromisoformat(kept.happened_at)
    return (found if found.tzinfo else found.replace(tzinfo=UTC)), kept.sequence


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two answers to one question by writers who had not seen each other; both are kept."""

    slot: tuple[str, ...]
    entries: tuple[str, ...]


@dataclass(frozen=True)
class State:
    """Everything that pages, tables and reports are made from. Mappings are read-only."""

    head: str = FIRST
    count: int = 0
    opened: Kept[JobOpened] | None = None
    sheet: DriveSheet | None = None
    sheet_digest: str = ""
    sheet_name: str = ""
    complaint: Kept[Complaint] | None = None
    findings: tuple[Kept[Found], ...] = ()
    readings: tuple[KeptReading, ...] = ()
    fasteners: Mapping[str, Mapping[int, str]] = field(default_factory=dict)
    steps: Mapping[str, Kept[StepDone]] = field(default_factory=dict)
    stuck: Mapping[str, tuple[Kept[StepDone], ...]] = field(default_factory=dict)
    attempts: Mapping[str, tuple[Kept[Attempt], ...]] = field(default_factory=dict)
    locks_opened: Mapping[str, str] = field(default_factory=dict)
    pieces: Mapping[str, Piece] = field(default_factory=dict)
    placed: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    placements: tuple[Kept[PiecePlaced], ...] = ()
    packs: Mapping[str, Mapping[str, Kept[PackFitted]]] = field(default_factory=dict)
    shelf: Kept[ShelfCounted] | None = None
    signs: Mapping[str, bool] = field(default_factory=dict)
    patterns: tuple[Kept[PatternSeen], ...] = ()
    verdicts: Mapping[str, Kept[VerdictGiven]] = field(default_factory=dict)
    torques: tuple[Kept[Torqued], ...] = ()
    leak_logs: tuple[Kept[LeakLogged], ...] = ()
    oil: Kept[OilFilled] | None = None
    oil_readings: tuple[Kept[OilRead], ...] = ()
    anodes: tuple[Kept[AnodeRead], ...] = ()
    functions: Mapping[str, Kept[FunctionTested]] = field(default_factory=dict)
    remedies: Mapping[str, Kept[RemedySettled]] = field(default_factory=dict)
    limits_added: Mapping[str, Kept[LimitAdded]] = field(default_factory=dict)
    offers: tuple[Kept[OffersImported], ...] = ()
    quotes: tuple[Kept[Quoted], ...] = ()
    owner_said: tuple[Kept[OwnerSaid], ...] = ()
    orders: tuple[Kept[Ordered], ...] = ()
    received: tuple[Kept[Received], ...] = ()
    parts_shelf: tuple[Kept[PartsShelved], ...] = ()
    signed: Kept[SignedOff] | None = None
    calculations: tuple[Kept[Calculated], ...] = ()
    notes: tuple[Kept[Noted], ...] = ()
    photos: tuple[Kept[Photographed], ...] = ()
    instruments: Mapping[str, Kept[InstrumentKnown]] = field(default_factory=dict)
    settings: Mapping[str, str] = field(default_factory=dict)
    settings_made: tuple[Kept[SettingMade], ...] = ()
    added: tuple[Kept[SheetAdded], ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    unknown: tuple[Accepted, ...] = ()
    oddities: tuple[str, ...] = ()

    @cached_property
    def lookup(self) -> Lookup:
        """The sheet with its tables by key; an empty sheet's lookup where none is adopted."""
        return Lookup(self.sheet or EMPTY_SHEET)

    @property
    def rooms(self) -> tuple[str, ...]:
        """Rooms that this job's scope uses."""
        return tuple(self.opened.body.rooms) if self.opened else ()

    def came_in(self, position: str) -> str:
        """Id of the piece that came in at a position."""
        return f"in:{position}"

    def occupant(self, position: str, occasion: str) -> str:
        """Id of the piece in a position on an occasion: the latest placed up to it.

        As received and as found it is the piece that came in (known from an earlier job where it
        was placed as such); on a trial the latest placed up to that trial; at the final build and
        after it the latest of all.
        """
        placed = self.placed.get(position, {})
        if occasion in AS_FOUND:
            known = placed.get("as-found") or placed.get("as-received")
            return known or self.came_in(position)
        best = max(
            (when for when in placed if occasion_order(when) <= occasion_order(occasion)),
            key=occasion_order,
            default=None,
        )
        return placed[best] if best else self.came_in(position)

    def readings_of(
        self, target: str, *, occasion: str = "", piece: str = ""
    ) -> tuple[KeptReading, ...]:
        """Readings of one target, on one occasion or piece if said."""
        return tuple(
            reading
            for reading in self.readings
            if reading.body.target == target
            and occasion in ("", reading.body.occasion)
            and piece in ("", reading.piece)
        )

    @cached_property
    def trials(self) -> tuple[str, ...]:
        """Trial occasions that something was recorded on, in order."""
        seen = {reading.body.occasion for reading in self.readings}
        seen |= {occasion for packs in self.packs.values() for occasion in packs}
        numbers = sorted(n for n in (trial_number(occasion) for occasion in seen) if n is not None)
        return tuple(f"trial-{number}" for number in numbers)


def occasion_order(occasion: str) -> int:
    """Occasions in the order in which they happen."""
    fixed = {"as-received": -2, "as-found": -1, "final": 1_000_000, "after-run": 1_000_001}
    number = trial_number(occasion)
    return fixed.get(occasion, 0) if number is None else number


EMPTY_SHEET = DriveSheet.model_validate(
    {"sheet": {"sheet_version": 1, "key": "no-sheet", "name": "no sheet adopted yet"}}
)
