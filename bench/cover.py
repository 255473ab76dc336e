"""Order cover: proven optimum of 60 needs, 400 offers, 6 suppliers; greedy and SCIP beside it.

An invented order: 60 needs in ten families (seals, tapers, gears and the like); every need is
offered as a single by four suppliers; 160 kits hold 2 to 6 parts of one family at 0.7 to 0.95 of
their singles; a fifth of all offers have price breaks, one in twenty a least lot; freight is free
from a level, leads run from 1 to 14 days and each day of waiting costs. With kits thrown together
from any parts at 0.55 to 0.95 the same size is harder: seconds become tens of seconds.

`seconds`             to a plan proven optimal (model, HiGHS, exact decimal sums), median order.
`cost_ratio`          total of a plain greedy cover over ours. Greedy buys, again and again, the
                      unit with the least gross price per need still open, and pays freight and
                      waiting for what it bought; it is at least 1 always, else ours is wrong.
`solver_time_ratio`   time of SCIP (through OR-Tools, one thread, its usual settings) on the very
                      same matrices over the time of our solver call; both must agree on the cost.

Run with OPENBLAS_NUM_THREADS=1, so that idle threads of a linear-algebra library don't take the
solver's processor.
"""

from __future__ import annotations

import statistics
import time
from decimal import Decimal

import numpy as np

SUPPLIERS = "ABCDEF"
FAMILY = 6


def question(seed: int, needs: int = 60, kits: int = 160):
    """One invented order."""
    from casewright.reasoning.cover_need import Need, Question, Wishes
    from casewright.reasoning.offers import Catalogue, Offer, PriceBreak, Supplier

    rng = np.random.default_rng(seed)
    worth = rng.lognormal(3.3, 0.9, needs)
    lead = {name: int(rng.integers(1, 9)) for name in SUPPLIERS}

    def offer(number: str, supplier: str, inside: tuple[tuple[str, int], ...], price: float):
        cents = Decimal(max(int(price * 100), 50)) / 100
        breaks = (PriceBreak(5, cents * Decimal("0.85")),) if rng.random() < 0.2 else ()
        return Offer(
            supplier=supplier,
            number=number,
            price=cents,
            currency="EUR",
            contents=inside,
            breaks=breaks,
            least_lot=2 if rng.random() < 0.05 else 1,
            lead_days=lead[supplier] + int(rng.integers(0, 7)),
            tax_rate=Decimal("0.20"),
        )

    offers = []
    for part in range(needs):
        for supplier in rng.choice(list(SUPPLIERS), 4, replace=False):
            price = worth[part] * rng.uniform(0.85, 1.3)
            offers.append(offer(f"P{part}", supplier, (), price))
    for kit in range(kits):
        first = FAMILY * int(rng.integers(needs // FAMILY))
        inside = first + rng.choice(FAMILY, int(rng.integers(2, FAMILY + 1)), replace=False)
        pieces = tuple((f"P{part}", int(rng.integers(1, 3))) for part in sorted(inside))
        price = sum(worth[int(number[1:])] * count for number, count in pieces)
        supplier = SUPPLIERS[kit % len(SUPPLIERS)]
        offers.append(offer(f"K{kit}", supplier, pieces, price * rng.uniform(0.7, 0.95)))
    suppliers = tuple(
        Supplier(name, Decimal(int(rng.integers(8, 26))), Decimal(int(rng.integers(200, 600))))
        for name in SUPPLIERS
    )
    wanted = tuple(Need(f"P{part}", Decimal(int(rng.integers(1, 5)))) for part in range(needs))
    wishes = Wishes(cost_per_day=Decimal(6))
    return Question(Catalogue("EUR", suppliers, tuple(offers)), wanted, (), wishes)


def greedy(asked) -> float:
    """Total of a cover that buys the unit cheapest per need still open, least lots kept."""
    from casewright.reasoning.cover_need import prepared
    from casewright.reasoning.cover_plan import Proof, exact_plan

    ready = prepared(asked)
    open_needs = {need.number: int(need.quantity) for need in ready.needs}
    bought: dict[int, int] = {}
    while any(open_needs.values()):
        best, best_score = 0, float("inf")
        for index, offer in enumerate(ready.catalogue.offers):
            lot = 1 if index in bought else offer.least_lot
            useful = sum(min(open_needs[n], lot * count) for n, count in offer.pieces)
            gross = float(offer.price * (1 + offer.tax_rate)) * lot
            if useful and gross / useful < best_score:
                best, best_score = index, gross / useful
        offer = ready.catalogue.offers[best]
        lot = 1 if best in bought else offer.least_lot
        bought[best] = bought.get(best, 0) + lot
        for number, count in offer.pieces:
            open_needs[number] = max(0, open_needs[number] - lot * count)
    return float(exact_plan(ready, bought, {}, Proof(False, 0.0, 0.0)).total)


def by_scip(model) -> tuple[float, float]:
    """Least cost and seconds of SCIP on the same matrices."""
    from ortools.linear_solver import pywraplp

    solver = pywraplp.Solver.CreateSolver("SCIP")
    infinity = solver.infinity()
    columns = [
        (solver.IntVar if whole else solver.NumVar)(0, min(upper, infinity), "")
        for upper, whole in zip(model.upper, model.whole, strict=True)
    ]
    rows = [
        solver.RowConstraint(max(low, -infinity), min(high, infinity), "")
        for low, high in zip(model.low, model.high, strict=True)
    ]
    for row, column, value in model.entries:
        rows[row].SetCoefficient(columns[column], value)
    for column, cost in zip(columns, model.cost, strict=True):
        solver.Objective().SetCoefficient(column, cost)
    start = time.perf_counter()
    status = solver.Solve()
    if status != pywraplp.Solver.OPTIMAL:
        raise RuntimeError(f"SCIP did not prove an optimum: {status}")
    return float(solver.Objective().Value()), time.perf_counter() - start


def run(quick: bool) -> dict[str, float]:
    """Solve a few orders; print and return the figures."""
    from casewright.reasoning import cover
    from casewright.reasoning.cover_model import build
    from casewright.reasoning.cover_need import prepared

    cover.cheapest_plan(question(0, needs=12, kits=4))  # imports and first call, not timed
    seconds, costs, times = [], [], []
    print(
        "order  columns   rows    ours s  proven     total   greedy    ratio    SCIP s  same cost"
    )
    for seed in range(3 if quick else 9):
        asked = question(seed)
        start = time.perf_counter()
        plan = cover.cheapest_plan(asked)
        seconds.append(time.perf_counter() - start)
        model = build(prepared(asked))
        start = time.perf_counter()
        cover._run(model, model.cost, cover.SECONDS)
        alone = time.perf_counter() - start
        least, other = by_scip(model)
        plain = greedy(asked)
        costs.append(plain / float(plan.total))
        times.append(other / alone)
        same = abs(least - float(plan.total)) < 1e-4
        if not (plan.proof.proven and same):
            raise RuntimeError(f"order {seed}: proven {plan.proof}, SCIP {least}, {plan.total}")
        print(
            f"{seed:5d}  {len(model.cost):7d} {len(model.low):6d}  {seconds[-1]:8.3f}  "
            f"{plan.proof.proven!s:>6}  {plan.total:8.2f} {plain:8.2f} {costs[-1]:8.3f}  "
            f"{other:8.2f}  {same}"
        )
    return {
        "seconds": statistics.median(seconds),
        "slowest_seconds": max(seconds),
        "cost_ratio": statistics.median(costs),
        "least_cost_ratio": min(costs),
        "solver_time_ratio": statistics.median(times),
    }
