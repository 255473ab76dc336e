"""The new pieces: what sits where, and a form for each position that still waits."""

from __future__ import annotations

from dataclasses import replace

from casewright.job.fitting import FitLine
from casewright.voice.document import Ask, Block, Cell, Field, Fold, Section, Table

FITTING = "fitting"
ORIGINS = (
    ("new", "new"),
    ("shelf", "off the shelf"),
    ("donor", "from a donor"),
    ("exchange", "exchange"),
    ("reworked", "reworked"),
    ("made", "made"),
)


def fitting(lines: tuple[FitLine, ...], occasion: str) -> Section | None:
    """A section for a room that builds: None where nothing has to be replaced."""
    if not lines:
        return None
    rows = tuple((line.name, line.part, _state(line), line.marks, line.reason) for line in lines)
    table = Table("", ("Position", "Part", "Fitted", "Marks", "Why another"), rows)
    waiting = tuple(_ask(line, occasion) for line in lines if not line.fitted)
    blocks: tuple[Block, ...] = (table,)
    if waiting:
        blocks += (Fold(f"Fit the {len(waiting)} that still wait", waiting),)
    return Section(FITTING, "New pieces", blocks)


def folded(section: Section, lines: tuple[FitLine, ...]) -> Section:
    """The same section folded on a page, with how many are in and how many wait."""
    fitted = sum(1 for line in lines if line.fitted)
    waiting = len(lines) - fitted
    said = f"{fitted} fitted, {waiting} wait for the final build" if waiting else "all fitted"
    return replace(section, fold=Cell(said))


def _state(line: FitLine) -> Cell:
    count = f" × {line.quantity}" if line.quantity > 1 else ""
    if line.fitted:
        return Cell(f"fitted{count}", "done", f"{line.fitted}, {line.occasion}")
    return Cell(f"waits{count}", "next")


def _ask(line: FitLine, occasion: str) -> Ask:
    return Ask(
        "piece-placed",
        f"{line.name}: {line.part}",
        "Fitted",
        (
            Field("marks", "Marks or number on it", "text"),
            Field("part_number", "Part number", "text"),
            Field("origin", "Where it is from", "tap", choices=ORIGINS),
        ),
        {"piece": line.suggested, "position": line.position, "occasion": occasion},
    )
