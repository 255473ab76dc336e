"""The need list: which parts, how many, for which positions, and why."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.job.state import State
from casewright.job.verdicts import piece_verdicts


@dataclass(frozen=True, slots=True)
class Need:
    """A part that must be got: how many, for which positions, why; `fitted` are placed already."""

    part: str
    name: str
    quantity: int
    positions: tuple[str, ...]
    reasons: tuple[str, ...]
    fitted: int = 0

    @property
    def open(self) -> int:
        """How many are still missing in the leg."""
        return max(0, self.quantity - self.fitted)


def needs(state: State) -> tuple[Need, ...]:
    """Every part that the verdicts call for; shims come from the shelf and are not listed."""
    wanted: dict[str, list[tuple[str, int, str, bool]]] = {}
    for position, verdict in piece_verdicts(state).items():
        if verdict.decision != "replace" or position not in state.lookup.positions:
            continue
        place = state.lookup.positions[position]
        part = state.lookup.parts[place.part]
        if part.kind == "shim-pack":
            continue
        is_new = _is_new(state, position)
        wanted.setdefault(part.key, []).append((position, place.quantity, verdict.reason, is_new))
    return tuple(_need(state, part, rows) for part, rows in wanted.items())


def _is_new(state: State, position: str) -> bool:
    """Whether another piece than the one that came in sits there for the final build."""
    return state.occupant(position, "final") != state.occupant(position, "as-found")


def _need(state: State, part: str, rows: list[tuple[str, int, str, bool]]) -> Need:
    return Need(
        part=part,
        name=state.lookup.parts[part].name,
        quantity=sum(count for _, count, _, _ in rows),
        positions=tuple(position for position, _, _, _ in rows),
        reasons=tuple(dict.fromkeys(reason for _, _, reason, _ in rows)),
        fitted=sum(count for _, count, _, fitted in rows if fitted),
    )
