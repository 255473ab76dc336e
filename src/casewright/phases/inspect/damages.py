"""Damage as it was found, by position, with the vocabulary's words where they were used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from casewright.errors import InputError
from casewright.job.state import State
from casewright.tables.damage import Damage, damage


@dataclass(frozen=True, slots=True)
class DamageLine:
    """One finding of damage: its word of the vocabulary (None for free words), severity, who."""

    position: str
    known: Damage | None
    free: str
    words: str
    severity: str
    who: str
    photo: str
    occasion: str

    @property
    def name(self) -> str:
        """The vocabulary's name, else what was written."""
        return self.known.name if self.known else self.free.replace("-", " ")


def damage_lines(state: State) -> Mapping[str, tuple[DamageLine, ...]]:
    """Position to its damage, in the order in which it was found."""
    found: dict[str, tuple[DamageLine, ...]] = {}
    for kept in state.findings:
        body = kept.body
        if not body.position or not (body.damage or body.severity) or body.answer == "no":
            continue
        known = _known(body.damage)
        line = DamageLine(
            body.position,
            known,
            body.damage or body.key,
            body.words,
            body.severity,
            kept.who,
            body.photo,
            body.occasion,
        )
        found[body.position] = (*found.get(body.position, ()), line)
    return found


def _known(key: str) -> Damage | None:
    try:
        return damage(key) if key else None
    except InputError:
        return None
