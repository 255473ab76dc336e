"""Stuck-joint ladder: exactness, speed against a general MDP library, money against simple orders.

Four parts.

1. *Equality*: random small ladders (preparations, harm, breaks, repeats, hire, one to three
   grades) against a search that keeps the whole history and tries every rung after it, which
   covers every policy.
2. *Size*: seconds for 14 rungs, 3 grades and 5 pieces at risk, whole solve.
3. *Speed*: the same model handed to `mdptoolbox.mdp.FiniteHorizon` (backward induction) and
   `ValueIteration` as sparse transition matrices, the form in which that library is fastest;
   transitions and rewards are built outside the clock, and the horizon is just the number of
   rungs, so that it does no needless sweep. Its check of the input would need a dense matrix of
   states × states and is switched off, so that it can hold the full size: 14 rungs, 3 grades,
   5 pieces, 524,288 states (with the check it stops at about 20,000 states). Ours is timed as the backward pass
   alone (`speed_ratio`) and with all of our model building (`speed_ratio_all_in`).
4. *Money*: random jobs drawn from the family defaults with their numbers shaken, costs by exact
   evaluation (no sampling noise): the fixed gentle-to-rough order, and the ratio rule used well
   (re-ranked under the belief after each failure, preparations bundled with their attempt, cut
   where stopping is cheapest), against the plan, by how much of the leg is scrap; then with the planner's and the expert's chances wrong by
   up to 30 % either way, evaluated under the true ones. The jobs come from our own defaults, which
   are invented: the ratios say what planning is worth in such a world, not in the reader's shop.
"""

from __future__ import annotations

import contextlib
import io
import time
from dataclasses import replace
from itertools import product
from typing import Any

import numpy as np

from casewright.reasoning.ladder import Abandon, Ladder, Piece, Rung, Standing, Worth
from casewright.reasoning.ladder_build import ladder_of_family
from casewright.reasoning.ladder_outlook import outlook_of_policy
from casewright.reasoning.ladder_policy import Policy, _improve, abandon_costs, solve
from casewright.reasoning.ladder_ratio import expert_order, gentle_order, means_of_order
from casewright.tables.ladder_defaults import FAMILIES

GRADES = ("tight", "seized", "welded")


def large_ladder(rungs: int, pieces: int, seed: int = 1) -> Ladder:
    """A ladder of a given size: a quarter preparations, each attempt harming two pieces."""
    rng = np.random.default_rng(seed)
    preparations = rungs // 4
    names = [f"attempt {i}" for i in range(rungs - preparations)]
    risk = tuple(Piece(f"p{k}", f"piece {k}", float(rng.uniform(50, 900))) for k in range(pieces))
    made = [
        Rung(
            f"q{i}", f"preparation {i}", "preparation", float(rng.uniform(3, 20)),
            eases=dict.fromkeys(names[i::preparations], (0.7,)),
        )
        for i in range(preparations)
    ]  # fmt: skip
    for name in names:
        chances = np.sort(rng.uniform(0.02, 0.8, 3))[::-1]
        touched = rng.choice(pieces, min(2, pieces), replace=False)
        harm = {f"p{k}": float(rng.uniform(0.01, 0.2)) for k in touched}
        made.append(
            Rung(name, name, "attempt", float(rng.uniform(3, 60)), tuple(chances), harm=harm)
        )
    return Ladder(tuple(made), risk, GRADES, (0.3, 0.4, 0.3), Abandon(2500), Worth(1.2))


def small_ladder(rng: np.random.Generator) -> Ladder:
    """A random small ladder with everything in it."""
    grades = int(rng.integers(1, 4))
    attempts = [f"a{i}" for i in range(int(rng.integers(1, 4)))]
    pieces = tuple(Piece(f"p{k}", f"p{k}", float(rng.uniform(0, 300))) for k in range(2))
    rungs = [
        Rung(
            "q", "q", "preparation", float(rng.uniform(1, 20)), harm={"p1": 0.1},
            eases={a: tuple(rng.uniform(0.1, 1, grades)) for a in attempts},
        )
    ]  # fmt: skip
    for name in attempts:
        owned = bool(rng.random() < 0.8)
        rungs.append(
            Rung(
                name, name, "attempt", float(rng.uniform(1, 40)), tuple(rng.uniform(0, 0.9, grades)),
                owned=owned, hire=None if owned else 10.0, repeats=int(rng.choice([1, 1, 2])),
                harm={p.id: float(rng.choice([0, 0.1, 0.5, 1])) for p in pieces},
                breaks=float(rng.choice([0, 0.1])), break_cost=120.0,
            )
        )  # fmt: skip
    prior = tuple(rng.dirichlet(np.ones(grades)))
    abandon = Abandon(float(rng.uniform(30, 500)), loses=("p0",))
    return Ladder(tuple(rungs), pieces, GRADES[:grades], prior, abandon, Worth(1.0, 0.05))


def by_search(ladder: Ladder, history: tuple[str, ...], harmed: frozenset[str], mass: Any) -> float:
    """Least expected cost over all policies from a history."""
    stake = {piece.id: piece.at_stake for piece in ladder.pieces}
    best = ladder.abandon.cost + sum(stake[p] for p in ladder.abandon.loses if p not in harmed)
    for rung in ladder.rungs:
        if history.count(rung.id) >= rung.repeats:
            continue
        total = rung.minutes * ladder.worth.minute + rung.breaks * rung.break_cost
        total += 0.0 if rung.owned or rung.id in history else rung.hire or 0.0
        stuck = np.ones(len(mass))
        if rung.kind == "attempt":
            stuck = 1 - rung.breaks - np.array(rung.chances)
            for one in ladder.rungs:
                if one.id in history and rung.id in one.eases:
                    stuck = stuck * np.array(one.eases[rung.id])
        still = float(mass @ stuck)
        touched = [p for p in stake if p not in harmed and rung.harm.get(p, 0) > 0]
        for hits in product((False, True), repeat=len(touched)):
            new = frozenset(p for p, hit in zip(touched, hits, strict=True) if hit)
            chance = float(
                np.prod([rung.harm[p] if p in new else 1 - rung.harm[p] for p in touched])
            )
            total += chance * sum(stake[p] for p in new)
            if chance * still > 0:
                onward = (*history, rung.id)
                total += (
                    chance * still * by_search(ladder, onward, harmed | new, mass * stuck / still)
                )
        best = min(best, total)
    return best


def equality(count: int) -> float:
    """Largest relative difference of the policy's value from the search."""
    rng, worst = np.random.default_rng(11), 0.0
    for _ in range(count):
        ladder = small_ladder(rng)
        wanted = by_search(ladder, (), frozenset(), np.array(ladder.prior))
        got = solve(ladder).cost_from(Standing())
        worst = max(worst, abs(got - wanted) / wanted)
    return worst


def as_mdp(policy: Policy) -> tuple[list[Any], np.ndarray]:
    """Sparse transitions and rewards of the same model; the last state is the end."""
    from scipy.sparse import coo_matrix, csr_matrix

    sets = policy.value.shape[1]
    states = policy.value.size + 1
    harm = np.arange(sets)
    transitions, rewards = [], []
    for step in policy.steps:
        move = np.eye(sets) if step.harm_step is None else step.harm_step
        source, target = np.nonzero(move)
        rows = np.flatnonzero(step.successor >= 0)
        start = (rows[:, None] * sets + source).ravel()
        end = (step.successor[rows][:, None] * sets + target).ravel()
        weight = (step.stuck[rows][:, None] * move[source, target]).ravel()
        stay = np.flatnonzero(step.successor < 0)
        idle = np.append((stay[:, None] * sets + harm).ravel(), states - 1)
        able = (rows[:, None] * sets + harm).ravel()
        ended = np.repeat(1.0 - step.stuck[rows], sets)
        matrix = coo_matrix(
            (
                np.concatenate((weight, ended, np.ones(len(idle)))),
                (
                    np.concatenate((start, able, idle)),
                    np.concatenate((end, np.full(len(able), states - 1), idle)),
                ),
            ),
            shape=(states, states),
        )
        transitions.append(csr_matrix(matrix))
        reward = np.full(states, -1e9)
        now = step.spent + step.hire * step.first[rows] + step.rung.breaks * step.rung.break_cost
        reward[able] = -(now[:, None] + step.harm_cost).ravel()
        reward[-1] = 0.0
        rewards.append(reward)
    ends = csr_matrix((np.ones(states), (np.arange(states), np.full(states, states - 1))))
    transitions.append(ends)
    stop = abandon_costs(policy.ladder, policy.at_risk)
    rewards.append(-np.append(np.tile(stop, len(policy.value)), 0.0))
    return transitions, np.array(rewards).T


def against_library(rungs: int, pieces: int) -> dict[str, float]:
    """Seconds of ours and of the library's backward induction and value iteration."""
    from mdptoolbox import mdp, util

    ladder = large_ladder(rungs, pieces)
    policy = solve(ladder)
    transitions, reward = as_mdp(policy)
    # Its check of the input makes dense matrices of states × states; without it, it holds far more.
    util.check = mdp._util.check = lambda transitions, reward: None
    with contextlib.redirect_stdout(io.StringIO()):  # it warns of a discount of 1
        horizon = mdp.FiniteHorizon(transitions, reward, 1.0, rungs + 1)
        clock = time.perf_counter()
    horizon.run()
    theirs = time.perf_counter() - clock
    ours, all_in = [], []
    for _ in range(3):
        clock = time.perf_counter()
        solve(ladder)
        all_in.append(time.perf_counter() - clock)
        ours.append(_backward_pass(policy))
    difference = abs(-horizon.V[0, 0] - policy.cost_from(Standing()))
    iterate = mdp.ValueIteration(transitions, reward, 1.0, max_iter=rungs + 1)
    clock = time.perf_counter()
    iterate.run()
    iterating = time.perf_counter() - clock
    print(f"\n3. Speed: {rungs} rungs, 3 grades, {pieces} pieces, {policy.value.size} states")
    print(f"   library, backward induction   {theirs:9.3f} s")
    print(f"   library, value iteration      {iterating:9.3f} s ({iterate.iter} sweeps)")
    print(f"   ours, backward pass           {min(ours):9.4f} s")
    print(f"   ours, whole solve             {min(all_in):9.4f} s")
    print(f"   values differ by              {difference:9.1e}")
    return {
        "speed_ratio": min(theirs, iterating) / min(ours),
        "speed_ratio_all_in": min(theirs, iterating) / min(all_in),
        "library_states": float(policy.value.size),
        "library_difference": difference,
    }


def _backward_pass(policy: Policy) -> float:
    """Seconds of our backward pass over a model that is already built."""
    value = np.tile(abandon_costs(policy.ladder, policy.at_risk), (len(policy.space.codes), 1))
    clock = time.perf_counter()
    done = policy.space.done.sum(axis=0)
    for layer in range(int(done.max()), -1, -1):
        _improve(np.flatnonzero(done == layer), policy.steps, value)
    return time.perf_counter() - clock


def random_job(rng: np.random.Generator, scrap: float) -> Ladder:
    """A job from the family defaults with all numbers shaken; `scrap` of its roles condemned."""
    family = FAMILIES[str(rng.choice(list(FAMILIES)))]
    price = {
        "housing": 1800.0,
        "thread": 90.0,
        "screw": 3.0,
        "stud": 6.0,
        "seals": 40.0,
        "nut": 70.0,
    }
    pieces = {
        role: Piece(
            role, role, price.get(role, 300.0) * float(rng.lognormal(0, 0.5)),
            condemned=bool(rng.random() < scrap), one_time=role in ("seals", "screw"),
        )
        for role in family.roles
    }  # fmt: skip
    base = ladder_of_family(
        family.id, pieces, Worth(float(rng.uniform(0.8, 2.0)), float(rng.choice([0.0, 0.02, 0.1]))),
        Abandon(float(rng.uniform(400, 3000))), break_cost=float(rng.uniform(60, 250)),
        prior=tuple(rng.dirichlet(np.array(family.prior) * 8)),
    )  # fmt: skip
    return _shaken(base, rng, 0.5, also_minutes=True)


def _shaken(ladder: Ladder, rng: np.random.Generator, by: float, also_minutes: bool) -> Ladder:
    """Every chance (and time) changed by its own factor between 1 − by and 1 + by."""

    def factor() -> float:
        return float(rng.uniform(1 - by, 1 + by))

    rungs = []
    for rung in ladder.rungs:
        f = factor()
        rungs.append(
            replace(
                rung,
                minutes=rung.minutes * (factor() if also_minutes else 1.0),
                chances=tuple(min(p * f, 1.0 - rung.breaks) for p in rung.chances),
                harm={k: h if h == 1.0 else min(h * factor(), 1.0) for k, h in rung.harm.items()},
                eases={k: tuple(min(max(1 - (1 - s) * f, 0.0), 1.0) for s in v) for k, v in rung.eases.items()},
            )
        )  # fmt: skip
    return replace(ladder, rungs=tuple(rungs))


def money(jobs: int) -> dict[str, float]:
    """Cost ratios over random jobs, by how much is scrap, with true and with wrong chances."""
    rng = np.random.default_rng(2024)
    levels = (("little scrap", 0.05), ("half scrap", 0.5), ("mostly scrap", 0.85))
    sums = {(level, wrong): np.zeros(4) for level, _ in levels for wrong in (False, True)}
    for k in range(jobs):
        level, scrap = levels[k % len(levels)]
        truth = random_job(rng, scrap)
        believed = _shaken(truth, rng, 0.3, also_minutes=False)
        gentle = means_of_order(truth, gentle_order(truth))[-1]
        for wrong, model in ((False, truth), (True, believed)):
            policy = solve(model)
            sums[level, wrong] += (
                gentle,
                means_of_order(truth, expert_order(model))[-1],
                outlook_of_policy(policy, truth).mean if wrong else policy.cost_from(Standing()),
                1.0,
            )
    return _told(sums, [level for level, _ in levels], jobs)


def _told(
    sums: dict[tuple[str, bool], np.ndarray], levels: list[str], jobs: int
) -> dict[str, float]:
    """Print the table and gather its figures."""
    figures = {}
    print(f"\n4. Money: {jobs} random jobs from the (invented) family defaults, exact costs")
    print("   chances     scrap           plan   gentle/plan   ratio rule/plan")
    for wrong in (False, True):
        for level in [*levels, "all"]:
            chosen = [sums[one, wrong] for one in levels if level in (one, "all")]
            gentle, expert, plan, count = np.sum(chosen, axis=0)
            name = "30 % wrong" if wrong else "true"
            print(
                f"   {name:11s} {level:13s} {plan / count:7.1f}   {gentle / plan:11.3f}"
                f"   {expert / plan:15.3f}"
            )
            end = ("_" + level.replace(" ", "_") if level != "all" else "") + (
                "_wrong" if wrong else ""
            )
            figures["cost_ratio_gentle" + end] = float(gentle / plan)
            figures["cost_ratio_expert" + end] = float(expert / plan)
    return figures


def run(quick: bool) -> dict[str, float]:
    """Run all four parts."""
    count = 60 if quick else 300
    worst = equality(count)
    print(f"1. Equality: {count} random small ladders, largest relative difference {worst:.1e}")
    ladder = large_ladder(14, 5)
    taken = []
    for _ in range(3):
        clock = time.perf_counter()
        policy = solve(ladder)
        taken.append(time.perf_counter() - clock)
    print(f"2. Size: 14 rungs, 3 grades, 5 pieces, {policy.value.size} states: {min(taken):.3f} s")
    figures = {"equality_difference": worst, "seconds": min(taken)}
    figures |= against_library(14, 5)
    return figures | money(150 if quick else 2000)
