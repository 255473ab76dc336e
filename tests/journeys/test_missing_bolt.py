"""Six bolts, and at the bench it is never six: one is absent, one broke, one is hidden."""

from __future__ import annotations

from pathlib import Path

import pytest

from casewright.errors import FormErrors
from tests.journeys.bench import Bench, demo_state, demo_until

JOINT = "lower-off-upper"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Everything done that the separation waits for; no bolt counted yet."""
    bench = Bench(tmp_path).open()
    bench.say("step-done", step="drain-oil")
    bench.say("fasteners-counted", joint="anode-off", places=[1], fastener_state="out")
    bench.say("step-done", step="anode-off")
    bench.say("step-done", step="shift-link-off")
    return bench


def count(bench: Bench, *places: int, state: str = "out") -> None:
    bench.say("fasteners-counted", joint=JOINT, places=list(places), fastener_state=state)


def test_the_hidden_one_is_called_out_with_where_to_look(bench: Bench) -> None:
    assert "behind the trim anode" in bench.text("strip")


def test_absent_and_broken_are_answers_and_complete_the_count(bench: Bench) -> None:
    count(bench, 1, 2, 3, 6)
    count(bench, 4, state="absent")
    count(bench, 5, state="broken, stays in")
    places = bench.state.fasteners[JOINT]
    assert sorted(places) == [1, 2, 3, 4, 5, 6]
    assert places[4] == "absent"
    assert places[5] == "broken, stays in"


def test_a_place_that_the_joint_does_not_have_is_refused(bench: Bench) -> None:
    with pytest.raises(FormErrors) as caught:
        count(bench, 7)
    assert caught.value.mistakes[0].field == "places"


def test_the_separation_is_locked_until_the_count_is_whole(bench: Bench) -> None:
    count(bench, 1, 2, 3)
    before = bench.text("strip").lower()
    assert "lock" in before
    count(bench, 4, state="absent")
    count(bench, 5, state="broken, stays in")
    count(bench, 6)
    assert bench.text("strip").lower() != before


def test_the_room_says_absent_and_broken_by_name(bench: Bench) -> None:
    count(bench, 1, 2, 3, 6)
    count(bench, 4, state="absent")
    count(bench, 5, state="broken, stays in")
    bench.say("step-done", step=JOINT)
    said = bench.text("strip").lower()
    assert "absent" in said
    assert "broken" in said


def test_a_broken_bolt_becomes_a_joint_of_this_job_and_is_opened_like_any_other(
    bench: Bench,
) -> None:
    item = {
        "key": "stud-5-out",
        "name": "broken bolt 5 out",
        "kind": "other",
        "holds": ["upper.housing"],
    }
    bench.say("sheet-added", table="joints", item=item, because="bolt 5 broke off")
    assert "stud-5-out" in bench.state.lookup.joints
    bench.say("attempt", joint="stud-5-out", rung="weld", outcome="released")
    bench.say("step-done", step="stud-5-out")
    assert bench.state.steps["stud-5-out"].body.outcome == "done"


def test_a_miscounted_place_is_corrected_and_both_stay_in_the_log(bench: Bench) -> None:
    count(bench, 4)
    count(bench, 4, state="absent")
    assert bench.state.fasteners[JOINT][4] == "absent"
    assert len([a for a in bench.log.entries if a.entry.kind == "fasteners-counted"]) == 3


def test_the_demo_counted_every_joint_that_it_opened() -> None:
    state = demo_state("oyster-boat")
    for key in state.steps:
        joint = state.lookup.joints.get(key)
        if joint and joint.fasteners:
            assert sorted(state.fasteners[key]) == list(range(1, joint.fasteners.count + 1)), key


def test_the_half_way_job_still_waits_for_four_bolts() -> None:
    state = demo_state("survey-launch")
    assert sorted(state.fasteners[JOINT]) == [1, 2]
    assert JOINT not in state.steps
    assert "ring-nut-off" in state.stuck


def test_before_the_count_the_demo_had_not_separated_anything() -> None:
    assert JOINT not in demo_until("oyster-boat", "fasteners-counted", joint=JOINT).steps
