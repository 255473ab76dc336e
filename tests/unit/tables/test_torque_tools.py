"""Limits of torque tools go by the tool, not by the reading."""

from __future__ import annotations

import pytest

from casewright.errors import InputError, RangeError
from casewright.tables.torque_tools import TEST_SHARES, permissible_deviation


def test_the_limit_goes_by_the_tools_largest_torque():
    assert permissible_deviation(10.0, 2.0) == 0.06
    # 8 N·m on a tool of 40 N·m: by the reading it would be 6 %.
    assert permissible_deviation(40.0, 8.0) == 0.04


@pytest.mark.parametrize("share", TEST_SHARES)
def test_the_test_points_are_inside_the_range(share):
    assert permissible_deviation(60.0, share * 60.0) == 0.04


@pytest.mark.parametrize(
    ("largest", "torque"), [(100, 19.9), (100, 101), (0, 0), (float("nan"), 1)]
)
def test_outside_its_range_a_tool_has_no_limit(largest, torque):
    with pytest.raises(RangeError):
        permissible_deviation(largest, torque)


def test_wider_classes_keep_six_per_cent_and_unknown_ones_are_refused():
    assert permissible_deviation(100.0, tool_class="ID") == 0.06
    with pytest.raises(InputError, match="IIA"):
        permissible_deviation(100.0, tool_class="III")
