"""A bare-housing swap keeps old and new pieces apart, whatever order things are typed in."""

from __future__ import annotations

from pathlib import Path

import pytest

from casewright.job.needs import needs
from casewright.job.packs import latest_pack, pack_at
from casewright.job.verdicts import condemned_positions, piece_verdicts
from tests.journeys.bench import Bench, demo_state

OLD, NEW = "in:lower.housing", "housing-2"
OLD_BORE = ("80.052 mm", "80.061 mm", "80.048 mm", "80.058 mm", "80.066 mm", "80.050 mm")
NEW_BORE = ("79.962 mm", "79.964 mm", "79.963 mm", "79.961 mm", "79.964 mm", "79.962 mm")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A housing found worn, condemned, and a new one in its place for the first trial."""
    bench = Bench(tmp_path).open()
    bench.say("reading", target="ahead-cup-seat", values=OLD_BORE)
    bench.say(
        "pack-fitted",
        adjuster="ahead-pack",
        occasion="as-found",
        shims=["0.30 mm", "0.10 mm"],
        measured=True,
    )
    bench.say(
        "verdict", position="lower.housing", decision="replace", reason="the cup spun in its seat"
    )
    bench.say(
        "piece-known", piece=NEW, position="lower.housing", part="bare-lower-housing", origin="new"
    )
    bench.say("piece-placed", piece=NEW, position="lower.housing", occasion="trial-1")
    bench.say("reading", target="ahead-cup-seat", occasion="trial-1", values=NEW_BORE)
    return bench


def test_each_reading_belongs_to_the_housing_that_was_there(bench: Bench) -> None:
    old = bench.state.readings_of("ahead-cup-seat", piece=OLD)
    new = bench.state.readings_of("ahead-cup-seat", piece=NEW)
    assert [r.body.values for r in old] == [OLD_BORE]
    assert [r.body.values for r in new] == [NEW_BORE]


def test_a_reading_of_the_old_housing_typed_after_the_swap_goes_to_the_old_one(
    bench: Bench,
) -> None:
    bench.say(
        "reading",
        target="carrier-bore",
        occasion="as-found",
        values=("98.02 mm",),
        at="2026-03-03T16:00:00+00:00",
    )
    (late,) = bench.state.readings_of("carrier-bore")
    assert late.piece == OLD
    assert late.happened_at.startswith("2026-03-03")


def test_the_verdict_on_the_old_housing_is_not_taken_back_by_a_good_new_one(bench: Bench) -> None:
    bench.say(
        "verdict", position="lower.housing", piece=NEW, decision="use again", reason="all inside"
    )
    assert "lower.housing" in condemned_positions(bench.state)
    assert piece_verdicts(bench.state)["lower.housing"].piece == OLD


def test_the_need_is_filled_by_the_new_piece_and_stays_a_need(bench: Bench) -> None:
    (need,) = [n for n in needs(bench.state) if n.part == "bare-lower-housing"]
    assert (need.quantity, need.fitted, need.open) == (1, 1, 0)


def test_the_pack_stays_with_its_seat_over_the_swap(bench: Bench) -> None:
    before = latest_pack(bench.state, "ahead-pack")
    assert before is not None
    assert before.total == pytest.approx(0.40e-3)
    bench.say(
        "pack-fitted", adjuster="ahead-pack", occasion="trial-1", shims=["0.30 mm", "0.13 mm"]
    )
    found, trial = (
        pack_at(bench.state, "ahead-pack", occasion) for occasion in ("as-found", "trial-1")
    )
    assert found is not None
    assert trial is not None
    assert (found.total, trial.total) == (pytest.approx(0.40e-3), pytest.approx(0.43e-3))


def test_a_second_swap_keeps_three_housings_apart(bench: Bench) -> None:
    bench.say(
        "piece-known",
        piece="housing-donor",
        position="lower.housing",
        part="bare-lower-housing",
        origin="donor",
    )
    bench.say("piece-placed", piece="housing-donor", position="lower.housing", occasion="trial-2")
    bench.say("reading", target="ahead-cup-seat", occasion="trial-2", values=("79.970 mm",))
    state = bench.state
    assert {r.piece for r in state.readings_of("ahead-cup-seat")} == {OLD, NEW, "housing-donor"}
    occupants = [
        state.occupant("lower.housing", o) for o in ("as-found", "trial-1", "trial-2", "final")
    ]
    assert occupants == [OLD, NEW, "housing-donor", "housing-donor"]


def test_the_same_leg_next_year_starts_from_the_piece_that_is_in_it(tmp_path: Path) -> None:
    bench = Bench(tmp_path).open()
    bench.say(
        "piece-known",
        piece=NEW,
        position="lower.housing",
        part="bare-lower-housing",
        origin="came in",
    )
    bench.say("piece-placed", piece=NEW, position="lower.housing", occasion="as-received")
    bench.say("reading", target="ahead-cup-seat", values=("79.965 mm",))
    (reading,) = bench.state.readings_of("ahead-cup-seat")
    assert reading.piece == NEW


def test_inspection_tells_both_housings_of_the_demo(bench: Bench) -> None:
    said = bench.text("inspect")
    assert "replace" in said.lower()
    assert "80.0" in said


def test_hand_over_of_the_demo_names_what_was_replaced_and_asks_for_nothing() -> None:
    state = demo_state("oyster-boat")
    changed = {
        position.key
        for position in state.lookup.sheet.positions
        if state.occupant(position.key, "final") != state.occupant(position.key, "as-found")
    }
    assert condemned_positions(state) - changed == set()
    assert {"lower.housing", "lower.ahead.cup", "lower.ahead.cone"} <= changed
    assert "lower.pinion" not in changed
