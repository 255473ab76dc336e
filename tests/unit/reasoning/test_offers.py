"""Kits unpack, numbers follow their chain, and every mistake of a catalogue comes in one pass."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import FormErrors, RangeError
from casewright.reasoning.offers import (
    Catalogue,
    Offer,
    PriceBreak,
    Stock,
    StockMove,
    Superseded,
    Supplier,
    acceptable_numbers,
    newer_numbers,
    shelf_after,
    unpacked,
)
from casewright.reasoning.offers_check import catalogue_mistakes, checked

D = Decimal
QUAY = (Supplier("Quay"),)


def offer(number: str, **more: object) -> Offer:
    """An offer of the supplier Quay."""
    return Offer("Quay", number, D(5), "EUR", **more)  # type: ignore[arg-type]


def mistakes(*offers: Offer, **more: object) -> list[str]:
    """All complaints about a catalogue."""
    catalogue = Catalogue("EUR", QUAY, offers, **more)  # type: ignore[arg-type]
    return [str(each) for each in catalogue_mistakes(catalogue)]


def test_a_chain_ends_at_the_newest_number() -> None:
    links = [Superseded("A", "B"), Superseded("B", "C"), Superseded("X", "C", both_ways=True)]
    assert newer_numbers("A", links) == ("B", "C")
    assert newer_numbers("C", links) == ()
    assert acceptable_numbers("A", links) == ("A", "B", "C", "X")
    assert acceptable_numbers("X", links) == ("X", "C")


def test_a_circle_of_numbers_is_told_once_with_its_members() -> None:
    links = (Superseded("A", "B"), Superseded("B", "C"), Superseded("C", "A"))
    found = mistakes(superseded=links)
    assert len(found) == 1
    assert "A → B → C → A" in found[0]
    with pytest.raises(RangeError, match="chain that ends"):
        newer_numbers("B", links)


def test_two_newer_numbers_for_one_are_refused() -> None:
    found = mistakes(superseded=(Superseded("A", "B"), Superseded("A", "C")))
    assert any("B and C" in each for each in found)


def test_a_kit_within_a_kit_is_unpacked_to_its_pieces() -> None:
    big = offer("BIG", contents=(("SMALL", 2), ("RING", 1)))
    small = offer("SMALL", contents=(("RING", 3), ("LIP", 1)))
    ready = checked(Catalogue("EUR", QUAY, (big, small)))
    assert dict(ready.offers[0].contents) == {"RING": 7, "LIP": 2}


def test_a_kit_in_itself_is_refused_directly_and_through_others() -> None:
    assert "KIT → KIT" in mistakes(offer("KIT", contents=(("KIT", 1),)))[0]
    one, two = offer("ONE", contents=(("TWO", 1),)), offer("TWO", contents=(("ONE", 1),))
    assert len(mistakes(one, two)) == 2
    with pytest.raises(RangeError, match="doesn't contain itself"):
        unpacked([("ONE", 1)], {"ONE": (("ONE", 1),)})


@given(st.dictionaries(st.sampled_from("PQRS"), st.integers(1, 5), min_size=1), st.integers(1, 4))
def test_unpacking_a_kit_of_kits_multiplies(pieces: dict[str, int], times: int) -> None:
    kits = {"KIT": tuple(pieces.items()), "BOX": (("KIT", times),)}
    assert dict(unpacked([("BOX", 2)], kits)) == {n: 2 * times * c for n, c in pieces.items()}


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"breaks": (PriceBreak(5, D(-1)),)}, "price from 5"),
        ({"breaks": (PriceBreak(1, D(1)),)}, "two or more"),
        ({"breaks": (PriceBreak(9, D(1)), PriceBreak(5, D(2)))}, "each above the last"),
        ({"core_deposit": D(-1)}, "core_deposit"),
        ({"tax_rate": D("-0.2")}, "tax_rate"),
        ({"least_lot": 0}, "least_lot"),
        ({"available": -1}, "available"),
        ({"lead_days": 5.0, "lead_late": 3.0}, "lead days"),
        ({"lead_days": float("nan")}, "lead days"),
        ({"contents": (("RING", 0),)}, "one piece or more"),
    ],
)
def test_each_bad_field_of_an_offer_is_named(more: dict[str, object], words: str) -> None:
    found = mistakes(offer("N", **more))
    assert len(found) == 1
    assert words in found[0]


def test_one_number_with_two_contents_or_two_lines_is_refused() -> None:
    other = Offer("Slip", "KIT", D(1), "EUR", contents=(("RING", 2),))
    catalogue = Catalogue(
        "EUR", (*QUAY, Supplier("Slip")), (offer("KIT", contents=(("RING", 3),)), other)
    )
    assert "one contents per number" in str(catalogue_mistakes(catalogue)[0])
    assert "one line per number" in mistakes(offer("N"), offer("N"))[0]


def test_stock_follows_its_moves_and_never_falls_below_zero() -> None:
    shelf = (Stock("RING", D(3), D("0.40")),)
    after = shelf_after(shelf, [StockMove("RING", D(-2)), StockMove("LIP", D(1))])
    assert {line.number: line.quantity for line in after} == {"RING": D(1), "LIP": D(1)}
    assert after[0].worth == D("0.40")
    with pytest.raises(FormErrors) as caught:
        shelf_after(shelf, [StockMove("RING", D(-4)), StockMove("LIP", D(-1))])
    assert len(caught.value.mistakes) == 2
    assert "move 1, RING" in str(caught.value)
