"""The next check worth doing: information about the causes, and money saved, per minute."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from casewright.errors import RangeError
from casewright.reasoning.cause_factors import Floats
from casewright.reasoning.cause_model import CauseModel, answers_of, infer
from casewright.reasoning.causes import contradictory


@dataclass(frozen=True, slots=True)
class Check:
    """One check not done yet.

    `bits`: information about the causes, one by one and added up. `saving`: expected cost saved
    by knowing the answer before remedies are chosen, less the minutes (below 0: not worth it).
    `about`: key of the cause on which it says most, `about_bits` how much.
    """

    finding: str
    label: str
    minutes: float
    chance_present: float
    bits: float
    bits_per_minute: float
    about: str
    about_bits: float
    saving: float


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """For each check not done: P(present), and with each target on; P(each target on)."""

    findings: tuple[str, ...]
    present: Floats
    with_target: Floats
    targets: Floats


def next_checks(
    model: CauseModel, findings: Mapping[str, bool | str | None], cost_per_minute: float = 0.0
) -> tuple[Check, ...]:
    """Every check not done yet, by information about the causes per minute.

    Args:
        model: the model [-].
        findings: finding key → yes, no or unknown [-].
        cost_per_minute: bench time, in the money of the network's costs [1/min].
    Returns:
        checks, most bits per minute first [-].
    Valid: one check ahead; findings set aside as contradictory are not used.
    Raises: InputError for unknown findings or answers; RangeError for a negative cost.
    Source: LINDLEY1956 (information); RAIFFA1968 (value of sample information).
    """
    if cost_per_minute < 0:
        raise RangeError("cost_per_minute", cost_per_minute, "0 or more")
    forecast = foresee(model, findings)
    about = target_bits(forecast)
    savings = _savings(model, forecast)
    items = {item.key: item for item in model.network.findings}
    checks = []
    for row, key in enumerate(forecast.findings):
        best, minutes = int(about[row].argmax()), items[key].minutes
        bits, saving = float(about[row].sum()), float(savings[row])
        checks.append(
            Check(
                key,
                items[key].label,
                minutes,
                float(forecast.present[row]),
                bits,
                bits / minutes,
                model.roots[best],
                float(about[row, best]),
                saving - cost_per_minute * minutes,
            )
        )
    return tuple(sorted(checks, key=lambda check: -check.bits_per_minute))


def foresee(
    model: CauseModel,
    findings: Mapping[str, bool | str | None],
    targets: Sequence[str] | None = None,
) -> Forecast:
    """What each check not done would show, alone and together with each target.

    Args:
        model: the model [-].
        findings: finding key → yes, no or unknown [-].
        targets: roots or mechanisms asked about; all root causes where none are named [-].
    Returns:
        chances of each check, of each target, and of both together [-].
    Valid: exact.
    Raises: InputError for unknown findings, answers or targets.
    Source: LAURITZEN1988; one column for each check supposed absent.
    """
    answers = answers_of(model, findings)
    waiting = tuple(k for k in model.findings if k not in answers)
    inferred = infer(model, answers, waiting)
    if inferred.chance[0] == 0:
        aside = contradictory(model, answers)
        answers = {key: answer for key, answer in answers.items() if key not in aside}
        inferred = infer(model, answers, waiting)
    chosen = [model.number(key) for key in (model.roots if targets is None else targets)]
    absent = inferred.chance[1:] / inferred.chance[0]
    on = inferred.on[chosen].T / inferred.chance[0]
    return Forecast(waiting, 1 - absent, np.maximum(on[0] - on[1:], 0), on[0])


def target_bits(forecast: Forecast) -> Floats:
    """Information of each check about each target alone, H(target) - H(target | check).

    Args:
        forecast: what each check would show [-].
    Returns:
        shape (checks, targets) [bit].
    Valid: any.
    Raises: nothing.
    Source: LINDLEY1956 (information of an experiment).
    """
    yes, no = forecast.present[:, None], 1 - forecast.present[:, None]
    after = yes * binary_entropy(_ratio(forecast.with_target, yes))
    after += no * binary_entropy(_ratio(forecast.targets - forecast.with_target, no))
    return np.maximum(binary_entropy(forecast.targets) - after, 0.0)


def binary_entropy(chance: Floats) -> Floats:
    """Entropy of a yes/no question, -p·log2 p - (1-p)·log2(1-p).

    Args:
        chance: chance of yes [-], any shape.
    Returns:
        same shape [bit].
    Valid: 0 to 1; values a rounding error outside are taken as 0 or 1.
    Raises: nothing.
    Source: SHANNON1948 section 6.
    Example:
        >>> float(binary_entropy(np.array(0.5)))
        1.0
    """
    tiny = 5e-324
    yes, no = np.clip(chance, 0, 1), np.clip(1 - chance, 0, 1)
    return -(yes * np.log2(np.maximum(yes, tiny)) + no * np.log2(np.maximum(no, tiny)))


def _ratio(part: Floats, whole: Floats) -> Floats:
    return np.clip(np.divide(part, whole, out=np.zeros_like(part), where=whole > 0), 0, 1)


def _savings(model: CauseModel, forecast: Forecast) -> Floats:
    """Σ over causes of the value of the answer for the choice: remedy now, or leave it."""
    remedy = np.array([root.remedy_cost for root in model.network.roots])
    comeback = np.array([root.comeback_cost for root in model.network.roots])
    yes, no = forecast.present[:, None], 1 - forecast.present[:, None]
    now = np.minimum(remedy, comeback * forecast.targets)
    if_yes = np.minimum(remedy * yes, comeback * forecast.with_target)
    if_no = np.minimum(remedy * no, comeback * (forecast.targets - forecast.with_target))
    return np.asarray((now - if_yes - if_no).sum(axis=1))


@dataclass(frozen=True, slots=True)
class InformationValue:
    """A choice without, with a sample of, and with perfect knowledge of the state."""

    without: float
    with_sample: float
    sample_value: float
    perfect_value: float


def information_value(
    prior: list[float], costs: list[list[float]], likelihoods: list[list[float]]
) -> InformationValue:
    """Value of a test before a choice: least expected cost with and without its outcome.

    Args:
        prior: chance of each state [-], shape (states,).
        costs: cost of each act in each state [money], shape (acts, states).
        likelihoods: chance of each outcome in each state [-], shape (states, outcomes).
    Returns:
        least expected costs and the savings [money].
    Valid: one test, one choice; the test's own cost is not counted.
    Raises: RangeError where chances don't sum to 1.
    Source: RAIFFA1968 chapter 2.
    """
    states, table, outcome = np.array(prior), np.array(costs), np.array(likelihoods)
    if abs(states.sum() - 1) > 1e-9 or np.any(abs(outcome.sum(axis=1) - 1) > 1e-9):
        raise RangeError("prior and likelihoods", (prior, likelihoods), "chances that sum to 1")
    without = float((table @ states).min())
    with_sample = float((table @ (states[:, None] * outcome)).min(axis=0).sum())
    perfect = float(table.min(axis=0) @ states)
    return InformationValue(without, with_sample, without - with_sample, without - perfect)
