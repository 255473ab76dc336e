"""Proof: fits, torque, sealing tests, oil, anodes and functional tests of the final build."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.drive.schema import FunctionalTest, Oil
from casewright.errors import CasewrightError
from casewright.job.build import Build, build, opened_joints
from casewright.job.fluids import AnodeLine, OilLine, anode_line, oil_line
from casewright.job.functions import function_word
from casewright.job.kinds import FunctionTested
from casewright.job.leak_tests import CircuitLine, circuit_line
from casewright.job.settings import Settings
from casewright.job.state import Kept, State
from casewright.job.torque_log import StepLine, torque_log
from casewright.mechanics.leak import checked_test_pressure
from casewright.mechanics.leak_places import Evidence, Place, places_to_look
from casewright.mechanics.stored_energy import StoredEnergy, stored_energy
from casewright.phases.proof.bench_sums import FitSum, fit_sums
from casewright.phases.proof.oil_sums import MetalTrend, OilReading, metal_trends, oil_readings
from casewright.phases.proof.torque_sums import TorqueSum, torque_sum

FILLED = "The case is filled: drain it before air goes in, or oil is blown out with a seal."


@dataclass(frozen=True, slots=True)
class CircuitView:
    """A circuit at the bench: its tests, what may be done, what is stored, where to look.

    `refusals` are tests that the sheet orders above the circuit's ceiling: they are not offered.
    """

    line: CircuitLine
    asked: bool
    refusals: tuple[str, ...]
    cautions: tuple[str, ...]
    energy: StoredEnergy | None
    places: tuple[Place, ...]
    lips_in: tuple[str, ...]
    lips_out: tuple[str, ...]
    joints: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FunctionLine:
    """A functional test of the sheet and its result."""

    test: FunctionalTest
    kept: Kept[FunctionTested] | None
    asked: bool
    word: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ProofView:
    """Everything that the room shows; `next` names the next thing by kind and key."""

    sheet_name: str
    has_sheet: bool
    circuits: tuple[CircuitView, ...]
    torques: tuple[TorqueSum, ...]
    fits: tuple[FitSum, ...]
    press_tonnes: float
    oil: OilLine
    oil_sheet: Oil
    oil_asked: bool
    samples: tuple[OilReading, ...]
    trends: tuple[MetalTrend, ...]
    anodes: tuple[tuple[AnodeLine, bool], ...]
    functions: tuple[FunctionLine, ...]
    cautions: tuple[str, ...]
    next: tuple[str, str]

    @property
    def stopped(self) -> CircuitView | None:
        """The circuit whose pressure passed its ceiling, while nothing better came after it."""
        return next((one for one in self.circuits if one.line.stopped), None)


def view(state: State, settings: Settings) -> ProofView:
    """Proof of a job as it stands."""
    needed, sheet = build(state), state.lookup.sheet
    circuits = tuple(_circuit(state, one.key, needed) for one in sheet.circuits)
    torques = _torques(state, needed)
    oil = oil_line(state)
    anodes = tuple((anode_line(state, a), a.key in needed.anodes) for a in sheet.anodes)
    functions = tuple(_function(state, test, needed) for test in sheet.functional_tests)
    return ProofView(
        sheet_name=sheet.sheet.name,
        has_sheet=state.sheet is not None,
        circuits=circuits,
        torques=torques,
        fits=fit_sums(state, settings, frozenset(needed.opened)),
        press_tonnes=settings.press_tonnes,
        oil=oil,
        oil_sheet=sheet.oil,
        oil_asked=needed.oil,
        samples=oil_readings(state),
        trends=metal_trends(state, settings.earlier),
        anodes=anodes,
        functions=functions,
        cautions=tuple(c.text for c in sheet.cautions if c.where in ("everywhere", "proof")),
        next=_next(circuits, torques, oil, needed.oil, anodes, functions),
    )


def _torques(state: State, needed: Build) -> tuple[TorqueSum, ...]:
    """Joints with fasteners: the last opened first, since it is closed first; recorded ones too."""
    opened = list(reversed(opened_joints(state)))
    recorded = {kept.body.joint for kept in state.torques}
    others = [j for j in state.lookup.sheet.joints if j not in opened and j.fasteners]
    others.sort(key=lambda joint: joint.key not in recorded)
    lines = torque_log(state, (*opened, *others))
    return tuple(torque_sum(line, line.key in needed.opened) for line in lines)


def _circuit(state: State, key: str, needed: Build) -> CircuitView:
    line = circuit_line(state, state.lookup.circuits[key])
    refusals, cautions = _checked(line)
    own = [c.text for c in state.lookup.sheet.cautions if c.where in ("leak", key)]
    if line.circuit.medium == "oil" and state.oil is not None:
        own.insert(0, FILLED)
    lips_in, lips_out, joints = _seals(state, line)
    return CircuitView(
        line=line,
        asked=key in needed.circuits,
        refusals=refusals,
        cautions=tuple(dict.fromkeys((*own, *cautions))),
        energy=_energy(line),
        places=_places(line),
        lips_in=lips_in,
        lips_out=lips_out,
        joints=joints,
    )


def _checked(line: CircuitLine) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Tests refused above the ceiling, and the cautions of those that may be made."""
    refusals, cautions = [], []
    ceiling = line.circuit.ceiling.value if line.circuit.ceiling else None
    for one in line.tests:
        if one.test.pressure is None:
            continue
        try:
            cautions += list(checked_test_pressure(one.test.pressure.value, ceiling).cautions)
        except CasewrightError as error:
            refusals.append(f"{one.test.name}: {error}")
    return tuple(refusals), tuple(dict.fromkeys(cautions))


def _energy(line: CircuitLine) -> StoredEnergy | None:
    """Energy of the air at the highest test pressure of the circuit."""
    pressures = [one.test.pressure.value for one in line.tests if one.test.pressure]
    if line.volume is None or max(pressures, default=0.0) <= 0:
        return None
    return stored_energy(line.volume.value, max(pressures))


def _places(line: CircuitLine) -> tuple[Place, ...]:
    """Where to soap, by what the tests of this circuit have shown."""
    words = {one.test.name: one.word for one in line.tests}
    if "leak" not in words.values():
        return ()
    pressed = [words[name] for name in ("low", "full") if words.get(name) in ("leak", "tight")]
    gross = any(o.judged and o.judged.verdict and o.judged.verdict.gross for o in line.tests)
    return places_to_look(
        Evidence(
            under_pressure="leak" in pressed if pressed else None,
            under_vacuum={"leak": True, "tight": False}.get(words.get("vacuum", "")),
            at_low_pressure_only=words.get("low") == "leak" and words.get("full") == "tight",
            gross=gross,
        )
    )


def _seals(
    state: State, line: CircuitLine
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """The circuit's seals by name: lips facing in, lips facing out, and what has no direction."""
    found: dict[str, list[str]] = {"in": [], "out": [], "": []}
    for key in line.circuit.seals:
        if key in state.lookup.positions:
            position = state.lookup.positions[key]
            found[position.faces].append(position.name)
    return tuple(found["in"]), tuple(found["out"]), tuple(found[""])


def _function(state: State, test: FunctionalTest, needed: Build) -> FunctionLine:
    word, problem = function_word(state, test)
    return FunctionLine(
        test, state.functions.get(test.key), test.key in needed.functions, word, problem
    )


def _next(
    circuits: tuple[CircuitView, ...],
    torques: tuple[TorqueSum, ...],
    oil: OilLine,
    oil_asked: bool,
    anodes: tuple[tuple[AnodeLine, bool], ...],
    functions: tuple[FunctionLine, ...],
) -> tuple[str, str]:
    """The next thing: a stop before all, then torque, sealing, anodes, oil, functions."""
    stopped = [one.line.circuit.key for one in circuits if one.line.stopped]
    if stopped:
        return "stop", stopped[0]
    for one in torques:
        if one.opened and open_step(one) is not None:
            return "torque", one.line.key
    for circuit in circuits:
        if circuit.asked and not circuit.refusals and circuit.line.next_test is not None:
            return "leak", circuit.line.circuit.key
    for anode, asked in anodes:
        if asked and anode.kept is None:
            return "anode", anode.anode.key
    if oil_asked and not oil.is_good:
        return "oil", ""
    waiting = [line for line in functions if line.asked and line.word != "passed"]
    return ("function", waiting[0].test.key) if waiting else ("", "")


def open_step(one: TorqueSum) -> StepLine | None:
    """The next torque step of a joint, or one that must be done again."""
    again = ("above proof", "outside")
    if (step := one.line.next_step) is not None:
        return step
    return next((step for step in one.line.steps if step.word in again), None)
