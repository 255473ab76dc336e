"""What a ladder will cost when a policy or a fixed order is followed: the exact distribution.

Money spent on the way depends only on what was tried and what was harmed, so the chance of each
total is found by carrying the joint chance of (tried, harmed, grade) forward, one rung at a time.
That is also an independent check of the dynamic programme: its mean must be the policy's value.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.reasoning.ladder import PREPARATION, Ladder, Rung, Standing, check_ladder
from casewright.reasoning.ladder_policy import Policy
from casewright.reasoning.ladder_space import Floats

Chooser = Callable[[Standing], str | None]
NEGLIGIBLE = 1e-15


@dataclass(frozen=True, slots=True)
class Outlook:
    """Cost of following a policy or order from a standing, over all that may happen.

    `mean` and `one_in_ten` (one job in ten is dearer) in money; `minutes` and `waiting` mean [min];
    `released`, `abandoned`, `broken` chances that add to 1; `harmed` chance by piece, harmed before
    not counted; `costs`, `chances` the whole distribution, costs ascending.
    """

    mean: float
    one_in_ten: float
    minutes: float
    waiting: float
    released: float
    abandoned: float
    broken: float
    harmed: dict[str, float]
    costs: tuple[float, ...]
    chances: tuple[float, ...]

    def dearer_than(self, share: float) -> float:
        """The total that only this share of jobs goes above [money]."""
        kept = np.cumsum(self.chances)
        at = int(np.searchsorted(kept, 1.0 - share - 1e-12))
        return self.costs[min(at, len(self.costs) - 1)]


@dataclass(slots=True)
class _Path:
    """One (tried, harmed) on the way: joint chance with each grade, and spent so far."""

    standing: Standing
    mass: Floats
    money: float
    minutes: float
    waiting: float


class _Ends:
    """Collects where paths end."""

    def __init__(self) -> None:
        self.cost: dict[float, float] = {}
        self.minutes = self.waiting = 0.0
        self.ways = {"released": 0.0, "abandoned": 0.0, "broken": 0.0}
        self.harmed: dict[str, float] = {}

    def add(self, way: str, chance: float, money: float, path: _Path, new: frozenset[str]) -> None:
        """One end with its chance."""
        if chance <= 0.0:
            return
        key = round(money, 9)
        self.cost[key] = self.cost.get(key, 0.0) + chance
        self.minutes += chance * path.minutes
        self.waiting += chance * path.waiting
        self.ways[way] += chance
        for piece in new:
            self.harmed[piece] = self.harmed.get(piece, 0.0) + chance

    def outlook(self) -> Outlook:
        """The outlook of all ends."""
        costs = sorted(self.cost)
        chances = [self.cost[cost] for cost in costs]
        mean = float(np.dot(costs, chances))
        found = Outlook(
            mean, 0.0, self.minutes, self.waiting, **self.ways, harmed=dict(self.harmed),
            costs=tuple(costs), chances=tuple(chances),
        )  # fmt: skip
        object.__setattr__(found, "one_in_ten", found.dearer_than(0.10))
        return found


def follow(ladder: Ladder, choose: Chooser, standing: Standing | None = None) -> Outlook:
    """Exact distribution of the cost when each next rung is taken from a rule.

    Args:
        ladder: the stuck joint as it truly is [-].
        choose: rule that names the next rung from a standing, None to abandon [-].
        standing: where the work stands; costs so far are not counted; none means fresh [-].
    Returns:
        the outlook [-] with money, minutes and chances.
    Valid: any checked ladder; work grows with the standings that the rule can reach.
    Raises: FormErrors for mistakes of the ladder; InfeasibleError where no attempt can be used.
    Source: own: total probability over grades, release, break and harm.
    """
    start = standing or Standing()
    check_ladder(ladder, start)
    ends = _Ends()
    first = np.array(_joint_belief(ladder, start))
    layer = {start: _Path(start, first, 0.0, 0.0, 0.0)}
    while layer:
        following: dict[Standing, _Path] = {}
        for path in layer.values():
            name = choose(path.standing)
            if name is None:
                _abandon(ladder, path, start, ends)
            else:
                _try(ladder, ladder.rung(name), path, start, ends, following)
        layer = following
    return ends.outlook()


def _abandon(ladder: Ladder, path: _Path, start: Standing, ends: _Ends) -> None:
    """End a path by stopping."""
    stake = {piece.id: piece.at_stake for piece in ladder.pieces}
    lost = frozenset(ladder.abandon.loses) - path.standing.harmed
    money = path.money + ladder.abandon.cost + sum(stake[piece] for piece in lost)
    new = (path.standing.harmed | lost) - start.harmed
    ends.add("abandoned", float(path.mass.sum()), money, path, new)


def _try(
    ladder: Ladder,
    rung: Rung,
    path: _Path,
    start: Standing,
    ends: _Ends,
    following: dict[Standing, _Path],
) -> None:
    """Spend one rung: part of the mass ends, the rest goes on, split by what was harmed."""
    worth = ladder.worth
    hire = (rung.hire or 0.0) if not rung.owned and rung.id not in path.standing.tried else 0.0
    spent = rung.minutes * worth.minute + rung.wait * worth.waiting_minute + rung.money + hire
    stuck = path.mass * _stuck(ladder, rung, path.standing.tried)
    broken = float(path.mass.sum()) * rung.breaks
    released = float(path.mass.sum() - stuck.sum()) - broken
    for chance, new in _harm_outcomes(ladder, rung, path.standing.harmed):
        cost = sum(piece.at_stake for piece in ladder.pieces if piece.id in new)
        after = _Path(
            path.standing.then(rung.id, new),
            stuck * chance,
            path.money + spent + cost,
            path.minutes + rung.minutes,
            path.waiting + rung.wait,
        )
        harmed = after.standing.harmed - start.harmed
        ends.add("released", released * chance, after.money, after, harmed)
        ends.add("broken", broken * chance, after.money + rung.break_cost, after, harmed)
        if float(after.mass.sum()) > NEGLIGIBLE:
            _merge(following, after)


def _merge(following: dict[Standing, _Path], path: _Path) -> None:
    """Add a path to the next layer; equal standings from one start have spent the same."""
    known = following.get(path.standing)
    if known is None:
        following[path.standing] = path
    else:
        known.mass = known.mass + path.mass


def _harm_outcomes(
    ladder: Ladder, rung: Rung, harmed: frozenset[str]
) -> list[tuple[float, frozenset[str]]]:
    """Each set of pieces newly harmed by one try, with its chance."""
    outcomes = [(1.0, frozenset[str]())]
    for piece in ladder.pieces:
        chance = rung.harm.get(piece.id, 0.0)
        if chance > 0.0 and piece.id not in harmed:
            outcomes = [
                both
                for p, new in outcomes
                for both in ((p * (1 - chance), new), (p * chance, new | {piece.id}))
                if both[0] > 0.0
            ]
    return outcomes


def _stuck(ladder: Ladder, rung: Rung, tried: tuple[str, ...]) -> Floats:
    """Chance to stay stuck and whole by grade, with the preparations done."""
    if rung.kind == PREPARATION:
        return np.ones(len(ladder.grades))
    stuck = np.maximum(1.0 - rung.breaks - np.array(rung.chances), 0.0)
    for one in ladder.rungs:
        if one.id in tried and rung.id in one.eases:
            stuck = stuck * np.array(one.eases[rung.id])
    return stuck


def _joint_belief(ladder: Ladder, standing: Standing) -> Floats:
    """Chance of each grade after what was tried in its order failed."""
    mass = np.array(ladder.prior)
    for k, rung_id in enumerate(standing.tried):
        mass = mass * _stuck(ladder, ladder.rung(rung_id), standing.tried[:k])
    total = mass.sum()
    return mass / total if total > 0 else np.array(ladder.prior)


def outlook_of_policy(policy: Policy, truth: Ladder | None = None) -> Outlook:
    """Exact outlook of a policy from its standing, under its own chances or under others.

    Args:
        policy: a solved ladder [-].
        truth: the ladder as it truly is, if its chances differ; same rungs and pieces [-].
    Returns:
        the outlook [-]; without `truth` its mean is the policy's value [money].
    Valid: as `follow`.
    Raises: as `follow`.
    Source: own: total probability.
    """
    return follow(truth or policy.ladder, policy.next_rung, policy.standing)


def outlook_of_order(
    ladder: Ladder, order: tuple[str, ...], standing: Standing | None = None
) -> Outlook:
    """Exact outlook of a fixed order of rungs, then abandon.

    Args:
        ladder: the stuck joint [-].
        order: rung ids in the order to follow; a rung may stand in it several times [-].
        standing: where the work stands; `order` is what follows; none means fresh [-].
    Returns:
        the outlook [-] with money, minutes and chances.
    Valid: as `follow`; nothing is barred here, since an order is what somebody would do.
    Raises: RangeError for an unknown rung; as `follow`.
    Source: MITTEN1960 expected cost of an order of attempts.
    """
    start = standing or Standing()
    for name in order:
        if name not in {rung.id for rung in ladder.rungs}:
            raise RangeError("order", name, "a rung of the ladder")

    def choose(at: Standing) -> str | None:
        taken = len(at.tried) - len(start.tried)
        return order[taken] if taken < len(order) else None

    return follow(ladder, choose, start)
