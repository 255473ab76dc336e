"""Windows against ceilings, chilled shafts, taking out, compounds."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.mechanics.heat_plans import heat_window, plan_assembly, plan_removal
from casewright.tables.materials import material
from casewright.tables.temperature_ceilings import RELEASES, Ceiling, ceiling

NBR, T6 = ceiling("nbr"), ceiling("t6-casting")
RING = Ceiling("ring", "hub ring", 121 + 273.15, "own numbers")
STEEL = replace(material("steel"), expansion=11.5e-6)
HOUSING, CUP = material("aluminium"), material("bearing-steel")


# Derived: 39 um on 62 with 62 um clearance needs 95.77 °C.
def test_a_seal_left_in_place_makes_the_window_narrow_and_out_of_it_wide() -> None:
    tight = plan_assembly(39e-6, 62e-6, 0.062, HOUSING, CUP, [NBR, T6]).window
    assert tight.low - 273.15 == pytest.approx(95.77, abs=0.01)
    assert tight.high - 273.15 == pytest.approx(100)
    assert tight.is_open
    assert tight.narrow
    assert "narrow" in tight.advice
    assert "NBR" in tight.limiting
    wide = plan_assembly(39e-6, 62e-6, 0.062, HOUSING, CUP, [T6]).window
    assert wide.high - 273.15 == pytest.approx(170)
    assert not wide.narrow


# Derived: 40 H7/s6, U 59, clearance 40: 235.22 warm, 145.28 dry ice, 69.93 nitrogen; ceiling 121.
def test_without_a_window_by_heat_the_chilled_shafts_are_tried_and_named() -> None:
    plan = plan_assembly(59e-6, 40e-6, 0.040, STEEL, STEEL, [RING])
    assert not plan.window.is_open
    needs = {one.coolant.key: one.window.low - 273.15 for one in plan.chilled}
    assert needs["dry-ice"] == pytest.approx(145.28, abs=0.01)
    assert needs["nitrogen"] == pytest.approx(69.93, abs=0.01)
    opened = {one.coolant.key: one.window.is_open for one in plan.chilled}
    assert opened == {"freezer": False, "dry-ice": False, "nitrogen": True}
    assert plan.advice == (
        "no safe window by heat alone or with household freezer or dry ice; "
        "liquid nitrogen or press"
    )
    text = " ".join(plan.cautions)
    assert "burn skin" in text
    assert "displaces air" in text
    assert plan.cautions[0].endswith("come first.")


def test_a_material_without_cold_figures_gets_no_chilled_options() -> None:
    plan = plan_assembly(59e-6, 40e-6, 0.04, STEEL, material("stainless-shaft"), [RING])
    assert plan.chilled == ()
    assert plan.advice == "no safe window by heat alone; press"


def test_a_fit_with_play_drops_in_without_heat() -> None:
    plan = plan_assembly(-80e-6, 40e-6, 0.040, STEEL, STEEL, [RING])
    assert plan.window.is_open
    assert "without heat" in plan.advice


@given(st.floats(250, 700), st.floats(300, 600))
def test_a_window_is_open_exactly_when_the_need_is_under_the_ceiling(
    need: float, top: float
) -> None:
    one = heat_window(need, [Ceiling("a", "a", top, "own"), Ceiling("b", "b", top + 50, "own")])
    assert one.high == top
    assert one.is_open == (need <= top)
    assert ("no safe window" in one.advice) == (not one.is_open)
    assert not one.narrow or one.is_open


def test_a_long_soak_has_a_lower_ceiling_than_an_hour() -> None:
    assert heat_window(430.0, [T6], 3600).is_open
    assert not heat_window(430.0, [T6], 4 * 3600).is_open


def test_a_window_asks_for_ceilings_and_kelvin() -> None:
    with pytest.raises(RangeError, match="ceilings"):
        heat_window(370.0, [])
    with pytest.raises(RangeError, match="temperature"):
        heat_window(math.nan, [T6])


# Derived: U 39, d 62, clearance 20: 64.3 °C with the race cold, 125.7 °C once it followed.
def test_taking_out_gives_both_temperatures_and_the_better_advice() -> None:
    plan = plan_removal(39e-6, 20e-6, 0.062, HOUSING, CUP, [T6])
    assert plan.ring_cold.low - 273.15 == pytest.approx(64.3, abs=0.05)
    assert plan.ring_follows.low - 273.15 == pytest.approx(125.7, abs=0.05)
    assert plan.advice.startswith("heat the casting")
    with_seal = plan_removal(39e-6, 20e-6, 0.062, HOUSING, CUP, [T6, NBR])
    assert with_seal.ring_cold.is_open
    assert not with_seal.ring_follows.is_open
    assert "still cold" in with_seal.advice
    hopeless = plan_removal(150e-6, 60e-6, 0.062, HOUSING, CUP, [T6, NBR])
    assert hopeless.advice.startswith("no safe window")


def test_a_compound_is_not_released_within_a_castings_ceiling() -> None:
    plan = plan_removal(39e-6, 20e-6, 0.062, HOUSING, CUP, [T6], RELEASES["anaerobic"])
    assert not plan.ring_cold.is_open
    assert plan.ring_cold.low - 273.15 == pytest.approx(232)
    assert "local short heat on the ring, or press" in plan.advice
    assert any("hydrogen fluoride" in line for line in plan.cautions)


def test_rings_of_one_material_are_not_freed_once_they_follow() -> None:
    plan = plan_removal(20e-6, 10e-6, 0.04, STEEL, STEEL, [RING])
    assert plan.ring_follows.low == math.inf
    assert "grow alike" in plan.ring_follows.advice
    assert "still cold" in plan.advice
