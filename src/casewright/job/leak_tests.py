"""Sealing tests of the circuits: each log read, held against ceiling and limit, and judged.

A log whose pressure passed the circuit's ceiling gets no verdict but a stop. The manual's own drop
is kept as printed; the verdict rests on the temperature-corrected leak rate. Judged logs are kept
by what they were judged from, so that a page costs nothing the second time.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from casewright.drive.schema import Circuit, CircuitTest
from casewright.errors import CasewrightError, FormErrors, InputError, MissingError
from casewright.job.boundary import opened_since
from casewright.job.kinds import LeakLogged
from casewright.job.state import Kept, State
from casewright.job.volumes import KnownVolume, known_volume
from casewright.mechanics.leak import DropLimit, drop_limit
from casewright.mechanics.leak_columns import Gauge, spans_of
from casewright.mechanics.leak_estimate import LeakEstimate, estimate_leak
from casewright.mechanics.leak_log import LeakLog
from casewright.mechanics.leak_text import parse_leak_log
from casewright.mechanics.leak_verdict import LEAK, NOT_PROVEN, TIGHT, LeakVerdict, judge_leak
from casewright.units import parse

STOP, UNREADABLE, NO_LIMIT = "stop", "can't be read", "no limit in the sheet"
OFF_PRESSURE, OPENED = "not at the test pressure", "opened since"
# Own: a hold that starts under this share of the printed pressure doesn't stand for it.
LEAST_SHARE = 0.85
# Own: how far the air in a drained case may drift where nobody read its temperature [K].
UNLOGGED_DRIFT = 2.0
# Own: the volume of the circuit cancels where the limit is a drop in it; rates are then per litre.
ONE_LITRE = 1e-3
# Readings up to which a log is judged as it is.
MOST_ROWS = 4000


@dataclass(frozen=True, slots=True)
class LeakQuestion:
    """Everything that a log's verdict follows from; quantities in SI, None where not known."""

    text: str
    relative_to: str
    pressure_unit: str
    temperature_unit: str
    resolution: float | None
    volume: float | None
    without_temperature: bool
    test: str
    pressure: float | None
    hold: float | None
    drop: float | None
    ceiling: float | None


@dataclass(frozen=True, slots=True)
class Trace:
    """A log as it is drawn: seconds, gauge pressure and the same at its first temperature [Pa]."""

    seconds: tuple[float, ...]
    gauge: tuple[float, ...]
    corrected: tuple[float, ...]
    kelvin: tuple[float, ...]
    used: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class JudgedLog:
    """One log judged: `word` is leak, tight, not proven yet, or why there is no such word."""

    word: str
    message: str = ""
    verdict: LeakVerdict | None = None
    estimate: LeakEstimate | None = None
    limit: DropLimit | None = None
    trace: Trace | None = None
    start: float = 0.0
    highest: float = 0.0
    printed_drop: float | None = None
    resolution: float = 0.0
    volume: float = ONE_LITRE
    volume_known: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test of a circuit as the sheet orders it, with its last log judged (or none yet)."""

    __test__ = False
    test: CircuitTest
    judged: JudgedLog | None
    log: Kept[LeakLogged] | None
    logs: int

    @property
    def word(self) -> str:
        """The verdict in a word; "not done" where there is no log."""
        return self.judged.word if self.judged else "not done"


@dataclass(frozen=True, slots=True)
class CircuitLine:
    """A circuit with its tests in the sheet's order, and every log that passed its ceiling."""

    circuit: Circuit
    tests: tuple[TestLine, ...]
    over: tuple[tuple[Kept[LeakLogged], JudgedLog], ...]
    stopped: bool
    volume: KnownVolume | None = None

    @property
    def next_test(self) -> TestLine | None:
        """The first test that isn't answered."""
        settled = ("tight", NO_LIMIT)
        return next((line for line in self.tests if line.word not in settled), None)


def circuit_line(state: State, circuit: Circuit) -> CircuitLine:
    """A circuit's tests with their logs judged; logs of tests that no sheet lists come last."""
    logs = [k for k in state.leak_logs if k.body.circuit == circuit.key]
    logs = [k for k in logs if k.body.occasion in ("final", "after-run")]
    listed = {test.name for test in circuit.tests}
    tests = [*circuit.tests]
    for name in dict.fromkeys(k.body.test for k in logs if k.body.test not in listed):
        tests.append(_unlisted(name))
    known = known_volume(state, circuit)
    volume = known.value if known else None
    judged = {k.id: _judged(circuit, _test_of(tests, k.body.test), k.body, volume) for k in logs}
    lines = []
    for test in tests:
        mine = [k for k in logs if k.body.test == test.name]
        last = mine[-1] if mine else None
        found = _still_closed(state, circuit, last, judged[last.id]) if last else None
        lines.append(TestLine(test, found, last, len(mine)))
    over = tuple((k, judged[k.id]) for k in logs if judged[k.id].word == STOP)
    stopped = bool(logs) and judged[logs[-1].id].word == STOP
    return CircuitLine(circuit, tuple(lines), over, stopped, known)


def _still_closed(
    state: State, circuit: Circuit, log: Kept[LeakLogged], judged: JudgedLog
) -> JudgedLog:
    """The verdict, while nothing opened the circuit after its log; a stop stays a stop."""
    since = opened_since(state, circuit, log) if judged.word != STOP else ""
    return replace(judged, word=OPENED, message=since) if since else judged


def _unlisted(name: str) -> CircuitTest:
    """A test that was made although no sheet prints it: no pressure, hold or drop is known."""
    return CircuitTest.model_construct(name=name, pressure=None, hold=None, drop=None)


def _test_of(tests: list[CircuitTest], name: str) -> CircuitTest:
    return next(test for test in tests if test.name == name)


def _judged(
    circuit: Circuit, test: CircuitTest, body: LeakLogged, volume: float | None
) -> JudgedLog:
    try:
        return judged_log(question_of(circuit, test, body, volume))
    except CasewrightError as error:
        return JudgedLog(UNREADABLE, str(error))


def question_of(
    circuit: Circuit, test: CircuitTest, body: LeakLogged, volume: float | None
) -> LeakQuestion:
    """What a log of this circuit and test is judged from; a volume said with it comes first."""
    said = parse(body.volume, "volume", "L", "volume").value if body.volume else None
    step = body.resolution and parse(
        body.resolution, "pressure", body.pressure_unit, "resolution of the gauge"
    )
    return LeakQuestion(
        text=body.text,
        relative_to=body.relative_to,
        pressure_unit=body.pressure_unit,
        temperature_unit=body.temperature_unit,
        resolution=step.value if step else None,
        volume=said or volume,
        without_temperature=body.without_temperature,
        test=body.test,
        pressure=test.pressure.value if test.pressure else None,
        hold=test.hold.value if test.hold else None,
        drop=test.drop.value if test.drop else None,
        ceiling=circuit.ceiling.value if circuit.ceiling else None,
    )


@lru_cache(maxsize=128)
def judged_log(question: LeakQuestion) -> JudgedLog:
    """The verdict on one log: ceiling first, then pressure, then leak, tight or not proven yet."""
    try:
        log = read_log(question)
        return _judge(question, log)
    except CasewrightError as error:
        return JudgedLog(UNREADABLE, str(error))


def read_log(question: LeakQuestion) -> LeakLog:
    """The log in SI. Units in its header win over those of the form; a contradiction is refused."""
    header = question.text.lstrip().split("\n", 1)[0].lower()
    said_absolute = re.search(r"\babs(olute)?\b|psia\b|bara\b", header)
    if question.relative_to == "gauge" and re.match(r"[a-z]", header) and said_absolute:
        raise InputError(
            "gauge or absolute", "gauge", "what the log's own header says, absolute",
            "Say absolute, or correct the header.",
        )  # fmt: skip
    log = _parsed(question, question.relative_to)
    if question.test == "vacuum" and float(np.median(log.pressure)) > log.atmosphere:
        # Positive figures on a vacuum test come from a gauge that counts downwards.
        log = _parsed(question, "vacuum")
    return log


def _parsed(question: LeakQuestion, kind: str) -> LeakLog:
    """Read with the header's units first, then with those said in the form."""
    pressures, temperatures = (None, question.pressure_unit), (None, question.temperature_unit)
    last: CasewrightError | None = None
    for pressure in pressures:
        for temperature in temperatures:
            try:
                return parse_leak_log(
                    question.text, kind, pressure, temperature,
                    without_temperature=question.without_temperature,
                )  # fmt: skip
            except CasewrightError as error:
                if not _only_units(error):
                    raise
                last = error
    raise last or MissingError("leak log", "units of its columns")


def _only_units(error: CasewrightError) -> bool:
    """Whether nothing but a unit that no header names is missing."""
    mistakes = error.mistakes if isinstance(error, FormErrors) else (error,)
    return all(isinstance(one, MissingError) and one.field.endswith("unit") for one in mistakes)


def _judge(question: LeakQuestion, log: LeakLog) -> JudgedLog:
    gauge_pressure = log.pressure - log.atmosphere
    highest, start = float(gauge_pressure.max()), float(gauge_pressure[0])
    trace, step = _trace(log), question.resolution or _smallest_step(log)
    base = JudgedLog(
        UNREADABLE, trace=trace, start=start, highest=highest, resolution=step,
        volume=question.volume or ONE_LITRE, volume_known=question.volume is not None,
        printed_drop=_printed_drop(question, log), notes=_notes(question, log, step),
    )  # fmt: skip
    if question.ceiling is not None and highest > question.ceiling * (1 + 1e-9):
        return _with(base, STOP, "The pressure passed the circuit's ceiling: no verdict.")
    drift = UNLOGGED_DRIFT if log.temperature is None else None
    gauge = Gauge(step)
    log = _thinned(log)
    if question.drop is None or question.hold is None:
        estimate = estimate_leak(log, base.volume, gauge, unlogged_drift=drift)
        return _with(
            base, NO_LIMIT, "The rate is kept; nobody says how much is too much.",
            estimate=estimate,
        )  # fmt: skip
    limit = drop_limit(abs(question.drop), question.hold, base.volume)
    verdict = judge_leak(log, base.volume, gauge, limit.leak_rate, unlogged_drift=drift)
    estimate = estimate_leak(log, base.volume, gauge, unlogged_drift=drift)
    if question.pressure and start / question.pressure < LEAST_SHARE and verdict.word != "leak":
        return _with(
            base, OFF_PRESSURE, "The hold began below the printed pressure: it proves nothing.",
            verdict=verdict, limit=limit, estimate=estimate,
        )  # fmt: skip
    word, message = _whole_log(verdict, estimate, limit)
    return _with(base, word, message, verdict=verdict, limit=limit, estimate=estimate)


def _whole_log(verdict: LeakVerdict, estimate: LeakEstimate, limit: DropLimit) -> tuple[str, str]:
    """An early "tight" doesn't stand against what the rest of the log shows."""
    if verdict.word != TIGHT or estimate.leak_rate <= limit.leak_rate:
        return verdict.word, ""
    if estimate.low > limit.leak_rate:
        return LEAK, "It looked tight at first; the whole log shows a leak."
    return NOT_PROVEN, "It looked tight at first; the rest of the log speaks against it."


def _with(base: JudgedLog, word: str, message: str, **more: object) -> JudgedLog:
    return replace(base, word=word, message=message, **more)  # type: ignore[arg-type]


def _thinned(log: LeakLog) -> LeakLog:
    """A long, fast log at one reading a second: readings closer together share their error."""
    if len(log.time) <= MOST_ROWS:
        return log
    starts = np.flatnonzero(np.diff(np.floor(log.time), prepend=-1.0))
    kelvin = None if log.temperature is None else log.temperature[starts]
    turned = np.logical_or.reduceat(log.turned, starts)
    return replace(
        log, time=log.time[starts], pressure=log.pressure[starts], temperature=kelvin, turned=turned
    )


def _smallest_step(log: LeakLog) -> float:
    """The gauge's step where nobody gives it: the smallest change in the log, at least 10 Pa."""
    steps = np.abs(np.diff(log.pressure))
    moved = steps[steps > 1e-6]
    return max(float(moved.min()) if moved.size else 100.0, 10.0)


def _trace(log: LeakLog) -> Trace:
    """The log for its picture, with the pressure at the first temperature beside it."""
    gauge = log.pressure - log.atmosphere
    kelvin = log.temperature
    corrected = gauge if kelvin is None else log.pressure * kelvin[0] / kelvin - log.atmosphere
    kept, _ = spans_of(log)
    return Trace(
        tuple(map(float, log.time)),
        tuple(map(float, gauge)),
        tuple(map(float, corrected)),
        () if kelvin is None else tuple(map(float, kelvin)),
        tuple(map(bool, kept)),
    )


def _printed_drop(question: LeakQuestion, log: LeakLog) -> float | None:
    """What the bare gauge lost over the printed hold; None before that time is up [Pa]."""
    if question.hold is None or log.time[-1] < question.hold:
        return None
    end = float(np.interp(question.hold, log.time, log.pressure))
    fallen = float(log.pressure[0]) - end
    return fallen if log.pressure[0] >= log.atmosphere else -fallen


def _notes(question: LeakQuestion, log: LeakLog, step: float) -> tuple[str, ...]:
    notes = list(log.notes)
    if question.resolution is None:
        notes.append("The gauge's step was taken from the log; give it for a surer verdict.")
    if question.volume is None:
        notes.append("No volume is known: rates are for one litre; the verdict doesn't need it.")
    if question.hold is not None and log.time[-1] < question.hold:
        notes.append("Shorter than the hold that the sheet prints; the maker's hold comes first.")
    return tuple(notes)
