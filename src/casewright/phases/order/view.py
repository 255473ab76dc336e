"""What the order room shows: need, plan, runner-ups, quote, the owner's yes, orders and goods."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from casewright.job.kinds import Quoted
from casewright.job.prices import (
    Agreed,
    PriceList,
    agreed,
    currency_of,
    price_list,
    read_money,
    slug,
)
from casewright.job.settings import Settings
from casewright.job.state import Kept, State
from casewright.phases.order.choices import REPAIR, cheapest_unit
from casewright.phases.order.goods import (
    OrderCheck,
    check_goods,
    left_over,
    pieces_in,
    taken_from_shelf,
    unknown_deliveries,
)
from casewright.phases.order.need_lines import NeedLine, need_lines
from casewright.phases.order.ordering import WHOLE, Ordering, order_what
from casewright.phases.order.quoting import Quoting, quote
from casewright.reasoning.cover_plan import Parcel
from casewright.reasoning.offers import OfferKind
from casewright.reasoning.quote_stages import as_money

Standing = Literal["not asked", "yes", "no", "passed", "unclear"]


@dataclass(frozen=True, slots=True)
class OwnersYes:
    """The owner's word against what the job costs now: `present` is the `measure` named."""

    agreed: Agreed | None
    standing: Standing
    present: Decimal | None
    measure: str
    plan: str


@dataclass(frozen=True, slots=True)
class ParcelLine:
    """An order to place; `locked` while it can't be sent back and no yes covers it."""

    parcel: Parcel
    slug: str
    locked: bool
    opened_because: str

    @property
    def lock(self) -> str:
        """The key under which the lock opens."""
        return f"order:{self.slug}"


@dataclass(frozen=True, slots=True)
class OrderView:
    """Everything that the room and its papers show; money in `currency`."""

    title: str
    leg: str
    today: str
    currency: str
    has_sheet: bool
    signed: bool
    has_lists: bool
    prices: PriceList
    needs: tuple[NeedLine, ...]
    ordering: Ordering
    chosen: str
    parcels: tuple[ParcelLine, ...]
    quoting: Quoting | None
    told: tuple[Kept[Quoted], ...]
    owner: OwnersYes
    orders: tuple[OrderCheck, ...]
    left_over: tuple[tuple[str, int], ...]
    unknown_kits: tuple[str, ...]
    unknown_orders: tuple[str, ...]
    set_here: Mapping[str, str]
    names: Mapping[str, str]

    @property
    def to_order(self) -> tuple[NeedLine, ...]:
        """Needs of which something is still to be ordered."""
        return tuple(line for line in self.needs if line.to_order)

    def name(self, number: str) -> str:
        """What a number is in words; the number itself where the sheet doesn't know it."""
        return self.names.get(number, number)


def view(state: State, settings: Settings) -> OrderView:
    """The order room of a job as it stands."""
    prices = price_list(state)
    orders = check_goods(state, prices.catalogue)
    coming, came, unknown_kits = pieces_in(orders, prices.catalogue)
    here = Counter(came) + taken_from_shelf(state)
    needs = need_lines(state, prices.catalogue, coming, here)
    wanted = {line.part: line.to_order for line in needs if line.to_order}
    ordering = order_what(state, settings, prices.catalogue, wanted)
    said = agreed(state)
    ceiling = read_money(state.settings.get("owner-ceiling", ""))
    if ceiling is None and said is not None and said.yes:
        ceiling = said.up_to
    told = None
    if state.sheet is not None and state.signed is None and not _nothing_priced(state, prices):
        told = quote(state, settings, prices, ordering, orders, ceiling)
    owner = owners_yes(said, told)
    chosen = owner.plan if owner.standing in ("yes", "passed") else REPAIR
    if chosen != REPAIR:
        ordering = _instead(state, settings, prices, chosen)
    return OrderView(
        title=state.opened.body.title if state.opened else "",
        leg=state.lookup.sheet.sheet.name,
        today=settings.today,
        currency=currency_of(state),
        has_sheet=state.sheet is not None,
        signed=state.signed is not None,
        has_lists=bool(state.offers),
        prices=prices,
        needs=needs,
        ordering=ordering,
        chosen=chosen,
        parcels=_parcels(state, ordering, owner),
        quoting=told,
        told=state.quotes,
        owner=owner,
        orders=orders,
        left_over=left_over(
            state, prices.catalogue, came, {line.part: line.quantity for line in needs}
        ),
        unknown_kits=unknown_kits,
        unknown_orders=unknown_deliveries(state),
        set_here=state.settings,
        names=_names(state),
    )


def _instead(state: State, settings: Settings, prices: PriceList, chosen: str) -> Ordering:
    """The order of the unit that the owner chose instead; parting out orders nothing."""
    unit = next((cheapest_unit(prices, kind) for kind in WHOLE if str(kind) == chosen), None)
    ordered = {line.number for kept in state.orders for line in kept.body.lines}
    wanted = {unit.number: 1} if unit is not None and unit.number not in ordered else {}
    alone = replace(unit, contents=(), kind=OfferKind.SINGLE) if unit is not None else None
    catalogue = replace(prices.catalogue, offers=(alone,) if alone else (), shelf=())
    return order_what(state, settings, catalogue, wanted, with_others=False)


def _nothing_priced(state: State, prices: PriceList) -> bool:
    return prices.empty and not any(part.price for part in state.lookup.sheet.parts)


def _names(state: State) -> Mapping[str, str]:
    names = {part.part_number: part.name for part in state.lookup.sheet.parts if part.part_number}
    return names | {part.key: part.name for part in state.lookup.sheet.parts}


def owners_yes(said: Agreed | None, told: Quoting | None) -> OwnersYes:
    """The owner's yes against the even chance of its plan, or what is spent where that is more."""
    choice = None
    if told is not None:
        choice = (told.choice(said.plan) if said else None) or told.choice(REPAIR)
    plan = choice.name if choice else REPAIR
    present = as_money(choice.quoted.cost.even_chance, Decimal(1)) if choice else None
    measure = "even chance"
    if told is not None and present is not None and told.committed > present:
        present, measure = told.committed, "sum worked and ordered so far"
    return OwnersYes(said, _standing(said, present), present, measure, plan)


def _standing(said: Agreed | None, present: Decimal | None) -> Standing:
    if said is None:
        return "not asked"
    if not said.yes:
        return "no"
    if said.unreadable:
        return "unclear"
    passed = said.up_to is not None and present is not None and present > said.up_to
    return "passed" if passed else "yes"


def _parcels(state: State, ordering: Ordering, owner: OwnersYes) -> tuple[ParcelLine, ...]:
    """Orders to place; one that can't be sent back waits for a yes that covers the sum."""
    found = []
    for parcel in ordering.plan.parcels if ordering.plan else ():
        key = slug(parcel.supplier)
        because = state.locks_opened.get(f"order:{key}", "")
        locked = not parcel.returnable and owner.standing != "yes" and not because
        found.append(ParcelLine(parcel, key, locked, because))
    return tuple(found)
