"""What goes into the leg anew: positions whose old piece goes, and what sits there now."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.job.kinds import trial_number
from casewright.job.state import State
from casewright.job.verdicts import piece_verdicts

FOR_TRIALS = frozenset({
    "housing", "carrier", "shaft", "gear", "clutch", "bearing", "cup", "cone", "needle-bearing",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class FitLine:
    """A position that needs another piece: why, which id the new one gets, what is fitted."""

    position: str
    name: str
    part: str
    quantity: int
    reason: str
    suggested: str
    fitted: str
    marks: str
    occasion: str


def to_fit(state: State) -> tuple[FitLine, ...]:
    """Positions whose piece that came in won't be used again, in the sheet's order."""
    verdicts = piece_verdicts(state)
    return tuple(
        _line(state, position.key, verdicts[position.key].reason)
        for position in state.lookup.sheet.positions
        if position.key in verdicts
        and verdicts[position.key].decision in ("replace", "rework")
        and state.lookup.parts[position.part].kind != "shim-pack"
    )


def _line(state: State, key: str, reason: str) -> FitLine:
    position = state.lookup.positions[key]
    now = state.occupant(key, "final")
    fitted = now if now != state.occupant(key, "as-found") else ""
    piece = state.pieces.get(fitted)
    placed = state.placed.get(key, {})
    return FitLine(
        position=key,
        name=position.name,
        part=state.lookup.parts[position.part].name,
        quantity=position.quantity,
        reason=reason,
        suggested=f"{key}#{len(placed) + 2}",
        fitted=fitted,
        marks=piece.marks if piece else "",
        occasion=next((when for when, one in placed.items() if one == fitted), ""),
    )


def waits_for_trial(state: State, lines: tuple[FitLine, ...]) -> bool:
    """Whether a piece that moves the gears isn't in yet, before anything was fitted for a trial.

    Seals, rings and fasteners wait for the final build.
    """
    return not state.trials and any(
        not line.fitted and state.lookup.part_at(line.position).kind in FOR_TRIALS for line in lines
    )


def next_trial(state: State) -> str:
    """The trial that comes next: one after the last that anything was recorded on."""
    last = max((trial_number(one) or 0 for one in state.trials), default=0)
    return f"trial-{last + 1}"
