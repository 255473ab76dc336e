"""GUM budgets, propagation with correlation, readings and their temperature."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from casewright.errors import MissingError, RangeError
from casewright.reasoning import uncertainty as unc
from casewright.reasoning.readings import (
    Body,
    Instrument,
    reading_budget,
    reading_components,
    temperature_corrected,
)

VOLTS = [5.007, 4.994, 5.005, 4.990, 4.999]
AMPS = [0.019663, 0.019639, 0.019640, 0.019685, 0.019678]
PHASE = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]


def impedance(x: NDArray[np.float64]) -> NDArray[np.float64]:
    size = x[0] / x[1]
    return np.array([size * np.cos(x[2]), size * np.sin(x[2]), size])


def test_correlated_impedance_as_printed_in_the_gum() -> None:
    """JCGM 100:2008 H.2, table H.4: R 127.732 u 0.071, X 219.847 u 0.295, Z 254.260 u 0.236."""
    means = unc.covariance_of_means([VOLTS, AMPS, PHASE])
    found = unc.propagate(impedance, list(means.values), means.covariance)
    assert found.values == pytest.approx([127.732, 219.847, 254.260], abs=0.001)
    assert found.standard_uncertainties == pytest.approx([0.071, 0.295, 0.236], abs=0.001)
    assert found.correlation[0, 1] == pytest.approx(-0.588, abs=0.001)
    assert found.correlation[0, 2] == pytest.approx(-0.485, abs=0.001)
    assert found.correlation[1, 2] == pytest.approx(0.993, abs=0.001)


def test_leaving_the_correlation_out_shows_itself() -> None:
    """Without correlation u(R) is 0.1945 (recomputed with two libraries)."""
    means = unc.covariance_of_means([VOLTS, AMPS, PHASE])
    alone = unc.propagate(impedance, list(means.values), means.standard_uncertainties)
    assert alone.standard_uncertainties[0] == pytest.approx(0.1945, abs=0.0001)


def test_correlated_propagation_agrees_with_an_independent_library() -> None:
    import uncertainties
    from uncertainties import umath

    means = unc.covariance_of_means([VOLTS, AMPS, PHASE])
    v, i, p = uncertainties.correlated_values(means.values, means.covariance)
    found = unc.propagate(impedance, list(means.values), means.covariance)
    wanted = v / i * umath.cos(p)
    assert found.standard_uncertainties[0] == pytest.approx(wanted.std_dev, rel=1e-5)


def end_gauge() -> unc.Budget:
    """JCGM 100:2008 H.1: end gauge compared with a standard, in nanometres."""
    length, expansion = 50_000_623.0, 11.5e-6
    parts = (
        unc.Component("standard", 25, 18),
        unc.Component("repeats", 5.8, 24, "A"),
        unc.Component("comparator, random", 3.9, 5),
        unc.Component("comparator, systematic", 6.7, 8),
        unc.Component("difference of expansion", 0.58e-6, 50, sensitivity=length * 0.1),
        unc.Component("difference of temperature", 0.029, 2, sensitivity=-length * expansion),
    )
    return unc.budget(length + 215, parts, 0.99)


def test_end_gauge_as_printed_in_the_gum() -> None:
    found = end_gauge()
    assert found.value == pytest.approx(50_000_838)
    assert found.standard_uncertainty == pytest.approx(32, abs=0.5)
    assert found.degrees_of_freedom == pytest.approx(16.6, abs=0.3)
    assert found.coverage_factor == pytest.approx(2.92, abs=0.005)
    assert found.expanded_uncertainty == pytest.approx(93, abs=1)


def test_end_gauge_agrees_with_an_independent_library() -> None:
    import GTC

    parts = [GTC.ureal(0, c.contribution, c.degrees_of_freedom) for c in end_gauge().components]
    total = sum(parts[1:], parts[0])
    assert end_gauge().standard_uncertainty == pytest.approx(GTC.uncertainty(total), rel=1e-12)
    assert end_gauge().degrees_of_freedom == pytest.approx(GTC.dof(total), rel=1e-9)


@pytest.mark.parametrize(
    ("found", "wanted"),
    [
        (unc.rectangular(1), 1 / math.sqrt(3)),
        (unc.triangular(1), 1 / math.sqrt(6)),
        (unc.arcsine(1), 1 / math.sqrt(2)),
        (unc.from_resolution(1), 0.29),
    ],
)
def test_half_widths_become_standard_uncertainties(found: float, wanted: float) -> None:
    """JCGM 100:2008 4.3.7, 4.3.9, H.1.3.4; F.2.2.1 prints 0.29 of the step."""
    assert found == pytest.approx(wanted, abs=0.002)


@given(st.lists(st.floats(0.01, 10), min_size=2, max_size=6), st.integers(1, 30))
def test_effective_freedom_lies_between_the_least_and_the_sum(us: list[float], nu: int) -> None:
    freedoms = [nu + k for k in range(len(us))]
    found = unc.effective_freedom(us, freedoms)
    assert nu - 1e-9 <= found <= sum(freedoms) + 1e-9


def test_full_correlation_adds_uncertainties_straight() -> None:
    assert unc.combine([1, 1], [3, 4], [[1, 1], [1, 1]]) == pytest.approx(7)
    assert unc.combine([1, -1], [4, 4], [[1, 1], [1, 1]]) == pytest.approx(0)
    assert unc.combine([1, 1], [3, 4]) == pytest.approx(5)


def test_stack_up_of_rectangular_tolerances() -> None:
    """Own stack-up: rectangular standard deviation 0.050000 mm, worst case 0.170 mm."""
    halves = [0.06, 0.05, 0.03, 0.02, 0.01]
    rectangular = [unc.rectangular(half) for half in halves]
    assert unc.combine([1, -1, -1, -1, -1], rectangular) == pytest.approx(0.05, abs=1e-12)
    worst = np.ones((5, 5))
    assert unc.combine([1] * 5, halves, worst.tolist()) == pytest.approx(0.17)


@pytest.mark.parametrize(
    "matrix", [[[1, 2], [2, 1]], [[1, 0.5], [0.4, 1]], [[2, 0], [0, 1]], [[1]]]
)
def test_an_impossible_correlation_is_refused(matrix: list[list[float]]) -> None:
    with pytest.raises(RangeError, match="correlation"):
        unc.combine([1, 1], [1, 1], matrix)


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(RangeError, match="half_width"):
        unc.rectangular(-1)
    with pytest.raises(RangeError, match="freedoms"):
        unc.effective_freedom([1, 1], [0, 5])
    with pytest.raises(RangeError, match="freedom"):
        unc.coverage_factor(0.5)
    with pytest.raises(MissingError, match="values"):
        unc.summary([1.0])
    with pytest.raises(MissingError, match="observations"):
        unc.covariance_of_means([[1.0], [2.0]])
    with pytest.raises(MissingError, match="components"):
        unc.budget(1.0, [])


MICROMETER = Instrument("micrometer", 1e-6, 1.5e-6, 2e-6, 20)


def test_one_reading_takes_the_learned_repeatability() -> None:
    parts = {part.name: part for part in reading_components([25.01e-3], MICROMETER)}
    assert parts["scatter of the mean"].standard_uncertainty == pytest.approx(2e-6)
    assert parts["scatter of the mean"].degrees_of_freedom == 20
    assert parts["resolution"].standard_uncertainty == pytest.approx(1e-6 / math.sqrt(12))


def test_repeats_are_pooled_with_what_was_learned() -> None:
    """JCGM 100:2008 H.3.6 note, 4.2.4: s² = Σ ν_i s_i² / Σ ν_i."""
    values = [25.010e-3, 25.014e-3, 25.012e-3]
    scatter = reading_components(values, MICROMETER)[0]
    pooled = math.sqrt((20 * 2e-6**2 + 2 * 2e-6**2) / 22)
    assert scatter.standard_uncertainty == pytest.approx(pooled / math.sqrt(3))
    assert scatter.degrees_of_freedom == 22


def test_repeats_shrink_scatter_but_not_calibration() -> None:
    one = reading_budget([25e-3], MICROMETER).standard_uncertainty
    many = reading_budget([25e-3] * 100, MICROMETER).standard_uncertainty
    assert 1.5e-6 < many < one


def test_what_is_not_known_is_said() -> None:
    caliper = Instrument("caliper", 1e-5, overdue=True)
    notes = reading_budget([25e-3], caliper).working.notes
    assert any("scatter is not counted" in note for note in notes)
    assert any("overdue" in note for note in notes)
    with pytest.raises(MissingError):
        reading_budget([], caliper)


def test_a_warm_aluminium_bore_is_smaller_at_twenty_degrees() -> None:
    warm = temperature_corrected(0.080, Body(308.15, 23e-6, 1.0, 1e-6), Body(298.15, 11.5e-6, 1.0))
    assert warm.correction < 0
    straight = -0.080 * (23e-6 * 15 - 11.5e-6 * 5)
    assert warm.correction == pytest.approx(straight, rel=1e-3)
    names = [part.name for part in warm.components]
    assert names == ["part's temperature", "part's expansion", "gauge's temperature"]


def test_temperature_sensitivities_are_the_derivatives() -> None:
    part, gauge = Body(308.15, 23e-6, 1.0, 1e-6), Body(298.15, 11.5e-6, 1.0, 1e-6)
    found = temperature_corrected(0.080, part, gauge)

    def model(x: NDArray[np.float64]) -> float:
        return temperature_corrected(0.080, Body(x[0], x[1]), Body(x[2], x[3])).value

    values = [part.temperature, part.expansion, gauge.temperature, gauge.expansion]
    wanted = unc.propagate(model, values, [1.0, 1e-6, 1.0, 1e-6]).sensitivities[0]
    assert [item.sensitivity for item in found.components] == pytest.approx(list(wanted), rel=1e-6)


def test_part_and_gauge_of_one_metal_at_one_temperature_need_no_correction() -> None:
    same = Body(311.0, 11.5e-6)
    assert temperature_corrected(0.1, same, same).correction == pytest.approx(0, abs=1e-18)
    with pytest.raises(RangeError, match="temperature"):
        temperature_corrected(0.1, Body(-3, 1e-5), same)
