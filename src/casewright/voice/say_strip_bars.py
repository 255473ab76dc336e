"""Why a stuck joint has no ladder, or why a method of it is barred."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.strip import StuckView
from casewright.tables.ladder_defaults import FAMILIES
from casewright.voice.document import Block, Say
from casewright.voice.quantities import say_chance


def rung_name(stuck: StuckView, rung: str) -> str:
    """A method in words."""
    family = FAMILIES.get(stuck.family)
    names = {one.id: one.name for one in family.rungs} if family else {}
    return names.get(rung, rung)


def trouble(stuck: StuckView) -> Say:
    """Why there is no plan: the sheet's gap, or something that a person can lift."""
    return Say(stuck.trouble, "bad" if stuck.family else "gap")


def bars(stuck: StuckView) -> Iterator[Block]:
    """Each barred method and what bars it."""
    for bar in stuck.bars:
        name = rung_name(stuck, bar.rung)
        if bar.kind == "tool":
            yield Say(f"Barred: {name}; the shop has no {bar.what} and no hire price is set.")
        else:
            yield Say(
                f"Barred: {name}; it harms the {bar.what} {say_chance(bar.chance)}, and that piece "
                f"is protected from anything above {100 * bar.limit:.0f} %."
            )
