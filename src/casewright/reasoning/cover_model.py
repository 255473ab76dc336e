"""The mixed-integer model that covers a need at least cost.

Columns: units bought per offer and price bracket, units taken from the shelf, an order placed
at a supplier, its free freight reached, "something arrives this late or later", and which
number serves which need where a number can serve several.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from casewright.reasoning.cover_need import (
    Demand,
    Question,
    demands,
    helps,
    lead_counted,
    usable_offers,
)
from casewright.reasoning.offers import ZERO, Offer


@dataclass(frozen=True, slots=True)
class Bracket:
    """Least and most units of an offer at one all-units price."""

    low: int
    high: int
    price: Decimal


@dataclass(slots=True)
class Model:
    """Columns with cost, upper bound and wholeness; rows low ≤ A·x ≤ high; where each column is."""

    cost: list[float] = field(default_factory=list)
    cash: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    price: dict[int, float] = field(default_factory=dict)
    buys: dict[tuple[int, int], int] = field(default_factory=dict)
    takes: dict[int, int] = field(default_factory=dict)
    orders: dict[str, int] = field(default_factory=dict)
    late: dict[float, int] = field(default_factory=dict)

    def column(self, cost: float, upper: float, whole: bool = True, cash: float = 0.0) -> int:
        """A new column, from zero to `upper`."""
        self.cost.append(cost)
        self.cash.append(cash)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, terms: Mapping[int, float], low: float = -math.inf, high: float = 0.0) -> None:
        """A new row low ≤ sum of terms ≤ high."""
        self.entries += [(len(self.low), column, value) for column, value in terms.items() if value]
        self.low.append(low)
        self.high.append(high)

    def matrix(self) -> Any:
        """The rows as a sparse matrix."""
        from scipy.sparse import csr_matrix

        rows, columns, values = zip(*self.entries, strict=True) if self.entries else ((), (), ())
        return csr_matrix((values, (rows, columns)), shape=(len(self.low), len(self.cost)))


def brackets(offer: Offer, most: int) -> tuple[Bracket, ...]:
    """The price brackets of an offer between its least lot and `most` units, empty ones left out.

    Args:
        offer: the offer [-].
        most: no plan needs more units [-].
    Returns:
        brackets in order of quantity [-].
    Valid: all-units breaks: the price of the bracket holds for every unit.
    Raises: nothing.
    Source: own: the breaks as intervals.
    Example:
        >>> from casewright.reasoning.offers import PriceBreak
        >>> offer = Offer("Q", "N", Decimal(5), "EUR", breaks=(PriceBreak(10, Decimal(4)),))
        >>> [(b.low, b.high, str(b.price)) for b in brackets(offer, 12)]
        [(1, 9, '5'), (10, 12, '4')]
    """
    cap = most if offer.available is None else min(most, offer.available)
    starts = [1, *(each.from_quantity for each in offer.breaks), cap + 1]
    prices = [offer.price, *(each.price for each in offer.breaks)]
    found = []
    for start, end, price in zip(starts, starts[1:], prices, strict=False):
        low, high = max(start, offer.least_lot, 1), min(end - 1, cap)
        if low <= high:
            found.append(Bracket(low, high, price))
    return tuple(found)


def most_units(offer: Offer, question: Question, rows: tuple[Demand, ...]) -> int:
    """No cheapest plan buys more units: cover alone, reach lot, last break or free freight.

    Past these a unit less saves its price and loses at most the freight once.

    Args:
        offer: the offer [-].
        question: the question it belongs to [-].
        rows: what is to be covered [-].
    Returns:
        units [-].
    Valid: prices zero or more.
    Raises: nothing.
    Source: own: exchange argument.
    """
    alone = 1
    for number, count in offer.pieces:
        served = sum((row.quantity for row in rows if number in row.numbers), ZERO)
        alone = max(alone, math.ceil(served / count))
    for index, count in helps(offer.pieces, rows).items():
        alone = max(alone, math.ceil(rows[index].quantity / count))
    breaks = [each.from_quantity for each in offer.breaks]
    most = max([alone, offer.least_lot, *breaks])
    seller = {each.name: each for each in question.catalogue.suppliers}[offer.supplier]
    cheapest = min([offer.price, *(each.price for each in offer.breaks)])
    if seller.free_freight_from is not None and cheapest > 0:
        most += math.floor(seller.freight * (1 + seller.freight_tax_rate) / cheapest)
    return most


def build(question: Question) -> Model:
    """The mixed-integer model: min units·price + freight + waiting, every row covered.

    Args:
        question: a prepared question [-].
    Returns:
        the model [-].
    Valid: all-units price breaks, one order per supplier, one arrival per offer.
    Raises: nothing.
    Source: WOL98 ch. 1 (set covering, fixed charges, piecewise-linear prices).
    """
    rows = demands(question)
    model = Model()
    taken = _shelf_columns(model, question, rows)
    bought = _buy_columns(model, question, rows)
    _cover_rows(model, question, rows, bought | taken)
    _freight(model, question)
    _lateness(model, question)
    if question.wishes.budget is not None:
        paid = {column: cash for column, cash in enumerate(model.cash) if cash}
        model.row(paid, high=float(question.wishes.budget))
    return model


Held = dict[int, tuple[tuple[str, int], ...]]


def _shelf_columns(model: Model, question: Question, rows: tuple[Demand, ...]) -> Held:
    """Units taken from the shelf: whole ones, fractions of consumables."""
    found: Held = {}
    for index, line in enumerate(question.catalogue.shelf):
        served = helps(line.pieces, rows)
        if not served or not line.quantity:
            continue
        whole = not all(rows[row].consumable for row in served)
        limit = math.floor(line.quantity) if whole else float(line.quantity)
        column = model.column(float(line.worth), limit, whole)
        model.takes[index] = column
        found[column] = line.pieces
    return found


def _buy_columns(model: Model, question: Question, rows: tuple[Demand, ...]) -> Held:
    """Units bought per offer and bracket; orders and lateness follow from them."""
    found: Held = {}
    wishes = question.wishes
    for index in usable_offers(question, rows):
        offer = question.catalogue.offers[index]
        steps = brackets(offer, most_units(offer, question, rows))
        chosen = {}
        for place, step in enumerate(steps):
            gross = float(step.price * (1 + offer.tax_rate))
            deposit = float(offer.core_deposit)
            cost = gross + (0.0 if wishes.cores_returned else deposit)
            column = model.column(cost, step.high, cash=gross + deposit)
            model.buys[index, place], model.price[column] = column, float(step.price)
            found[column] = offer.pieces
            plain = len(steps) == 1 and step.low == 1
            link = column if plain else model.column(0.0, 1)
            chosen[link] = 1.0
            if not plain:
                model.row({column: 1.0, link: -step.high})
                model.row({link: step.low, column: -1.0})
            _tie(model, question, index, link, step.high if plain else 1)
        if len(chosen) > 1:
            model.row(chosen, high=1.0)
    return found


def _tie(model: Model, question: Question, index: int, link: int, most: int) -> None:
    """A bought offer (`link` up to `most`) places an order and arrives at its day."""
    offer = question.catalogue.offers[index]
    if offer.supplier not in model.orders:
        model.orders[offer.supplier] = model.column(0.0, 1)
    model.row({link: 1.0, model.orders[offer.supplier]: -float(most)})
    days = lead_counted(offer, question.wishes)
    if days > 0:
        if days not in model.late:
            model.late[days] = model.column(0.0, 1)
        model.row({link: 1.0, model.late[days]: -float(most)})


def _cover_rows(model: Model, question: Question, rows: tuple[Demand, ...], held: Held) -> None:
    """Every demand is covered; a number that can serve several is shared out among them."""
    kept = {name for row in rows if row.members for name in row.numbers}
    serves: dict[str, list[int]] = {}
    for index, row in enumerate(rows):
        for name in () if row.members else row.numbers:
            if name not in kept:
                serves.setdefault(name, []).append(index)
    terms: list[dict[int, float]] = [{} for _ in rows]
    shared: dict[str, dict[int, float]] = {}
    for column, pieces in held.items():
        for index, row in enumerate(rows):
            if row.members and (count := row.sets_in(pieces)):
                terms[index][column] = min(count, float(row.quantity))
        for name, count in pieces:
            users = serves.get(name, [])
            if len(users) == 1:
                terms[users[0]][column] = terms[users[0]].get(column, 0.0) + count
            elif users:
                shared.setdefault(name, {})[column] = -float(count)
    for name, supply in shared.items():
        flows = {model.column(0.0, math.inf, whole=False): index for index in serves[name]}
        model.row({**supply, **dict.fromkeys(flows, 1.0)})
        for flow, index in flows.items():
            terms[index][flow] = 1.0
    for row, row_terms in zip(rows, terms, strict=True):
        clipped = {
            # A unit that covers the whole row alone counts no more than the row: tighter bound.
            column: min(value, float(row.quantity)) if model.whole[column] else value
            for column, value in row_terms.items()
        }
        model.row(clipped, low=float(row.quantity), high=math.inf)


def _freight(model: Model, question: Question) -> None:
    """Freight per order, saved where the goods reach the free level; the shop's own handling."""
    wishes = question.wishes
    for seller in question.catalogue.suppliers:
        order = model.orders.get(seller.name)
        if order is None:
            continue
        freight = float(seller.freight * (1 + seller.freight_tax_rate))
        liking = ZERO if seller.name in wishes.preferred else wishes.dearer_elsewhere
        model.cost[order] = freight + float(wishes.handling + liking)
        model.cash[order] = freight
        if seller.free_freight_from is None or not freight:
            continue
        free = model.column(-freight, 1, cash=-freight)
        model.row({free: 1.0, order: -1.0})
        goods = {
            column: -model.price[column]
            for (index, _), column in model.buys.items()
            if question.catalogue.offers[index].supplier == seller.name
        }
        model.row({**goods, free: float(seller.free_freight_from)})


def _lateness(model: Model, question: Question) -> None:
    """Waiting costs per day up to the last arrival, as steps between the days that occur."""
    rate = float(question.wishes.cost_per_day)
    days = sorted(model.late)
    for before, day in zip([0.0, *days], days, strict=False):
        model.cost[model.late[day]] = rate * (day - before)
        if before in model.late:
            model.row({model.late[day]: 1.0, model.late[before]: -1.0})
