"""Damage that comes together: one hidden trouble for each unit, and what the verdicts say of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from casewright.drive.schema import Part
from casewright.job.prices import read_money
from casewright.job.state import State
from casewright.job.verdicts import piece_verdicts
from casewright.reasoning.chances import chance as chance_of_word
from casewright.reasoning.quote_shared import trouble_seen, with_trouble

# Estimates of this project, no source: a piece whose chance the sheet doesn't say, one that may
# have to be driven out; the chance that a unit has a trouble that all its pieces share, and the
# share of a piece's chance that comes of it alone.
SILENT, DRIVEN_OUT = 0.10, 0.50
TROUBLE, TOGETHER = 0.30, Decimal("0.50")


@dataclass(frozen=True, slots=True)
class Trouble:
    """The shared trouble of a unit: its chance now, and how many decided pieces speak of it."""

    unit: str
    name: str
    chance: float
    condemned: int
    good: int

    @property
    def unknown(self) -> str:
        """What it is called among the unknowns of the quote."""
        return f"shared trouble {self.unit}"


def share_of(state: State, name: str, otherwise: Decimal) -> Decimal:
    """A share that a person has set, as `10 %` or `0.10`."""
    text = state.settings.get(name, "").strip()
    value = read_money(text.removesuffix("%").strip())
    if value is None:
        return otherwise
    value = value / 100 if text.endswith("%") else value
    return value if 0 <= value <= 1 else otherwise


def chance(part: Part) -> tuple[float, bool]:
    """Chance that a piece of this part is condemned, and whether the sheet says so."""
    given = part.condemn_chance
    if part.one_time and not part.one_time_when:
        return 1.0, True
    if given is None:
        return (DRIVEN_OUT if part.one_time else SILENT), False
    if given in ("never", "always"):
        return float(given == "always"), True
    return chance_of_word(given), True


def chance_at(state: State, position: str) -> tuple[float, bool]:
    """The same for the piece in a position."""
    return chance(state.lookup.part_at(position))


def together(state: State) -> float:
    """Share of a piece's chance that its unit's trouble alone brings; 0 means all independent."""
    return float(share_of(state, "together", TOGETHER))


def troubles(state: State) -> Mapping[str, Trouble]:
    """Unit to its shared trouble as the verdicts so far leave it; none where nothing is shared."""
    share = together(state)
    if not share:
        return {}
    seen: dict[str, list[tuple[float, bool]]] = {}
    for position, overall, condemned in _decided(state):
        unit = state.lookup.positions[position].unit
        seen.setdefault(unit, []).append((overall, condemned))
    names = {unit.key: unit.name for unit in state.lookup.sheet.units}
    units = dict.fromkeys(place.unit for place in state.lookup.sheet.positions)
    return {
        unit: Trouble(
            unit,
            names.get(unit, unit),
            trouble_seen(seen.get(unit, ()), TROUBLE, share),
            sum(condemned for _, condemned in seen.get(unit, ())),
            sum(not condemned for _, condemned in seen.get(unit, ())),
        )
        for unit in units
    }


def apart(overall: float, state: State) -> tuple[float, float]:
    """Chances of a piece with its unit's trouble and without it."""
    return with_trouble(overall, TROUBLE, together(state))


def _decided(state: State) -> Iterator[tuple[str, float, bool]]:
    """Pieces, and matched sets once, that a verdict has settled: a position, chance, condemned.

    What was harmed at the bench, and what is never used again anyway, says nothing of the trouble.
    """
    by_us = {p for all_ in state.attempts.values() for kept in all_ for p in kept.body.harmed}
    by_us |= {p for kept in state.steps.values() for p in kept.body.broke}
    verdicts = {
        position: verdict.decision == "replace"
        for position, verdict in piece_verdicts(state).items()
        if verdict.decision in ("replace", "use again")
        and position in state.lookup.positions
        and 0 < chance_at(state, position)[0] < 1
        and position not in by_us
    }
    for group in state.lookup.sheet.matched_sets:
        members = [key for key in group.positions if key in verdicts]
        if len(members) == len(group.positions):
            condemned = any(verdicts.pop(key) for key in members)
            yield members[0], any_of(chance_at(state, key)[0] for key in members), condemned
    for position, condemned in verdicts.items():
        yield position, chance_at(state, position)[0], condemned


def any_of(chances: Iterator[float]) -> float:
    """Chance that at least one of several is condemned, each on its own."""
    return 1 - math.prod(1 - each for each in chances)
