"""The kinds of entries and what each one holds. Quantities stay text as typed, with their unit.

An entry about a thing names its position (place in the sheet), its piece (the physical thing) and
its occasion. Where no piece is named, the fold takes the piece that was in the position on that
occasion: the one that came in for as-received and as-found, the one fitted otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from casewright.job.bodies_base import ROOMS, Body, Decision, Occasion, Slot
from casewright.job.bodies_building import (
    AnodeRead,
    FunctionTested,
    LeakLogged,
    NamedException,
    OilFilled,
    OilRead,
    PackFitted,
    PatternSeen,
    PieceKnown,
    PiecePlaced,
    ShelfCounted,
    ShelfLine,
    SignConfirmed,
    SignedOff,
    Torqued,
)
from casewright.job.bodies_opening import (
    Calculated,
    Complaint,
    InstrumentKnown,
    JobOpened,
    LimitAdded,
    Noted,
    Photographed,
    SettingMade,
    Settled,
    SheetAdded,
    SheetAdopted,
    Withdrawn,
)
from casewright.job.bodies_stripping import (
    Attempt,
    FastenersCounted,
    Found,
    LockOpened,
    Reading,
    RemedySettled,
    StepDone,
    VerdictGiven,
)
from casewright.job.bodies_trading import (
    OffersImported,
    Ordered,
    OrderLine,
    OwnerSaid,
    PartsShelved,
    Quoted,
    Received,
)

BODIES: Mapping[str, type[Body]] = {
    body.KIND: body
    for body in (
        JobOpened, SheetAdopted, SheetAdded, LimitAdded, Complaint, Found, Reading,
        FastenersCounted, StepDone, Attempt, LockOpened, PieceKnown, PiecePlaced, PackFitted,
        ShelfCounted, SignConfirmed, PatternSeen, VerdictGiven, Torqued, LeakLogged, OilFilled,
        OilRead, AnodeRead, FunctionTested, RemedySettled, OffersImported, Quoted, OwnerSaid,
        Ordered, Received, PartsShelved, SignedOff, Calculated, Withdrawn, Settled, Noted,
        Photographed, InstrumentKnown, SettingMade,
    )
}  # fmt: skip


def trial_number(occasion: str) -> int | None:
    """The number of a trial occasion; None for any other."""
    match = re.fullmatch(r"trial-(\d+)", occasion)
    return int(match[1]) if match else None


__all__ = [
    "BODIES",
    "ROOMS",
    "AnodeRead",
    "Attempt",
    "Body",
    "Calculated",
    "Complaint",
    "Decision",
    "FastenersCounted",
    "Found",
    "FunctionTested",
    "InstrumentKnown",
    "JobOpened",
    "LeakLogged",
    "LimitAdded",
    "LockOpened",
    "NamedException",
    "Noted",
    "Occasion",
    "OffersImported",
    "OilFilled",
    "OilRead",
    "OrderLine",
    "Ordered",
    "OwnerSaid",
    "PackFitted",
    "PartsShelved",
    "PatternSeen",
    "Photographed",
    "PieceKnown",
    "PiecePlaced",
    "Quoted",
    "Reading",
    "Received",
    "RemedySettled",
    "SettingMade",
    "Settled",
    "SheetAdded",
    "SheetAdopted",
    "ShelfCounted",
    "ShelfLine",
    "SignConfirmed",
    "SignedOff",
    "Slot",
    "StepDone",
    "Torqued",
    "VerdictGiven",
    "Withdrawn",
    "trial_number",
]
