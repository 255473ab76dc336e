"""A fast cover that is never proven: the cheapest unit per piece still open, again and again."""

from __future__ import annotations

import math
from decimal import Decimal

from casewright.errors import InfeasibleError, UnconvergedError
from casewright.reasoning.cover_need import (
    Demand,
    Question,
    demands,
    helps,
    prepared,
    usable_offers,
)
from casewright.reasoning.cover_plan import Plan, Proof, exact_plan, unit_price
from casewright.reasoning.offers import ZERO


def greedy_plan(question: Question) -> Plan:
    """A cover by greed: shelf first, then min gross price / pieces still open, least lots kept.

    Args:
        question: needs, sets, catalogue and wishes [-].
    Returns:
        a plan that covers the need, not proven, its bound zero [-].
    Valid: any question; a number that serves several needs may be counted for each of them, then
        the plan is refused.
    Raises: FormErrors for mistakes; InfeasibleError where greed finds no cover, which proves
        nothing.
    Source: CHV79 (greedy set covering); own: least lots, the shelf.
    """
    ready = prepared(question)
    rows = demands(ready)
    still = {index: row.quantity for index, row in enumerate(rows)}
    taken = _from_shelf(ready, rows, still)
    bought: dict[int, int] = {}
    usable = usable_offers(ready, rows)
    gains = {index: helps(ready.catalogue.offers[index].pieces, rows) for index in usable}
    while any(left > 0 for left in still.values()):
        best = _cheapest(ready, gains, still, bought)
        if best is None:
            names = [rows[index].label for index, left in still.items() if left > 0]
            raise InfeasibleError("a cover by greed", [f"{name} stays open" for name in names])
        index, units = best
        bought[index] = bought.get(index, 0) + units
        for row, count in gains[index].items():
            still[row] = max(ZERO, still[row] - units * count)
    try:
        return exact_plan(ready, bought, taken, Proof(False, 0.0, math.inf))
    except UnconvergedError as error:
        raise InfeasibleError("a cover by greed", [str(error)]) from None


def _from_shelf(
    question: Question, rows: tuple[Demand, ...], still: dict[int, Decimal]
) -> dict[int, Decimal]:
    """What the shelf has is taken, as far as it is needed; what it is worth doesn't matter here."""
    taken: dict[int, Decimal] = {}
    for place, line in enumerate(question.catalogue.shelf):
        served = helps(line.pieces, rows)
        most = max((math.ceil(still[row] / count) for row, count in served.items()), default=0)
        units = min(Decimal(most), line.quantity // 1)
        if units > 0:
            taken[place] = units
            for row, count in served.items():
                still[row] = max(ZERO, still[row] - units * count)
    return taken


def _cheapest(
    question: Question,
    gains: dict[int, dict[int, int]],
    still: dict[int, Decimal],
    bought: dict[int, int],
) -> tuple[int, int] | None:
    """The offer and units of least gross price per open piece; None where none helps."""
    best: tuple[float, int, int] | None = None
    for index, rows in gains.items():
        offer = question.catalogue.offers[index]
        units = 1 if index in bought else offer.least_lot
        if offer.available is not None and bought.get(index, 0) + units > offer.available:
            continue
        useful = sum(min(still[row], Decimal(units * count)) for row, count in rows.items())
        if useful <= 0:
            continue
        price = unit_price(offer, bought.get(index, 0) + units) * (1 + offer.tax_rate) * units
        score = float(price / useful)
        if best is None or score < best[0]:
            best = (score, index, units)
    return None if best is None else (best[1], best[2])
