"""The choice of packs, against exhaustive search."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from casewright.errors import InfeasibleError, InputError, MissingError
from casewright.reasoning.shim_choice import choose, present_chance
from casewright.reasoning.shim_model import (
    Response,
    Sensitivity,
    SetUp,
    State,
    first_state,
    forecast,
    windows,
)
from casewright.reasoning.shim_rectangle import rectangle_chance
from casewright.reasoning.shim_stock import PackRules, ShelfShim, all_packs, pack_classes

MM = 1e-3


def random_leg(draw: np.random.Generator) -> tuple[SetUp, State, list[ShelfShim], PackRules]:
    """Two or three seats, some off their windows, a small shelf."""
    seats = ("pinion", "ahead", "astern")[: draw.integers(2, 4)]
    rates = [Sensitivity("height", "pinion", float(draw.choice([-1, 1])), 0.0)]
    responses = [Response("height", -0.05 * MM, 0.05 * MM)]
    for seat in seats[1:]:
        low = 0.1 * MM
        responses.append(Response(seat, low, low + 0.15 * MM, 0.02 * MM, 0.005 * MM))
        for adjuster, size in (("pinion", draw.uniform(-0.5, 0.5)), (seat, draw.uniform(0.6, 0.9))):
            rates.append(Sensitivity(seat, adjuster, float(size), 0.05, "geometry", "angles"))
    set_up = SetUp(tuple(responses), seats, tuple(rates), (0.5 * MM,) * len(seats))
    n = len(responses)
    root = draw.normal(0, 0.02 * MM, (n, n)) + np.eye(n) * 0.02 * MM
    middle = np.array([0.0] + [0.175 * MM] * (n - 1)) + draw.normal(0, 0.15 * MM, n)
    many = 4 if len(seats) == 2 else 3
    sizes = np.sort(draw.choice(np.arange(5, 50), many, replace=False)) * 0.01 * MM
    shelf = [
        ShelfShim(f"s{i}", float(size), int(draw.integers(3, 12))) for i, size in enumerate(sizes)
    ]
    state = first_state(set_up, middle, root @ root.T)
    return set_up, state, shelf, PackRules(most=5 - len(seats))


def chance_of(set_up: SetUp, state: State, packs: np.ndarray, fresh: np.ndarray) -> np.ndarray:
    """Joint chances the long way: forecast, fresh packs' errors, run-out, box."""
    told = forecast(set_up, state, packs)
    rates = np.zeros((len(set_up.responses), len(set_up.adjusters)))
    for rate in set_up.sensitivities:
        row = [one.name for one in set_up.responses].index(rate.response)
        rates[row, set_up.adjusters.index(rate.adjuster)] = rate.value
    low, high, extra = windows(set_up)
    cov = told.covariance + np.einsum("rs,ns,qs->nrq", rates, fresh, rates) + np.diag(extra)
    return rectangle_chance(told.mean, cov, low, high, coarse=True), told.mean, cov


def exhaustive(set_up: SetUp, state: State, shelf: list[ShelfShim], rule: PackRules) -> float:
    """Best joint chance over every combination of distinct (sum, count) that the stock gives."""
    classes = pack_classes(shelf, rule)
    index = np.array(list(product(range(len(classes.thickness)), repeat=len(set_up.adjusters))))
    rough, mean, cov = chance_of(set_up, state, classes.thickness[index], classes.variance[index])
    low, high, _ = windows(set_up)
    stock = np.array([shim.count for shim in shelf])
    best = 0.0
    for start in range(0, len(index), 200):
        order = np.argsort(-rough, kind="stable")[start : start + 200]
        if rough[order[0]] + 4e-3 < best:
            break
        exact = rectangle_chance(mean[order], cov[order], low, high)
        for place, chance in zip(order, exact, strict=True):
            if chance > best and feasible([classes.recipes[i] for i in index[place]], stock):
                best = float(chance)
    return best


def feasible(options: list[np.ndarray], stock: np.ndarray) -> bool:
    """Whether some recipes fit the stock, all combinations tried."""
    return any((np.sum(packs, axis=0) <= stock).all() for packs in product(*options))


@pytest.mark.parametrize("block", range(4))
def test_same_optimum_as_exhaustive_search(block: int) -> None:
    draw = np.random.default_rng(100 + block)
    for _ in range(50):
        set_up, state, shelf, rule = random_leg(draw)
        best = exhaustive(set_up, state, shelf, rule)
        found = choose(set_up, state, shelf, [rule] * len(set_up.adjusters))
        # the tool may take fewer shims within its tie of 0.0005, never less than that
        assert best - 5.01e-4 <= found.best.chance <= best + 1e-6
        used = np.sum([[p.get(s.name, 0) for s in shelf] for p in found.best.packs], axis=0)
        assert (used <= [s.count for s in shelf]).all()


def simple(high: float = 0.05) -> tuple[SetUp, State]:
    set_up = SetUp(
        (Response("height", -0.05 * MM, high * MM),),
        ("pinion",),
        (Sensitivity("height", "pinion", 1.0, 0.0),),
        (0.5 * MM,),
    )
    return set_up, first_state(set_up, [0.0], [[(0.01 * MM) ** 2]])


def test_a_tie_goes_to_the_fewest_shims() -> None:
    set_up, state = simple()
    shelf = [ShelfShim("0.25", 0.25 * MM, 4, 0.0), ShelfShim("0.50", 0.5 * MM, 4, 0.0)]
    assert choose(set_up, state, shelf, [PackRules()]).best.packs == ({"0.50": 1},)


def test_short_stock_takes_more_shims_instead() -> None:
    set_up = SetUp(
        (Response("a", -0.03 * MM, 0.03 * MM), Response("b", -0.03 * MM, 0.03 * MM)),
        ("a", "b"),
        (Sensitivity("a", "a", 1.0, 0.0), Sensitivity("b", "b", -1.0, 0.0)),
        (0.5 * MM, 0.5 * MM),
    )
    state = first_state(set_up, [0, 0], np.eye(2) * (0.01 * MM) ** 2)
    shelf = [ShelfShim("0.25", 0.25 * MM, 2), ShelfShim("0.50", 0.5 * MM, 1)]
    best = choose(set_up, state, shelf, [PackRules()] * 2).best
    assert sorted(best.packs, key=len) == sorted(({"0.50": 1}, {"0.25": 2}), key=len)
    assert best.shims == 3


def test_measured_thickness_overrides_nominal() -> None:
    set_up, state = simple()
    shelf = [ShelfShim("a", 0.50 * MM, 1, measured=0.56 * MM), ShelfShim("b", 0.48 * MM, 1)]
    assert choose(set_up, state, shelf, [PackRules(most=1)]).best.packs == ({"b": 1},)


def test_change_names_what_comes_out_and_goes_in() -> None:
    set_up, _ = simple()
    state = first_state(set_up, [-0.03 * MM], [[(0.01 * MM) ** 2]])
    shelf = [
        ShelfShim("0.10", 0.10 * MM, 5),
        ShelfShim("0.13", 0.13 * MM, 2),
        ShelfShim("0.40", 0.4 * MM, 1),
    ]
    advice = choose(set_up, state, shelf, [PackRules()], [{"0.40": 1, "0.10": 1}])
    lines = [(line.action, line.count, line.shim) for line in advice.best.changes]
    assert lines == [("out", 1, "0.10"), ("in", 1, "0.13")]
    assert advice.present is not None
    assert advice.present.changes == ()
    assert advice.present.chance < advice.best.chance


def test_runners_up_differ_in_thickness_and_are_no_better() -> None:
    draw = np.random.default_rng(1)
    set_up, state, shelf, rule = random_leg(draw)
    advice = choose(set_up, state, shelf, [rule] * len(set_up.adjusters))
    packs = [advice.best.thickness, *(one.thickness for one in advice.runners_up)]
    assert len(advice.runners_up) == 2
    assert len({tuple(np.round(np.array(p) * 1e7)) for p in packs}) == 3
    assert all(one.chance <= advice.best.chance + 5e-4 for one in advice.runners_up)


def test_forecast_has_its_interval_and_chance() -> None:
    set_up, state = simple()
    shelf = [ShelfShim("0.50", 0.5 * MM, 1, 0.0)]
    one = choose(set_up, state, shelf, [PackRules()]).best.forecasts[0]
    assert (one.low, one.high) == pytest.approx((-0.0196 * MM, 0.0196 * MM), rel=1e-3)
    assert one.chance == pytest.approx(1.0, abs=1e-5)


def test_the_fitted_pack_is_not_doubted_anew() -> None:
    set_up, state = simple()
    shelf = [ShelfShim("0.50", 0.5 * MM, 2, 0.02 * MM)]
    advice = choose(set_up, state, shelf, [PackRules(fewest=1, most=1)], [{"0.50": 1}])
    assert advice.present is not None
    assert advice.present.chance == pytest.approx(present_chance(set_up, state, [0.5 * MM]))
    assert advice.best.changes == ()


def test_a_pack_that_the_shelf_does_not_hold_is_refused() -> None:
    set_up, state = simple()
    shelf = [ShelfShim("0.50", 0.5 * MM, 1)]
    with pytest.raises(InputError, match="at most 1"):
        choose(set_up, state, shelf, [PackRules()], [{"0.50": 2}])


def test_rules_that_no_pack_meets_say_so() -> None:
    set_up, state = simple()
    with pytest.raises(InfeasibleError, match="rules"):
        choose(set_up, state, [ShelfShim("0.50", 0.5 * MM, 1)], [PackRules(fewest=3)])


def test_stock_that_cannot_serve_all_seats_says_so() -> None:
    set_up = SetUp(
        (Response("a", -1.0, 1.0), Response("b", -1.0, 1.0)),
        ("a", "b"),
        (Sensitivity("a", "a", 1.0, 0.0), Sensitivity("b", "b", 1.0, 0.0)),
        (0.0, 0.0),
    )
    state = first_state(set_up, [0, 0], np.eye(2) * 1e-10)
    with pytest.raises(InfeasibleError, match="too few shims"):
        choose(set_up, state, [ShelfShim("0.50", 0.5 * MM, 1)], [PackRules(fewest=1)] * 2)


def test_without_a_window_there_is_nothing_to_choose_by() -> None:
    set_up, state = simple()
    bare = SetUp((Response("height"),), set_up.adjusters, set_up.sensitivities, set_up.reference)
    with pytest.raises(MissingError, match="windows"):
        choose(bare, state, [ShelfShim("0.50", 0.5 * MM, 1)], [PackRules()])


def test_every_pack_is_listed_once() -> None:
    shelf = [ShelfShim("a", 1.0, 2), ShelfShim("b", 2.0, 9)]
    packs = all_packs(shelf, PackRules(most=3))
    wanted = {(a, b) for a in range(3) for b in range(4) if a + b <= 3}
    assert sorted(map(tuple, packs.tolist())) == sorted(wanted)
