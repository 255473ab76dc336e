"""What an order must cover and what is wished of it; which offers help which need."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.reasoning.offers import ZERO, Catalogue, Offer, acceptable_numbers
from casewright.reasoning.offers_check import checked

Pieces = Iterable[tuple[str, int]]


@dataclass(frozen=True, slots=True)
class Need:
    """Pieces of one number; a consumable may be needed in fractions of its unit."""

    number: str
    quantity: Decimal = Decimal(1)
    consumable: bool = False


@dataclass(frozen=True, slots=True)
class MatchedSet:
    """Numbers that stay together: all from one unit of one offer, or all kept."""

    name: str
    pieces: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the owner and the shop want of the order.

    `dearer_elsewhere` is what one order at a supplier who isn't preferred counts more;
    `handling` what the shop counts for each parcel; `count_late` reckons with the late lead.
    """

    cost_per_day: Decimal = ZERO
    latest_days: float | None = None
    budget: Decimal | None = None
    barred: frozenset[str] = frozenset()
    preferred: frozenset[str] = frozenset()
    dearer_elsewhere: Decimal = ZERO
    handling: Decimal = ZERO
    count_late: bool = False
    cores_returned: bool = True


@dataclass(frozen=True, slots=True)
class Question:
    """Needs, matched sets, catalogue and wishes of one order."""

    catalogue: Catalogue
    needs: tuple[Need, ...]
    sets: tuple[MatchedSet, ...] = ()
    wishes: Wishes = field(default_factory=Wishes)


@dataclass(frozen=True, slots=True)
class Demand:
    """One row to cover: a need with its acceptable numbers, or a matched set with its pieces."""

    label: str
    quantity: Decimal
    numbers: tuple[str, ...]
    consumable: bool = False
    members: tuple[tuple[tuple[str, ...], int], ...] = ()

    def sets_in(self, pieces: Pieces) -> int:
        """How many complete sets one unit holds."""
        held = dict(pieces)
        counts = [sum(held.get(name, 0) for name in names) // n for names, n in self.members]
        return min(counts, default=0)


def prepared(question: Question) -> Question:
    """The question with its catalogue checked and unpacked, and its needs added up by number.

    Args:
        question: needs, sets, catalogue and wishes [-].
    Returns:
        the same, ready for the model [-].
    Valid: any question.
    Raises: FormErrors with all mistakes of needs, sets and wishes; of the catalogue before that.
    Source: own: the rules that the model relies on.
    """
    catalogue = checked(question.catalogue)
    mistakes = [*_need_mistakes(question), *_set_mistakes(question), *_wish_mistakes(question)]
    if mistakes:
        raise FormErrors("order", mistakes)
    total: dict[str, Need] = {}
    for need in question.needs:
        before = total.get(need.number, Need(need.number, ZERO, need.consumable))
        total[need.number] = Need(
            need.number, before.quantity + need.quantity, before.consumable and need.consumable
        )
    needs = tuple(need for need in total.values() if need.quantity > 0)
    return Question(catalogue, needs, question.sets, question.wishes)


def _need_mistakes(question: Question) -> list[InputError]:
    """Needs below zero, broken pieces, unknown numbers."""
    found: list[InputError] = []
    for need in question.needs:
        field_name = f"need {need.number}"
        if not need.quantity.is_finite() or need.quantity < 0:
            found.append(RangeError(field_name, str(need.quantity), "zero or more"))
        elif not need.consumable and need.quantity != int(need.quantity):
            found.append(
                RangeError(field_name, str(need.quantity), "whole pieces", "Is it a consumable?")
            )
    return found


def _set_mistakes(question: Question) -> list[InputError]:
    """A number in two matched sets, sets without pieces."""
    found: list[InputError] = []
    owner: dict[str, str] = {}
    for group in question.sets:
        if not group.pieces or any(count < 1 for _, count in group.pieces):
            found.append(RangeError(f"set {group.name}", group.pieces, "numbers with pieces"))
        for number, _ in group.pieces:
            for name in acceptable_numbers(number, question.catalogue.superseded):
                if owner.setdefault(name, group.name) != group.name:
                    given = f"in {owner[name]} and {group.name}"
                    found.append(RangeError(f"set piece {name}", given, "one matched set"))
    return found


def _wish_mistakes(question: Question) -> list[InputError]:
    """Sums below zero and suppliers that nobody knows."""
    wishes = question.wishes
    sums = {
        "cost per day": wishes.cost_per_day,
        "latest days": wishes.latest_days,
        "budget": wishes.budget,
        "dearer elsewhere": wishes.dearer_elsewhere,
        "handling": wishes.handling,
    }
    found: list[InputError] = [
        RangeError(name, str(value), "zero or more")
        for name, value in sums.items()
        if value is not None and value < 0
    ]
    names = {supplier.name for supplier in question.catalogue.suppliers}
    found += [
        MissingError(f"supplier {name}", "a known supplier")
        for name in sorted((wishes.barred | wishes.preferred) - names)
    ]
    return found


def demands(question: Question) -> tuple[Demand, ...]:
    """The rows to cover: matched sets with any needed member, then the other needs.

    Args:
        question: a prepared question [-].
    Returns:
        the rows [-].
    Valid: a number is in one matched set at most.
    Raises: nothing.
    Source: common practice: a cup and its cone, or the gears of a set, go together.
    """
    links = question.catalogue.superseded
    wanted = {need.number: need for need in question.needs}
    found = []
    for group in question.sets:
        members = tuple((acceptable_numbers(name, links), count) for name, count in group.pieces)
        counts = [
            math.ceil(wanted.pop(name).quantity / count)
            for name, count in group.pieces
            if name in wanted
        ]
        if counts:
            numbers = tuple(name for names, _ in members for name in names)
            label = f"matched set {group.name}"
            found.append(Demand(label, Decimal(max(counts)), numbers, members=members))
    for need in wanted.values():
        numbers = acceptable_numbers(need.number, links)
        found.append(Demand(need.number, need.quantity, numbers, need.consumable))
    return tuple(found)


def lead_counted(offer: Offer, wishes: Wishes) -> float:
    """Days that the plan reckons with: the likely lead, or the late one where so wished.

    Args:
        offer: the offer [-].
        wishes: `count_late` chooses [-].
    Returns:
        lead [day].
    Valid: any offer.
    Raises: nothing.
    Source: own: a choice between two columns.
    """
    late = offer.lead_late
    return offer.lead_days if late is None or not wishes.count_late else late


def usable_offers(question: Question, rows: tuple[Demand, ...]) -> tuple[int, ...]:
    """Offers that help some row, aren't barred and arrive by the latest date, by index.

    Args:
        question: a prepared question [-].
        rows: what is to be covered [-].
    Returns:
        indices into the catalogue's offers [-].
    Valid: any question.
    Raises: nothing.
    Source: own: a filter.
    """
    wishes = question.wishes
    latest = math.inf if wishes.latest_days is None else wishes.latest_days
    return tuple(
        index
        for index, offer in enumerate(question.catalogue.offers)
        if offer.supplier not in wishes.barred
        and lead_counted(offer, wishes) <= latest
        and helps(offer.pieces, rows)
    )


def helps(pieces: Pieces, rows: Iterable[Demand]) -> dict[int, int]:
    """What one unit adds to each row it helps: row index to pieces or complete sets.

    Args:
        pieces: contents of one unit [-].
        rows: what is to be covered [-].
    Returns:
        row index to count, rows with zero left out [-].
    Valid: a number that serves a matched set isn't counted for other needs.
    Raises: nothing.
    Source: own: counting.
    """
    found = {}
    held = dict(pieces)
    kept = {name for row in rows if row.members for name in row.numbers}
    for index, row in enumerate(rows):
        if row.members:
            count = row.sets_in(pieces)
        else:
            count = sum(held.get(name, 0) for name in row.numbers if name not in kept)
        if count:
            found[index] = count
    return found
