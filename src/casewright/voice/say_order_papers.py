"""Papers of the order room: owner's quote, order to a supplier, pick list, check of goods, as text.

Each says which job and day it is of. Nothing is sent anywhere.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from casewright.errors import InputError
from casewright.job.prices import read_money, slug
from casewright.job.state import State
from casewright.phases.order import PART_OUT, OrderView, slug_of
from casewright.voice.document import Block, Cell, Document, Facts, Say, Section, Table
from casewright.voice.quantities import Style, say_chance
from casewright.voice.say_order_goods import standing
from casewright.voice.say_order_quote import narrowed, side_by_side
from casewright.voice.say_order_words import CENT, about, count, money, offer_name
from casewright.voice.summary import STANDING


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of an order as printed."""

    number: str
    name: str
    count: int
    price: Decimal | None
    returnable: bool


@dataclass(frozen=True, slots=True)
class _Order:
    """An order as printed: to place, or as it was placed under its number."""

    supplier: str
    number: str
    lines: tuple[_Line, ...]
    freight: Decimal | None
    tax: Decimal | None
    deposit: Decimal


def paper(
    kind: str, which: str, view: OrderView, state: State, style: Style, day: date
) -> Document:
    """One paper: `quote`, `pick-list`, `order` (which: supplier or number), `goods` (number)."""
    if kind == "quote":
        return _quote(view, state, day)
    if kind == "order":
        return _order_paper(view, state, which, day)
    if kind == "pick-list":
        return _pick_list(view, day)
    if kind == "goods":
        return _goods(view, which, day)
    raise InputError("paper", kind, "quote, order, pick-list or goods")


def order_names(view: OrderView) -> tuple[str, ...]:
    """What orders are called in file names: to place by supplier, placed ones by their number."""
    to_place = [line.slug for line in view.parcels]
    return tuple(dict.fromkeys([*to_place, *(slug_of(order) for order in view.orders)]))


def order_csv(view: OrderView, which: str) -> str:
    """An order to one supplier as text with commas, for whatever program the supplier likes."""
    order = _find(view, which)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(("supplier", "number", "name", "count", "price", "currency"))
    for line in order.lines:
        price = "" if line.price is None else str(line.price)
        row = (order.supplier, line.number, line.name, line.count, price, view.currency)
        writer.writerow([_harmless(cell) for cell in row])
    return out.getvalue()


def _harmless(cell: object) -> object:
    """Text that a spreadsheet would take for a formula is kept as text."""
    return f"'{cell}" if isinstance(cell, str) and cell[:1] in ("=", "+", "-", "@") else cell


def _head(view: OrderView, day: date) -> Facts:
    rows = (("Job", view.title), ("Leg", view.leg), ("Day", day.isoformat()))
    return Facts(tuple((label, text) for label, text in rows if text))


# ---- the owner's quote ----------------------------------------------------------------------


def _quote(view: OrderView, state: State, day: date) -> Document:
    """Ranges in words, what they rest on, what is asked of the owner."""
    quoting = view.quoting
    head = Section("head", "The job", (_head(view, day), Say(STANDING)))
    if quoting is None:
        why = Say("There are no prices or no drive sheet yet, so no range can be told.")
        return Document("order", "Quote", None, (head, Section("range", "The range", (why,))))
    sections = (
        head,
        Section("range", "What it may cost", tuple(_ranges(view))),
        Section("need", "What is needed so far", (_need(view),)),
        Section("word", "What we ask of you", tuple(_asked(view))),
    )
    return Document("order", "Quote", None, sections)


def _ranges(view: OrderView) -> Iterator[Block]:
    quoting = view.quoting
    assert quoting is not None
    yield side_by_side(view, quoting)
    for each in quoting.choices:
        if each.name == PART_OUT:
            continue
        cost = each.quoted.cost
        yield Say(
            f"{each.name.capitalize()}: as likely to cost less than "
            f"{about(cost.even_chance, view.currency).removeprefix('about ')} as more; "
            f"{say_chance(0.1)} that it passes {about(cost.one_in_ten_above, view.currency)}.",
            "estimate",
        )
    yield from narrowed(view, quoting)
    if quoting.contingency:
        share = f"{100 * quoting.contingency:.0f} %"
        yield Say(f"Contingency of {share} is for what nobody can see yet; it isn't in the range.")
    if any(risk.trouble for risk in quoting.risks):
        yield Say(
            "Damage often comes together; the range counts with that, as far as it can be assumed. "
            "Harm done while a stuck part is freed is not in it."
        )
    if quoting.unpriced:
        yield Say(f"Not in the range, for nobody says a price: {', '.join(quoting.unpriced)}.")


def _need(view: OrderView) -> Table:
    rows = tuple(
        (Cell(line.name), str(line.quantity), "; ".join(line.reasons)) for line in view.needs
    )
    return Table("", ("Part", "Count", "Why"), rows, "nothing is condemned so far")


def _asked(view: OrderView) -> Iterator[Block]:
    yield Say(standing(view)[0])
    locked = [line.parcel.supplier for line in view.parcels if not line.parcel.returnable]
    if locked:
        yield Say(f"Goods from {', '.join(locked)} can't be sent back and wait for your yes.")
    rows = (
        "Name", "For which way", "Yes, up to", "Deposit", "Old parts: keep or scrap",
        "Day and signature",
    )  # fmt: skip
    yield Facts(tuple((label, "…" * 18) for label in rows))


# ---- an order -------------------------------------------------------------------------------


def _find(view: OrderView, which: str) -> _Order:
    """The order to place at a supplier; else the one of a number, or placed last there."""
    for parcel in view.parcels:
        if parcel.slug == which:
            made = parcel.parcel
            lines = tuple(
                _Line(
                    line.offer.number,
                    offer_name(view, line),
                    line.quantity,
                    line.price,
                    line.offer.returnable,
                )
                for line in made.lines
            )
            return _Order(made.supplier, "", lines, made.freight, made.tax, made.deposit)
    by_number = [order for order in view.orders if slug_of(order) == which]
    for order in (*by_number, *reversed(view.orders)):
        if order in by_number or slug(order.supplier) == which:
            lines = tuple(
                _Line(
                    line.number, line.name, line.ordered, read_money(line.price), order.returnable
                )
                for line in order.lines
            )
            return _Order(order.supplier, order.order, lines, None, None, Decimal(0))
    raise InputError("order", which, f"one of {', '.join(order_names(view)) or 'none yet'}")


def _order_paper(view: OrderView, state: State, which: str, day: date) -> Document:
    order = _find(view, which)
    currency = view.currency
    rows = tuple(
        (
            line.number,
            Cell(line.name),
            str(line.count),
            "" if line.price is None else money(line.price, currency),
            "" if line.price is None else money(line.price * line.count, currency),
        )
        for line in order.lines
    )
    facts = [("To", order.supplier), ("Order number", order.number or "…" * 12)]
    final = [line.number for line in order.lines if not line.returnable]
    blocks: list[Block] = [
        _head(view, day),
        Facts(tuple(facts)),
        Table("", ("Number", "What", "Count", "Each", "Sum"), rows),
        Facts(tuple(_totals(order, currency))),
        Say("Send the number ordered; ask before a newer number is sent in its place."),
    ]
    if final:
        blocks.append(Say(f"Can't be sent back: {', '.join(final)}."))
    section = Section("order", f"To {order.supplier}", tuple(blocks))
    return Document("order", "Order", None, (section,))


def _totals(order: _Order, currency: str) -> Iterator[tuple[str, str]]:
    goods = sum((line.price * line.count for line in order.lines if line.price), Decimal(0))
    yield "Goods", money(goods, currency)
    if order.tax is None or order.freight is None:
        return
    if order.tax:
        yield "Tax", money(order.tax, currency)
    if order.freight:
        yield "Freight", money(order.freight, currency)
    if order.deposit:
        yield "Core deposit, back with the old unit", money(order.deposit, currency)
    # Rounded once an order, not line by line.
    total = (goods + order.tax + order.freight + order.deposit).quantize(CENT)
    yield "To pay", money(total, currency)


# ---- the pick list --------------------------------------------------------------------------


def _pick_list(view: OrderView, day: date) -> Document:
    made = view.ordering.plan
    taken = made.shelf if made else ()
    rows = tuple((number, view.name(number), count(pieces), "☐") for number, pieces in taken)
    table = Table(
        "", ("Number", "What", "Take", "Taken"), rows, "nothing is to be taken from the shelf"
    )
    after = Say("Record what was taken in the order room, so that the shelf stays true.")
    section = Section("pick", "From the shelf", (_head(view, day), table, after))
    return Document("order", "Pick list", None, (section,))


# ---- goods that came in ---------------------------------------------------------------------


def _goods(view: OrderView, which: str, day: date) -> Document:
    """An order's lines to hold the bags against: ordered, come so far, to come, a box to tick."""
    order = next((each for each in view.orders if slug_of(each) == which), None)
    if order is None:
        known = ", ".join(slug_of(each) for each in view.orders) or "none yet"
        raise InputError("order", which, f"one of {known}")
    rows = tuple(
        (
            line.number,
            Cell(line.name),
            str(line.ordered),
            ", ".join(
                [
                    *([str(line.right)] if line.right else []),
                    *(f"{c} as {n}" for n, c in line.others),
                ]
            ),
            str(line.short) if line.short else "",
            "☐" if line.short else "☑",
        )
        for line in order.lines
    )
    facts = (("Supplier", order.supplier), ("Order number", order.order), ("Ordered", order.day))
    wrong = "; ".join(f"{count} × {number}" for number, count in order.wrong)
    blocks: list[Block] = [
        _head(view, day),
        Facts(facts),
        Table("", ("Number", "What", "Ordered", "Came", "To come", ""), rows),
        Say(f"Standing: {order.verdict}."),
        *([Say(f"Not ordered, put aside: {wrong}.", "bad")] if wrong else []),
        Say("Hold the number on each bag against its line; record in the order room what came."),
    ]
    section = Section("goods", f"Goods of {order.order}", tuple(blocks))
    return Document("order", "Goods received", None, (section,))
