"""Shared trouble keeps each chance, joins them, and learns by Bayes: against counting out."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.reasoning.quote import Choice, Line, QuoteQuestion, draw_quote, exact_quote
from casewright.reasoning.quote_draws import Chance, Given
from casewright.reasoning.quote_shared import trouble_seen, with_trouble

shares = st.floats(0.0, 1.0)
between = st.floats(0.01, 0.99)


@given(shares, between, shares)
def test_the_overall_chance_stays_what_the_sheet_says(p: float, q: float, w: float) -> None:
    given_, without = with_trouble(p, q, w)
    assert 0 <= without <= p + 1e-12 and p - 1e-9 <= given_ <= 1
    assert q * given_ + (1 - q) * without == pytest.approx(p, abs=1e-12)


def test_no_share_means_independent() -> None:
    assert with_trouble(0.4, 0.3, 0.0) == pytest.approx((0.4, 0.4))
    assert trouble_seen([(0.4, True), (0.2, False)], 0.3, 0.0) == pytest.approx(0.3)


@given(st.lists(between, min_size=1, max_size=4), st.data())
def test_what_was_seen_moves_the_trouble_as_counting_out_all_cases_does(
    chances: list[float], data: st.DataObject
) -> None:
    """Second method: every case of trouble and pieces, kept where it agrees with what was seen."""
    q, w = 0.3, 0.5
    seen = [data.draw(st.booleans()) for _ in chances]
    weight = {True: 0.0, False: 0.0}
    for trouble, *bad in product((True, False), repeat=1 + len(chances)):
        if bad != seen:
            continue
        case = q if trouble else 1 - q
        for p, condemned in zip(chances, bad, strict=True):
            there = with_trouble(p, q, w)[0 if trouble else 1]
            case *= there if condemned else 1 - there
        weight[trouble] += case
    total = weight[True] + weight[False]
    if total > 1e-12:
        found = trouble_seen(zip(chances, seen, strict=True), q, w)
        assert found == pytest.approx(weight[True] / total, abs=1e-9)


def test_a_shared_trouble_widens_the_range_by_its_covariance_and_leaves_the_mean() -> None:
    """Var = Σ c²p(1-p) + 2 c²·q(1-q)(a-b)² for two pieces; draws agree with the exact cases."""
    p, q, w, price = 0.3, 0.3, 0.5, 100
    a, b = with_trouble(p, q, w)
    lines = tuple(Line(f"part {n}", Decimal(price), (f"condemned {n}",)) for n in (1, 2))
    joint = {"trouble": Chance(q)} | {f"condemned {n}": Given("trouble", a, b) for n in (1, 2)}
    alone = {f"condemned {n}": Chance(p) for n in (1, 2)}
    exact = exact_quote(QuoteQuestion(joint, (Choice("mend", lines),)))["mend"].cost
    apart = exact_quote(QuoteQuestion(alone, (Choice("mend", lines),)))["mend"].cost
    assert exact.mean == pytest.approx(apart.mean) == pytest.approx(2 * p * price)
    variance = price**2 * (2 * p * (1 - p) + 2 * q * (1 - q) * (a - b) ** 2)
    assert exact.standard_deviation**2 == pytest.approx(variance)
    assert exact.standard_deviation > apart.standard_deviation
    drawn = draw_quote(QuoteQuestion(joint, (Choice("mend", lines),)), 4)["mend"].cost
    assert drawn.mean == pytest.approx(exact.mean, rel=0.01)
    assert drawn.standard_deviation == pytest.approx(exact.standard_deviation, rel=0.01)


def test_surely_condemned_and_never_condemned_say_nothing() -> None:
    assert trouble_seen([(1.0, True), (0.0, False)], 0.3, 0.5) == pytest.approx(0.3)


@pytest.mark.parametrize("given_", [(1.5, 0.3, 0.5), (0.3, 0.0, 0.5), (0.3, 0.3, -0.1)])
def test_what_is_no_chance_is_refused(given_: tuple[float, float, float]) -> None:
    with pytest.raises(RangeError):
        with_trouble(*given_)
