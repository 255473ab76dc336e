"""The adopted sheet with what was added at the bench: parts, joints, features, limits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pydantic import ValidationError

from casewright.drive.measures import Measure
from casewright.drive.schema import DriveSheet, Feature, Response, Window
from casewright.errors import InputError
from casewright.job.kinds import LimitAdded, SheetAdded
from casewright.job.state import Kept
from casewright.units import parse_any

AT_THE_BENCH = "typed at the bench"


def with_additions(
    sheet: DriveSheet, additions: Sequence[Kept[SheetAdded]], limits: Sequence[Kept[LimitAdded]]
) -> tuple[DriveSheet, list[str]]:
    """The sheet in force and what of the additions could not be taken, in words."""
    tables: dict[str, list[Any]] = {}
    odd: list[str] = []
    for kept in additions:
        table = kept.body.table
        try:
            item = item_of(table, kept.body.item)
        except ValidationError as error:
            first = error.errors()[0]
            odd.append(f"entry {kept.sequence}: the added {table[:-1]} isn't whole: {first['msg']}")
            continue
        tables.setdefault(table, list(getattr(sheet, table))).append(item)
    for limit in limits:
        odd += _apply(sheet, tables, limit)
    update = {table: tuple(items) for table, items in tables.items()}
    return (sheet.model_copy(update=update) if update else sheet), odd


def item_of(table: str, plain: dict[str, Any]) -> Any:
    """One item of a table, checked by the sheet's own schema; pydantic's error where it isn't."""
    head = {"sheet_version": 1, "key": "x", "name": "x"}
    return getattr(DriveSheet.model_validate({"sheet": head, table: [plain]}), table)[0]


def _measure(text: str) -> Measure | None:
    if not text.strip():
        return None
    found = parse_any(text, "limit")
    return Measure(text, found.value, found.unit, found.dimension)


def _apply(sheet: DriveSheet, tables: dict[str, list[Any]], limit: Kept[LimitAdded]) -> list[str]:
    body = limit.body
    try:
        low, high = _measure(body.low), _measure(body.high)
    except InputError as error:
        return [f"entry {limit.sequence}: {error}"]
    source = body.source or AT_THE_BENCH
    for table in ("features", "responses"):
        items = tables.get(table) or list(getattr(sheet, table))
        for index, item in enumerate(items):
            if item.key == body.target:
                items[index] = _limited(item, low, high, source)
                tables[table] = items
                return []
    return [f"entry {limit.sequence}: a limit for {body.target!r}, which the sheet doesn't have"]


def _limited(item: Any, low: Measure | None, high: Measure | None, source: str) -> Any:
    if isinstance(item, Response):
        return item.model_copy(update={"windows": (Window(low=low, high=high, source=source),)})
    assert isinstance(item, Feature)
    # An end that isn't typed stays: a new upper limit must not lose the printed lower one.
    ends = {"low": low or item.low, "high": high or item.high}
    return item.model_copy(update={**ends, "source": source})
