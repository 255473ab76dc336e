"""Strip-down order: share proven, seconds by number of down-sets, CP-SAT on the same beside it.

Random graphs of 40 tasks, as the measure was set: task j may need task i < j with the given chance
(0.3, 0.2, 0.1), four tools, three postures, minutes 2 to 20, 2 min per tool change, 5 per change of
posture. Ours: whole call, graph building included; past the limit it returns the best found with
its bound. `proven_share_to_100000` counts the instances with up to 100,000 down-sets and must be
1.0. Reference: OR-Tools CP-SAT, one worker, short time cap, in its leaner form for this question:
a circuit over tasks whose arcs carry the change minutes, a position per task with precedence
between positions (transitive reduction), work minutes left out of the objective as a constant.
Where it proves, both must agree. `gap` is (minutes − bound)/minutes of what we did not prove.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np

from casewright.reasoning.sequence import Changes, Setup, StripPlan, Task
from casewright.reasoning.sequence_plan import plan_strip

CHANGES = Changes(tool=2.0, posture=5.0)
SIZE = 40


def random_graph(seed: int, density: float, size: int = SIZE) -> tuple[Task, ...]:
    """Random tasks in the order of their numbers."""
    rng = np.random.default_rng(seed)
    needs = np.triu(rng.random((size, size)) < density, 1)
    return tuple(
        Task(
            f"t{j}", float(rng.integers(2, 21)), tool=f"tool {rng.integers(4)}",
            posture=f"posture {rng.integers(3)}",
            after=tuple(f"t{i}" for i in np.flatnonzero(needs[:, j])),
        )
        for j in range(size)
    )  # fmt: skip


def by_cp_sat(tasks: tuple[Task, ...], cap: float) -> tuple[float | None, bool, float]:
    """Minutes, whether proven, and seconds of the circuit model."""
    import networkx as nx
    from ortools.sat.python import cp_model

    graph = nx.DiGraph([(one, task.id) for task in tasks for one in task.after])
    graph.add_nodes_from(task.id for task in tasks)
    before = nx.transitive_reduction(graph).edges
    reach = {task.id: nx.ancestors(graph, task.id) for task in tasks}
    model, index = cp_model.CpModel(), {task.id: i for i, task in enumerate(tasks)}
    place = [model.new_int_var(0, len(tasks) - 1, "") for _ in tasks]
    arcs: list[Any] = []
    cost: list[Any] = []
    start = Setup(CHANGES.start_tool, CHANGES.start_posture)
    setups = [Setup(task.tool, task.posture) for task in tasks]
    for i, one in enumerate(tasks):
        first, last = model.new_bool_var(""), model.new_bool_var("")
        arcs += [(0, i + 1, first), (i + 1, 0, last)]
        cost.append(int(CHANGES.minutes(start, setups[i])) * first)
        for j, other in enumerate(tasks):
            if i == j or other.id in reach[one.id]:
                continue
            arc = model.new_bool_var("")
            arcs.append((i + 1, j + 1, arc))
            model.add(place[j] == place[i] + 1).only_enforce_if(arc)
            cost.append(int(CHANGES.minutes(setups[i], setups[j])) * arc)
    for a, b in before:
        model.add(place[index[a]] < place[index[b]])
    model.add_circuit(arcs)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = cap
    clock = time.perf_counter()
    status = solver.solve(model)
    seconds = time.perf_counter() - clock
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, False, seconds
    work = sum(task.minutes for task in tasks)
    return work + solver.objective_value, status == cp_model.OPTIMAL, seconds


def _line(density: float, plan: StripPlan, seconds: float, theirs: tuple[Any, bool, float]) -> None:
    """One instance as a row."""
    sets = f"{plan.down_sets:10d}" if plan.down_sets else "over limit"
    mark = "proven" if plan.proven else f"bound {plan.bound:.0f}"
    other = "nothing" if theirs[0] is None else f"{theirs[0]:.0f}"
    print(
        f"  {density:7.1f}  {sets}  {plan.minutes:7.0f} {mark:10s} {seconds:8.2f} s"
        f"     {other:>7s} {'proven' if theirs[1] else '':7s} {theirs[2]:7.1f} s"
    )


def run(quick: bool) -> dict[str, float]:
    """Random graphs at three densities; returns shares and seconds."""
    count, cap = (2, 3.0) if quick else (8, 10.0)
    print("  density   down-sets  minutes  ours               CP-SAT minutes")
    rows, wrong = [], 0
    for density in (0.3, 0.2, 0.1):
        for k in range(count):
            tasks = random_graph(1000 * k + round(density * 10), density)
            clock = time.perf_counter()
            plan = plan_strip(tasks, CHANGES)
            seconds = time.perf_counter() - clock
            theirs = by_cp_sat(tasks, cap)
            if plan.proven and theirs[0] is not None:
                wrong += theirs[0] < plan.minutes - 1e-6
                wrong += theirs[1] and theirs[0] > plan.minutes + 1e-6
            rows.append((density, plan, seconds, theirs))
            _line(*rows[-1])
    figures = _figures(rows)
    figures["disagreements"] = float(wrong)
    return figures


def _figures(
    rows: list[tuple[float, StripPlan, float, tuple[Any, bool, float]]],
) -> dict[str, float]:
    """Shares, seconds by down-sets, gaps."""
    small = [plan.proven for _, plan, _, _ in rows if 0 < plan.down_sets <= 100_000]
    figures = {
        "proven_share": float(np.mean([plan.proven for _, plan, _, _ in rows])),
        "proven_share_to_100000": float(np.mean(small)),
        "proven_share_cp_sat": float(np.mean([theirs[1] for *_, theirs in rows])),
    }
    for low, high in ((1, 1_000), (1_001, 10_000), (10_001, 100_000), (100_001, 10**9)):
        took = [s for _, plan, s, _ in rows if low <= plan.down_sets <= high]
        if took:
            figures[f"seconds_to_{high}_down_sets"] = max(took)
    past = [(plan, s, theirs) for _, plan, s, theirs in rows if not plan.proven]
    if past:
        figures["gap"] = float(np.mean([(p.minutes - p.bound) / p.minutes for p, _, _ in past]))
        figures["seconds_past_limit"] = max(s for _, s, _ in past)
        found = [(p, theirs[0]) for p, _, theirs in past if theirs[0] is not None]
        if found:
            figures["cost_ratio_past_limit"] = float(np.mean([o / p.minutes for p, o in found]))
    for density in (0.3, 0.2, 0.1):
        took = [s for d, _, s, _ in rows if d == density]
        figures[f"seconds_density_{density}"] = float(np.median(took))
    return figures
