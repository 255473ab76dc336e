"""The cheapest order equals brute force, keeps every wish, and says what stands in the way."""

from __future__ import annotations

import itertools
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from numpy.typing import NDArray

from casewright.errors import FormErrors, InfeasibleError
from casewright.reasoning.cover import cheapest_plan, compare
from casewright.reasoning.cover_need import MatchedSet, Need, Question, Wishes
from casewright.reasoning.cover_plan import unit_price
from casewright.reasoning.offers import (
    Catalogue,
    Offer,
    PriceBreak,
    Stock,
    Superseded,
    Supplier,
)

D = Decimal


def offer(supplier: str, number: str, price: str, **more: object) -> Offer:
    """An offer in euros."""
    return Offer(supplier, number, D(price), "EUR", **more)  # type: ignore[arg-type]


def ask(
    offers: list[Offer], needs: dict[str, int | str], shelf: tuple[Stock, ...] = (), **more: object
) -> Question:
    """A question with suppliers Quay (9, free from 100) and Slip (4) unless told otherwise."""
    suppliers = more.pop("suppliers", (Supplier("Quay", D(9), D(100)), Supplier("Slip", D(4))))
    superseded = more.pop("superseded", ())
    sets = more.pop("sets", ())
    consumables = more.pop("consumables", ())
    catalogue = Catalogue("EUR", suppliers, tuple(offers), shelf, superseded)  # type: ignore[arg-type]
    wanted = tuple(Need(n, D(str(q)), n in consumables) for n, q in needs.items())  # type: ignore[operator]
    return Question(catalogue, wanted, sets, Wishes(**more))  # type: ignore[arg-type]


def bought(plan: object) -> dict[str, int]:
    """Offer key to units."""
    return {
        line.offer.key: line.quantity
        for parcel in plan.parcels  # type: ignore[attr-defined]
        for line in parcel.lines
    }


def random_question(seed: int) -> Question:
    """Three needs, five offers with kits, lots and breaks, two suppliers, a shelf, waiting."""
    rng = np.random.default_rng(seed)
    parts = ["P", "Q", "R"]
    offers = []
    for index in range(5):
        inside = rng.choice(3, size=int(rng.integers(1, 4)), replace=False)
        contents = tuple((parts[i], int(rng.integers(1, 3))) for i in sorted(inside))
        price = D(int(rng.integers(200, 3000))) / 100
        has_break = rng.random() < 0.5
        cheaper = (price * D(int(rng.integers(55, 95))) / 100).quantize(D("0.01"))
        offers.append(
            offer(
                ["Quay", "Slip"][int(rng.integers(2))],
                f"N{index}",
                str(price),
                contents=contents,
                breaks=(PriceBreak(2, cheaper),) if has_break else (),
                least_lot=int(rng.integers(1, 3)),
                available=3,
                lead_days=float(rng.integers(0, 6)),
                tax_rate=D("0.20") if rng.random() < 0.5 else D(0),
                core_deposit=D(int(rng.integers(0, 5))),
            )
        )
    shelf = (Stock("P", D(int(rng.integers(0, 2))), D("1.50")),)
    suppliers = (
        Supplier("Quay", D(9), D(int(rng.integers(15, 50))), D("0.10")),
        Supplier("Slip", D(4)),
    )
    return ask(
        offers,
        {part: int(rng.integers(0, 4)) for part in parts},
        shelf,
        suppliers=suppliers,
        cost_per_day=D(int(rng.integers(0, 4))),
        latest_days=float(rng.integers(2, 7)) if rng.random() < 0.5 else None,
        budget=D(int(rng.integers(20, 80))) if rng.random() < 0.5 else None,
        preferred=frozenset({"Quay"}),
        dearer_elsewhere=D(2),
        handling=D(1),
        cores_returned=bool(rng.random() < 0.5),
    )


def brute_force(question: Question) -> tuple[NDArray[np.float64], NDArray[np.int_], np.ndarray]:
    """Cost of every combination of 0 to 3 units of each offer and 0 or 1 from the shelf.

    Returns costs (infinite where a rule is broken), combinations, orders placed and days.
    """
    offers, wishes = question.catalogue.offers, question.wishes
    grid = np.array(list(itertools.product(range(4), repeat=len(offers))))
    stock = int(question.catalogue.shelf[0].quantity)
    worth = float(question.catalogue.shelf[0].worth)
    held = np.zeros((len(grid), 3))
    for column, each in enumerate(offers):
        for number, count in each.contents:
            held[:, "PQR".index(number)] += count * grid[:, column]
    need = np.array([float(each.quantity) for each in question.needs])
    short = np.maximum(need - held, 0)
    cost = worth * short[:, 0]
    cost[(short[:, 0] > stock) | (short[:, 1:] > 0).any(axis=1)] = np.inf
    cash = np.zeros(len(grid))
    orders = np.zeros(len(grid))
    for seller in question.catalogue.suppliers:
        goods = np.zeros(len(grid))
        placed = np.zeros(len(grid), dtype=bool)
        for column, each in enumerate(offers):
            if each.supplier != seller.name:
                continue
            units = grid[:, column]
            price = np.array([float(unit_price(each, n)) for n in range(4)])[units]
            goods += price * units
            placed |= units > 0
            cash += price * units * (1 + float(each.tax_rate)) + float(each.core_deposit) * units
            cost -= 0 if not wishes.cores_returned else float(each.core_deposit) * units
            cost[(units > 0) & (units < each.least_lot)] = np.inf
        level = np.inf if seller.free_freight_from is None else float(seller.free_freight_from)
        freight = float(seller.freight * (1 + seller.freight_tax_rate))
        cash += np.where(placed & (goods < level - 1e-9), freight, 0)
        cost += placed * (1.0 + (0 if seller.name in wishes.preferred else 2.0))
        orders += placed
    days = (np.array([each.lead_days for each in offers]) * (grid > 0)).max(axis=1)
    cost += cash + float(wishes.cost_per_day) * days
    if wishes.latest_days is not None:
        cost[days > wishes.latest_days] = np.inf
    if wishes.budget is not None:
        cost[cash > float(wishes.budget) + 1e-9] = np.inf
    return cost, grid, np.stack([orders, days])


@pytest.mark.parametrize("block", range(10))
def test_two_hundred_small_orders_cost_what_brute_force_finds(block: int) -> None:
    for seed in range(20 * block, 20 * block + 20):
        question = random_question(seed)
        least = brute_force(question)[0].min()
        try:
            plan = cheapest_plan(question)
        except InfeasibleError:
            assert least == np.inf, seed
            continue
        assert float(plan.total) == pytest.approx(least, abs=1e-6), seed
        assert plan.proof.proven


def test_runner_ups_equal_brute_force_on_thirty_small_orders() -> None:
    compared = 0
    for seed in range(1000, 1030):
        question = random_question(seed)
        cost, grid, (orders, days) = brute_force(question)
        if cost.min() == np.inf:
            continue
        cover = compare(question)
        possible = cost < np.inf
        few = possible & (orders == orders[possible].min())
        soon = possible & (days == days[possible].min())
        assert float(cover.fewest_parcels.total) == pytest.approx(cost[few].min(), abs=1e-6)
        assert float(cover.soonest.total) == pytest.approx(cost[soon].min(), abs=1e-6)
        single = possible & (orders <= 1)
        alone = None if cover.one_supplier is None else float(cover.one_supplier.total)
        assert alone == (pytest.approx(cost[single].min(), abs=1e-6) if single.any() else None)
        names = [each.key for each in question.catalogue.offers]
        best = [names.index(key) for key in bought(cover.best)]
        other = possible & ~(grid[:, best] > 0).all(axis=1)
        second = None if cover.second is None else float(cover.second.total)
        assert second == (
            pytest.approx(cost[other].min(), abs=1e-6) if best and other.any() else None
        )
        compared += 1
    assert compared >= 15


def test_the_kit_wins_where_its_singles_cost_more() -> None:
    offers = [
        offer("Quay", "KIT-1", "30", contents=(("LIP", 2), ("RING", 4))),
        offer("Quay", "LIP", "9"),
        offer("Quay", "RING", "5"),
    ]
    plan = cheapest_plan(ask(offers, {"LIP": 2, "RING": 3}))
    assert bought(plan) == {"Quay:KIT-1": 1}
    assert plan.total == D(39)
    assert plan.surplus == (("RING", D(1)),)


def test_buying_more_pays_where_the_next_break_is_cheaper_in_sum() -> None:
    single = offer("Slip", "RING", "5", breaks=(PriceBreak(10, D("3.90")),))
    plan = cheapest_plan(ask([single], {"RING": 8}))
    assert bought(plan) == {"Slip:RING": 10}
    assert plan.total == D("43.00")
    assert plan.surplus == (("RING", D(2)),)


def test_one_more_unit_pays_where_it_reaches_free_freight() -> None:
    plan = cheapest_plan(ask([offer("Quay", "CUP", "33.5")], {"CUP": 2}))
    assert bought(plan) == {"Quay:CUP": 2}
    nearer = (Supplier("Quay", D(40), D(100)),)
    plan = cheapest_plan(ask([offer("Quay", "CUP", "33.5")], {"CUP": 2}, suppliers=nearer))
    assert bought(plan) == {"Quay:CUP": 3}
    assert plan.total == D("100.5")


def test_the_shelf_is_used_first_and_only_as_far_as_needed() -> None:
    shelf = (Stock("RING", D(7)), Stock("LIP", D(3)))
    plan = cheapest_plan(ask([offer("Slip", "RING", "5")], {"RING": 2, "LIP": 1}, shelf))
    assert plan.parcels == ()
    assert dict(plan.shelf) == {"RING": D(2), "LIP": D(1)}
    assert plan.total == 0
    assert plan.arrives == 0


def test_a_matched_set_comes_from_one_offer_though_its_pieces_are_cheaper_apart() -> None:
    offers = [
        offer("Quay", "CUP", "10"),
        offer("Quay", "CONE", "12"),
        offer("Quay", "PAIR", "40", contents=(("CUP", 1), ("CONE", 1))),
    ]
    pair = MatchedSet("front taper", (("CUP", 1), ("CONE", 1)))
    plan = cheapest_plan(ask(offers, {"CUP": 1}, sets=(pair,)))
    assert bought(plan) == {"Quay:PAIR": 1}
    assert {each.number for each in plan.served} == {"CUP", "CONE"}
    assert bought(cheapest_plan(ask(offers, {"CUP": 1}))) == {"Quay:CUP": 1}
    with pytest.raises(InfeasibleError, match="nobody offers the whole matched set front taper"):
        cheapest_plan(ask(offers[:2], {"CUP": 1}, sets=(pair,)))


def test_a_set_that_is_kept_whole_is_not_bought() -> None:
    pair = MatchedSet("front taper", (("CUP", 1), ("CONE", 1)))
    plan = cheapest_plan(ask([offer("Quay", "LIP", "3")], {"LIP": 1}, sets=(pair,)))
    assert bought(plan) == {"Quay:LIP": 1}


def test_a_newer_number_serves_and_an_older_one_only_where_told() -> None:
    newer = [offer("Slip", "LIP-2", "6")]
    links = (Superseded("LIP-1", "LIP-2"),)
    assert bought(cheapest_plan(ask(newer, {"LIP-1": 2}, superseded=links))) == {"Slip:LIP-2": 2}
    with pytest.raises(InfeasibleError, match="nobody offers LIP-1"):
        cheapest_plan(ask(newer, {"LIP-1": 2}))
    older = [offer("Slip", "LIP-1", "6")]
    with pytest.raises(InfeasibleError, match="nobody offers LIP-2"):
        cheapest_plan(ask(older, {"LIP-2": 1}, superseded=links))
    both = (Superseded("LIP-1", "LIP-2", both_ways=True),)
    assert bought(cheapest_plan(ask(older, {"LIP-2": 1}, superseded=both))) == {"Slip:LIP-1": 1}


def test_a_number_that_serves_two_needs_is_not_counted_twice() -> None:
    offers = [offer("Slip", "LIP-2", "6", available=3), offer("Slip", "LIP-1", "50")]
    links = (Superseded("LIP-1", "LIP-2"),)
    plan = cheapest_plan(ask(offers, {"LIP-1": 2, "LIP-2": 2}, superseded=links))
    assert bought(plan) == {"Slip:LIP-2": 3, "Slip:LIP-1": 1}
    given = {(each.need, each.number): each.quantity for each in plan.served}
    assert given == {
        ("LIP-1", "LIP-1"): D(1),
        ("LIP-1", "LIP-2"): D(1),
        ("LIP-2", "LIP-2"): D(2),
    }


def test_a_consumable_is_needed_in_fractions_and_its_opened_tube_counts() -> None:
    compound = [offer("Slip", "COMPOUND", "14")]
    needs: dict[str, int | str] = {"COMPOUND": "0.7"}
    opened = (Stock("COMPOUND", D("0.5")),)
    plan = cheapest_plan(ask(compound, needs, opened, consumables=("COMPOUND",)))
    assert bought(plan) == {"Slip:COMPOUND": 1}
    assert sum(each.quantity for each in plan.served) == D("0.7")
    enough = (Stock("COMPOUND", D("0.75")),)
    plan = cheapest_plan(ask(compound, needs, enough, consumables=("COMPOUND",)))
    assert plan.parcels == ()
    with pytest.raises(FormErrors, match="Is it a consumable"):
        cheapest_plan(ask(compound, needs))


def test_waiting_days_buy_the_dearer_and_sooner_offer() -> None:
    offers = [
        offer("Quay", "CUP", "30", lead_days=12, lead_late=20),
        offer("Slip", "CUP", "60", lead_days=2, lead_late=30),
    ]
    assert bought(cheapest_plan(ask(offers, {"CUP": 1}))) == {"Quay:CUP": 1}
    hurried = ask(offers, {"CUP": 1}, cost_per_day=D(5))
    plan = cheapest_plan(hurried)
    assert bought(plan) == {"Slip:CUP": 1}
    assert (plan.waiting, plan.arrives) == (D(10), 2)
    wary = replace(hurried, wishes=replace(hurried.wishes, count_late=True))
    assert bought(cheapest_plan(wary)) == {"Quay:CUP": 1}


def test_barred_and_preferred_suppliers_are_minded() -> None:
    offers = [offer("Quay", "CUP", "30"), offer("Slip", "CUP", "30")]
    assert bought(cheapest_plan(ask(offers, {"CUP": 1}))) == {"Slip:CUP": 1}
    barred = ask(offers, {"CUP": 1}, barred=frozenset({"Slip"}))
    assert bought(cheapest_plan(barred)) == {"Quay:CUP": 1}
    liked = ask(offers, {"CUP": 1}, preferred=frozenset({"Quay"}), dearer_elsewhere=D(6))
    assert bought(cheapest_plan(liked)) == {"Quay:CUP": 1}
    with pytest.raises(InfeasibleError, match="only Slip, barred, offers CUP"):
        cheapest_plan(ask(offers[1:], {"CUP": 1}, barred=frozenset({"Slip"})))


def test_a_date_that_cant_be_met_names_the_part_and_the_soonest_day() -> None:
    offers = [
        offer("Quay", "CUP", "30", lead_days=12),
        offer("Slip", "CUP", "60", lead_days=9),
        offer("Slip", "LIP", "6", lead_days=1),
    ]
    with pytest.raises(InfeasibleError, match="CUP can't be here in 5 days; the soonest is 9 days"):
        cheapest_plan(ask(offers, {"CUP": 1, "LIP": 1}, latest_days=5.0))


def test_a_budget_that_is_too_small_names_the_least_sum() -> None:
    with pytest.raises(InfeasibleError, match="budget of 30 is passed; the least is 34"):
        cheapest_plan(ask([offer("Slip", "CUP", "30")], {"CUP": 1}, budget=D(30)))
    assert cheapest_plan(ask([offer("Slip", "CUP", "30")], {"CUP": 1}, budget=D(34))).cash == 34


def test_too_few_to_be_had_is_told_with_the_count() -> None:
    donor = offer("Quay", "SHAFT", "80", available=1)
    with pytest.raises(InfeasibleError, match="nobody offers enough SHAFT: 2 needed, 1 to be had"):
        cheapest_plan(ask([donor], {"SHAFT": 2}))


def test_what_cant_be_sent_back_waits_for_the_owners_yes() -> None:
    offers = [offer("Slip", "CUP", "30", returnable=False), offer("Slip", "LIP", "3")]
    plan = cheapest_plan(ask(offers, {"CUP": 1, "LIP": 1}))
    assert plan.waits_for_yes == ("Slip:CUP",)
    assert not plan.parcels[0].returnable


def test_a_core_that_goes_back_costs_cash_but_not_total() -> None:
    unit = [offer("Slip", "UNIT", "500", core_deposit=D(120))]
    plan = cheapest_plan(ask(unit, {"UNIT": 1}))
    assert (plan.total, plan.cash) == (D(504), D(624))
    plan = cheapest_plan(ask(unit, {"UNIT": 1}, cores_returned=False))
    assert plan.total == D(624)


def test_all_mistakes_of_needs_sets_and_wishes_come_at_once() -> None:
    pairs = (MatchedSet("one", (("CUP", 1),)), MatchedSet("two", (("CUP", 1),)))
    question = ask(
        [offer("Slip", "CUP", "30")],
        {"CUP": "0.5", "LIP": -1},
        sets=pairs,
        barred=frozenset({"Nobody"}),
        cost_per_day=D(-1),
    )
    with pytest.raises(FormErrors) as caught:
        cheapest_plan(question)
    assert len(caught.value.mistakes) == 5


@pytest.mark.parametrize("sets", [3, 6])
def test_greedy_is_misled_where_the_plan_is_not(sets: int) -> None:
    """Chvátal's instance (1979): greedy pays 1 + 1/2 + ... + 1/n, the optimum is just above 1."""
    numbers = [f"P{i}" for i in range(1, sets + 1)]
    singles = [
        offer("Slip", f"S{i}", str(D(60) / i), contents=((name, 1),))
        for i, name in enumerate(numbers, 1)
    ]
    whole = offer("Slip", "ALL", "61", contents=tuple((name, 1) for name in numbers))
    question = ask([*singles, whole], dict.fromkeys(numbers, 1), suppliers=(Supplier("Slip"),))
    assert cheapest_plan(question).total == 61
