"""Chances in words and numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.reasoning.chances import WORDS, chance, nearest_word, said


@pytest.mark.parametrize(
    ("given_", "wanted"),
    [
        ("seldom", 0.10),
        ("Now  and then", 0.25),
        ("half", 0.5),
        ("usually", 0.75),
        ("nearly always", 0.95),
        ("7 in 10", 0.7),
        ("3 out of 4", 0.75),
        ("70 %", 0.7),
        ("70%", 0.7),
        (".7", 0.7),
        (0.7, 0.7),
        (1, 1.0),
    ],
)
def test_a_chance_is_read_as_it_is_typed(given_: str | float, wanted: float) -> None:
    assert chance(given_) == pytest.approx(wanted)


@pytest.mark.parametrize(
    "wrong", ["", "perhaps", "70", "-0.1", 1.01, "11 in 10", "1 in 0", "120 %"]
)
def test_what_is_no_chance_is_refused_with_the_field_named(wrong: str | float) -> None:
    with pytest.raises(RangeError, match=r"rung\.puller"):
        chance(wrong, "rung.puller")


def test_every_word_is_the_nearest_word_to_its_own_number() -> None:
    assert [nearest_word(value) for _, value in WORDS] == [word for word, _ in WORDS]


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        (0.0, "never"),
        (0.0004, "under 1 in 1000"),
        (0.04, "about 1 in 25"),
        (0.32, "about 3 in 10"),
        (0.5, "about even"),
        (0.68, "about 7 in 10"),
        (0.95, "about 19 in 20"),
        (1.0, "certain"),
    ],
)
def test_a_chance_is_said_in_round_counts(value: float, wanted: str) -> None:
    assert said(value) == wanted


@given(st.floats(0.001, 0.999))
def test_what_is_said_is_near_what_is_meant(value: float) -> None:
    text = said(value).removeprefix("about ").replace("even", "5 in 10")
    assert chance(text) == pytest.approx(value, abs=max(0.06, 0.0), rel=0.0)
    rare = min(value, 1 - value)
    if rare < 0.15:
        assert min(chance(text), 1 - chance(text)) == pytest.approx(rare, rel=0.25)
