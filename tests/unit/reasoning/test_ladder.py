"""What a ladder is made of, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from casewright.errors import FormErrors, InfeasibleError, RangeError
from casewright.reasoning.ladder import (
    Abandon,
    Ladder,
    Piece,
    Rung,
    Standing,
    Worth,
    barred,
    check_ladder,
)
from casewright.reasoning.ladder_policy import solve

PULL = Rung("pull", "puller", "attempt", 10, (0.6, 0.2), tool="puller", harm={"carrier": 0.1})
CUT = Rung("cut", "relief cuts", "attempt", 18, (0.95, 0.9), harm={"carrier": 1.0}, after=("pull",))
HEAT = Rung("heat", "heat", "preparation", 15, eases={"pull": (0.5, 0.8)})
CARRIER = Piece("carrier", "bearing carrier", 300.0)
GOOD = Ladder(
    (HEAT, PULL, CUT), (CARRIER,), ("tight", "welded"), (0.7, 0.3), Abandon(900), Worth(1.4, 0.05)
)


def test_nothing_is_at_stake_on_a_condemned_or_one_time_piece() -> None:
    assert CARRIER.at_stake == 300.0
    assert replace(CARRIER, condemned=True).at_stake == 0.0
    assert replace(CARRIER, one_time=True).at_stake == 0.0


def test_all_mistakes_of_a_ladder_are_told_at_once() -> None:
    bad = replace(
        GOOD,
        prior=(0.7, 0.7),
        rungs=(
            replace(HEAT, eases={"ghost": (0.5,), "pull": (0.5, 0.5, 0.5)}),
            replace(PULL, chances=(1.4, 0.2), minutes=-1, harm={"moon": 0.1}),
            replace(CUT, id="pull", breaks=0.2),
        ),
    )
    with pytest.raises(FormErrors) as caught:
        check_ladder(bad)
    fields = set(caught.value.by_field())
    assert {"prior", "rung.heat.eases", "rung.heat.eases.pull", "rung.pull.chances[0]"} <= fields
    assert {"rung.pull.minutes", "rung.pull.harm", "rung.pull", "rung.pull.breaks"} <= fields


def test_a_chance_outside_0_to_1_names_its_field() -> None:
    bad = replace(GOOD, rungs=(HEAT, replace(PULL, harm={"carrier": 1.5}), CUT))
    with pytest.raises(FormErrors, match=r"rung\.pull\.harm\.carrier: got 1\.5"):
        solve(bad)


def test_a_ladder_without_a_usable_method_says_why_for_each() -> None:
    shut = replace(
        GOOD,
        rungs=(HEAT, replace(PULL, owned=False), CUT),
        pieces=(replace(CARRIER, harm_limit=0.5),),
    )
    with pytest.raises(InfeasibleError) as caught:
        solve(shut)
    assert "no puller" in str(caught.value)
    assert "bearing carrier" in str(caught.value)
    with pytest.raises(InfeasibleError, match="lists no attempt"):
        solve(replace(GOOD, rungs=(replace(HEAT, eases={}),)))


def test_a_hire_price_opens_a_tool_that_is_not_owned() -> None:
    hired = replace(GOOD, rungs=(HEAT, replace(PULL, owned=False, hire=20.0), CUT))
    assert barred(hired) == ()
    dearer = solve(hired).cost_from(Standing()) - solve(GOOD).cost_from(Standing())
    assert dearer == pytest.approx(20.0)  # the puller must come before the cut, so it is hired


def test_a_protected_piece_bars_what_harms_it_more_often() -> None:
    safe = GOOD.with_piece("carrier", harm_limit=0.5)
    assert [bar.rung for bar in barred(safe)] == ["cut"]
    policy = solve(safe)
    assert policy.next_rung(Standing(("heat", "pull"))) is None


def test_an_outcome_that_is_not_possible_yet_is_refused() -> None:
    with pytest.raises(FormErrors, match=r"standing\.tried: got 'cut', expected after pull"):
        solve(GOOD, Standing(("cut",)))
    with pytest.raises(FormErrors, match="at most 1 times"):
        solve(GOOD, Standing(("heat", "heat")))
    with pytest.raises(FormErrors, match=r"standing\.harmed"):
        solve(GOOD, Standing((), frozenset({"moon"})))


def test_when_all_is_tried_what_is_left_is_to_stop() -> None:
    end = Standing(("heat", "pull", "cut"), frozenset({"carrier"}))
    policy = solve(GOOD, end)
    assert policy.next_rung(end) is None
    assert policy.cost_from(end) == 900.0


def test_too_many_states_are_refused_not_guessed() -> None:
    many = tuple(replace(PULL, id=f"pull{k}", repeats=3) for k in range(13))
    with pytest.raises(RangeError, match="states of what was done"):
        solve(replace(GOOD, rungs=many))
