"""Every finding left out in turn, all in one pass over the clique tree.

Column 0 holds all answers; column k leaves answer k out, by a table or weights of one.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from casewright.reasoning.cause_evidence import Surprise, Withouts
from casewright.reasoning.cause_factors import Floats, Table
from casewright.reasoning.cause_model import CauseModel, answers_of, infer, tree_for
from casewright.reasoning.cause_tree import calibrate
from casewright.reasoning.causes import contradictory


def leave_each_out(model: CauseModel, findings: Mapping[str, bool | str | None]) -> Withouts:
    """Posterior of all causes with all findings, and with each one left out, in one pass.

    Args:
        model: the model [-].
        findings: finding key → yes, no or unknown [-].
    Returns:
        chances of all causes and mechanisms, per finding left out [-].
    Valid: findings set aside as contradictory are left out throughout.
    Raises: InputError for unknown findings or answers.
    Source: LAURITZEN1988 (clique tree), one column for each finding left out; leave-one-out form
        of the weight of evidence of GOOD1985.
    """
    answers = answers_of(model, findings)
    for key in contradictory(model, answers):
        del answers[key]
    on, chance = _columns(model, answers)
    now = on / chance
    return Withouts(
        answers,
        model.prior,
        now[:, 0],
        float(chance[0]),
        {key: now[:, column] for column, key in enumerate(answers, 1)},
        {key: float(chance[column]) for column, key in enumerate(answers, 1)},
    )


def _columns(model: CauseModel, answers: Mapping[str, bool]) -> tuple[Floats, Floats]:
    """P(variable on, answers) and P(answers), a column for each answer left out after the first."""
    columns = len(answers) + 1
    count = model.prior.size
    weights, scale = np.ones((count + len(model.mechanisms), columns)), np.ones(columns)
    priors = [Table((i,), np.array([[1 - p], [p]])) for i, p in enumerate(model.prior)]
    tables = priors + [child.family(count + k) for k, child in enumerate(model.mechanisms)]
    for column, (key, present) in enumerate(answers.items(), 1):
        child = model.findings[key]
        if present or child.passing is None:
            tables.append(_left_out(child.table(present), column, columns))
            continue
        kept = np.arange(columns) != column
        scale[kept] *= child.keep_off
        weights[np.ix_(list(child.parents), kept)] *= np.array(child.passing)[:, None]
    singles = [Table((v,), np.stack((np.ones_like(row), row))) for v, row in enumerate(weights)]
    calibrated = calibrate(tree_for(model, answers), [*tables, *singles])
    on = [np.broadcast_to(calibrated.joint((v,))[1], columns) for v in range(len(weights))]
    return np.array(on) * scale, np.broadcast_to(calibrated.chance, columns) * scale


def _left_out(table: Table, column: int, columns: int) -> Table:
    values = np.repeat(table.values, columns, axis=-1)
    values[..., column] = 1.0
    return Table(table.axes, values)


def surprises(model: CauseModel, withouts: Withouts, below: float = 0.02) -> tuple[Surprise, ...]:
    """Findings that sit badly with all others: worth a second look, before anything is concluded.

    Args:
        model: the model [-].
        withouts: chances with each finding left out [-].
        below: an answer less likely than this, given the rest, is named [-].
    Returns:
        named findings, most surprising first [-].
    Valid: only answers that the rest made *less* likely than they were before; a rare finding
            that nothing speaks against is not named.
    Raises: nothing.
    Source: own; its ratio to the chance before is JENSEN1991's conflict measure.
    """
    labels = {item.key: item.label for item in model.network.findings}
    keys = tuple(withouts.answers)
    absent = dict(zip(keys, infer(model, {}, keys).chance[1:].tolist(), strict=True))
    named = []
    for key, present in withouts.answers.items():
        given_rest = withouts.whole_chance / withouts.without_chance[key]
        before = 1 - absent[key] if present else absent[key]
        if given_rest < below and given_rest < before:
            named.append(Surprise(key, labels[key], present, given_rest, before))
    return tuple(sorted(named, key=lambda item: item.chance_given_rest))
