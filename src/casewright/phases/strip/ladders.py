"""A stuck joint's ladder on this job: from its family, priced by what is still to be saved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from casewright.errors import CasewrightError
from casewright.reasoning.ladder import Abandon, Ladder, Piece, Rung, Standing, Worth, barred
from casewright.reasoning.ladder_build import ladder_of_family
from casewright.reasoning.ladder_compare import (
    CloseCall,
    Saving,
    close_calls,
    price_of_saving,
    with_chances_scaled,
)
from casewright.reasoning.ladder_outlook import Outlook, outlook_of_order, outlook_of_policy
from casewright.reasoning.ladder_plan import LadderPlan, plan_ladder
from casewright.reasoning.ladder_policy import solve
from casewright.reasoning.ladder_ratio import gentle_order

# A page can't wait: beyond this many rungs only the next one is tried for close calls.
MOST_FOR_ALL_CALLS = 6
CHANGE = 0.30
# Below this chance of harm it goes without saying that a piece survives.
WORTH_SAVING = 0.10


@dataclass(frozen=True, slots=True)
class Inputs:
    """All that a ladder's plan depends on, so that plans can be kept by it.

    `pieces` (role, piece) · `extra` (rung, piece, chance of harm [-]) beyond the family's roles ·
    `missing` (tool, hire [money] or None) · `chances` and `minutes` set for this job by rung ·
    `repeats` what was tried more often than the family expects.
    """

    family: str
    pieces: tuple[tuple[str, Piece], ...]
    extra_pieces: tuple[Piece, ...]
    extra: tuple[tuple[str, str, float], ...]
    worth: Worth
    abandon: Abandon
    missing: tuple[tuple[str, float | None], ...]
    break_cost: float
    prior: tuple[float, ...] | None
    chances: tuple[tuple[str, float], ...] = ()
    minutes: tuple[tuple[str, float], ...] = ()
    repeats: tuple[tuple[str, int], ...] = ()
    free_after: tuple[str, ...] = ()


@lru_cache(maxsize=128)
def ladder_for(inputs: Inputs) -> Ladder:
    """The ladder that these inputs make; the family's numbers where the job says nothing."""
    ladder = ladder_of_family(
        inputs.family, dict(inputs.pieces), inputs.worth, inputs.abandon,
        dict(inputs.missing), inputs.break_cost, inputs.prior,
    )  # fmt: skip
    rungs = tuple(_as_set(rung, inputs, ladder.prior) for rung in ladder.rungs)
    return replace(ladder, rungs=rungs, pieces=(*ladder.pieces, *inputs.extra_pieces))


def _as_set(rung: Rung, inputs: Inputs, prior: tuple[float, ...]) -> Rung:
    """A rung with the job's own chances, minutes, repeats, and the sheet's extra harm."""
    changes: dict[str, object] = {}
    if (chance := dict(inputs.chances).get(rung.id)) is not None and rung.chances:
        most = 1.0 - rung.breaks
        changes["chances"] = tuple(min(p, most) for p in with_mean(rung.chances, prior, chance))
    if (minutes := dict(inputs.minutes).get(rung.id)) is not None:
        changes["minutes"] = minutes
    if (repeats := dict(inputs.repeats).get(rung.id)) is not None:
        changes["repeats"] = repeats
    if rung.id in inputs.free_after:
        changes["after"] = ()
    more = {piece: harm for of, piece, harm in inputs.extra if of == rung.id}
    if more:
        changes["harm"] = {**rung.harm, **more}
    return replace(rung, **changes) if changes else rung  # type: ignore[arg-type]


def with_mean(
    chances: tuple[float, ...], prior: tuple[float, ...], mean: float
) -> tuple[float, ...]:
    """Chances by grade moved to a stated mean, their odds all multiplied by one factor.

    The order of the grades stays: what is freed seldom when welded is still freed least then.
    """
    if mean <= 0.0 or mean >= 1.0:
        return tuple(float(mean >= 1.0) for _ in chances)

    def moved(factor: float) -> tuple[float, ...]:
        return tuple(factor * p / (1.0 - p + factor * p) for p in chances)

    low, high = -40.0, 40.0
    for _ in range(80):
        half = (low + high) / 2
        reached = sum(w * p for w, p in zip(prior, moved(2.0**half), strict=True))
        low, high = (half, high) if reached < mean else (low, half)
    return moved(2.0**high)


@lru_cache(maxsize=128)
def planned(inputs: Inputs, tried: tuple[str, ...]) -> LadderPlan:
    """The plan from where the work stands; raises what the solver raises."""
    return plan_ladder(ladder_for(inputs), Standing(tried))


@lru_cache(maxsize=64)
def usual(inputs: Inputs, tried: tuple[str, ...]) -> Outlook:
    """What the usual order from gentle to rough would cost from here, what was tried left out."""
    ladder = ladder_for(inputs)
    order = list(gentle_order(ladder))
    for rung in tried:
        if rung in order:
            order.remove(rung)
    return outlook_of_order(ladder, tuple(order), Standing(tried))


@lru_cache(maxsize=64)
def savings(inputs: Inputs, tried: tuple[str, ...]) -> tuple[Saving, ...]:
    """What it costs to save each of the two dearest pieces that the plan may well harm."""
    ladder, plan = ladder_for(inputs), planned(inputs, tried)
    harmed = plan.outlook.harmed
    at_risk = [p for p in ladder.pieces if p.at_stake > 0 and harmed.get(p.id, 0) >= WORTH_SAVING]
    dearest = sorted(at_risk, key=lambda p: -p.at_stake * harmed[p.id])[:2]
    return tuple(price_of_saving(ladder, piece.id, Standing(tried)) for piece in dearest)


@lru_cache(maxsize=64)
def calls(inputs: Inputs, tried: tuple[str, ...]) -> tuple[CloseCall, ...]:
    """Chances that, wrong by 30 %, change the order so that it matters: a hundredth of the cost."""
    ladder, plan = ladder_for(inputs), planned(inputs, tried)
    if len(_left(ladder, tried)) <= MOST_FOR_ALL_CALLS:
        found = close_calls(ladder, Standing(tried), CHANGE)
    else:
        found = tuple(_next_calls(ladder, Standing(tried), plan))
    return tuple(call for call in found if call.loss > 0.01 * max(plan.outlook.mean, 1.0))


def _left(ladder: Ladder, tried: tuple[str, ...]) -> list[str]:
    shut = {bar.rung for bar in barred(ladder)}
    return [r.id for r in ladder.rungs if r.id not in shut and tried.count(r.id) < r.repeats]


def _next_calls(ladder: Ladder, at: Standing, plan: LadderPlan) -> list[CloseCall]:
    """Close calls for the next rung only: its own chances, the second best's, all together."""
    if not plan.steps:
        return []
    first = plan.steps[0]
    policy, found = solve(ladder, at), list[CloseCall]()
    for rung in dict.fromkeys((first.rung, first.runner_up, None)):
        for factor in (1.0 - CHANGE, 1.0 + CHANGE):
            truth = with_chances_scaled(ladder, factor, rung)
            other = solve(truth, at)
            instead = other.next_rung(at)
            if instead != first.rung:
                loss = outlook_of_policy(policy, truth).mean - other.cost_from(at)
                found.append(CloseCall(rung or "all", factor, 0, instead, max(loss, 0.0)))
    return found


def value_of(inputs: Inputs) -> float:
    """Mean cost of a fresh ladder [money]; infinite where no method can be used."""
    try:
        return planned(inputs, ()).outlook.mean
    except CasewrightError:
        return inputs.abandon.cost


def standing_of(
    family_rungs: Mapping[str, int], tried: tuple[str, ...], preparations: frozenset[str]
) -> tuple[tuple[str, ...], dict[str, int]]:
    """What was tried as the solver takes it, and repeats beyond what the family expects.

    A preparation done again adds nothing to the model and is left out; rungs that the family
    doesn't have are, too.
    """
    kept: list[str] = []
    for rung in tried:
        if rung in family_rungs and not (rung in preparations and rung in kept):
            kept.append(rung)
    more = {rung: kept.count(rung) for rung in kept if kept.count(rung) > family_rungs[rung]}
    return tuple(kept), more
