"""Dimensions behind each adjuster, and dry readings of old and new pieces that narrow them.

A seat is a stack of pieces. Each piece of it is a dimension; only a replaced piece brings a new
one. A dry reading of the same dimension on old and new piece, with the same gauge, gives their
difference and leaves the gauge's own error out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from casewright.drive.lookup import Lookup
from casewright.drive.schema import Adjuster, DryReading
from casewright.errors import CasewrightError
from casewright.job.limits import values_of
from casewright.job.state import State
from casewright.job.verdicts import condemned_positions
from casewright.reasoning import shim_prior

DRY_DOUBT = 1e-5
# An etched number is rounded to a hundredth of a millimetre; numbers spread as wide as this where
# makers etch them at all: both assumed, no source.
ETCHED_DOUBT, ETCHED_SPREAD = 5e-6, 5e-5
SKIPPED = "dry:"


@dataclass(frozen=True, slots=True)
class DryLine:
    """One dry reading: old and new as read [m], what the difference says, what it is worth.

    `open` says that it is worth taking: its piece is replaced, and old or new isn't read yet.
    """

    key: str
    name: str
    position: str
    adjuster: str
    sign: int
    minutes: float
    doubt: float
    old: float | None
    new: float | None
    new_piece: str
    new_placed: bool
    replaced: bool
    skipped: bool
    narrowing: float = 0.0
    per_minute: float = 0.0
    etched: bool = False
    step: float | None = None

    @property
    def difference(self) -> float | None:
        """New less old [m]."""
        return None if self.old is None or self.new is None else self.new - self.old

    @property
    def pack_change(self) -> float | None:
        """How much more pack the difference calls for [m]."""
        return None if self.difference is None else self.sign * self.difference

    @property
    def open(self) -> bool:
        """Whether it is still worth taking."""
        return self.replaced and self.difference is None and not self.skipped


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a seat's stack: its dimension's name, position, and whether it is replaced."""

    name: str
    position: str
    label: str
    replaced: bool
    dry: str = ""
    sign: int = 1
    etched: bool = False


def replaced_positions(state: State) -> frozenset[str]:
    """Positions that hold another piece in the new build: placed already, or condemned."""
    placed = {
        position
        for position in state.lookup.positions
        if state.occupant(position, "after-run") != state.occupant(position, "as-found")
    }
    return frozenset(placed) | condemned_positions(state)


def dry_lines(state: State) -> tuple[DryLine, ...]:
    """Every dry reading of the sheet with what was read so far."""
    changed = replaced_positions(state)
    return tuple(_line(state, dry, changed) for dry in state.lookup.sheet.dry_readings)


def _line(state: State, dry: DryReading, changed: frozenset[str]) -> DryLine:
    old_piece = state.occupant(dry.position, "as-found")
    new_piece, placed = _new_piece(state, dry.position, old_piece)
    return DryLine(
        dry.key, dry.name, dry.position, dry.adjuster, dry.sign, dry.minutes,
        dry.doubt.value if dry.doubt else ETCHED_DOUBT if dry.etched else DRY_DOUBT,
        _read(state, dry.key, old_piece, True), _read(state, dry.key, old_piece, False),
        new_piece, placed, dry.position in changed, SKIPPED + dry.key in state.steps,
        etched=dry.etched, step=dry.step.value if dry.step else None,
    )  # fmt: skip


def _new_piece(state: State, position: str, old: str) -> tuple[str, bool]:
    """The piece that goes in, and whether it is placed; "" where none is known yet."""
    now = state.occupant(position, "after-run")
    if now != old:
        return now, True
    known = [
        piece.id
        for piece in state.pieces.values()
        if piece.position == position and piece.id != old and piece.origin != "came in"
    ]
    return (known[-1] if known else ""), False


def _read(state: State, key: str, old: str, of_old: bool) -> float | None:
    """Mean of the readings on the old piece, or on any other."""
    found: list[float] = []
    for kept in state.readings_of(key):
        if (kept.piece == old) == of_old:
            try:
                found += values_of(state, kept)
            except CasewrightError:
                continue
    return sum(found) / len(found) if found else None


def stack(state: State, adjuster: Adjuster, changed: frozenset[str]) -> tuple[Piece, ...]:
    """The pieces that stack up at a seat: those with a dry reading, then the others near it."""
    lookup = state.lookup
    dry = [one for one in lookup.sheet.dry_readings if one.adjuster == adjuster.key]
    pieces = [
        Piece(f"{adjuster.key}|{one.key}", one.position, one.name, one.position in changed,
              one.key, one.sign, one.etched)
        for one in dry
    ]  # fmt: skip
    covered = {one.position for one in dry}
    for position in _near(lookup, adjuster):
        if position not in covered:
            pieces.append(
                Piece(
                    f"{adjuster.key}|{position}", position,
                    lookup.positions[position].name, position in changed,
                )
            )  # fmt: skip
    return tuple(pieces)


def _near(lookup: Lookup, adjuster: Adjuster) -> Iterator[str]:
    """The member moved, the bearings of its shaft on this side, and the housing it leans on."""
    seen: set[str] = set()
    own = lookup.positions.get(adjuster.position)
    shaft = lookup.shafts.get(adjuster.shaft or (own.on if own and own.on else ""))
    near = [adjuster.moves]
    if shaft is not None:
        bearings = [b for b in shaft.bearings if b in lookup.positions]
        near += _closest(lookup, adjuster, bearings)
        cups = [c for b in bearings if b in near for c in lookup.matched_with.get(b, ())]
        near += sorted(cups)
    if own is not None:
        near += [p.key for p in lookup.sheet.positions
                 if p.unit == own.unit and lookup.parts[p.part].kind == "housing"]  # fmt: skip
    for position in near:
        if position in lookup.positions and position not in seen:
            seen.add(position)
            yield position


def _closest(lookup: Lookup, adjuster: Adjuster, bearings: list[str]) -> list[str]:
    """Bearings of a pair that is set by this adjuster: both; else the one beside the seat."""
    here = lookup.positions[adjuster.position].along if adjuster.position in lookup.positions else 0
    if adjuster.thicker_makes != "no change" or here is None:
        return bearings
    far = {b: abs((lookup.positions[b].along or 0) - (here or 0)) for b in bearings}
    return sorted(bearings, key=lambda b: far[b])[:1]


def etched_readings(line: DryLine, piece: Piece) -> tuple[tuple[shim_prior.DryReading, float], ...]:
    """Etched numbers: each is its piece's own deviation, so old and new count by themselves."""
    ages = (("old", line.old), ("new", line.new)) if piece.replaced else (("", line.old),)
    return tuple(
        (
            shim_prior.DryReading(
                f"{line.key} {age}", {f"{age}:{piece.name}" if age else piece.name: 1.0},
                line.doubt, line.minutes,
            ),
            value,
        )
        for age, value in ages
        if value is not None
    )  # fmt: skip


def known_difference(line: DryLine, piece: Piece) -> shim_prior.DryReading | None:
    """The dry reading of a replaced piece as a difference of two dimensions."""
    if not piece.replaced:
        return None
    weights = {f"new:{piece.name}": 1.0, f"old:{piece.name}": -1.0}
    return shim_prior.DryReading(line.key, weights, math.sqrt(2) * line.doubt, line.minutes)
