"""Viscosity grades: twenty, each about half as thick again as the one before."""

import itertools

from casewright.tables.viscosity_grades import GRADES, MID_POINTS


def test_there_are_twenty_grades_named_by_their_mid_points():
    assert len(GRADES) == 20
    assert set(GRADES) >= {2, 3, 5, 7, 46, 100, 3200}


def test_steps_are_about_half_as_much_again_and_grades_never_overlap():
    for low, high in itertools.pairwise(MID_POINTS):
        assert 1.36 < high / low < 1.55
        assert 1.1 * low < 0.9 * high
