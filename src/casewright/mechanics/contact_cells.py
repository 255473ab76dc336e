"""A seen contact pattern as wiped cells of a tooth picture: its middle, its extents, its doubt.

The picture divides the working flank of a gear's tooth in equal shares, along from the toe and up
from the root. A cell counts as wiped where compound is gone from about half of it or more, so each
edge of the patch lies somewhere within a cell.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

from casewright.errors import MissingError, RangeError
from casewright.mechanics.contact_pattern import TAP_HALF_WIDTH, SeenPatch

GRID = (6, 4)  # along x up: cells that a gloved finger hits on a phone
Cell = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Marks:
    """The wiped cells of one flank in shares of the tooth: 0 toe to 1 heel, 0 root to 1 top.

    `cells` (along, up) counted from 1 at toe and root; `islands` separate groups of touching cells;
    `patch` the middle with its doubt, None where the groups lie apart.
    """

    cells: tuple[Cell, ...]
    grid: Cell
    along_from: float
    along_to: float
    up_from: float
    up_to: float
    islands: int
    patch: SeenPatch | None

    @property
    def edges(self) -> tuple[str, ...]:
        """Edges of the tooth that the patch runs out to."""
        at = {
            "toe": self.along_from <= 0,
            "heel": self.along_to >= 1,
            "root": self.up_from <= 0,
            "top": self.up_to >= 1,
        }
        return tuple(name for name, there in at.items() if there)


def marks_of_cells(cells: Collection[Cell], grid: Cell = GRID) -> Marks:
    """Middle and extents of the wiped cells, with the doubt that a cell's size leaves.

    An edge lies evenly anywhere within one cell, so a middle between two edges has the standard
    deviation cell/sqrt(24); twice that is added in squares to what any seen middle is good for.

    Args:
        cells: wiped cells (along, up), from 1 at toe and root [-].
        grid: cells along and up [-].
    Returns:
        Marks: extents and middle in shares of the tooth [-].
    Valid: one patch; groups that lie apart have no middle of their own.
    Raises: MissingError without a cell, RangeError for a cell outside the tooth.
    Source: JCGM100 4.3.7 (rectangular distribution); TAP_HALF_WIDTH: common practice

    Example:
        >>> marks = marks_of_cells([(3, 2), (4, 2), (3, 3), (4, 3)])
        >>> (marks.patch.along, marks.patch.up, round(marks.along_from, 3))
        (0.5, 0.5, 0.333)
    """
    if not cells:
        raise MissingError("pattern", "at least one wiped cell of the tooth picture")
    wide, tall = grid
    for cell in cells:
        if not (1 <= cell[0] <= wide and 1 <= cell[1] <= tall):
            raise RangeError("pattern cell", cell, f"a cell of the tooth, 1-1 to {wide}-{tall}")
    chosen = sorted(set(cells))
    along, up = [a for a, _ in chosen], [u for _, u in chosen]
    islands = _islands(set(chosen))
    middle = SeenPatch(
        (sum(along) / len(along) - 0.5) / wide,
        (sum(up) / len(up) - 0.5) / tall,
        _doubt(wide),
        _doubt(tall),
    )
    return Marks(
        cells=tuple(chosen),
        grid=grid,
        along_from=(min(along) - 1) / wide,
        along_to=max(along) / wide,
        up_from=(min(up) - 1) / tall,
        up_to=max(up) / tall,
        islands=islands,
        patch=middle if islands == 1 else None,
    )


def _doubt(count: int) -> float:
    """Half-width of a middle's interval for cells of 1/count [-]."""
    return math.hypot(TAP_HALF_WIDTH, 2 / count / math.sqrt(24))


def _islands(left: set[Cell]) -> int:
    """Groups of cells that touch, corners included."""
    count = 0
    while left:
        count += 1
        edge = [left.pop()]
        while edge:
            a, u = edge.pop()
            near = {(a + i, u + j) for i in (-1, 0, 1) for j in (-1, 0, 1)} & left
            left -= near
            edge += near
    return count
