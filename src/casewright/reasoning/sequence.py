"""The order of a strip-down: tasks, what must come before what, tools, postures, people.

A task may start when all tasks in its `after` are done and, if it has `ways`, at least one of
them is wholly done (one way out is clear). A reading has a deadline: it comes `before` the tasks
that would destroy it, and is needed only if one of them is. Like fasteners are one task.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from casewright.errors import FormErrors, InfeasibleError, InputError, RangeError


@dataclass(frozen=True, slots=True)
class Task:
    """One step of the strip-down.

    `minutes` [min] of work; `tool` and `posture` "" mean whatever is at hand; `people` needed;
    `after` all of these first; `ways` at least one of these sets first; `before` this must come
    before those; `frees` the parts that are off when it is done.
    """

    id: str
    minutes: float
    tool: str = ""
    posture: str = ""
    people: int = 1
    after: tuple[str, ...] = ()
    ways: tuple[tuple[str, ...], ...] = ()
    before: tuple[str, ...] = ()
    frees: tuple[str, ...] = ()
    name: str = ""


@dataclass(frozen=True, slots=True)
class Changes:
    """What it costs to change tool, posture or crew [min].

    `tool_pairs` and `posture_pairs` override the flat minutes for (from, to); "" is the state
    before the first task unless `start_tool` or `start_posture` says otherwise. `call` is charged
    for each person called in beyond those at hand (who then stay until fewer are needed).
    """

    tool: float = 0.0
    posture: float = 0.0
    call: float = 0.0
    tool_pairs: Mapping[tuple[str, str], float] = field(default_factory=dict)
    posture_pairs: Mapping[tuple[str, str], float] = field(default_factory=dict)
    start_tool: str = ""
    start_posture: str = ""

    def minutes(self, before: Setup, after: Setup) -> float:
        """Minutes to go from one set-up to another."""
        total = self.call * max(after.people - before.people, 0)
        if before.tool != after.tool:
            total += self.tool_pairs.get((before.tool, after.tool), self.tool)
        if before.posture != after.posture:
            total += self.posture_pairs.get((before.posture, after.posture), self.posture)
        return total


@dataclass(frozen=True, slots=True)
class Setup:
    """What is at hand: tool, posture of the leg, people."""

    tool: str
    posture: str
    people: int = 1

    def for_task(self, task: Task, crew_counts: bool) -> Setup:
        """The set-up in which a task is done, coming from this one."""
        people = task.people if crew_counts else 1
        return Setup(task.tool or self.tool, task.posture or self.posture, people)


@dataclass(frozen=True, slots=True)
class Step:
    """One task of a plan, in its set-up; `change` minutes before it, `clock` when it is done."""

    task: str
    setup: Setup
    change: float
    minutes: float
    clock: float


@dataclass(frozen=True, slots=True)
class StripPlan:
    """A strip-down order.

    `minutes` in all [min], of which `change_minutes` are changes; `bound` no order takes less;
    `proven` is True where `minutes` is the least possible. `down_sets` is their number (0 where
    counting stopped at the limit); `left` are the tasks that this strip doesn't need.
    """

    steps: tuple[Step, ...]
    minutes: float
    change_minutes: float
    bound: float
    proven: bool
    down_sets: int
    left: tuple[str, ...]
    method: str

    @property
    def order(self) -> tuple[str, ...]:
        """Task ids in order."""
        return tuple(step.task for step in self.steps)


@dataclass(frozen=True, slots=True)
class Graph:
    """The tasks that may matter for a goal, with precedence as positions.

    `after` required positions per task, `ways` alternative sets of positions, `goal` positions
    that must be done, `must` positions that every plan contains.
    """

    tasks: tuple[Task, ...]
    after: tuple[frozenset[int], ...]
    ways: tuple[tuple[frozenset[int], ...], ...]
    goal: frozenset[int]
    must: frozenset[int]


def check_tasks(tasks: tuple[Task, ...]) -> None:
    """Find every mistake of a list of tasks in one pass.

    Args:
        tasks: the tasks [-].
    Returns:
        nothing [-].
    Valid: any.
    Raises: FormErrors with all mistakes.
    Source: own: what the model needs.
    """
    ids = [task.id for task in tasks]
    mistakes: list[InputError] = [
        RangeError(f"task.{twice}", twice, "an id that is used once")
        for twice in sorted({one for one in ids if ids.count(one) > 1})
    ]
    known = set(ids)
    for task in tasks:
        mistakes += _task_mistakes(task, known)
    if mistakes:
        raise FormErrors("strip-down", mistakes)


def _task_mistakes(task: Task, known: set[str]) -> Iterable[InputError]:
    """Mistakes of one task."""
    at = f"task.{task.id}"
    if not task.minutes >= 0:
        yield RangeError(f"{at}.minutes", task.minutes, "0 or more")
    if task.people < 1:
        yield RangeError(f"{at}.people", task.people, "1 or more")
    in_ways = {one for way in task.ways for one in way}
    for name, used in (("after", task.after), ("before", task.before), ("ways", in_ways)):
        for missing in sorted(set(used) - known):
            yield RangeError(f"{at}.{name}", missing, "the id of a task")


def graph_of(tasks: tuple[Task, ...], wanted: tuple[str, ...] = ()) -> Graph:
    """The precedence graph of a full strip, or of what the wanted parts or tasks need.

    Args:
        tasks: all tasks, in the order that ties keep [-].
        wanted: part or task ids to reach; none means everything [-].
    Returns:
        the graph [-] of the tasks that may be needed.
    Valid: any checked list of tasks.
    Raises: FormErrors for mistakes; RangeError for a wanted thing that nothing frees;
        InfeasibleError naming the part that can never come out and the cycle.
    Source: HOMEM1990 AND/OR precedence.
    """
    check_tasks(tasks)
    before = {task.id: set(task.after) for task in tasks}
    for task in tasks:
        for later in task.before:
            before[later].add(task.id)
    goal = _goal(tasks, wanted)
    _refuse_impossible(tasks, before, goal)
    by_id = {task.id: task for task in tasks}
    kept = _closure(by_id, before, goal, alternatives=True)
    chosen = tuple(task for task in tasks if task.id in kept)
    place = {task.id: i for i, task in enumerate(chosen)}
    doable = kept & _doable(tasks, before)
    ways = tuple(
        tuple(frozenset(place[one] for one in way) for way in task.ways if set(way) <= doable)
        for task in chosen
    )
    return Graph(
        chosen,
        tuple(frozenset(place[one] for one in before[task.id]) for task in chosen),
        ways,
        frozenset(place[one] for one in goal),
        frozenset(place[one] for one in _closure(by_id, before, goal, alternatives=False)),
    )


def _goal(tasks: tuple[Task, ...], wanted: tuple[str, ...]) -> set[str]:
    """The tasks that must be done for what is wanted."""
    if not wanted:
        return {task.id for task in tasks}
    freeing = {part: task.id for task in tasks for part in task.frees}
    ids = {task.id for task in tasks}
    for one in wanted:
        if one not in ids and one not in freeing:
            raise RangeError("wanted", one, "a task, or a part that some task frees")
    return {freeing.get(one, one) for one in wanted}


def _doable(tasks: tuple[Task, ...], before: Mapping[str, set[str]]) -> set[str]:
    """The tasks that can ever be done, by working forward from nothing."""
    done: set[str] = set()
    while True:
        new = {
            task.id
            for task in tasks
            if task.id not in done
            and before[task.id] <= done
            and (not task.ways or any(set(way) <= done for way in task.ways))
        }
        if not new:
            return done
        done |= new


def _closure(
    by_id: Mapping[str, Task], before: Mapping[str, set[str]], goal: set[str], alternatives: bool
) -> set[str]:
    """The goal and all it needs; with the tasks of every alternative, or only the sure ones."""
    doable = _doable(tuple(by_id.values()), before)
    found, todo = set(goal), list(goal)
    while todo:
        name = todo.pop()
        needed = set(before[name])
        ways = [set(way) for way in by_id[name].ways if set(way) <= doable]
        if ways:
            needed |= set.union(*ways) if alternatives else set.intersection(*ways)
        todo += needed - found
        found |= needed
    return found


def _refuse_impossible(
    tasks: tuple[Task, ...], before: Mapping[str, set[str]], goal: set[str]
) -> None:
    """Raise where a goal can never be done, with the cycle that holds it."""
    doable = _doable(tasks, before)
    stuck = [task for task in tasks if task.id in goal and task.id not in doable]
    if not stuck:
        return
    by_id = {task.id: task for task in tasks}
    obstacles, told = [], set[frozenset[str]]()
    for task in stuck:
        cycle = _cycle(by_id, before, doable, task.id)
        if frozenset(cycle) not in told:
            told.add(frozenset(cycle))
            what = " and ".join(task.frees) or task.name or task.id
            obstacles.append(f"{what} can never come out: " + " waits for ".join(cycle))
    raise InfeasibleError("no order strips this", obstacles)


def _cycle(
    by_id: Mapping[str, Task], before: Mapping[str, set[str]], doable: set[str], start: str
) -> tuple[str, ...]:
    """A cycle of tasks that wait for one another, reached from a task that can't be done."""
    path = [start]
    while True:
        task = by_id[path[-1]]
        waiting = sorted(before[task.id] - doable)
        waiting += [min(set(way) - doable) for way in task.ways if not set(way) <= doable]
        following = waiting[0]
        if following in path:
            return (*path[path.index(following) :], following)
        path.append(following)
