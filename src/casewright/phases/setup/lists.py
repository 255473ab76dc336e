"""Lists beside set-up's decisions: what was replaced, what the shelf holds, the sheet's order."""

from __future__ import annotations

from casewright.job.packs import shelf
from casewright.job.state import State
from casewright.phases.setup.dry import replaced_positions


def replaced_names(state: State) -> tuple[tuple[str, str, str], ...]:
    """Positions with another piece in the new build: key, name, and what is placed there."""
    changed = replaced_positions(state)
    wanted: set[str] = set()
    for adjuster in state.lookup.sheet.adjusters:
        wanted.add(adjuster.moves)
    for shaft in state.lookup.sheet.shafts:
        wanted |= set(shaft.bearings)
        wanted |= set().union(*(state.lookup.matched_with.get(b, ()) for b in shaft.bearings))
    wanted |= {
        p.key for p in state.lookup.sheet.positions
        if state.lookup.parts[p.part].kind in ("housing", "gear", "carrier", "shaft")
    }  # fmt: skip
    return tuple(
        (key, place.name, _placed(state, key))
        for key, place in state.lookup.positions.items()
        if key in changed and key in wanted
    )


def _placed(state: State, position: str) -> str:
    now = state.occupant(position, "after-run")
    return now if now != state.occupant(position, "as-found") else ""


def shelf_rows(state: State) -> tuple[tuple[str, str, int, str], ...]:
    """Size as marked, what it measures, how many are left, how many were counted."""
    if state.shelf is None:
        return ()
    counted = {line.size: line.count for line in state.shelf.body.lines}
    measured = {line.size: line.measured for line in state.shelf.body.lines}
    return tuple(
        (one.text, measured.get(one.text, ""), one.left, str(counted.get(one.text, "")))
        for one in shelf(state)
    )


def setup_steps(state: State) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The sheet's set-up order with its conditions."""
    return tuple((step.does, step.conditions) for step in state.lookup.sheet.setup)
