"""The owner's yes, orders placed, goods that came in, what is set for this job."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from casewright.job.prices import slug
from casewright.phases.order import GoodsLine, OrderCheck, OrderView, slug_of
from casewright.reasoning.quote_stages import as_money
from casewright.voice.document import (
    Ask,
    Block,
    Cell,
    Facts,
    Field,
    Fold,
    Hatch,
    Link,
    Say,
    Table,
    Tone,
)
from casewright.voice.draw_range import write_sum
from casewright.voice.say_order_words import NOTHING_SENT, money

ROWS = 4
OLD_PARTS = (("keep for the owner", "keep for the owner"), ("may be scrapped", "may be scrapped"))
HOW = tuple((way, way) for way in ("telephone", "in the shop", "message", "letter"))
SETTINGS = (
    ("owner-ceiling", "Owner's ceiling, a sum"),
    ("latest-date", "Latest date, like 2030-05-17"),
    ("waiting-per-day", "What a day of waiting costs the owner"),
    ("budget", "Most to pay suppliers at once"),
    ("barred-suppliers", "Suppliers not to order from, commas between"),
    ("preferred-suppliers", "Suppliers liked, commas between"),
    ("dearer-elsewhere", "What an order elsewhere counts more"),
    ("handling", "What the shop counts for a parcel"),
    ("reckon-with", "Write late to reckon with late deliveries"),
    ("hourly-rate", "Price of an hour"),
    ("hours-per-day", "Bench hours in a day"),
    ("hours-strip", "Hours of strip-down left, like 3/4/8"),
    ("hours-rebuild", "Hours of the rebuild, like 4/6/9"),
    ("hours-setup", "Hours of one set-up assembly, like 1/2/3"),
    ("hours-fitting", "Hours to fit a bought unit, like 2/3/5"),
    ("contingency", "Contingency, like 10 %"),
    ("together", "Share of damage that comes together, like 50 %"),
    ("core-refused", "Chance that the core is refused, like 25 %"),
    ("donor-share", "Worth of a used piece, share of new, like 30 %"),
)


# ---- the owner ------------------------------------------------------------------------------


def owner(view: OrderView) -> tuple[Block, ...]:
    """What the owner said, how it stands against the present sum, the form for the next word."""
    said = view.owner.agreed
    text, tone = standing(view)
    blocks: list[Block] = [Say(text, tone)]
    if said is not None:
        body = said.said.body
        rows = [("Who", body.who), ("When", said.said.happened_at[:16].replace("T", " "))]
        rows += [("How", body.how), ("For", body.plan), ("Up to", _up_to(view))]
        rows += [("Deposit", money(said.deposit, view.currency) if said.deposit else "none noted")]
        rows += [("Old parts", said.old_parts or "not said: keep them"), ("Words", body.words)]
        blocks.append(Facts(tuple((label, words) for label, words in rows if words)))
    return (*blocks, Fold("Record the owner's word", (ask_owner(view),)))


def _up_to(view: OrderView) -> str:
    said = view.owner.agreed
    if said is None or said.up_to is None:
        return said.unreadable if said and said.unreadable else "no sum was said"
    return money(said.up_to, view.currency)


def standing(view: OrderView) -> tuple[str, Tone]:
    """The owner's word against what the job costs now, in one sentence."""
    yes = view.owner
    now = ""
    if yes.present is not None:
        now = f"{yes.measure} {write_sum(float(yes.present))} {view.currency}"
    up_to = _up_to(view)
    if yes.standing == "not asked":
        return "The owner hasn't said yes to anything yet.", "unsure"
    if yes.standing == "no":
        return "The owner said no: nothing more is ordered or worked on.", "bad"
    if yes.standing == "unclear":
        assert yes.agreed is not None
        return f"The owner's yes can't be held against the sum: {yes.agreed.unreadable}.", "unsure"
    if yes.standing == "passed":
        return (
            f"The yes covers {up_to}; the {yes.plan} now stands at {now}. Ask for a second yes.",
            "bad",
        )
    against = f", against {now} now" if now else ""
    return f"The owner's yes stands: {up_to}{against}.", "good"


def ask_owner(view: OrderView, *, short: bool = False) -> Ask:
    """Who said what, how, for which plan, up to what sum; `short` leaves out the rest."""
    plan, sum_ = view.owner.plan, ""
    line = view.quoting.choice(plan) if view.quoting else None
    if line is not None:
        sum_ = str(as_money(max(0.0, line.quoted.cost.one_in_ten_above), Decimal(10)))
    ways = [each.name for each in view.quoting.choices] if view.quoting else [plan]
    more = (
        Field("old_parts", "Old parts", "choice", choices=OLD_PARTS),
        Field("deposit", f"Deposit paid, {view.currency}", "number"),
        Field("words", "In the owner's words", "words"),
    )
    return Ask(
        "owner-said",
        "The owner's word",
        "Record",
        (
            Field("who", "Who said it", "text", needed=True, value="the owner"),
            Field("how", "How", "choice", choices=HOW, needed=True),
            Field("plan", "For", "choice", choices=tuple((w, w) for w in ways), value=plan),
            Field("up_to", f"Up to, {view.currency}", "number", value=sum_),
            *(() if short else more),
            Field("yes", "Yes?", "tap", choices=(("true", "yes"), ("false", "no")), needed=True),
        ),
        {"currency": view.currency},
    )


# ---- orders and goods -----------------------------------------------------------------------


def orders(view: OrderView) -> tuple[Block, ...]:
    """Every order with its goods checked, and the form for an order that isn't in the plan."""
    blocks: list[Block] = []
    if not view.orders:
        blocks.append(Say("Nothing ordered yet."))
    for order in view.orders:
        shown = tuple(_order(view, order))
        open_ = order.verdict != "complete"
        title = f"{order.order}, {order.supplier}: {order.verdict}"
        blocks.append(Fold(title, shown, open=open_, wide=open_))
    for name in view.unknown_orders:
        blocks.append(Say(f"Goods came in for order {name}, which nobody recorded.", "unsure"))
    for name in view.unknown_kits:
        blocks.append(
            Say(
                f"{name} is in no list now: what it holds isn't counted against the need.", "unsure"
            )
        )
    blocks += _left_over(view)
    blocks.append(Fold("Record an order that isn't in the plan", (_ask_other(view),)))
    blocks.append(Fold("Move parts on or off the shelf", (_ask_shelf(),)))
    return tuple(blocks)


def _left_over(view: OrderView) -> Iterator[Block]:
    """What came in beyond need: one touch puts it on the shelf."""
    if not view.left_over:
        return
    names = ", ".join(f"{pieces} × {view.name(number)}" for number, pieces in view.left_over)
    lines = [{"number": number, "count": pieces} for number, pieces in view.left_over]
    yield Say(f"Came in beyond need: {names}.")
    fixed = {"moves": "put back", "lines": lines}
    yield Ask("parts-shelf", "Left over", "Put it on the shelf", (), fixed)


HATCH: dict[str, Hatch] = {"complete": "done", "wrong goods": "bad", "back order": "unsure"}


def _order(view: OrderView, order: OrderCheck) -> Iterator[Block]:
    rows = tuple(
        (Cell(line.number, note=line.name), str(line.ordered), _came(line), _verdict(line))
        for line in order.lines
    )
    rows += tuple((Cell(n), "0", str(c), Cell("wrong: not ordered", "bad")) for n, c in order.wrong)
    back = "" if order.returnable else ", can't be sent back"
    yield Table(
        f"Ordered {order.day}{back}",
        ("Number", "Ordered", "Came", "Check"),
        rows,
    )
    if order.wrong:
        yield Say(
            "Put the wrong goods aside, and ask the supplier before they are sent back.", "bad"
        )
    if order.back_ordered:
        yield from goods_asks(order)
    name = slug_of(order)
    yield Link(
        f"Goods of {order.order}, to hold the bags against, as PDF", f"paper:goods--{name}.pdf"
    )
    yield Link(f"Order {order.order} as PDF", f"paper:order--{name}.pdf")


def _came(line: GoodsLine) -> str:
    others = [f"{count} as {number}" for number, count in line.others]
    return ", ".join([str(line.right), *others]) if line.right or not others else ", ".join(others)


def _verdict(line: GoodsLine) -> Cell:
    if line.short:
        return Cell(f"{line.short} to come", "next" if not line.right else "unsure")
    if line.others:
        names = ", ".join(number for number, _ in line.others)
        return Cell("right, other number", "done", f"{names} serves for it")
    return Cell("right", "done")


def goods_asks(order: OrderCheck) -> Iterator[Block]:
    """All came as ordered, at one touch; or line by line."""
    lines = [
        {"number": line.number, "count": line.short, "price": line.price}
        for line in order.back_ordered
    ]
    fixed = {"order": order.order}
    yield Ask(
        "received", f"Goods of {order.order}", "All came, as ordered", (), {**fixed, "lines": lines}
    )
    fields: list[Field] = []
    for place, line in enumerate((*order.back_ordered, None, None)):
        number, short = (line.number, str(line.short)) if line else ("", "")
        hint = "clear both where nothing came" if line else "came and wasn't ordered"
        fields.append(Field(f"lines.{place}.number", "Number on the bag", value=number, hint=hint))
        fields.append(Field(f"lines.{place}.count", "Came", "number", value=short))
    fields.append(Field("words", "Words", "text"))
    yield Fold(
        "Not all came, or another number",
        (Ask("received", f"Goods of {order.order}, line by line", "Record", tuple(fields), fixed),),
    )


def _line_fields(with_price: bool) -> tuple[Field, ...]:
    fields = []
    for place in range(ROWS):
        fields.append(Field(f"lines.{place}.number", "Number", needed=place == 0))
        fields.append(Field(f"lines.{place}.count", "Count", "number", needed=place == 0))
        if with_price:
            fields.append(Field(f"lines.{place}.price", "Price each", "number"))
    return tuple(fields)


def _ask_other(view: OrderView) -> Ask:
    returnable = Field(
        "returnable", "Can it be sent back?", "choice", value="true",
        choices=(("true", "yes"), ("false", "no")),
    )  # fmt: skip
    return Ask(
        "ordered",
        "An order",
        "Ordered",
        (
            Field("supplier", "Supplier", needed=True),
            Field("order", "Order number", needed=True, hint=NOTHING_SENT),
            *_line_fields(True),
            returnable,
        ),
    )


def _ask_shelf() -> Ask:
    moves = tuple((name, name) for name in ("counted", "taken", "put back"))
    return Ask(
        "parts-shelf",
        "Parts on the shelf",
        "Record",
        (
            Field("moves", "What was done", "choice", choices=moves, needed=True),
            *_line_fields(False),
        ),
    )


# ---- what is set ----------------------------------------------------------------------------


def set_here(view: OrderView) -> tuple[Block, ...]:
    """Values of this job that move plan and range, and one form to set them."""
    names = dict(SETTINGS)
    names |= {f"freight-{slug(name)}": f"Freight of {name}" for name in view.prices.without_freight}
    rows = tuple(
        (names.get(name, name), value)
        for name, value in view.set_here.items()
        if name in names or name.startswith("freight-")
    )
    facts = (Facts(rows),) if rows else (Say("Nothing is set; the shop's usual values hold."),)
    ask = Ask(
        "setting",
        "Set for this job",
        "Set",
        (
            Field("name", "What", "choice", choices=tuple(names.items()), needed=True),
            Field("value", "Value", needed=True),
        ),
    )
    return (*facts, Fold("Set ceiling, dates, rates, hours", (ask,)))
