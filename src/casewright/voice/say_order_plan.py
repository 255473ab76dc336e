"""Need, plan and its runner-ups, price lists: the buying half of the order room."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from casewright.phases.order import REPAIR, Alternative, NeedLine, OrderView, ParcelLine
from casewright.reasoning.cover_plan import Plan
from casewright.reasoning.offers import ZERO
from casewright.voice.document import (
    Ask,
    Block,
    Caution,
    Cell,
    Facts,
    Field,
    Fold,
    Hatch,
    Link,
    Say,
    Table,
)
from casewright.voice.say_order_words import (
    NOTHING_SENT,
    after_days,
    count,
    money,
    offer_name,
    order_lines,
    proof,
    surplus,
)

OLD_PRICES, FEW = 90, 3
NO_PRICES = "No prices yet: the need list stands; paste a price list."
COLUMNS = "Lines with commas; the first names the columns: supplier, number, price, currency."
TABLES = (
    ("Offers", "supplier, number, price, currency; where they apply kind (single, kit, gear set, "
     "bare housing, exchange unit, new leg, donor piece), contents (CUP:1 CONE:1), breaks "
     "(10@11.50), least_lot, available, lead_days, lead_early, lead_late, returnable, "
     "core_deposit, tax_rate, dated"),
    ("Of a donor piece", "readings (bore 80.01 mm), history (640 h, salt water)"),
    ("Below it: suppliers", "name, freight, free_freight_from, freight_tax_rate"),
    ("Below it: shelf", "number, quantity, worth"),
    ("Below it: newer numbers", "old, new, both_ways (yes where the old one may still be fitted)"),
    ("Each table", "begins with the line of its column names; only the first four are needed"),
)  # fmt: skip


def need(view: OrderView) -> tuple[Block, ...]:
    """What is needed, why, and how far it is; what is fitted is folded away."""
    fitted = tuple(line for line in view.needs if line.fitted >= line.quantity)
    open_ = tuple(line for line in view.needs if line not in fitted)
    empty = "all is fitted" if fitted else "nothing is condemned or taken out yet"
    done = (Fold(f"{len(fitted)} parts fitted", (_needs(view, fitted, ""),)),) if fitted else ()
    table: Block = _needs(view, open_, empty)
    if len(open_) > FEW:
        number = sum(line.to_order for line in open_)
        title = f"{len(open_)} parts, {number} piece{'s' if number != 1 else ''} to order"
        table = Fold(title, (table,), open=True, wide=True)
    return (table, *_nobody(view), *done)


def _needs(view: OrderView, lines: tuple[NeedLine, ...], empty: str) -> Table:
    rows = tuple(
        (Cell(line.name, note=line.number), _how_far(line, view), _why(line)) for line in lines
    )
    return Table("", ("Part", "How far", "Why"), rows, empty)


def _how_far(line: NeedLine, view: OrderView) -> Cell:
    parts = [(line.fitted, "fitted"), (max(0, line.here - line.fitted), "here")]
    parts += [(line.coming, "on the way"), (line.to_order, "to order")]
    said = [f"{number} {words}" for number, words in parts if number]
    hatch: Hatch = "next" if line.to_order else "done" if line.fitted >= line.quantity else ""
    unoffered = any(each.part == line.part for each in view.ordering.nobody)
    if unoffered and not view.prices.empty:
        return Cell(", ".join(said), "gap", "nobody offers it")
    return Cell(", ".join(said), hatch)


def _why(line: NeedLine) -> Cell:
    reasons = [reason.removeprefix(f"{line.name} is ") for reason in line.reasons]
    places = ", ".join(place for place in line.positions if place != line.name)
    return Cell("; ".join(reasons), note=places)


def _nobody(view: OrderView) -> Iterator[Block]:
    if view.prices.empty:
        return
    for each in view.ordering.nobody:
        near = f" Written nearly alike in the lists: {', '.join(each.near)}." if each.near else ""
        yield Say(
            f"Nobody offers {each.name}, in no list and not on the shelf; the plan leaves it "
            f"out.{near}",
            "unsure",
        )


# ---- the plan -------------------------------------------------------------------------------


def plan(view: OrderView) -> tuple[Block, ...]:
    """The cheapest orders, the proof, what goes to the shelf, and the other ways."""
    if view.prices.empty and not view.prices.catalogue.shelf:
        return (Say(NO_PRICES, "lead"),)
    chosen = _chosen(view)
    if view.ordering.plan is None and (chosen or not view.to_order):
        return (*chosen, Say("Nothing is left to order."))
    problem = (
        (Say(f"Not as asked: {view.ordering.problem}.", "bad"),) if view.ordering.problem else ()
    )
    made = view.ordering.plan
    if made is None:
        return problem or (Say("Nothing that is still needed is offered by anybody."),)
    without = "" if not view.ordering.problem else " The plan below leaves date and budget aside."
    return (
        *problem,
        *chosen,
        Say(f"{proof(view)}{without}", "good" if made.proof.proven else "unsure"),
        Facts(tuple(_sums(view, made))),
        *_parcels(view),
        *_shelf(view, made),
        *_beyond(view, made),
        *others(view),
        Fold("How the plan was found", (Facts(_working(view, made)),)),
    )


def _chosen(view: OrderView) -> tuple[Block, ...]:
    """That the owner's word is for another way than the repair."""
    if view.chosen == REPAIR:
        return ()
    return (Say(f"The owner's word is for: {view.chosen}. The need list isn't ordered.", "lead"),)


def _sums(view: OrderView, made: Plan) -> Iterator[tuple[str, str]]:
    currency = view.currency
    yield "To pay suppliers now", money(made.cash, currency)
    deposits = sum((parcel.deposit for parcel in made.parcels), ZERO)
    if deposits:
        yield "of that core deposits, back with the old unit", money(deposits, currency)
    yield "All here", after_days(view, made.arrives)
    if made.waiting:
        yield "Waiting costs the owner", money(made.waiting, currency)
    yield "Counted in all", money(made.total, currency)


def _parcels(view: OrderView) -> Iterator[Block]:
    """The orders in one table; each unfolds to its lines, its paper and its form."""
    currency = view.currency
    rows = tuple(
        (
            line.parcel.supplier,
            str(len(line.parcel.lines)),
            money(line.parcel.goods, currency),
            money(line.parcel.freight + line.parcel.tax, currency),
            after_days(view, line.parcel.arrives),
            _may_order(line),
        )
        for line in view.parcels
    )
    columns = ("Order from", "Lines", "Goods", "Freight and tax", "Here", "Standing")
    table = Table("", columns, rows)
    few = len(rows) == 1
    yield table if few else Fold(f"{len(rows)} orders beside each other", (table,), True, True)
    for line in view.parcels:
        standing = "waits for a yes" if line.locked else "may be ordered"
        title = f"{line.parcel.supplier}: {money(line.parcel.cash, currency)}, {standing}"
        yield Fold(title, tuple(_parcel(view, line)))


def _may_order(line: ParcelLine) -> Cell:
    if line.locked:
        return Cell("waits for a yes", "locked", "can't be sent back")
    return Cell("may be ordered", "next" if line.parcel.returnable else "", line.opened_because)


def _parcel(view: OrderView, line: ParcelLine) -> Iterator[Block]:
    parcel, currency = line.parcel, view.currency
    rows = tuple(
        (
            Cell(each.offer.number, note=offer_name(view, each)),
            str(each.quantity),
            money(each.price, currency),
            money(each.goods, currency),
        )
        for each in parcel.lines
    )
    yield Table("", ("Number", "Count", "Each", "Sum"), rows)
    if parcel.supplier in view.prices.without_freight:
        yield Say("Freight isn't in any list and is counted as none.", "unsure")
    yield from order_asks(view, line)
    yield Link(f"Order for {parcel.supplier} as PDF", f"paper:order--{line.slug}.pdf")
    yield Link(f"Order for {parcel.supplier} as CSV", f"paper:order--{line.slug}.csv")


def order_asks(view: OrderView, line: ParcelLine) -> Iterator[Block]:
    """The form that records an order as placed; behind a lock while it waits for the yes."""
    if not line.parcel.returnable:
        yield Caution(_final(line), "Can't be sent back")
    if line.locked:
        yield Fold(
            "Locked until the owner's yes covers the sum; it opens with a reason",
            (
                Ask(
                    "lock-opened",
                    f"Order from {line.parcel.supplier} without the owner's yes",
                    "Open the lock",
                    (Field("reason", "Why it can't wait", "words", needed=True),),
                    {"lock": line.lock},
                ),
            ),
        )
        return
    if line.opened_because:
        yield Say(f"The lock was opened without a yes: {line.opened_because}", "unsure")
    yield ask_ordered(view, line)


def _final(line: ParcelLine) -> str:
    numbers = [each.offer.number for each in line.parcel.lines if not each.offer.returnable]
    return f"{', '.join(numbers)} can't be sent back: what is ordered is paid."


def ask_ordered(view: OrderView, line: ParcelLine) -> Ask:
    """One order as placed: its number is all that is asked."""
    before = sum(order.supplier == line.parcel.supplier for order in view.orders)
    return Ask(
        "ordered",
        f"Order from {line.parcel.supplier}",
        "Ordered",
        (
            Field(
                "order", "Order number", "text", needed=True,
                value=f"{line.slug}-{before + 1}", hint=NOTHING_SENT,
            ),
        ),
        {
            "supplier": line.parcel.supplier,
            "lines": order_lines(line),
            "plan": view.ordering.digest,
            "returnable": line.parcel.returnable,
        },
    )  # fmt: skip


def _shelf(view: OrderView, made: Plan) -> Iterator[Block]:
    if not made.shelf:
        return
    rows = tuple((f"{view.name(number)} ({number})", count(n)) for number, n in made.shelf)
    yield Table("From the shelf", ("Part", "Take"), rows)
    lines = [{"number": n, "count": int(taken)} for n, taken in made.shelf if taken == int(taken)]
    if lines:
        yield Ask(
            "parts-shelf", "Taken from the shelf", "Taken", (), {"moves": "taken", "lines": lines}
        )
    yield Link("Pick list as PDF", "paper:pick-list.pdf")


def _beyond(view: OrderView, made: Plan) -> Iterator[Block]:
    if made.surplus:
        yield Table("Bought beyond need, for the shelf", ("Part", "Left over"), surplus(view, made))


# ---- other ways -----------------------------------------------------------------------------


def others(view: OrderView) -> Iterator[Block]:
    """The runner-ups beside the plan, one column each."""
    ordering = view.ordering
    if ordering.not_compared:
        yield Say(ordering.not_compared, "unsure")
    if not ordering.alternatives or ordering.plan is None:
        return
    shown = (Alternative("the plan", ordering.plan, False), *ordering.alternatives)
    rows = tuple(_way(view, each) for each in shown)
    columns = ("Way to order", "Counted in all", "Paid now", "Parcels", "All here", "Left over")
    yield Fold("Other ways beside it", (Table("", columns, rows),), open=True, wide=True)


def _way(view: OrderView, each: Alternative) -> tuple[Cell | str, ...]:
    """One way as a row; one that is the plan itself says only that."""
    made = each.plan
    if made is None:
        return (Cell(each.name, "gap", "there is no such way"), "none", "", "", "", "")
    if each.same:
        return (Cell(each.name, note="the same as the plan"), "the same", "", "", "", "")
    sellers = ", ".join(parcel.supplier for parcel in made.parcels) or "the shelf"
    standing = "proven" if made.proof.proven else "not proven"
    return (
        Cell(each.name, "next" if each.name == "the plan" else "", f"{sellers}; {standing}"),
        money(made.total, view.currency),
        money(made.cash, view.currency),
        str(len(made.parcels)),
        after_days(view, made.arrives),
        f"{count(sum((n for _, n in made.surplus), ZERO))} pieces",
    )


def _working(view: OrderView, made: Plan) -> tuple[tuple[str, str], ...]:
    currency = view.currency
    goods = sum((p.goods for p in made.parcels), ZERO)
    tax = sum((p.tax for p in made.parcels), ZERO)
    freight = sum((p.freight for p in made.parcels), ZERO)
    return (
        ("Method", "units of every offer, whole, so that each need is covered at least total"),
        ("Total", "goods + tax + freight + shelf + handling + waiting + deposits not returned"),
        ("Goods", money(goods, currency)),
        ("Tax", money(tax, currency)),
        ("Freight", money(freight, currency)),
        ("Worth of what the shelf gives", money(made.shelf_worth, currency)),
        ("Parcels handled", money(made.handling, currency)),
        ("Waiting", money(made.waiting, currency)),
        ("Deposits not returned", money(made.deposit_lost, currency)),
        ("Sums", "recomputed in exact decimals, independently of the solver"),
        ("Plan", view.ordering.digest),
    )  # fmt: skip


# ---- price lists ----------------------------------------------------------------------------


def price_lists(view: OrderView) -> tuple[Block, ...]:
    """What was pasted, every mistake in it, and the form."""
    prices = view.prices
    blocks: list[Block] = [*mistakes(view)]
    if not prices.empty:
        sellers = ", ".join(seller.name for seller in prices.catalogue.suppliers)
        blocks.append(Say(f"{len(prices.catalogue.offers)} offers from {sellers}.{_age(view)}"))
    if prices.without_freight:
        names = ", ".join(prices.without_freight)
        blocks.append(Say(f"Freight of {names} isn't said: counted as none.", "unsure"))
    if prices.strange:
        names = ", ".join(prices.strange[:12])
        more = f" and {len(prices.strange) - 12} more" if len(prices.strange) > 12 else ""
        blocks.append(Say(f"Not in this sheet, so left aside: {names}{more}."))
    asks = (ask_prices(view), *columns())
    return (*blocks, Fold("Paste a price list", asks, open=prices.empty))


def columns() -> tuple[Block, ...]:
    """Which columns a list may have."""
    return (Fold("Which columns there are", (Facts(TABLES),)),)


def mistakes(view: OrderView) -> tuple[Block, ...]:
    """Every mistake of the lists, by the line in which it stands."""
    rows = tuple(
        (one.field, _given(one.given), f"{one.expected}. {one.remedy}".strip())
        for one in view.prices.mistakes
    )
    if not rows:
        return ()
    title = "To mend; until then this list isn't counted"
    kept = () if view.prices.empty else (Say("The earlier lists stay in force.", "plain"),)
    return (Table(title, ("Where", "Given", "Expected"), rows), *kept)


def _given(given: object) -> str:
    return "nothing" if given in (None, "") else str(given)


def _age(view: OrderView) -> str:
    if not view.prices.dated:
        return " The prices bear no date."
    days = (date.fromisoformat(view.today) - date.fromisoformat(view.prices.dated)).days
    old = ": ask whether they still hold" if days > OLD_PRICES else ""
    return f" The oldest price is of {view.prices.dated}{old}."


def ask_prices(view: OrderView) -> Ask:
    """The form for a price list; a list with mistakes comes back as it was pasted."""
    return Ask(
        "offers-imported",
        "Price list",
        "Read it",
        (
            Field(
                "text", "The list, as text with commas", "words", needed=True, hint=COLUMNS,
                value=view.prices.broken_text,
            ),
            Field("dated", "Of which day", "date"),
            Field(
                "replaces", "It stands", "choice", value="true",
                choices=(("true", "instead of the lists before"), ("false", "beside them")),
            ),
        ),
    )  # fmt: skip
