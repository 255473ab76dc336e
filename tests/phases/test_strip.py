"""The strip room: order, locks, counts, readings in time, packs by seat, what changed."""

from __future__ import annotations

from typing import Any

import networkx as nx
import pytest

from casewright.errors import LockedError
from casewright.job import kinds
from casewright.job.entry import Entry, accept
from casewright.job.fold import fold
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.job.strip_changes import before_last
from casewright.job.strip_state import count_of, lock_of, packs_due
from casewright.phases import strip
from casewright.phases.strip.order import MINUTES
from tests.phases.cast import MOMENT, SETTINGS, job, log_of, opening

PREPARED = ("drain-oil", "anode-off", "shift-link-off")
TO_CARRIER = ("drain-oil", "propeller-nut-off", "propeller-off", "ring-nut-off")


def done(*steps: str) -> list[kinds.Body]:
    return [kinds.StepDone(step=step) for step in steps]


def counted(joint: str, *places: int, state: str = "out") -> kinds.Body:
    return kinds.FastenersCounted(joint=joint, places=places, fastener_state=state)  # type: ignore[arg-type]


def taken(state: State, body: kinds.Body) -> object:
    """What the rules say to a body as the next entry."""
    return check_entry(
        state, Entry("new-one", body.KIND, body.model_dump(mode="json"), "AB", MOMENT)
    )


def wanted(*keys: str) -> kinds.Body:
    return kinds.SettingMade(name="strip-wanted", value=",".join(keys))


def view(state: State) -> strip.StripView:
    return strip.view(state, SETTINGS)


def block_graph(state: State) -> Any:
    """The sheet's blocks as a graph of networkx, ways of which one is enough left out."""
    graph: Any = nx.DiGraph()
    graph.add_nodes_from(joint.key for joint in state.lookup.sheet.joints)
    for block in state.lookup.sheet.blocks:
        graph.add_edges_from((first, block.joint) for first in block.after)
    return graph


@pytest.mark.parametrize("sheet", ["winkle-3", "whelk-4", "skeleton-leg-under-a-hull"])
def test_the_list_respects_every_block_and_every_deadline(sheet: str) -> None:
    state = job(sheet=sheet)
    order = [line.key for line in view(state).lines]
    place = {key: k for k, key in enumerate(order)}
    for first, then in block_graph(state).edges:
        assert place[first] < place[then]
    for block in state.lookup.sheet.blocks:
        for_any = [max(place[k] for k in way) < place[block.joint] for way in block.after_any]
        assert not for_any or any(for_any)
    for response in state.lookup.sheet.responses:
        for joint in response.as_found_before:
            assert place[f"read:{response.key}"] < place[joint]
    assert {j.key for j in state.lookup.sheet.joints} <= set(order)


def test_the_minutes_add_up_when_the_list_is_walked_by_hand() -> None:
    found = view(job())
    lines = [line for line in found.lines if line.kind != "photo"]
    tool, posture, people, clock = "", "", 1, 0.0
    for line in lines:
        now_tool = tool if line.tool in ("", "hand") else line.tool
        now_posture = posture if line.posture in ("", "bench") else line.posture
        hands = line.people if line.kind == "joint" else 1
        clock += MINUTES["tool-change"] * (now_tool != tool)
        clock += MINUTES["posture-change"] * (now_posture != posture)
        clock += MINUTES["calling"] * max(hands - people, 0)
        photo = any(one.key == f"photo:{line.key}" for one in found.lines)
        clock += line.minutes + MINUTES["pack"] * len(line.packs) + MINUTES["photo"] * photo
        tool, posture, people = now_tool, now_posture, hands
    assert found.plan is not None
    assert found.plan.proven
    assert clock == pytest.approx(found.plan.minutes)


def test_a_selective_strip_opens_what_the_wanted_part_needs_and_no_more() -> None:
    state = job(wanted("lower.prop.shaft"))
    graph = block_graph(state)
    holding = [j.key for j in state.lookup.sheet.joints if "lower.prop.shaft" in j.holds]
    needed = set(holding).union(*(nx.ancestors(graph, key) for key in holding))
    joints = [line.key for line in view(state).lines if line.kind == "joint"]
    assert set(joints) == needed
    assert "lower-off-upper" not in joints


def test_a_bare_housing_means_everything_out_of_its_unit() -> None:
    lines = view(job(wanted("lower.housing"))).lines
    assert {"ahead-cup-out", "needle-out", "lower-cup-out"} <= {line.key for line in lines}


def test_a_step_that_is_not_possible_yet_is_refused_and_names_what_comes_first() -> None:
    state = job()
    with pytest.raises(LockedError, match="propeller nut off"):
        taken(state, kinds.StepDone(step="propeller-off"))
    assert taken(job(*done("propeller-nut-off")), kinds.StepDone(step="propeller-off")) == ()


def test_a_separation_stays_locked_until_each_place_is_answered() -> None:
    prepared = [*done(*PREPARED), counted("lower-off-upper", 1, 2, 3, 4, 5)]
    lock = lock_of(job(*prepared), "lower-off-upper")
    assert (lock.shut, lock.uncounted) == (True, (6,))
    with pytest.raises(LockedError, match="hidden"):
        taken(job(*prepared), kinds.StepDone(step="lower-off-upper"))
    whole = job(*prepared, counted("lower-off-upper", 6, state="broken, stays in"))
    assert taken(whole, kinds.StepDone(step="lower-off-upper")) == ()


def test_a_lock_opens_with_a_reason_and_says_so() -> None:
    state = job(
        *done(*PREPARED), kinds.LockOpened(lock="lower-off-upper", reason="six has no bolt at all")
    )
    assert taken(state, kinds.StepDone(step="lower-off-upper")) == ()
    assert lock_of(state, "lower-off-upper").opened_because == "six has no bolt at all"


def test_no_force_on_a_separation_that_is_not_counted() -> None:
    state = job(*done(*PREPARED))
    pull = kinds.Attempt(joint="lower-off-upper", rung="bar", outcome="held")
    with pytest.raises(LockedError, match="not counted"):
        taken(state, pull)
    creep = kinds.Attempt(joint="lower-off-upper", rung="penetrant", outcome="prepared")
    assert taken(state, creep) == ()


def test_the_card_stays_with_the_count_when_an_uncounted_separation_sticks() -> None:
    stuck = kinds.StepDone(step="lower-off-upper", outcome="stuck")
    found = view(job(*done(*PREPARED), stuck))
    assert found.next_stuck is not None
    assert "not counted" in found.next_stuck.locked


def test_a_place_is_counted_once_and_the_rest_is_open() -> None:
    state = job(counted("cover-off", 1, 3), counted("cover-off", 3, state="absent"))
    count = count_of(state, state.lookup.joints["cover-off"])
    assert count is not None
    assert (count.states, count.missing) == ({1: "out", 3: "absent"}, (2, 4))


def test_a_pack_that_is_out_goes_before_everything_else_until_it_is_measured() -> None:
    steps = done(*TO_CARRIER, "carrier-out")
    due = [adjuster.key for adjuster in packs_due(job(*steps))]
    assert due == ["astern-pack", "thrust-ring"]
    found = view(job(*steps))
    assert found.next_pack is not None
    assert found.next_pack.adjuster == "astern-pack"
    packs = [
        kinds.PackFitted(adjuster="astern-pack", occasion="as-found", shims=("0.50 mm", "0.13 mm")),
        kinds.PackFitted(adjuster="thrust-ring", occasion="as-found", shims=("2.60 mm",)),
    ]
    measured = view(job(*steps, *packs))
    assert measured.next_pack is None
    total = next(p.found for p in measured.packs if p.adjuster == "astern-pack")
    assert total is not None
    assert total.total == pytest.approx(0.63e-3)


def test_an_as_found_reading_that_is_too_late_is_said_and_not_asked_for() -> None:
    found = view(job(*done(*TO_CARRIER)))
    assert "ahead lash" in {name for name, _ in found.lost}
    assert "propeller-play" not in {line.target for line in found.readings}


def test_a_reading_taken_or_waived_leaves_the_list() -> None:
    read = kinds.Reading(target="propeller-play", values=("0.24 mm",))
    waived = kinds.StepDone(step="read:ahead-lash", outcome="skipped")
    targets = {line.target for line in view(job(read, waived)).readings}
    assert targets == {"astern-lash", "drive-preload"}


def test_like_readings_and_photographs_come_before_what_destroys_them() -> None:
    keys = [line.key for line in view(job()).lines]
    assert keys.index("photo:cover-off") < keys.index("cover-off")
    assert "photo:drain-oil" not in keys
    assert "photo:cover-off" not in [line.key for line in view(job(*done("photo:cover-off"))).lines]


def test_hidden_fasteners_sides_one_time_parts_and_left_hand_threads_are_called_out() -> None:
    lines = {line.key: line for line in view(job()).lines}
    assert lines["lower-off-upper"].count is not None
    assert "anode" in lines["lower-off-upper"].count.hidden[6]
    assert lines["lower-off-upper"].sides == ("port", "starboard", "below")
    assert "clockwise" in lines["ring-nut-off"].turns
    assert any("tab washer" in one for one in lines["ring-nut-off"].one_time)


def test_giving_a_joint_up_takes_it_and_what_is_behind_it_off_the_list() -> None:
    stop = kinds.Attempt(joint="carrier-out", rung="stop", outcome="abandoned")
    state = job(*done(*TO_CARRIER), stop)
    found = view(state)
    keys = {line.key for line in found.lines}
    behind = nx.descendants(block_graph(state), "carrier-out")
    assert not keys & ({"carrier-out"} | behind)
    assert "lower-off-upper" in keys
    assert found.given_up[0][0] == "bearing carrier out of the housing"


def test_the_list_is_planned_again_and_marks_what_changed() -> None:
    before = [line.key for line in view(job(*done(*TO_CARRIER))).lines]
    after = view(job(*done(*TO_CARRIER, "carrier-out")))
    moved = {line.key for line in after.lines if line.mark}
    assert moved
    assert after.changed == "bearing carrier out of the housing: done"
    unmoved = [before.index(line.key) for line in after.lines if not line.mark]
    assert unmoved == sorted(unmoved)
    with_them = [before.index(line.key) for line in after.lines]
    assert with_them != sorted(with_them)


def test_an_entry_that_changes_no_order_marks_nothing() -> None:
    first = view(job()).lines[0].key
    after = view(job(*done(first)))
    assert not after.changed
    assert not any(line.mark for line in after.lines)


def test_a_broken_fastener_is_offered_as_a_joint_of_its_own_that_comes_after() -> None:
    broken = [*done(*PREPARED), counted("lower-off-upper", 1, 2, 3, 4, 6),
              counted("lower-off-upper", 5, state="broken, stays in")]  # fmt: skip
    (stud,) = view(job(*broken)).studs
    joint, place, key, position = stud
    assert (joint, place) == ("lower-off-upper", 5)
    added = kinds.SheetAdded(
        table="joints",
        item={"key": key, "name": "broken bolt 5", "kind": "other", "holds": [position],
              "ladder": "seized stud"},
    )  # fmt: skip
    state = job(*broken, added)
    found = view(state)
    assert found.studs == ()
    keys = [line.key for line in found.lines]
    assert keys.index("lower-off-upper") < keys.index(key)


def test_a_loop_typed_at_the_bench_is_named_and_nothing_is_lost() -> None:
    loop = kinds.SheetAdded(
        table="blocks", item={"joint": "drain-oil", "after": ["carrier-out"], "because": "a slip"}
    )
    found = view(job(*done("propeller-nut-off"), loop))
    assert found.plan is None
    assert "never come out" in found.trouble
    assert "waits for" in found.trouble
    assert "drain-oil" not in found.trouble
    assert [line.key for line in found.done] == ["propeller-nut-off"]


def test_an_empty_job_and_a_sheet_without_joints_are_no_trouble() -> None:
    assert not view(State()).has_sheet
    bare = '[sheet]\nsheet_version = 1\nkey = "bare-1"\nname = "Bare (invented)"\n'
    found = view(job(sheet=bare))
    assert found.lines == ()
    assert not found.trouble


def test_several_steps_in_one_go_are_one_entry_and_share_its_minutes() -> None:
    ticked = kinds.StepDone.model_validate({"also": ["drain-oil", "anode-off"], "minutes": 16})
    state = job(ticked)
    assert [(key, kept.body.minutes) for key, kept in state.steps.items()] == [
        ("drain-oil", 8.0), ("anode-off", 8.0),
    ]  # fmt: skip
    assert strip.view(state, SETTINGS).minutes_spent == 16
    assert before_last(state)[0].steps == {}
    assert before_last(state)[1] == "drain the oil and 1 more: done"


def test_steps_ticked_together_open_the_way_for_those_after_them_and_no_other() -> None:
    entry = Entry("several-1", "step-done", {"also": ["propeller-nut-off", "propeller-off"]}, "AB",
                  "2026-03-04T09:00:00+00:00")  # fmt: skip
    assert check_entry(job(), entry) == ()
    wrong = Entry("several-2", "step-done", {"also": ["propeller-off", "propeller-nut-off"]}, "AB",
                  "2026-03-04T09:00:00+00:00")  # fmt: skip
    with pytest.raises(LockedError):
        check_entry(job(), wrong)


def test_a_correction_of_several_steps_takes_all_of_them_back() -> None:
    bodies = [*opening(), kinds.StepDone(step="drain-oil", also=("anode-off",))]
    log = log_of(bodies)
    better = kinds.StepDone(step="drain-oil").model_dump(mode="json")
    entry = Entry("better-01", "step-done", better, "AB", log[-1].entry.happened_at,
                  supersedes=log[-1].entry.id)  # fmt: skip
    corrected = [*log, accept(entry, len(log) + 1, entry.happened_at, log[-1].hash)]
    assert list(fold(corrected).steps) == ["drain-oil"]
