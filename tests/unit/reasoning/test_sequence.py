"""Strip-down orders against a search through all orders, a CP-SAT model, and by hand."""

from __future__ import annotations

from itertools import permutations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import FormErrors, InfeasibleError, RangeError
from casewright.reasoning.sequence import Changes, Setup, Task
from casewright.reasoning.sequence_plan import order_by_matrix, plan_strip, replan_strip


def random_tasks(seed: int, size: int, density: float) -> tuple[Task, ...]:
    """Random tasks with tools, postures, people, alternatives and readings."""
    rng = np.random.default_rng(seed)
    ids = [f"t{i}" for i in range(size)]
    tasks = []
    for i, name in enumerate(ids):
        after = tuple(ids[j] for j in range(i) if rng.random() < density)
        ways = ()
        if i >= 4 and rng.random() < 0.3:
            ways = ((ids[i - 1],), (ids[i - 2], ids[i - 3]))
        before = (ids[i + 1],) if i + 1 < size and rng.random() < 0.1 else ()
        tool = str(rng.choice(["", "socket", "press", "puller"]))
        posture = str(rng.choice(["", "upright", "flat"]))
        minutes, people = float(rng.integers(0, 20)), int(rng.choice([1, 1, 1, 2]))
        tasks.append(Task(name, minutes, tool, posture, people, after, ways, before))
    order = rng.permutation(size)
    return tuple(tasks[i] for i in order)


def changes_of(seed: int) -> Changes:
    """Random change minutes, in part by pair and not obeying the triangle inequality."""
    rng = np.random.default_rng(seed + 7)
    pairs = {
        (a, b): float(rng.integers(0, 9))
        for a in ("", "socket", "press", "puller")
        for b in ("socket", "press", "puller")
        if a != b and rng.random() < 0.5
    }
    return Changes(tool=2.0, posture=5.0, call=float(rng.choice([0.0, 3.0])), tool_pairs=pairs)


def minutes_of(order: tuple[Task, ...], changes: Changes) -> float:
    """Minutes of one order, counted by hand."""
    tool, posture, people, total = changes.start_tool, changes.start_posture, 1, 0.0
    for task in order:
        if task.tool not in ("", tool):
            total += changes.tool_pairs.get((tool, task.tool), changes.tool)
            tool = task.tool
        if task.posture not in ("", posture):
            total += changes.posture
            posture = task.posture
        if changes.call:
            total += changes.call * max(task.people - people, 0)
            people = task.people
        total += task.minutes
    return total


def is_possible(order: tuple[Task, ...], tasks: tuple[Task, ...]) -> bool:
    """Whether an order keeps every rule; what is left out counts as done after all."""
    done: set[str] = set()
    readings = {task.id: set(task.before) for task in tasks}
    for task in order:
        due = {reading for reading, later in readings.items() if task.id in later}
        if not set(task.after) | due <= done:
            return False
        if task.ways and not any(set(way) <= done for way in task.ways):
            return False
        done.add(task.id)
    return True


def best_by_search(tasks: tuple[Task, ...], changes: Changes, goal: set[str]) -> float:
    """Least minutes over all orders of all subsets, stopping where the goal is reached."""
    best = float("inf")
    for size in range(len(goal), len(tasks) + 1):
        for order in permutations(tasks, size):
            if goal <= {task.id for task in order} and is_possible(order, tasks):
                best = min(best, minutes_of(order, changes))
    return best


@pytest.mark.parametrize("seed", range(25))
def test_a_full_strip_takes_what_a_search_through_all_orders_finds(seed: int) -> None:
    tasks, changes = random_tasks(seed, 6, 0.2), changes_of(seed)
    plan = plan_strip(tasks, changes)
    by_id = {task.id: task for task in tasks}
    order = tuple(by_id[name] for name in plan.order)
    assert is_possible(order, tasks)
    assert len(order) == len(tasks)
    assert minutes_of(order, changes) == pytest.approx(plan.minutes)
    assert plan.minutes == pytest.approx(best_by_search(tasks, changes, set(by_id)))
    assert plan.proven


@pytest.mark.parametrize("seed", range(25))
def test_a_selective_strip_takes_what_a_search_through_all_orders_finds(seed: int) -> None:
    # Flat changes: by pairs a task that nobody needs could be a detour between two tools.
    tasks, changes = random_tasks(100 + seed, 6, 0.25), Changes(tool=2.0, posture=5.0, call=1.0)
    plan = plan_strip(tasks, changes, wanted=("t4",))
    by_id = {task.id: task for task in tasks}
    assert is_possible(tuple(by_id[name] for name in plan.order), tasks)
    assert plan.minutes == pytest.approx(best_by_search(tasks, changes, {"t4"}))
    assert set(plan.left) == set(by_id) - set(plan.order)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_past_the_limit_the_order_is_possible_and_the_bound_holds(seed: int) -> None:
    tasks, changes = random_tasks(seed, 12, 0.25), changes_of(seed)
    exact = plan_strip(tasks, changes)
    found = plan_strip(tasks, changes, most_down_sets=8)
    by_id = {task.id: task for task in tasks}
    assert found.down_sets == 0
    assert is_possible(tuple(by_id[name] for name in found.order), tasks)
    assert found.bound <= exact.minutes + 1e-9 <= found.minutes + 2e-9


@pytest.mark.parametrize("seed", range(3))
def test_cp_sat_finds_the_same_least_minutes(seed: int) -> None:
    """A second method: a circuit of tasks with tool changes, solved by CP-SAT."""
    rng = np.random.default_rng(seed)
    size = 12
    ids = [f"t{i}" for i in range(size)]
    tasks = tuple(
        Task(
            ids[i], float(rng.integers(1, 9)), tool=str(rng.choice(["a", "b", "c"])),
            posture=str(rng.choice(["up", "flat"])),
            after=tuple(ids[j] for j in range(i) if rng.random() < 0.2),
        )
        for i in range(size)
    )  # fmt: skip
    changes = Changes(tool=2.0, posture=5.0)
    assert plan_strip(tasks, changes).minutes == pytest.approx(by_cp_sat(tasks, changes))


def by_cp_sat(tasks: tuple[Task, ...], changes: Changes) -> float:
    """Least minutes by a circuit model with positions."""
    from ortools.sat.python import cp_model

    model, size = cp_model.CpModel(), len(tasks)
    start = Task("start", 0, changes.start_tool, changes.start_posture)
    place = [model.new_int_var(0, size - 1, f"at{i}") for i in range(size)]
    arcs: list[Any] = []
    cost: list[Any] = []
    for i in range(size):
        first, last = model.new_bool_var(""), model.new_bool_var("")
        arcs += [(0, i + 1, first), (i + 1, 0, last)]
        cost.append(int(minutes_of((start, tasks[i]), changes)) * first)
        model.add(place[i] == 0).only_enforce_if(first)
        for j in range(size):
            if i != j:
                arc = model.new_bool_var("")
                arcs.append((i + 1, j + 1, arc))
                model.add(place[j] == place[i] + 1).only_enforce_if(arc)
                before = Setup(tasks[i].tool, tasks[i].posture)
                then = Setup(tasks[j].tool, tasks[j].posture)
                cost.append(int(changes.minutes(before, then) + tasks[j].minutes) * arc)
    index = {task.id: i for i, task in enumerate(tasks)}
    for task in tasks:
        for one in task.after:
            model.add(place[index[one]] < place[index[task.id]])
    model.add_circuit(arcs)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return solver.objective_value


def leg() -> tuple[Task, ...]:
    """A small lower unit: two ways to the shaft's bearing, a reading that must come first."""
    return (
        Task("drain", 10, "drain key", "upright", frees=("oil",)),
        Task("nut", 6, "lug tool", "flat", after=("drain",), frees=("ring nut",)),
        Task("lash", 12, "dial", "upright", before=("shaft", "carrier")),
        Task("carrier", 15, "puller", "flat", after=("nut",), frees=("carrier",)),
        Task("shaft", 5, "", "flat", ways=(("carrier",), ("top",)), frees=("shaft",)),
        Task("top", 60, "socket", "upright", frees=("upper housing",)),
        Task("bearing", 20, "press", "", after=("shaft",), frees=("bearing",)),
        Task("pump", 8, "socket", "upright", frees=("pump",)),
    )


def test_selective_strip_takes_the_cheaper_way_out_and_leaves_the_rest_together() -> None:
    plan = plan_strip(leg(), Changes(tool=1, posture=4), wanted=("bearing",))
    assert plan.order == ("drain", "lash", "nut", "carrier", "shaft", "bearing")
    assert plan.left == ("top", "pump")
    # By hand: 10+12+6+15+5+20 of work, 5 tools, upright at the start and flat once.
    assert plan.minutes == pytest.approx(68 + 5 + 8)


def test_a_reading_is_needed_only_where_it_would_be_lost() -> None:
    assert plan_strip(leg(), Changes(), wanted=("pump",)).order == ("pump",)
    assert "lash" in plan_strip(leg(), Changes(), wanted=("carrier",)).order


def test_a_free_task_that_nobody_needs_is_left_out() -> None:
    tasks = (Task("look", 0.0), Task("pull", 5.0, ways=(("look",), ("wipe",))), Task("wipe", 0.0))
    assert plan_strip((*tasks, Task("photo", 0.0)), Changes(), ("pull",)).order == ("look", "pull")


def test_ties_keep_the_given_order() -> None:
    tasks = tuple(Task(name, 3.0, tool) for name, tool in zip("dbeac", "xyxyx", strict=True))
    assert plan_strip(tasks, Changes()).order == ("d", "b", "e", "a", "c")
    assert plan_strip(tasks, Changes(tool=1.0)).order == ("d", "e", "c", "b", "a")


def test_a_part_that_can_never_come_out_is_named_with_its_cycle() -> None:
    tasks = (
        Task("nut", 5),
        Task("carrier", 5, after=("nut", "gear"), frees=("carrier",)),
        Task("gear", 5, ways=(("carrier",), ("shaft",)), frees=("gear",)),
        Task("shaft", 5, after=("gear",), frees=("shaft",)),
    )
    with pytest.raises(InfeasibleError, match="carrier can never come out") as caught:
        plan_strip(tasks, Changes())
    assert "carrier waits for gear waits for carrier" in str(caught.value)
    assert plan_strip(tasks, Changes(), wanted=("nut",)).order == ("nut",)


def test_one_open_way_is_enough_though_the_other_goes_in_a_circle() -> None:
    tasks = (Task("a", 1, ways=(("b",), ("c",))), Task("b", 1, after=("a",)), Task("c", 1))
    assert plan_strip(tasks, Changes()).order == ("c", "a", "b")


def test_all_mistakes_are_told_at_once() -> None:
    tasks = (Task("a", -1, after=("ghost",)), Task("a", 1, people=0))
    with pytest.raises(FormErrors) as caught:
        plan_strip(tasks, Changes())
    assert len(caught.value.mistakes) == 4
    with pytest.raises(RangeError, match="wanted"):
        plan_strip((Task("a", 1),), Changes(), wanted=("moon",))


def test_more_than_64_tasks_are_exact_too() -> None:
    chain = tuple(
        Task(f"c{i}", 1, "xy"[i % 2], after=(f"c{i - 1}",) if i else ()) for i in range(70)
    )
    free = (Task("extra", 2, "x"), Task("other", 2, "y"))
    plan = plan_strip(chain + free, Changes(tool=3))
    assert plan.proven
    assert plan.minutes == pytest.approx(74 + 70 * 3)


def test_replanning_starts_from_what_is_at_hand() -> None:
    changes = Changes(tool=1, posture=4)
    plan = replan_strip(leg(), changes, done=("drain", "nut"), wanted=("bearing",))
    assert plan.order == ("lash", "carrier", "shaft", "bearing")
    assert plan.steps[0].change == pytest.approx(5)
    assert replan_strip(leg(), changes, done=("pump",), wanted=("pump",)).order == ()
    with pytest.raises(RangeError, match="done"):
        replan_strip(leg(), changes, done=("moon",))


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000))
def test_following_the_plan_and_replanning_changes_nothing(seed: int) -> None:
    tasks, changes = random_tasks(seed, 8, 0.25), Changes(tool=2.0, posture=5.0)
    plan = plan_strip(tasks, changes)
    rest = replan_strip(tasks, changes, plan.order[:3])
    spent = plan.steps[2].clock
    assert spent + rest.minutes == pytest.approx(plan.minutes)


def test_a_matrix_with_no_precedence_is_a_shortest_path_through_all() -> None:
    costs = [[0, 1, 9, 9], [9, 0, 1, 9], [9, 9, 0, 1], [9, 9, 9, 0]]
    assert order_by_matrix(costs, []).order == ("0", "1", "2", "3")


def test_down_sets_of_jacksons_graph_are_as_many_as_its_antichains() -> None:
    """Precedence of Jackson's line-balancing instance (Scholl 1993); counted by networkx."""
    import networkx as nx

    arcs = "1-2 1-3 1-4 1-5 2-6 3-7 4-7 5-7 6-8 7-9 8-10 9-11 10-11"
    pairs = [tuple(arc.split("-")) for arc in arcs.split()]
    times = (6, 2, 5, 7, 1, 2, 3, 6, 5, 5, 4)
    tasks = tuple(
        Task(str(k + 1), minutes, after=tuple(a for a, b in pairs if b == str(k + 1)))
        for k, minutes in enumerate(times)
    )
    plan = plan_strip(tasks, Changes())
    assert plan.down_sets == len(list(nx.antichains(nx.DiGraph(pairs))))
    assert plan.minutes == sum(times)
