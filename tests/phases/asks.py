"""Every form of a document, filled sensibly, as the entry that it would record."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from casewright.job.entry import Entry
from casewright.voice.document import Ask, Document, Field, Fold
from casewright.voice.forms import body_from

MOMENT = "2026-03-04T10:00:00+00:00"
EXAMPLES = {
    "length": "12.345", "torque": "12", "pressure": "20", "temperature": "20", "angle": "0.1",
    "count": "3",
}  # fmt: skip


# Where a gear-tooth calliper stood: at the printed height, on a tip hardly worn.
CALLIPER = {"at_height": "", "tip_low": "0.1"}


def asks_of(document: Document) -> Iterator[Ask]:
    """The card's forms and every section's, folds opened."""
    if document.card is not None:
        yield from _in(document.card.blocks)
    for section in document.sections:
        yield from _in(section.blocks)


def _in(blocks: Any) -> Iterator[Ask]:
    for block in blocks:
        if isinstance(block, Ask):
            yield block
        elif isinstance(block, Fold):
            yield from _in(block.blocks)


def filled(ask: Ask, **given: str) -> Entry:
    """The entry that a form makes when its fields are filled."""
    import json

    posted: dict[str, list[str]] = {"fixed": [json.dumps(dict(ask.fixed))]}
    for field in ask.fields:
        posted[field.name] = [given.get(field.name) or _example(field)] * field.boxes
        if field.kind == "quantity":
            posted["unit"] = [field.unit]
    return Entry("entry-from-a-form", ask.kind, body_from(ask.kind, posted), "AB", MOMENT)


def _example(field: Field) -> str:
    if field.value:
        return field.value
    if field.choices:
        return field.choices[0][0]
    if field.name in CALLIPER:
        return CALLIPER[field.name]
    by_kind = {"quantity": EXAMPLES.get(field.dimension, "1"), "number": "3", "date": "2027-01-01"}
    return by_kind.get(field.kind) or _text(field.name)


def _text(name: str) -> str:
    by_name = {
        "temperature": "34 °C", "gauge_temperature": "20 °C", "low": "1 mm", "high": "2 mm",
        "resolution": "0.01 mm", "uncertainty": "0.02 mm", "wear": "0.002 mm", "suits": "bore",
        "piece": "a-new-name", "hours": "2400 h",
        "item.low": "1 mm", "item.high": "2 mm", "item.along": "20, 150, 300 mm",
        "item.supports": "20, 300 mm", "item.at_height": "1 mm", "item.thread": "M24x2",
        "item.wire": "1.155 mm", "inputs.torque": "90 N·m", "inputs.capacity": "54 kN",
        "inputs.load": "6 kN", "inputs.static_capacity": "62 kN", "inputs.static_load": "9 kN",
        "inputs.speed": "1500 rpm", "inputs.hardness": "300", "inputs.module": "5 mm",
        "inputs.face_width": "25 mm", "inputs.run": "1200 h", "inputs.wanted": "500 h",
    }  # fmt: skip
    return by_name.get(name, "said in words")
