"""What the entries add up to: corrections, conflicts, pieces, occasions, late entries."""

from __future__ import annotations

import dataclasses

from casewright.job import kinds
from casewright.job.entry import Accepted, accept
from casewright.job.fold import fold
from casewright.job.needs import needs
from casewright.job.packs import latest_pack, shelf
from casewright.job.verdicts import condemned_positions, piece_verdicts
from tests.phases.cast import job, log_of, opening


def relinked(log: list[Accepted]) -> list[Accepted]:
    """The same entries, their chain made anew after a test has changed one."""
    before, linked = "0" * 64, []
    for number, old in enumerate(log, start=1):
        made = accept(old.entry, number, old.recorded_at, before)
        before = made.hash
        linked.append(made)
    return linked


def test_a_correction_supersedes_and_the_first_answer_stays_in_the_log() -> None:
    log = log_of([*opening(), kinds.Complaint(words="hums"), kinds.Complaint(words="howls")])
    fixed = dataclasses.replace(log[3].entry, supersedes=log[2].entry.id)
    state = fold(relinked([*log[:3], dataclasses.replace(log[3], entry=fixed)]))
    assert state.complaint is not None
    assert state.complaint.body.words == "howls"
    assert state.count == 4


def test_what_is_withdrawn_no_longer_counts() -> None:
    note = kinds.StepDone(step="drain-oil")
    state = job(note, kinds.Withdrawn(entry="entry-0003", reason="wrong leg"))
    assert "drain-oil" not in state.steps


def test_two_answers_by_writers_who_had_not_seen_each_other_are_kept_and_shown() -> None:
    first = kinds.FunctionTested(test="pump-flow", passed=True)
    second = kinds.FunctionTested(test="pump-flow", passed=False)
    log = log_of([*opening(), first, second])
    seen = [dataclasses.replace(a, entry=dataclasses.replace(a.entry, seen=2)) for a in log[2:]]
    state = fold(relinked([*log[:2], *seen]))
    (conflict,) = state.conflicts
    assert conflict.entries == ("entry-0003", "entry-0004")
    settled = kinds.Settled(keep="entry-0003", drop=("entry-0004",), reason="AB saw it run")
    after = log_of([*opening(), first, second, settled])
    joined = [*log[:2], *seen, after[4]]
    state = fold(relinked(joined))
    assert state.conflicts == ()
    assert state.functions["pump-flow"].body.passed


def test_a_second_answer_by_someone_who_saw_the_first_is_no_conflict() -> None:
    log = log_of(
        [*opening(), *(kinds.FunctionTested(test="pump-flow", passed=p) for p in (False, True))]
    )
    saw = dataclasses.replace(log[3], entry=dataclasses.replace(log[3].entry, seen=3))
    state = fold(relinked([*log[:3], saw]))
    assert state.conflicts == ()
    assert state.functions["pump-flow"].body.passed


def test_a_housing_swap_keeps_old_and_new_apart() -> None:
    state = job(
        kinds.Reading(target="ahead-cup-seat", occasion="as-found", values=("80.06 mm",)),
        kinds.PieceKnown(piece="housing-2", position="lower.housing", origin="new"),
        kinds.PiecePlaced(piece="housing-2", position="lower.housing", occasion="trial-1"),
        kinds.Reading(target="ahead-cup-seat", occasion="trial-1", values=("79.96 mm",)),
        # typed late: what was found before the swap still belongs to the old housing
        kinds.Reading(target="carrier-bore", occasion="as-found", values=("98.06 mm",)),
    )
    pieces = [(r.body.target, r.piece) for r in state.readings]
    assert pieces == [
        ("ahead-cup-seat", "in:lower.housing"),
        ("ahead-cup-seat", "housing-2"),
        ("carrier-bore", "in:lower.housing"),
    ]
    assert state.occupant("lower.housing", "final") == "housing-2"
    assert state.occupant("lower.housing", "as-found") == "in:lower.housing"


def test_a_limit_typed_at_the_bench_is_in_force_with_its_source() -> None:
    state = job(kinds.LimitAdded(target="prop-shaft-spline", high="0.2 mm", source="owner's book"))
    feature = state.lookup.features["prop-shaft-spline"]
    assert feature.high is not None
    assert (feature.high.text, feature.source) == ("0.2 mm", "owner's book")


def test_a_broken_off_stud_is_a_new_joint() -> None:
    stud = {
        "key": "stud-7",
        "name": "broken-off stud 7",
        "kind": "fasteners",
        "holds": ["lower.housing"],
        "fasteners": {"count": 1, "thread": "M10"},
        "ladder": "seized stud",
    }
    state = job(kinds.SheetAdded(table="joints", item=stud))
    assert state.lookup.joints["stud-7"].ladder == "seized stud"


def test_an_addition_that_is_not_whole_is_said_and_nothing_else_is_lost() -> None:
    state = job(kinds.SheetAdded(table="joints", item={"key": "x"}), kinds.Noted(words="on"))
    assert any("isn't whole" in odd for odd in state.oddities)
    assert state.notes


def test_rules_of_the_sheet_apply_by_themselves() -> None:
    state = job(
        kinds.StepDone(step="carrier-seals-out"),
        kinds.VerdictGiven(position="lower.ahead.cup", decision="replace", reason="spun in bore"),
    )
    verdicts = piece_verdicts(state)
    assert verdicts["lower.prop.seal-inner"].by == "the sheet's rule"
    assert verdicts["lower.carrier.needle"].decision == "replace"
    assert verdicts["lower.ahead.cone"].reason.startswith("goes with ahead gear cup")
    assert "lower.ahead.gear" not in condemned_positions(state)


def test_the_need_list_counts_alike_parts_and_sees_what_is_fitted() -> None:
    state = job(
        kinds.StepDone(step="carrier-seals-out"),
        kinds.PieceKnown(piece="seal-a", position="lower.prop.seal-inner", origin="new"),
        kinds.PiecePlaced(piece="seal-a", position="lower.prop.seal-inner", occasion="final"),
    )
    (seals,) = [need for need in needs(state) if need.part == "propeller-seal"]
    assert (seals.quantity, seals.fitted, seals.open) == (2, 1, 1)


def test_the_shelf_goes_down_as_packs_are_fitted_and_up_when_a_trial_is_taken_out() -> None:
    lines = tuple(kinds.ShelfLine(size=size, count=4) for size in ("0.10 mm", "0.30 mm"))
    first = kinds.PackFitted(adjuster="ahead-pack", occasion="trial-1", shims=("0.10 mm",) * 3)
    second = kinds.PackFitted(adjuster="ahead-pack", occasion="trial-2", shims=("0.30 mm",))
    left = {size.text: size.left for size in shelf(job(kinds.ShelfCounted(lines=lines), first))}
    assert left == {"0.10 mm": 1, "0.30 mm": 4}
    state = job(kinds.ShelfCounted(lines=lines), first, second)
    assert {size.text: size.left for size in shelf(state)} == {"0.10 mm": 4, "0.30 mm": 3}
    pack = latest_pack(state, "ahead-pack")
    assert pack is not None
    assert pack.occasion == "trial-2"


def test_the_same_log_folds_to_the_same_state() -> None:
    log = log_of([*opening(), kinds.Complaint(words="hums")])
    assert fold(log) == fold(log)
