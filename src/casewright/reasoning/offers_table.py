"""Catalogues from text: four small CSV tables, every mistake of all of them in one pass.

Offers: `supplier, number, price, currency` and, where they apply, `kind, contents, breaks,
least_lot, available, lead_days, lead_early, lead_late, returnable, core_deposit, tax_rate,
dated, history, readings`. Contents are `CUP-3:1 CONE-3:1`, price breaks `10@11.50 25@10.90`.
Suppliers: `name, freight, free_freight_from, freight_tax_rate`. Shelf: `number, quantity,
worth, contents`. Newer numbers: `old, new, both_ways`.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Collection
from datetime import date
from decimal import Decimal, InvalidOperation

from casewright.errors import FormErrors, InputError, MissingError, RangeError
from casewright.reasoning.offers import (
    ZERO,
    Catalogue,
    Offer,
    OfferKind,
    PriceBreak,
    Stock,
    Superseded,
    Supplier,
)
from casewright.reasoning.offers_check import catalogue_mistakes

OFFER_COLUMNS = (
    *("supplier", "number", "price", "currency", "kind", "contents", "breaks", "least_lot"),
    *("available", "lead_days", "lead_early", "lead_late", "returnable", "core_deposit"),
    *("tax_rate", "dated", "history", "readings"),
)
SUPPLIER_COLUMNS = ("name", "freight", "free_freight_from", "freight_tax_rate")
SHELF_COLUMNS = ("number", "quantity", "worth", "contents")
SUPERSEDED_COLUMNS = ("old", "new", "both_ways")
YES, NO = {"yes", "y", "true", "1"}, {"no", "n", "false", "0"}


class _Row:
    """One line of a table: reads cells, notes what can't be read, goes on."""

    def __init__(self, place: str, cells: dict[str, str], mistakes: list[InputError]) -> None:
        self.place, self.cells, self.mistakes = place, cells, mistakes

    def blame(self, column: str, expected: str, remedy: str = "") -> None:
        """Note a cell that can't be read."""
        given = self.cells.get(column, "")
        field = f"{self.place}, {column}"
        self.mistakes.append(
            RangeError(field, given, expected, remedy) if given else MissingError(field, expected)
        )

    def text(self, column: str, needed: bool = False) -> str:
        """The cell without blanks around it."""
        value = self.cells.get(column, "")
        if needed and not value:
            self.blame(column, "a name")
        return value

    def number(self, column: str, default: Decimal | None) -> Decimal:
        """A finite decimal number with a point, per cent allowed; no default means needed."""
        given = self.cells.get(column, "")
        if not given and default is not None:
            return default
        plain = given.removesuffix("%").strip()
        try:
            value = Decimal(plain)
            if not value.is_finite():
                raise InvalidOperation
        except InvalidOperation:
            self.blame(column, "a number such as 12.50", "A decimal point, no thousands mark.")
            return ZERO
        return value / 100 if given.endswith("%") else value

    def rate(self, column: str) -> Decimal:
        """A share: `20 %` or `0.20`; a bare 20 is asked about."""
        value = self.number(column, ZERO)
        if value > 1:
            self.blame(column, "a share such as 20 % or 0.20", "Is the per cent sign missing?")
            return ZERO
        return value

    def days(self, column: str) -> float | None:
        """Days, or None where the cell is empty."""
        return float(self.number(column, ZERO)) if self.cells.get(column) else None

    def whole(self, column: str, default: int | None) -> int | None:
        """A whole number, or the default where the cell is empty."""
        if not self.cells.get(column):
            return default
        value = self.number(column, ZERO)
        if value != int(value):
            self.blame(column, "a whole number")
        return int(value)

    def yes(self, column: str, default: bool) -> bool:
        """Yes or no."""
        word = self.cells.get(column, "").lower()
        if word and word not in YES | NO:
            self.blame(column, "yes or no")
        return word in YES if word else default

    def pairs(self, column: str, mark: str) -> list[tuple[str, str]]:
        """`a:1 b:2` as pairs; blanks, commas or semicolons between them."""
        words = self.cells.get(column, "").replace(";", " ").replace(",", " ").split()
        found = [word.rpartition(mark) for word in words]
        if not all(left and right for left, _, right in found):
            self.blame(column, f"entries such as {'CUP-3:2' if mark == ':' else '10@11.50'}")
            return []
        return [(left, right) for left, _, right in found]

    def contents(self) -> tuple[tuple[str, int], ...]:
        """Part numbers with pieces."""
        pairs = self.pairs("contents", ":")
        if not all(count.lstrip("-").isdecimal() for _, count in pairs):
            self.blame("contents", "whole pieces, such as CUP-3:2")
            return ()
        return tuple((number, int(count)) for number, count in pairs)

    def breaks(self) -> tuple[PriceBreak, ...]:
        """Price breaks."""
        try:
            return tuple(
                PriceBreak(int(start), Decimal(price)) for start, price in self.pairs("breaks", "@")
            )
        except (ValueError, InvalidOperation):
            self.blame("breaks", "entries such as 10@11.50")
            return ()

    def kind(self) -> OfferKind:
        """What one unit is; a kit where there are contents and nothing is said."""
        word = self.cells.get("kind", "").lower()
        if not word:
            return OfferKind.KIT if self.cells.get("contents") else OfferKind.SINGLE
        if word not in set(OfferKind):
            self.blame("kind", "one of " + ", ".join(OfferKind))
            return OfferKind.SINGLE
        return OfferKind(word)

    def day(self, column: str) -> date | None:
        """A date such as 2030-05-17, or None."""
        given = self.cells.get(column, "")
        try:
            return date.fromisoformat(given) if given else None
        except ValueError:
            self.blame(column, "a date such as 2030-05-17")
            return None


def read_catalogue(
    offers: str,
    suppliers: str,
    currency: str,
    shelf: str = "",
    superseded: str = "",
    parts: Collection[str] = (),
) -> Catalogue:
    """A catalogue from CSV text, or all mistakes of all tables at once, with line numbers.

    Args:
        offers: CSV text of the offers [-].
        suppliers: CSV text of the suppliers [-].
        currency: the one currency of all sums, for instance EUR [-].
        shelf: CSV text of the shelf, may be empty [-].
        superseded: CSV text of newer numbers, may be empty [-].
        parts: known part numbers; empty means that any number goes [-].
    Returns:
        the catalogue, kits not yet unpacked [-].
    Valid: columns in any order; empty lines are skipped; the first line names the columns.
    Raises: FormErrors with every mistake, named by table, line and column.
    Source: own: the tables described at the top of this module.
    Example:
        >>> read_catalogue("supplier,number,price,currency\\nQuay,LIP-1,4.20,EUR",
        ...                "name,freight\\nQuay,9", "EUR").offers[0].key
        'Quay:LIP-1'
    """
    mistakes: list[InputError] = []
    where: dict[str, str] = {}
    found_suppliers = [
        _supplier(row, where)
        for row in _rows("suppliers", suppliers, SUPPLIER_COLUMNS, 1, mistakes)
    ]
    found_offers = [
        _offer(row, where) for row in _rows("offers", offers, OFFER_COLUMNS, 4, mistakes)
    ]
    stock = [_stock(row, where) for row in _rows("shelf", shelf, SHELF_COLUMNS, 2, mistakes)]
    links = [
        _link(row, where)
        for row in _rows("superseded", superseded, SUPERSEDED_COLUMNS, 2, mistakes)
    ]
    catalogue = Catalogue(
        currency=currency,
        suppliers=tuple(found_suppliers),
        offers=tuple(found_offers),
        shelf=tuple(stock),
        superseded=tuple(links),
        parts=frozenset(parts),
    )
    mistakes += catalogue_mistakes(catalogue, where)
    if mistakes:
        raise FormErrors("catalogue", mistakes)
    return catalogue


def _rows(
    table: str, text: str, columns: tuple[str, ...], needed: int, mistakes: list[InputError]
) -> list[_Row]:
    """The lines of one table; columns missing or unknown are noted, `needed` ones come first."""
    if not text.strip():
        return []
    lines = csv.reader(io.StringIO(text.strip("\ufeff\n\r"), newline=""), skipinitialspace=True)
    heads = [head.strip().lower() for head in next(lines)]
    for head in heads:
        if head not in columns:
            mistakes.append(RangeError(f"{table}, columns", head, "one of " + ", ".join(columns)))
    absent = [column for column in columns[:needed] if column not in heads]
    mistakes += [MissingError(f"{table}, column {column}", "this column") for column in absent]
    found = []
    for cells in () if absent else lines:
        place = f"{table} line {lines.line_num}"
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) > len(heads):
            mistakes.append(RangeError(place, f"{len(cells)} cells", f"{len(heads)} at most"))
        named = dict(zip(heads, (cell.strip() for cell in cells), strict=False))
        found.append(_Row(place, named, mistakes))
    return found


def _supplier(row: _Row, where: dict[str, str]) -> Supplier:
    """One line of the suppliers' table."""
    name = row.text("name", needed=True)
    where[f"supplier {name}"] = row.place
    level = row.number("free_freight_from", ZERO) if row.text("free_freight_from") else None
    return Supplier(name, row.number("freight", ZERO), level, row.rate("freight_tax_rate"))


def _offer(row: _Row, where: dict[str, str]) -> Offer:
    """One line of the offers' table."""
    offer = Offer(
        supplier=row.text("supplier", needed=True),
        number=row.text("number", needed=True),
        price=row.number("price", None),
        currency=row.text("currency", needed=True),
        kind=row.kind(),
        contents=row.contents(),
        breaks=row.breaks(),
        least_lot=row.whole("least_lot", 1) or 0,
        available=row.whole("available", None),
        lead_days=row.days("lead_days") or 0.0,
        lead_early=row.days("lead_early"),
        lead_late=row.days("lead_late"),
        returnable=row.yes("returnable", True),
        core_deposit=row.number("core_deposit", ZERO),
        tax_rate=row.rate("tax_rate"),
        dated=row.day("dated"),
        history=row.text("history"),
        readings=row.text("readings"),
    )
    where[offer.key] = row.place
    return offer


def _stock(row: _Row, where: dict[str, str]) -> Stock:
    """One line of the shelf's table."""
    number = row.text("number", needed=True)
    where[f"shelf {number}"] = row.place
    worth = row.number("worth", ZERO)
    return Stock(number, row.number("quantity", None), worth, row.contents())


def _link(row: _Row, where: dict[str, str]) -> Superseded:
    """One line of the table of newer numbers."""
    old = row.text("old", needed=True)
    where[f"superseded {old}"] = row.place
    return Superseded(old, row.text("new", needed=True), row.yes("both_ways", False))
