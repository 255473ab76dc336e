"""A plan to buy, summed exactly in decimal money and checked against every rule it must keep."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from casewright.errors import UnconvergedError
from casewright.reasoning.cover_need import Demand, Question, demands, lead_counted
from casewright.reasoning.offers import ZERO, Offer, Supplier

Supply = dict[tuple[str, str], Decimal]


@dataclass(frozen=True, slots=True)
class OrderLine:
    """Units of one offer at the price of their bracket; sums not rounded."""

    offer: Offer
    quantity: int
    price: Decimal
    goods: Decimal
    tax: Decimal
    deposit: Decimal


@dataclass(frozen=True, slots=True)
class Parcel:
    """One order at one supplier."""

    supplier: str
    lines: tuple[OrderLine, ...]
    goods: Decimal
    tax: Decimal
    freight: Decimal
    deposit: Decimal
    arrives: float

    @property
    def cash(self) -> Decimal:
        """What is paid to the supplier now, deposit included."""
        return self.goods + self.tax + self.freight + self.deposit

    @property
    def returnable(self) -> bool:
        """True where every line can be sent back; else the order waits for the owner's yes."""
        return all(line.offer.returnable for line in self.lines)


@dataclass(frozen=True, slots=True)
class Served:
    """Which pieces serve a need: `origin` is an offer's key or "shelf"."""

    need: str
    number: str
    quantity: Decimal
    origin: str


@dataclass(frozen=True, slots=True)
class Proof:
    """How good the plan is known to be: no plan costs less than `bound`."""

    proven: bool
    bound: float
    gap: float


@dataclass(frozen=True, slots=True)
class Plan:
    """Orders and shelf pieces that cover the need; `total` is what was made least."""

    parcels: tuple[Parcel, ...]
    shelf: tuple[tuple[str, Decimal], ...]
    shelf_worth: Decimal
    served: tuple[Served, ...]
    surplus: tuple[tuple[str, Decimal], ...]
    arrives: float
    waiting: Decimal
    handling: Decimal
    deposit_lost: Decimal
    total: Decimal
    proof: Proof

    @property
    def cash(self) -> Decimal:
        """What is paid to all suppliers now."""
        return sum((parcel.cash for parcel in self.parcels), ZERO)

    @property
    def waits_for_yes(self) -> tuple[str, ...]:
        """Keys of offers that can't be sent back."""
        return tuple(
            line.offer.key
            for parcel in self.parcels
            for line in parcel.lines
            if not line.offer.returnable
        )


def unit_price(offer: Offer, quantity: int) -> Decimal:
    """The price of each unit when this many are bought: all-units breaks.

    Args:
        offer: the offer [-].
        quantity: units [-].
    Returns:
        price of one unit [currency].
    Valid: breaks in rising order of quantity.
    Raises: nothing.
    Source: common practice: an all-units discount, as price lists print it.
    Example:
        >>> from casewright.reasoning.offers import PriceBreak
        >>> offer = Offer("Q", "N", Decimal(5), "EUR", breaks=(PriceBreak(10, Decimal(4)),))
        >>> unit_price(offer, 9), unit_price(offer, 10)
        (Decimal('5'), Decimal('4'))
    """
    reached = [step.price for step in offer.breaks if step.from_quantity <= quantity]
    return reached[-1] if reached else offer.price


def exact_plan(
    question: Question, bought: Mapping[int, int], taken: Mapping[int, Decimal], proof: Proof
) -> Plan:
    """The plan of given quantities, all sums exact, all rules checked.

    Args:
        question: a prepared question [-].
        bought: index of offer to units [-].
        taken: index of shelf line to units [-].
        proof: what is known of its optimality [-].
    Returns:
        the plan [-].
    Valid: quantities as a solver gave them, rounded.
    Raises: UnconvergedError where a rule is broken: the solver's answer is then refused.
    Source: own: decimal sums, independent of the solver's floats.
    """
    wishes, catalogue = question.wishes, question.catalogue
    _keep_the_rules(question, bought, taken)
    parcels = tuple(
        _parcel(question, seller, bought)
        for seller in catalogue.suppliers
        if any(catalogue.offers[index].supplier == seller.name for index in bought)
    )
    served, surplus, used = _share_out(question, bought, taken)
    shelf_worth = sum((catalogue.shelf[i].worth * n for i, n in used.items()), ZERO)
    arrives = max((parcel.arrives for parcel in parcels), default=0.0)
    waiting = wishes.cost_per_day * Decimal(str(arrives))
    strangers = sum(parcel.supplier not in wishes.preferred for parcel in parcels)
    handling = wishes.handling * len(parcels) + wishes.dearer_elsewhere * strangers
    deposit = sum((parcel.deposit for parcel in parcels), ZERO)
    lost = ZERO if wishes.cores_returned else deposit
    paid = sum((parcel.goods + parcel.tax + parcel.freight for parcel in parcels), ZERO)
    if wishes.budget is not None and paid + deposit > wishes.budget:
        raise UnconvergedError("order within budget", cash=float(paid + deposit))
    return Plan(
        parcels=parcels,
        shelf=tuple((catalogue.shelf[i].number, n) for i, n in used.items()),
        shelf_worth=shelf_worth,
        served=served,
        surplus=surplus,
        arrives=arrives,
        waiting=waiting,
        handling=handling,
        deposit_lost=lost,
        total=paid + lost + shelf_worth + waiting + handling,
        proof=proof,
    )


def _keep_the_rules(
    question: Question, bought: Mapping[int, int], taken: Mapping[int, Decimal]
) -> None:
    """Lots, availability, shelf, barred suppliers and the latest date hold."""
    wishes = question.wishes
    for index, units in bought.items():
        offer = question.catalogue.offers[index]
        late = wishes.latest_days is not None and lead_counted(offer, wishes) > wishes.latest_days
        scarce = offer.available is not None and units > offer.available
        if units < offer.least_lot or scarce or late or offer.supplier in wishes.barred:
            raise UnconvergedError(f"order of {offer.key}", units=units)
    for index, quantity in taken.items():
        if not 0 <= quantity <= question.catalogue.shelf[index].quantity:
            raise UnconvergedError("take from shelf", quantity=float(quantity))


def _parcel(question: Question, seller: Supplier, bought: Mapping[int, int]) -> Parcel:
    """All lines at one supplier, with freight unless the goods reach the free level."""
    lines = []
    for index, units in sorted(bought.items()):
        offer = question.catalogue.offers[index]
        if offer.supplier == seller.name:
            price = unit_price(offer, units)
            goods = price * units
            tax = goods * offer.tax_rate
            lines.append(OrderLine(offer, units, price, goods, tax, offer.core_deposit * units))
    goods = sum((line.goods for line in lines), ZERO)
    free = seller.free_freight_from is not None and goods >= seller.free_freight_from
    freight = ZERO if free else seller.freight
    freight_tax = freight * seller.freight_tax_rate
    return Parcel(
        supplier=seller.name,
        lines=tuple(lines),
        goods=goods,
        tax=sum((line.tax for line in lines), ZERO) + freight_tax,
        freight=freight,
        deposit=sum((line.deposit for line in lines), ZERO),
        arrives=max(lead_counted(line.offer, question.wishes) for line in lines),
    )


def _share_out(
    question: Question, bought: Mapping[int, int], taken: Mapping[int, Decimal]
) -> tuple[tuple[Served, ...], tuple[tuple[str, Decimal], ...], dict[int, Decimal]]:
    """Who gets which piece; what of the bought is left over; what the shelf really gives."""
    rows = demands(question)
    supply: Supply = {}
    for index, quantity in taken.items():
        for number, count in question.catalogue.shelf[index].pieces:
            key = ("shelf", number)
            supply[key] = supply.get(key, ZERO) + quantity * count
    for index, units in bought.items():
        offer = question.catalogue.offers[index]
        for number, count in offer.pieces:
            supply[offer.key, number] = Decimal(units * count)
    served = _serve_sets(question, rows, bought, taken, supply)
    served += _serve(tuple(row for row in rows if not row.members), supply)
    used = _without_the_idle(question, taken, supply)
    surplus: dict[str, Decimal] = {}
    for (_, number), left in supply.items():
        if left > 0:
            surplus[number] = surplus.get(number, ZERO) + left
    return tuple(served), tuple(sorted(surplus.items())), used


def _without_the_idle(
    question: Question, taken: Mapping[int, Decimal], supply: Supply
) -> dict[int, Decimal]:
    """Units really taken from the shelf; those that serve nothing stay there."""
    used: dict[int, Decimal] = {}
    for index, quantity in taken.items():
        pieces = question.catalogue.shelf[index].pieces
        idle = min([quantity, *(supply["shelf", number] / count for number, count in pieces)])
        if quantity == int(quantity) and len(pieces) + pieces[0][1] > 2:
            idle = Decimal(int(idle))
        for number, count in pieces:
            supply["shelf", number] -= idle * count
        if quantity > idle:
            used[index] = quantity - idle
    return used


def _serve_sets(
    question: Question,
    rows: tuple[Demand, ...],
    bought: Mapping[int, int],
    taken: Mapping[int, Decimal],
    supply: Supply,
) -> list[Served]:
    """Matched sets from complete units; pieces of their numbers serve nothing else."""
    sources = [("shelf", question.catalogue.shelf[i].pieces, n) for i, n in taken.items()]
    for index, count_bought in bought.items():
        offer = question.catalogue.offers[index]
        sources.append((offer.key, offer.pieces, Decimal(count_bought)))
    served = []
    for row in rows:
        missing = row.quantity if row.members else ZERO
        for origin, pieces, units in sources if row.members else ():
            sets = min(missing, row.sets_in(pieces) * units)
            missing -= sets
            for numbers, count in row.members if sets else ():
                left = sets * count
                for number in numbers:
                    given = min(left, supply.get((origin, number), ZERO))
                    if given:
                        supply[origin, number] -= given
                        served.append(Served(row.label, number, given, origin))
                    left -= given
        if missing:
            raise UnconvergedError(f"cover of {row.label}", missing=float(missing))
    return served


def _serve(rows: tuple[Demand, ...], supply: Supply) -> list[Served]:
    """Pieces to needs by augmenting paths, shelf and own number first; exact."""
    given: dict[tuple[int, tuple[str, str]], Decimal] = {}

    def sources(row: int) -> list[tuple[str, str]]:
        keys = [key for name in rows[row].numbers for key in supply if key[1] == name]
        return sorted(keys, key=lambda key: key[0] != "shelf")

    def push(row: int, wanted: Decimal, seen: set[tuple[str, str]]) -> Decimal:
        """Get up to `wanted` for a row, from what is free or by moving another row's share."""
        for key in sources(row):
            if key not in seen and supply[key] > 0:
                got = min(wanted, supply[key])
                supply[key] -= got
                given[row, key] = given.get((row, key), ZERO) + got
                return got
        for key in sources(row):
            if key in seen:
                continue
            seen.add(key)
            for other in [r for (r, k), n in given.items() if k == key and n > 0 and r != row]:
                moved = push(other, min(wanted, given[other, key]), seen)
                if moved:
                    given[other, key] -= moved
                    given[row, key] = given.get((row, key), ZERO) + moved
                    return moved
        return ZERO

    for index, row in enumerate(rows):
        missing = row.quantity
        while missing > 0:
            got = push(index, missing, set())
            if not got:
                raise UnconvergedError(f"cover of {row.label}", missing=float(missing))
            missing -= got
    return [
        Served(rows[row].label, key[1], quantity, key[0])
        for (row, key), quantity in given.items()
        if quantity > 0
    ]
