"""Orders and what came in against them: right, superseded, wrong, short, too many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.job.kinds import Ordered, OrderLine
from casewright.job.prices import slug
from casewright.job.state import Kept, State
from casewright.reasoning.offers import Catalogue, acceptable_numbers


@dataclass(frozen=True, slots=True)
class GoodsLine:
    """One number of an order: ordered, come under that number, come under others that serve."""

    number: str
    name: str
    ordered: int
    right: int
    others: tuple[tuple[str, int], ...]
    price: str

    @property
    def short(self) -> int:
        """How many are still to come."""
        return max(0, self.ordered - self.right - sum(count for _, count in self.others))


@dataclass(frozen=True, slots=True)
class OrderCheck:
    """An order with its lines; `wrong` came and wasn't ordered, or is more than was ordered."""

    order: str
    supplier: str
    day: str
    returnable: bool
    lines: tuple[GoodsLine, ...]
    wrong: tuple[tuple[str, int], ...]
    any_received: bool

    @property
    def back_ordered(self) -> tuple[GoodsLine, ...]:
        """Lines of which some are still to come."""
        return tuple(line for line in self.lines if line.short)

    @property
    def verdict(self) -> str:
        """One word or two for the whole order."""
        if self.wrong:
            return "wrong goods"
        if not self.any_received:
            return "on its way"
        return "back order" if self.back_ordered else "complete"


def slug_of(order: OrderCheck) -> str:
    """An order's number as it stands in an address or a file's name."""
    return slug(order.order) or "order"


def check_goods(state: State, catalogue: Catalogue) -> tuple[OrderCheck, ...]:
    """Every order against all that came in for it, in the order of ordering."""
    received: dict[str, Counter[str]] = {}
    for kept in state.received:
        received.setdefault(kept.body.order, Counter()).update(_counts(kept.body.lines))
    joined: dict[str, list[OrderLine]] = {}
    heads: dict[str, Kept[Ordered]] = {}
    for placed in state.orders:
        heads.setdefault(placed.body.order, placed)
        joined.setdefault(placed.body.order, []).extend(placed.body.lines)
    found = []
    for order, head in heads.items():
        lines, wrong = _compare(state, catalogue, joined[order], received.get(order, Counter()))
        found.append(
            OrderCheck(
                order, head.body.supplier, head.happened_at[:10], head.body.returnable,
                lines, wrong, order in received,
            )
        )  # fmt: skip
    return tuple(found)


def unknown_deliveries(state: State) -> tuple[str, ...]:
    """Order numbers that goods came in for and that nobody recorded as ordered."""
    known = {kept.body.order for kept in state.orders}
    return tuple(dict.fromkeys(k.body.order for k in state.received if k.body.order not in known))


def taken_from_shelf(state: State) -> Counter[str]:
    """Pieces that were taken from the shelf for this job and not put back, by number."""
    taken: Counter[str] = Counter()
    for kept in state.parts_shelf:
        for number, count in _counts(kept.body.lines).items():
            if kept.body.moves == "taken":
                taken[number] += count
            elif kept.body.moves == "put back":
                taken[number] = max(0, taken[number] - count)
    return taken


def left_over(
    state: State, catalogue: Catalogue, came: Mapping[str, int], wanted: Mapping[str, int]
) -> tuple[tuple[str, int], ...]:
    """Pieces that came in beyond what the job needs and that nobody has put on the shelf yet.

    `came`: number to pieces here from orders; `wanted`: part key to pieces that the job needs.
    """
    taken, back = Counter[str](), Counter[str]()
    for kept in state.parts_shelf:
        moves = {"taken": taken, "put back": back}.get(kept.body.moves)
        if moves is not None:
            moves.update(_counts(kept.body.lines))
    found: list[tuple[str, int]] = []
    for part in state.lookup.sheet.parts:
        numbers = serves_for(part.key, catalogue)
        here = sum(came.get(n, 0) + taken[n] - back[n] for n in numbers)
        spare = here - wanted.get(part.key, 0)
        for number in numbers:
            pieces = min(spare, came.get(number, 0))
            if pieces > 0:
                found.append((number, pieces))
                spare -= pieces
    return tuple(dict(found).items())


def _counts(lines: Iterable[OrderLine]) -> Counter[str]:
    total: Counter[str] = Counter()
    for line in lines:
        total[line.number] += line.count
    return total


def _compare(
    state: State, catalogue: Catalogue, lines: Iterable[OrderLine], came: Counter[str]
) -> tuple[tuple[GoodsLine, ...], tuple[tuple[str, int], ...]]:
    """Own numbers first; then numbers that serve for what is still short; the rest is wrong."""
    ordered = _counts(lines)
    prices = {line.number: line.price for line in lines}
    left = Counter(came)
    right = {number: min(count, left[number]) for number, count in ordered.items()}
    left.subtract(right)
    found = []
    for number, count in ordered.items():
        others = tuple(_others(number, count - right[number], left, catalogue))
        name = _name(state, number)
        found.append(GoodsLine(number, name, count, right[number], others, prices[number]))
    return tuple(found), tuple((number, count) for number, count in left.items() if count > 0)


def _others(
    number: str, short: int, left: Counter[str], catalogue: Catalogue
) -> Iterator[tuple[str, int]]:
    """Numbers that came in place of an ordered one and serve for it; taken off what is left."""
    for other in serves_for(number, catalogue)[1:]:
        taken = min(short, left[other])
        if taken > 0:
            left[other] -= taken
            short -= taken
            yield other, taken


def serves_for(number: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Numbers that may be fitted for this one; itself alone where the chain runs in a circle."""
    try:
        return acceptable_numbers(number, catalogue.superseded)
    except RangeError:
        return (number,)


def _name(state: State, number: str) -> str:
    part = next((p for p in state.lookup.sheet.parts if number in (p.key, p.part_number)), None)
    return part.name if part else ""


def pieces_in(
    orders: Iterable[OrderCheck], catalogue: Catalogue
) -> tuple[Mapping[str, int], Mapping[str, int], tuple[str, ...]]:
    """Pieces on their way, pieces here, by number; and kits whose contents nobody knows now."""
    kits = {offer.number: offer.contents for offer in catalogue.offers if offer.contents}
    coming: Counter[str] = Counter()
    here: Counter[str] = Counter()
    unknown: list[str] = []
    singles = {offer.number for offer in catalogue.offers}
    for order in orders:
        for line in order.lines:
            for number, count in kits.get(line.number, ((line.number, 1),)):
                coming[number] += line.short * count
                here[number] += line.right * count
            for other, count in line.others:
                here[other] += count
            if line.number not in singles and not line.name:
                unknown.append(line.number)
    return coming, here, tuple(dict.fromkeys(unknown))
