"""What the order room says: need, plan, other ways, quote, owner, orders and goods on one page."""

from __future__ import annotations

from casewright.phases.order import REPAIR, OrderCheck, OrderView, ParcelLine
from casewright.voice.document import Block, Card, Document, Facts, Say, Section
from casewright.voice.draw_range import write_sum
from casewright.voice.quantities import Style
from casewright.voice.say_order_goods import (
    ask_owner,
    goods_asks,
    orders,
    owner,
    set_here,
    standing,
)
from casewright.voice.say_order_plan import (
    NO_PRICES,
    ask_prices,
    columns,
    mistakes,
    need,
    order_asks,
    plan,
    price_lists,
)
from casewright.voice.say_order_quote import ask_quoted, quote, told_lately
from casewright.voice.say_order_words import after_days, money


def say(view: OrderView, style: Style) -> Document:
    """The room's document."""
    sections = (
        Section("now", "Where it stands", _now(view)),
        Section("need", "What is needed", need(view)),
        Section("plan", "How to order it", plan(view)),
        Section("quote", "What it may cost", quote(view)),
        Section("owner", "What the owner said", owner(view)),
        Section("orders", "Ordered and received", orders(view)),
        Section("prices", "Price lists", price_lists(view)),
        Section("set", "Set for this job", set_here(view)),
    )
    return Document("order", "Order and quote", _card(view), sections)


def _now(view: OrderView) -> tuple[Block, ...]:
    """Need, plan, range and yes in four lines."""
    pieces = sum(line.to_order for line in view.to_order)
    rows = [("Needed", f"{len(view.needs)} parts, {pieces} pieces of them to order")]
    if made := view.ordering.plan:
        number = len(made.parcels)
        rows.append(
            (
                "Cheapest orders",
                f"{money(made.cash, view.currency)} in {number} "
                f"parcel{'s' if number != 1 else ''}, all here {after_days(view, made.arrives)}",
            )
        )
    line = view.quoting.choice(REPAIR) if view.quoting else None
    if line is not None:
        cost = line.quoted.cost
        even, dear = write_sum(cost.even_chance), write_sum(cost.one_in_ten_above)
        words = f"even chance {even}, one in ten over {dear} {view.currency}"
        if view.quoting is not None and (bare := len(view.quoting.unpriced)):
            words += f"; {bare} parts that may be needed have no price and come on top"
        rows.append(("Repair, an estimate", words))
    coming = [order for order in view.orders if order.back_ordered]
    if view.orders:
        rows.append(("Orders", f"{len(view.orders)} placed, {len(coming)} not complete"))
    text, tone = standing(view)
    return (Facts(tuple(rows)), Say(text, tone))


def _card(view: OrderView) -> Card | None:
    """The next thing: mend or paste a list, tell, ask, order, check the goods."""
    if view.signed or not view.has_sheet:
        return None
    if view.prices.mistakes and view.prices.broken_text:
        return _mend(view)
    if view.to_order and view.prices.empty and not view.prices.catalogue.shelf:
        return _paste(view)
    if waiting := _money_first(view):
        return waiting
    if view.parcels and view.owner.standing != "no":
        return _order_first(view, view.parcels[0])
    for order in view.orders:
        if order.back_ordered:
            return _check_goods(order)
    return None


def _mend(view: OrderView) -> Card:
    number = len(view.prices.mistakes)
    said = Say(f"{number} mistake{'s' if number != 1 else ''}; the text is as it was pasted.")
    return Card("Mend the price list", (said, *mistakes(view), ask_prices(view)))


def _paste(view: OrderView) -> Card:
    number = sum(line.to_order for line in view.to_order)
    why = Say(f"{number} piece{'s' if number != 1 else ''} to order. {NO_PRICES}")
    return Card("Paste a price list", (why, ask_prices(view), *columns()))


def _money_first(view: OrderView) -> Card | None:
    """Tell the range and hear the yes before money is spent."""
    if view.quoting is None or view.owner.standing in ("yes", "no"):
        return None
    line = view.quoting.choice(view.owner.plan)
    if not told_lately(view) and line is not None:
        why = Say("Before money is spent the owner hears a range.", "plain")
        return Card("Tell the owner what it may cost", (why, ask_quoted(view, line)))
    if not view.to_order and view.owner.standing == "not asked":
        return None
    second = view.owner.standing == "passed"
    text, tone = standing(view)
    title = "Ask the owner for a second yes" if second else "Ask the owner"
    return Card(title, (Say(text, tone), ask_owner(view, short=True)))


def _order_first(view: OrderView, line: ParcelLine) -> Card:
    parcel = line.parcel
    rest = len(view.parcels) - 1
    said: list[Block] = [
        Say(
            f"{len(parcel.lines)} line{'s' if len(parcel.lines) != 1 else ''}, "
            f"{money(parcel.cash, view.currency)}, here {after_days(view, parcel.arrives)}."
        )
    ]
    after = (Say(f"{rest} more order{'s' if rest != 1 else ''} after this."),) if rest else ()
    return Card(f"Order from {parcel.supplier}", (*said, *order_asks(view, line), *after))


def _check_goods(order: OrderCheck) -> Card:
    number = sum(line.short for line in order.back_ordered)
    words = f"{number} piece{'s' if number != 1 else ''} to come"
    if order.any_received:
        words += ", the rest is here: a back order"
    why = Say(f"{words}. Hold the number on the bag against the order.")
    return Card(f"Check in the goods of {order.order}", (why, *goods_asks(order)), order.supplier)
