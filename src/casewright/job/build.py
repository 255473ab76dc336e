"""What the final build needs, as far as this job reached into the leg.

A projection for hand-over: which readings, new pieces, packs, torques, tests and fluids follow from
what was opened and from the job's scope. A reseal asks for what a reseal moved, not for everything.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.drive.schema import Joint, Response, Shaft, Window
from casewright.errors import CasewrightError
from casewright.job.limits import Limits, limits_of, values_of, window_of
from casewright.job.packs import Pack, pack_at
from casewright.job.state import KeptReading, State, moment_of
from casewright.job.verdicts import PieceVerdict, piece_verdicts

FINAL = "final"
# Origins that count as new for a part that is never used twice; a donor's has been used.
NEW = ("new", "made", "exchange", "shelf")
USED = ("came in", "donor", "reworked")


@dataclass(frozen=True, slots=True)
class FinalReading:
    """A response of the final build: its values [SI], window, and how they stand to it.

    `word` is "missing", "unreadable", "no window", "inside" or "outside"; `at_edge` says that the
    gauge's doubt reaches over the edge; `fewer` how many places are still unread.
    """

    target: str
    name: str
    values: tuple[float, ...]
    limits: Limits
    word: str
    mean: float | None = None
    at_edge: bool = False
    fewer: int = 0
    why: str = ""


@dataclass(frozen=True, slots=True)
class FinalPart:
    """A position whose piece must be another: what it is, why, and whether one is placed.

    `word` is "fitted", "missing", "kept", "rework open", "used" or "read again".
    """

    position: str
    name: str
    part: str
    why: str
    word: str
    piece: str = ""


@dataclass(frozen=True, slots=True)
class FinalPack:
    """What must be recorded at an adjuster for the final build."""

    adjuster: str
    name: str
    position: str
    pack: Pack | None


@dataclass(frozen=True, slots=True)
class Build:
    """Everything that the final build needs; joints, circuits and tests by their keys."""

    opened: tuple[str, ...]
    out: frozenset[str]
    readings: tuple[FinalReading, ...]
    parts: tuple[FinalPart, ...]
    packs: tuple[FinalPack, ...]
    torques: tuple[str, ...]
    circuits: tuple[str, ...]
    functions: tuple[str, ...]
    oil: bool
    anodes: tuple[str, ...]


def build(state: State) -> Build:
    """What the final build needs, from what was opened and what the job covers."""
    opened, out = opened_joints(state), positions_out(state)
    return Build(
        opened=tuple(joint.key for joint in opened),
        out=out,
        readings=tuple(_readings(state, out)),
        parts=tuple(_parts(state, out)),
        packs=tuple(_packs(state, out)),
        torques=tuple(j.key for j in opened if j.fasteners and j.fasteners.torque_steps),
        circuits=tuple(_circuits(state, out)),
        functions=tuple(t.key for t in state.lookup.sheet.functional_tests if out),
        oil=_oil_needed(state, opened, out),
        anodes=tuple(a.key for a in state.lookup.sheet.anodes if a.position in out),
    )


def opened_joints(state: State) -> tuple[Joint, ...]:
    """Joints that were opened, in the order in which they were."""
    done = [
        (kept.sequence, key)
        for key, kept in state.steps.items()
        if key in state.lookup.joints and kept.body.outcome != "skipped"
    ]
    return tuple(state.lookup.joints[key] for _, key in sorted(done))


def positions_out(state: State) -> frozenset[str]:
    """Positions that an opened joint held."""
    return frozenset(position for joint in opened_joints(state) for position in joint.holds)


def moved_by(state: State, response: Response) -> frozenset[str]:
    """Positions whose piece moves a response: its adjusters, gears and bearings."""
    places = members_of(state, response)
    for adjuster in state.lookup.sheet.adjusters:
        acts = any(effect.response == response.key for effect in adjuster.effects)
        if acts or adjuster.moves in places:
            places.add(adjuster.position)
    if response.shaft in state.lookup.shafts:
        places |= set(state.lookup.shafts[str(response.shaft)].bearings)
    return frozenset(places)


def members_of(state: State, response: Response) -> set[str]:
    """Gears whose place a response reads: both of a mesh, the pinion alone for its height."""
    mesh = state.lookup.meshes.get(response.mesh or "")
    if mesh is None:
        return set()
    return {mesh.pinion} if response.kind == "pinion-height" else {mesh.pinion, mesh.gear}


def final_window(state: State, response: Response) -> tuple[Limits, Window | None]:
    """The window in force for the final build: bearings new or used as they were fitted."""
    bearings = bearings_of(state, response)
    limits = limits_of(state, response.key, bearings=bearings)
    return limits or Limits(None, None, "length", "not in the sheet", ""), window_of(
        response, bearings=bearings
    )


ROLLING = ("bearing", "cup", "cone", "needle-bearing")


def bearings_of(state: State, response: Response) -> str:
    """Whether the response's shaft runs in new bearings now: "new", "used" or "any".

    Any kind of rolling bearing counts: those that the sheet names for the shaft, their cups or
    cones, and all that sit on it. Needles count only where there is nothing else: they carry no
    preload. A donor's bearing has run: it is another one but not new.
    """
    shaft = state.lookup.shafts.get(response.shaft or "")
    places = _bearings_on(state, shaft) if shaft is not None else ()
    if not places:
        return "any"
    return "new" if any(_is_new(state, position) for position in places) else "used"


def _bearings_on(state: State, shaft: Shaft) -> tuple[str, ...]:
    """Positions of a shaft's rolling bearings, needles only where there are no others."""
    lookup = state.lookup
    named = [key for key in shaft.bearings if key in lookup.positions]
    near = {key for one in named for key in (one, *lookup.matched_with.get(one, ()))}
    near |= {place.key for place in lookup.sheet.positions if place.on == shaft.key}
    rolling = [
        place.key
        for place in lookup.sheet.positions
        if place.key in near and lookup.parts[place.part].kind in ROLLING
    ]
    stiff = [key for key in rolling if lookup.part_at(key).kind != "needle-bearing"]
    return tuple(stiff or rolling)


def _is_new(state: State, position: str) -> bool:
    """Whether a piece that never ran sits there now: another one, and not said to be used."""
    if not is_changed(state, position):
        return False
    return origin_of(state, state.occupant(position, FINAL)) not in USED


def is_changed(state: State, position: str) -> bool:
    """Whether another piece than the one that came in sits there in the final build."""
    return state.occupant(position, FINAL) != state.occupant(position, "as-found")


def _readings(state: State, out: frozenset[str]) -> Iterator[FinalReading]:
    for response in state.lookup.sheet.responses:
        if "setup" in state.rooms or moved_by(state, response) & out:
            yield final_reading(state, response)


def final_reading(state: State, response: Response) -> FinalReading:
    """The last reading of a response on the final build against its window.

    One that was taken before a pack or piece that moves it was fitted again no longer stands: it
    is missing, with the reason.
    """
    limits, window = final_window(state, response)
    found = state.readings_of(response.key, occasion=FINAL)
    if not found:
        return FinalReading(response.key, response.name, (), limits, "missing")
    if why := stale(state, response, found[-1]):
        return FinalReading(response.key, response.name, (), limits, "missing", why=why)
    try:
        values = values_of(state, found[-1])
    except CasewrightError:
        return FinalReading(response.key, response.name, (), limits, "unreadable")
    mean = sum(values) / len(values)
    judged = values if window and window.counts == "every reading" else (mean,)
    doubt = response.gauge.doubt.value if response.gauge and response.gauge.doubt else 0.0
    fewer = max(0, response.positions - len(values))
    word, at_edge = _against(limits, judged, doubt)
    return FinalReading(response.key, response.name, values, limits, word, mean, at_edge, fewer)


def stale(state: State, response: Response, reading: KeptReading) -> str:
    """What moves the reading and was fitted for the final build after it; "" where it stands."""
    taken = moment_of(reading)
    for key in adjusters_of(state, response):
        kept = state.packs.get(key, {}).get(FINAL)
        if kept is not None and moment_of(kept) > taken:
            return f"read before the {state.lookup.name_of(key)} was fitted again"
    placed = {p.body.position: p for p in state.placements if p.body.occasion == FINAL}
    for position in sorted(moved_by(state, response) & set(placed)):
        if moment_of(placed[position]) > taken:
            return f"read before another {state.lookup.name_of(position)} was fitted"
    return ""


def adjusters_of(state: State, response: Response) -> tuple[str, ...]:
    """Adjusters that move a response: its mesh's members, its shaft's play, or by the sheet."""
    members = members_of(state, response)
    return tuple(
        one.key
        for one in state.lookup.sheet.adjusters
        if any(effect.response == response.key for effect in one.effects)
        or one.moves in members
        or (one.shaft is not None and one.shaft == response.shaft)
    )


def _against(limits: Limits, judged: tuple[float, ...], doubt: float) -> tuple[str, bool]:
    """Inside or outside, and whether the doubt reaches over an edge."""
    if not limits.known:
        return "no window", False
    low = limits.low if limits.low is not None else float("-inf")
    high = limits.high if limits.high is not None else float("inf")
    room = min(min(value - low, high - value) for value in judged)
    # Figures are typed in decimals: an edge that is met exactly is met.
    return ("inside" if room >= -1e-12 else "outside"), abs(room) < doubt


def _parts(state: State, out: frozenset[str]) -> Iterator[FinalPart]:
    for position, verdict in piece_verdicts(state).items():
        if position in state.lookup.positions:
            place, part = state.lookup.positions[position], state.lookup.part_at(position)
            word = _part_word(state, verdict, part.one_time, position in out)
            if part.kind != "shim-pack" and word:
                piece = state.occupant(position, FINAL) if is_changed(state, position) else ""
                yield FinalPart(position, place.name, part.key, verdict.reason, word, piece)


def _part_word(state: State, verdict: PieceVerdict, one_time: bool, is_out: bool) -> str:
    """How the position stands to its verdict; empty where nothing is asked of it."""
    changed = is_changed(state, verdict.position)
    origin = origin_of(state, state.occupant(verdict.position, FINAL))
    if verdict.decision == "use again":
        return "kept" if one_time and is_out and not changed else ""
    if verdict.decision == "read again":
        return "" if changed else "read again"
    if verdict.decision == "rework":
        return "fitted" if changed or origin == "reworked" else "rework open"
    if not changed:
        return "missing"
    return "used" if one_time and origin not in NEW else "fitted"


def origin_of(state: State, piece: str) -> str:
    """Where a piece comes from; empty for one that nobody has described."""
    known = state.pieces.get(piece)
    return known.origin if known else ""


def _packs(state: State, out: frozenset[str]) -> Iterator[FinalPack]:
    """Adjusters in reach: all that came out where set-up is in scope, else those that changed."""
    for adjuster in state.lookup.sheet.adjusters:
        recorded = bool(state.packs.get(adjuster.key))
        if recorded or ("setup" in state.rooms and adjuster.position in out):
            pack = pack_at(state, adjuster.key, FINAL)
            yield FinalPack(adjuster.key, adjuster.name, adjuster.position, pack)


def _circuits(state: State, out: frozenset[str]) -> Iterator[str]:
    """Circuits whose boundary was opened; one without seals in the sheet counts once any was."""
    for circuit in state.lookup.sheet.circuits:
        if set(circuit.seals) & out or (not circuit.seals and out):
            yield circuit.key


def _oil_needed(state: State, opened: tuple[Joint, ...], out: frozenset[str]) -> bool:
    if any(joint.kind == "drain" for joint in opened):
        return True
    oily = [c for c in state.lookup.sheet.circuits if c.medium == "oil"]
    return any(set(circuit.seals) & out for circuit in oily)
