"""Documents as plain mappings, for `--json` and for tests that read the text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from casewright.voice.document import Cell, Document, Facts, Fold, Say, Table


def as_plain(item: Any) -> Any:
    """Dataclasses as mappings with their `block` name; pictures by their words only."""
    if is_dataclass(item) and not isinstance(item, type):
        plain = {f.name: as_plain(getattr(item, f.name)) for f in fields(item) if f.name != "svg"}
        return {"block": type(item).__name__, **plain}
    if isinstance(item, Mapping):
        return {str(key): as_plain(value) for key, value in item.items()}
    if isinstance(item, list | tuple):
        return [as_plain(one) for one in item]
    return item


def texts(document: Document) -> Iterator[str]:
    """Every text of a document's sections: paragraphs, facts, cells."""
    for section in document.sections:
        yield section.title
        for block in section.blocks:
            yield from _texts(block)


def _texts(block: Any) -> Iterator[str]:
    if isinstance(block, Say):
        yield block.text
    elif isinstance(block, Facts):
        for label, text in block.rows:
            yield label
            yield text
    elif isinstance(block, Table):
        for row in block.rows:
            yield from (cell.text if isinstance(cell, Cell) else cell for cell in row)
    elif isinstance(block, Fold):
        for inner in block.blocks:
            yield from _texts(inner)
