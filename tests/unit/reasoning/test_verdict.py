"""Use again, rework, read again, replace: costs, proof, rules, what-if."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from casewright.errors import InputError, MissingError, RangeError
from casewright.reasoning.conformity import Outcome, Size
from casewright.reasoning.rework import KINDS, PLACES, may_rework, reworks_for
from casewright.reasoning.verdict import (
    BetterReading,
    Choice,
    Consequence,
    Costs,
    Question,
    Rework,
    Rules,
    cost_after_reading,
    decide,
    piece_verdict,
    what_if_kept,
)

COSTS = Costs(Consequence("leaks", 800.0), 120.0)
FINER = BetterReading("micrometer", 0.001, 5.0)


def ask(value: float, **more: object) -> Question:
    return Question(Size(value, 0.003), 24.98, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "choice", "outcome"),
    [
        (24.990, Choice.USE_AGAIN, Outcome.CONFORMING),
        (24.981, Choice.READ_AGAIN, Outcome.NOT_PROVEN),
        (24.979, Choice.READ_AGAIN, Outcome.NOT_PROVEN),
        (24.970, Choice.REPLACE, Outcome.NON_CONFORMING),
    ],
)
def test_without_costs_the_proof_decides(value: float, choice: Choice, outcome: Outcome) -> None:
    found = decide(ask(value))
    assert (found.choice, found.outcome) == (choice, outcome)
    assert all(option.expected_cost is None for option in found.options)


def test_without_costs_a_rework_comes_before_a_new_part() -> None:
    assert decide(ask(24.970, reworks=(Rework("sleeve", 60.0),))).detail == "sleeve"


def test_not_proven_names_the_finest_reading_on_offer() -> None:
    found = decide(ask(24.981, readings=(BetterReading("bench gauge", 0.002, 1.0), FINER)))
    assert found.detail == "micrometer"
    assert decide(ask(24.981)).detail == "a finer instrument"


def test_cost_of_using_is_chance_times_consequence() -> None:
    found = decide(ask(24.985, costs=COSTS))
    out = norm.cdf((24.98 - 24.985) / 0.003)
    assert found.chance_out == pytest.approx(out)
    assert found.options[0].expected_cost == pytest.approx(800 * out)
    assert found.choice is Choice.USE_AGAIN
    assert found.margin == pytest.approx(120 - 800 * out)


def test_reading_again_is_worth_its_cost_near_the_limit_only() -> None:
    near = decide(ask(24.983, costs=COSTS, readings=(FINER,)))
    assert near.choice is Choice.READ_AGAIN
    for value in (25.000, 24.960):
        far = decide(ask(value, costs=COSTS, readings=(FINER,)))
        assert far.choice is not Choice.READ_AGAIN


def test_value_of_a_reading_agrees_with_simulation() -> None:
    random = np.random.default_rng(8)
    true = random.normal(24.983, 0.003, 400_000)
    read = true + random.normal(0, 0.001, true.size)
    left = 1 / (1 / 0.003**2 + 1 / 0.001**2)
    after = left * (24.983 / 0.003**2 + read / 0.001**2)
    use = norm.cdf((24.98 - after) / math.sqrt(left)) * 800 < 120
    wanted = 5 + np.where(use, 800 * (true < 24.98), 120).mean()
    found = cost_after_reading(ask(24.983, costs=COSTS), COSTS, FINER, 120.0)
    assert found == pytest.approx(wanted, abs=0.3)


@given(st.floats(24.97, 25.0), st.floats(0.0001, 0.01))
@settings(max_examples=60, deadline=None)
def test_a_free_reading_never_costs_and_never_beats_certainty(value: float, u: float) -> None:
    question = ask(value, costs=COSTS)
    out = decide(question).chance_out
    after = cost_after_reading(question, COSTS, BetterReading("free", u, 0.0), 120.0)
    assert after <= min(800 * out, 120) + 0.01
    assert after >= 120 * out - 0.15


def test_a_perfect_reading_leaves_the_price_of_bad_parts_only() -> None:
    question = ask(24.983, costs=COSTS)
    out = decide(question).chance_out
    after = cost_after_reading(question, COSTS, BetterReading("perfect", 0.0, 0.0), 120.0)
    assert after == pytest.approx(120 * out, abs=0.1)


def test_the_shared_part_of_the_uncertainty_is_not_read_away() -> None:
    question = ask(24.983, costs=COSTS)
    fresh = BetterReading("other", 0.001, 0.0)
    same = BetterReading("same again", 0.001, 0.0, shared_uncertainty=0.0025)
    one = cost_after_reading(question, COSTS, fresh, 120.0)
    other = cost_after_reading(question, COSTS, same, 120.0)
    assert other > one
    with pytest.raises(RangeError, match="shared_uncertainty"):
        cost_after_reading(question, COSTS, BetterReading("x", 0.001, 0.0, 0.004), 120.0)


def test_rework_wins_where_it_is_cheaper_and_holds() -> None:
    sleeve = Rework("sleeve", 40.0, 0.02)
    found = decide(ask(24.970, costs=COSTS, reworks=(sleeve,)))
    assert (found.choice, found.detail) == (Choice.REWORK, "sleeve")
    weak = Rework("sleeve", 40.0, 0.5)
    assert decide(ask(24.970, costs=COSTS, reworks=(weak,))).choice is Choice.REPLACE


def test_where_somebody_can_be_hurt_a_ceiling_stands_above_the_money() -> None:
    steering = Costs(Consequence("steering", 100.0, highest_chance=0.001), 5000.0)
    found = decide(ask(24.984, costs=steering))
    assert found.choice is Choice.REPLACE
    assert "steering" in found.because
    assert decide(ask(24.984, costs=Costs(Consequence("x", 100.0), 5000.0))).choice is (
        Choice.USE_AGAIN
    )
    wobbly = (Rework("weld", 1.0, 0.2),)
    assert decide(ask(24.970, costs=steering, reworks=wobbly)).choice is Choice.REPLACE


@pytest.mark.parametrize(
    ("rules", "word"),
    [
        (Rules(one_time=True), "one-time"),
        (Rules(never_again="pulled through its rollers"), "rollers"),
        (Rules(mate_condemned="the cone"), "matched set"),
    ],
)
def test_rules_of_the_sheet_beat_numbers(rules: Rules, word: str) -> None:
    found = decide(ask(25.0, costs=COSTS, rules=rules))
    assert found.choice is Choice.REPLACE
    assert word in found.because
    assert found.outcome is Outcome.CONFORMING


def test_a_rule_needs_no_limit_but_a_number_does() -> None:
    bare = Question(Size(1.0, 0.1), rules=Rules(one_time=True))
    assert decide(bare).choice is Choice.REPLACE
    with pytest.raises(MissingError, match="limits"):
        decide(Question(Size(1.0, 0.1)))
    with pytest.raises(RangeError, match="costs"):
        decide(ask(24.99, costs=Costs(Consequence("x", -1.0), 5.0)))


def test_what_if_says_the_chance_in_words() -> None:
    size = Size(24.98 + 0.003 * float(norm.ppf(0.93)), 0.003)
    found = what_if_kept(Question(size, 24.98, costs=COSTS))
    assert found.words == "kept as it is, the chance that it is truly out of limit is 7 %"
    assert found.expected_cost == pytest.approx(56.0)
    assert "less than 0.1 %" in what_if_kept(ask(25.1)).words
    assert "more than 99.9 %" in what_if_kept(ask(24.9)).words
    nearly = what_if_kept(ask(24.98 - 2.75 * size.uncertainty))
    assert f"{100 * float(norm.cdf(2.75)):.1f} %" in nearly.words


def test_few_degrees_of_freedom_make_the_chance_larger() -> None:
    few = Question(Size(24.99, 0.003, 2), 24.98, costs=COSTS, readings=(FINER,))
    assert decide(few).chance_out > 10 * decide(ask(24.99)).chance_out


def test_a_piece_goes_where_any_feature_goes_or_the_sum_is_too_dear() -> None:
    good, near = decide(ask(25.0, costs=COSTS)), decide(ask(24.984, costs=COSTS))
    bad = decide(ask(24.96, costs=COSTS))
    assert piece_verdict([good, near], 120.0) is Choice.USE_AGAIN
    assert piece_verdict([good, bad], 120.0) is Choice.REPLACE
    assert near.choice is Choice.USE_AGAIN
    assert piece_verdict([near, near], 120.0) is Choice.REPLACE
    again = decide(ask(24.981))
    assert piece_verdict([good, again], None) is Choice.READ_AGAIN
    with pytest.raises(MissingError, match="verdicts"):
        piece_verdict([], None)


def test_rework_rules() -> None:
    """Common practice: what may be done where, and what must be measured afterwards."""
    assert may_rework("sleeve", "seal land", False).allowed
    assert not may_rework("thread-insert", "carrier-ring thread", True).allowed
    assert "condemns" in may_rework("thread-insert", "carrier-ring thread", True).reason
    bore = may_rework("weld", "bearing bore", True)
    assert bore.allowed
    assert any("alignment" in item for item in bore.measure_after)
    assert not may_rework("weld", "bearing bore", False).allowed
    assert not may_rework("epoxy", "bearing bore", True).allowed
    assert may_rework("epoxy", "skeg", False).allowed
    assert not may_rework("sleeve", "skeg", True).allowed


def test_every_allowed_rework_says_what_to_measure() -> None:
    for place in PLACES:
        answers = reworks_for(place, True)
        assert len(answers) == len(KINDS)
        for answer in answers:
            assert answer.measure_after if answer.allowed else answer.reason
    with pytest.raises(InputError, match="place"):
        reworks_for("moon", True)
    with pytest.raises(InputError, match="rework"):
        may_rework("glue", "skeg", True)


@given(st.floats(24.95, 25.01), st.floats(10, 2000), st.floats(5, 500))
@settings(max_examples=60, deadline=None)
def test_the_choice_is_never_dearer_than_any_open_option(
    value: float, consequence: float, price: float
) -> None:
    costs = Costs(Consequence("any", consequence), price)
    offers = (Rework("sleeve", 0.6 * price, 0.05),)
    found = decide(ask(value, costs=costs, readings=(FINER,), reworks=offers))
    chosen = next(o for o in found.options if (o.choice, o.detail) == (found.choice, found.detail))
    assert chosen.expected_cost is not None
    for option in found.options:
        assert option.expected_cost is not None
        assert chosen.expected_cost <= option.expected_cost + 1e-9


@given(st.floats(24.95, 25.01), st.floats(0.0001, 0.005))
@settings(max_examples=40, deadline=None)
def test_a_larger_piece_is_never_judged_worse_against_a_lower_limit(
    value: float, more: float
) -> None:
    smaller, larger = decide(ask(value)), decide(ask(value + more))
    assert larger.chance_out <= smaller.chance_out
    order = [Outcome.NON_CONFORMING, Outcome.NOT_PROVEN, Outcome.CONFORMING]
    assert order.index(larger.outcome) >= order.index(smaller.outcome)
