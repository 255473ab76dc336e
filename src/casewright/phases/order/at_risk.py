"""What a quote's parts rest on: positions nobody has decided yet, their chances, prices, leads."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from casewright.job.prices import read_money
from casewright.job.state import State
from casewright.job.verdicts import piece_verdicts
from casewright.phases.order.goods import serves_for
from casewright.phases.order.ordering import WHOLE
from casewright.phases.order.shared import (
    Trouble,
    any_of,
    apart,
    chance,
    chance_at,
    troubles,
)
from casewright.reasoning.offers import Catalogue, Offer

WHOLE_SCOPES = ("whole rebuild", "look and quote")


@dataclass(frozen=True, slots=True)
class Priced:
    """What a piece costs with tax and when it is here: early, likely and late days."""

    price: Decimal
    early: float
    likely: float
    late: float


@dataclass(frozen=True, slots=True)
class AtRisk:
    """Positions that are condemned together: chance, price (None: nobody says), look [min].

    `sheet_chance` is the chance before anything was seen. `trouble` is what it shares with the
    others of its unit, None where it stands alone; `apart` are its chances with it and without it.
    """

    key: str
    name: str
    chance: float
    sheet_chance: float
    said: bool
    priced: Priced | None
    look_minutes: float
    trouble: Trouble | None
    apart: tuple[float, float]


def is_whole(state: State) -> bool:
    """Whether this job's scope is the whole leg; else only what was taken out counts."""
    return state.opened is None or state.opened.body.scope in WHOLE_SCOPES


def undecided(state: State) -> tuple[str, ...]:
    """Positions in the job's scope that may still be condemned: no verdict, no new piece."""
    verdicts = piece_verdicts(state)
    opened = {
        position
        for joint in state.lookup.sheet.joints
        if joint.key in state.steps
        for position in joint.holds
    }
    return tuple(
        place.key
        for place in state.lookup.sheet.positions
        if state.lookup.parts[place.part].kind != "shim-pack"
        and (place.key not in verdicts or verdicts[place.key].decision == "read again")
        and state.occupant(place.key, "final") == state.occupant(place.key, "as-found")
        and (is_whole(state) or place.key in opened)
    )


def surely_needed(state: State) -> dict[str, int]:
    """Part key to pieces of one-time parts that will come out and have no verdict yet."""
    found: dict[str, int] = {}
    for key in undecided(state):
        place = state.lookup.positions[key]
        part = state.lookup.parts[place.part]
        if chance(part)[0] >= 1:
            found[part.key] = found.get(part.key, 0) + place.quantity
    return found


def at_risk(state: State, catalogue: Catalogue) -> tuple[AtRisk, ...]:
    """Undecided positions with a chance between never and surely; matched sets as one."""
    left = [key for key in undecided(state) if 0 < chance_at(state, key)[0] < 1]
    shared = troubles(state)
    found = []
    for group in state.lookup.sheet.matched_sets:
        members = tuple(key for key in group.positions if key in left)
        if len(members) > 1:
            left = [key for key in left if key not in members]
            gears = any(state.lookup.part_at(key).kind == "gear" for key in members)
            found.append(_risk(state, catalogue, shared, members, group.name, whole=gears))
    found += [_risk(state, catalogue, shared, (key,), state.lookup.name_of(key)) for key in left]
    return tuple(found)


def kept_pieces(state: State, catalogue: Catalogue) -> Decimal:
    """What the pieces that were found good would cost new, as far as anybody says a price."""
    total = Decimal(0)
    for position, verdict in piece_verdicts(state).items():
        if verdict.decision == "use again" and position in state.lookup.positions:
            place = state.lookup.positions[position]
            priced = price_of(state, catalogue, {place.part: place.quantity})
            total += priced.price if priced else Decimal(0)
    return total


def _risk(
    state: State,
    catalogue: Catalogue,
    shared: Mapping[str, Trouble],
    members: tuple[str, ...],
    name: str,
    whole: bool = False,
) -> AtRisk:
    """One of these condemned condemns all: chance 1 - Π(1 - chance of each), as the unit stands."""
    chances = [chance_at(state, key) for key in members]
    wanted: dict[str, int] = {}
    for key in members:
        place = state.lookup.positions[key]
        wanted[place.part] = wanted.get(place.part, 0) + place.quantity
    minutes = sum(f.minutes for key in members for f in state.lookup.features_at.get(key, ()))
    overall = any_of(each for each, _ in chances)
    trouble = shared.get(state.lookup.positions[members[0]].unit)
    given, without = apart(overall, state) if trouble else (overall, overall)
    now = trouble.chance if trouble else 0.0
    return AtRisk(
        key="+".join(members),
        name=name,
        chance=now * given + (1 - now) * without,
        sheet_chance=overall,
        said=all(said for _, said in chances),
        priced=price_of(state, catalogue, wanted, whole=whole),
        look_minutes=minutes or 5.0,
        trouble=trouble,
        apart=(given, without),
    )


def price_of(
    state: State, catalogue: Catalogue, wanted: dict[str, int], *, whole: bool = False
) -> Priced | None:
    """The cheapest unit that holds all, else the cheapest of each; None where a price lacks."""
    together = list(_units(catalogue, wanted))
    each = [_single(state, catalogue, part, count) for part, count in wanted.items()]
    if not whole and all(one is not None for one in each):
        together.append(_sum(one for one in each if one is not None))
    return min(together, key=lambda one: one.price, default=None)


def _units(catalogue: Catalogue, wanted: dict[str, int]) -> Iterator[Priced]:
    """One offer that holds every piece, as many units of it as are needed."""
    numbers = {part: serves_for(part, catalogue) for part in wanted}
    for offer in catalogue.offers:
        held = dict(offer.pieces)
        inside = {p: sum(held.get(n, 0) for n in names) for p, names in numbers.items()}
        if offer.kind not in WHOLE and all(inside.values()):
            units = max(math.ceil(count / inside[part]) for part, count in wanted.items())
            yield _of(offer, max(units, offer.least_lot))


def _single(state: State, catalogue: Catalogue, part: str, count: int) -> Priced | None:
    """The cheapest offer of one part, the shelf before it; the sheet's own price else."""
    for line in catalogue.shelf:
        if line.number in serves_for(part, catalogue) and line.quantity >= count:
            return Priced(line.worth * count, 0.0, 0.0, 0.0)
    found = min(_units(catalogue, {part: count}), key=lambda one: one.price, default=None)
    printed = read_money(state.lookup.parts[part].price) if found is None else None
    return found if printed is None else Priced(printed * count, 0.0, 0.0, 0.0)


def _sum(each: Iterable[Priced]) -> Priced:
    rows = tuple(each)
    return Priced(
        sum((one.price for one in rows), Decimal(0)),
        max(one.early for one in rows),
        max(one.likely for one in rows),
        max(one.late for one in rows),
    )


def _of(offer: Offer, units: int) -> Priced:
    early = offer.lead_days if offer.lead_early is None else offer.lead_early
    late = offer.lead_days if offer.lead_late is None else offer.lead_late
    return Priced(offer.price * (1 + offer.tax_rate) * units, early, offer.lead_days, late)
