"""Ranges in closed form, and questions from plain tables: the checks of the simulation."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from casewright.errors import RangeError
from casewright.reasoning import quote_draws
from casewright.reasoning.quote import (
    Choice,
    Line,
    QuoteQuestion,
    Range,
    check_question,
    cost_of,
    draw_quote,
    range_of,
)
from casewright.reasoning.quote_draws import (
    Count,
    Discrete,
    Draws,
    Floats,
    Smooth,
    Spread,
    Unknowns,
    count_out,
)
from casewright.reasoning.quote_moments import moments, not_above
from casewright.reasoning.quote_network import added

# Quantiles are the least value that reaches the share, also where the chance stands still.
EDGE = 1e-11


def exact_range(choice: Choice, unknowns: Unknowns, ceiling: float | None = None) -> Range:
    """Range of a cost with at most one smooth unknown: a mixture in closed form.

    P(cost ≤ c) = Σ P(case) F((c - a) / b), a and b the cost's constant and slope in that case.

    Args:
        choice: lines to add up [currency].
        unknowns: any discrete ones and one smooth at most [-].
        ceiling: owner's ceiling [currency], or None.
    Returns:
        the range [currency].
    Valid: up to 2^16 combinations of the discrete unknowns.
    Raises: FormErrors for mistakes; RangeError for two smooth unknowns or too many combinations.
    Source: own: total probability, quantiles by root finding.
    """
    check_question(QuoteQuestion(unknowns, (choice,)))
    smooth = {name: each for name, each in unknowns.items() if isinstance(each, Smooth)}
    if len(smooth) > 1:
        raise RangeError("unknowns", ", ".join(smooth), "one smooth unknown at most", "Draw them.")
    discrete = {name: each for name, each in unknowns.items() if isinstance(each, Discrete)}
    cases = count_out(discrete or {"nothing": Count((0.0,), (1.0,))})
    if not smooth:
        return range_of(cost_of(choice, cases), cases.weights, ceiling)
    ((name, spread),) = smooth.items()
    flat = [(float(line.amount), line.times) for line in choice.lines if name not in line.times]
    steep = [
        (float(line.amount), tuple(each for each in line.times if each != name))
        for line in choice.lines
        if name in line.times
    ]
    return _mixture_range(added(flat, cases), added(steep, cases), cases, spread, ceiling)


def _mixture_range(
    constant: Floats, slope: Floats, cases: Draws, spread: Smooth, ceiling: float | None
) -> Range:
    """Range of constant + slope·X over weighted cases."""
    from scipy.optimize import brentq

    assert cases.weights is not None
    mean, variance = moments(spread, {})
    expected = constant + slope * mean
    total = cases.mean(expected)
    spread_squared = cases.mean(expected**2 + slope**2 * variance) - total**2

    def reached(cost: float) -> float:
        """Chance that the cost is not above."""
        chance = 0.0
        for weight, a, b in zip(cases.weights, constant, slope, strict=True):  # type: ignore[arg-type]
            if b == 0:
                chance += weight * (a <= cost)
            else:
                below = not_above(spread, (cost - a) / b)
                chance += weight * (below if b > 0 else 1 - below)
        return chance

    reach = 60 * max(spread_squared, 0.0) ** 0.5 + 1e-9
    low, even, high = (
        float(brentq(lambda c, p=p: reached(c) - p, total - reach, total + reach, xtol=1e-10))
        for p in (0.1 - EDGE, 0.5 - EDGE, 0.9 - EDGE)
    )
    return Range(
        mean=total,
        even_chance=even,
        one_in_ten_below=low,
        one_in_ten_above=high,
        standard_deviation=max(spread_squared, 0.0) ** 0.5,
        chance_over=None if ceiling is None else 1 - reached(ceiling),
        exact=True,
    )


SPREADS: dict[str, Callable[[Sequence[Any]], Spread]] = {
    "chance": lambda given: quote_draws.Chance(*given),
    "given": lambda given: quote_draws.Given(*given),
    "count": lambda given: quote_draws.Count(tuple(given[0]), tuple(given[1])),
    "triangular": lambda given: quote_draws.Triangular(*given),
    "beta": lambda given: quote_draws.Beta(*given),
    "lognormal": lambda given: quote_draws.Lognormal(*given),
}


def question_from_table(
    unknowns: Mapping[str, Sequence[Any]],
    choices: Mapping[str, Sequence[Sequence[Any]]],
    ceiling: float | None = None,
) -> QuoteQuestion:
    """A question from plain tables, as a form or a file gives them.

    Args:
        unknowns: name to kind of spread and its numbers, such as ["lognormal", 4, 0.5] [-].
        choices: name to lines of [amount, unknown, unknown ...] [currency].
        ceiling: owner's ceiling [currency], or None.
    Returns:
        the question [-].
    Valid: kinds chance, given, count, triangular, beta, lognormal.
    Raises: RangeError for a kind not known; FormErrors for the rest.
    Source: own: reading.
    """
    for name, (kind, *_) in unknowns.items():
        if kind not in SPREADS:
            raise RangeError(f"{name}, kind", kind, "one of " + ", ".join(SPREADS))
    question = QuoteQuestion(
        unknowns={name: SPREADS[kind](given) for name, (kind, *given) in unknowns.items()},
        choices=tuple(
            Choice(
                name,
                tuple(
                    Line(f"line {place}", Decimal(str(amount)), tuple(times))
                    for place, (amount, *times) in enumerate(lines, 1)
                ),
            )
            for name, lines in choices.items()
        ),
        ceiling=None if ceiling is None else Decimal(str(ceiling)),
    )
    check_question(question)
    return question


def ranges_from_table(
    unknowns: Mapping[str, Sequence[Any]],
    choices: Mapping[str, Sequence[Sequence[Any]]],
    ceiling: float | None = None,
    seed: int = 1,
    samples: int = 0,
) -> dict[str, Range]:
    """Cost range of each choice from plain tables: in closed form, or drawn where asked.

    Args:
        unknowns: as in `question_from_table` [-].
        choices: as in `question_from_table` [currency].
        ceiling: owner's ceiling [currency], or None.
        seed: of the draws [-].
        samples: number of draws, 0 for the closed form [-].
    Returns:
        choice to range [currency].
    Valid: closed form as `exact_range`.
    Raises: as `question_from_table` and `exact_range`.
    Source: own: reading, then `exact_range` or `draw_quote`.
    """
    question = question_from_table(unknowns, choices, ceiling)
    if samples:
        return {each.choice: each.cost for each in draw_quote(question, seed, samples).choices}
    return {
        choice.name: exact_range(choice, question.unknowns, ceiling) for choice in question.choices
    }
