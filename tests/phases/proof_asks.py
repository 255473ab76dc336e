"""Fill the forms of a document as a sensible person would, and hold them against the job's rules."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.voice.document import Ask, Card, Document, Field, Fold
from casewright.voice.forms import body_from
from tests.phases.cast import MOMENT

LOG = "time [s], pressure [kPa], wall [degC]\n0, 20.0, 21\n5, 20.0, 21\n10, 19.9, 21\n15, 19.9, 21"


def asks_of(document: Document) -> tuple[Ask, ...]:
    """Every form of a document, card and folds included."""
    blocks = [document.card] if document.card else []
    blocks += [block for section in document.sections for block in section.blocks]
    return tuple(_asks(blocks))


def _asks(blocks: Any) -> Iterator[Ask]:
    for block in blocks:
        if isinstance(block, Ask):
            yield block
        elif isinstance(block, Card | Fold):
            yield from _asks(block.blocks)


def posted(ask: Ask) -> dict[str, list[str]]:
    """What the page would post for a form filled in as its hints say."""
    given = {"fixed": [json.dumps(dict(ask.fixed))]}
    for field in ask.fields:
        given[field.name] = _typed(field)
        if field.kind == "quantity":
            given["unit"] = [field.unit]
    return given


def _typed(field: Field) -> list[str]:
    if field.value:
        return [field.value]
    if field.kind in ("choice", "tap"):
        return [field.choices[0][0]]
    if field.kind == "quantity":
        return ["1"] * field.boxes
    if field.kind == "yes":
        return ["true"]
    if field.name == "text":
        return [LOG]
    hint = field.hint.removeprefix("as ") if field.hint.startswith("as ") else ""
    return [hint.partition(" or ")[0].partition(";")[0] or "said so by AB"]


def check(state: State, ask: Ask) -> None:
    """Raise where the filled form is no entry that the job takes."""
    entry = Entry("entry-asked", ask.kind, body_from(ask.kind, posted(ask)), "AB", MOMENT)
    check_entry(state, entry)
