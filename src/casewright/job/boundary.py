"""Whether a circuit was opened after a sealing test: a tight test then proves nothing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from casewright.drive.schema import Circuit
from casewright.job.kinds import LeakLogged
from casewright.job.state import Kept, State, moment_of

NOT_YET_BUILT = ("as-received", "as-found")


def opened_since(state: State, circuit: Circuit, log: Kept[LeakLogged]) -> str:
    """What opened the circuit after this log, in a sentence; empty where nothing did.

    A piece placed in one of its seals, or a joint opened that holds one. What happened at the same
    moment counts in the order in which it was recorded.
    """
    seals = set(circuit.seals)
    later = [told for when, told in _openings(state, seals) if when > moment_of(log)]
    return later[-1] if later else ""


def _openings(state: State, seals: set[str]) -> Iterator[tuple[tuple[datetime, int], str]]:
    for kept in state.placements:
        if kept.body.position in seals and kept.body.occasion not in NOT_YET_BUILT:
            name = state.lookup.name_of(kept.body.position)
            yield moment_of(kept), f"{_big(name)} was fitted after this test: test again."
    for key, done in state.steps.items():
        joint = state.lookup.joints.get(key)
        if joint is not None and done.body.outcome != "skipped" and seals & set(joint.holds):
            yield moment_of(done), f"{_big(joint.name)}: opened after this test. Test again."


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]
