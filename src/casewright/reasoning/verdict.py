"""Use again, rework, read again or replace: the decision of least expected cost, or the proof.

Order of what rules: the sheet's rules (one-time, matched sets, never again), then the ceiling on
the chance of a bad part where somebody can be hurt, then cost. Without costs the reading must
prove conformity (guard band).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum

import numpy as np

from casewright.errors import MissingError, RangeError
from casewright.reasoning.conformity import Conformance, Outcome, Size, chances, conformance
from casewright.working import Term, Working


class Choice(Enum):
    """What to do with a piece, by one feature."""

    USE_AGAIN = "use again"
    REWORK = "rework"
    READ_AGAIN = "read again"
    REPLACE = "replace"


@dataclass(frozen=True, slots=True)
class Consequence:
    """What a wrongly kept feature costs; `highest_chance` caps it where money isn't all."""

    name: str
    cost: float
    highest_chance: float = 1.0


@dataclass(frozen=True, slots=True)
class Rework:
    """A rework on offer: cost with its measuring afterwards, chance that it doesn't hold."""

    key: str
    cost: float
    fails: float = 0.0


@dataclass(frozen=True, slots=True)
class BetterReading:
    """A further reading on offer.

    `shared_uncertainty` is the part that it has in common with the first reading (the same
    instrument's calibration): further readings don't make it smaller.
    """

    name: str
    uncertainty: float
    cost: float
    shared_uncertainty: float = 0.0


@dataclass(frozen=True, slots=True)
class Rules:
    """What the sheet says whatever the reading: reasons in words, empty where it says nothing."""

    one_time: bool = False
    never_again: str = ""
    mate_condemned: str = ""


@dataclass(frozen=True, slots=True)
class Costs:
    """Money of one feature's choices; None as a whole where no costs are given."""

    consequence: Consequence
    replace: float


@dataclass(frozen=True, slots=True)
class Option:
    """One choice with its expected cost; `barred` says why it is not open."""

    choice: Choice
    detail: str
    expected_cost: float | None
    barred: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The decision, its reason, all options, and the chance of being truly out of limit."""

    choice: Choice
    detail: str
    because: str
    outcome: Outcome
    chance_out: float
    options: tuple[Option, ...]
    margin: float | None
    working: Working


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Kept as it is: the chance that it is truly out of limit, and what that costs on average."""

    chance_out: float
    expected_cost: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Question:
    """All that a verdict on one feature is asked with."""

    size: Size
    lower: float | None = None
    upper: float | None = None
    costs: Costs | None = None
    reworks: tuple[Rework, ...] = ()
    readings: tuple[BetterReading, ...] = ()
    rules: Rules = field(default_factory=Rules)
    level: float = 0.95


def decide(question: Question) -> Verdict:
    """The verdict on one feature.

    Args:
        question: size, limits, costs, offers and rules [unit of the feature; money].
    Returns:
        choice, reason, every option with its expected cost, chance of being out of limit [-].
    Valid: normal or t uncertainty; a rework is taken to restore the feature unless it fails.
    Raises: MissingError without limits where no rule decides; RangeError for costs below 0.
    Source: RAIFFA1968 (expected cost, value of sample information); JCGM106 7; ISO14253-1.
    """
    rule = _rule(question.rules)
    if question.lower is None and question.upper is None and rule:
        return _by_rule(question, rule, None)
    found = conformance(
        question.size.value,
        question.size.uncertainty,
        question.lower,
        question.upper,
        question.level,
        question.size.freedom,
    )
    if rule:
        return _by_rule(question, rule, found)
    if question.costs is None:
        return _by_proof(question, found)
    return _by_cost(question, question.costs, found)


def what_if_kept(question: Question) -> WhatIf:
    """What keeping the piece as it is would mean.

    Args:
        question: as for `decide` [unit of the feature; money].
    Returns:
        chance out of limit [-], expected cost [money] where costs are given, and a sentence.
    Valid: as `decide`.
    Raises: MissingError without limits.
    Source: JCGM106 7.2.
    """
    out = _chance_out(question)
    cost = None if question.costs is None else out * question.costs.consequence.cost
    percent = 100 * out
    said = f"kept as it is, the chance that it is truly out of limit is {_percent(percent)} %"
    return WhatIf(out, cost, said)


def _percent(percent: float) -> str:
    """Two digits, three near certainty."""
    if not 0.1 <= percent <= 99.9:
        return "less than 0.1" if percent < 0.1 else "more than 99.9"
    return f"{percent:.1f}" if percent >= 99 else f"{percent:.2g}"


def cost_after_reading(
    question: Question, costs: Costs, reading: BetterReading, fixed: float
) -> float:
    """Expected cost of reading again, then choosing best: cost + E[min(use, fixed)].

    Args:
        question: what is known now [unit of the feature].
        costs: consequence and price [money].
        reading: the further reading [unit of the feature; money].
        fixed: expected cost of the best choice that keeps nothing (rework or replace) [money].
    Returns:
        expected cost [money].
    Valid: normal; a finite number of degrees of freedom is met by widening u to the standard
        deviation of the t distribution (ν > 2), else by 3.
    Raises: RangeError where the shared part is not below the uncertainty known now.
    Source: RAIFFA1968 (preposterior analysis); JCGM106 7.2.2 for the update.
    """
    from scipy.special import ndtri

    now = question.size.uncertainty * _widening(question.size.freedom)
    shared = reading.shared_uncertainty
    if not 0 <= shared < now:
        raise RangeError("shared_uncertainty", shared, f"0 or more and below {now:.3g}")
    own, new = now**2 - shared**2, reading.uncertainty**2
    left = own * new / (own + new)
    spread = math.sqrt(own - left)
    shares = (np.arange(2000) + 0.5) / 2000
    means = question.size.value + spread * ndtri(shares)
    after = math.sqrt(left + shared**2)
    if after == 0:
        low = -math.inf if question.lower is None else question.lower
        high = math.inf if question.upper is None else question.upper
        out = ((means < low) | (means > high)).astype(float)
    else:
        below, above = chances(means, after, question.lower, question.upper)
        out = below + above
    use = np.where(out <= costs.consequence.highest_chance, out * costs.consequence.cost, math.inf)
    return reading.cost + float(np.minimum(use, fixed).mean())


def piece_verdict(verdicts: Sequence[Verdict], replace_cost: float | None) -> Choice:
    """One choice for a piece that has several features.

    Args:
        verdicts: of all its features [-].
        replace_cost: price of the whole piece, once [money]; none where no costs are given.
    Returns:
        replace where any feature says so, or where what keeping costs adds up to more than the
        piece; else read again, rework, use again, in that order of need [-].
    Valid: features judged apart: a new piece mends all of them for one price.
    Raises: MissingError without a feature.
    Source: own.
    """
    if not verdicts:
        raise MissingError("verdicts", "at least one feature")
    chosen = {verdict.choice for verdict in verdicts}
    if Choice.REPLACE in chosen:
        return Choice.REPLACE
    kept = [_cost_of_chosen(verdict) for verdict in verdicts]
    if replace_cost is not None and sum(cost for cost in kept if cost is not None) > replace_cost:
        return Choice.REPLACE
    order = (Choice.READ_AGAIN, Choice.REWORK, Choice.USE_AGAIN)
    return next(choice for choice in order if choice in chosen)


def _cost_of_chosen(verdict: Verdict) -> float | None:
    for option in verdict.options:
        if option.choice is verdict.choice and option.detail == verdict.detail:
            return option.expected_cost
    return None


def _rule(rules: Rules) -> str:
    if rules.one_time:
        return "a one-time part: never used again, whatever it looks like"
    if rules.never_again:
        return rules.never_again
    if rules.mate_condemned:
        return f"a matched set: {rules.mate_condemned} goes, so this goes with it"
    return ""


def _by_rule(question: Question, rule: str, found: Conformance | None) -> Verdict:
    price = None if question.costs is None else question.costs.replace
    option = Option(Choice.REPLACE, "", price)
    outcome = Outcome.NOT_PROVEN if found is None else found.outcome
    out = math.nan if found is None else found.outside
    working = _working(question, out, (option,), "rule of the sheet")
    return Verdict(Choice.REPLACE, "", rule, outcome, out, (option,), None, working)


def _by_proof(question: Question, found: Conformance) -> Verdict:
    """No costs: what the reading proves decides."""
    options = [Option(Choice.USE_AGAIN, "", None), Option(Choice.REPLACE, "", None)]
    options += [Option(Choice.REWORK, item.key, None) for item in question.reworks]
    options += [Option(Choice.READ_AGAIN, item.name, None) for item in question.readings]
    level = f"{question.level:.0%}"
    if found.outcome is Outcome.CONFORMING:
        chosen, because = options[0], f"the reading proves it good at {level}"
    elif found.outcome is Outcome.NON_CONFORMING:
        chosen = next((o for o in options if o.choice is Choice.REWORK), options[1])
        because = f"the reading proves it out of limit at {level}"
    else:
        finer = [item for item in question.readings if item.uncertainty < question.size.uncertainty]
        best = min(finer, key=lambda item: item.uncertainty, default=None)
        chosen = Option(Choice.READ_AGAIN, best.name if best else "a finer instrument", None)
        because = f"the reading proves neither at {level}: too near the limit for its uncertainty"
    working = _working(question, found.outside, options, "proof with a guard band, no costs given")
    return Verdict(
        chosen.choice,
        chosen.detail,
        because,
        found.outcome,
        found.outside,
        tuple(options),
        None,
        working,
    )


def _by_cost(question: Question, costs: Costs, found: Conformance) -> Verdict:
    """The cheapest open option on average."""
    options = _priced(question, costs)
    ranked = sorted(
        (option for option in options if not option.barred),
        key=lambda option: (option.expected_cost or 0.0, option.choice is not Choice.USE_AGAIN),
    )
    chosen = ranked[0]
    margin = None
    if len(ranked) > 1:
        margin = (ranked[1].expected_cost or 0.0) - (chosen.expected_cost or 0.0)
    working = _working(question, _chance_out(question), options, "least expected cost")
    because = "least cost on average"
    barred = next((f"{o.choice.value} is barred, {o.barred}" for o in options if o.barred), "")
    return Verdict(
        chosen.choice,
        chosen.detail,
        f"{because}; {barred}" if barred else because,
        found.outcome,
        _chance_out(question),
        tuple(options),
        margin,
        working,
    )


def _priced(question: Question, costs: Costs) -> list[Option]:
    consequence = costs.consequence
    if min(consequence.cost, costs.replace, *(r.cost for r in question.reworks), 0) < 0:
        raise RangeError("costs", costs, "costs of 0 or more")
    out = _chance_out(question)
    options = [
        Option(Choice.USE_AGAIN, "", out * consequence.cost, _ceiling(out, consequence)),
        Option(Choice.REPLACE, "", costs.replace),
    ]
    for item in question.reworks:
        cost = item.cost + item.fails * consequence.cost
        options.append(Option(Choice.REWORK, item.key, cost, _ceiling(item.fails, consequence)))
    open_ones = [o for o in options if not o.barred and o.choice is not Choice.USE_AGAIN]
    fixed = min(o.expected_cost for o in open_ones if o.expected_cost is not None)
    for better in question.readings:
        cost = cost_after_reading(question, costs, better, fixed)
        options.append(Option(Choice.READ_AGAIN, better.name, cost))
    return options


def _ceiling(chance: float, consequence: Consequence) -> str:
    if chance <= consequence.highest_chance:
        return ""
    return (
        f"{consequence.name}: a chance of {chance:.2g} that it is bad is above "
        f"the ceiling of {consequence.highest_chance:.2g}"
    )


def _widening(freedom: float) -> float:
    if math.isinf(freedom):
        return 1.0
    return math.sqrt(freedom / (freedom - 2)) if freedom > 2.25 else 3.0


def _chance_out(question: Question) -> float:
    size = question.size
    below, above = chances(
        size.value, size.uncertainty, question.lower, question.upper, size.freedom
    )
    return float(below + above)


def _working(question: Question, out: float, options: Sequence[Option], method: str) -> Working:
    limits = (("lower limit", question.lower), ("upper limit", question.upper))
    return Working(
        method,
        "use: P(out)·consequence; replace: price; read again: cost + E[least cost after it]",
        (
            Term("estimate", question.size.value, "m", "y"),
            Term("standard uncertainty", question.size.uncertainty, "m", "u"),
            *(Term(name, value, "m") for name, value in limits if value is not None),
        ),
        (Term("chance out of limit", out),),
        "JCGM 106:2012, 7.2; ISO 14253-1 default rule; expected cost",
        tuple(
            Term(f"{option.choice.value} {option.detail}".strip(), option.expected_cost, "money")
            for option in options
            if option.expected_cost is not None
        ),
    )
