"""Hours of a quote: what was worked so far, what is left, and the set-up assemblies to come."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from casewright.job.state import State
from casewright.job.verdicts import piece_verdicts
from casewright.phases.order.at_risk import is_whole
from casewright.reasoning.quote_build import Labour, SetUp
from casewright.reasoning.quote_draws import Count, Triangular

# Least, likely and most as shares of the sheet's minutes: estimates of this project, no source.
STRIP, REBUILD, STUCK, EACH = (0.8, 1.0, 2.0), (1.0, 1.3, 2.0), (0.5, 1.0, 4.0), (0.7, 1.0, 1.8)
REWORK = (0.5, 1.0, 2.5)
ASSEMBLIES = ((1.0, 0.25), (2.0, 0.40), (3.0, 0.25), (4.0, 0.10))


@dataclass(frozen=True, slots=True)
class WorkLeft:
    """Hours so far, steps of the strip-down and of the rebuild that are left, the set-up."""

    hours_so_far: float
    strip: tuple[Labour, ...]
    rebuild: tuple[Labour, ...]
    set_up: SetUp
    reworks: tuple[str, ...]


def work_left(state: State) -> WorkLeft:
    """Hours from the sheet's minutes and the log; settings `hours-…` stand over them."""
    reworks = tuple(
        verdict.position
        for verdict in piece_verdicts(state).values()
        if verdict.decision == "rework"
        and state.occupant(verdict.position, "final")
        == state.occupant(verdict.position, "as-found")
    )
    rework = [Labour(f"rework {state.lookup.name_of(key)}", Triangular(*REWORK)) for key in reworks]
    return WorkLeft(
        hours_so_far=_minutes_so_far(state) / 60,
        strip=(*_strip(state), *_stuck(state)),
        rebuild=(*_rebuild(state), *rework),
        set_up=_set_up(state),
        reworks=reworks,
    )


def three_points(settings: Mapping[str, str], name: str) -> Triangular | None:
    """Hours set by a person: `3/4/8` or one number; None where not set or not in order.

    >>> three_points({"hours-strip": "3 / 4 / 8"}, "hours-strip")
    Triangular(low=3.0, likely=4.0, high=8.0)
    """
    try:
        given = [float(part) for part in settings.get(name, "").split("/") if part.strip()]
    except ValueError:
        return None
    if len(given) == 1:
        given *= 3
    if len(given) != 3 or not 0 <= given[0] <= given[1] <= given[2] < 1000:
        return None
    return Triangular(*given)


def _minutes_so_far(state: State) -> float:
    joints = state.lookup.joints
    steps = sum(
        (joints[key].minutes if key in joints else 0.0)
        if kept.body.minutes is None
        else kept.body.minutes
        for key, kept in state.steps.items()
        if kept.body.outcome != "skipped"
    )
    tries = (kept.body.minutes or 0.0 for all_ in state.attempts.values() for kept in all_)
    return steps + sum(tries)


def _spread(minutes: float, shares: tuple[float, float, float]) -> Triangular:
    low, likely, high = shares
    return Triangular(low * minutes / 60, likely * minutes / 60, high * minutes / 60)


def _strip(state: State) -> tuple[Labour, ...]:
    """Joints not open yet; in a smaller scope only what a person has set."""
    set_ = three_points(state.settings, "hours-strip")
    joints = state.lookup.sheet.joints if is_whole(state) else ()
    minutes = sum(joint.minutes for joint in joints if joint.key not in state.steps)
    spread = set_ or (_spread(minutes, STRIP) if minutes else None)
    return (Labour("strip-down left", spread),) if spread else ()


def _stuck(state: State) -> tuple[Labour, ...]:
    """A stuck joint that isn't out yet may take as long again, or four times."""
    left = [key for key in state.stuck if key not in state.steps and key in state.lookup.joints]
    minutes = sum(max(30.0, state.lookup.joints[key].minutes) for key in left)
    return (Labour("stuck joints", _spread(minutes, STUCK)),) if minutes else ()


def _rebuild(state: State) -> tuple[Labour, ...]:
    """Joints to be closed again: all of a whole rebuild, else those that were opened."""
    set_ = three_points(state.settings, "hours-rebuild")
    closed = {kept.body.joint for kept in state.torques if kept.body.occasion == "final"}
    minutes = sum(
        joint.minutes
        for joint in state.lookup.sheet.joints
        if joint.key not in closed and (is_whole(state) or joint.key in state.steps)
    )
    spread = set_ or (_spread(minutes, REBUILD) if minutes else None)
    return (Labour("rebuild", spread),) if spread else ()


def _set_up(state: State) -> SetUp:
    """Assemblies of the shim set-up still to come, less the trials already made."""
    sheet = state.lookup.sheet
    if not sheet.adjusters or not is_whole(state):
        return SetUp(Count((0.0,), (1.0,)), Triangular(0.0, 0.0, 0.0))
    minutes = sum(step.minutes for step in sheet.setup) or 90.0
    each = three_points(state.settings, "hours-setup") or _spread(minutes, EACH)
    left: dict[float, float] = {}
    for count, chance in ASSEMBLIES:
        rest = max(0.0, count - len(state.trials))
        left[rest] = left.get(rest, 0.0) + chance
    return SetUp(Count(tuple(left), tuple(left.values())), each)
