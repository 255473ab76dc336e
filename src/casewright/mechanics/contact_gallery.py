"""What to expect of the pattern for one shim more or less at pinion and gear."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.mechanics.contact import TeethContact, analyse
from casewright.mechanics.contact_flank import ToothedPair
from casewright.mechanics.contact_gap import Misplacement


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture of the gallery: what was moved, in words, and the contact it gives."""

    title: str
    off: Misplacement
    contact: TeethContact


def gallery(
    pair: ToothedPair,
    pinion_shim: float,
    gear_shim: float,
    design_lash: float = 0.0,
    grid: tuple[int, int] = (64, 32),
) -> tuple[Picture, ...]:
    """Patterns as drawn and with each member one shim out and in.

    Args:
        pair: the pair [-].
        pinion_shim: axial move of the pinion by one shim [m].
        gear_shim: axial move of the gear by one shim [m].
        design_lash: transverse lash at the mean radius as drawn [m].
        grid: points along and up the flank [-].
    Returns:
        five pictures (Picture) [-].
    Valid: an estimate from a drawing's flanks: true flanks differ, directions hold.
    Raises: RangeError for shims that aren't positive or too large.
    Source: own: `contact.analyse` for each
    """
    if not min(pinion_shim, gear_shim) > 0:
        raise RangeError("shim step", (pinion_shim, gear_shim), "positive axial moves")
    cases = (
        ("as drawn", Misplacement()),
        ("pinion one shim out", Misplacement(pinion_axial=pinion_shim)),
        ("pinion one shim in", Misplacement(pinion_axial=-pinion_shim)),
        ("gear one shim out", Misplacement(gear_axial=gear_shim)),
        ("gear one shim in", Misplacement(gear_axial=-gear_shim)),
    )
    return tuple(
        Picture(title, off, analyse(pair, off, design_lash, grid=grid)) for title, off in cases
    )
