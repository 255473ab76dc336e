"""Stuck joints on this job: the ladder follows from what is still to be saved."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import FormErrors
from casewright.job import kinds
from casewright.job.state import State
from casewright.phases import strip
from casewright.phases.strip.ladders import with_mean
from casewright.tables.ladder_defaults import FAMILIES
from tests.phases.cast import SETTINGS, job
from tests.phases.test_strip import TO_CARRIER, done, taken, wanted

STUCK = kinds.StepDone(step="carrier-out", outcome="stuck")
ALL_AROUND = ("lower.carrier", "lower.housing", "lower.prop.shaft", "lower.astern.bearing",
              "lower.astern.gear")  # fmt: skip


def condemned(*positions: str) -> list[kinds.Body]:
    return [
        kinds.VerdictGiven(position=one, decision="replace", reason="seen at the bench")
        for one in positions
    ]


def setting(name: str, value: str) -> kinds.Body:
    return kinds.SettingMade(name=name, value=value)


def stuck(*bodies: kinds.Body, **settings: object) -> strip.StuckView:
    state = job(*done(*TO_CARRIER), STUCK, *bodies)
    given_ = replace(SETTINGS, **settings).with_job(state.settings)  # type: ignore[arg-type]
    found = strip.view(state, given_)
    return next(one for one in found.stuck if one.joint == "carrier-out")


def rungs(view: strip.StuckView) -> tuple[str, ...]:
    assert view.plan is not None
    return view.plan.order


def test_a_stuck_joint_gets_the_ladder_that_its_sheet_names() -> None:
    found = stuck()
    assert found.family == "carrier"
    assert {one.name for one in found.pieces} >= {
        "bearing carrier",
        "lower housing",
        "propeller shaft",
    }


def test_relief_cuts_wait_while_the_carrier_is_good_and_lead_once_it_is_scrap() -> None:
    assert rungs(stuck())[0] != "relief"
    scrap = stuck(*condemned("lower.carrier", "lower.housing"))
    assert rungs(scrap)[0] == "relief"
    assert scrap.plan is not None
    assert scrap.plan.steps[0].risks == ()


def test_condemning_a_piece_never_makes_the_job_dearer() -> None:
    costs = []
    for count in range(len(ALL_AROUND) + 1):
        plan = stuck(*condemned(*ALL_AROUND[:count])).plan
        assert plan is not None
        costs.append(plan.outlook.mean)
    assert all(later <= earlier + 1e-9 for earlier, later in pairwise(costs))


def test_with_nothing_to_lose_the_cost_is_that_of_the_order_by_hand() -> None:
    """Own check: mean cost of the shown order by Bayes' rule, straight from the defaults table."""
    scrap = stuck(*condemned(*ALL_AROUND), waiting_per_day=24.0)
    family = {rung.id: rung for rung in FAMILIES["carrier"].rungs}
    assert scrap.plan is not None
    assert scrap.ladder is not None
    mass = np.array(FAMILIES["carrier"].prior)
    total, prepared = 0.0, list[str]()
    for name in scrap.plan.order:
        rung = family[name]
        total += float(mass.sum()) * (rung.minutes * SETTINGS.hourly_rate / 60 + rung.wait / 60)
        if rung.kind == "attempt":
            stays = 1.0 - np.array(rung.chances)
            for before in prepared:
                stays = stays * np.array(family[before].eases.get(name, (1.0,)))
            mass = mass * stays
        else:
            prepared.append(name)
    total += float(mass.sum()) * scrap.ladder.abandon.cost
    assert scrap.plan.outlook.mean == pytest.approx(total)


def test_seals_that_come_out_anyway_cost_nothing_and_those_that_stay_do() -> None:
    whole = {one.name: one.at_stake for one in stuck().pieces}
    seals = next(name for name in whole if "seal" in name.lower() or "O-ring" in name)
    assert whole[seals] == 0.0
    selective = stuck(wanted("carrier-out"))
    assert {one.name: one.at_stake for one in selective.pieces}[seals] > 0.0


def test_a_failed_try_lowers_the_odds_of_what_is_left() -> None:
    fresh = stuck()
    held = stuck(kinds.Attempt(joint="carrier-out", rung="turn", outcome="held"))
    assert fresh.plan is not None
    assert held.plan is not None
    assert held.plan.belief["welded"] > fresh.plan.belief["welded"]
    assert held.plan.outlook.released <= fresh.plan.outlook.released + 1e-9


def test_a_harmed_piece_is_lost_and_the_ladder_stops_sparing_it() -> None:
    harmed = kinds.Attempt(
        joint="carrier-out", rung="jack", outcome="held", harmed=("lower.carrier",)
    )
    line = next(one for one in stuck(harmed).pieces if one.positions == ("lower.carrier",))
    assert (line.at_stake, line.spared_why) == (0.0, "condemned already")


def test_what_the_latest_entry_changed_in_the_ladder_is_kept_beside_it() -> None:
    found = stuck(*condemned("lower.carrier"))
    assert found.before == rungs(stuck())
    assert found.before != rungs(found)


def test_a_protected_piece_bars_what_harms_it_often() -> None:
    guarded = stuck(setting("protect", "lower.carrier"))
    assert not {"relief", "bore", "puller", "jack"} & set(rungs(guarded))
    assert guarded.plan is not None
    assert {bar.what for bar in guarded.plan.bars} == {"bearing carrier"}


def test_a_tool_that_the_shop_lacks_bars_its_method_unless_it_can_be_hired() -> None:
    lacking = setting("tools-missing", "die grinder")
    scrap = condemned("lower.carrier", "lower.housing")
    assert "relief" not in rungs(stuck(lacking, *scrap))
    hired = stuck(lacking, setting("hire.die grinder", "15"), *scrap)
    assert "relief" in rungs(hired)
    assert hired.ladder is not None
    assert hired.ladder.rung("relief").hire == 15.0


def test_a_ladder_without_a_method_says_so_and_why() -> None:
    tools = "pin spanner,jacking screws,carrier puller,slide hammer,die grinder,boring set-up,torch"
    found = stuck(setting("tools-missing", tools))
    assert found.plan is None
    assert "No method of this ladder can be used" in found.trouble
    assert {bar.what for bar in found.bars} >= {"boring set-up", "die grinder"}


def test_an_unknown_kind_of_ladder_asks_for_one_and_takes_it() -> None:
    odd = kinds.SheetAdded(
        table="joints",
        item={"key": "odd-one", "name": "odd plug out", "kind": "other",
              "holds": ["lower.housing"], "ladder": "glued plug"},
    )  # fmt: skip
    sticks = kinds.StepDone(step="odd-one", outcome="stuck")
    (found,) = strip.view(job(odd, sticks), SETTINGS).stuck
    assert "glued plug" in found.trouble
    (known,) = strip.view(job(odd, sticks, setting("ladder.odd-one", "stud")), SETTINGS).stuck
    assert known.plan is not None


def test_a_method_that_the_ladder_does_not_have_is_refused_with_what_it_has() -> None:
    state = job(*done(*TO_CARRIER), STUCK)
    with pytest.raises(FormErrors, match="relief"):
        taken(state, kinds.Attempt(joint="carrier-out", rung="dynamite", outcome="held"))


def test_more_tries_than_the_table_expects_are_taken_as_they_happened() -> None:
    tries = [kinds.Attempt(joint="carrier-out", rung="turn", outcome="held")] * 4
    again = [kinds.Attempt(joint="carrier-out", rung="penetrant", outcome="prepared")] * 2
    four, one = stuck(*tries, *again), stuck(tries[0])
    assert four.plan is not None
    assert one.plan is not None
    assert four.plan.belief["welded"] > one.plan.belief["welded"]


def test_a_shock_before_the_puller_does_not_end_the_advice() -> None:
    steps = [*done(*TO_CARRIER, "anode-off", "shift-link-off", "carrier-out", "lower-off-upper",
                   "pump-off", "impeller-off", "cover-off", "pinion-nut-off"),
             kinds.StepDone(step="drive-shaft-out", outcome="stuck")]  # fmt: skip
    shock = kinds.Attempt(joint="drive-shaft-out", rung="shock", outcome="held")
    (found,) = strip.view(job(*steps, shock), SETTINGS).stuck
    assert found.plan is not None


def test_chances_typed_in_words_move_the_plan_and_nonsense_is_refused() -> None:
    often = stuck(setting("chance.carrier-out.turn", "nearly always"))
    assert often.plan is not None
    assert often.plan.steps[0].rung == "turn"
    assert often.plan.steps[0].chance == pytest.approx(0.95)
    with pytest.raises(FormErrors, match="chance from 0 to 1"):
        taken(job(), setting("chance.carrier-out.turn", "140 %"))


def test_prices_come_from_the_job_then_the_list_then_an_assumption_that_says_so() -> None:
    assumed = next(one for one in stuck().pieces if one.name == "bearing carrier")
    assert "invented" in assumed.basis
    offers = kinds.OffersImported(
        text="supplier,number,price,currency\nCockle,bearing-carrier,310,EUR\n"
    )
    listed = next(one for one in stuck(offers).pieces if one.name == "bearing carrier")
    assert (listed.price, listed.basis) == (310.0, "price list")
    said = stuck(offers, setting("price.bearing-carrier", "95"))
    line = next(one for one in said.pieces if one.name == "bearing carrier")
    assert (line.price, line.basis) == (95.0, "set for this job")


def test_stopping_counts_everything_that_stays_shut_in() -> None:
    whole, scrap = stuck(), stuck(*condemned("lower.pinion", "lower.drive.shaft"))
    assert whole.ladder is not None
    assert scrap.ladder is not None
    assert scrap.ladder.abandon.cost < whole.ladder.abandon.cost
    assert "pinion nut off" in whole.behind


def test_the_usual_order_is_never_cheaper_and_saving_a_piece_has_its_price() -> None:
    found = stuck()
    assert found.usual is not None
    assert found.plan is not None
    assert found.usual.mean >= found.plan.outlook.mean - 1e-9
    assert found.savings
    assert all(one.saved_if_protected >= one.saved_if_given_up - 1e-9 for one in found.savings)


def test_the_sheet_adds_what_a_method_endangers() -> None:
    steps = [*done(*TO_CARRIER, "anode-off", "shift-link-off", "carrier-out", "lower-off-upper",
                   "pump-off", "impeller-off", "cover-off", "pinion-nut-off", "drive-shaft-out",
                   "ahead-gear-out"),
             kinds.StepDone(step="ahead-cup-out", outcome="stuck"),
             wanted("ahead-cup-out")]  # fmt: skip
    (found,) = strip.view(job(*steps), SETTINGS).stuck
    assert found.ladder is not None
    assert found.ladder.rung("heat").harm["lower.drive.needle"] > 0


def test_the_sheets_own_chances_of_the_grades_are_used() -> None:
    odd = kinds.SheetAdded(
        table="joints",
        item={"key": "stiff", "name": "stiff stud", "kind": "other", "holds": ["lower.housing"],
              "ladder": "seized stud", "seizure": {"tight": 1, "welded": 3}},
    )  # fmt: skip
    (found,) = strip.view(job(odd, kinds.StepDone(step="stiff", outcome="stuck")), SETTINGS).stuck
    assert found.plan is not None
    assert found.plan.belief == pytest.approx({"tight": 0.25, "seized": 0.0, "welded": 0.75})


def test_a_joint_that_came_free_no_longer_sticks() -> None:
    free = kinds.Attempt(joint="carrier-out", rung="turn", outcome="released")
    state: State = job(*done(*TO_CARRIER), STUCK, free)
    found = strip.view(state, SETTINGS)
    assert found.stuck == ()
    assert found.next_line is not None


@given(
    chances=st.lists(st.floats(0.01, 0.99), min_size=3, max_size=3),
    weights=st.lists(st.floats(0.05, 1.0), min_size=3, max_size=3),
    mean=st.floats(0.02, 0.98),
)
def test_a_typed_chance_is_the_mean_over_the_grades_and_keeps_their_order(
    chances: list[float], weights: list[float], mean: float
) -> None:
    prior = np.array(weights) / sum(weights)
    moved = with_mean(tuple(chances), tuple(prior), mean)
    assert float(np.dot(prior, moved)) == pytest.approx(mean, abs=1e-9)
    order = np.argsort(chances, kind="stable")
    assert all(np.diff(np.array(moved)[order]) >= -1e-12)
