"""Places, dials and thimbles: what was read where, and slips in it that may pass a bad part."""

from __future__ import annotations

import math

import pytest

from casewright.job.feature_verdicts import places_left
from casewright.job.rules import check_entry
from casewright.phases.inspect.oddities import oddities
from casewright.voice.forms import body_from
from tests.phases.cast import job, kinds
from tests.unit.job.bench_cast import OUTSIDE, entry, only, read, refused

SHAFT, HOUSING = "lower.prop.shaft", "lower.housing"
TURN = 8


# ---- gaps, places, dials -------------------------------------------------------------------


def test_the_largest_gap_under_a_straight_edge_is_judged_and_never_their_mean() -> None:
    gaps = (0.02, 0.02, 0.14)
    found = only(read("top-flange", *map(str, gaps)))
    assert found.measured.stands.sized is not None
    assert found.measured.stands.sized.budget is not None
    assert found.measured.stands.sized.budget.value == pytest.approx(max(gaps) * 1e-3)
    assert found.verdict is not None
    assert found.verdict.choice.value != "use again"


def test_a_dial_swings_to_both_sides_of_its_zero() -> None:
    """0.12 mm run-out with the dial zeroed half way: a cosine of 0.06 mm about nothing."""
    turn = [0.06 * math.sin(2 * math.pi * k / TURN) for k in range(TURN)]
    values = [f"{value:.3f}" for value in turn]
    made = entry("reading", target="prop-shaft-run-out", values=values, unit="mm")
    assert check_entry(job(), made) == ()
    found = only(read("prop-shaft-run-out", *values))
    assert found.measured.stands.sized is not None
    assert found.measured.stands.sized.turn is not None
    assert found.measured.stands.sized.turn.total_indicated == pytest.approx(0.12e-3, rel=0.01)
    alone = entry("reading", target="prop-shaft-run-out", values=["-0.06 mm"])
    assert "values" in refused(job(), alone)


@pytest.mark.parametrize("target", ["prop-shaft-run-out", "drive-shaft-run-out"])
def test_where_a_dial_stood_is_not_held_against_a_limit_but_how_far_it_moved(target: str) -> None:
    """A dial that isn't zeroed stands at millimetres; a straight shaft moves it by hundredths."""
    values = [f"{2.50 + 0.03 * math.cos(2 * math.pi * k / TURN):.2f}" for k in range(TURN)]
    assert check_entry(job(), entry("reading", target=target, values=values, unit="mm")) == ()
    far = ["0", "1.2", "2.4", "1.2", "0", "1.2", "2.4", "3.1"]
    (asked,) = check_entry(job(), entry("reading", target=target, values=far, unit="mm"))
    assert "largest less smallest" in asked.because
    assert "3.1" in asked.because


def test_diameters_behind_an_ovality_are_not_held_against_its_limit() -> None:
    oval = kinds.SheetAdded(
        table="features",
        item={
            "key": "oval", "name": "ovality", "position": HOUSING, "kind": "ovality",
            "high": "0.03 mm", "directions": 3,
        },
    )  # fmt: skip
    made = entry("reading", target="oval", values=["79.97", "79.96", "79.97"], unit="mm")
    assert check_entry(job(oval), made) == ()


def test_a_box_left_empty_leaves_the_other_marks_where_they_are() -> None:
    """Three of eight boxes of a pure cosine: by its angles the eccentricity is exact."""
    places = [f"{45 * k}°" for k in range(TURN)]
    full = [f"{0.10 * math.cos(math.pi / 4 * k):.6f}" for k in range(TURN)]
    boxes = [value if k < 3 else "" for k, value in enumerate(full)]
    fixed = '{"target": "prop-shaft-run-out"}'
    posted = {"fixed": [fixed], "values": boxes, "place": places, "unit": ["mm"]}
    body = body_from("reading", posted)
    assert body["at"] == places[:3]
    made = kinds.Reading.model_validate(body)
    found = only(made)
    assert found.measured.stands.sized is not None
    assert found.measured.stands.sized.turn is not None
    assert found.measured.stands.sized.turn.eccentricity == pytest.approx(0.10e-3, rel=1e-4)


@pytest.mark.parametrize("at", [["0°", "90°", "here"], ["0", "90", "180"], ["0°", "90°", "360°"]])
def test_marks_that_are_no_angles_or_the_same_are_refused(at: list[str]) -> None:
    values = ["0.00", "0.05", "0.02"]
    made = entry("reading", target="prop-shaft-run-out", values=values, unit="mm", at=at)
    assert set(refused(job(), made)) == {"at"}


def test_a_whole_place_left_out_along_a_shaft_is_never_taken_for_marks_left_out() -> None:
    bend = kinds.SheetAdded(
        table="features",
        item={
            "key": "bend", "name": "bend", "position": SHAFT, "kind": "run-out",
            "along": "0, 100, 200, 300 mm", "supports": "0, 300 mm", "directions": 8,
            "high": "0.1 mm",
        },
    )  # fmt: skip
    three = read("bend", *["0.00", "0.02", "0.04", "0.02", "0.00", "0.02", "0.04", "0.02"] * 3)
    found = only(bend, three)
    assert found.verdict is None
    assert "8 readings at each of the 4 places" in found.measured.stands.problem


def test_a_bore_is_good_only_once_all_its_places_are_read() -> None:
    some = only(read("carrier-bore", "98.020", "98.021"))
    assert places_left(some.measured) == 4
    assert some.verdict is not None
    assert some.verdict.choice.value == "read again"
    whole = only(read("carrier-bore", *["98.020"] * 6))
    assert whole.verdict is not None
    assert whole.verdict.choice.value == "use again"


def test_a_finer_reading_at_one_place_stands_for_all_only_where_all_were_proved_good() -> None:
    rough = read("carrier-bore", *["98.02"] * 5, "98.05", instrument="calliper 150")
    fine = read("carrier-bore", "98.021", instrument="bore gauge 50-150")
    found = only(rough, fine)
    assert found.measured.stands.instrument.name == "bore gauge 50-150"
    assert found.verdict is not None
    assert found.verdict.choice.value == "read again"
    proved = read("carrier-bore", *["98.020"] * 6, instrument="bore gauge 50-150")
    finer = read("carrier-bore", "98.020", "98.020", instrument="bore gauge 0.001")
    again = only(proved, finer)
    assert again.measured.stands.instrument.name == "bore gauge 0.001"
    assert again.verdict is not None
    assert again.verdict.choice.value == "use again"


@pytest.mark.parametrize(
    ("values", "left"), [(("0.01",), 0), (("0.00", "0.01"), 1), (("0",) * 3, 0)]
)
def test_round_a_turn_one_is_all_that_the_dial_moved_and_two_tell_nothing(
    values: tuple[str, ...], left: int
) -> None:
    found = only(read("prop-shaft-run-out", *values))
    assert places_left(found.measured) == left
    assert found.verdict is not None
    assert (found.verdict.choice.value == "read again") == bool(left)


# ---- thimbles, points, ranges --------------------------------------------------------------


@pytest.mark.parametrize(
    ("target", "values", "unit", "asked"),
    [
        ("prop-shaft-land", ["29.485"], "mm", True),  # the thimble's half millimetre
        ("prop-shaft-land", ["2.9985"], "mm", True),  # a decimal point, just under ten times
        ("prop-shaft-land", ["29.90"], "mm", False),
        ("carrier-bore", ["98.54"] * 6, "mm", True),
        ("ahead-cup-seat", ["80.06"] * 6, "mm", False),  # a seat worn by a turning ring
    ],
)
def test_a_misread_turn_of_the_thimble_is_asked_about(
    target: str, values: list[str], unit: str, asked: bool
) -> None:
    found = check_entry(job(), entry("reading", target=target, values=values, unit=unit))
    assert bool(found) == asked
    assert all("thimble" in one.because for one in found)


def test_three_heights_of_a_face_tell_nothing_and_four_its_flatness() -> None:
    at = ("0,0", "100,0", "0,80", "100,80")
    heights = ("0.00", "-0.05", "0.02", "0.04")
    made = entry("reading", target="top-flange", values=list(heights), unit="mm", at=list(at))
    assert check_entry(job(), made) == ()
    three = only(read("top-flange", *heights[:3], at=at[:3]))
    assert three.verdict is None
    four = only(read("top-flange", *heights, at=at))
    assert four.measured.stands.sized is not None
    assert four.measured.stands.sized.budget is not None
    # On a rectangle all residuals are a quarter of the twist h1 - h2 - h3 + h4; span is twice that.
    twist = abs(0.00 + 0.05 - 0.02 + 0.04) * 1e-3
    assert four.measured.stands.sized.budget.value == pytest.approx(twist / 2)


def test_a_micrometer_that_does_not_reach_is_said_and_its_reading_kept() -> None:
    small = read("carrier-outside", *["97.975"] * 3, instrument="micrometer 25-50")
    assert any("doesn't reach there" in one.words for one in oddities(job(small)))
    assert not oddities(job(OUTSIDE, rooms=("inspect",)))
