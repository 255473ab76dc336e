"""The model's columns bound what a plan may need, and another exact solver agrees with it."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from ortools.linear_solver import pywraplp

from casewright.reasoning.cover import cheapest_plan
from casewright.reasoning.cover_model import Model, brackets, build
from casewright.reasoning.cover_need import Need, Question, Wishes, prepared
from casewright.reasoning.offers import Catalogue, Offer, PriceBreak, Supplier


def by_scip(model: Model) -> float:
    """The least cost of the same matrices by SCIP."""
    solver = pywraplp.Solver.CreateSolver("SCIP")
    infinity = solver.infinity()
    columns = [
        solver.IntVar(0, min(upper, infinity), "")
        if whole
        else solver.NumVar(0, min(upper, infinity), "")
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
    assert solver.Solve() == pywraplp.Solver.OPTIMAL
    return float(solver.Objective().Value())


def middling(seed: int) -> Question:
    """Twelve needs, 30 offers, three suppliers."""
    rng = np.random.default_rng(seed)
    suppliers = tuple(Supplier(name, Decimal(12), Decimal(150)) for name in "ABC")
    offers = []
    for index in range(18):
        inside = rng.choice(12, size=int(rng.integers(1, 5)), replace=False)
        price = Decimal(int(800 * len(inside) * rng.uniform(0.6, 1.2))) / 100
        offers.append(
            Offer(
                supplier="ABC"[index % 3],
                number=f"N{index}",
                price=price,
                currency="EUR",
                contents=tuple((f"P{i}", int(rng.integers(1, 3))) for i in inside),
                breaks=(PriceBreak(3, price * Decimal("0.8")),) if index % 4 == 0 else (),
                lead_days=float(rng.integers(1, 9)),
            )
        )
    offers += [Offer("A", f"P{i}", Decimal(14), "EUR", lead_days=3) for i in range(12)]
    needs = tuple(Need(f"P{i}", Decimal(int(rng.integers(1, 4)))) for i in range(12))
    return Question(
        Catalogue("EUR", suppliers, tuple(offers)), needs, (), Wishes(cost_per_day=Decimal(2))
    )


@pytest.mark.parametrize("seed", range(2))
def test_scip_finds_the_same_least_cost(seed: int) -> None:
    question = middling(seed)
    other = by_scip(build(prepared(question)))
    assert float(cheapest_plan(question).total) == pytest.approx(other, abs=1e-5)


def test_brackets_leave_out_what_lot_and_stock_forbid() -> None:
    steps = (PriceBreak(5, Decimal(4)), PriceBreak(10, Decimal(3)))
    offer = Offer("Q", "N", Decimal(5), "EUR", breaks=steps, least_lot=6, available=11)
    found = [(step.low, step.high, step.price) for step in brackets(offer, 40)]
    assert found == [(6, 9, Decimal(4)), (10, 11, Decimal(3))]
