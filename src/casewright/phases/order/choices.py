"""The ways to go: repair, exchange unit, new leg, parting out, each as lines and tasks."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from casewright.job.prices import PriceList, read_money
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.phases.order.at_risk import AtRisk, kept_pieces, price_of, surely_needed
from casewright.phases.order.goods import OrderCheck
from casewright.phases.order.ordering import Ordering, order_what
from casewright.phases.order.shared import share_of
from casewright.phases.order.work_left import WorkLeft, three_points
from casewright.reasoning.offers import ZERO, Offer, OfferKind
from casewright.reasoning.quote import Line
from casewright.reasoning.quote_build import (
    Built,
    PartRisk,
    Shop,
    bought_unit,
    part_out,
    repair,
)
from casewright.reasoning.quote_draws import Chance, Given, Spread, Triangular

REPAIR, PART_OUT = "repair", "part it out"
CORE_REFUSED, DONOR_SHARE = Decimal("0.25"), Decimal("0.30")
CONTINGENCY, HOURS_PER_DAY = Decimal("0.10"), 6.0
FITTING = Triangular(2.0, 3.0, 5.0)


def hours_per_day(text: str | None) -> float:
    """Bench hours in a day as a person has set them."""
    try:
        value = float(text) if text else HOURS_PER_DAY
    except ValueError:
        return HOURS_PER_DAY
    return value if 0 < value <= 24 else HOURS_PER_DAY


def contingency_of(state: State) -> Decimal:
    """Share of the mean for what isn't in the lines; never part of the range."""
    return share_of(state, "contingency", CONTINGENCY)


def surely(state: State, settings: Settings, prices: PriceList, ordering: Ordering) -> Ordering:
    """The cover of what is to be ordered and of one-time parts that are sure to come out."""
    wanted = {need.number: int(need.quantity) for need in ordering.question.needs}
    for part, count in surely_needed(state).items():
        wanted[part] = wanted.get(part, 0) + count
    for each in ordering.nobody:
        wanted[each.part] = wanted.get(each.part, 0) + each.count
    return order_what(state, settings, prices.catalogue, wanted, with_others=False)


def ordered_sum(state: State, prices: PriceList, *, only_kept: bool) -> Decimal:
    """Goods of all orders with tax, freight once an order; `only_kept`: what can't be sent back."""
    rates = {(o.supplier, o.number): o.tax_rate for o in prices.catalogue.offers}
    sellers = {seller.name: seller for seller in prices.catalogue.suppliers}
    total = ZERO
    for kept in state.orders:
        body = kept.body
        if only_kept and body.returnable:
            continue
        goods = ZERO
        for line in body.lines:
            price = read_money(line.price) or ZERO
            goods += price * line.count
            total += price * line.count * (1 + rates.get((body.supplier, line.number), ZERO))
        seller = sellers.get(body.supplier)
        if seller is not None and not (
            seller.free_freight_from is not None and goods >= seller.free_freight_from
        ):
            total += seller.freight * (1 + seller.freight_tax_rate)
    return total


def choices(
    state: State,
    settings: Settings,
    prices: PriceList,
    risks: tuple[AtRisk, ...],
    work: WorkLeft,
    sure: Ordering,
    shop: Shop,
    orders: tuple[OrderCheck, ...],
) -> tuple[Built, ...]:
    """Repair, and what the lists and the leg allow beside it; work so far is owed in all."""
    share = contingency_of(state)
    so_far = Line(
        "work so far", shop.rate * Decimal(str(round(work.hours_so_far, 4))), (), "labour"
    )
    bound = Line("goods that can't be sent back", ordered_sum(state, prices, only_kept=True))
    parts = [*_sure_parts(state, settings, prices, sure, orders), *_risky_parts(risks)]
    certain = (so_far,) if so_far.amount else ()
    found = [
        repair(parts, work.strip, work.rebuild, work.set_up, shop, certain, share, name=REPAIR)
    ]
    sunk = tuple(line for line in (so_far, bound) if line.amount)
    for kind in (OfferKind.EXCHANGE, OfferKind.NEW_LEG):
        offer = cheapest_unit(prices, kind)
        if offer is None:
            continue
        if offer.number in {line.number for kept in state.orders for line in kept.body.lines}:
            # It is bought already: its price is among the orders placed.
            placed = Line("orders placed", ordered_sum(state, prices, only_kept=False))
            found.append(
                _also(
                    _unit(state, prices, replace(offer, price=ZERO), shop, share), (so_far, placed)
                )
            )
        else:
            found.append(_also(_unit(state, prices, offer, shop, share), sunk))
    return (*found, _also(_parted(state, prices, risks, shop), sunk))


def cheapest_unit(prices: PriceList, kind: OfferKind) -> Offer | None:
    """The exchange unit or new leg of least price with tax; None where nobody offers one."""
    return min(
        (offer for offer in prices.catalogue.offers if offer.kind is kind),
        key=lambda offer: offer.price * (1 + offer.tax_rate),
        default=None,
    )


def _also(built: Built, lines: tuple[Line, ...]) -> Built:
    return replace(built, choice=replace(built.choice, lines=(*built.choice.lines, *lines)))


def _unit(state: State, prices: PriceList, offer: Offer, shop: Shop, share: Decimal) -> Built:
    """An exchange unit or a new leg at its price, with the chance that the core is refused."""
    seller = next(s for s in prices.catalogue.suppliers if s.name == offer.supplier)
    refused = float(share_of(state, "core-refused", CORE_REFUSED))
    freight = seller.freight * (1 + seller.freight_tax_rate)
    early = offer.lead_days if offer.lead_early is None else offer.lead_early
    late = offer.lead_days if offer.lead_late is None else offer.lead_late
    return bought_unit(
        str(offer.kind),
        offer.price * (1 + offer.tax_rate),
        three_points(state.settings, "hours-fitting") or FITTING,
        Triangular(early, offer.lead_days, late),
        replace(shop, freight=freight),
        offer.core_deposit,
        Chance(refused) if offer.core_deposit else None,
        share,
    )


def _parted(state: State, prices: PriceList, risks: tuple[AtRisk, ...], shop: Shop) -> Built:
    """Usable pieces sold at a share of the new price; what replaces the leg isn't in it."""
    share = share_of(state, "donor-share", DONOR_SHARE)
    priced = [risk for risk in risks if risk.priced is not None]
    worth = {r.key: (r.priced.price * share).quantize(Decimal("0.01")) for r in priced if r.priced}
    hours = sum(joint.minutes for joint in state.lookup.sheet.joints) / 60
    left = hours * (1 - len(state.steps) / max(1, len(state.lookup.sheet.joints)))
    spread = Triangular(0.8 * max(0.0, left), max(0.0, left), 2 * max(0.0, left) + 1)
    built = part_out(worth, tuple(_risky_parts(risks)), spread, shop, name=PART_OUT)
    kept = kept_pieces(state, prices.catalogue) * share
    return _also(built, (Line("pieces found good", -kept, (), "income"),) if kept else ())


def _risky_parts(risks: tuple[AtRisk, ...]) -> list[PartRisk]:
    found = []
    for risk in risks:
        if risk.priced is not None:
            lead = _lead(risk.priced.early, risk.priced.likely, risk.priced.late)
            found.append(PartRisk(risk.key, risk.priced.price, _condemned(risk), lead))
    return found


def _condemned(risk: AtRisk) -> Chance | Given:
    """Alone, or hanging on the trouble that it shares with the other pieces of its unit."""
    if risk.trouble is None:
        return Chance(risk.chance)
    return Given(risk.trouble.unknown, *risk.apart)


def shared_troubles(risks: tuple[AtRisk, ...]) -> dict[str, Chance]:
    """The troubles that priced pieces at risk hang on, as unknowns of the quote."""
    return {
        risk.trouble.unknown: Chance(risk.trouble.chance)
        for risk in risks
        if risk.trouble is not None and risk.priced is not None
    }


def _lead(early: float, likely: float, late: float) -> float | Spread:
    return likely if early == late else Triangular(early, likely, late)


def _sure_parts(
    state: State,
    settings: Settings,
    prices: PriceList,
    sure: Ordering,
    orders: tuple[OrderCheck, ...],
) -> list[PartRisk]:
    """Orders to place, orders placed, and needs that only the sheet has a price for."""
    found = []
    if sure.plan is not None:
        plan = sure.plan
        money = sum((p.goods + p.tax + p.freight for p in plan.parcels), plan.shelf_worth)
        offers = [line.offer for parcel in plan.parcels for line in parcel.lines]
        early = max(
            (o.lead_days if o.lead_early is None else o.lead_early for o in offers), default=0
        )
        late = max((o.lead_days if o.lead_late is None else o.lead_late for o in offers), default=0)
        likely = max((o.lead_days for o in offers), default=0.0)
        found.append(PartRisk("orders to place", money, Chance(1.0), _lead(early, likely, late)))
    for each in sure.nobody:
        priced = price_of(state, prices.catalogue, {each.part: each.count})
        if priced is not None:
            found.append(PartRisk(f"needed {each.part}", priced.price, Chance(1.0), priced.likely))
    if state.orders:
        money = ordered_sum(state, prices, only_kept=False)
        wait = _still_to_wait(settings, prices, orders)
        found.append(PartRisk("orders placed", money, Chance(1.0), wait))
    return found


def _still_to_wait(settings: Settings, prices: PriceList, orders: tuple[OrderCheck, ...]) -> float:
    """Days until the last ordered piece should be here, by its lead from the day of its order."""
    leads = {(o.supplier, o.number): o.lead_days for o in prices.catalogue.offers}
    waits = [0.0]
    for order in orders:
        gone = (date.fromisoformat(settings.today) - date.fromisoformat(order.day)).days
        waits += [
            leads.get((order.supplier, line.number), 0.0) - gone for line in order.back_ordered
        ]
    return max(waits)
