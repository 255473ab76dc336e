"""Reading one pasted price list: up to four tables, each told by its first line, every mistake."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from casewright.errors import FormErrors, InputError
from casewright.reasoning.offers import Catalogue
from casewright.reasoning.offers_table import read_catalogue

TABLES = {
    "offers": {"supplier", "number", "price"},
    "suppliers": {"name"},
    "shelf": {"number", "quantity"},
    "superseded": {"old", "new"},
}


@dataclass(frozen=True, slots=True)
class ListRead:
    """One text as read: its catalogue (None where it has mistakes), whose freight it says."""

    catalogue: Catalogue | None
    mistakes: tuple[InputError, ...] = ()
    freight_said: tuple[str, ...] = ()


@lru_cache(maxsize=32)
def read_list(text: str, currency: str) -> ListRead:
    """The catalogue of one text, its suppliers added where it doesn't list them."""
    tables = _tables(text)
    offers = tables.get("offers", ("", 0))[0]
    listed = _column(tables.get("suppliers", ("", 0))[0], "name")
    absent = [n for n in dict.fromkeys(_column(offers, "supplier")) if n and n not in listed]
    suppliers = _with_names(tables.get("suppliers", ("", 0))[0], absent)
    rest = {name: tables.get(name, ("", 0))[0] for name in ("shelf", "superseded")}
    try:
        found = read_catalogue(offers, suppliers, currency, **rest)
    except FormErrors as error:
        starts = {name: start for name, (_, start) in tables.items()}
        mistakes = [_where_pasted(each, starts) for each in error.mistakes]
        return ListRead(None, tuple(sorted(mistakes, key=_line_of)))
    said = tuple(name for name in listed if name)
    return ListRead(found, (), said)


def _tables(text: str) -> dict[str, tuple[str, int]]:
    """Table to its text and the lines before it; text before any known first line is offers."""
    lines = text.strip("\ufeff").splitlines()
    starts: list[tuple[int, str]] = []
    for number, line in enumerate(lines):
        heads = {cell.strip().strip('"').lower() for cell in line.split(",")}
        kind = next((name for name, needed in TABLES.items() if needed <= heads), "")
        if kind and kind not in [name for _, name in starts]:
            starts.append((number, kind))
    first = next((n for n, line in enumerate(lines) if line.strip()), 0)
    if lines and (not starts or starts[0][0] > first):
        starts.insert(0, (first, "offers"))
    ends = [*(number for number, _ in starts[1:]), len(lines)]
    return {
        name: ("\n".join(lines[start:end]).rstrip(), start)
        for (start, name), end in zip(starts, ends, strict=True)
    }


def _rows(table: str) -> list[list[str]]:
    return [row for row in csv.reader(io.StringIO(table), skipinitialspace=True) if row]


def _column(table: str, head: str) -> list[str]:
    """The cells of one column; none where the table doesn't have it."""
    rows = _rows(table)
    heads = [cell.strip().lower() for cell in rows[0]] if rows else []
    if head not in heads:
        return []
    place = heads.index(head)
    return [row[place].strip() for row in rows[1:] if len(row) > place]


def _with_names(table: str, names: Sequence[str]) -> str:
    """The suppliers' table with more names, whose freight nobody has said."""
    rows = _rows(table)
    heads = [cell.strip().lower() for cell in rows[0]] if rows else ["name"]
    lines = [table] if rows else ["name"]
    for name in names:
        quoted = '"' + name.replace('"', '""') + '"'
        lines.append(",".join(quoted if head == "name" else "" for head in heads))
    return "\n".join(lines) if rows or names else ""


def _line_of(mistake: InputError) -> int:
    """The line that a mistake stands in, those of the whole table first."""
    found = re.search(r" line (\d+)", mistake.field)
    return int(found[1]) if found else 0


def _where_pasted(mistake: InputError, starts: dict[str, int]) -> InputError:
    """The mistake with the line of the whole text instead of the line of its table."""

    def line(match: re.Match[str]) -> str:
        return f"{match[1]} line {int(match[2]) + starts.get(match[1], 0)}"

    place = re.sub(r"^(offers|suppliers|shelf|superseded) line (\d+)", line, mistake.field)
    return InputError(place, mistake.given, mistake.expected, mistake.remedy)
