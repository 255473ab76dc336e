"""Thread inserts beside the thread that they replace."""

from __future__ import annotations

import pytest

from casewright.errors import RangeError
from casewright.mechanics.inserts import insert_rework
from casewright.mechanics.stripping import stripping

ALUMINIUM = {"bolt_strength": 800e6, "parent_strength": 240e6, "parent_shear_ratio": 0.7}


def test_an_insert_carries_more_than_the_thread_it_replaces():
    found = insert_rework("M10", 0.015, **ALUMINIUM)
    assert found.insert_strip > found.former_strip
    # In the ratio of the diameters that shear: (9.732 + 1.299 · 1.5)/9.732, by hand 1.2002.
    assert found.insert_strip / found.former_strip == pytest.approx(1.2002, abs=1e-4)
    assert found.weakest == "bolt"
    assert found.working.estimate


def test_a_short_insert_is_told_from_a_long_one():
    short = insert_rework("M10", 0.008, former_length=0.015, **ALUMINIUM)
    assert short.weakest == "insert's seat"
    assert short.former_strip == pytest.approx(stripping("M10", 0.015, **ALUMINIUM).internal)


@pytest.mark.parametrize("length", [0.0, -0.01, float("nan")])
def test_no_length_is_refused(length):
    with pytest.raises(RangeError):
        insert_rework("M10", length, **ALUMINIUM)
    with pytest.raises(RangeError):
        insert_rework("M10", 0.015, former_length=length, **ALUMINIUM)
