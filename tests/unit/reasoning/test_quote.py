"""Simulated ranges agree with counting out; common draws; insight equals closed forms."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import FormErrors, MissingError, RangeError
from casewright.reasoning.quote import (
    Choice,
    Line,
    QuoteQuestion,
    Task,
    Term,
    cost_of,
    digest_seed,
    draw_quote,
    exact_quote,
    ready_of,
)
from casewright.reasoning.quote_build import (
    Labour,
    PartRisk,
    SetUp,
    Shop,
    bought_unit,
    part_out,
    repair,
    together,
)
from casewright.reasoning.quote_draws import (
    Beta,
    Chance,
    Count,
    Given,
    Lognormal,
    Triangular,
    count_out,
    quantiles,
    sample,
)
from casewright.reasoning.quote_exact import exact_range, question_from_table
from casewright.reasoning.quote_insight import Inspection, inspections_by_worth, movers
from casewright.reasoning.quote_moments import moments, not_above
from casewright.reasoning.quote_stages import Staged, as_money, narrowing
from casewright.reasoning.schedule import critical_path

D = Decimal
SMALL = QuoteQuestion(
    unknowns={
        "hard strike": Chance(0.3),
        "shaft": Given("hard strike", 0.8, 0.1),
        "gears": Chance(0.4),
        "set-ups": Count((1, 2, 3), (0.5, 0.3, 0.2)),
    },
    choices=(
        Choice(
            "repair",
            (
                Line("shaft", D(420), ("shaft",)),
                Line("gears", D(900), ("gears",)),
                Line("set-up", D(110), ("set-ups",), "set-up"),
                Line("more set-up with new gears", D(60), ("set-ups", "gears"), "set-up"),
            ),
            (
                Task("strip", (Term(1.0),)),
                Task("wait for shaft", (Term(6.0, ("shaft",)),), ("strip",)),
                Task("wait for gears", (Term(9.0, ("gears",)),), ("strip",)),
                Task("rebuild", (Term(0.5, ("set-ups",)),), ("wait for shaft", "wait for gears")),
            ),
            contingency=D("0.05"),
        ),
        Choice("exchange unit", (Line("unit", D(1150)),)),
    ),
    ceiling=D(1200),
    due_days=8.0,
)


def test_draws_agree_with_all_cases_counted_out() -> None:
    exact, drawn = exact_quote(SMALL), draw_quote(SMALL, digest_seed(SMALL), 200_000)
    assert exact["repair"].cost.exact
    assert not drawn["repair"].cost.exact
    for name in ("cost", "ready"):
        one, other = getattr(exact["repair"], name), getattr(drawn["repair"], name)
        assert other.mean == pytest.approx(one.mean, rel=0.01)
        assert other.standard_deviation == pytest.approx(one.standard_deviation, rel=0.01)
        assert other.chance_over == pytest.approx(one.chance_over, abs=0.004)
        assert other.even_chance == pytest.approx(one.even_chance)
        assert other.one_in_ten_above == pytest.approx(one.one_in_ten_above)
    assert drawn["repair"].cheapest_share == pytest.approx(
        exact["repair"].cheapest_share, abs=0.004
    )


def test_counted_mean_is_the_sum_worked_by_hand() -> None:
    """Shaft .3·.8 + .7·.1 = .31; set-ups 1.7: 420·.31 + 900·.4 + 110·1.7 + 60·1.7·.4 = 718.0."""
    quoted = exact_quote(SMALL)["repair"]
    assert quoted.cost.mean == pytest.approx(718.0)
    assert quoted.groups == pytest.approx({"parts": 490.2, "set-up": 227.8})
    assert quoted.contingency == pytest.approx(35.9)
    # Ready after day 8: gears (1 + 9 + .5 n), or no gears, shaft and 1 + 6 + .5 n > 8: n = 3.
    assert quoted.ready is not None
    assert quoted.ready.chance_over == pytest.approx(0.4 + 0.6 * 0.31 * 0.2)


def test_chances_of_all_cases_add_up_to_one() -> None:
    draws = count_out(SMALL.unknowns)
    assert draws.weights is not None
    assert draws.size == 24
    assert draws.weights.sum() == pytest.approx(1)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 1), st.integers(0, 900)), min_size=1, max_size=6))
def test_mean_and_deviation_of_independent_parts_add_up(parts: list[tuple[float, int]]) -> None:
    unknowns = {f"p{i}": Chance(chance) for i, (chance, _) in enumerate(parts)}
    lines = tuple(Line(f"p{i}", D(price), (f"p{i}",)) for i, (_, price) in enumerate(parts))
    found = exact_quote(QuoteQuestion(unknowns, (Choice("repair", lines),)))["repair"].cost
    assert found.mean == pytest.approx(sum(c * p for c, p in parts), abs=1e-6)
    variance = sum(c * (1 - c) * p * p for c, p in parts)
    assert found.standard_deviation == pytest.approx(variance**0.5, abs=1e-4)
    assert found.one_in_ten_below <= found.even_chance <= found.one_in_ten_above


def test_the_same_unknown_is_the_same_in_every_choice_and_stage() -> None:
    common = {"shaft": Chance(0.4), "hours": Triangular(2, 3, 7)}
    line = (Line("shaft", D(100), ("shaft",)),)
    question = QuoteQuestion(common, (Choice("a", line), Choice("b", line)))
    quote = draw_quote(question, 5, 1000)
    assert np.array_equal(quote.costs["a"], quote.costs["b"])
    later = sample({"more": Chance(0.5), "shaft": Chance(0.7)}, 5, 1000).values["shaft"]
    assert (later >= sample(common, 5, 1000).values["shaft"]).all()
    assert later.sum() > 600


def test_seed_follows_the_inputs_not_their_order() -> None:
    turned = QuoteQuestion(
        dict(reversed(SMALL.unknowns.items())), SMALL.choices, SMALL.ceiling, SMALL.due_days
    )
    assert digest_seed(turned) == digest_seed(SMALL)
    assert digest_seed(QuoteQuestion(SMALL.unknowns, SMALL.choices)) != digest_seed(SMALL)


@pytest.mark.parametrize(
    "spread",
    [Triangular(2, 3, 9), Triangular(2, 2, 5), Beta(1, 2, 8), Lognormal(4, 0.5), Chance(0.3)],
)
def test_draws_have_the_moments_and_quantiles_of_their_spread(spread: object) -> None:
    drawn = sample({"x": spread}, 8, 200_000).values["x"]  # type: ignore[dict-item]
    mean, variance = moments(spread, {})  # type: ignore[arg-type]
    assert drawn.mean() == pytest.approx(mean, rel=0.01)
    assert drawn.var() == pytest.approx(variance, rel=0.02)
    if not isinstance(spread, Chance):
        shares = (0.1, 0.5, 0.9)
        for share, at in zip(shares, quantiles(drawn, shares), strict=True):
            assert not_above(spread, at) == pytest.approx(share, abs=0.005)  # type: ignore[arg-type]


def test_mean_says_repair_where_one_in_ten_dearer_says_replace() -> None:
    unknowns = {"hours": Lognormal(4, 0.5), "fails": Chance(0.2)}
    lines = (
        Line("start", D(300)),
        Line("work", D(90), ("hours",)),
        Line("then a new one", D(1400), ("fails",)),
    )
    found = exact_range(Choice("repair", lines), unknowns, 1400)
    assert found.mean < 1400 < found.one_in_ten_above


@pytest.mark.parametrize("spread", [Triangular(1, 2, 6), Beta(1, 2, 6), Lognormal(2, 0.4)])
def test_closed_form_agrees_with_draws_also_where_the_slope_is_negative(spread: object) -> None:
    unknowns = {"x": spread, "n": Count((1, 2), (0.6, 0.4)), "y": Chance(0.4)}
    lines = (Line("a", D(50), ("x", "n")), Line("b", D(-120), ("x", "y")), Line("c", D(500)))
    choice = Choice("repair", lines)
    exact = exact_range(choice, unknowns, 600.0)  # type: ignore[arg-type]
    drawn = draw_quote(QuoteQuestion(unknowns, (choice,), D(600)), 2, 300_000)["repair"].cost  # type: ignore[arg-type]
    for name in ("mean", "even_chance", "one_in_ten_below", "one_in_ten_above"):
        assert getattr(drawn, name) == pytest.approx(getattr(exact, name), rel=0.01), name
    assert drawn.standard_deviation == pytest.approx(exact.standard_deviation, rel=0.01)
    assert drawn.chance_over == pytest.approx(exact.chance_over, abs=0.005)


def test_variance_shares_equal_their_closed_form() -> None:
    """Cost = 300 A + 100 B + 40 H: shares are amount²·variance over the sum."""
    unknowns = {"A": Chance(0.3), "B": Chance(0.5), "H": Triangular(2, 3, 7)}
    lines = tuple(Line(n, D(a), (n,)) for n, a in (("A", 300), ("B", 100), ("H", 40)))
    draws = sample(unknowns, 1, 200_000)
    found = movers(unknowns, draws, cost_of(Choice("repair", lines), draws))
    parts = {"A": 9e4 * 0.21, "B": 1e4 * 0.25, "H": 1600 * moments(unknowns["H"], {})[1]}
    for each in found:
        assert each.variance_share == pytest.approx(
            parts[each.unknown] / sum(parts.values()), abs=0.01
        )
    assert found[0].unknown == "A"
    assert found[0].swing == pytest.approx(300, rel=0.02)


def test_an_unknown_that_moves_nothing_has_no_share() -> None:
    unknowns = {"A": Chance(0.3), "idle": Beta(0, 1, 5)}
    draws = sample(unknowns, 1, 50_000)
    found = movers(unknowns, draws, 100 * draws.values["A"])
    assert {each.unknown: round(each.variance_share, 2) for each in found} == {"A": 1, "idle": 0}


def wildcatter() -> tuple[QuoteQuestion, dict[str, tuple[float, ...]]]:
    """Raiffa (1968), oil wildcatter: dry, wet, soaking; net pay -70, 50, 200 as costs."""
    question = QuoteQuestion(
        {"state": Count((0, 1, 2), (0.5, 0.3, 0.2)), "wet": Chance(0), "soaking": Chance(0)},
        (Choice("drill", ()), Choice("leave", ())),
    )
    seismic = {
        "no structure": (0.6, 0.3, 0.1),
        "open": (0.3, 0.4, 0.4),
        "closed": (0.1, 0.3, 0.5),
    }
    return question, seismic


def test_worth_of_looking_first_is_raiffas() -> None:
    """No test 20; with the test free 32.5, so 12.5, net of its cost of 10 2.5; certainty 35."""
    question, seismic = wildcatter()
    draws = count_out({"state": question.unknowns["state"]})
    state = draws.values["state"].astype(int)
    costs = {"drill": -np.array([-70.0, 50.0, 200.0])[state], "leave": np.zeros(draws.size)}
    looks = [
        Inspection("seismic", "state", seismic, cost=10.0),
        Inspection("certainty", "state"),
    ]
    unknowns = {"state": question.unknowns["state"]}
    found = {
        each.inspection: each
        for each in inspections_by_worth(looks, unknowns, draws, costs, "drill")
    }
    assert found["seismic"].worth == pytest.approx(12.5)
    assert found["seismic"].worth_net == pytest.approx(2.5)
    assert found["certainty"].worth == pytest.approx(35)
    assert found["certainty"].deviation_after == pytest.approx(0, abs=1e-6)


def test_the_inspection_that_narrows_most_looks_at_the_greatest_mover() -> None:
    draws = count_out(SMALL.unknowns)
    costs = {each.name: cost_of(each, draws) for each in SMALL.choices}
    looks = [Inspection(f"look at {name}", name, minutes=10) for name in SMALL.unknowns]
    blind = {"nothing": (0.7, 0.7), "something": (0.3, 0.3)}
    looks.append(Inspection("blind", "gears", blind))
    found = inspections_by_worth(looks, SMALL.unknowns, draws, costs, "repair")
    top = movers(SMALL.unknowns, draws, costs["repair"])[0]
    assert found[0].inspection == f"look at {top.unknown}"
    assert found[-1].inspection == "blind"
    assert found[-1].narrows == pytest.approx(0, abs=1e-9)
    assert all(each.deviation_after <= each.deviation_before for each in found)


def test_stages_show_how_the_range_narrowed_and_where_it_surprised() -> None:
    def stage(name: str, chance: float) -> Staged:
        lines = (Line("gears", D(900), ("gears",)), Line("work", D(90), ("hours",)))
        unknowns = {"gears": Chance(chance), "hours": Triangular(4, 5, 6)}
        quote = draw_quote(QuoteQuestion(unknowns, (Choice("repair", lines),)), 1, 20_000)
        return Staged(name, quote["repair"].cost)

    told = narrowing([stage("take-in", 0.2), stage("after strip", 0.5), stage("inspected", 1.0)])
    assert told.widths[0] == 1
    assert told.widths[2] < 0.15
    assert [each.stage for each in told.earlier] == ["take-in", "after strip"]
    assert told.surprises == ()
    shock = narrowing([stage("take-in", 0.0), stage("after strip", 1.0)])
    assert shock.surprises == ("after strip",)
    with pytest.raises(MissingError, match="stages"):
        narrowing([])


def test_builders_put_four_ways_side_by_side() -> None:
    shop = Shop(D(80), 6.0, D(25))
    parts = (
        PartRisk("gears", D(900), Given("hard strike", 0.9, 0.2), Triangular(5, 7, 14), 1.5),
        PartRisk("shaft", D(420), Chance(0.3), 4),
    )
    mend = repair(
        parts,
        (Labour("strip-down", Triangular(3, 4, 8)),),
        (Labour("rebuild", Triangular(5, 6, 9)),),
        SetUp(Count((1, 2, 3), (0.3, 0.4, 0.3)), Triangular(0.5, 1, 2)),
        shop,
        certain=(Line("one-time parts", D(160)),),
    )
    lead = Triangular(3, 5, 10)
    swap = bought_unit("exchange unit", D(2100), Beta(2, 3, 4), lead, shop, D(400), Chance(0.25))
    new = bought_unit("new leg", D(4800), Beta(2, 3, 4), lead, shop)
    donor = part_out({"gears": D(300)}, parts, Triangular(3, 4, 6), shop)
    question = together((mend, swap, new, donor), D(2500), 20.0, {"hard strike": Chance(0.5)})
    quote = draw_quote(question, digest_seed(question), 100_000)
    hours = 5 + 20 / 3 + 1.5 * 0.55 + 2 * 3.5 / 3
    assert quote["repair"].cost.mean == pytest.approx(
        900 * 0.55 + 420 * 0.3 + 160 + 25 + 80 * hours, rel=0.005
    )
    assert quote["exchange unit"].cost.mean == pytest.approx(2100 + 25 + 240 + 100, rel=0.005)
    assert quote["new leg"].cost.chance_over == 1
    assert quote["part out"].cost.mean == pytest.approx(80 * 13 / 3 - 300 * 0.45, rel=0.01)
    assert quote["part out"].ready is None
    assert quote["repair"].ready is not None
    assert quote["repair"].ready.one_in_ten_above > quote["repair"].ready.even_chance


def test_two_spreads_for_one_unknown_are_refused() -> None:
    shop, lead = Shop(D(80), 6.0), Triangular(1, 2, 3)
    one = bought_unit("unit", D(1), Beta(1, 2, 3), lead, shop)
    two = bought_unit("unit", D(1), Beta(1, 2, 4), lead, shop)
    with pytest.raises(FormErrors, match="hours unit"):
        together((one, two))
    with pytest.raises(FormErrors, match="worth of keel"):
        part_out({"keel": D(3)}, (), lead, shop)
    with pytest.raises(RangeError, match="hours per day"):
        bought_unit("unit", D(1), Beta(1, 2, 3), lead, Shop(D(80), 0.0))


def test_all_mistakes_of_a_quote_come_at_once() -> None:
    bad = {
        "a": Chance(1.2),
        "b": Count((1, 2), (0.5, 0.4)),
        "c": Triangular(3, 2, 4),
        "d": Given("nobody", 0.1, 0.2),
        "e": Lognormal(0, 1),
    }
    with pytest.raises(FormErrors) as caught:
        sample(bad, 1, 10)
    assert len(caught.value.mistakes) == 5
    lines = (Line("x", D(1), ("nobody",)), Line("y", D(1), ("a", "a")))
    question = QuoteQuestion({"a": Chance(0.5)}, (Choice("r", lines), Choice("r", ())), D(-1))
    with pytest.raises(FormErrors) as caught:
        draw_quote(question, 1)
    assert len(caught.value.mistakes) == 4


def test_counting_out_refuses_smooth_spreads_and_too_many_cases() -> None:
    with pytest.raises(RangeError, match="smooth"):
        count_out({"h": Triangular(1, 2, 3)})
    with pytest.raises(RangeError, match="131072 combinations"):
        count_out({f"p{i}": Chance(0.5) for i in range(17)})
    two = {"h": Triangular(1, 2, 3), "g": Lognormal(1, 1)}
    with pytest.raises(RangeError, match="one smooth unknown"):
        exact_range(Choice("r", (Line("x", D(1), ("h",)),)), two)


def test_inspections_that_dont_fit_are_all_named() -> None:
    draws = count_out(SMALL.unknowns)
    costs = {"repair": cost_of(SMALL.choices[0], draws)}
    looks = [
        Inspection("one", "nobody"),
        Inspection("two", "gears", {"seen": (0.1, 0.2, 0.3)}),
        Inspection("three", "gears", {"seen": (0.1, 0.9), "not": (0.8, 0.1)}),
    ]
    with pytest.raises(FormErrors) as caught:
        inspections_by_worth(looks, SMALL.unknowns, draws, costs, "swap")
    assert len(caught.value.mistakes) == 4


def test_tables_read_like_dataclasses() -> None:
    question = question_from_table(
        {"n": ["count", [1, 2], [0.5, 0.5]], "g": ["chance", 0.5], "s": ["given", "g", 0.9, 0.1]},
        {"repair": [[100, "n"], [50.5, "g", "s"]]},
        300,
    )
    assert question.unknowns["s"] == Given("g", 0.9, 0.1)
    assert exact_quote(question)["repair"].cost.mean == pytest.approx(150 + 50.5 * 0.45)


def test_round_money_rounds_half_up() -> None:
    assert as_money(2.675) == D("2.68")
    assert as_money(1025.0, D(50)) == 1050


def test_tasks_alike_taken_as_one_leave_every_finish_where_the_critical_path_puts_it() -> None:
    """Second method: the forward pass of `schedule`, one draw after the other."""
    rng = np.random.default_rng(5)
    for _ in range(20):
        names = [f"task {place}" for place in range(12)]
        lengths = {name: float(rng.integers(0, 9)) for name in names}
        after = {
            name: tuple(str(one) for one in rng.choice(names[:place], min(place, 2), replace=False))
            if place and rng.random() < 0.7
            else tuple(names[:1])
            if place
            else ()
            for place, name in enumerate(names)
        }
        tasks = tuple(
            Task(name, (Term(lengths[name]), Term(3.0, ("late",))), after[name]) for name in names
        )
        draws = sample({"late": Chance(0.5)}, 3, 8)
        found = ready_of(Choice("mend", (), tasks), draws)
        assert found is not None
        for place in range(8):
            late = 3.0 * float(draws.values["late"][place])
            days = {name: length + late for name, length in lengths.items()}
            assert found[place] == pytest.approx(critical_path(days, after).duration, rel=1e-6)


def test_a_sum_that_meets_the_ceiling_does_not_pass_it() -> None:
    lines = tuple(Line(f"line {place}", Decimal("718.35"), ("bad",)) for place in range(3))
    question = QuoteQuestion({"bad": Chance(0.5)}, (Choice("mend", lines),), Decimal("2155.05"))
    assert draw_quote(question, 1, 1000)["mend"].cost.chance_over == 0
    assert exact_quote(question)["mend"].cost.chance_over == 0
