"""What can be bought or taken from the shelf: suppliers, offers, kits, stock, newer numbers.

Money is `Decimal` in one stated currency. `offers_check` finds every mistake of a catalogue
in one pass; `offers_table` reads catalogues from text and adds line numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum

from casewright.errors import FormErrors, InputError, RangeError

ZERO = Decimal(0)


class OfferKind(StrEnum):
    """What one unit of an offer is."""

    SINGLE = "single"
    KIT = "kit"
    GEAR_SET = "gear set"
    EXCHANGE = "exchange unit"
    DONOR = "donor piece"
    HOUSING = "bare housing"
    NEW_LEG = "new leg"


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who sells; `freight` is paid per order unless its goods reach `free_freight_from`."""

    name: str
    freight: Decimal = ZERO
    free_freight_from: Decimal | None = None
    freight_tax_rate: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """From this many units on, *all* units cost this price each."""

    from_quantity: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class Offer:
    """One number at one supplier. `contents` are part numbers and pieces in one unit."""

    supplier: str
    number: str
    price: Decimal
    currency: str
    kind: OfferKind = OfferKind.SINGLE
    contents: tuple[tuple[str, int], ...] = ()
    breaks: tuple[PriceBreak, ...] = ()
    least_lot: int = 1
    available: int | None = None
    lead_days: float = 0.0
    lead_early: float | None = None
    lead_late: float | None = None
    returnable: bool = True
    core_deposit: Decimal = ZERO
    tax_rate: Decimal = ZERO
    dated: date | None = None
    history: str = ""
    readings: str = ""

    @property
    def key(self) -> str:
        """Supplier and number, unique in a catalogue."""
        return f"{self.supplier}:{self.number}"

    @property
    def pieces(self) -> tuple[tuple[str, int], ...]:
        """The contents, or the number itself once."""
        return self.contents or ((self.number, 1),)


@dataclass(frozen=True, slots=True)
class Stock:
    """Units of one number on the shelf; `worth` is what taking one costs the job."""

    number: str
    quantity: Decimal
    worth: Decimal = ZERO
    contents: tuple[tuple[str, int], ...] = ()

    @property
    def pieces(self) -> tuple[tuple[str, int], ...]:
        """The contents of a set that lies complete on the shelf, or the number itself once."""
        return self.contents or ((self.number, 1),)


@dataclass(frozen=True, slots=True)
class StockMove:
    """Pieces put on the shelf (+) or taken from it (-), as the log has it."""

    number: str
    change: Decimal
    because: str = ""


@dataclass(frozen=True, slots=True)
class Superseded:
    """`old` is replaced by `new`; `both_ways` where the old number still serves for the new."""

    old: str
    new: str
    both_ways: bool = False


@dataclass(frozen=True, slots=True)
class Catalogue:
    """All that is known about buying, in one currency; `parts` empty means any number goes."""

    currency: str
    suppliers: tuple[Supplier, ...] = ()
    offers: tuple[Offer, ...] = ()
    shelf: tuple[Stock, ...] = ()
    superseded: tuple[Superseded, ...] = ()
    parts: frozenset[str] = frozenset()


def newer_numbers(number: str, superseded: Iterable[Superseded]) -> tuple[str, ...]:
    """The chain of numbers that replaced this one, oldest first, itself not included.

    Args:
        number: part number [-].
        superseded: which number replaced which [-].
    Returns:
        newer numbers [-].
    Valid: each old number has one newer number; `catalogue_mistakes` says where not.
    Raises: RangeError where the chain runs in a circle.
    Source: own: a walk along the chain.
    Example:
        >>> newer_numbers("A", [Superseded("A", "B"), Superseded("B", "C")])
        ('B', 'C')
    """
    after = {link.old: link.new for link in superseded}
    chain = [number]
    while chain[-1] in after:
        chain.append(after[chain[-1]])
        if chain[-1] in chain[:-1]:
            raise _circle(chain)
    return tuple(chain[1:])


def _circle(chain: list[str]) -> RangeError:
    """The complaint about a chain whose last number was in it before."""
    ring = chain[chain.index(chain[-1]) :]
    return RangeError(
        f"superseded {ring[0]}",
        " → ".join(ring),
        "a chain that ends",
        "Take out the link that points back.",
    )


def acceptable_numbers(number: str, superseded: Iterable[Superseded]) -> tuple[str, ...]:
    """Numbers that may be fitted where `number` is needed: itself, newer, then older both-ways.

    Args:
        number: part number needed [-].
        superseded: which number replaced which [-].
    Returns:
        acceptable numbers, preferred first [-].
    Valid: an older number is taken only along links marked `both_ways`.
    Raises: RangeError where a chain runs in a circle.
    Source: common practice: a newer number serves for the old one, the old one only where told.
    Example:
        >>> acceptable_numbers("B", [Superseded("A", "B", both_ways=True), Superseded("B", "C")])
        ('B', 'C', 'A')
    """
    links = tuple(superseded)
    found = [number, *newer_numbers(number, links)]
    for current in found:
        older = [link.old for link in links if link.both_ways and link.new == current]
        found.extend(name for name in older if name not in found)
    return tuple(found)


def shelf_after(shelf: Iterable[Stock], moves: Iterable[StockMove]) -> tuple[Stock, ...]:
    """The shelf after a list of moves, in order: quantity + sum of changes.

    Args:
        shelf: stock before [-].
        moves: pieces in and out [-].
    Returns:
        stock after, numbers in the order in which they first came [-].
    Valid: any order in which no number falls below zero on the way.
    Raises: FormErrors with every move that takes more than there is.
    Source: own: addition.
    Example:
        >>> shelf_after([Stock("A", Decimal(2))], [StockMove("A", Decimal(-2))])[0].quantity
        Decimal('0')
    """
    stock = {line.number: line for line in shelf}
    mistakes: list[InputError] = []
    for count, move in enumerate(moves, 1):
        line = stock.get(move.number, Stock(move.number, ZERO))
        left = line.quantity + move.change
        if left < 0:
            mistakes.append(
                RangeError(
                    f"move {count}, {move.number}",
                    str(move.change),
                    f"at most {line.quantity} taken, for stock can't be below zero",
                    "Count the shelf, and enter the count as a move.",
                )
            )
            continue
        stock[move.number] = replace(line, quantity=left)
    if mistakes:
        raise FormErrors("shelf", mistakes)
    return tuple(stock.values())


def unpacked(
    contents: Iterable[tuple[str, int]], kits: Mapping[str, tuple[tuple[str, int], ...]]
) -> tuple[tuple[str, int], ...]:
    """Contents with every kit inside replaced by what it holds, pieces of one number added up.

    Args:
        contents: part or kit numbers with pieces [-].
        kits: kit number to its contents [-].
    Returns:
        part numbers with pieces, no kits left [-].
    Valid: any depth.
    Raises: RangeError where a kit contains itself, directly or through others.
    Source: own: depth-first expansion.
    Example:
        >>> unpacked([("KIT", 2)], {"KIT": (("RING", 3), ("LIP", 1))})
        (('RING', 6), ('LIP', 2))
    """
    total: dict[str, int] = {}

    def add(pieces: Iterable[tuple[str, int]], times: int, inside: tuple[str, ...]) -> None:
        for number, count in pieces:
            if number in inside:
                ring = " → ".join((*inside[inside.index(number) :], number))
                raise RangeError(f"kit {number}", ring, "a kit that doesn't contain itself")
            if number in kits:
                add(kits[number], times * count, (*inside, number))
            else:
                total[number] = total.get(number, 0) + times * count

    add(contents, 1, ())
    return tuple(total.items())
