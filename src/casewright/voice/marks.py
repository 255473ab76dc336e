"""One word for what is known of each position: what the map shows and lists say."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.job.state import State
from casewright.job.verdicts import piece_verdicts


def marks_of(state: State) -> Mapping[str, str]:
    """Position to one word: new, use again, rework, read again, replace, harmed, out."""
    marks: dict[str, str] = {}
    for joint in state.lookup.sheet.joints:
        if joint.key in state.steps and state.steps[joint.key].body.outcome != "skipped":
            marks |= dict.fromkeys(joint.holds, "out")
    for kept in state.steps.values():
        marks |= {position: "harmed" for position in kept.body.broke if position}
    marks |= {position: one.decision for position, one in piece_verdicts(state).items()}
    for position, placed in state.placed.items():
        latest = list(placed.values())[-1]
        piece = state.pieces.get(latest)
        if piece is not None and piece.origin != "came in":
            marks[position] = "new"
    return marks
