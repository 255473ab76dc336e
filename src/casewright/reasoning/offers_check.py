"""Every mistake of a catalogue in one pass: kits in themselves, circles, currencies, signs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.reasoning.offers import (
    ZERO,
    Catalogue,
    Offer,
    Superseded,
    Supplier,
    newer_numbers,
    unpacked,
)


def catalogue_mistakes(
    catalogue: Catalogue, where: Mapping[str, str] | None = None
) -> tuple[InputError, ...]:
    """Every mistake of a catalogue, found in one pass.

    Args:
        catalogue: what to check [-].
        where: key of an offer, or `supplier name`, `shelf number`, `superseded old`, to the
            place where it stands, for instance "offers line 4" [-].
    Returns:
        the mistakes, empty where there are none [-].
    Valid: any catalogue.
    Raises: nothing.
    Source: own: the rules that the order planner relies on.
    """
    at = dict(where or {})
    found: list[InputError] = []
    names = {supplier.name for supplier in catalogue.suppliers}
    for supplier in catalogue.suppliers:
        found += _supplier_mistakes(
            supplier, at.get(f"supplier {supplier.name}", f"supplier {supplier.name}")
        )
    found += _chain_mistakes(catalogue.superseded, at)
    for offer in catalogue.offers:
        found += _offer_mistakes(offer, catalogue.currency, names, at.get(offer.key, offer.key))
    found += _content_mistakes(catalogue, at)
    found += _doubles(catalogue)
    for line in catalogue.shelf:
        place = at.get(f"shelf {line.number}", f"shelf {line.number}")
        if line.quantity < 0:
            found.append(RangeError(f"{place}, quantity", str(line.quantity), "zero or more"))
        if line.worth < 0:
            found.append(RangeError(f"{place}, worth", str(line.worth), "zero or more"))
    return tuple(found)


def checked(catalogue: Catalogue) -> Catalogue:
    """The catalogue with nested kits unpacked, once it is free of mistakes.

    Args:
        catalogue: what to check [-].
    Returns:
        the same with contents down to single parts [-].
    Valid: any catalogue.
    Raises: FormErrors with all mistakes in one pass.
    Source: own: `catalogue_mistakes`, then `unpacked`.
    """
    mistakes = catalogue_mistakes(catalogue)
    if mistakes:
        raise FormErrors("catalogue", mistakes)
    kits = _kits(catalogue)
    opened = tuple(
        replace(offer, contents=unpacked(offer.contents, kits)) for offer in catalogue.offers
    )
    shelf = tuple(
        replace(line, contents=unpacked(line.pieces, kits))
        if line.contents or line.number in kits
        else line
        for line in catalogue.shelf
    )
    return replace(catalogue, offers=opened, shelf=shelf)


def _kits(catalogue: Catalogue) -> dict[str, tuple[tuple[str, int], ...]]:
    """Kit number to contents."""
    return {offer.number: offer.contents for offer in catalogue.offers if offer.contents}


def _doubles(catalogue: Catalogue) -> list[InputError]:
    """Suppliers and shelf numbers that stand there twice."""
    names = Counter(f"supplier {each.name}" for each in catalogue.suppliers)
    names += Counter(f"shelf {each.number}" for each in catalogue.shelf)
    return [
        RangeError(name, f"{count} lines", "one line") for name, count in names.items() if count > 1
    ]


def _supplier_mistakes(supplier: Supplier, place: str) -> list[InputError]:
    """Negative sums of one supplier."""
    sums = {
        "freight": supplier.freight,
        "free_freight_from": supplier.free_freight_from or ZERO,
        "freight_tax_rate": supplier.freight_tax_rate,
    }
    return [
        RangeError(f"{place}, {name}", str(value), "zero or more")
        for name, value in sums.items()
        if value < 0
    ]


def _offer_mistakes(
    offer: Offer, currency: str, suppliers: Collection[str], place: str
) -> list[InputError]:
    """Mistakes of one offer that need no other offer to be seen."""
    found: list[InputError] = []
    if offer.currency != currency:
        found.append(
            RangeError(
                f"{place}, currency",
                offer.currency,
                f"{currency}, for two currencies can't be added up",
                "Convert the price and note the rate and its date.",
            )
        )
    if offer.supplier not in suppliers:
        found.append(MissingError(f"{place}, supplier {offer.supplier}", "a known supplier"))
    sums = {"price": offer.price, "core_deposit": offer.core_deposit, "tax_rate": offer.tax_rate}
    sums |= {f"price from {each.from_quantity}": each.price for each in offer.breaks}
    for name, value in sums.items():
        if value < 0:
            found.append(RangeError(f"{place}, {name}", str(value), "zero or more"))
    counts = {"least_lot": (offer.least_lot, 1), "available": (offer.available or 0, 0)}
    for name, (count, least) in counts.items():
        if count < least:
            found.append(RangeError(f"{place}, {name}", count, f"{least} or more"))
    return found + _lead_mistakes(offer, place) + _break_mistakes(offer, place)


def _lead_mistakes(offer: Offer, place: str) -> list[InputError]:
    """Days that run backwards, or out of order."""
    early = offer.lead_days if offer.lead_early is None else offer.lead_early
    late = offer.lead_days if offer.lead_late is None else offer.lead_late
    if 0 <= early <= offer.lead_days <= late:
        return []
    given = f"{early} / {offer.lead_days} / {late}"
    return [RangeError(f"{place}, lead days", given, "0 ≤ early ≤ likely ≤ late")]


def _break_mistakes(offer: Offer, place: str) -> list[InputError]:
    """Price breaks out of order, or pieces of contents below one."""
    found: list[InputError] = []
    starts = [each.from_quantity for each in offer.breaks]
    if any(start < 2 for start in starts) or sorted(set(starts)) != starts:
        found.append(
            RangeError(f"{place}, breaks", starts, "quantities of two or more, each above the last")
        )
    for number, count in offer.contents:
        if count < 1:
            found.append(RangeError(f"{place}, contents {number}", count, "one piece or more"))
    return found


def _content_mistakes(catalogue: Catalogue, at: Mapping[str, str]) -> list[InputError]:
    """Kits that contain themselves or differ between suppliers, unknown parts, doubles."""
    found: list[InputError] = []
    kits: dict[str, tuple[tuple[str, int], ...]] = {}
    seen: set[str] = set()
    known = set(catalogue.parts) | {link.new for link in catalogue.superseded}
    known |= {link.old for link in catalogue.superseded}
    for offer in catalogue.offers:
        place = at.get(offer.key, offer.key)
        if offer.key in seen:
            found.append(RangeError(f"{place}, number", offer.key, "one line per number"))
        seen.add(offer.key)
        if offer.contents and set(kits.setdefault(offer.number, offer.contents)) != set(
            offer.contents
        ):
            found.append(RangeError(f"{place}, contents", offer.number, "one contents per number"))
    for offer in catalogue.offers:
        place = at.get(offer.key, offer.key)
        try:
            pieces = unpacked([(offer.number, 1)], kits)
        except RangeError as ring:
            found.append(RangeError(f"{place}, contents", ring.given, ring.expected))
            continue
        for number, _ in pieces if catalogue.parts else ():
            if number not in known:
                found.append(RangeError(f"{place}, contents", number, "a part that is known"))
    return found


def _chain_mistakes(superseded: Iterable[Superseded], at: Mapping[str, str]) -> list[InputError]:
    """Chains in a circle (each told once) and numbers with two newer numbers."""
    links = tuple(superseded)
    found: list[InputError] = []
    told: set[str] = set()
    first: dict[str, str] = {}
    for link in links:
        place = at.get(f"superseded {link.old}", f"superseded {link.old}")
        if first.setdefault(link.old, link.new) != link.new:
            given = f"{first[link.old]} and {link.new}"
            found.append(RangeError(f"{place}, new", given, "one newer number"))
        try:
            newer_numbers(link.old, links)
        except RangeError as ring:
            members = set(str(ring.given).split(" → "))
            if not members & told:
                found.append(RangeError(f"{place}, new", ring.given, ring.expected, ring.remedy))
            told |= members
    return found
