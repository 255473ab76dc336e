"""Hand-over: is the final build whole, who signs, what owner and next technician should know."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from casewright.job.build import Build, build, is_changed, origin_of
from casewright.job.fitting import FitLine, to_fit
from casewright.job.fluids import OilLine, oil_line
from casewright.job.gaps import Gap, gaps
from casewright.job.kinds import SignedOff
from casewright.job.leak_tests import CircuitLine, circuit_line
from casewright.job.packs import Pack, latest_pack
from casewright.job.settings import Settings
from casewright.job.state import Kept, State
from casewright.job.torque_log import JointTorque, torque_log


@dataclass(frozen=True, slots=True)
class Replaced:
    """A position whose piece is another now: what came, from where, with which marks."""

    name: str
    part: str
    origin: str
    marks: str
    part_number: str


@dataclass(frozen=True, slots=True)
class PackLine:
    """The pack of a seat as found and as finally fitted."""

    name: str
    seat: str
    found: Pack | None
    final: Pack | None


@dataclass(frozen=True, slots=True)
class HandoverView:
    """Everything that the room shows; `later` are gaps that nobody excepted before signing."""

    has_sheet: bool
    title: str
    touched: bool
    rooms: tuple[str, ...]
    gaps: tuple[Gap, ...]
    later: tuple[Gap, ...]
    signed: Kept[SignedOff] | None
    needed: Build
    torques: tuple[JointTorque, ...]
    circuits: tuple[CircuitLine, ...]
    oil: OilLine
    packs: tuple[PackLine, ...]
    replaced: tuple[Replaced, ...]
    waiting: tuple[FitLine, ...]
    kept: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    checks: tuple[tuple[str, int, int], ...]


def view(state: State, settings: Settings) -> HandoverView:
    """Hand-over of a job as it stands."""
    needed = build(state)
    found = gaps(state, needed, settings)
    excepted = {e.item for e in state.signed.body.exceptions} if state.signed else set()
    joints = tuple(state.lookup.joints[key] for key in needed.torques)
    torques = torque_log(state, joints)
    circuits = tuple(circuit_line(state, state.lookup.circuits[key]) for key in needed.circuits)
    return HandoverView(
        has_sheet=state.sheet is not None,
        title=state.opened.body.title if state.opened else "",
        rooms=(*state.rooms, "log"),
        touched=bool(needed.out) or "setup" in state.rooms,
        gaps=found,
        later=tuple(gap for gap in found if gap.item not in excepted) if state.signed else (),
        signed=state.signed,
        needed=needed,
        torques=torques,
        circuits=circuits,
        oil=oil_line(state),
        packs=_packs(state),
        replaced=_replaced(state),
        waiting=tuple(line for line in to_fit(state) if not line.fitted),
        kept=_kept(state, needed),
        cautions=tuple(c.text for c in state.lookup.sheet.cautions),
        notes=tuple(kept.body.words for kept in state.notes),
        checks=_checks(found, needed, torques, circuits),
    )


def _packs(state: State) -> tuple[PackLine, ...]:
    """Shims by seat: what came out and what sits there now."""
    lines = []
    for adjuster in state.lookup.sheet.adjusters:
        if state.packs.get(adjuster.key):
            seat = state.lookup.positions[adjuster.position].name
            found = latest_pack(state, adjuster.key, "as-found")
            final = latest_pack(state, adjuster.key, "final")
            on_final = final if final and final.occasion == "final" else None
            lines.append(PackLine(adjuster.name, seat, found, on_final))
    return tuple(lines)


def _replaced(state: State) -> tuple[Replaced, ...]:
    rows = []
    for position in state.lookup.sheet.positions:
        if is_changed(state, position.key):
            key = state.occupant(position.key, "final")
            piece, part = state.pieces.get(key), state.lookup.parts[position.part].name
            marks, number = (piece.marks, piece.part_number) if piece else ("", "")
            rows.append(Replaced(position.name, part, origin_of(state, key), marks, number))
    return tuple(rows)


def _kept(state: State, needed: Build) -> tuple[str, ...]:
    """What came out and went back in."""
    return tuple(
        position.name
        for position in state.lookup.sheet.positions
        if position.key in needed.out
        and not is_changed(state, position.key)
        and state.lookup.parts[position.part].kind != "shim-pack"
    )


HEADS = (
    ("part:", "New pieces"), ("reading:", "Readings"), ("pack:", "Packs"), ("torque", "Torques"),
    ("sealing test:", "Sealing tests"), ("oil", "Oil"), ("anode:", "Anodes"),
    ("functional test:", "Functional tests"), ("remedy:", "Causes and remedies"),
    ("two answers:", "Answers settled"),
)  # fmt: skip


def _checks(
    found: Iterable[Gap],
    needed: Build,
    torques: tuple[JointTorque, ...],
    circuits: tuple[CircuitLine, ...],
) -> tuple[tuple[str, int, int], ...]:
    """Heading, how many are asked (0 where that isn't counted), how many are open."""
    asked = {
        "New pieces": len(needed.parts),
        "Readings": len(needed.readings),
        "Packs": len(needed.packs),
        "Torques": sum(len(line.steps) for line in torques),
        "Sealing tests": sum(len(line.tests) for line in circuits),
        "Oil": int(needed.oil),
        "Anodes": len(needed.anodes),
        "Functional tests": len(needed.functions),
    }
    items = [gap.item for gap in found]
    return tuple(
        (name, asked.get(name, 0), sum(item.startswith(head) for item in items))
        for head, name in HEADS
    )
