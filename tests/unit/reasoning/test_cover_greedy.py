"""Greed never costs less than the proven plan, keeps the rules, and is never called proven."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from casewright.errors import InfeasibleError
from casewright.reasoning.cover import cheapest_plan
from casewright.reasoning.cover_greedy import greedy_plan
from casewright.reasoning.cover_need import Need, Question, Wishes
from casewright.reasoning.offers import Catalogue, Offer, PriceBreak, Stock, Supplier

D = Decimal
SUPPLIERS = (Supplier("Quay", D(9), D(60)), Supplier("Slip", D(4)))


def random_order(seed: int) -> Question:
    """Six needs, singles of each, eight kits, some lots and breaks, a shelf."""
    rng = np.random.default_rng(seed)
    parts = [f"P{n}" for n in range(6)]

    def price(most: int) -> Decimal:
        return D(int(rng.integers(100, most))) / 100

    offers = [
        Offer(
            str(rng.choice(["Quay", "Slip"])), part, price(2000), "EUR",
            least_lot=int(rng.integers(1, 4)), breaks=(PriceBreak(4, D("0.90")),),
        )
        for part in parts
    ]  # fmt: skip
    for kit in range(8):
        inside = sorted(rng.choice(parts, int(rng.integers(2, 5)), replace=False))
        contents = tuple((str(part), int(rng.integers(1, 3))) for part in inside)
        offers.append(Offer("Slip", f"K{kit}", price(3000), "EUR", contents=contents))
    needs = tuple(Need(part, D(int(rng.integers(1, 4)))) for part in parts)
    shelf = (Stock("P0", D(1), D(1)),)
    return Question(Catalogue("EUR", SUPPLIERS, tuple(offers), shelf), needs, (), Wishes(D(2)))


@pytest.mark.parametrize("seed", range(40))
def test_greed_costs_at_least_what_the_proven_plan_costs(seed: int) -> None:
    question = random_order(seed)
    quick, best = greedy_plan(question), cheapest_plan(question)
    assert best.proof.proven and not quick.proof.proven
    assert quick.total >= best.total
    covered: dict[str, Decimal] = {}
    for served in quick.served:
        covered[served.need] = covered.get(served.need, D(0)) + served.quantity
    assert covered == {need.number: need.quantity for need in question.needs}


def test_greed_is_misled_where_the_literature_says_so() -> None:
    """Chvátal 1979: singles at 60/i for i = 1..5, all of them at 66; greedy pays 60·H(5) = 137."""
    parts = [f"P{i}" for i in range(1, 6)]
    offers = [Offer("Slip", p, D(60) / i, "EUR") for i, p in enumerate(parts, 1)]
    offers.append(Offer("Slip", "ALL", D(66), "EUR", contents=tuple((p, 1) for p in parts)))
    free = (Supplier("Slip"),)
    question = Question(Catalogue("EUR", free, tuple(offers)), tuple(Need(part) for part in parts))
    assert greedy_plan(question).total == 137
    assert cheapest_plan(question).total == 66


def test_greed_that_finds_no_cover_says_what_stays_open() -> None:
    scarce = Offer("Slip", "P", D(1), "EUR", available=2)
    question = Question(Catalogue("EUR", SUPPLIERS, (scarce,)), (Need("P", D(3)),))
    with pytest.raises(InfeasibleError, match="P stays open"):
        greedy_plan(question)
