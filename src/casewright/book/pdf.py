"""The book, labels and papers as PDF, set by Typst; the same state gives the same bytes."""

from __future__ import annotations

import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

from casewright.book.book import Book, imprint
from casewright.book.typeset import block, chapter, head, joined, text
from casewright.voice.document import Document
from casewright.voice.summary import STANDING


def pdf(made: Book, day: date) -> bytes:
    """The rebuild book as PDF bytes."""
    pictures: dict[str, bytes] = {}
    owner = f" for {made.owner}" if made.owner else ""
    parts = [
        f"#text(20pt, weight: 700)[{text(made.title)}]",
        f"#text(11pt)[{text(f'Rebuild book{owner}, printed {day.isoformat()}')}]",
        chapter(made.summary, pictures),
        block(made.map, pictures) if made.map else "",
        *(chapter(one, pictures) for one in made.chapters),
        f"= {text('The log')}",
        block(imprint(made), pictures),
        "#pagebreak(weak: true)\n#set text(7.5pt)",
        chapter(made.working, pictures),
    ]
    return typeset(joined(parts), pictures, day)


def document_pdf(document: Document, day: date) -> bytes:
    """One document alone as PDF: a quote, an order, a pick list."""
    pictures: dict[str, bytes] = {}
    return typeset(chapter(document, pictures), pictures, day)


def typeset(markup: str, pictures: dict[str, bytes], day: date, start: str = "") -> bytes:
    """PDF bytes of Typst markup; fonts come with the compiler, so pages look the same anywhere."""
    import typst

    standing = f"#let standing = [{text(STANDING)}]\n"
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name, content in pictures.items():
            (root / name).write_bytes(content)
        source = root / "book.typ"
        source.write_text(standing + (start or head()) + markup, "utf-8")
        moment = datetime(day.year, day.month, day.day, tzinfo=UTC)
        made = typst.compile(
            str(source), root=folder, ignore_system_fonts=True, timestamp=int(moment.timestamp())
        )
    assert isinstance(made, bytes)
    return made
