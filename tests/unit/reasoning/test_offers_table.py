"""Catalogues from text: all tables in one pass, each mistake with table, line and column."""

from __future__ import annotations

import contextlib
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import FormErrors
from casewright.reasoning.offers import OfferKind, PriceBreak
from casewright.reasoning.offers_table import read_catalogue

SUPPLIERS = "name,freight,free_freight_from,freight_tax_rate\nQuay,9.50,120,20%\nSlip,4,,\n"
OFFERS = """supplier,number,kind,contents,price,currency,breaks,least_lot,lead_days,lead_early,lead_late,returnable,core_deposit,tax_rate,dated,available,history
Quay,LIP-1,,,4.20,EUR,10@3.90 25@3.50,2,3,2,6,yes,,20%,2030-05-17,,
Slip,KIT-2,kit,LIP-1:2; RING-4:3,18,EUR,,,5,,,no,,0.2,,,
Slip,UNIT-9,exchange unit,,900,EUR,,,8,,,,250,,,1,"run-out 0.02, kept dry"
"""


def test_a_good_catalogue_is_read_with_all_its_fields() -> None:
    shelf = "number,quantity,worth\nLIP-1,2,1.10\nCOMPOUND,0.4,\n"
    chain = "old,new,both_ways\nLIP-0,LIP-1,yes\n"
    found = read_catalogue(OFFERS, SUPPLIERS, "EUR", shelf, chain, {"LIP-1", "RING-4", "UNIT-9"})
    lip, kit, unit = found.offers
    assert lip.breaks == (PriceBreak(10, Decimal("3.90")), PriceBreak(25, Decimal("3.50")))
    assert (lip.least_lot, lip.lead_early, lip.lead_days, lip.lead_late) == (2, 2, 3, 6)
    assert (lip.tax_rate, lip.dated, lip.returnable) == (Decimal("0.2"), date(2030, 5, 17), True)
    assert kit.contents == (("LIP-1", 2), ("RING-4", 3))
    assert not kit.returnable
    assert unit.kind is OfferKind.EXCHANGE
    assert (unit.core_deposit, unit.available) == (250, 1)
    assert unit.history == "run-out 0.02, kept dry"
    assert found.suppliers[0].free_freight_from == 120
    assert found.suppliers[0].freight_tax_rate == Decimal("0.20")
    assert found.suppliers[1].free_freight_from is None
    assert found.shelf[1].quantity == Decimal("0.4")
    assert found.superseded[0].both_ways


def test_all_mistakes_of_all_tables_come_in_one_pass_with_their_lines() -> None:
    offers = """supplier,number,kind,contents,price,currency,least_lot
Quay,LIP-1,,,-4.20,EUR,
Quay,KIT-2,kit,KIT-2:1,18,EUR,
Slip,CUP-3,,,30,USD,

Slip,CONE-3,,,12,EUR,one
Nobody,RING-4,,,x,EUR,
Slip,MYSTERY,,,3,EUR,
"""
    shelf = "number,quantity\nLIP-1,-2\n"
    chain = "old,new\nA,B\nB,A\n"
    known = {"LIP-1", "CUP-3", "CONE-3", "RING-4"}
    with pytest.raises(FormErrors) as caught:
        read_catalogue(offers, SUPPLIERS, "EUR", shelf, chain, known)
    fields = {mistake.field for mistake in caught.value.mistakes}
    assert fields == {
        "offers line 2, price",
        "offers line 3, contents",
        "offers line 4, currency",
        "offers line 6, least_lot",
        "offers line 7, price",
        "offers line 7, supplier Nobody",
        "offers line 8, contents",
        "shelf line 2, quantity",
        "superseded line 2, new",
    }


@pytest.mark.parametrize(
    ("cells", "field"),
    [
        ("Quay,N,nan,EUR,", "price"),
        ("Quay,N,Infinity,EUR,", "price"),
        ("Quay,N,1.234,50,EUR", "currency"),
        ("Quay,,5,EUR,", "number"),
        ("Quay,N,5,EUR,20", "tax_rate"),
    ],
)
def test_cells_that_look_like_numbers_but_arent_are_refused(cells: str, field: str) -> None:
    with pytest.raises(FormErrors) as caught:
        read_catalogue(f"supplier,number,price,currency,tax_rate\n{cells}", SUPPLIERS, "EUR")
    assert any(each.field.endswith(field) for each in caught.value.mistakes)


def test_missing_and_strange_columns_are_named() -> None:
    with pytest.raises(FormErrors) as caught:
        read_catalogue("supplier,number,prise\nQuay,N,5", SUPPLIERS, "EUR")
    text = str(caught.value)
    assert "prise" in text
    assert "column price" in text
    assert "column currency" in text


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm() -> None:
    text = "\ufeffsupplier,number,price,currency\r\nQuay,N,5,EUR\r\n"
    assert read_catalogue(text, SUPPLIERS, "EUR").offers[0].number == "N"


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_with_form_errors(text: str) -> None:
    heads = "supplier,number,price,currency,breaks,contents\n"
    with contextlib.suppress(FormErrors):
        found = read_catalogue(heads + text, text, "EUR", text)
        assert all(each.price >= 0 and each.currency == "EUR" for each in found.offers)
