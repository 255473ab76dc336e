"""From what was tapped or typed of a contact pattern to patches on the gear's flanks."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.job.kinds import PatternSeen
from casewright.job.pattern_rules import cell_of, grid_of
from casewright.mechanics.contact_cells import Marks, marks_of_cells
from casewright.mechanics.contact_pattern import SeenPatch, SeenPattern


@dataclass(frozen=True, slots=True)
class SeenFlank:
    """One flank as it was seen: tapped cells where there are any, and the middle if it has one."""

    marks: Marks | None
    patch: SeenPatch | None


def seen_flank(body: PatternSeen, flank: str) -> SeenFlank:
    """What was seen of the drive or the coast flank."""
    if cells := getattr(body, f"{flank}_cells"):
        marks = marks_of_cells([cell_of(text) for text in cells], grid_of(body))
        return SeenFlank(marks, marks.patch)
    along, up = getattr(body, f"{flank}_along"), getattr(body, f"{flank}_up")
    whole = along is not None and up is not None
    return SeenFlank(None, SeenPatch(along / 100, up / 100) if whole else None)


def seen_pattern(body: PatternSeen) -> SeenPattern | None:
    """Middles as shares of the gear's tooth; None where neither flank has one."""
    drive, coast = (seen_flank(body, flank).patch for flank in ("drive", "coast"))
    return SeenPattern("gear", drive, coast) if drive or coast else None
