"""What speaks for and against a cause, and findings that sit badly with the rest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from casewright.errors import InputError
from casewright.reasoning.cause_factors import Floats
from casewright.reasoning.cause_model import CauseModel


@dataclass(frozen=True, slots=True)
class Weight:
    """What one finding adds to the others, as a shift of the cause's log-odds.

    `bits` is the shift to base 2: +1 doubles the odds, -1 halves them.
    """

    finding: str
    label: str
    present: bool
    bits: float


@dataclass(frozen=True, slots=True)
class CauseEvidence:
    """For one cause: findings that speak for it and against it, heaviest first."""

    cause: str
    prior: float
    chance: float
    speaks_for: tuple[Weight, ...]
    speaks_against: tuple[Weight, ...]


@dataclass(frozen=True, slots=True)
class Surprise:
    """How likely this answer was, given all other answers and before any."""

    finding: str
    label: str
    present: bool
    chance_given_rest: float
    chance_before: float


@dataclass(frozen=True, slots=True, eq=False)
class Withouts:
    """Chances with all findings, and with each one left out in turn."""

    answers: dict[str, bool]
    prior: Floats
    whole: Floats
    whole_chance: float
    without: dict[str, Floats]
    without_chance: dict[str, float]


def weigh(model: CauseModel, withouts: Withouts, cause: str) -> CauseEvidence:
    """Log-odds shift that each finding gives one cause, beside all other findings.

    Args:
        model: the model [-].
        withouts: chances with each finding left out [-].
        cause: key of the root cause [-].
    Returns:
        findings for and against, in bits, heaviest first [-].
    Valid: shifts don't add up where findings overlap: each is what it adds to the rest.
    Raises: InputError for a cause that is not in the network.
    Source: GOOD1985 weight of evidence.
    """
    if cause not in model.roots:
        raise InputError("cause", cause, f"one of {', '.join(model.roots)}")
    place = model.roots.index(cause)
    now = _log_odds(withouts.whole[place])
    labels = {item.key: item.label for item in model.network.findings}
    weights = [
        Weight(key, labels[key], present, now - _log_odds(withouts.without[key][place]))
        for key, present in withouts.answers.items()
    ]
    weights.sort(key=lambda weight: -abs(weight.bits))
    return CauseEvidence(
        cause,
        float(withouts.prior[place]),
        float(withouts.whole[place]),
        tuple(weight for weight in weights if weight.bits > 0),
        tuple(weight for weight in weights if weight.bits < 0),
    )


def _log_odds(chance: float) -> float:
    """Log-odds to base 2; ±infinity at certainty."""
    with np.errstate(divide="ignore"):
        return float(np.log2(chance) - np.log2(max(1 - chance, 0.0)))
