"""Where to look: lips have a direction, joints don't (common practice, no source)."""

import pytest

from casewright.errors import MissingError
from casewright.mechanics.leak_places import Evidence, places_to_look


def words(**evidence):
    return [place.where for place in places_to_look(Evidence(**evidence))]


def test_the_hose_is_always_first():
    assert "hose" in words(under_pressure=True)[0]


def test_a_leak_only_under_vacuum_points_to_the_lip_that_faces_the_water():
    assert words(under_pressure=False, under_vacuum=True)[1].startswith("water-side")


def test_a_leak_only_under_pressure_points_to_the_lip_that_faces_the_oil():
    assert words(under_pressure=True, under_vacuum=False)[1].startswith("oil-side")


def test_a_leak_both_ways_points_to_a_joint():
    assert "O-rings" in words(under_pressure=True, under_vacuum=True)[1]


def test_a_leak_at_low_pressure_only_points_to_a_lip():
    assert words(under_pressure=True, at_low_pressure_only=True)[1].startswith("oil-side")


def test_turning_and_shifting_point_to_their_seals_first():
    assert "turned shaft" in words(under_pressure=True, when_shaft_turned=True)[1]
    assert "shift" in words(under_vacuum=True, when_shift_moved=True)[1]


def test_one_test_alone_asks_for_the_other():
    places = places_to_look(Evidence(under_pressure=True))
    assert any("vacuum test too" in place.because for place in places)


def test_no_test_no_answer():
    with pytest.raises(MissingError):
        places_to_look(Evidence())
