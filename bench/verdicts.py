"""Verdicts: simulated inspections, cost under plain comparison over cost under the verdict.

Ten thousand parts of five kinds of feature are drawn: true sizes (new size less a skewed wear),
readings with scatter, a calibration error that all parts of one job share, and a display's step.
Costs are counted against perfect knowledge: a bad part kept costs the consequence less the part
that was due anyway; a good part replaced costs its price; a second reading costs its time.
A bad part replaced costs nothing extra.

Reference: plain comparison of the same first reading with the limit (inside: keep; outside:
replace), no second reading. Also shown: comparison of the mean of two readings with the better
instrument for every part.

The verdict is asked in three ways: as it works without any history (the reading alone), with
the feature's usual sizes as a prior (mean and spread of the population, taken as normal though
it is skewed), and without costs (proof by guard band; what isn't proven is read again, and
replaced if it isn't proven then).

cost_ratio and calibration_error are those with the prior; the others are named. A gap is that
between the mean stated chance of being out of limit and the share found true, the largest over
ten bins of the stated chance (bins of fewer than 50 parts are left out). Beside it stands the
gap that luck alone would give with as many parts, were every stated chance exactly right.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from casewright.reasoning.conformity import Size, with_prior
from casewright.reasoning.verdict import (
    BetterReading,
    Choice,
    Consequence,
    Costs,
    Question,
    Verdict,
    decide,
)


@dataclass(frozen=True)
class Feature:
    """One invented kind of feature, in millimetres and the shop's money."""

    name: str
    new: float
    wear: float
    shape: float
    lower: float
    scatter: float
    calibration: float
    step: float
    consequence: float
    price: float


# name, new size, mean wear, gamma shape, lower limit, scatter, calibration, step, consequence, price
FEATURES = (
    Feature("seal land", 30.000, 0.050, 2.0, 29.920, 0.010, 0.008, 0.01, 900.0, 260.0),
    Feature("needle journal", 25.000, 0.010, 1.5, 24.985, 0.002, 0.0015, 0.001, 1800.0, 420.0),
    Feature("impeller cup wall", 2.000, 0.150, 2.0, 1.700, 0.015, 0.008, 0.01, 300.0, 60.0),
    Feature("clutch dog height", 9.000, 0.300, 1.2, 8.400, 0.030, 0.015, 0.01, 1500.0, 350.0),
    Feature("thrust washer", 3.000, 0.040, 2.5, 2.920, 0.008, 0.008, 0.01, 700.0, 15.0),
)
BETTER = (0.0012, 0.0010, 0.001)
READING_COST = 6.0
PARTS_PER_JOB = 10


@dataclass(frozen=True)
class Part:
    """One drawn part: its kind, its true size, a first and a better reading."""

    feature: Feature
    true: float
    first: float
    better: float

    @property
    def bad(self) -> bool:
        """Truly below its limit."""
        return self.true < self.feature.lower


def draw_parts(count: int, seed: int) -> list[Part]:
    """Parts job by job, so that a job's calibration errors are shared by its parts."""
    random = np.random.default_rng(seed)
    parts = []
    for place in range(count):
        feature = FEATURES[int(random.integers(len(FEATURES)))]
        if place % PARTS_PER_JOB == 0:
            errors = random.standard_normal(len(FEATURES) + 1)
        true = feature.new - random.gamma(feature.shape, feature.wear / feature.shape)
        error = feature.calibration * errors[FEATURES.index(feature)]
        first = true + error + random.normal(0, feature.scatter)
        better = true + BETTER[1] * errors[-1] + random.normal(0, BETTER[0])
        first = round(first / feature.step) * feature.step
        parts.append(Part(feature, true, first, round(better / BETTER[2]) * BETTER[2]))
    return parts


def first_uncertainty(feature: Feature) -> float:
    """Standard uncertainty of the first reading."""
    return math.hypot(feature.scatter, feature.calibration, feature.step / math.sqrt(12))


def usual(feature: Feature) -> Size:
    """Mean and spread of the feature's sizes, as a shop's history would have them."""
    return Size(feature.new - feature.wear, feature.wear / math.sqrt(feature.shape))


BETTER_UNCERTAINTY = math.hypot(BETTER[0], BETTER[1], BETTER[2] / math.sqrt(12))


def question(part: Part, size: Size, costs: bool, again: bool) -> Question:
    """The question that the tool is asked about one part."""
    feature = part.feature
    money = Costs(Consequence("comes back", feature.consequence), feature.price)
    offers = (BetterReading("micrometer", BETTER_UNCERTAINTY, READING_COST),) if again else ()
    return Question(size, feature.lower, None, money if costs else None, readings=offers)


def loss(part: Part, kept: bool, readings: int) -> float:
    """Cost against perfect knowledge."""
    feature = part.feature
    paid = READING_COST * readings
    if kept and part.bad:
        return paid + feature.consequence - feature.price
    return paid + (feature.price if not kept and not part.bad else 0.0)


def judge(part: Part, prior: bool, costs: bool) -> tuple[Verdict, float]:
    """The first verdict, and the loss after following it to its end."""
    size = Size(part.first, first_uncertainty(part.feature))
    size = with_prior(usual(part.feature), size) if prior else size
    verdict = decide(question(part, size, costs, True))
    if verdict.choice is not Choice.READ_AGAIN:
        return verdict, loss(part, verdict.choice is Choice.USE_AGAIN, 0)
    size = with_prior(size, Size(part.better, BETTER_UNCERTAINTY))
    final = decide(question(part, size, costs, False))
    return verdict, loss(part, final.choice is Choice.USE_AGAIN, 1)


def largest_gap(stated: Any, true: Any, shown: bool) -> float:
    """Largest gap between stated chance and share found true over ten bins."""
    gaps = [0.0]
    for low in np.arange(10) / 10:
        inside = (stated >= low) & ((stated < low + 0.1) | (low == 0.9))
        if inside.sum() >= 50:
            said, found = float(stated[inside].mean()), float(true[inside].mean())
            gaps.append(abs(said - found))
            if shown:
                print(f"    stated {said:6.3f}  found {found:6.3f}  parts {int(inside.sum()):6d}")
    return max(gaps)


def gap_by_luck(stated: Any) -> float:
    """Mean largest gap if every stated chance were exactly right (parts independent)."""
    random = np.random.default_rng(1)
    drawn = (random.random(stated.size) < stated for _ in range(200))
    return float(np.mean([largest_gap(stated, true, False) for true in drawn]))


def run(quick: bool) -> dict[str, float]:
    """Print costs per part of every rule and the calibration; return the figures."""
    parts = draw_parts(2_000 if quick else 10_000, seed=20)
    bad = np.array([part.bad for part in parts])
    print(f"{len(parts)} parts, {bad.mean():.1%} truly out of limit")
    plain = np.array([loss(p, p.first >= p.feature.lower, 0) for p in parts])
    always = np.array([loss(p, p.better >= p.feature.lower, 1) for p in parts])
    ways = {
        "reading alone": (False, True),
        "with usual sizes": (True, True),
        "no costs given": (False, False),
    }
    print(f"{'plain comparison':28s} {plain.mean():8.2f} a part")
    print(f"{'better reading every time':28s} {always.mean():8.2f} a part")
    figures = {}
    for name, (prior, costs) in ways.items():
        judged = [judge(part, prior, costs) for part in parts]
        losses = np.array([lost for _, lost in judged])
        again = np.mean([verdict.choice is Choice.READ_AGAIN for verdict, _ in judged])
        print(
            f"{name:28s} {losses.mean():8.2f} a part, {again:.1%} read again, "
            f"plain over this {plain.mean() / losses.mean():.2f}"
        )
        stated = np.array([verdict.chance_out for verdict, _ in judged])
        gap, luck = largest_gap(stated, bad, True), gap_by_luck(stated)
        print(f"    largest gap {gap:.3f}; by luck alone {luck:.3f}")
        figures[name] = (plain.mean() / losses.mean(), gap, always.mean() / losses.mean(), luck)
    for feature in FEATURES:
        mine = np.array([part.feature is feature for part in parts])
        print(f"    {feature.name:20s} plain {plain[mine].mean():8.2f}  {bad[mine].mean():.1%} bad")
    usual_way, alone = figures["with usual sizes"], figures["reading alone"]
    return {
        "cost_ratio": float(usual_way[0]),
        "cost_ratio_reading_alone": float(alone[0]),
        "cost_ratio_without_costs": float(figures["no costs given"][0]),
        "cost_ratio_against_always_better": float(usual_way[2]),
        "calibration_error": float(usual_way[1]),
        "calibration_error_by_luck_alone": float(usual_way[3]),
        "calibration_error_reading_alone": float(alone[1]),
    }
