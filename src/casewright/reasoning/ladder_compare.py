"""A ladder beside others: other orders, a piece saved or given up, chances that are wrong."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from casewright.errors import RangeError
from casewright.reasoning.ladder import ATTEMPT, Ladder, Rung, Standing, barred
from casewright.reasoning.ladder_outlook import Outlook, outlook_of_order, outlook_of_policy
from casewright.reasoning.ladder_policy import Policy, solve
from casewright.reasoning.ladder_ratio import expert_order, gentle_order


@dataclass(frozen=True, slots=True)
class CloseCall:
    """A change of chances that changes the order: at `place`, `instead` would stand there.

    `factor` was applied to the chances of `rung` ("all" for every rung). `loss` is what keeping to
    the present plan would then cost more [money]: small means that the choice hardly matters.
    """

    rung: str
    factor: float
    place: int
    instead: str | None
    loss: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """The plan beside the usual gentle-to-rough order and beside the ratio rule."""

    planned: Outlook
    gentle: Outlook
    gentle_order: tuple[str, ...]
    expert: Outlook
    expert_order: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Saving:
    """What it costs to save a piece: barring what harms it too often, against giving it up.

    `minutes` and `waiting` more [min], `money` more without the piece's own worth [money], chance
    that the piece survives either way [-]. `possible` is False where nothing spares it.
    """

    piece: str
    possible: bool
    minutes: float
    waiting: float
    money: float
    saved_if_protected: float
    saved_if_given_up: float


def compare_orders(ladder: Ladder, standing: Standing | None = None) -> Comparison:
    """The plan beside gentle-to-rough and beside the ratio rule, on this job.

    Args:
        ladder: the stuck joint [-].
        standing: where the work stands; what is done already is skipped; none means fresh [-].
    Returns:
        the outlooks [-] with money and minutes.
    Valid: as `solve`.
    Raises: as `solve`.
    Source: MITTEN1960 cost of an order; common practice for gentle to rough.
    """
    start = standing or Standing()
    planned = outlook_of_policy(solve(ladder, start))
    gentle = _remaining(gentle_order(ladder), start)
    expert = _remaining(expert_order(ladder), start)
    return Comparison(
        planned, outlook_of_order(ladder, gentle, start), gentle,
        outlook_of_order(ladder, expert, start), expert,
    )  # fmt: skip


def _remaining(order: tuple[str, ...], standing: Standing) -> tuple[str, ...]:
    """An order without the tries that are done."""
    left = list(order)
    for name in standing.tried:
        if name in left:
            left.remove(name)
    return tuple(left)


def price_of_saving(
    ladder: Ladder, piece: str, standing: Standing | None = None, limit: float = 0.5
) -> Saving:
    """What it costs to save a piece: the plan without what harms it often, against giving it up.

    Args:
        ladder: the stuck joint [-].
        piece: id of the piece [-].
        standing: where the work stands; none means fresh [-].
        limit: methods that harm the piece with a higher chance per try are barred [-].
    Returns:
        minutes [min] and money [money] more, and the chance [-] that it survives.
    Valid: the difference of two plans, each pricing the other pieces; the piece's own worth is in
        neither, so the first plan spares it only by the limit.
    Raises: RangeError for an unknown piece; FormErrors for mistakes of the ladder.
    Source: own: difference of two policies.
    """
    if piece not in {one.id for one in ladder.pieces}:
        raise RangeError("piece", piece, f"one of {[one.id for one in ladder.pieces]}")
    given_up = outlook_of_policy(solve(ladder.with_piece(piece, condemned=True), standing))
    shut = ladder.with_piece(piece, condemned=True, harm_limit=limit)
    bars = {bar.rung for bar in barred(shut)}
    if not any(rung.kind == ATTEMPT and rung.id not in bars for rung in ladder.rungs):
        lost = given_up.harmed.get(piece, 0.0)
        return Saving(piece, False, 0.0, 0.0, 0.0, 0.0, 1.0 - lost)
    kept = outlook_of_policy(solve(shut, standing))
    return Saving(
        piece, True, kept.minutes - given_up.minutes, kept.waiting - given_up.waiting,
        kept.mean - given_up.mean, 1.0 - kept.harmed.get(piece, 0.0),
        1.0 - given_up.harmed.get(piece, 0.0),
    )  # fmt: skip


def with_chances_scaled(ladder: Ladder, factor: float, rung_id: str | None = None) -> Ladder:
    """The ladder with the chances of one rung, or of all, taken as wrong by a factor.

    Args:
        ladder: the stuck joint [-].
        factor: on the release chance of an attempt, on the share that a preparation takes off [-].
        rung_id: which rung; none means all [-].
    Returns:
        the changed ladder [-].
    Valid: chances are cut off where release and break would pass 1.
    Raises: nothing.
    Source: own: definition of a close call.
    """

    def scaled(rung: Rung) -> Rung:
        if rung_id not in (None, rung.id):
            return rung
        chances = tuple(min(p * factor, 1.0 - rung.breaks) for p in rung.chances)
        eases = {
            to: tuple(float(np.clip(1.0 - (1.0 - s) * factor, 0.0, 1.0)) for s in shares)
            for to, shares in rung.eases.items()
        }
        return replace(rung, chances=chances, eases=eases)

    return replace(ladder, rungs=tuple(scaled(rung) for rung in ladder.rungs))


def close_calls(
    ladder: Ladder, standing: Standing | None = None, change: float = 0.30
) -> tuple[CloseCall, ...]:
    """Where chances that are wrong by 30 % would change the order, and what that would matter.

    Args:
        ladder: the stuck joint [-].
        standing: where the work stands; none means fresh [-].
        change: how wrong the chances may be, relative [-].
    Returns:
        close calls [-], earliest place first; `loss` is in money.
    Valid: each rung alone, and all together, up and down; solves the ladder twice per rung.
    Raises: as `solve`.
    Source: own: definition of a close call.
    """
    policy = solve(ladder, standing)
    order, found = _order(policy), list[CloseCall]()
    for rung_id in (
        None,
        *(rung.id for rung in policy.space.rungs if rung.id not in policy.space.shut),
    ):
        for factor in (1.0 - change, 1.0 + change):
            truth = with_chances_scaled(ladder, factor, rung_id)
            other = solve(truth, standing)
            new = _order(other)
            if new == order:
                continue
            place = next(k for k in range(len(order) + len(new)) if order[k:][:1] != new[k:][:1])
            instead = new[place] if place < len(new) else None
            loss = outlook_of_policy(policy, truth).mean - other.cost_from(other.standing)
            found.append(CloseCall(rung_id or "all", factor, place, instead, max(loss, 0.0)))
    return tuple(sorted(found, key=lambda call: (call.place, -call.loss)))


def _order(policy: Policy) -> tuple[str, ...]:
    """The order that a policy shows: the way while nothing releases and nothing is harmed."""
    at, names = policy.standing, list[str]()
    while (name := policy.next_rung(at)) is not None:
        names.append(name)
        at = at.then(name)
    return tuple(names)
