"""A tooth picture to tap: the working flank in cells, drawn to scale behind real tick boxes.

Each cell is a column of the flank between tip and active root, so a cell means the same share of
the tooth as in every other picture. On a screen too narrow for a glove the picture is stretched
upwards, never sideways; shares stay what they are.
"""

from __future__ import annotations

from casewright.mechanics.contact_cells import GRID
from casewright.phases.setup import Gallery, PatternLine
from casewright.voice.document import TapCell, TapPicture
from casewright.voice.draw_contact import PLAIN, between, heel_left

TARGET = 49  # px: what a gloved finger hits, and a pixel for rounding
ACROSS = ("at the toe", "near the toe", "toe side of the middle", "heel side of the middle",
          "near the heel", "at the heel")  # fmt: skip
UP = ("at the root", "below the middle", "above the middle", "at the top")


def tap_picture(line: PatternLine, flank: str) -> TapPicture:
    """The flank of this mesh's gear in cells, heel and toe as one looks at it."""
    shape, left = line.gallery or PLAIN, heel_left(line, flank)
    cells = tuple(
        _cell(shape, left, along, up) for up in range(GRID[1], 0, -1) for along in _order(left)
    )
    high, low = max(shape.tip), min(shape.active_root)
    ratio = (high - low) / (max(shape.from_toe) or 1.0)
    ends = ("heel", "toe") if left else ("toe", "heel")
    least = TARGET / min(cell.tall for cell in cells) * 100
    return TapPicture(
        cells, _svg(shape, left, ratio), ratio, round(least), ("top", ends[1], "root", ends[0]),
        to_scale=line.gallery is not None,
    )  # fmt: skip


def _order(left: bool) -> range:
    """Columns from left to right."""
    return range(GRID[0], 0, -1) if left else range(1, GRID[0] + 1)


def _cell(shape: Gallery, left: bool, along: int, up: int) -> TapCell:
    """One cell in per cent of the picture, at the height that the tooth has in its middle."""
    wide, rows = GRID
    high, low = max(shape.tip), min(shape.active_root)
    middle = (along - 0.5) / wide * max(shape.from_toe)
    tip, root = (between(shape.from_toe, y, middle) for y in (shape.tip, shape.active_root))
    tall = (tip - root) / rows
    column = wide - along if left else along - 1
    return TapCell(
        value=f"{along}-{up}",
        label=f"{ACROSS[along - 1]}, {UP[up - 1]}",
        left=round(100 * column / wide, 3),
        top=round(100 * (high - root - up * tall) / (high - low), 3),
        wide=round(100 / wide, 3),
        tall=round(100 * tall / (high - low), 3),
    )


def _svg(shape: Gallery, left: bool, ratio: float) -> str:
    """Tip, ends and active root, stretched with the picture."""
    width, height = 1000.0, 1000.0 * ratio
    high, scale = max(shape.tip), width / (max(shape.from_toe) or 1.0)

    def at(from_toe: float, over: float) -> str:
        x = from_toe * scale
        return f"{width - x if left else x:.1f} {(high - over) * scale:.1f}"

    rim = [at(a, t) for a, t in zip(shape.from_toe, shape.tip, strict=True)]
    back = zip(shape.from_toe[::-1], shape.active_root[::-1], strict=True)
    rim += [at(a, r) for a, r in back]
    return (
        f'<svg viewBox="0 0 {width:.0f} {height:.0f}" preserveAspectRatio="none" '
        'xmlns="http://www.w3.org/2000/svg" aria-hidden="true">'
        f'<path d="M{" L".join(rim)}Z" fill="none" stroke="currentColor" stroke-width="3" '
        'vector-effect="non-scaling-stroke"/></svg>'
    )
