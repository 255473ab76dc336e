"""Covers whose optimum is published or proven elsewhere, generated here from their definition."""

from __future__ import annotations

import itertools
from decimal import Decimal

import pytest

from casewright.reasoning.cover import cheapest_plan
from casewright.reasoning.cover_need import Need, Question
from casewright.reasoning.offers import Catalogue, Offer, Supplier


def least_cover(sets: list[list[int]]) -> Decimal:
    """Fewest sets that hold every element, as one-euro kits of one supplier."""
    offers = tuple(
        Offer(
            supplier="Quay",
            number=f"KIT-{place}",
            price=Decimal(1),
            currency="EUR",
            contents=tuple((f"P{each}", 1) for each in held),
            available=1,
        )
        for place, held in enumerate(sets)
    )
    needs = tuple(Need(f"P{each}") for each in sorted({e for held in sets for e in held}))
    plan = cheapest_plan(Question(Catalogue("EUR", (Supplier("Quay"),), offers), needs))
    assert plan.proof.proven
    return plan.total


def steiner(dimension: int) -> list[list[int]]:
    """Points of the affine space over three elements; each holds the lines through it."""
    points = list(itertools.product(range(3), repeat=dimension))
    lines = [
        trio
        for trio in itertools.combinations(range(len(points)), 3)
        if all(sum(points[p][axis] for p in trio) % 3 == 0 for axis in range(dimension))
    ]
    return [[i for i, trio in enumerate(lines) if p in trio] for p in range(len(points))]


def cube(dimension: int) -> list[list[int]]:
    """Edges of the cube; each holds the four-cycles through it."""
    edges = {}
    for corner, axis in itertools.product(range(2**dimension), range(dimension)):
        if not corner >> axis & 1:
            edges[corner, axis] = len(edges)
    held: list[list[int]] = [[] for _ in edges]
    cycles = 0
    for one, two in itertools.combinations(range(dimension), 2):
        for corner in range(2**dimension):
            if corner >> one & 1 or corner >> two & 1:
                continue
            rim = [(corner, one), (corner, two), (corner | 1 << two, one), (corner | 1 << one, two)]
            for edge in rim:
                held[edges[edge]].append(cycles)
            cycles += 1
    return held


@pytest.mark.parametrize(("dimension", "lines", "least"), [(2, 12, 5), (3, 117, 18)])
def test_steiner_triple_coverings(dimension: int, lines: int, least: int) -> None:
    """Fulkerson, Nemhauser, Trotter (1974): 5 of 9 and 18 of 27.

    18 read in the header of check/instances/MIP/stein27.mps (repository scipopt/scip); both follow
    from the largest sets without a line, 4 and 9 points.
    """
    sets = steiner(dimension)
    assert len({line for held in sets for line in held}) == lines
    assert least_cover(sets) == least


@pytest.mark.parametrize(("dimension", "least"), [(3, 3), (4, 8)])
def test_edges_that_break_every_four_cycle_of_the_cube(dimension: int, least: int) -> None:
    """Edges less the most without a four-cycle: 12 - 9, 32 - 24 (memory; the CYC covers' family)."""
    assert least_cover(cube(dimension)) == least
