"""The first page of the book: what came in, what was done, what the owner should know."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.job.state import State
from casewright.voice.document import Caution, Document, Facts, Say, Section

STANDING = "Maker's manual, local codes and licensed practice come first."


def summary(state: State, rooms: Sequence[Document]) -> Document:
    """Summary for the owner and the next technician, from what the rooms say."""
    opened = state.opened.body if state.opened else None
    sheet = state.lookup.sheet.sheet
    complaint = state.complaint.body if state.complaint else None
    rows = [
        ("Leg", sheet.name),
        ("Number on the leg", opened.leg_serial if opened and opened.leg_serial else "not noted"),
        ("Works at", opened.duty if opened and opened.duty else "not noted"),
        ("Scope", opened.scope if opened else "not open"),
        ("Drive sheet", f"{state.sheet_name}, digest {state.sheet_digest[:16]}"),
    ]
    if complaint:
        rows.append(("Complaint", complaint.words))
        rows += [("Hours", complaint.hours)] if complaint.hours else []
    sections = [Section("job", "The job", (Facts(tuple(rows)),))]
    if short := tuple(_in_short(rooms)):
        sections.append(Section("short", "In short", (Facts(short),)))
    sections.append(Section("signed", "Signature", (_signature(state),)))
    cautions = tuple(Caution(one.text) for one in state.lookup.sheet.cautions)
    sections.append(Section("cautions", "Cautions", cautions or (Caution(STANDING),)))
    return Document("summary", "Summary", None, tuple(sections))


def _in_short(rooms: Sequence[Document]) -> Iterator[tuple[str, str]]:
    """The likeliest story in words, then what was replaced, what went back and the state."""
    for room, key, label in (("cause", "likely", "Why it failed"), ("handover", "owner", "")):
        found = [s for one in rooms if one.room == room for s in one.sections if s.key == key]
        for block in found[0].blocks if found else ():
            if isinstance(block, Say) and block.tone == "lead" and label:
                yield label, block.text
            elif isinstance(block, Facts) and room == "handover":
                yield from (row for row in block.rows if row[0] != "Job")


def _signature(state: State) -> Say | Facts:
    if state.signed is None:
        return Say("Not signed off yet: this book is a working copy.", "unsure")
    signed = state.signed
    rows = [("Signed by", signed.body.signed_by), ("On", signed.happened_at[:10])]
    rows += [(f"Exception: {e.item}", e.reason) for e in signed.body.exceptions]
    if signed.body.words:
        rows.append(("Words", signed.body.words))
    return Facts(tuple(rows))
