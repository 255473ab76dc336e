"""The policy against a search through every history, and against its special cases.

The search shares nothing with the solver: it keeps the whole history, updates the chance of each
grade step by step, and tries every rung after every history and every outcome, which covers every
policy there is.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.reasoning.ladder import Abandon, Ladder, Piece, Rung, Standing, Worth
from casewright.reasoning.ladder_outlook import follow, outlook_of_order, outlook_of_policy
from casewright.reasoning.ladder_policy import solve
from casewright.reasoning.ladder_ratio import expert_order, gentle_order, means_of_order


def random_ladder(seed: int) -> Ladder:
    """A small ladder with preparations, harm, breaks, repeats, hire, order rules and grades."""
    rng = np.random.default_rng(seed)
    grades = int(rng.integers(1, 4))
    attempts = [f"a{i}" for i in range(int(rng.integers(1, 4)))]
    preparations = [f"q{i}" for i in range(int(rng.integers(0, 3 if len(attempts) < 3 else 2)))]
    pieces = tuple(
        Piece(f"p{k}", f"piece {k}", float(rng.uniform(0, 300)), condemned=bool(rng.random() < 0.2))
        for k in range(int(rng.integers(0, 3)))
    )

    def common() -> dict[str, Any]:
        owned = bool(rng.random() < 0.8)
        return {
            "minutes": float(rng.uniform(1, 40)),
            "wait": float(rng.choice([0.0, 60.0])),
            "money": float(rng.choice([0.0, 12.0])),
            "owned": owned,
            "hire": None if owned else float(rng.uniform(1, 30)),
            "harm": {p.id: float(rng.choice([0, 0.1, 0.5, 1])) for p in pieces},
        }

    rungs = []
    for name in preparations:
        eases = {
            a: tuple(rng.uniform(0.1, 1.0, size=grades if rng.random() < 0.6 else 1))
            for a in attempts
            if rng.random() < 0.8
        }
        rungs.append(Rung(name, name, "preparation", eases=eases, **common()))
    for i, name in enumerate(attempts):
        breaks = float(rng.choice([0.0, 0.1]))
        rungs.append(
            Rung(
                name, name, "attempt", chances=tuple(rng.uniform(0, 0.9, grades)), breaks=breaks,
                break_cost=float(rng.uniform(0, 200)), repeats=int(rng.choice([1, 1, 2])),
                after=("q0",) if preparations and rng.random() < 0.15 else (),
                not_after=("a0",) if i and rng.random() < 0.15 else (), **common(),
            )
        )  # fmt: skip
    prior = rng.dirichlet(np.ones(grades))
    loses = tuple(p.id for p in pieces if rng.random() < 0.3)
    names = ("free", "tight", "welded")[:grades]
    abandon = Abandon(float(rng.uniform(30, 500)), loses=loses)
    return Ladder(tuple(rungs), pieces, names, tuple(prior), abandon, Worth(1.0, 0.05))


def best_by_search(
    ladder: Ladder, history: tuple[str, ...], harmed: frozenset[str], mass: Any
) -> float:
    """Least expected cost over all policies from a history; `mass` is the chance of each grade."""
    stake = {p.id: (0.0 if p.condemned or p.one_time else p.cost) for p in ladder.pieces}
    best = ladder.abandon.cost + sum(stake[p] for p in ladder.abandon.loses if p not in harmed)
    for rung in ladder.rungs:
        if history.count(rung.id) >= rung.repeats or not set(rung.after) <= set(history):
            continue
        if set(rung.not_after) & set(history):
            continue
        total = rung.minutes * ladder.worth.minute + rung.wait * ladder.worth.waiting_minute
        total += rung.money
        if not rung.owned and rung.id not in history:
            total += rung.hire or 0.0
        stuck = np.ones(len(mass))
        if rung.kind == "attempt":
            stuck = 1 - rung.breaks - np.array(rung.chances)
            for one in ladder.rungs:
                if one.id in history and rung.id in one.eases:
                    stuck = stuck * np.array(one.eases[rung.id])
            total += rung.breaks * rung.break_cost
        still = float(mass @ stuck)
        touched = [p for p in stake if p not in harmed and rung.harm.get(p, 0) > 0]
        for outcome in product((False, True), repeat=len(touched)):
            new = {p for p, hit in zip(touched, outcome, strict=True) if hit}
            chance = float(
                np.prod([rung.harm[p] if p in new else 1 - rung.harm[p] for p in touched])
            )
            total += chance * sum(stake[p] for p in new)
            if chance * still > 0:
                onward = best_by_search(
                    ladder, (*history, rung.id), harmed | new, mass * stuck / still
                )
                total += chance * still * onward
        best = min(best, total)
    return best


@pytest.mark.parametrize("block", range(10))
def test_policy_costs_what_a_search_through_all_policies_finds(block: int) -> None:
    for seed in range(30 * block, 30 * block + 30):
        ladder = random_ladder(seed)
        wanted = best_by_search(ladder, (), frozenset(), np.array(ladder.prior))
        assert solve(ladder).cost_from(Standing()) == pytest.approx(wanted, rel=1e-9), seed


@pytest.mark.parametrize("seed", range(0, 300, 6))
def test_following_the_policy_costs_its_value(seed: int) -> None:
    policy = solve(random_ladder(seed))
    outlook = outlook_of_policy(policy)
    assert outlook.mean == pytest.approx(policy.cost_from(Standing()), rel=1e-9, abs=1e-9)
    assert sum(outlook.chances) == pytest.approx(1.0)
    assert outlook.released + outlook.abandoned + outlook.broken == pytest.approx(1.0)


@settings(max_examples=40, deadline=None)
@given(st.integers(1000, 100_000))
def test_no_fixed_order_is_cheaper(seed: int) -> None:
    ladder = random_ladder(seed)
    planned = solve(ladder).cost_from(Standing())
    for order in (gentle_order(ladder), expert_order(ladder)):
        assert outlook_of_order(ladder, order).mean >= planned - 1e-9
        assert means_of_order(ladder, order)[-1] == pytest.approx(
            outlook_of_order(ladder, order).mean, rel=1e-9
        )


@settings(max_examples=30, deadline=None)
@given(st.integers(1000, 100_000))
def test_condemning_a_piece_never_makes_the_job_dearer(seed: int) -> None:
    ladder = random_ladder(seed)
    planned = solve(ladder).cost_from(Standing())
    for piece in ladder.pieces:
        condemned = ladder.with_piece(piece.id, condemned=True)
        assert solve(condemned).cost_from(Standing()) <= planned + 1e-9


@settings(max_examples=30, deadline=None)
@given(st.integers(1000, 100_000))
def test_replanning_after_an_outcome_agrees_with_the_whole_policy(seed: int) -> None:
    policy = solve(random_ladder(seed))
    standing = Standing()
    while (name := policy.next_rung(standing)) is not None:
        harm = policy.ladder.rung(name).harm
        standing = standing.then(name, [p for p, chance in harm.items() if chance >= 0.5])
        again = solve(policy.ladder, standing)
        assert again.next_rung(standing) == policy.next_rung(standing)
        assert again.cost_from(standing) == pytest.approx(policy.cost_from(standing))


def test_simulated_jobs_agree_with_the_exact_distribution() -> None:
    """Second way for mean and tail: play the policy 10,000 times against drawn grades."""
    ladder = random_ladder(93)
    policy, rng = solve(ladder), np.random.default_rng(5)
    outlook = outlook_of_policy(policy)
    totals = [play(ladder, policy, rng) for _ in range(10_000)]
    spread = float(np.std(totals)) / 100
    assert spread > 0.1
    assert float(np.mean(totals)) == pytest.approx(outlook.mean, abs=5 * spread)
    assert float(np.mean(np.array(totals) > outlook.one_in_ten + 1e-6)) <= 0.10 + 0.01


def play(ladder: Ladder, policy: Any, rng: np.random.Generator) -> float:
    """One job by dice."""
    grade = rng.choice(len(ladder.grades), p=ladder.prior)
    stake = {p.id: p.at_stake for p in ladder.pieces}
    standing, total = Standing(), 0.0
    while (name := policy.next_rung(standing)) is not None:
        rung = ladder.rung(name)
        total += rung.minutes * ladder.worth.minute + rung.wait * ladder.worth.waiting_minute
        total += rung.money + (0 if rung.owned or name in standing.tried else rung.hire or 0)
        new = [
            p
            for p, chance in rung.harm.items()
            if p not in standing.harmed and rng.random() < chance
        ]
        total += sum(stake[p] for p in new)
        if rung.kind == "attempt":
            stuck = 1 - rung.breaks - rung.chances[grade]
            for one in ladder.rungs:
                if one.id in standing.tried and name in one.eases:
                    share = one.eases[name]
                    stuck *= share[grade] if len(share) > 1 else share[0]
            dice = rng.random()
            if dice < rung.breaks:
                return total + rung.break_cost
            if dice >= rung.breaks + stuck:
                return total
        standing = standing.then(name, new)
    lost = [p for p in ladder.abandon.loses if p not in standing.harmed]
    return total + ladder.abandon.cost + sum(stake[p] for p in lost)


def test_a_failed_gentle_method_lowers_the_odds_of_the_next() -> None:
    pull = Rung("pull", "pull", "attempt", 5, (0.9, 0.1))
    press = Rung("press", "press", "attempt", 30, (0.95, 0.2))
    ladder = Ladder((pull, press), (), ("free", "welded"), (0.5, 0.5), Abandon(500), Worth(1))
    fresh = follow(ladder, lambda at: "press" if not at.tried else None)
    after = follow(
        ladder, lambda at: "press" if at.tried == ("pull",) else None, Standing(("pull",))
    )
    # By hand: 0.5·0.95 + 0.5·0.2; then the belief is (0.1, 0.9) after the pull has failed.
    assert fresh.released == pytest.approx(0.575)
    assert after.released == pytest.approx(0.1 * 0.95 + 0.9 * 0.2)


def test_relief_cuts_come_first_once_the_carrier_is_condemned() -> None:
    pull = Rung("pull", "puller", "attempt", 40, (0.5,))
    cut = Rung("cut", "relief cuts", "attempt", 18, (0.98,), harm={"carrier": 1.0})
    carrier = Piece("carrier", "bearing carrier", 420)
    ladder = Ladder((pull, cut), (carrier,), ("any",), (1.0,), Abandon(900), Worth(1.5))
    assert solve(ladder).next_rung(Standing()) == "pull"
    assert solve(ladder.with_piece("carrier", condemned=True)).next_rung(Standing()) == "cut"


def test_the_promised_size_is_solved_exactly() -> None:
    """14 rungs, 3 grades, 5 pieces: the count of states, and the policy's value by following it."""
    rng = np.random.default_rng(3)
    pieces = tuple(Piece(f"p{k}", f"p{k}", 200.0 * (k + 1)) for k in range(5))
    names = [f"a{i}" for i in range(11)]
    rungs = [
        Rung(f"q{i}", f"q{i}", "preparation", 6, eases=dict.fromkeys(names[i::3], (0.7,)))
        for i in range(3)
    ]
    rungs += [
        Rung(
            a, a, "attempt", float(rng.uniform(4, 60)),
            tuple(sorted(rng.uniform(0.05, 0.7, 3), reverse=True)),
            harm={f"p{k}": 0.1 for k in rng.choice(5, 2, replace=False)},
        )
        for a in names
    ]  # fmt: skip
    grades = ("tight", "seized", "welded")
    policy = solve(Ladder(tuple(rungs), pieces, grades, (0.3, 0.4, 0.3), Abandon(2500), Worth(1)))
    assert policy.value.shape == (2**14, 2**5)
    assert outlook_of_policy(policy).mean == pytest.approx(policy.cost_from(Standing()), rel=1e-9)
