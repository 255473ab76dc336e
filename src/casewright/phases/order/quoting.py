"""What the job may cost and when it may be ready: repair beside exchange, new leg, parting out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache

import numpy as np

from casewright.errors import FormErrors
from casewright.job.prices import PriceList
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.phases.order.at_risk import AtRisk, at_risk, price_of
from casewright.phases.order.choices import (
    PART_OUT,
    REPAIR,
    choices,
    contingency_of,
    hours_per_day,
    ordered_sum,
    shared_troubles,
    surely,
)
from casewright.phases.order.goods import OrderCheck
from casewright.phases.order.ordering import Nobody, Ordering, days_left
from casewright.phases.order.work_left import WorkLeft, work_left
from casewright.reasoning.quote import (
    Choice,
    Quoted,
    QuoteQuestion,
    digest_seed,
    draw_quote,
)
from casewright.reasoning.quote_build import (
    Shop,
    together,
)
from casewright.reasoning.quote_draws import Chance, Spread, sample
from casewright.reasoning.quote_insight import (
    Insight,
    Inspection,
    Mover,
    inspections_by_worth,
    movers,
)

DRAWS = 20_000


@dataclass(frozen=True, slots=True)
class ChoiceLine:
    """One way to go with its range; dates where its days are known, chance to be the cheapest."""

    name: str
    quoted: Quoted
    ready_even: str
    ready_late: str
    cheapest: float | None


@dataclass(frozen=True, slots=True)
class Quoting:
    """The quote: choices, what moves the repair's range, which look narrows it, what it rests on.

    `committed` is what was worked and ordered already; `unpriced` are parts at risk or needed for
    which nobody says a price: the range leaves them out.
    """

    stage: str
    choices: tuple[ChoiceLine, ...]
    movers: tuple[tuple[str, Mover], ...]
    looks: tuple[tuple[str, Insight], ...]
    unpriced: tuple[str, ...]
    guessed: tuple[str, ...]
    risks: tuple[AtRisk, ...]
    work: WorkLeft
    committed: Decimal
    ceiling: Decimal | None
    contingency: Decimal
    draws: int
    seed: int

    def choice(self, name: str) -> ChoiceLine | None:
        """A choice by its name."""
        return next((each for each in self.choices if each.name == name), None)


def quote(
    state: State,
    settings: Settings,
    prices: PriceList,
    ordering: Ordering,
    orders: tuple[OrderCheck, ...],
    ceiling: Decimal | None,
) -> Quoting:
    """The quote of a job as it stands; the same inputs give the same draws everywhere."""
    risks = at_risk(state, prices.catalogue)
    work = work_left(state)
    sure = surely(state, settings, prices, ordering)
    shop = Shop(
        Decimal(str(settings.hourly_rate)), hours_per_day(state.settings.get("hours-per-day"))
    )
    committed = shop.rate * Decimal(str(round(work.hours_so_far, 4))) + ordered_sum(
        state, prices, only_kept=False
    )
    built = choices(state, settings, prices, risks, work, sure, shop, orders)
    question = together(built, ceiling, days_left(state, settings), shared_troubles(risks))
    seed = digest_seed(question)
    answer = _answer(
        tuple(sorted(question.unknowns.items(), key=lambda pair: pair[0])),
        question.choices, question.ceiling, question.due_days, seed,
        tuple((risk.key, risk.look_minutes) for risk in risks if risk.priced),
    )  # fmt: skip
    names = {f"condemned {risk.key}": risk.name for risk in risks}
    names |= {
        risk.trouble.unknown: f"damage that comes together, {risk.trouble.name}"
        for risk in risks
        if risk.trouble is not None
    }
    return Quoting(
        stage=_stage(state, risks),
        choices=tuple(_line(each, settings, answer.cheapest) for each in answer.choices),
        movers=tuple((names.get(m.unknown, m.unknown), m) for m in answer.movers),
        looks=tuple((names[f"condemned {i.inspection}"], i) for i in answer.looks),
        unpriced=_without_price(state, prices, risks, sure),
        guessed=tuple(risk.name for risk in risks if not risk.said),
        risks=risks,
        work=work,
        committed=committed,
        ceiling=ceiling,
        contingency=contingency_of(state),
        draws=DRAWS,
        seed=seed,
    )


def _without_price(
    state: State, prices: PriceList, risks: tuple[AtRisk, ...], sure: Ordering
) -> tuple[str, ...]:
    """Parts that may be needed or are, and that neither a list nor the sheet has a price for."""
    bare = [each for each in sure.nobody if not _has_price(state, prices, each)]
    return (*(risk.name for risk in risks if risk.priced is None), *(each.name for each in bare))


def _has_price(state: State, prices: PriceList, one: Nobody) -> bool:
    return price_of(state, prices.catalogue, {one.part: one.count}) is not None


def _stage(state: State, risks: tuple[AtRisk, ...]) -> str:
    """Take-in until something is out; after inspection once nothing is undecided."""
    if not state.steps:
        return "take-in"
    return "after strip" if risks else "after inspection"


# ---- the draws ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Answer:
    """What is kept of the draws."""

    choices: tuple[Quoted, ...]
    cheapest: Mapping[str, float]
    movers: tuple[Mover, ...]
    looks: tuple[Insight, ...]


@lru_cache(maxsize=64)
def _answer(
    unknowns: tuple[tuple[str, Spread], ...],
    choices: tuple[Choice, ...],
    ceiling: Decimal | None,
    due: float | None,
    seed: int,
    looks: tuple[tuple[str, float], ...],
) -> _Answer:
    """Draw once per question."""
    question = QuoteQuestion(dict(unknowns), choices, ceiling, due)
    told = draw_quote(question, seed, DRAWS)
    open_ = {n: s for n, s in unknowns if not isinstance(s, Chance) or 0 < s.chance < 1}
    draws = sample(question.unknowns, seed, DRAWS)
    mending = {name: cost for name, cost in told.costs.items() if name != PART_OUT}
    least = np.minimum.reduce(list(mending.values()))
    found = movers(open_, draws, told.costs[REPAIR])
    large = {mover.unknown for mover in found[:16]}
    asked = [
        Inspection(key, f"condemned {key}", None, minutes)
        for key, minutes in looks
        if f"condemned {key}" in large
    ]
    try:
        insights = inspections_by_worth(asked, question.unknowns, draws, mending, REPAIR)
    except FormErrors:
        insights = ()
    return _Answer(
        told.choices,
        {name: float(np.mean(cost <= least)) for name, cost in mending.items()},
        tuple(m for m in found if m.variance_share > 0.005)[:8],
        tuple(i for i in insights if i.narrows > 0)[:6],
    )


def _line(quoted: Quoted, settings: Settings, cheapest: Mapping[str, float]) -> ChoiceLine:
    ready = quoted.ready
    share = cheapest.get(quoted.choice) if len(cheapest) > 1 else None
    if ready is None:
        return ChoiceLine(quoted.choice, quoted, "", "", share)
    even, late = (_day(settings, d) for d in (ready.even_chance, ready.one_in_ten_above))
    return ChoiceLine(quoted.choice, quoted, even, late, share)


def _day(settings: Settings, days: float) -> str:
    """The calendar day so many days from today, rounded up."""
    return (
        date.fromisoformat(settings.today) + timedelta(days=int(np.ceil(days - 1e-9)))
    ).isoformat()
