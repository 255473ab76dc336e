"""Small amplitudes by Monte Carlo against the Rice distribution; large ones by the plain budget."""

from __future__ import annotations

import math

import pytest
from scipy.stats import rice

from casewright.job.dial_sizes import amplitude
from casewright.job.sizes import sized
from casewright.job.typed import Typed
from casewright.reasoning.readings import Instrument
from casewright.reasoning.uncertainty import Component

UM = 1e-6
INDICATOR = Instrument("indicator 0.001", 0.0, 0.0, 3 * UM)


def typed(*values: float, **more: object) -> Typed:
    given = {"directions": len(values), "heights": 1, "low": None, "high": 50 * UM} | more
    return Typed("run-out", values, instrument=INDICATOR, unit="m", **given)  # type: ignore[arg-type]


@pytest.mark.parametrize("ratio", [0.0, 0.5, 1.0, 2.0, 4.0])
def test_near_nothing_value_and_upper_end_are_those_of_the_rice_distribution(ratio: float) -> None:
    """|(V + x, y)| with x, y normal is Rice by definition (JCGM 101 treats its square alike)."""
    scatter = 2 * UM
    found, notes = amplitude(typed(0.0), ratio * scatter, Component("scatter", scatter), [])
    model = rice(ratio, scale=scatter)
    assert found.value == pytest.approx(model.mean(), rel=0.01)
    upper = found.value + 1.959964 * found.standard_uncertainty
    assert upper == pytest.approx(model.ppf(0.975), rel=0.01)
    assert notes


def test_well_above_its_scatter_the_plain_budget_stands() -> None:
    scatter = Component("scatter", 2 * UM)
    found, notes = amplitude(typed(0.0), 20 * UM, scatter, [Component("calibration", 1 * UM)])
    assert found.value == 20 * UM
    assert found.standard_uncertainty == pytest.approx(math.hypot(2, 1) * UM)
    assert notes == ()


def test_the_same_readings_give_the_same_figures_each_time() -> None:
    one = typed(*(1e-3 + k % 2 * 2 * UM for k in range(8)))
    sized.cache_clear()
    first = sized(one).budget
    sized.cache_clear()
    assert sized(one).budget == first


def test_a_shaft_read_along_is_judged_at_its_worst_place() -> None:
    turns = [2 * math.pi * k / 8 for k in range(8)]
    still = [1e-3] * 8
    swings = [1e-3 + 60 * UM * math.cos(a) for a in turns]
    shaft = typed(
        *still, *swings, *still, directions=8, heights=3, along=(0.0, 0.15, 0.3),
        supports=(0.0, 0.3),
    )  # fmt: skip
    found = sized(shaft)
    assert found.bend is not None
    assert found.bend.worst.along == 0.15
    assert found.budget is not None
    assert found.budget.value == pytest.approx(120 * UM, rel=1e-6)
