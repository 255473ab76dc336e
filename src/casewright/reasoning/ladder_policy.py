"""The policy of least expected cost on a stuck joint, by exact dynamic programming.

    V(D, H) = min( abandon(H),
                   min over rungs r of  cost(r, D) + harm cost(r, H) + b_r B_r
                                        + s_r(D) Σ_H' T_r(H, H') V(D + r, H') )

D is what was done, H the pieces harmed, s_r the chance to stay stuck under the belief that D
gives, b_r and B_r chance and cost of breaking the joint into another one, T_r the chances of harm.
Harm is independent of the grade and of the release, so H says nothing about the grade.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from casewright.reasoning.ladder import Ladder, Rung, Standing, check_ladder
from casewright.reasoning.ladder_space import Floats, Integers, Space

TIE = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Policy:
    """The least expected cost in every state: `value` [money], (states, harm sets).

    The best next rung is read off by looking one rung ahead. `at_risk` are the pieces with
    something at stake; bit k of a harm set is `at_risk[k]`; `stop` [money] by harm set.
    """

    ladder: Ladder
    standing: Standing
    space: Space
    at_risk: tuple[str, ...]
    value: Floats
    stop: Floats
    steps: tuple[Step, ...]
    _known: dict[Standing, str | None] = field(default_factory=dict, repr=False)

    def harm_bits(self, harmed: frozenset[str]) -> int:
        """The harm set of these pieces as bits; pieces with nothing at stake don't count."""
        return sum(1 << k for k, piece in enumerate(self.at_risk) if piece in harmed)

    def next_rung(self, standing: Standing) -> str | None:
        """The best next rung from a standing, or None to abandon; ties keep the listed order."""
        if standing not in self._known:
            self._known[standing] = self._best(standing)
        return self._known[standing]

    def _best(self, standing: Standing) -> str | None:
        """The best next rung, by looking one rung ahead."""
        costs = self.cost_by_rung(standing)
        least = min(costs.values(), default=np.inf)
        stop = float(self.stop[self.harm_bits(standing.harmed)])
        near = TIE * (1.0 + abs(stop))
        if least >= stop - near:
            return None
        return next(name for name, cost in costs.items() if cost <= least + near)

    def cost_from(self, standing: Standing) -> float:
        """Expected cost still to come from a standing [money]."""
        state = self.space.index_of(standing.tried)
        return float(self.value[state, self.harm_bits(standing.harmed)])

    def cost_by_rung(self, standing: Standing) -> dict[str, float]:
        """Expected cost of doing each possible rung next and the best from there on [money]."""
        state, harm = self.space.index_of(standing.tried), self.harm_bits(standing.harmed)
        row = np.array([state])
        found = {}
        for step in self.steps:
            if step.successor[state] >= 0:
                found[step.rung.id] = float(step.cost(row, self.value)[0, harm])
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One rung as arrays: successor and chances by state, harm by harm set."""

    rung: Rung
    successor: Integers
    stuck: Floats
    first: npt.NDArray[np.bool_]
    spent: float
    hire: float
    harm_cost: Floats
    harm_step: Floats | None

    @classmethod
    def of(cls, space: Space, at_risk: tuple[str, ...], i: int) -> Step:
        """The arrays of rung `i`."""
        rung, worth = space.rungs[i], space.ladder.worth
        spent = rung.minutes * worth.minute + rung.wait * worth.waiting_minute + rung.money
        hire = 0.0 if rung.owned else (rung.hire or 0.0)
        harm_cost, harm_step = _harm(space.ladder, at_risk, rung)
        first = space.done[i] == 0
        return cls(
            rung, space.successor(i), space.stuck(i), first, spent, hire, harm_cost, harm_step
        )

    def cost(self, rows: Integers, value: Floats) -> Floats:
        """Expected cost of this rung and the best after it, (rows, harm sets)."""
        onward = value[self.successor[rows]]
        if self.harm_step is not None:
            onward = onward @ self.harm_step.T
        onward *= self.stuck[rows, None]
        onward += self.spent + self.rung.breaks * self.rung.break_cost + self.harm_cost
        if self.hire:
            onward += (self.hire * self.first[rows])[:, None]
        return onward


def _harm(ladder: Ladder, at_risk: tuple[str, ...], rung: Rung) -> tuple[Floats, Floats | None]:
    """Expected cost of new harm by harm set, and the chances of harm; None where there is none."""
    cost = {piece.id: piece.at_stake for piece in ladder.pieces}
    sets = np.arange(2 ** len(at_risk))
    expected = np.zeros(len(sets))
    step = np.eye(1)
    for k, piece in enumerate(at_risk):
        chance = rung.harm.get(piece, 0.0)
        expected += np.where(sets >> k & 1, 0.0, chance * cost[piece])
        step = np.kron(np.array([[1.0 - chance, chance], [0.0, 1.0]]), step)
    return expected, step if any(rung.harm.get(piece, 0.0) for piece in at_risk) else None


def abandon_costs(ladder: Ladder, at_risk: tuple[str, ...]) -> Floats:
    """Cost of abandoning by harm set: the stop itself and whole pieces lost with it.

    Args:
        ladder: the stuck joint [-].
        at_risk: pieces with something at stake, bit k of a harm set is piece k [-].
    Returns:
        cost [money], shape (2**pieces,).
    Valid: any checked ladder.
    Raises: nothing.
    Source: own: a piece already harmed is not paid for twice.
    """
    cost = {piece.id: piece.at_stake for piece in ladder.pieces}
    sets = np.arange(2 ** len(at_risk))
    total = np.full(len(sets), float(ladder.abandon.cost))
    for k, piece in enumerate(at_risk):
        if piece in ladder.abandon.loses:
            total += np.where(sets >> k & 1, 0.0, cost[piece])
    return total


def solve(ladder: Ladder, standing: Standing | None = None) -> Policy:
    """The policy of least expected cost in every state of a stuck joint.

    V(D, H) = min(abandon, min_r [cost + harm + break + stuck · Σ T V(D + r, H')]), exact, backwards
    over the number of rungs done, vectorised over states.

    Args:
        ladder: the stuck joint, rungs listed gentle to rough; ties keep that order [-].
        standing: what was tried and harmed so far; none means fresh [-].
    Returns:
        the policy [-] with expected costs [money].
    Valid: 14 rungs, 3 grades and 5 pieces take about 0.1 s; preparations that ease differently
        by grade, and repeats, multiply the states.
    Raises: FormErrors for mistakes; InfeasibleError where no attempt can be used; RangeError where
        there are more than 3 million states of what was done.
    Source: BELLMAN1957 the recursion, as a stochastic shortest path.
    """
    start = standing or Standing()
    check_ladder(ladder, start)
    space = Space(ladder, start)
    at_risk = tuple(piece.id for piece in ladder.pieces if piece.at_stake > 0)
    stop = abandon_costs(ladder, at_risk)
    value = np.tile(stop, (len(space.codes), 1))
    steps = tuple(Step.of(space, at_risk, i) for i in range(len(space.rungs)))
    done = space.done.sum(axis=0)
    by_layer = np.argsort(done, kind="stable")
    edges = np.searchsorted(done[by_layer], np.arange(done.max() + 2))
    for layer in range(int(done.max()), -1, -1):
        _improve(by_layer[edges[layer] : edges[layer + 1]], steps, value)
    return Policy(ladder, start, space, at_risk, value, stop, steps)


def _improve(rows: Integers, steps: tuple[Step, ...], value: Floats) -> None:
    """Settle the states of one layer, all of whose successors are settled."""
    for step in steps:
        here = rows[step.successor[rows] >= 0]
        if len(here):
            cost = step.cost(here, value)
            value[here] = np.minimum(cost, value[here], out=cost)
