"""What stands between the build and a signature: each gap by name, with the room that closes it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.job.build import Build, FinalPart, FinalReading
from casewright.job.fluids import anode_line, oil_line
from casewright.job.functions import PASSED, function_word
from casewright.job.leak_tests import NO_LIMIT, CircuitLine, circuit_line
from casewright.job.open_causes import open_causes
from casewright.job.settings import Settings
from casewright.job.state import Conflict, State
from casewright.job.torque_log import JointTorque, StepLine, torque_log
from casewright.mechanics.tightening import INSIDE, NOT_IN_SHEET

# A test without a limit was made and is kept; nobody can judge it, and the room says so.
TEST_DONE = ("tight", NO_LIMIT)
TORQUE_DONE = (INSIDE, NOT_IN_SHEET)


@dataclass(frozen=True, slots=True)
class Gap:
    """One thing that isn't done: its name (under which it may be excepted), why, and where.

    `key` is what an entry would name: the cause of a remedy; empty where the item tells enough.
    """

    item: str
    why: str
    room: str
    anchor: str = ""
    key: str = ""


def gaps(state: State, needed: Build, settings: Settings) -> tuple[Gap, ...]:
    """Every gap, in the order in which the bench would close them."""
    found = (
        *_conflicts(state),
        *_parts(needed),
        *_readings(needed),
        *_packs(needed),
        *_torques(state, needed),
        *_circuits(state, needed),
        *_fluids(state, needed),
        *_functions(state, needed),
        *_remedies(state, settings),
        *_unread(state),
    )
    return tuple({gap.item: gap for gap in found}.values())


def _conflicts(state: State) -> Iterator[Gap]:
    for conflict in state.conflicts:
        yield Gap(_conflict_name(conflict), "two answers to one question stand", "log")


def _conflict_name(conflict: Conflict) -> str:
    return f"two answers: {', '.join(part for part in conflict.slot if part)}"[:200]


PART_WHY = {
    "missing": "no other piece is placed for the final build",
    "kept": "a one-time part is to be used again",
    "used": "a one-time part is replaced by one that was used before",
    "rework open": "its rework isn't recorded: no reworked piece is placed",
    "read again": "it is to be read again before anybody can say",
}


def _parts(needed: Build) -> Iterator[Gap]:
    for part in needed.parts:
        if part.word != "fitted":
            yield Gap(f"part: {part.name}", _part_why(part), _part_room(part), "fitting")


def _part_why(part: FinalPart) -> str:
    return f"{PART_WHY[part.word]} ({part.why})"


def _part_room(part: FinalPart) -> str:
    return {"read again": "inspect", "rework open": "inspect"}.get(part.word, "proof")


def _readings(needed: Build) -> Iterator[Gap]:
    for reading in needed.readings:
        why = _reading_why(reading)
        if why:
            yield Gap(f"reading: {reading.name}", why, "setup")


def _reading_why(reading: FinalReading) -> str:
    """Why a final reading doesn't stand; empty where it does (or no window says otherwise)."""
    if reading.word == "missing":
        return reading.why or "not read on the final build"
    if reading.word == "unreadable":
        return "what was typed can't be read"
    if reading.word == "outside":
        return f"outside {reading.limits.printed}"
    return ""


def _packs(needed: Build) -> Iterator[Gap]:
    for pack in needed.packs:
        if pack.pack is None:
            yield Gap(f"pack: {pack.name}", "not recorded for the final build", "setup")


def _torques(state: State, needed: Build) -> Iterator[Gap]:
    joints = tuple(state.lookup.joints[key] for key in needed.torques)
    for line in torque_log(state, joints):
        for step in line.steps:
            why = _torque_why(step, line)
            if why:
                yield Gap(f"torque: {line.name}, step {step.step}", why, "proof", "torque")
        for words in line.order_words:
            yield Gap(f"torque order: {line.name}, {words}"[:200], words, "proof", "torque")


def _torque_why(step: StepLine, line: JointTorque) -> str:
    if step.read is None and step.word == "missing":
        return "not recorded"
    if step.word not in TORQUE_DONE:
        return f"{step.word}: {step.reasons[0]}" if step.reasons else step.word
    if step.open_places:
        places = ", ".join(str(place) for place in step.open_places)
        return f"place {places} of {line.fasteners.count} not recorded"
    return ""


def _circuits(state: State, needed: Build) -> Iterator[Gap]:
    for key in needed.circuits:
        line = circuit_line(state, state.lookup.circuits[key])
        anchor = f"leak-{key}"
        if line.stopped:
            name = f"stop: {line.circuit.name} over its ceiling"
            yield Gap(name, "its pressure passed the ceiling in the last log", "proof", anchor)
        yield from _tests(line, anchor)


def _tests(line: CircuitLine, anchor: str) -> Iterator[Gap]:
    for test in line.tests:
        if test.word not in TEST_DONE:
            name = f"sealing test: {line.circuit.name}, {test.test.name}"
            yield Gap(name, test.word, "proof", anchor)


def _fluids(state: State, needed: Build) -> Iterator[Gap]:
    oil = oil_line(state)
    if needed.oil and not oil.is_good:
        why = oil.problems[0] if oil.problems else "no fill recorded"
        yield Gap("oil fill", why, "proof", "oil")
    for anode in state.lookup.sheet.anodes:
        if anode.key in needed.anodes:
            line = anode_line(state, anode)
            if not line.is_good:
                why = line.problems[0] if line.problems else "bond not proved"
                yield Gap(f"anode: {anode.name}", why, "proof", "anodes")


def _functions(state: State, needed: Build) -> Iterator[Gap]:
    for test in state.lookup.sheet.functional_tests:
        if test.key in needed.functions:
            word, problem = function_word(state, test)
            if word != PASSED:
                yield Gap(f"functional test: {test.name}", problem or word, "proof", "functions")


def _remedies(state: State, settings: Settings) -> Iterator[Gap]:
    """Likely causes whose remedy is neither done nor overruled, where the job weighs causes."""
    for cause in open_causes(state, settings) if "cause" in state.rooms else ():
        why = f"likely at {100 * cause.chance:.0f} %; remedy not settled: {cause.remedy}"
        yield Gap(f"remedy: {cause.label}"[:200], why, "cause", "remedies", cause.key)


def _unread(state: State) -> Iterator[Gap]:
    """Entries that this version can't read are part of the job too."""
    if state.unknown:
        count = len(state.unknown)
        yield Gap("entries not understood", f"{count} entries are kept but not counted", "log")
