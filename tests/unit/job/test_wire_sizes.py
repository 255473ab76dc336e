"""Threads over wires: the size, its doubt by Monte Carlo, and wires that aren't there."""

from __future__ import annotations

import math

import numpy as np
import pytest

from casewright.errors import InputError
from casewright.job import kinds
from casewright.job.gauged import size_in_hand, with_setting
from casewright.job.instruments import last_digit
from casewright.job.measured import OneReading
from casewright.job.wire_sizes import brought_from_wires
from casewright.reasoning.readings import Instrument
from tests.phases.gauged_cast import SHAFT, found, gauged, read

MICROMETER = kinds.InstrumentKnown(
    instrument="micrometer 0-25", resolution="0.001 mm", uncertainty="0.004 mm"
)


def stands(*bodies: kinds.Body) -> OneReading:
    return found(gauged(MICROMETER, *bodies), "thread", SHAFT).stands


def value_of(one: OneReading) -> float:
    assert one.sized is not None and one.sized.budget is not None
    return one.sized.budget.value


def test_the_pitch_diameter_of_a_basic_thread_comes_back_from_its_wires() -> None:
    """M24x2: d2 = 22.701 (ISO 724); over wires of 1.155 M = d2 + 3w − 0.866025 P = 24.434."""
    one = stands(read("thread", "24.434"))
    assert value_of(one) * 1e3 == pytest.approx(22.701, abs=6e-4)
    assert one.sized is not None
    assert one.sized.what == "as read, pitch diameter over wires"
    assert any("sheet's 1.155 mm is taken" in note for note in one.sized.notes)


def test_nothing_is_taken_off_where_it_was_read_without_wires() -> None:
    one = stands(read("thread", "22.580", wire="0"))
    assert value_of(one) == pytest.approx(22.580e-3)
    assert one.sized is not None and one.sized.brought is None


def test_the_budget_of_a_wire_far_from_the_best_is_that_of_a_monte_carlo() -> None:
    """d2 = M − w (1 + 1/sin a) + P/2 cot a, drawn with wires of ± 2 µm and flanks of ± 0.5°."""
    one = stands(read("thread", "25.469", wire="1.500"))
    random, count = np.random.default_rng(2), 400_000
    measure = (
        25.469
        + random.uniform(-0.0005, 0.0005, count)
        + random.normal(0, 0.002, count)
        + random.normal(0, 0.002, count)
    )
    wire = 1.5 + random.uniform(-0.002, 0.002, count) + random.uniform(-0.0005, 0.0005, count)
    half = np.radians(30 + random.uniform(-0.5, 0.5, count))
    sizes = measure - wire * (1 + 1 / np.sin(half)) + 1.0 / np.tan(half)
    assert value_of(one) * 1e3 == pytest.approx(np.mean(sizes), abs=1e-4)
    assert one.sized is not None and one.sized.budget is not None
    # To first order the wires and the angle are straight; scatter has the practice value, 2 µm.
    assert one.sized.budget.standard_uncertainty * 1e3 == pytest.approx(np.std(sizes), rel=0.02)


def test_a_wire_known_to_a_tenth_is_said_to_be_too_little() -> None:
    fine, rough = (stands(read("thread", "24.569", wire=wire)) for wire in ("1.200", "1.2"))
    assert value_of(fine) == pytest.approx(value_of(rough))
    assert rough.uncertainty > 10 * fine.uncertainty
    assert rough.sized is not None and fine.sized is not None
    assert any("to its last digit only" in note for note in rough.sized.notes)
    assert not any("to its last digit only" in note for note in fine.sized.notes)


def test_an_inch_thread_and_its_wires_in_inches() -> None:
    """1 1/2-6 over wires of .140: M 1.6674 (read in a turning text); d2 1.3917 (ASME B1.1)."""
    from casewright.drive.schema import Feature

    feature = Feature(
        key="t", name="t", position=SHAFT, kind="thread", thread="1 1/2-6", wire=".140 in"
    )  # type: ignore[arg-type]
    body = kinds.Reading(target="t", values=("1.6674",), unit="in")
    found_ = brought_from_wires(feature, body, (1.6674 * 25.4e-3,))
    assert found_ is not None
    assert (1.6674 + found_.change / 25.4e-3) == pytest.approx(1.3917, abs=1e-4)


@pytest.mark.parametrize(
    ("wire", "said"),
    [("0.5", "1.010 mm to 2.020 mm"), ("2.5", "best is 1.155"), ("0.0455", "in inches?")],
)
def test_a_wire_that_misses_the_flanks_is_refused_with_the_best_one(wire: str, said: str) -> None:
    feature = gauged().lookup.features["thread"]
    with pytest.raises(InputError) as caught:
        brought_from_wires(feature, read("thread", "24.5", wire=wire), (24.5e-3,))
    assert caught.value.field == "wire"
    assert said.lower() in str(caught.value).lower()


def test_the_doubt_of_wires_and_height_counts_before_anything_is_read() -> None:
    state = gauged()
    plain = Instrument("micrometer 0-25", 1e-6, 2e-6, 2e-6)
    wired = with_setting(state, state.lookup.features["thread"], plain)
    u_wire = 3 * math.hypot(2e-6 / 3**0.5, 1e-6 / 12**0.5)
    assert wired.calibration_uncertainty == pytest.approx(math.hypot(2e-6, u_wire), rel=1e-3)
    calliper = Instrument("gear-tooth calliper", 20e-6, 20e-6, 20e-6)
    tooth = with_setting(state, state.lookup.features["chord"], calliper)
    height = math.hypot(20e-6, 20e-6 / 12**0.5)
    virtual = 40 * math.hypot(16, 40) / 16
    slope = 2 * math.tan(math.radians(20 - 90 / virtual))
    assert tooth.calibration_uncertainty == pytest.approx(math.hypot(20e-6, slope * height))
    assert with_setting(state, state.lookup.features["seen"], plain) is plain


def test_a_micrometer_has_to_span_the_wires_too() -> None:
    """M24x2 lies in 0-25 by its pitch diameter; over 2 mm wires it wouldn't."""
    feature = gauged().lookup.features["thread"]
    assert size_in_hand(feature, 22.701e-3) == pytest.approx(24.434e-3, abs=1e-6)


def test_the_last_digit_typed_tells_how_fine_a_text_is() -> None:
    assert last_digit("1.20", "length", "mm") == pytest.approx(1e-5)
    assert last_digit(".0455 in", "length", "mm") == pytest.approx(2.54e-6)
    assert last_digit("4", "length", "mm") == pytest.approx(1e-3)
    assert last_digit("some", "length", "mm") == 0
