"""Packs and the shelf: what sits at each adjuster on each occasion, what is left of each size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from casewright.job.state import State, occasion_order
from casewright.units import parse


@dataclass(frozen=True, slots=True)
class Pack:
    """Shims at an adjuster on an occasion: thicknesses as typed and in metres."""

    adjuster: str
    occasion: str
    texts: tuple[str, ...]
    sizes: tuple[float, ...]
    measured: bool
    setting: str = ""

    @property
    def total(self) -> float:
        """Thickness of the whole pack [m]."""
        return sum(self.sizes)


@dataclass(frozen=True, slots=True)
class ShelfSize:
    """One size on the shelf: nominal [m], what it measures [m], how many are left."""

    text: str
    nominal: float
    measured: float
    is_measured: bool
    left: int


def pack_at(state: State, adjuster: str, occasion: str) -> Pack | None:
    """The pack of an adjuster on exactly this occasion; None where none was recorded."""
    kept = state.packs.get(adjuster, {}).get(occasion)
    if kept is None:
        return None
    body = kept.body
    sizes = tuple(parse(text, "length", "mm").value for text in body.shims)
    return Pack(adjuster, occasion, body.shims, sizes, body.measured, body.setting)


def latest_pack(state: State, adjuster: str, before: str = "after-run") -> Pack | None:
    """The last pack recorded up to an occasion, as-found included."""
    occasions = [
        one
        for one in state.packs.get(adjuster, {})
        if occasion_order(one) <= occasion_order(before)
    ]
    return pack_at(state, adjuster, max(occasions, key=occasion_order)) if occasions else None


def at_hand(state: State) -> tuple[ShelfSize, ...]:
    """The shelf with the shims now held in packs counted back in: what a new choice may use."""
    if state.shelf is None:
        return ()
    back = [(round(size * 1e6), size) for size in _held(state, state.shelf.sequence)]
    found = []
    for line, kept in zip(shelf(state), state.shelf.body.lines, strict=True):
        marks = {round(line.nominal * 1e6), round(line.measured * 1e6)}
        held = sum(1 for mark, _ in back if mark in marks)
        found.append(replace(line, left=min(kept.count, line.left + held)))
    return tuple(found)


def shelf(state: State) -> tuple[ShelfSize, ...]:
    """What is left on the shelf: the count, less the packs fitted since it was made.

    Only the latest pack of each adjuster holds shims; those of earlier trials went back.
    """
    if state.shelf is None:
        return ()
    since = state.shelf.sequence
    used = Counter(round(size * 1e6) for size in _held(state, since))
    lines = []
    for line in state.shelf.body.lines:
        nominal = parse(line.size, "length", "mm").value
        real = parse(line.measured, "length", "mm").value if line.measured else nominal
        taken = min(
            line.count,
            used.get(round(nominal * 1e6), 0)
            + (used.get(round(real * 1e6), 0) if round(real * 1e6) != round(nominal * 1e6) else 0),
        )
        lines.append(ShelfSize(line.size, nominal, real, bool(line.measured), line.count - taken))
    return tuple(lines)


def _held(state: State, since: int) -> list[float]:
    """Shims sitting in packs that were fitted after the shelf was counted."""
    held: list[float] = []
    for adjuster, packs in state.packs.items():
        fitted: Mapping[str, int] = {
            occasion: kept.sequence
            for occasion, kept in packs.items()
            if kept.sequence > since and occasion not in ("as-found", "as-received")
        }
        if fitted:
            pack = pack_at(state, adjuster, max(fitted, key=occasion_order))
            held += pack.sizes if pack else ()
    return held
