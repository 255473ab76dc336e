"""Material values: cold coefficients, friction spans, hot casting yield, each with its record."""

import pytest

from casewright.errors import MissingError, RangeError
from casewright.mechanics.heat import expansion_integral
from casewright.tables.materials import (
    DRY_ICE,
    FREEZER,
    MATERIALS,
    NITROGEN,
    STEEL_EXPANSION_BY_TEMPERATURE,
    T20,
    hot_casting_yield,
    material,
    mean_expansion,
    press_friction,
)


@pytest.mark.parametrize("key", MATERIALS)
def test_every_material_says_how_it_is_known_and_lies_in_its_spans(key: str) -> None:
    one = material(key)
    assert one.expansion_known
    assert one.cooling_known
    assert one.known
    assert one.expansion_span[0] <= one.expansion <= one.expansion_span[1]
    assert one.modulus_span[0] <= one.modulus <= one.modulus_span[1]
    assert 0.2 < one.poisson < 0.36
    assert 2000 < one.density < 9000


# Materials textbook, table B.6 (read): linear expansion in 1e-6/K.
@pytest.mark.parametrize(
    ("key", "printed"),
    [("steel", 11.7), ("aluminium", 21.5), ("bronze", 18.0), ("cast-iron", 11.4)],
)
def test_expansion_is_that_of_the_textbook_table(key: str, printed: float) -> None:
    assert material(key).expansion * 1e6 == pytest.approx(printed)


# 11.2, 10.5 and 8.8: means of a published a(T) table of a structural steel (bridge trunnion
# case, read); recomputed here by integrating the table.
@pytest.mark.parametrize(("cold", "printed"), [(FREEZER, 11.2), (DRY_ICE, 10.5), (NITROGEN, 8.8)])
def test_cold_steel_coefficients_are_the_means_of_the_published_table(
    cold: float, printed: float
) -> None:
    mean = expansion_integral(STEEL_EXPANSION_BY_TEMPERATURE, T20, cold) / (cold - T20)
    assert mean * 1e6 == pytest.approx(printed, abs=0.051)
    assert mean_expansion(material("steel"), cold) * 1e6 == pytest.approx(printed)


# Contraction from 293 to 77 K: 0.39 % (6061 aluminium), 0.28 % (304 stainless); memory.
@pytest.mark.parametrize(("key", "contraction"), [("aluminium", 0.0039), ("stainless", 0.0028)])
def test_cold_coefficients_agree_with_the_contraction_to_nitrogen(
    key: str, contraction: float
) -> None:
    mean = mean_expansion(material(key), NITROGEN)
    assert mean * (T20 - NITROGEN) == pytest.approx(contraction, abs=0.00005)


def test_the_room_temperature_coefficient_overrates_a_dipped_shaft() -> None:
    steel = material("steel")
    assert 1.08 < steel.expansion / mean_expansion(steel, DRY_ICE) < 1.15
    assert 1.25 < steel.expansion / mean_expansion(steel, NITROGEN) < 1.36


def test_above_20_degrees_the_heating_coefficient_holds() -> None:
    assert mean_expansion(material("aluminium"), 400.0) == material("aluminium").expansion


def test_a_material_without_cold_figures_is_not_guessed() -> None:
    with pytest.raises(MissingError, match="mean coefficient"):
        mean_expansion(material("stainless-shaft"), DRY_ICE)


@pytest.mark.parametrize("temperature", [20.0, -18.0, 5000.0])
def test_a_temperature_in_celsius_is_refused(temperature: float) -> None:
    with pytest.raises(RangeError, match=r"293\.15"):
        mean_expansion(material("steel"), temperature)


def test_unknown_materials_and_friction_pairs_name_what_there_is() -> None:
    with pytest.raises(RangeError, match="aluminium"):
        material("unobtainium")
    with pytest.raises(MissingError, match="steel/aluminium"):
        press_friction("bronze/brass")


# Modern Casting, July 2018, p. 39 (read, second best: its columns are run together).
@pytest.mark.parametrize(
    ("celsius", "printed"), [(20, 269), (150, 235), (200, 163), (250, 84), (300, 39)]
)
def test_hot_casting_yield_is_that_of_the_printed_table(celsius: float, printed: float) -> None:
    assert hot_casting_yield(celsius + 273.15) / 1e6 == pytest.approx(printed)


def test_hot_casting_yield_is_not_stretched_beyond_its_table() -> None:
    with pytest.raises(RangeError):
        hot_casting_yield(620.0)
