"""Documents for the terminal, through rich; the same words and numbers as page and book."""

from __future__ import annotations

import shlex

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.panel import Panel
from rich.table import Table as RichTable
from rich.text import Text

from casewright.voice.document import (
    Ask,
    Block,
    Card,
    Caution,
    Cell,
    Document,
    Facts,
    Fold,
    Link,
    Picture,
    Say,
    Table,
)
from casewright.voice.forms import pairs

SIGN = {
    "good": "≡", "bad": "╳", "unsure": "∴", "gap": "┄", "locked": "▥", "done": "≡", "next": "▶",
}  # fmt: skip
LEAD = {"estimate": "Estimate. ", "gap": "Not in the sheet. "}


def show(document: Document, console: Console, *, asks: bool = True) -> None:
    """Print a document: card, then sections."""
    console.print(Text(document.title, style="bold underline"))
    if document.card is not None and (card := _block(document.card, asks)) is not None:
        console.print(card)
    if document.beside is not None:
        console.print(_block(document.beside, asks))
    for section in document.sections:
        console.print()
        console.print(Text(section.title, style="bold"))
        for block in section.blocks:
            if (shown := _block(block, asks)) is not None:
                console.print(shown)


def _block(block: Block, asks: bool) -> RenderableType | None:
    if isinstance(block, Say):
        return Text(LEAD.get(block.tone, "") + block.text)
    if isinstance(block, Caution):
        return Panel(Text(block.text), title=block.title, border_style="bold", expand=False)
    if isinstance(block, Facts):
        return _facts(block)
    if isinstance(block, Table):
        return _table(block)
    if isinstance(block, Picture):
        return Text(f"[picture] {block.alt}", style="dim")
    if isinstance(block, Fold):
        inner = [Text(block.title, style="italic"), *_inner(block.blocks, False)]
        return Padding(Group(*inner), (0, 0, 0, 2))
    if isinstance(block, Card):
        inner = _inner(block.blocks, asks)
        where = [Text(block.where, style="dim")] if block.where else []
        return Panel(Group(*where, *inner), title=block.title, title_align="left", expand=False)
    if isinstance(block, Link):
        return Text(f"→ {block.label}")
    return _ask(block) if asks else None


def _inner(blocks: tuple[Block, ...], asks: bool) -> list[RenderableType]:
    """Blocks inside another; forms are named once, on the card and in the sections."""
    return [shown for block in blocks if (shown := _block(block, asks)) is not None]


def _facts(block: Facts) -> RenderableType:
    grid = RichTable.grid(padding=(0, 2))
    for label, text in block.rows:
        grid.add_row(Text(label, style="dim"), Text(text))
    return Group(Text(block.title, style="bold"), grid) if block.title else grid


def _cell(cell: Cell | str) -> Text:
    if isinstance(cell, str):
        return Text(cell)
    sign = f"{SIGN[cell.hatch]} " if cell.hatch else ""
    note = f"\n{cell.note}" if cell.note else ""
    return Text.assemble((sign + cell.text, "bold" if cell.hatch else ""), (note, "dim"))


def _table(block: Table) -> RenderableType:
    if not block.rows:
        title = f"{block.title}: " if block.title else ""
        return Text(f"{title}{block.empty}", style="dim")
    table = RichTable(title=block.title or None, title_justify="left", show_lines=False)
    for column in block.columns:
        table.add_column(column, overflow="fold")
    for row in block.rows:
        table.add_row(*(_cell(cell) for cell in row))
    return table


def _ask(ask: Ask) -> RenderableType:
    return Text(command(ask), style="dim")


def command(ask: Ask) -> str:
    """How the same entry is made from the terminal; quoted so that it can be typed as it stands."""
    told = [pair for name, value in ask.fixed.items() for pair in pairs(name, value)]
    fixed = [shlex.quote(f"{name}={value}") for name, value in told]
    asked = [f"{one.name}=…" for one in ask.fields if one.needed]
    return " ".join(["$ casewright add JOB", ask.kind, *fixed, *asked])
