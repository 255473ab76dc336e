"""The planned ladder as a person reads it: its rungs in order, odds, cost, risks, and reasons.

The policy answers every state; what is shown is the way through it while nothing releases and
nothing is harmed, with a note where harm on the way would change the next rung.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.reasoning.ladder import ATTEMPT, Bar, Ladder, Rung, Standing, barred
from casewright.reasoning.ladder_explain import Reason, reasons_for
from casewright.reasoning.ladder_outlook import Outlook, outlook_of_policy
from casewright.reasoning.ladder_policy import Policy, solve
from casewright.working import Term, Working


@dataclass(frozen=True, slots=True)
class Risk:
    """A piece that a rung puts at risk: chance [-] per try, and cost [money] on this job."""

    piece: str
    name: str
    chance: float
    cost: float


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One rung of the planned ladder.

    `chance` now and `cumulative` by then [-]; `reached` chance that it comes to this rung [-];
    `expected_cost` of this rung alone and `cost_from_here` of all that may follow [money];
    `runner_up` the second best next rung and `runner_up_extra` what it would cost more [money];
    `if_harmed` piece to the next rung (None: stop) where harm here changes what comes next.
    """

    rung: str
    name: str
    kind: str
    chance: float
    cumulative: float
    reached: float
    expected_cost: float
    cost_from_here: float
    minutes: float
    wait: float
    tool: str
    risks: tuple[Risk, ...]
    cautions: tuple[str, ...]
    reasons: tuple[Reason, ...]
    runner_up: str | None
    runner_up_extra: float
    if_harmed: tuple[tuple[str, str | None], ...]


@dataclass(frozen=True, slots=True)
class LadderPlan:
    """The planned ladder from a standing.

    `steps` in order, then stop at the cost `last_cost` [money]; `left_out` rungs that could be
    used but are not worth it, with what one try would cost more than the plan [money]; `bars` rungs
    that can't be used and why; `belief` chance of each grade now [-].
    """

    steps: tuple[PlanStep, ...]
    outlook: Outlook
    last_cost: float
    left_out: tuple[tuple[str, float], ...]
    bars: tuple[Bar, ...]
    belief: dict[str, float]
    working: Working

    @property
    def order(self) -> tuple[str, ...]:
        """The rung ids in order."""
        return tuple(step.rung for step in self.steps)


def plan_ladder(ladder: Ladder, standing: Standing | None = None) -> LadderPlan:
    """The ladder in order from where the work stands, with odds, cost, risks and reasons.

    Args:
        ladder: the stuck joint [-].
        standing: rungs done and pieces harmed so far; none means fresh [-].
    Returns:
        the plan [-] with money, minutes and chances.
    Valid: as `solve`; the order shown is the way while nothing releases and nothing is harmed.
    Raises: as `solve`.
    Source: BELLMAN1957 the policy; own choice of what is shown.
    """
    policy = solve(ladder, standing)
    steps = _steps(policy)
    return _assembled(policy, steps)


def _steps(policy: Policy) -> tuple[PlanStep, ...]:
    """Walk the policy while nothing releases and nothing is harmed."""
    at, reached, steps = policy.standing, 1.0, list[PlanStep]()
    while (name := policy.next_rung(at)) is not None:
        step = _step(policy, at, name, reached)
        steps.append(step)
        reached *= _stuck(policy, at, name)
        at = at.then(name)
    return tuple(steps)


def _stuck(policy: Policy, at: Standing, name: str) -> float:
    """Chance that a rung leaves the joint stuck and whole."""
    place = policy.space.place[name]
    return float(policy.steps[place].stuck[policy.space.index_of(at.tried)])


def chance_now(policy: Policy, at: Standing, name: str) -> float:
    """Chance that a rung releases the joint if it is done next.

    Args:
        policy: a solved ladder [-].
        at: where the work stands [-].
        name: rung id [-].
    Returns:
        the chance [-]; 0 for a preparation.
    Valid: rungs that are not barred.
    Raises: RangeError for a rung that is barred or unknown.
    Source: BELLMAN1957 belief by Bayes' rule from what was tried.
    """
    if name not in policy.space.place:
        raise RangeError("rung", name, "a rung that can be used")
    rung = policy.ladder.rung(name)
    if rung.kind != ATTEMPT:
        return 0.0
    return max(1.0 - rung.breaks - _stuck(policy, at, name), 0.0)


def _step(policy: Policy, at: Standing, name: str, reached: float) -> PlanStep:
    """One rung of the plan with everything a person wants to know about it."""
    ladder, rung = policy.ladder, policy.ladder.rung(name)
    chance = chance_now(policy, at, name)
    risks = _risks(ladder, rung, at)
    others = {k: v for k, v in policy.cost_by_rung(at).items() if k != name}
    runner_up = min(others, key=others.__getitem__, default=None)
    here = policy.cost_from(at)
    return PlanStep(
        rung=name, name=rung.name, kind=rung.kind, chance=chance,
        cumulative=1.0 - reached * (1.0 - chance), reached=reached,
        expected_cost=_spent(ladder, rung, at) + sum(risk.chance * risk.cost for risk in risks),
        cost_from_here=here, minutes=rung.minutes, wait=rung.wait, tool=rung.tool, risks=risks,
        cautions=cautions_for(ladder, rung, at), reasons=reasons_for(policy, at, name, chance),
        runner_up=runner_up, runner_up_extra=others[runner_up] - here if runner_up else 0.0,
        if_harmed=_turns(policy, at, rung),
    )  # fmt: skip


def _risks(ladder: Ladder, rung: Rung, at: Standing) -> tuple[Risk, ...]:
    """Pieces that the rung may harm and that are still worth something."""
    return tuple(
        Risk(piece.id, piece.name, rung.harm[piece.id], piece.at_stake)
        for piece in ladder.pieces
        if rung.harm.get(piece.id, 0.0) > 0 and piece.at_stake > 0 and piece.id not in at.harmed
    )


def _spent(ladder: Ladder, rung: Rung, at: Standing) -> float:
    """Time, money, hire and expected break of one try [money]."""
    worth = ladder.worth
    hire = (rung.hire or 0.0) if not rung.owned and rung.id not in at.tried else 0.0
    time = rung.minutes * worth.minute + rung.wait * worth.waiting_minute
    return time + rung.money + hire + rung.breaks * rung.break_cost


def cautions_for(ladder: Ladder, rung: Rung, at: Standing) -> tuple[str, ...]:
    """A rung's own cautions, and those that follow from what was done before it.

    Args:
        ladder: the stuck joint with its pair cautions [-].
        rung: the rung that comes next [-].
        at: where the work stands, with the rungs done [-].
    Returns:
        sentences [-], those of pairs first.
    Valid: pairs are known by the marks of rungs.
    Raises: nothing.
    Source: own: what single rungs can't see.
    """
    before = {mark for name in at.tried for mark in ladder.rung(name).marks}
    pairs = tuple(
        pair.words
        for pair in ladder.pair_cautions
        if pair.first in before and pair.second in rung.marks
    )
    return pairs + rung.cautions


def _turns(policy: Policy, at: Standing, rung: Rung) -> tuple[tuple[str, str | None], ...]:
    """Pieces whose harm by this rung changes what comes next, with that next rung."""
    usual = policy.next_rung(at.then(rung.id))
    turns = []
    for risk in _risks(policy.ladder, rung, at):
        then = policy.next_rung(at.then(rung.id, [risk.piece]))
        if then != usual and risk.chance < 1.0:
            turns.append((risk.piece, then))
    return tuple(turns)


def _assembled(policy: Policy, steps: tuple[PlanStep, ...]) -> LadderPlan:
    """The plan with its outlook, what is left out and the working."""
    ladder, at = policy.ladder, policy.standing
    used, here = {step.rung for step in steps}, policy.cost_from(at)
    extra = {k: v - here for k, v in policy.cost_by_rung(at).items() if k not in used}
    outlook = outlook_of_policy(policy)
    end = at
    for step in steps:
        end = end.then(step.rung)
    belief = policy.space.belief[policy.space.index_of(at.tried)]
    return LadderPlan(
        steps=steps, outlook=outlook, last_cost=policy.cost_from(end),
        left_out=tuple(sorted(extra.items(), key=lambda item: item[1])), bars=barred(ladder),
        belief=dict(zip(ladder.grades, belief.tolist(), strict=True)),
        working=_working(policy, outlook),
    )  # fmt: skip


def _working(policy: Policy, outlook: Outlook) -> Working:
    """How the plan came about."""
    ladder = policy.ladder
    return Working(
        method="policy of least expected cost, exact dynamic programming over what was done",
        formula="V = min(abandon, min over rungs of cost + harm + break + stuck · V after)",
        inputs=(
            Term("a minute of work", ladder.worth.minute, "money/min"),
            Term("a minute of waiting", ladder.worth.waiting_minute, "money/min"),
            Term("cost of stopping", ladder.abandon.cost, "money"),
            *(Term(f"losing {piece.name}", piece.at_stake, "money") for piece in ladder.pieces),
        ),
        outputs=(
            Term("mean cost", outlook.mean, "money"),
            Term("one in ten dearer than", outlook.one_in_ten, "money"),
            Term("mean time", outlook.minutes, "min"),
            Term("chance to free it", outlook.released),
        ),
        source="Mitten 1960 (special case); Bellman 1957",
        steps=(Term("states searched", float(policy.value.size)),),
        notes=("chances are the sheet's or the shop's, not measured on this joint",),
        estimate=True,
    )
