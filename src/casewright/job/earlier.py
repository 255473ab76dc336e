"""Readings of an earlier job on the same leg, brought into this one: wear needs two of one piece.

What left with the leg then is what comes in now: of each feature the last reading on the piece that
was in its position at the end of the earlier job.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from casewright.job.entry import Entry
from casewright.job.state import KeptReading, State

LAST = "after-run"


@dataclass(frozen=True, slots=True)
class Earlier:
    """Entries to append to this job, and how many readings and instruments are among them."""

    entries: tuple[Entry, ...]
    readings: int
    instruments: int


def earlier_readings(mine: State, theirs: State, job: str, who: str) -> Earlier:
    """The entries that bring an earlier job's readings in; the same ids whenever it is asked."""
    found = tuple(_last_readings(mine, theirs))
    readings = [_entry(theirs, reading, job, who) for reading in found]
    names = dict.fromkeys(reading.body.instrument for reading in found)
    tools = [entry for name in names if (entry := _instrument(mine, theirs, name, job, who))]
    return Earlier((*tools, *readings), len(readings), len(tools))


def _last_readings(mine: State, theirs: State) -> Iterator[KeptReading]:
    """For each feature that both sheets have at one place the last reading of what left then."""
    for feature in mine.lookup.sheet.features:
        there = theirs.lookup.features.get(feature.key)
        if there is None or (there.position, there.kind) != (feature.position, feature.kind):
            continue
        piece = theirs.occupant(feature.position, LAST)
        rows = theirs.readings_of(feature.key, piece=piece)
        if rows:
            yield max(rows, key=lambda row: (row.happened_at, row.sequence))


def _entry(theirs: State, reading: KeptReading, job: str, who: str) -> Entry:
    """The reading as it was typed, with its date and the hours at which it was taken."""
    owner = theirs.complaint.body.hours if theirs.complaint else ""
    body: dict[str, Any] = reading.body.model_dump(mode="json", exclude_defaults=True)
    body.pop("piece", None)
    body |= {
        "occasion": "as-received",
        "hours": reading.body.hours or owner,
        "confirmed": True,
        "words": f"{reading.body.words} (job {job}, read by {reading.who})".strip(),
    }
    tidy = {name: value for name, value in body.items() if value != ""}
    return Entry(_id(job, reading.id), "reading", tidy, who, reading.happened_at)


def _instrument(mine: State, theirs: State, name: str, job: str, who: str) -> Entry | None:
    """The instrument as that job knew it, where this one doesn't."""
    kept = theirs.instruments.get(name)
    if kept is None or name in mine.instruments:
        return None
    body = kept.body.model_dump(mode="json", exclude_defaults=True)
    return Entry(_id(job, kept.id), "instrument", body, who, kept.happened_at)


def _id(job: str, entry: str) -> str:
    return str(uuid.uuid5(uuid.NAMESPACE_URL, f"casewright:earlier:{job}:{entry}"))
