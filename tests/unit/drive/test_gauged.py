"""Teeth and threads in a sheet: what can't be meant is found, with what was expected."""

from __future__ import annotations

import pytest

from casewright.drive.load import check
from tests.phases.gauged_cast import SHEET


def found(old: str, new: str) -> list[tuple[str, str]]:
    """Findings of the sheet with one thing changed: weight and words."""
    assert old in SHEET
    _, findings = check(SHEET.replace(old, new, 1))
    return [(one.weight, str(one)) for one in findings]


def test_the_small_sheet_has_no_mistake() -> None:
    assert check(SHEET)[1] == ()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('at_height = "4.05 mm"', 'at_height = "4.05 in"', "deeper than a tooth"),
        ('at_height = "4.05 mm"', 'at_height = "0 mm"', "more than nothing"),
        ('at_height = "4.05 mm"', 'at_height = "-4 mm"', "more than nothing"),
        ('at_height = "4.05 mm"', 'at_height = "4 N"', "length"),
        ('high = "6.20 mm"', 'high = "6 N·m"', "expected a length"),
        ('high = "22.663 mm"', 'high = "22 N·m"', "expected a length"),
        ("directions = 3", "directions = 3\nheights = 2", "one height"),
        ('wire = "1.155 mm"', 'wire = "0.5 mm"', "1.010 mm to 2.020 mm"),
        ('wire = "1.155 mm"', 'wire = "0.0455 mm"', "is it in inches?"),
        ('wire = "1.155 mm"', 'wire = "1.155 in"', "is it in millimetres?"),
        ('thread = "M24x2"', 'thread = "M24y2"', "can't be read"),
        ('thread = "M24x2"\n', "", "needs the thread's designation"),
        ('kind = "tooth"', 'kind = "thickness"', "at_height is for a feature of kind tooth"),
        ('kind = "thread"', 'kind = "diameter"', "wire is for a feature of kind thread"),
    ],
)
def test_what_cannot_be_meant_is_a_mistake_that_says_what_is_expected(
    old: str, new: str, said: str
) -> None:
    assert any(weight == "mistake" and said in words for weight, words in found(old, new))


def test_limits_that_are_the_measure_over_the_wires_are_asked_about() -> None:
    """M24x2: pitch diameter 22.701 (ISO 724), over wires about 24.4."""
    findings = found('high = "22.663 mm"', 'high = "24.4 mm"')
    assert findings == [("warning", findings[0][1])]
    assert "isn't near the pitch diameter of M24x2, 22.701 mm" in findings[0][1]
