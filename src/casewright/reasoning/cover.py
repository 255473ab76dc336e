"""The cheapest way to buy what a job needs, proven, with the runner-ups beside it.

HiGHS solves the model of `cover_model`; `cover_plan` sums its answer again in exact decimals and
refuses it where a rule or the sum doesn't hold.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import numpy as np

from casewright.errors import InfeasibleError, UnconvergedError
from casewright.reasoning.cover_model import Model, brackets, build, most_units
from casewright.reasoning.cover_need import (
    Demand,
    MatchedSet,
    Need,
    Question,
    Wishes,
    demands,
    helps,
    lead_counted,
    prepared,
)
from casewright.reasoning.cover_plan import Plan, Proof, exact_plan
from casewright.reasoning.offers import ZERO
from casewright.reasoning.offers_table import read_catalogue

SECONDS = 60.0
SOLVED, OUT_OF_TIME, INFEASIBLE = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Cover:
    """The least-cost plan and its runner-ups; None where there is no such plan."""

    best: Plan
    second: Plan | None
    fewest_parcels: Plan
    soonest: Plan
    one_supplier: Plan | None


def cheapest_plan(question: Question, seconds: float = SECONDS) -> Plan:
    """The plan of least total: goods + tax + freight + shelf + handling + waiting.

    Args:
        question: needs, sets, catalogue and wishes [-].
        seconds: most time for the solver [s].
    Returns:
        the plan, proven or with its gap [-].
    Valid: all-units breaks, one order per supplier, each offer arriving at once.
    Raises: FormErrors for mistakes; InfeasibleError naming the part or the date;
        UnconvergedError where the solver found nothing in time.
    Source: WOL98 ch. 1; own: exact recomputation of the sums.
    """
    ready = prepared(question)
    plan = _solve(ready, build(ready), seconds)
    if plan is None:
        raise _obstacles(ready, seconds)
    return plan


def compare(question: Question, seconds: float = SECONDS, best: Plan | None = None) -> Cover:
    """The cheapest plan beside second-best, fewest parcels, soonest and one supplier only.

    Second-best leaves out at least one offer that the best plan buys. Fewest parcels and
    soonest are the cheapest among those with the fewest orders or the earliest last arrival.

    Args:
        question: needs, sets, catalogue and wishes [-].
        seconds: most time for each solution [s].
        best: the cheapest plan where it is known already, so that it isn't sought again [-].
    Returns:
        the plans [-].
    Valid: as `cheapest_plan`.
    Raises: as `cheapest_plan`.
    Source: WOL98 ch. 1; own: one further row or another first goal each.
    """
    best = best or cheapest_plan(question, seconds)
    ready = prepared(question)
    return Cover(
        best=best,
        second=_second(ready, best, seconds),
        fewest_parcels=_fewest_parcels(ready, best, seconds),
        soonest=_soonest(ready, seconds) or best,
        one_supplier=_one_supplier(ready, seconds),
    )


def plan_from_tables(
    offers: str,
    suppliers: str,
    needs: Mapping[str, float],
    currency: str = "EUR",
    shelf: str = "",
    superseded: str = "",
    sets: Mapping[str, Mapping[str, int]] | None = None,
    consumables: Sequence[str] = (),
    wishes: Mapping[str, Any] | None = None,
) -> Plan:
    """The cheapest plan from CSV text and plain tables, as a form or a file gives them.

    Args:
        offers: CSV text of the offers, columns as in `offers_table` [-].
        suppliers: CSV text of the suppliers [-].
        needs: number to pieces [-].
        currency: of all sums [-].
        shelf: CSV text of the shelf [-].
        superseded: CSV text of newer numbers [-].
        sets: matched set to its numbers with pieces [-].
        consumables: needed numbers of which a fraction may be needed [-].
        wishes: fields of `Wishes` by name; sums as text or numbers [-].
    Returns:
        the plan [-].
    Valid: as `cheapest_plan`.
    Raises: as `cheapest_plan`.
    Source: own: reading, then `cheapest_plan`.
    """
    catalogue = read_catalogue(offers, suppliers, currency, shelf, superseded)
    wanted = tuple(
        Need(number, Decimal(str(count)), number in consumables) for number, count in needs.items()
    )
    groups = tuple(MatchedSet(name, tuple(each.items())) for name, each in (sets or {}).items())
    money = {"cost_per_day", "budget", "dearer_elsewhere", "handling"}
    names = {"barred", "preferred"}
    given: dict[str, Any] = {
        name: Decimal(str(value)) if name in money else frozenset(value) if name in names else value
        for name, value in (wishes or {}).items()
    }
    return cheapest_plan(Question(catalogue, wanted, groups, Wishes(**given)))


def _run(model: Model, cost: list[float], seconds: float) -> Any:
    """HiGHS on the model with the given costs."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    return milp(
        np.asarray(cost),
        constraints=LinearConstraint(model.matrix(), model.low, model.high),
        bounds=Bounds(0.0, np.asarray(model.upper)),
        integrality=np.asarray(model.whole, dtype=int),
        options={"mip_rel_gap": 0.0, "time_limit": seconds},
    )


def _solve(question: Question, model: Model, seconds: float) -> Plan | None:
    """The cheapest plan of a model, or None where there is none."""
    if not model.cost:
        return None if demands(question) else exact_plan(question, {}, {}, Proof(True, 0.0, 0.0))
    answer = _run(model, model.cost, seconds)
    if answer.status == INFEASIBLE:
        return None
    if answer.x is None:
        raise UnconvergedError("cheapest order", seconds=seconds, status=answer.status)
    bought: dict[int, int] = {}
    for (index, _), column in model.buys.items():
        if units := round(answer.x[column]):
            bought[index] = bought.get(index, 0) + units
    taken = {
        index: Decimal(round(answer.x[column]))
        if model.whole[column]
        else _fraction(question, index, answer.x[column])
        for index, column in model.takes.items()
    }
    gap = max(0.0, float(answer.fun - answer.mip_dual_bound))
    proven = answer.status == SOLVED and gap <= 1e-6 * max(1.0, abs(answer.fun))
    plan = exact_plan(question, bought, taken, Proof(proven, float(answer.mip_dual_bound), gap))
    if abs(float(plan.total) - answer.fun) > 1e-5 * max(1.0, abs(answer.fun)):
        raise UnconvergedError("order sums", solver=answer.fun, exact=float(plan.total))
    return plan


def _fraction(question: Question, index: int, quantity: float) -> Decimal:
    """A part of a consumable on the shelf, rounded up to a millionth, at most what is there."""
    unit = Decimal("0.000001")
    rounded = (Decimal(quantity) - unit / 2).quantize(unit, rounding="ROUND_CEILING")
    return max(ZERO, min(rounded, question.catalogue.shelf[index].quantity))


def _offers_bought(plan: Plan) -> set[str]:
    """Keys of all offers in a plan."""
    return {line.offer.key for parcel in plan.parcels for line in parcel.lines}


def _second(question: Question, best: Plan, seconds: float) -> Plan | None:
    """The cheapest plan that leaves out at least one offer of the best."""
    model, keys = build(question), _offers_bought(best)
    if not keys:
        return None
    used: dict[str, int] = {}
    for (index, _), column in model.buys.items():
        key = question.catalogue.offers[index].key
        if key in keys:
            used.setdefault(key, model.column(0.0, 1))
            model.row({column: 1.0, used[key]: -model.upper[column]})
    model.row(dict.fromkeys(used.values(), 1.0), high=len(used) - 1)
    return _solve(question, model, seconds)


def _fewest_parcels(question: Question, best: Plan, seconds: float) -> Plan:
    """The cheapest among the plans with the fewest orders."""
    model = build(question)
    orders = dict.fromkeys(model.orders.values(), 1.0)
    if len(best.parcels) <= 1 or not orders:
        return best
    counts = [orders.get(column, 0.0) for column in range(len(model.cost))]
    answer = _run(model, counts, seconds)
    if answer.x is None:
        raise UnconvergedError("fewest parcels", seconds=seconds)
    model.row(orders, high=round(answer.fun))
    return _solve(question, model, seconds) or best


def _soonest(question: Question, seconds: float) -> Plan | None:
    """The cheapest among the plans with the earliest last arrival; None where there is none."""
    model = build(question)
    days = sorted(model.late)
    cost = [0.0] * len(model.cost)
    for before, day in zip([0.0, *days], days, strict=False):
        cost[model.late[day]] = day - before
    if not cost:
        return None
    answer = _run(model, cost, seconds)
    if answer.x is None:
        return None
    reached = max((day for day in days if answer.x[model.late[day]] > 0.5), default=0.0)
    wishes = replace(question.wishes, latest_days=reached)
    nearer = replace(question, wishes=wishes)
    return _solve(nearer, build(nearer), seconds)


def _one_supplier(question: Question, seconds: float) -> Plan | None:
    """The cheapest plan with one order at most."""
    model = build(question)
    if model.orders:
        model.row(dict.fromkeys(model.orders.values(), 1.0), high=1.0)
    return _solve(question, model, seconds)


def _obstacles(question: Question, seconds: float) -> InfeasibleError:
    """Why there is no plan: parts that nobody offers, else the date, else the budget."""
    asked = "order that covers the need"
    rows = demands(question)
    missing = [text for row in rows if (text := _nobody_offers(question, row))]
    if missing:
        return InfeasibleError(asked, missing)
    wishes = question.wishes
    found = []
    if wishes.latest_days is not None:
        any_day = replace(question, wishes=replace(wishes, latest_days=None))
        plan = _soonest(any_day, seconds)
        if plan is not None and plan.arrives > wishes.latest_days:
            found += _late_parts(question, rows, plan.arrives)
    if wishes.budget is not None:
        free = replace(question, wishes=replace(wishes, budget=None))
        if (cash := _least_cash(free, seconds)) is not None and cash > wishes.budget:
            found.append(f"the budget of {wishes.budget} is passed; the least is {cash}")
    return InfeasibleError(asked, found or ["date and budget can't both be met"])


def _most_supply(question: Question, row: Demand, wishes: Wishes) -> Decimal:
    """Most that allowed offers and the shelf can give to one row."""
    total = ZERO
    for line in question.catalogue.shelf:
        total += helps(line.pieces, [row]).get(0, 0) * line.quantity
    for offer in question.catalogue.offers:
        count = helps(offer.pieces, [row]).get(0, 0)
        latest = math.inf if wishes.latest_days is None else wishes.latest_days
        if not count or offer.supplier in wishes.barred or lead_counted(offer, wishes) > latest:
            continue
        steps = brackets(offer, most_units(offer, question, demands(question)))
        total += Decimal(count * max((step.high for step in steps), default=0))
    return total


def _nobody_offers(question: Question, row: Demand) -> str:
    """The sentence about a row that no allowed offer fills, whatever the day; empty if one does."""
    wishes = replace(question.wishes, latest_days=None)
    most = _most_supply(question, row, wishes)
    if most >= row.quantity:
        return ""
    sellers = {
        offer.supplier for offer in question.catalogue.offers if helps(offer.pieces, [row])
    } & question.wishes.barred
    if sellers:
        return f"only {', '.join(sorted(sellers))}, barred, offers {row.label}"
    if row.members:
        return f"nobody offers the whole {row.label}"
    if most == 0:
        return f"nobody offers {row.label}"
    return f"nobody offers enough {row.label}: {row.quantity} needed, {most} to be had"


def _late_parts(question: Question, rows: tuple[Demand, ...], soonest: float) -> list[str]:
    """Which parts can't be here by the latest date, and the soonest day on which all can."""
    latest = question.wishes.latest_days
    late = [
        row.label for row in rows if _most_supply(question, row, question.wishes) < row.quantity
    ]
    names = ", ".join(late) or "the parts together"
    return [f"{names} can't be here in {latest:g} days; the soonest is {soonest:g} days"]


def _least_cash(question: Question, seconds: float) -> Decimal | None:
    """Least sum paid to suppliers now, or None where even that has no plan."""
    free = replace(
        question.wishes,
        cost_per_day=ZERO,
        handling=ZERO,
        dearer_elsewhere=ZERO,
        cores_returned=False,
    )
    catalogue = replace(
        question.catalogue,
        shelf=tuple(replace(line, worth=ZERO) for line in question.catalogue.shelf),
    )
    cheap = replace(question, wishes=free, catalogue=catalogue)
    plan = _solve(cheap, build(cheap), seconds)
    return None if plan is None else plan.cash
