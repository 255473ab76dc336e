"""What people type at the bench is understood, or asked about by name."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import QuantityError
from casewright.units import DIMENSIONS, parse, parse_any, question, write
from casewright.units.catalogue import scale, unit_named
from casewright.units.parse import Quantity

# Exact by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s2 (international
# yard and pound agreement 1959; CGPM 1901).
LBF = 0.45359237 * 9.80665


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("0.31mm", "length", 0.31e-3),
        ('.012"', "length", 0.012 * 25.4e-3),
        ("12 thou", "length", 0.012 * 25.4e-3),
        ("0,31 mm", "length", 0.31e-3),
        ("1 1/2 in", "length", 1.5 * 25.4e-3),
        ("3/8 in", "length", 0.375 * 25.4e-3),
        ("−0.05 mm", "length", -0.05e-3),
        ("5 µm", "length", 5e-6),
        ("80 ft·lb", "torque", 80 * 0.3048 * LBF),
        ("80 lb-ft", "torque", 80 * 0.3048 * LBF),
        ("80 Nm", "torque", 80.0),
        ("10 psi", "pressure", 10 * LBF / 0.0254**2),
        ("0.7 bar", "pressure", 70e3),
        ("20 °C", "temperature", 293.15),
        ("68 F", "temperature", 293.15),
        ("1 h 20", "time", 4800.0),
        ("10 min", "time", 600.0),
        ("2 kN", "force", 2000.0),
        ("150 lb", "force", 150 * LBF),
        ("1.5 L", "volume", 1.5e-3),
        ("13", "count", 13.0),
    ],
)
def test_typed_quantities_are_understood(text: str, dimension: str, value: float) -> None:
    assert parse(text, dimension).value == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("5 N", "length", "unit of force"),
        ("abc", "torque", "80 N·m"),
        ("1,234 mm", "length", "1.234 or 1234"),
        ("1.234,5 mm", "length", "1234.5"),
        ("12 mil", "length", "thou or mm"),
        ("2 ton", "force", "tf"),
        ("1 qt", "volume", "US qt"),
        ("-5 N·m", "torque", "sign"),
        ("-300 °C", "temperature", "absolute zero"),
        ("3", "length", "with its unit"),
        ("1/0 in", "length", "zero"),
        ("..5 mm", "length", "0.31 mm"),
        ("", "length", "0.31 mm"),
    ],
)
def test_what_cannot_be_read_says_what_to_type(text: str, dimension: str, says: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, dimension, field="ahead lash")
    assert says in str(caught.value)
    assert "ahead lash" in str(caught.value)


def test_a_bare_number_takes_the_unit_of_its_field_and_is_marked() -> None:
    found = parse("0,31", "length", default_unit="mm")
    assert (found.value, found.bare) == (pytest.approx(0.31e-3), True)
    assert not parse("0.31 mm", "length", default_unit="in").bare


def test_the_kind_follows_from_the_unit() -> None:
    assert parse_any("80 ft·lb").dimension == "torque"
    assert parse_any("0.25 mm").dimension == "length"
    assert parse_any("70 kPa").dimension == "pressure"


@given(
    dimension=st.sampled_from([name for name in DIMENSIONS if name != "count"]),
    number=st.floats(0.001, 9999, allow_nan=False),
    data=st.data(),
)
def test_what_is_written_is_read_back_to_the_digits_shown(
    dimension: str, number: float, data: st.DataObject
) -> None:
    unit = data.draw(st.sampled_from(DIMENSIONS[dimension].signs))
    factor, offset = scale(unit_named(dimension, unit).pint_name, DIMENSIONS[dimension].si)
    value = factor * number + offset
    text = write(value, dimension, unit)
    assert write(parse(text, dimension).value, dimension, unit) == text
    half = 0.5 * 10.0 ** -unit_named(dimension, unit).decimals
    assert parse(text, dimension).value == pytest.approx(value, abs=factor * half * (1 + 1e-6))


@given(st.text(max_size=20))
def test_no_text_crashes_the_parser(text: str) -> None:
    with contextlib.suppress(QuantityError):
        assert parse(text, "length", "mm").dimension == "length"


def test_a_slip_between_inch_and_millimetre_is_asked_about_by_name() -> None:
    typed = parse("0.012", "length", default_unit="mm")
    asked = question(typed, 0.25e-3, 0.40e-3, "ahead lash")
    assert asked is not None
    assert "ahead lash" in asked.because
    assert asked.suggestions == ("0.012 in", "0.012 mm")


def test_an_inch_field_with_a_millimetre_number_is_asked_about_too() -> None:
    typed = parse("0.31", "length", default_unit="in")
    asked = question(typed, 0.010 * 25.4e-3, 0.016 * 25.4e-3, "lash")
    assert asked is not None
    assert "0.31 mm" in asked.suggestions


IN_LB = 25.4e-3 * LBF


@pytest.mark.parametrize("read_as", ["ft·lb", "N·m", "kgf·m"])
def test_a_small_torque_read_in_the_unit_of_the_bolts_is_asked_about(read_as: str) -> None:
    """A window of 8 to 14 in·lb; 11 ft·lb is less than ten times off it, and 11 in·lb was meant."""
    typed = parse("11", "torque", default_unit=read_as)
    asked = question(typed, 8 * IN_LB, 14 * IN_LB, "input shaft turning torque")
    assert asked is not None
    assert asked.suggestions == ("11 in·lb", f"11 {read_as}")
    assert question(parse("11", "torque", "in·lb"), 8 * IN_LB, 14 * IN_LB) is None
    # With its unit typed it was meant so; a pressure in its own window isn't asked about.
    assert question(parse("60 in·lb", "torque", read_as), 8 * IN_LB, 14 * IN_LB) is None
    assert question(parse("12", "pressure", "psi"), 70e3, 100e3) is None
    wrong = question(parse("12", "pressure", "kPa"), 70e3, 100e3, "leak test")
    assert wrong is not None and "12 psi" in wrong.suggestions


def test_a_plausible_reading_is_not_asked_about() -> None:
    assert question(parse("0.31 mm", "length"), 0.25e-3, 0.40e-3) is None
    assert question(parse("0.60 mm", "length"), 0.25e-3, 0.40e-3) is None


def test_a_reading_ten_times_off_is_asked_about_even_with_its_unit() -> None:
    far = question(Quantity("7 mm", 7e-3, "mm", "length"), 0.25e-3, 0.40e-3, "lash")
    assert far is not None
    assert "ten times" in far.because
