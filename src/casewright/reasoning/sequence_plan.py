"""The strip-down order: exact where the down-sets allow, else the best found with its bound."""

from __future__ import annotations

from dataclasses import replace

from casewright.errors import RangeError
from casewright.reasoning.sequence import (
    Changes,
    Graph,
    Setup,
    Step,
    StripPlan,
    Task,
    graph_of,
)
from casewright.reasoning.sequence_beam import beam_order, lower_bound
from casewright.reasoning.sequence_exact import Masks, SetupTable, best_order, layers_of

MOST_DOWN_SETS = 200_000
MOST_CELLS = 25_000_000
BEAM_WIDTH = 4_000
SAME = 1e-9


def plan_strip(
    tasks: tuple[Task, ...],
    changes: Changes,
    wanted: tuple[str, ...] = (),
    most_down_sets: int = MOST_DOWN_SETS,
) -> StripPlan:
    """The strip-down order of least time: full, or only what the wanted parts need.

    Args:
        tasks: all tasks, in the order that ties keep [-]; their times in [min].
        changes: what a change of tool, posture or crew costs [min].
        wanted: part or task ids to reach; none means everything [-].
        most_down_sets: past this many the order is found, not proven [-].
    Returns:
        the plan with minutes [min], its bound [min] and whether it is proven [-].
    Valid: one pair of hands: tasks follow one another, waiting is not overlapped; a selective
        strip never does a task that nobody needs as a detour between two tools.
    Raises: FormErrors for mistakes; RangeError for a wanted thing that nothing frees;
        InfeasibleError naming the part that can never come out and the cycle.
    Source: HELD1962 the recursion; HOMEM1990 alternatives.
    """
    graph = graph_of(tasks, wanted)
    table = SetupTable.of(graph, changes)
    most = min(most_down_sets, max(MOST_CELLS // len(table.setups), 1))
    layers = layers_of(Masks.of(graph), most)
    if layers is not None:
        order, total = best_order(layers, table)
        count = sum(len(layer.sets) for layer in layers)
        return _plan(tasks, graph, changes, order, total, count, "exact over down-sets")
    order, total = beam_order(graph, table, BEAM_WIDTH)
    bound = min(lower_bound(graph, changes, most // 4), total)
    return _plan(tasks, graph, changes, order, bound, 0, "best found by a beam, with a bound")


def _plan(
    tasks: tuple[Task, ...],
    graph: Graph,
    changes: Changes,
    order: list[int],
    bound: float,
    count: int,
    method: str,
) -> StripPlan:
    """The plan with its clock."""
    setup = Setup(changes.start_tool, changes.start_posture, 1)
    steps, clock, changing = list[Step](), 0.0, 0.0
    for i in order:
        task, before = graph.tasks[i], setup
        setup = before.for_task(task, changes.call > 0)
        change = changes.minutes(before, setup)
        clock, changing = clock + change + task.minutes, changing + change
        steps.append(Step(task.id, setup, change, task.minutes, clock))
    done = {step.task for step in steps}
    left = tuple(task.id for task in tasks if task.id not in done)
    proven = clock <= bound + SAME * (1.0 + clock)
    return StripPlan(tuple(steps), clock, changing, min(bound, clock), proven, count, left, method)


def replan_strip(
    tasks: tuple[Task, ...],
    changes: Changes,
    done: tuple[str, ...],
    wanted: tuple[str, ...] = (),
    most_down_sets: int = MOST_DOWN_SETS,
) -> StripPlan:
    """The best order of what is left after some tasks are done, from the set-up at hand.

    Args:
        tasks: all tasks, with any that were added at the bench [-].
        changes: what changes cost [min]; its start is where the work began.
        done: task ids done, in their order [-].
        wanted: part or task ids to reach; none means everything [-].
        most_down_sets: as `plan_strip` [-].
    Returns:
        the plan [-] of what is left.
    Valid: tasks may have been done out of their order; what is done is done.
    Raises: RangeError for a done task that is not known; as `plan_strip`.
    Source: own: done tasks are taken out of the graph.
    """
    known = {task.id: task for task in tasks}
    for name in done:
        if name not in known:
            raise RangeError("done", name, "the id of a task")
    gone = set(done)
    parts_off = {part for name in done for part in known[name].frees}
    left = tuple(_without(task, gone) for task in tasks if task.id not in gone)
    still = tuple(one for one in wanted if one not in gone and one not in parts_off)
    if not left or (wanted and not still):
        return StripPlan((), 0.0, 0.0, 0.0, True, 1, tuple(t.id for t in left), "nothing left")
    return plan_strip(left, _from_here(known, changes, done), still, most_down_sets)


def _without(task: Task, gone: set[str]) -> Task:
    """A task with what is done taken out of what it waits for."""
    ways = tuple(tuple(one for one in way if one not in gone) for way in task.ways)
    return replace(
        task,
        after=tuple(one for one in task.after if one not in gone),
        before=tuple(one for one in task.before if one not in gone),
        ways=() if any(not way for way in ways) else ways,
    )


def _from_here(known: dict[str, Task], changes: Changes, done: tuple[str, ...]) -> Changes:
    """The changes with tool and posture as the last done tasks left them."""
    tool, posture = changes.start_tool, changes.start_posture
    for name in done:
        tool, posture = known[name].tool or tool, known[name].posture or posture
    return replace(changes, start_tool=tool, start_posture=posture)


def order_by_matrix(
    costs: list[list[float]], before: list[list[int]], minutes: list[float] | None = None
) -> StripPlan:
    """Cheapest order of n tasks where going from i to j costs `costs[i][j]`, starting with task 0.

    Args:
        costs: change minutes [min], shape (n, n).
        before: pairs [i, j]: i comes before j [-].
        minutes: work minutes [min], shape (n,); none means 0.
    Returns:
        the plan [-]; ids are "0", "1", …
    Valid: every task with its own set-up: the sequential ordering problem.
    Raises: as `plan_strip`.
    Source: HELD1962; the problem and its instances are TSPLIB1991's sequential ordering.
    """
    size = len(costs)
    first = {j: [i for i, k in before if k == j] for j in range(size)}
    tasks = tuple(
        Task(
            str(j), minutes[j] if minutes else 0.0, tool=f"set-up {j}",
            after=tuple(str(i) for i in sorted(set(first[j]) | ({0} if j else set()))),
        )
        for j in range(size)
    )  # fmt: skip
    pairs = {
        (f"set-up {i}", f"set-up {j}"): float(costs[i][j])
        for i in range(size)
        for j in range(size)
        if i != j
    }
    return plan_strip(tasks, Changes(tool_pairs=pairs))
