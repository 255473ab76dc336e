"""A reading that doesn't fit: named and left out until the same is read again.

The update takes one reading of an assembly to be wrong at most. So where the same response was
read again after the suspect, that one fits: the suspect stays left out and stands in nobody's way.
"""

from __future__ import annotations

from casewright.reasoning.shim_update import Reading, Update

Readings = tuple[Reading, ...]


def suspect_of(
    readings: Readings, update: Update | None
) -> tuple[str, float, tuple[tuple[str, float], ...]]:
    """The response to read again, the chance that its reading is wrong, each one's surprise."""
    if update is None:
        return "", 0.0, ()
    at = update.suspect
    name = "" if at is None or _answered(readings, at) else readings[at].response
    chance = sum(one.chance for one in update.hypotheses if one.suspect == at)
    plain = [r.response for r in readings][: len(update.surprise)]
    return name, chance if name else 0.0, tuple(zip(plain, update.surprise, strict=False))


def set_aside(readings: Readings, update: Update | None) -> str:
    """The response of which one reading is left out, since the one after it fits; "" for none."""
    if update is None or update.suspect is None or not _answered(readings, update.suspect):
        return ""
    return readings[update.suspect].response


def off_which_way(readings: Readings, update: Update) -> list[tuple[str, float]]:
    """The suspect and how far it is off, where nothing answered it."""
    at = update.suspect
    if at is None or at >= len(update.surprise) or _answered(readings, at):
        return []
    return [(readings[at].response, update.surprise[at])]


def _answered(readings: Readings, at: int) -> bool:
    return any(one.response == readings[at].response for one in readings[at + 1 :])
