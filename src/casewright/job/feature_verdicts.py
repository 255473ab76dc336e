"""What each measured feature asks for: use again, rework, read again or replace, and why.

Costs count only where a person gave them: the part's price (sheet, or setting `price:PART`) and
what a come-back costs (setting `comeback-cost`). Otherwise the reading has to prove it good.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from casewright.drive.schema import Feature
from casewright.job.gauged import size_in_hand, with_setting
from casewright.job.instruments import BenchInstrument, places_of, registered_instruments
from casewright.job.limits import Limits, feature_consequence
from casewright.job.measured import Measured, OneReading, measured, same_visit
from casewright.job.once import once
from casewright.job.prices import read_sum
from casewright.job.reworks import ReworkOffer, rework_offers
from casewright.job.sizes import SIZES
from casewright.job.state import State
from casewright.reasoning.conformity import Outcome, Size
from casewright.reasoning.readings import reading_components
from casewright.reasoning.verdict import (
    BetterReading,
    Choice,
    Consequence,
    Costs,
    Question,
    Rework,
    Verdict,
    WhatIf,
    decide,
    what_if_kept,
)

# Share of a come-back's cost that a wrong keep costs, and the ceiling on its chance where people
# can be hurt; both a choice of this project.
CONSEQUENCES = {
    "safety": Consequence("somebody can be hurt", 1.0, 0.01),
    "breakdown": Consequence("the leg breaks down", 1.0),
    "nuisance": Consequence("a nuisance", 0.1),
}
# Where nobody gave a rework's cost: this share of the part's price; and how often one fails.
REWORK_SHARE, REWORK_FAILS = 0.35, 0.01
HOURLY_RATE = 60.0


@dataclass(frozen=True, slots=True)
class FeatureVerdict:
    """A measured feature with its verdict, the offers behind it, and what keeping it would mean.

    `verdict` is None where there is no limit or no size; `costed` says that money was weighed.
    """

    measured: Measured
    verdict: Verdict | None
    what_if: WhatIf | None
    reworks: tuple[ReworkOffer, ...]
    costed: bool

    @property
    def feature(self) -> Feature:
        """The feature."""
        return self.measured.feature


def feature_verdicts(state: State) -> tuple[FeatureVerdict, ...]:
    """The verdict on every measured feature, in the order of the sheet."""
    return once(state, _all)


def _all(state: State) -> tuple[FeatureVerdict, ...]:
    return tuple(_one(state, item) for item in measured(state))


def _one(state: State, item: Measured) -> FeatureVerdict:
    offers = rework_offers(state, item.feature)
    question = _question(state, item, offers)
    if question is None:
        return FeatureVerdict(item, None, None, offers, False)
    verdict, kept = _decided(question)
    left = places_left(item)
    if verdict.choice is Choice.USE_AGAIN and left:
        because = f"good where it was read, and {left} of its places weren't"
        verdict = replace(verdict, choice=Choice.READ_AGAIN, detail="all places", because=because)
    return FeatureVerdict(item, verdict, kept, offers, question.costs is not None)


def places_left(item: Measured) -> int:
    """Places of the sheet that the reading which stands doesn't cover.

    A finer one at a single place may stand where all places were proved good before. Round a turn
    one reading is all that the dial moved, and three tell the wave.
    """
    read, wanted = len(item.stands.values), places_of(item.feature)
    if item.feature.kind == "run-out":
        return 1 if read == 2 else 0
    return 0 if _proved_before(item, wanted) else max(0, wanted - read)


def _proved_before(item: Measured, wanted: int) -> bool:
    return any(
        len(one.values) >= wanted
        and one.conformance is not None
        and one.conformance.outcome is Outcome.CONFORMING
        and same_visit(one, item.stands)
        for one in item.others
    )


@lru_cache(maxsize=512)
def _decided(question: Question) -> tuple[Verdict, WhatIf]:
    return decide(question), what_if_kept(question)


def _question(state: State, item: Measured, offers: tuple[ReworkOffer, ...]) -> Question | None:
    found = item.stands.sized
    if item.stands.conformance is None or found is None or found.budget is None:
        return None
    size = Size(
        found.budget.value, found.budget.standard_uncertainty, found.budget.degrees_of_freedom
    )
    costs = _costs(state, item.feature)
    price = costs.replace if costs else 0.0
    reworks = tuple(
        Rework(offer.key, _rework_cost(state, offer.key, price), REWORK_FAILS)
        for offer in offers
        if offer.is_open
    )
    return Question(
        size, item.limits.low, item.limits.high, costs, reworks,
        _better(state, item.feature, item.limits, item.stands),
    )  # fmt: skip


def price_of(state: State, part: str) -> float | None:
    """A part's price where somebody gave one: this job's setting, else the sheet."""
    given = read_sum(state.settings.get(f"price:{part}", ""))
    printed = state.lookup.parts[part].price if part in state.lookup.parts else ""
    return read_sum(printed) if given is None else given


def renewal_price(state: State, position: str) -> float | None:
    """What replacing the piece there costs: its mates of a matched set go with it, and are paid.

    None where the price of any of them isn't known.
    """
    places = {position, *state.lookup.matched_with.get(position, frozenset())}
    prices = [price_of(state, state.lookup.part_at(place).key) for place in sorted(places)]
    known = [price for price in prices if price is not None]
    return math.fsum(known) if len(known) == len(prices) else None


def _rework_cost(state: State, key: str, price: float) -> float:
    given = read_sum(state.settings.get(f"rework-cost:{key}", ""))
    return REWORK_SHARE * price if given is None else given


def _costs(state: State, feature: Feature) -> Costs | None:
    price = renewal_price(state, feature.position)
    comeback = read_sum(state.settings.get("comeback-cost", ""))
    if price is None or comeback is None:
        return None
    usual = CONSEQUENCES[feature_consequence(state, feature)]
    cost = usual.cost * comeback
    return Costs(Consequence(usual.name, cost, usual.highest_chance), price)


def suiting(state: State, feature: Feature, limits: Limits) -> tuple[BenchInstrument, ...]:
    """Registered instruments that measure this kind of feature at this size."""
    size = max((abs(end) for end in (limits.low, limits.high) if end is not None), default=None)
    known = registered_instruments(state, limits.dimension)
    in_hand = None if size is None else size_in_hand(feature, size)
    return tuple(one for one in known if _suits(one, feature.kind, in_hand))


def _suits(one: BenchInstrument, kind: str, size: float | None) -> bool:
    kinds = one.instrument.kinds
    in_kind = not kinds or kind in kinds
    if one.span is None or size is None or kind not in SIZES:
        return in_kind
    return in_kind and one.span[0] <= size <= one.span[1]


def _better(
    state: State, feature: Feature, limits: Limits, stands: OneReading
) -> tuple[BetterReading, ...]:
    """Further readings on offer: other instruments of the register, one careful reading each."""
    found = []
    rate = read_sum(state.settings.get("hourly-rate", "")) or HOURLY_RATE
    for one in suiting(state, feature, limits):
        parts = reading_components([0.0], with_setting(state, feature, one.instrument))
        doubt = math.sqrt(math.fsum(part.contribution**2 for part in parts))
        finer = one.name != stands.instrument.name and 0 < doubt < stands.uncertainty
        if finer and not (one.due and one.due < stands.reading.happened_at[:10]):
            found.append(BetterReading(one.name, doubt, one.instrument.minutes / 60 * rate))
    return tuple(found)
