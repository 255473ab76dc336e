"""Why it failed: the chance of each root cause, the likely stories, contradictions, open causes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from casewright.errors import RangeError
from casewright.reasoning.cause_factors import Floats, places_in, root_sets
from casewright.reasoning.cause_inference import above, joint_given_set, root_set_weights
from casewright.reasoning.cause_model import CauseModel, answers_of, infer

MOST_SET_ASIDE = 3


@dataclass(frozen=True, slots=True)
class CauseChance:
    """One root cause: chance before any finding and now."""

    key: str
    label: str
    prior: float
    chance: float
    remedy: str


@dataclass(frozen=True, slots=True)
class MechanismChance:
    """One mechanism: chance now."""

    key: str
    label: str
    chance: float


@dataclass(frozen=True, slots=True)
class Story:
    """One joint story: of the causes that bear on the findings exactly these, and what followed.

    `chance` is that of the root set (mechanisms summed out); `mechanisms` is the most probable
    joint set of mechanisms given it, with its own chance `given_roots`.
    """

    roots: tuple[str, ...]
    mechanisms: tuple[str, ...]
    chance: float
    given_roots: float


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the findings say together; `set_aside` names findings left out as contradictory."""

    duty: str
    answers: Mapping[str, bool]
    causes: tuple[CauseChance, ...]
    mechanisms: tuple[MechanismChance, ...]
    stories: tuple[Story, ...]
    findings_chance: float
    set_aside: tuple[str, ...]

    def chance_of(self, key: str) -> float:
        """The chance of one cause."""
        return next(cause.chance for cause in self.causes if cause.key == key)


def diagnose(
    model: CauseModel, findings: Mapping[str, bool | str | None], stories: int = 3
) -> Diagnosis:
    """Posterior of each root cause and mechanism, and the most probable joint stories.

    Args:
        model: the network for one kind of duty [-].
        findings: finding key → yes, no or unknown [-].
        stories: how many joint stories to give [-].
    Returns:
        causes and mechanisms, likeliest first, stories, and findings set aside [-].
    Valid: exact; findings that contradict each other are named, set aside, and the rest is used.
    Raises: InputError for unknown findings or answers.
    Source: KOLLER2009 section 9.3; stories are maxima of the joint posterior (its section 13.1).
    """
    answers = answers_of(model, findings)
    aside = contradictory(model, answers)
    used = {key: answer for key, answer in answers.items() if key not in aside}
    inferred = infer(model, used)
    return Diagnosis(
        model.duty,
        answers,
        _causes(model, inferred.now),
        _mechanisms(model, inferred.now),
        tuple(_stories(model, used, stories)),
        float(inferred.chance[0]) if not aside else 0.0,
        aside,
    )


def contradictory(model: CauseModel, answers: Mapping[str, bool]) -> tuple[str, ...]:
    """The fewest findings to set aside so that the rest is possible; () where all fit.

    Args:
        model: the model [-].
        answers: finding key → present [-].
    Returns:
        keys of the findings; of equally small sets the one that leaves the most probable rest [-].
    Valid: sets of up to three are searched; then findings are taken one by one, each kept only
        if it fits with those before it.
    Raises: nothing.
    Source: own.
    """
    if infer(model, answers).chance[0] > 0:
        return ()
    for size in range(1, MOST_SET_ASIDE + 1):
        rest = {
            group: float(infer(model, _without(answers, group)).chance[0])
            for group in combinations(answers, size)
        }
        best = max(rest, key=rest.__getitem__, default=())
        if best and rest[best] > 0:
            return best
    return _one_by_one(model, answers)


def _one_by_one(model: CauseModel, answers: Mapping[str, bool]) -> tuple[str, ...]:
    kept: dict[str, bool] = {}
    for key, answer in answers.items():
        if infer(model, {**kept, key: answer}).chance[0] > 0:
            kept[key] = answer
    return tuple(key for key in answers if key not in kept)


def _without(answers: Mapping[str, bool], group: tuple[str, ...]) -> dict[str, bool]:
    return {key: answer for key, answer in answers.items() if key not in group}


def open_causes(diagnosis: Diagnosis, threshold: float = 0.3) -> tuple[CauseChance, ...]:
    """Causes likely enough to ask for their remedy, or a reason, before sign-off.

    Args:
        diagnosis: the diagnosis [-].
        threshold: chance from which a cause counts as open [-].
    Returns:
        these causes, likeliest first [-].
    Valid: 0 < threshold <= 1.
    Raises: RangeError for a threshold outside it.
    Source: own: 0.3 is a shop's choice.
    """
    if not 0 < threshold <= 1:
        raise RangeError("threshold", threshold, "a chance above 0, up to 1")
    return tuple(cause for cause in diagnosis.causes if cause.chance >= threshold)


def _causes(model: CauseModel, now: Floats) -> tuple[CauseChance, ...]:
    rows = [
        CauseChance(root.key, root.label, float(prior), float(chance), root.remedy)
        for root, prior, chance in zip(model.network.roots, model.prior, now, strict=False)
    ]
    return tuple(sorted(rows, key=lambda row: -row.chance))


def _mechanisms(model: CauseModel, now: Floats) -> tuple[MechanismChance, ...]:
    rows = [
        MechanismChance(item.key, item.label, float(chance))
        for item, chance in zip(model.network.mechanisms, now[model.prior.size :], strict=True)
    ]
    return tuple(sorted(rows, key=lambda row: -row.chance))


def _stories(model: CauseModel, answers: Mapping[str, bool], count: int) -> list[Story]:
    """Root sets by chance; roots that bear on no answered finding are summed out."""
    roots = [variable for variable in above(model, answers) if variable < model.prior.size]
    places = places_in(roots, model.prior.size)
    weights = np.bincount(places, root_set_weights(model, answers), 2 ** len(roots))
    best = np.argsort(-weights, kind="stable")[: min(count, weights.size)]
    shares = weights / weights.sum()
    stories = []
    for row in best[weights[best] > 0]:
        on = np.zeros(model.prior.size, dtype=bool)
        on[roots] = root_sets(len(roots))[row]
        stories.append(_story(model, answers, on, float(shares[row])))
    return stories


def _story(
    model: CauseModel, answers: Mapping[str, bool], on: NDArray[np.bool_], chance: float
) -> Story:
    joint = joint_given_set(model, answers, on)
    values = joint.values[..., 0]
    best = np.unravel_index(int(values.argmax()), values.shape) if joint.axes else ()
    items = [model.network.mechanisms[axis - model.prior.size].key for axis in joint.axes]
    return Story(
        tuple(key for key, bit in zip(model.roots, on, strict=True) if bit),
        tuple(key for key, bit in zip(items, best, strict=True) if bit),
        chance,
        float(values.max() / values.sum()),
    )
