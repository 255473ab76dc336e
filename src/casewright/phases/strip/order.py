"""The order of the strip: joints and as-found readings as tasks, planned at every state."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from casewright.drive.schema import Joint
from casewright.errors import CasewrightError
from casewright.job.state import State
from casewright.job.strip_state import (
    READ,
    behind,
    blockers,
    given_up,
    opened,
    packs_of,
    photo_due,
    readings_due,
    wanted_joints,
)
from casewright.reasoning.sequence import Changes, StripPlan, Task
from casewright.reasoning.sequence_plan import replan_strip

# Invented for this project, a person sets his own: minutes for a change of tool, of posture, for
# calling somebody in, for measuring a pack, for a photograph.
MINUTES: Mapping[str, float] = {
    "tool-change": 1.5, "posture-change": 4.0, "calling": 3.0, "pack": 3.0, "photo": 1.0,
}  # fmt: skip
# A page can't wait: past this many removed sets the order is the best found, with its bound.
MOST_DOWN_SETS = 12_000


@dataclass(frozen=True, slots=True)
class Order:
    """The order of what is left, or why there is none; joints given up and what stays with them."""

    plan: StripPlan | None
    trouble: str
    tasks: tuple[Task, ...]
    given_up: tuple[str, ...]
    stays: tuple[str, ...]


def order_of(state: State) -> Order:
    """The best order of what is left of the strip, as the job stands."""
    stopped = given_up(state)
    stays = tuple(dict.fromkeys(key for one in stopped for key in behind(state, one)))
    left_out = {*stopped, *stays} - set(state.steps)
    tasks = tuple(_tasks(state, left_out))
    ids = {task.id for task in tasks}
    wanted = tuple(key for key in wanted_joints(state) if key in ids)
    done = tuple(key for key in opened(state) if key in ids)
    names = ("tool-change", "posture-change", "calling")
    changes = tuple(minutes_of(state, name) for name in names)
    try:
        plan = _planned(tasks, changes, done, wanted) if tasks else None
    except CasewrightError as error:
        return Order(None, _in_words(state, str(error)), tasks, stopped, stays)
    return Order(plan, "", tasks, stopped, stays)


@lru_cache(maxsize=64)
def _planned(
    tasks: tuple[Task, ...], changes: tuple[float, ...], done: tuple[str, ...],
    wanted: tuple[str, ...],
) -> StripPlan:  # fmt: skip
    """Kept by its inputs: a page that shows the same job again doesn't plan again."""
    tool, posture, call = changes
    cost = Changes(tool=tool, posture=posture, call=call)
    return replan_strip(tasks, cost, done, wanted, MOST_DOWN_SETS)


def _in_words(state: State, message: str) -> str:
    """A message with the names of joints instead of their keys."""
    keys = "|".join(re.escape(key) for key in sorted(state.lookup.joints, key=len, reverse=True))
    if not keys:
        return message
    whole = rf"(?<![\w.:-])({keys})(?![\w.-])"
    return re.sub(whole, lambda found: f"“{state.lookup.joints[found[1]].name}”", message)


def minutes_of(state: State, name: str) -> float:
    """Minutes of a change, a pack or a photograph: this job's own, else the invented default."""
    try:
        given = float(state.settings.get(f"{name}-minutes", ""))
    except ValueError:
        return MINUTES[name]
    return given if given >= 0 else MINUTES[name]


def _tasks(state: State, left_out: set[str]) -> Iterator[Task]:
    """Joints in the sheet's order, each as-found reading just before the first it must precede."""
    graph, placed = blockers(state), set[str]()
    holders = _last_holders(state)
    for joint in state.lookup.sheet.joints:
        if joint.key in left_out:
            continue
        for task in _readings_before(state, joint.key, left_out):
            if task.id not in placed:
                placed.add(task.id)
                yield task
        after, ways = graph[joint.key]
        yield Task(
            joint.key, _minutes(state, joint), "" if joint.tool == "hand" else joint.tool,
            "" if joint.posture == "bench" else joint.posture, joint.people,
            tuple(one for one in after if one not in left_out),
            tuple(way for way in ways if not set(way) & left_out),
            frees=holders.get(joint.key, ()), name=joint.name,
        )  # fmt: skip


def _minutes(state: State, joint: Joint) -> float:
    """A joint's minutes with its photograph before and its packs measured after."""
    packs = len(packs_of(state, joint)) * minutes_of(state, "pack")
    return joint.minutes + packs + (minutes_of(state, "photo") if photo_due(state, joint) else 0)


def _readings_before(state: State, joint: str, left_out: set[str]) -> Iterator[Task]:
    for response in readings_due(state):
        if joint in response.as_found_before:
            before = tuple(one for one in response.as_found_before if one not in left_out)
            yield Task(READ + response.key, response.minutes, before=before, name=response.name)


def _last_holders(state: State) -> dict[str, tuple[str, ...]]:
    """Joint to the names of the positions that are off once it is open."""
    last: dict[str, str] = {}
    for joint in state.lookup.sheet.joints:
        last.update(dict.fromkeys(joint.holds, joint.key))
    found: dict[str, tuple[str, ...]] = {}
    for position, joint_key in last.items():
        found[joint_key] = (*found.get(joint_key, ()), state.lookup.name_of(position))
    return found


def coming_out(state: State, order: Order) -> frozenset[str]:
    """Positions that are out or that the plan takes out."""
    planned = set(order.plan.order) if order.plan else set()
    keys = planned | set(state.steps)
    joints = state.lookup.joints
    return frozenset(p for key in keys if key in joints for p in joints[key].holds)
