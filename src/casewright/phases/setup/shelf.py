"""Shims at hand as the choice needs them: the counted shelf, what sits in packs, the sheet's rules.

A shim's measured thickness overrides its nominal. Packs that are fitted count as at hand: they
come back when the leg is taken apart.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from casewright.drive.schema import Adjuster
from casewright.job.packs import Pack, at_hand
from casewright.job.state import State
from casewright.phases.setup.model import size_doubt_of
from casewright.reasoning.shim_stock import PackRules, ShelfShim

PLENTY = 60
GRAIN = 1e-7


@dataclass(frozen=True, slots=True)
class Shelf:
    """Shims by name for all seats, each seat's rules, and whether anybody counted the shelf."""

    shims: tuple[ShelfShim, ...]
    rules: tuple[PackRules, ...]
    counted: bool


@dataclass(frozen=True, slots=True)
class NamedPack:
    """A pack by the shelf's names, as pairs of name and number."""

    shims: tuple[tuple[str, int], ...]
    total: float


def shelf_for(
    state: State, adjusters: tuple[Adjuster, ...], fitted: tuple[Pack | None, ...]
) -> Shelf:
    """Everything that may go into packs, the packs now fitted included."""
    shims: dict[str, ShelfShim] = {}
    counted = state.shelf is not None
    sizes = at_hand(state)
    for adjuster in adjusters:
        doubt = size_doubt_of(adjuster, False)
        listed = [s for s in sizes if _suits(adjuster, s.nominal)]
        for one in listed:
            measured = one.measured if one.is_measured else None
            sure = size_doubt_of(adjuster, one.is_measured)
            shims[_name(one.nominal)] = ShelfShim(
                _name(one.nominal), one.nominal, one.left, sure, measured
            )
        if not counted or (adjuster.kind == "selective-spacer" and not listed):
            for size in adjuster.sizes:
                name = _name(size.value)
                shims.setdefault(name, ShelfShim(name, size.value, PLENTY, doubt))
    _with_packs(shims, adjusters, fitted)
    rules = tuple(rules_for(adjuster, tuple(shims.values())) for adjuster in adjusters)
    return Shelf(tuple(sorted(shims.values(), key=lambda s: s.nominal)), rules, counted)


def _name(size: float) -> str:
    return f"{size * 1e3:.4f}"


def _suits(adjuster: Adjuster, size: float) -> bool:
    """Whether a shelf size belongs to this adjuster: one of its list, or like a shim of it."""
    sizes = [one.value for one in adjuster.sizes]
    if adjuster.kind == "selective-spacer":
        return any(abs(size - one) < 5e-6 for one in sizes)
    return not sizes or size <= max(sizes) * 1.5


def _with_packs(
    shims: dict[str, ShelfShim], adjusters: tuple[Adjuster, ...], fitted: tuple[Pack | None, ...]
) -> None:
    """Make sure that the fitted shims are at hand, as often as all packs together hold them.

    A shim that was fitted is there, whatever the count said.
    """
    held: Counter[str] = Counter()
    for adjuster, pack in zip(adjusters, fitted, strict=True):
        for name in named(shims.values(), pack) if pack else ():
            doubt = size_doubt_of(adjuster, pack is not None and pack.measured)
            shims.setdefault(name, ShelfShim(name, float(name) / 1e3, 0, doubt))
            held[name] += 1
    for name, number in held.items():
        shims[name] = replace(shims[name], count=max(shims[name].count, number))


def named(shims: object, pack: Pack) -> list[str]:
    """A pack's shims by the shelf's names: by nominal or as measured, to 2 µm; else their own."""
    known = list(shims)  # type: ignore[call-overload]
    names = []
    for size in pack.sizes:
        near = [s for s in known if min(abs(size - s.nominal), abs(size - s.thickness)) < 2e-6]
        names.append(near[0].name if near else _name(size))
    return names


def pack_names(shelf: Shelf, pack: Pack | None) -> NamedPack | None:
    """A pack as the choice wants it; None where none is known."""
    if pack is None or not pack.sizes:
        return None
    names = Counter(named(shelf.shims, pack))
    by_name = {shim.name: shim for shim in shelf.shims}
    total = sum(by_name[name].thickness * number for name, number in names.items())
    return NamedPack(tuple(sorted(names.items())), total)


def rules_for(adjuster: Adjuster, shims: tuple[ShelfShim, ...]) -> PackRules:
    """What the sheet allows at this adjuster."""
    names = frozenset(s.name for s in shims if _suits(adjuster, s.nominal))
    if adjuster.kind == "selective-spacer":
        return PackRules(1, 1, 0.0, float("inf"), names)
    spacers = frozenset(s.name for s in shims if not _suits(adjuster, s.nominal))
    return PackRules(
        0,
        adjuster.most_shims,
        adjuster.least.value if adjuster.least else 0.0,
        adjuster.most.value if adjuster.most else float("inf"),
        names - spacers,
    )


def held_at(pack: NamedPack) -> PackRules:
    """Rules that leave a pack as it is."""
    count = sum(number for _, number in pack.shims)
    names = frozenset(name for name, _ in pack.shims)
    return PackRules(count, count, pack.total - GRAIN, pack.total + GRAIN, names)
