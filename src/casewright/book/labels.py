"""Bag labels with QR codes: what is in the bag, which seat it came from, which job it is of."""

from __future__ import annotations

import io
from datetime import date

from casewright.book.pdf import typeset
from casewright.book.typeset import text
from casewright.job.state import State

LABEL_HEAD = """
#set page(paper: "a4", margin: 8mm)
#set text(font: ("Libertinus Serif", "New Computer Modern"), size: 9pt)
#let label(picture, name, seat, job) = box(width: 64mm, height: 36mm, stroke: .4pt + luma(140),
  inset: 3mm, clip: true, grid(columns: (24mm, 1fr), gutter: 3mm, image(picture, width: 24mm),
  [#text(10pt, weight: 700, name) #linebreak() #seat #linebreak() #text(7pt, job)]))
"""


def labels_pdf(state: State, address: str, day: date) -> bytes:
    """A sheet of labels, one a position; each QR code opens the job at that position."""
    pictures: dict[str, bytes] = {}
    title = state.opened.body.title if state.opened else ""
    cells = []
    for index, position in enumerate(state.lookup.sheet.positions):
        name = f"qr-{index}.svg"
        pictures[name] = _qr(f"{address}inspect/#{position.key}")
        part = state.lookup.part_at(position.key)
        count = f" × {position.quantity}" if position.quantity > 1 else ""
        cells.append(
            f'#label("{name}", [{text(position.name + count)}], '
            f"[{text(part.name)}], [{text(title)}])"
        )
    return typeset(" ".join(cells) or text("no positions in the sheet"), pictures, day, LABEL_HEAD)


def _qr(content: str) -> bytes:
    import segno

    out = io.BytesIO()
    segno.make(content, error="m").save(out, kind="svg", scale=4, border=2)
    return out.getvalue()
