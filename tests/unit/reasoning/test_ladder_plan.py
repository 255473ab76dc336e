"""The planned ladder as a person reads it."""

from __future__ import annotations

import pytest

from casewright.errors import RangeError
from casewright.reasoning.ladder import (
    Abandon,
    Ladder,
    PairCaution,
    Piece,
    Rung,
    Standing,
    Worth,
)
from casewright.reasoning.ladder_compare import (
    close_calls,
    compare_orders,
    price_of_saving,
    with_chances_scaled,
)
from casewright.reasoning.ladder_explain import plain_money, sentence
from casewright.reasoning.ladder_outlook import outlook_of_order, outlook_of_policy
from casewright.reasoning.ladder_plan import chance_now, plan_ladder
from casewright.reasoning.ladder_policy import solve
from casewright.reasoning.ladder_ratio import gentle_order, ratio_order

SOAK = Rung(
    "soak", "penetrant", "preparation", 5, wait=480, eases={"pull": (0.7,)}, marks=("penetrant",)
)
HEAT = Rung(
    "heat", "heat", "preparation", 12, eases={"pull": (0.4, 0.6)}, marks=("flame",),
    cautions=("Open the vents first.",),
)  # fmt: skip
PULL = Rung("pull", "puller", "attempt", 20, (0.6, 0.2), harm={"carrier": 0.1})
CUT = Rung("cut", "relief cuts", "attempt", 18, (0.97, 0.95), harm={"carrier": 1.0})
CARRIER = Piece("carrier", "bearing carrier", 420.0)


def job(wait_worth: float = 0.0, **changes: object) -> Ladder:
    ladder = Ladder(
        (SOAK, HEAT, PULL, CUT), (CARRIER,), ("tight", "welded"), (0.7, 0.3), Abandon(2000),
        Worth(1.5, wait_worth),
        (PairCaution("penetrant", "flame", "Wash the penetrant off first."),),
    )  # fmt: skip
    return ladder.with_piece("carrier", **changes) if changes else ladder


def test_the_plan_prepares_pulls_and_cuts_last() -> None:
    plan = plan_ladder(job())
    assert plan.order == ("soak", "heat", "pull", "cut")
    pull = plan.steps[2]
    # By hand: stuck 0.4·0.7·0.4 when tight, 0.8·0.7·0.6 when welded.
    assert pull.chance == pytest.approx(1 - (0.7 * 0.112 + 0.3 * 0.336))
    assert pull.cumulative == pytest.approx(pull.chance)
    assert pull.expected_cost == pytest.approx(20 * 1.5 + 0.1 * 420)
    assert [(risk.piece, risk.cost) for risk in pull.risks] == [("carrier", 420.0)]
    assert plan.outlook.mean == pytest.approx(plan.steps[0].cost_from_here)


def test_waiting_that_is_dear_drops_the_soak() -> None:
    assert "soak" not in plan_ladder(job(wait_worth=0.5)).order
    left = dict(plan_ladder(job(wait_worth=0.5)).left_out)
    assert left["soak"] > 0


def test_a_condemned_carrier_is_cut_at_once_and_the_reason_says_so() -> None:
    plan = plan_ladder(job(condemned=True))
    assert plan.order[0] == "cut"
    said = " ".join(sentence(reason) for reason in plan.steps[0].reasons)
    assert "bearing carrier, which is lost already" in said
    assert "18 min and risks nothing that you keep" in said


def test_a_pair_of_steps_carries_its_caution() -> None:
    plan = plan_ladder(job())
    assert plan.steps[1].cautions == ("Wash the penetrant off first.", "Open the vents first.")
    fresh = plan_ladder(job(wait_worth=0.5))
    assert fresh.steps[0].cautions == ("Open the vents first.",)
    done_before = plan_ladder(job(), Standing(("soak",)))
    assert done_before.steps[0].cautions[0] == "Wash the penetrant off first."


def test_harm_on_the_way_changes_what_comes_next() -> None:
    """A pull repeated spares the carrier; once the carrier is gone, the cut is the quicker."""
    twice = Rung("pull", "puller", "attempt", 20, (0.5, 0.5), harm={"carrier": 0.3}, repeats=2)
    ladder = Ladder(
        (twice, CUT), (CARRIER,), ("tight", "welded"), (0.7, 0.3), Abandon(2000), Worth(1.5)
    )
    first = plan_ladder(ladder).steps[0]
    assert first.rung == "pull"
    assert first.if_harmed == (("carrier", "cut"),)
    assert solve(ladder).next_rung(Standing(("pull",))) == "pull"


def test_every_reason_can_be_said() -> None:
    kinds = set()
    for ladder in (job(), job(condemned=True), job(wait_worth=0.5)):
        for step in plan_ladder(ladder).steps:
            for reason in step.reasons:
                kinds.add(reason.kind)
                text = sentence(reason, money=lambda amount: f"§{plain_money(amount)}")
                assert text.endswith(".")
                assert "{" not in text
    assert {"prepares", "spares", "price", "already_lost", "runner_up", "beats_stopping"} <= kinds


def test_failures_show_in_the_belief_and_in_a_reason() -> None:
    plan = plan_ladder(job(), Standing(("pull",)))
    # By hand: 0.7·0.4 against 0.3·0.8.
    assert plan.belief["welded"] == pytest.approx(0.24 / 0.52)
    assert "pull" not in plan.order


def test_saving_the_carrier_has_its_price_in_minutes() -> None:
    saving = price_of_saving(job(), "carrier")
    given_up = outlook_of_order(job(condemned=True), ("cut",))
    kept = outlook_of_policy(solve(job(condemned=True, harm_limit=0.5)))
    assert saving.possible
    assert saving.minutes == pytest.approx(kept.minutes - _minutes_given_up())
    assert saving.saved_if_protected == pytest.approx(1 - kept.harmed["carrier"])
    assert saving.saved_if_given_up < 0.05
    assert given_up.minutes == pytest.approx(18)
    assert not price_of_saving(job(), "carrier", limit=0.05).possible
    with pytest.raises(RangeError, match="piece"):
        price_of_saving(job(), "moon")


def _minutes_given_up() -> float:
    return outlook_of_policy(solve(job(condemned=True))).minutes


def test_the_comparison_is_never_in_favour_of_a_fixed_order() -> None:
    rows = compare_orders(job(condemned=True))
    assert rows.gentle_order == ("soak", "heat", "pull", "cut") == gentle_order(job())
    assert rows.planned.mean < rows.gentle.mean
    assert rows.planned.mean <= rows.expert.mean + 1e-9


def test_a_close_call_is_one_where_the_order_changes() -> None:
    """Two attempts whose ratios lie 10 % apart change places; the loss is the exact difference."""
    rungs = (
        Rung("a", "a", "attempt", 10, (0.50,)),
        Rung("b", "b", "attempt", 11, (0.50,)),
    )
    ladder = Ladder(rungs, (), ("any",), (1.0,), Abandon(500), Worth(1.0))
    calls = {(call.rung, round(call.factor, 1)): call for call in close_calls(ladder)}
    assert set(calls) == {("a", 0.7), ("b", 1.3)}
    call = calls["a", 0.7]
    assert (call.place, call.instead) == (0, "b")
    # By hand with p_a = 0.35: a first 10 + 0.65·11, b first 11 + 0.5·10.
    assert call.loss == pytest.approx((10 + 0.65 * 11) - (11 + 0.5 * 10))
    clear = Ladder((rungs[0], Rung("c", "c", "attempt", 40, (0.5,))), *_rest(ladder))
    assert close_calls(clear) == ()


def _rest(ladder: Ladder) -> tuple[object, ...]:
    return (ladder.pieces, ladder.grades, ladder.prior, ladder.abandon, ladder.worth)


def test_scaled_chances_stay_chances() -> None:
    scaled = with_chances_scaled(job(), 1.3)
    assert scaled.rung("cut").chances == (1.0, 1.0)
    assert scaled.rung("pull").chances == pytest.approx((0.78, 0.26))
    assert scaled.rung("heat").eases["pull"] == pytest.approx((0.22, 0.48))
    assert with_chances_scaled(job(), 0.5, "pull").rung("cut") == CUT


def test_chance_now_of_a_preparation_is_none_and_a_barred_rung_is_refused() -> None:
    policy = solve(job(harm_limit=0.5))
    assert chance_now(policy, Standing(), "heat") == 0.0
    with pytest.raises(RangeError):
        chance_now(policy, Standing(), "cut")


def test_orders_that_name_no_rung_are_refused() -> None:
    with pytest.raises(RangeError, match="order"):
        outlook_of_order(job(), ("moon",))
    with pytest.raises(RangeError, match="above 0"):
        ratio_order(["a"], [1.0], [0.0], 10.0)


def test_the_tail_of_a_two_step_job_by_hand() -> None:
    rungs = (Rung("a", "a", "attempt", 10, (0.85,)), Rung("b", "b", "attempt", 30, (0.5,)))
    ladder = Ladder(rungs, (), ("any",), (1.0,), Abandon(500), Worth(1.0))
    outlook = outlook_of_policy(solve(ladder))
    assert outlook.costs == pytest.approx((10, 40, 540))
    assert outlook.chances == pytest.approx((0.85, 0.075, 0.075))
    assert outlook.one_in_ten == pytest.approx(40)
    assert outlook.dearer_than(0.05) == pytest.approx(540)
    assert outlook.mean == pytest.approx(0.85 * 10 + 0.075 * 40 + 0.075 * 540)
