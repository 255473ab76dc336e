"""Where the bench stands: the stage that the card is made for, and on which assembly."""

from __future__ import annotations

from typing import TYPE_CHECKING

from casewright.job.kinds import trial_number
from casewright.job.state import State
from casewright.phases.setup import pattern
from casewright.phases.setup.advice import Plan
from casewright.phases.setup.assemblies import final_begun
from casewright.phases.setup.model import Leg
from casewright.phases.setup.signs import Walk
from casewright.phases.setup.trials import FINAL
from casewright.phases.setup.turned import TurnedLine

if TYPE_CHECKING:
    from casewright.phases.setup.view import ResponseLine, SeatLine

CHANGE = "change packs"
# A window that holds with less than this chance is out, before the rest is built: assumed.
OUT = 0.3


def stage_of(
    state: State,
    leg: Leg | None,
    told: Plan | None,
    found_walks: tuple[Walk, ...],
    seats: tuple[SeatLine, ...],
    lines: tuple[ResponseLine, ...],
    turned: tuple[TurnedLine, ...],
    patterns: tuple[pattern.PatternLine, ...],
    fitting: str,
) -> tuple[str, str]:
    """Where the bench stands, and on which assembly."""
    if state.sheet is None:
        return "no sheet", fitting
    if state.rooms and "setup" not in state.rooms:
        return "out of scope", fitting
    if not state.lookup.sheet.adjusters and not lines:
        return "nothing to set", fitting
    if final_begun(state):
        return _final_stage(state, lines, seats, patterns), FINAL
    if any(walk.open and not walk.against for walk in found_walks):
        return "signs", fitting
    begun = bool(state.trials and any(line.now for line in lines)) or any(
        seat.recorded for seat in seats
    )
    if not begun and any(line.open for line in (leg.dry if leg else ())):
        return "dry", fitting
    if any(seat.to_record for seat in seats):
        return "fit", fitting
    if (
        begun
        and fitting != "trial-1"
        and any(not seat.recorded and seat.advised and seat.change for seat in seats)
        and not any(line.now for line in lines)
    ):
        return "fit", fitting
    if any(not line.read_now for line in lines):
        return _before_the_rest(state, told, seats, lines, fitting)
    return _judged(told, turned, lines, fitting)


def _before_the_rest(
    state: State,
    told: Plan | None,
    seats: tuple[SeatLine, ...],
    lines: tuple[ResponseLine, ...],
    fitting: str,
) -> tuple[str, str]:
    """Read on; but what a step of the sheet's order shows to be wrong is put right before the next.

    The next step builds on it: a gear's carrier, a sleeve that is crushed once.
    """
    read = {line.response.key for line in lines if line.read_now}
    if told is None or told.stop is None or not read:
        return "read", fitting
    if told.suspect in read:
        return "again", fitting
    out = {one.name for one in told.present if one.name in read and one.chance < OUT}
    changed = {seat.adjuster.key for seat in seats if seat.change}
    for step in state.lookup.sheet.setup:
        if not set(step.reads) <= read:
            break
        if out & set(step.reads) and changed & set(step.adjusts) and _word(told) == CHANGE:
            return "change", following(fitting)
    return "read", fitting


def _word(told: Plan) -> str:
    return told.stop.word if told.stop else ""


def following(occasion: str) -> str:
    """The trial after this one."""
    return f"trial-{(trial_number(occasion) or 1) + 1}"


def _judged(
    told: Plan | None,
    turned: tuple[TurnedLine, ...],
    lines: tuple[ResponseLine, ...],
    fitting: str,
) -> tuple[str, str]:
    """All read: turn what is turned, then change, read again or stop."""
    if any(line.wrong for line in turned):
        return "turn", fitting
    if told is None or told.stop is None:
        judged = [line for line in lines if line.limits.known]
        inside = all(_inside(line) for line in judged)
        return ("stop" if inside and judged else "stuck"), fitting
    if _word(told) == CHANGE:
        return "change", following(fitting)
    return {"stop": "stop", "read again": "again"}[_word(told)], fitting


def _inside(line: ResponseLine) -> bool:
    counted = [one for one in line.now if one.counts]
    return bool(counted) and line.limits.holds(counted[-1].mean)


def _final_stage(
    state: State,
    lines: tuple[ResponseLine, ...],
    seats: tuple[SeatLine, ...],
    patterns: tuple[pattern.PatternLine, ...],
) -> str:
    if any(seat.final is None and (seat.now or seat.as_found) for seat in seats):
        return "final packs"
    if not all(line.final_read for line in lines):
        return "final readings"
    if any(line.final.word == "outside" for line in lines):
        return "final outside"
    if any(line.veto for line in patterns):
        return "final pattern"
    return "done"
