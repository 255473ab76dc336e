"""Documents as Typst markup: one function a block. All text goes in as string literals."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from importlib import resources
from itertools import compress
from typing import Any

from casewright.voice.document import (
    Block,
    Caution,
    Cell,
    Document,
    Facts,
    Fold,
    Picture,
    Say,
    Table,
)

# How wide a picture stands [% of the text] that is drawn as wide as most are.
WIDEST, FULL, NARROWEST = 92.0, 640.0, 40.0


def head() -> str:
    """The page, type and helper functions that every paper starts with."""
    return resources.files("casewright.book").joinpath("templates/book.typ").read_text("utf-8")


def text(given: str) -> str:
    """Any text as a Typst string literal in markup: nothing in it is read as markup.

    >>> text('a #b "c"')
    '#"a #b \\\\"c\\\\""'
    """
    escaped = given.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'#"{escaped}"'


def chapter(document: Document, pictures: dict[str, bytes], level: int = 1) -> str:
    """A document with its sections."""
    parts = [f"{'=' * level} {text(document.title)}"]
    for section in document.sections:
        parts.append(f"{'=' * (level + 1)} {text(section.title)}")
        parts += [block(one, pictures) for one in section.blocks]
    return "\n\n".join(parts)


def block(one: Block, pictures: dict[str, bytes]) -> str:
    """One block as markup; pictures are put aside under a name and referred to."""
    makers: dict[type, Callable[[Any], str]] = {
        Say: _say,
        Caution: lambda c: f"#caution([{text(c.title)}], [{text(c.text)}])",
        Facts: _facts,
        Table: _table,
        Picture: lambda p: _picture(p, pictures),
        Fold: lambda f: _fold(f, pictures),
    }
    maker = makers.get(type(one))
    return maker(one) if maker else ""


def _say(one: Say) -> str:
    lead = {"estimate": "*Estimate.* ", "gap": "*Not in the sheet.* "}.get(one.tone, "")
    body = lead + text(one.text)
    return f"#strong[{body}]" if one.tone in ("good", "bad") else body


def _facts(one: Facts) -> str:
    title = f"=== {text(one.title)}\n" if one.title else ""
    cells = ", ".join(f"[{text(label)}], [{text(said)}]" for label, said in one.rows)
    return (
        f"{title}#table(columns: (34%, 1fr), stroke: rule, inset: 4pt, {cells})"
        if one.rows
        else title
    )


def _table(one: Table) -> str:
    caption = f"#block(above: 1em, below: .4em, strong[{text(one.title)}])" if one.title else ""
    if not one.rows:
        return f"{caption}\n#emph[{text(one.empty)}]"
    one = _filled(one)
    head = ", ".join(f"[*{text(column)}*]" for column in one.columns)
    body = ", ".join(_cell(cell) for row in one.rows for cell in row)
    columns = "(" + "".join(f"{width}fr, " for width in _widths(one)) + ")"
    return (
        f"{caption}\n#table(columns: {columns}, stroke: rule, inset: 4pt, "
        f"table.header({head}), {body})"
    )


def _filled(one: Table) -> Table:
    """The table without the columns in which nothing was said: paper is narrow."""
    used = [
        any(row[at] not in ("", Cell("")) for row in one.rows) for at in range(len(one.columns))
    ]
    kept = tuple(tuple(compress(row, used)) for row in one.rows)
    return replace(one, columns=tuple(compress(one.columns, used)), rows=kept)


def _widths(one: Table) -> list[int]:
    """A share of the line for each column: its longest words, but no column starved or greedy.

    >>> _widths(Table("", ("On", "Note"), (("2026-03-02", "x" * 90),), ""))
    [12, 34]
    """
    columns = zip(one.columns, *one.rows, strict=True)
    return [min(34, max(10, *(len(_said(cell)) + 2 for cell in column))) for column in columns]


def _said(cell: Cell | str) -> str:
    """The longest line of a cell, with room for its hatching."""
    return cell if isinstance(cell, str) else max(f"{cell.text}    ", cell.note[:30], key=len)


def _cell(cell: Cell | str) -> str:
    if isinstance(cell, str):
        return f"[{text(cell)}]"
    mark = f"#swatch({json.dumps(cell.hatch)}) " if cell.hatch else ""
    note = f"#linebreak() #text(8pt, fill: luma(80))[{text(cell.note)}]" if cell.note else ""
    return f"[{mark}{text(cell.text)}{note}]"


def _picture(one: Picture, pictures: dict[str, bytes]) -> str:
    name = f"picture-{len(pictures)}.svg"
    pictures[name] = one.svg.replace("currentColor", "#000000").encode("utf-8")
    caption = f", caption: [{text(one.title)}]" if one.title else ""
    alt = json.dumps(one.alt, ensure_ascii=False)
    return f'#figure(image("{name}", width: {_share(one.svg):.0f}%, alt: {alt}){caption})'


def _share(svg: str) -> float:
    """Share of the text's width [%]: a picture drawn narrow is printed narrow, its words alike."""
    drawn = re.search(r'viewBox="0 0 (\d+(?:\.\d+)?) ', svg)
    share = WIDEST * float(drawn[1]) / FULL if drawn else WIDEST
    return min(max(share, NARROWEST), WIDEST)


def _fold(one: Fold, pictures: dict[str, bytes]) -> str:
    return "\n\n".join([f"=== {text(one.title)}", *(block(b, pictures) for b in one.blocks)])


def joined(parts: Iterable[str]) -> str:
    """Markup pieces, blank line between."""
    return "\n\n".join(part for part in parts if part)
