"""The torque log judged: window, tool, surface, overload, order."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import InputError, RangeError
from casewright.mechanics.tightening import (
    SURFACE_FRICTION,
    TorqueRecord,
    TorqueRule,
    audit_log,
    audit_order,
    audit_torque,
    plan_steps,
    surface_preload_change,
    way_to_turn,
)

WINDOW = TorqueRule("carrier bolts", "M10", low=43.0, high=53.0, surface="oiled", class_name="8.8")


def audit(torque, tool=0.04, surface=None, rule=WINDOW):
    return audit_torque(rule, TorqueRecord(torque, tool, surface))


@pytest.mark.parametrize(
    ("torque", "verdict"),
    [
        (48.0, "inside"),
        (44.0, "not proven"),  # 42.3 to 45.8
        (52.0, "not proven"),  # 50.0 to 54.2
        (41.0, "outside"),  # 39.4 to 42.7
        (56.0, "outside"),  # 53.8 to 58.3
        (54.0, "not proven"),  # over the edge as read, perhaps inside in truth
    ],
)
def test_the_tool_is_counted_at_both_edges_of_the_window(torque, verdict):
    assert audit(torque).verdict == verdict


def test_a_missing_torque_is_never_filled_in():
    rule = TorqueRule("plug", "M12x1.25", surface="dry", class_name="8.8")
    found = audit(30.0, rule=rule)
    assert found.verdict == "not in the sheet"
    assert any("none is assumed" in reason for reason in found.reasons)
    # What is known is still said: the bolt's preload and margin.
    assert found.preload is not None
    assert found.proof is not None


def test_a_sheet_with_nothing_but_a_name_still_gets_an_answer():
    found = audit(30.0, rule=TorqueRule("plug"))
    assert found.verdict == "not in the sheet"
    assert found.preload is None
    assert any("thread, friction or surface, face" in reason for reason in found.reasons)


def test_one_torque_without_a_window_passes_within_a_good_tool_only():
    rule = TorqueRule("cap", "M10", nominal=48.0)
    assert audit(48.0, rule=rule).verdict == "inside"
    assert audit(46.5, rule=rule).verdict == "inside"
    assert audit(45.0, rule=rule).verdict == "outside"
    assert audit(48.0, tool=0.2, rule=rule).verdict == "not proven"


def test_a_window_open_on_one_side_is_judged_on_that_side():
    assert audit(60.0, rule=TorqueRule("nut", low=40.0)).verdict == "inside"
    assert audit(60.0, rule=TorqueRule("nut", high=40.0)).verdict == "outside"


def test_oil_on_a_joint_meant_dry_is_outside_and_says_by_how_much():
    rule = TorqueRule("cap", "M10", low=43.0, high=53.0, surface="dry", class_name="8.8")
    found = audit(48.0, surface="oiled", rule=rule)
    assert found.verdict == "outside"
    assert found.preload_change is not None
    assert 0.4 <= found.preload_change <= 0.6
    assert any("Tightened oiled" in reason for reason in found.reasons)


def test_dry_for_oiled_loosens_by_as_much():
    change = surface_preload_change(
        "M10", SURFACE_FRICTION["oiled"], SURFACE_FRICTION["dry"], 12.815e-3
    )
    back = surface_preload_change(
        "M10", SURFACE_FRICTION["dry"], SURFACE_FRICTION["oiled"], 12.815e-3
    )
    assert (1 + change) * (1 + back) == pytest.approx(1)
    assert change < 0


def test_a_torque_that_may_pass_proof_or_yield_is_called_so():
    found = audit(48.0)  # lowest friction 0.08: 1.2 of yield with the twist
    assert found.above_proof
    assert any("yield" in reason for reason in found.reasons)
    calm = audit(
        48.0, rule=TorqueRule("x", "M10", low=43, high=53, surface="dry", class_name="8.8")
    )
    assert not calm.above_proof


def test_without_a_class_no_margin_is_claimed():
    found = audit(48.0, rule=TorqueRule("x", "M10", low=43.0, high=53.0, surface="dry"))
    assert found.proof is None
    assert any("property class not in the sheet" in reason for reason in found.reasons)


def test_the_sheets_own_friction_beats_the_practice_range():
    rule = TorqueRule("x", "M10", 48.0, surface="oiled", friction=(0.12, 0.12))
    found = audit(48.0, tool=0.0, rule=rule)
    assert found.preload is not None
    assert found.preload.low == pytest.approx(29_320, rel=5e-4)
    assert found.preload.ratio == pytest.approx(1)


def test_a_ring_nut_needs_its_own_face():
    rule = TorqueRule("ring nut", "M90x2", 400.0, surface="dry")
    assert audit(400.0, rule=rule).preload is None
    known = TorqueRule("ring nut", "M90x2", 400.0, surface="dry", friction_diameter=0.102)
    assert audit(400.0, rule=known).preload is not None


@pytest.mark.parametrize("torque", [0.0, -5.0, float("nan")])
def test_a_torque_of_nothing_is_refused(torque):
    with pytest.raises(RangeError):
        audit(torque)


def test_an_unknown_surface_and_an_upside_down_window_are_said():
    with pytest.raises(InputError, match="surface"):
        audit(48.0, surface="wet")
    with pytest.raises(InputError, match="window"):
        audit(48.0, rule=TorqueRule("x", "M10", low=60.0, high=50.0))


def test_one_bad_entry_does_not_hide_the_others():
    rules = (WINDOW, TorqueRule("plug", nominal=20.0), TorqueRule("cap", nominal=10.0))
    records = {
        "carrier bolts": TorqueRecord(48.0, 0.04),
        "plug": TorqueRecord(-1.0, 0.04),
        "stranger": TorqueRecord(5.0, 0.04),
    }
    first, second, third, fourth = audit_log(rules, records)
    assert getattr(first, "verdict", None) == "inside"
    assert "plug: reading" in str(second)
    assert third == "cap: no torque recorded"
    assert fourth == "stranger: recorded, but not in the sheet"


def test_missing_late_and_strange_steps_are_named():
    plan = plan_steps(["A", "B", "C", "D"], 2)
    done = [(1, "A"), (1, "C"), (1, "D"), (1, "B"), (2, "A"), (2, "A"), (2, "B"), (2, "X")]
    found = audit_order(plan, done)
    assert found.missing == ((2, "C"), (2, "D"))
    assert found.out_of_order == ((1, "B"),)
    assert found.repeated == ((2, "A"),)
    assert found.unknown == ((2, "X"),)
    assert not found.complete
    assert "out of order: B, stage 1" in found.words
    assert "missing: C, stage 2" in found.words


def test_all_steps_in_order_are_complete():
    plan = plan_steps(["1", "2", "3"], 3)
    assert audit_order(plan, plan).complete
    assert audit_order(plan, []).missing == plan


@settings(max_examples=40)
@given(st.permutations(range(6)), st.integers(0, 6))
def test_the_fewest_steps_are_called_out_of_order(order, count):
    """Brute force over all subsets that are in order."""
    plan = plan_steps([str(i) for i in range(6)], 1)
    done = [plan[i] for i in order[:count]]
    late = len(audit_order(plan, done).out_of_order)
    places = order[:count]
    best = max(
        size
        for size in range(count + 1)
        if any(list(part) == sorted(part) for part in combinations(places, size))
    )
    assert late == count - best


def test_a_plan_that_names_a_bolt_twice_is_refused():
    with pytest.raises(InputError):
        plan_steps(["A", "A"], 1)
    with pytest.raises(InputError):
        audit_order([(1, "A"), (1, "A")], [])
    with pytest.raises(RangeError):
        plan_steps(["A"], 0)


@pytest.mark.parametrize(
    ("thread", "aim", "way"),
    [
        ("M10", "tighten", "clockwise"),
        ("M10", "loosen", "counter-clockwise"),
        ("M10 LH", "tighten", "counter-clockwise"),
        ("M10 LH", "loosen", "clockwise"),
    ],
)
def test_the_way_to_turn_follows_the_hand_of_the_thread(thread, aim, way):
    assert way_to_turn(thread, aim) == way


def test_another_aim_is_refused():
    with pytest.raises(InputError):
        way_to_turn("M10", "turn")
