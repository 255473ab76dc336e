"""Simple orders to compare a planned ladder with: gentle to rough, and the ratio rule.

The ratio rule is the best order in a special case: independent attempts, one grade, no
preparations. Attempt i with cost c, release p, ruin r at loss L is ranked by (c + r L)/(p + r),
and is worth trying at all only while that is below the cost of the last resort.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.reasoning.ladder import (
    ATTEMPT,
    PREPARATION,
    Abandon,
    Ladder,
    Rung,
    Standing,
    Worth,
    barred,
)
from casewright.reasoning.ladder_policy import solve


@dataclass(frozen=True, slots=True)
class Order:
    """An order of attempts, its expected cost [money] and each one's ratio in that order."""

    order: tuple[str, ...]
    cost: float
    ratios: tuple[float, ...]


def cost_of_order(
    costs: list[float], chances: list[float], ruins: list[float], losses: list[float],
    last_resort: float,
) -> float:  # fmt: skip
    """Expected cost of independent attempts in the given order: Σ Π s (c + r L) + K Π s.

    Args:
        costs: cost of each attempt [money], shape (n,).
        chances: chance p that it releases [-], shape (n,).
        ruins: chance r that it ruins the thing and ends the work [-], shape (n,).
        losses: loss L on ruin [money], shape (n,).
        last_resort: cost K when all have failed [money].
    Returns:
        expected cost [money].
    Valid: attempts that don't change each other's chances; s = 1 − p − r.
    Raises: nothing.
    Source: MITTEN1960 expected cost of an order.
    Example:
        >>> cost_of_order([10.0], [0.5], [0.0], [0.0], 100.0)
        60.0
    """
    total, reach = 0.0, 1.0
    for cost, chance, ruin, loss in zip(costs, chances, ruins, losses, strict=True):
        total += reach * (cost + ruin * loss)
        reach *= 1.0 - chance - ruin
    return total + reach * last_resort


def ratio_order(
    names: list[str], costs: list[float], chances: list[float], last_resort: float,
    ruins: list[float] | None = None, losses: list[float] | None = None,
) -> Order:  # fmt: skip
    """Independent attempts ranked by (c + r L)/(p + r), ascending.

    Args:
        names: name of each attempt [-], shape (n,).
        costs: cost c of each attempt [money], shape (n,).
        chances: chance p that it releases [-], shape (n,).
        last_resort: cost K when all have failed [money].
        ruins: chance r that it ruins the thing and ends the work [-], shape (n,); none means 0.
        losses: loss L on ruin [money], shape (n,); none means 0.
    Returns:
        all attempts in order, with expected cost [money] and ratios [money].
    Valid: attempts that don't change each other's chances. All are kept in the order, also those
        with a ratio above `last_resort`, which are not worth trying.
    Raises: RangeError where an attempt can neither release nor ruin.
    Source: MITTEN1960 the ratio rule; extended to ruin by the same exchange of neighbours.
    """
    r, loss = ruins or [0.0] * len(names), losses or [0.0] * len(names)
    for name, chance, ruin in zip(names, chances, r, strict=True):
        if chance + ruin <= 0.0:
            raise RangeError(f"chances.{name}", chance, "a chance above 0")
    ratio = [(costs[i] + r[i] * loss[i]) / (chances[i] + r[i]) for i in range(len(names))]
    by = sorted(range(len(names)), key=ratio.__getitem__)
    cost = cost_of_order(
        [costs[i] for i in by], [chances[i] for i in by], [r[i] for i in by],
        [loss[i] for i in by], last_resort,
    )  # fmt: skip
    return Order(tuple(names[i] for i in by), cost, tuple(ratio[i] for i in by))


def planned_order(
    names: list[str], costs: list[float], chances: list[float], last_resort: float,
    ruins: list[float] | None = None, losses: list[float] | None = None,
) -> Order:  # fmt: skip
    """Independent attempts planned by the exact policy instead of the ratio rule.

    Args:
        names: name of each attempt [-], shape (n,).
        costs: cost c of each attempt [money], shape (n,).
        chances: chance p that it releases [-], shape (n,).
        last_resort: cost K of abandoning [money].
        ruins: chance r that it ends the work in ruin [-], shape (n,); none means 0.
        losses: loss L on ruin [money], shape (n,); none means 0.
    Returns:
        the attempts worth trying in order, with expected cost [money] and ratios [money].
    Valid: as `ratio_order`; an attempt dearer than the last resort is left out.
    Raises: FormErrors for chances outside 0 to 1.
    Source: MITTEN1960 the special case in which the policy must be the ratio rule.
    """
    r, loss = ruins or [0.0] * len(names), losses or [0.0] * len(names)
    rungs = tuple(
        Rung(names[i], names[i], ATTEMPT, costs[i], (chances[i],), breaks=r[i], break_cost=loss[i])
        for i in range(len(names))
    )
    policy = solve(Ladder(rungs, (), ("any",), (1.0,), Abandon(last_resort), Worth(1.0)))
    standing, order = Standing(), list[str]()
    while (name := policy.next_rung(standing)) is not None:
        standing, order = standing.then(name), [*order, name]
    ratio = {
        names[i]: (costs[i] + r[i] * loss[i]) / max(chances[i] + r[i], 1e-300)
        for i in range(len(names))
    }
    return Order(tuple(order), policy.cost_from(Standing()), tuple(ratio[name] for name in order))


def gentle_order(ladder: Ladder) -> tuple[str, ...]:
    """The usual order: every rung that can be used, as listed, gentle to rough, with its repeats.

    Args:
        ladder: the stuck joint, rungs listed gentle to rough [-].
    Returns:
        rung ids [-].
    Valid: rungs forbidden by what stands before them, or lacking what they need, are left out.
    Raises: nothing.
    Source: common practice, no source: gentle first, rough last.
    """
    shut, order = {bar.rung for bar in barred(ladder)}, list[str]()
    for rung in ladder.rungs:
        possible = set(rung.after) <= set(order) and not set(rung.not_after) & set(order)
        if rung.id not in shut and possible:
            order += [rung.id] * rung.repeats
    return tuple(order)


def expert_order(ladder: Ladder) -> tuple[str, ...]:
    """The ratio rule as a skilled person would use it, learning from each failure.

    Each time the attempt with the least (cost + expected harm + expected break)/(chance to end) is
    next, alone, with one of the preparations that help it, or with all of them, its chances taken
    under what has failed so far. The order is cut where stopping is cheapest.

    Args:
        ladder: the stuck joint [-].
    Returns:
        rung ids [-].
    Valid: a rule of thumb outside its special case: it looks one attempt ahead and does not
        see what harm changes.
    Raises: nothing.
    Source: MITTEN1960 the ratio rule; own extension to preparations and belief.
    """
    order: list[str] = []
    mass = list(ladder.prior)
    while options := _options(ladder, order):
        for rung in min(options, key=lambda option: _ratio(ladder, option, order, mass)):
            shares = _stuck_shares(ladder, rung, order)
            mass = [m * share for m, share in zip(mass, shares, strict=True)]
            order.append(rung.id)
    means = means_of_order(ladder, tuple(order))
    return tuple(order[: means.index(min(means))])


def _options(ladder: Ladder, done: list[str]) -> list[tuple[Rung, ...]]:
    """Each attempt that may come next: alone, with one helpful preparation, with all of them."""
    shut = {bar.rung for bar in barred(ladder)}
    free = [
        rung
        for rung in ladder.rungs
        if rung.id not in shut
        and done.count(rung.id) < rung.repeats
        and set(rung.after) <= set(done)
        and not set(rung.not_after) & set(done)
    ]
    found: list[tuple[Rung, ...]] = []
    for rung in (one for one in free if one.kind == ATTEMPT):
        helps = [one for one in free if rung.id in one.eases and one.id not in rung.not_after]
        found += [(rung,), *((one, rung) for one in helps)]
        if len(helps) > 1:
            found.append((*helps, rung))
    return found


def means_of_order(ladder: Ladder, order: tuple[str, ...]) -> list[float]:
    """Expected cost of a fixed order from fresh, for stopping after each of its rungs.

    Harm to each piece is independent of the rest, so no branching is needed:
    Σ reach · (spent + break + Σ_j whole_j h_j c_j) + reach · stop.

    Args:
        ladder: the stuck joint [-].
        order: rung ids [-], n of them.
    Returns:
        expected cost [money] when it ends after 0, 1, … n rungs, shape (n + 1,).
    Valid: a checked ladder; the last figure is the mean of `outlook_of_order`.
    Raises: RangeError for an unknown rung.
    Source: MITTEN1960 expected cost of an order.
    """
    whole = {piece.id: 1.0 for piece in ladder.pieces}
    stake = {piece.id: piece.at_stake for piece in ladder.pieces}
    mass, paid, done = list(ladder.prior), 0.0, list[str]()
    means = [_stop(ladder, whole, stake)]
    for name in order:
        rung, reach = ladder.rung(name), sum(mass)
        spent = _cost(ladder, rung, whole)
        if not rung.owned and name in done:
            spent -= rung.hire or 0.0
        paid += reach * spent
        mass = [m * s for m, s in zip(mass, _stuck_shares(ladder, rung, done), strict=True)]
        for piece, chance in rung.harm.items():
            whole[piece] *= 1.0 - chance
        done.append(name)
        means.append(paid + sum(mass) * _stop(ladder, whole, stake))
    return means


def _stop(ladder: Ladder, whole: dict[str, float], stake: dict[str, float]) -> float:
    """Cost of abandoning when each piece is still whole with its chance [money]."""
    return ladder.abandon.cost + sum(whole[one] * stake[one] for one in ladder.abandon.loses)


def _stuck_shares(ladder: Ladder, rung: Rung, done: list[str]) -> list[float]:
    """Chance by grade that a rung leaves the joint stuck, after the preparations done."""
    if rung.kind == PREPARATION:
        return [1.0] * len(ladder.grades)
    left = [max(1.0 - rung.breaks - chance, 0.0) for chance in rung.chances]
    for one in ladder.rungs:
        if one.id in done and rung.id in one.eases:
            shares = one.eases[rung.id]
            left = [x * shares[g if len(shares) > 1 else 0] for g, x in enumerate(left)]
    return left


def _ratio(ladder: Ladder, option: tuple[Rung, ...], done: list[str], mass: list[float]) -> float:
    """(cost + harm + break)/(chance to end) of an attempt with its preparations."""
    fresh = {piece.id: 1.0 for piece in ladder.pieces}
    left = _stuck_shares(ladder, option[-1], done + [one.id for one in option[:-1]])
    stuck = sum(m * share for m, share in zip(mass, left, strict=True)) / max(sum(mass), 1e-300)
    cost = sum(_cost(ladder, one, fresh) for one in option)
    return cost / max(1.0 - stuck, 1e-300)


def _cost(ladder: Ladder, rung: Rung, whole: dict[str, float]) -> float:
    """Time, money, hire and expected harm and break of one try [money]."""
    worth = ladder.worth
    harm = sum(
        rung.harm.get(piece.id, 0.0) * piece.at_stake * whole[piece.id] for piece in ladder.pieces
    )
    hire = 0.0 if rung.owned else (rung.hire or 0.0)
    spent = rung.minutes * worth.minute + rung.wait * worth.waiting_minute + rung.money + hire
    return spent + harm + rung.breaks * rung.break_cost
