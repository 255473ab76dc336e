"""One voice for numbers: units as liked, chances in words, no false digits, minus zero is zero."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.voice.quantities import (
    Style,
    say,
    say_chance,
    say_change,
    say_minutes,
    say_pm,
    say_term,
    say_window,
    working_rows,
)
from casewright.working import Term, Working

METRIC, INCH = Style(), Style({"length": "in", "torque": "ft·lb", "temperature": "°F"})


def test_the_same_length_is_said_in_the_unit_that_is_liked() -> None:
    assert say(0.4e-3, "length", METRIC) == "0.400 mm"
    assert say(0.4e-3, "length", INCH) == "0.0157 in"
    assert say(None, "length", METRIC) == "not known"


def test_a_window_says_both_ends_one_end_or_that_it_is_missing() -> None:
    assert say_window(0.25e-3, 0.4e-3, "length", METRIC) == "0.250 to 0.400 mm"
    assert say_window(None, 0.4e-3, "length", METRIC) == "at most 0.400 mm"
    assert say_window(0.25e-3, None, "length", METRIC) == "at least 0.250 mm"
    assert say_window(None, None, "length", METRIC) == "not in the sheet"


def test_doubt_stands_behind_with_the_unit_once() -> None:
    assert say_pm(0.4e-3, 0.02e-3, "length", METRIC) == "0.400 ± 0.020 mm"


def test_a_temperature_difference_has_no_offset() -> None:
    assert say_change(10.0, "temperature", METRIC) == "+10.0 °C"
    assert say_change(10.0, "temperature", INCH) == "+18.0 °F"


def test_minus_zero_is_zero() -> None:
    assert say(-1e-9, "length", METRIC) == "0.000 mm"


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.72, "about 7 in 10 (72 %)"),
        (0.5, "about 5 in 10 (50 %)"),
        (0.03, "about 1 in 33 (3 %)"),
        (0.97, "about 97 in 100 (97 %)"),
        (0.999, "nearly certain (over 99 %)"),
        (0.001, "hardly ever (under 1 %)"),
    ],
)
def test_a_chance_is_said_in_words_and_per_cent(chance: float, words: str) -> None:
    assert say_chance(chance) == words


@given(st.floats(0, 1))
def test_the_words_of_a_chance_never_differ_much_from_its_per_cent(chance: float) -> None:
    match = re.match(r"about (\d+) in (\d+) \((\d+) %\)", say_chance(chance))
    if match:
        assert abs(int(match[1]) / int(match[2]) - chance) <= 0.051
        assert abs(int(match[3]) / 100 - chance) <= 0.0051
    else:
        assert chance < 0.01 or chance > 0.99


@pytest.mark.parametrize(
    ("minutes", "words"), [(45, "45 min"), (80, "1 h 20 min"), (120, "2 h"), (59.6, "1 h")]
)
def test_durations_are_said_as_people_do(minutes: float, words: str) -> None:
    assert say_minutes(minutes) == words


def test_a_working_unfolds_with_its_inputs_in_the_units_that_are_liked() -> None:
    working = Working(
        "Lamé",
        "p = …",
        (Term("interference", 45e-6, "m", "U"),),
        (Term("pressure", 7.13e6, "Pa"),),
        "X",
        estimate=True,
    )
    rows = dict(working_rows(working, METRIC))
    assert rows["interference (U)"] == "0.0450 mm"
    assert rows["pressure"] == "7130.00 kPa"
    assert rows["Standing"].startswith("an estimate")
    assert say_term(Term("ratio", 0.33333), METRIC) == "0.33333"
