"""Words that the order room, its papers and its card share: money, days, parcels."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal

from casewright.phases.order import OrderView, ParcelLine
from casewright.reasoning.cover_plan import OrderLine, Plan
from casewright.voice.draw_range import write_sum

CENT = Decimal("0.01")
NOTHING_SENT = "Nothing is sent anywhere: you send the paper, and record here that you did."


def money(value: Decimal, currency: str) -> str:
    """An exact sum to the cent.

    >>> money(Decimal("1180"), "EUR") == "1\\u00a0180.00 EUR"
    True
    """
    cents = value.quantize(CENT, rounding=ROUND_HALF_UP)
    return f"{cents:,.2f} {currency}".replace(",", "\u00a0")


def about(value: float, currency: str) -> str:
    """A simulated sum, rounded so that it doesn't feign precision; income is said so."""
    if value < 0:
        return f"brings in about {write_sum(-value)} {currency}"
    return f"about {write_sum(value)} {currency}"


def after_days(view: OrderView, days: float) -> str:
    """A day so many days from today: `2026-03-09 (in 5 days)`."""
    whole = round(days)
    if whole <= 0:
        return "today, all is here"
    day = date.fromisoformat(view.today) + timedelta(days=whole)
    return f"{day.isoformat()} (in {whole} day{'s' if whole != 1 else ''})"


def count(number: Decimal | int) -> str:
    """A count without a tail of zeros."""
    return f"{Decimal(number).normalize():f}"


def proof(view: OrderView) -> str:
    """How good the plan is known to be."""
    plan = view.ordering.plan
    if plan is None:
        return ""
    if view.ordering.greedy:
        return "A quick cover only, not proven: the solver found nothing in its time."
    if plan.proof.proven:
        return "Proven: no other way to order all this costs less, waiting and freight counted."
    gap = money(Decimal(str(round(plan.proof.gap, 2))), view.currency)
    return f"Not proven: the cheapest way of all may cost up to {gap} less."


def offer_name(view: OrderView, line: OrderLine) -> str:
    """What a line is in words: its part's name, or what the kit holds."""
    offer = line.offer
    if offer.contents and offer.contents != ((offer.number, 1),):
        inside = ", ".join(
            f"{pieces} × {view.name(number)}" if pieces > 1 else view.name(number)
            for number, pieces in offer.contents
        )
        return f"{offer.kind}: {inside}"
    kind = ", from a donor leg" if offer.kind == "donor piece" else ""
    told = [f"read: {offer.readings}" if offer.readings else "", offer.history]
    told = [text for text in told if text]
    about_it = f" ({'; '.join(told)})" if told else ""
    return f"{view.name(offer.number)}{kind}{about_it}"


def surplus(view: OrderView, plan: Plan) -> tuple[tuple[str, str], ...]:
    """What is bought beyond need: number with its name, pieces."""
    return tuple((f"{view.name(number)} ({number})", count(n)) for number, n in plan.surplus)


def order_lines(parcel: ParcelLine) -> list[dict[str, object]]:
    """The lines of an order as an entry holds them."""
    return [
        {
            "number": line.offer.number,
            "count": line.quantity,
            "price": str(line.price.quantize(CENT) if _cents(line.price) else line.price),
        }
        for line in parcel.parcel.lines
    ]


def _cents(price: Decimal) -> bool:
    return price == price.quantize(CENT)
