"""What may be recorded of a contact pattern: it lies on the tooth, each flank is told one way."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.errors import InputError
from casewright.job.kinds import PatternSeen
from casewright.job.state import State

FLANKS = ("drive", "coast")


def cell_of(text: str) -> tuple[int, int]:
    """ "3-2" as the third cell from the toe, the second from the root."""
    along, up = text.split("-")
    return int(along), int(up)


def grid_of(body: PatternSeen) -> tuple[int, int]:
    """Cells along and up of the picture that was tapped."""
    along, up = body.grid.split("x")
    return int(along), int(up)


def pattern_on_tooth(state: State, body: PatternSeen) -> Iterator[InputError]:
    """Cells lie on the tooth; a flank has cells or a whole middle; something was seen."""
    for flank in FLANKS:
        yield from _cells(body, flank)
        yield from _middle(body, flank)
    told = (body.words, body.drive_cells, body.coast_cells, body.drive_along, body.drive_up,
            body.coast_along, body.coast_up)  # fmt: skip
    if all(one in ("", (), None) for one in told):
        yield InputError(
            "drive_cells", "", "the wiped cells of one flank at least",
            "Tap where the compound is gone, or say in words that it is gone nowhere.",
        )  # fmt: skip


def _cells(body: PatternSeen, flank: str) -> Iterator[InputError]:
    wide, tall = grid_of(body)
    for text in getattr(body, f"{flank}_cells"):
        along, up = cell_of(text)
        if not (1 <= along <= wide and 1 <= up <= tall):
            yield InputError(
                f"{flank}_cells", text, f"a cell of the tooth, 1-1 (toe, root) to {wide}-{tall}",
                "A pattern can't lie outside the tooth.",
            )  # fmt: skip


def _middle(body: PatternSeen, flank: str) -> Iterator[InputError]:
    along, up = (getattr(body, f"{flank}_{way}") for way in ("along", "up"))
    if getattr(body, f"{flank}_cells") and (along is not None or up is not None):
        given = along if along is not None else up
        yield InputError(
            f"{flank}_cells", given, "wiped cells or a middle in per cent, not both of one flank"
        )
    elif (along is None) != (up is None):
        missing = "along" if along is None else "up"
        yield InputError(f"{flank}_{missing}", "", "both: how far along, and how far up")
