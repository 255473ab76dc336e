"""Practice values of instruments, told by their names."""

from __future__ import annotations

import pytest

from casewright.drive.schema import Feature
from casewright.tables.bench_instruments import (
    PRACTICE,
    UNKNOWN,
    practice_instrument,
    range_in_name,
)


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("micrometer 25-50", "micrometer"),
        ("bore gauge 50-150", "bore gauge"),
        ("Depth micrometer 0-25", "depth"),
        ("calliper 150", "calliper"),
        ("gear-tooth calliper 0.02", "gear-tooth"),
        ("Gear tooth calliper 1-26", "gear tooth"),
        ("bluetooth calliper 150", "calliper"),
        ("straight edge and feelers", "straight edge"),
        ("grandfather's thing", ""),
        ("", ""),
    ],
)
def test_the_sort_is_told_by_the_name(name: str, word: str) -> None:
    assert practice_instrument(name).word == word


def test_a_step_in_the_name_rules() -> None:
    assert practice_instrument("indicator 0.001").resolution == pytest.approx(1e-6)
    assert practice_instrument("indicator ,01").resolution == pytest.approx(1e-5)
    assert (
        practice_instrument("micrometer 0.5-1").resolution
        == practice_instrument("micrometer").resolution
    )


@pytest.mark.parametrize("name", ["indicator 0.0005 in", 'dial .0005"', "indicator 0.0005 inch"])
def test_a_step_in_inches_is_read_in_inches(name: str) -> None:
    """1 in is 25.4 mm exactly: half a thousandth is 12.7 µm, not half a micrometre."""
    assert practice_instrument(name).resolution == pytest.approx(0.0005 * 25.4e-3)


@pytest.mark.parametrize(
    ("name", "span"),
    [
        ("micrometer 25-50", (0.025, 0.050)),
        ("micrometer 0.5-1", (0.0127, 0.0254)),  # 1 in is 25.4 mm exactly
        ("bore gauge 50 to 150", (0.050, 0.150)),
        ("micrometer 4-5 in", (0.1016, 0.127)),
        ("dial 0-3 mm", (0.0, 0.003)),
        ("calliper 150", None),
        ("micrometer 50-25", None),
    ],
)
def test_a_range_in_the_name_is_read_in_millimetres_or_inches(
    name: str, span: tuple[float, float] | None
) -> None:
    found = range_in_name(name)
    assert found == (None if span is None else pytest.approx(span))


def test_what_is_not_known_is_taken_as_worse_than_what_is_made_for_the_job() -> None:
    finer = [row for row in PRACTICE if row.word in ("micrometer", "bore gauge", "indicator")]
    assert all(row.expanded < UNKNOWN.expanded for row in finer)
    assert all(row.repeatability < UNKNOWN.repeatability for row in finer)


def test_kinds_are_kinds_of_features() -> None:
    known = set(Feature.model_fields["kind"].annotation.__args__)  # type: ignore[union-attr]
    assert {kind for row in PRACTICE for kind in row.kinds} <= known
