"""What can be bought and what was agreed: price lists as pasted, the shelf of parts, money said.

A price list with mistakes is refused at the door with all of them. One that stands in a log all the
same is told with its mistakes and stands for nothing: the good lists before it count as before.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal, InvalidOperation

from casewright.errors import InputError
from casewright.job.kinds import OffersImported, OwnerSaid
from casewright.job.price_text import ListRead, read_list
from casewright.job.state import Kept, State
from casewright.reasoning.offers import (
    ZERO,
    Catalogue,
    Offer,
    OfferKind,
    Stock,
    Superseded,
    Supplier,
)
from casewright.reasoning.offers_check import catalogue_mistakes

_MONEY = re.compile(r"^(?:[A-Z]{3})?(\d+(?:\.\d+)?|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+,\d{1,2})$")


@dataclass(frozen=True, slots=True)
class PriceList:
    """Everything that can be bought, as far as it could be read, and every mistake in it.

    `without_freight`: suppliers of whom no list says what freight costs. `strange`: numbers that
    the sheet doesn't know, left aside. `dated`: the oldest date of a list or an offer.
    """

    catalogue: Catalogue
    mistakes: tuple[InputError, ...] = ()
    broken_text: str = ""
    without_freight: tuple[str, ...] = ()
    strange: tuple[str, ...] = ()
    dated: str = ""

    @property
    def empty(self) -> bool:
        """Whether there is no offer at all."""
        return not self.catalogue.offers


@dataclass(frozen=True, slots=True)
class Agreed:
    """The owner's latest word; `up_to` is None where no sum was said or it can't be read."""

    said: Kept[OwnerSaid]
    yes: bool
    plan: str
    up_to: Decimal | None
    unreadable: str
    deposit: Decimal | None
    old_parts: str


def currency_of(state: State) -> str:
    """The one currency of this job's money."""
    return state.opened.body.currency if state.opened else "EUR"


def read_money(text: str) -> Decimal | None:
    """A sum as typed, with a point or comma and perhaps its currency; None where it isn't one.

    >>> read_money("EUR 3 000"), read_money("1,250.50"), read_money("12,5"), read_money("some")
    (Decimal('3000'), Decimal('1250.50'), Decimal('12.5'), None)
    """
    plain = "".join(text.split()).upper()
    plain = re.sub(r"^([A-Z]{3})?(.*?)([A-Z]{3})?$", r"\2", plain)
    match = _MONEY.match(plain)
    if not match:
        return None
    number = match[1]
    decimal_comma = re.fullmatch(r"\d+,\d{1,2}", number)
    try:
        return Decimal(number.replace(",", "." if decimal_comma else ""))
    except InvalidOperation:
        return None


def read_sum(text: str | None) -> float | None:
    """The same as a figure for sums that are only weighed; None where nothing was typed."""
    found = read_money(text or "")
    return None if found is None else float(found)


def agreed(state: State) -> Agreed | None:
    """The owner's latest yes or no, with the deposit and the word on old parts said so far."""
    if not state.owner_said:
        return None
    last = state.owner_said[-1]
    currency = currency_of(state)
    foreign = re.search(r"[A-Z]{3}", last.body.up_to.upper())
    up_to = read_money(last.body.up_to) if last.body.up_to else None
    unreadable = ""
    if last.body.up_to and up_to is None:
        unreadable = f"the sum {last.body.up_to!r} can't be read as money"
    elif up_to is not None and (foreign[0] if foreign else last.body.currency) != currency:
        unreadable = f"the sum is in another currency than this job's {currency}"
        up_to = None
    deposits = [read_money(kept.body.deposit) for kept in state.owner_said if kept.body.deposit]
    old = [kept.body.old_parts for kept in state.owner_said if kept.body.old_parts]
    paid = [sum_ for sum_ in deposits if sum_ is not None]
    return Agreed(
        said=last,
        yes=last.body.yes,
        plan=last.body.plan,
        up_to=up_to,
        unreadable=unreadable,
        deposit=sum(paid, ZERO) if paid else None,
        old_parts=old[-1] if old else "",
    )


def price_list(state: State) -> PriceList:
    """All lists that count, read together; the shelf as the log has moved it since."""
    good, broken = in_force(state)
    catalogue = _merged([one.catalogue for _, one in good], currency_of(state))
    catalogue = replace(
        catalogue,
        suppliers=tuple(_freight_said(state, each) for each in catalogue.suppliers),
        offers=tuple(_as_sheet_says(state, each) for each in catalogue.offers),
        superseded=(*catalogue.superseded, *_aliases(state, catalogue.superseded)),
    )
    shelf, short = parts_shelf(state, catalogue.shelf)
    said = {name for _, one in good for name in one.freight_said}
    said |= {
        each.name for each in catalogue.suppliers if f"freight-{slug(each.name)}" in state.settings
    }
    return PriceList(
        catalogue=replace(catalogue, shelf=shelf),
        mistakes=(*(m for _, found in broken for m in found), *short),
        broken_text="\n\n".join(kept.body.text for kept, _ in broken),
        without_freight=tuple(s.name for s in catalogue.suppliers if s.name not in said),
        strange=_strange(state, catalogue),
        dated=_oldest([kept for kept, _ in good], catalogue.offers),
    )


Good = tuple[tuple[Kept[OffersImported], ListRead], ...]
Bad = tuple[tuple[Kept[OffersImported], tuple[InputError, ...]], ...]


def in_force(state: State) -> tuple[Good, Bad]:
    """Lists that count, and those since the last good one that have mistakes.

    A list that was to stand instead of the ones before does so only if it can be read.
    """
    currency = currency_of(state)
    good: list[tuple[Kept[OffersImported], ListRead]] = []
    broken: list[tuple[Kept[OffersImported], tuple[InputError, ...]]] = []
    for kept in state.offers:
        if kept.body.replaces:
            broken = []
        beside = [] if kept.body.replaces else good
        one = read_list(kept.body.text, currency)
        if mistakes := (*one.mistakes, *_clashes([*(r for _, r in beside), one], currency)):
            broken.append((kept, mistakes))
        else:
            good = [*beside, (kept, one)]
    return tuple(good), tuple(broken)


def list_mistakes(state: State, body: OffersImported) -> tuple[InputError, ...]:
    """All mistakes of a list that is to be taken: its own, and against those it stands beside."""
    one = read_list(body.text, currency_of(state))
    beside = [] if body.replaces else [read for _, read in in_force(state)[0]]
    return (*one.mistakes, *_clashes([*beside, one], currency_of(state)))


def _clashes(read: Sequence[ListRead], currency: str) -> tuple[InputError, ...]:
    """Mistakes that only lists together make, such as newer numbers in a circle."""
    found = [one.catalogue for one in read if one.catalogue]
    return catalogue_mistakes(_merged(found, currency)) if len(found) == len(read) > 1 else ()


def slug(name: str) -> str:
    """A name as it stands in an address or a key: small letters, digits, hyphens.

    >>> slug("Tideway Stores, Ltd.")
    'tideway-stores-ltd'
    """
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")


def parts_shelf(
    state: State, counted: Iterable[Stock] = ()
) -> tuple[tuple[Stock, ...], tuple[InputError, ...]]:
    """The shelf of parts after every move in the log, and moves that took more than there was.

    A move that takes more than there is is refused at the door; a log may hold one all the same.
    """
    stock = {line.number: line for line in counted}
    mistakes: list[InputError] = []
    for kept in state.parts_shelf:
        for line in kept.body.lines:
            before = stock.get(line.number, Stock(line.number, ZERO))
            worth = read_money(line.price) if line.price else None
            left = _moved(before.quantity, line.count, kept.body.moves)
            if left < 0:
                mistakes.append(
                    InputError(
                        f"shelf, {line.number}",
                        f"{line.count} taken",
                        f"at most {before.quantity}, for stock can't be below zero",
                        "Count it and record the count.",
                    )
                )
            stock[line.number] = replace(
                before,
                quantity=max(ZERO, left),
                worth=before.worth if worth is None else worth,
            )
    return tuple(stock.values()), tuple(mistakes)


def _moved(before: Decimal, count: int, moves: str) -> Decimal:
    if moves == "counted":
        return Decimal(count)
    return before - count if moves == "taken" else before + count


# ---- joining --------------------------------------------------------------------------------


def _merged(read: Sequence[Catalogue | None], currency: str) -> Catalogue:
    """Several lists as one: a later line stands in for an earlier one of the same number."""
    suppliers: dict[str, Supplier] = {}
    offers: dict[str, Offer] = {}
    shelf: dict[str, Stock] = {}
    links: dict[str, Superseded] = {}
    for one in read:
        if one is None:
            continue
        for seller in one.suppliers:
            if seller.freight or seller.name not in suppliers:
                suppliers[seller.name] = seller
        offers |= {each.key: each for each in one.offers}
        shelf |= {each.number: each for each in one.shelf}
        links |= {each.old: each for each in one.superseded}
    return Catalogue(
        currency,
        tuple(suppliers.values()),
        tuple(offers.values()),
        tuple(shelf.values()),
        tuple(links.values()),
    )


def _freight_said(state: State, seller: Supplier) -> Supplier:
    """A supplier with the freight that a person has set for this job."""
    freight = read_money(state.settings.get(f"freight-{slug(seller.name)}", ""))
    return seller if freight is None else replace(seller, freight=freight)


def _as_sheet_says(state: State, offer: Offer) -> Offer:
    """What the sheet says can't be sent back can't, whatever the price list says."""
    for part in state.lookup.sheet.parts:
        names = {part.key, part.part_number}
        if not part.returnable and any(number in names for number, _ in offer.pieces):
            return replace(offer, returnable=False)
    return offer


def _aliases(state: State, links: Iterable[Superseded]) -> Iterator[Superseded]:
    """The sheet's own key of a part and the maker's number of it mean the same."""
    taken = {link.old for link in links}
    for part in state.lookup.sheet.parts:
        if part.part_number and part.part_number != part.key and part.key not in taken:
            yield Superseded(part.key, part.part_number, both_ways=True)


def _strange(state: State, catalogue: Catalogue) -> tuple[str, ...]:
    """Numbers of single pieces that the sheet doesn't know and that no newer number leads to."""
    parts = state.lookup.sheet.parts
    if not parts:
        return ()
    known = {part.key for part in parts} | {part.part_number for part in parts}
    known |= {link.new for link in catalogue.superseded} | {l.old for l in catalogue.superseded}
    known |= {offer.number for offer in catalogue.offers if offer.contents}
    whole = (OfferKind.EXCHANGE, OfferKind.NEW_LEG)
    pieces = [
        number
        for offer in catalogue.offers
        if offer.kind not in whole
        for number, _ in offer.pieces
    ]
    return tuple(dict.fromkeys(number for number in pieces if number not in known))


def _oldest(lists: Iterable[Kept[OffersImported]], offers: Iterable[Offer]) -> str:
    """The oldest date of anything in force, as ISO text; empty where nothing is dated."""
    days = [offer.dated for offer in offers if offer.dated]
    for kept in lists:
        try:
            days.append(date.fromisoformat(kept.body.dated))
        except ValueError:
            continue
    return min(days).isoformat() if days else ""
