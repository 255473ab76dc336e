"""Sealing tests: the card, the form, the verdict with its picture, and where to look."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from casewright.job.kinds import LeakLogged
from casewright.job.leak_tests import JudgedLog, TestLine
from casewright.mechanics.leak_verdict import LeakVerdict
from casewright.phases.proof import CircuitView
from casewright.voice.document import (
    Ask,
    Block,
    Card,
    Caution,
    Cell,
    Facts,
    Field,
    Fold,
    Hatch,
    Say,
    Section,
    Table,
    Tone,
)
from casewright.voice.draw_leak import LeakPicture, draw_leak
from casewright.voice.quantities import Style, say, say_pm
from casewright.voice.say_proof_bleed import bleed_blocks
from casewright.voice.say_proof_parts import cautions, lasting, went_by, working_fold

HATCH: dict[str, Hatch] = {
    "tight": "good", "leak": "bad", "stop": "bad", "not proven yet": "unsure",
    "can't be read": "unsure", "not at the test pressure": "unsure", "not done": "next",
    "opened since": "next",
    "no limit in the sheet": "gap",
}  # fmt: skip
TONE: dict[str, Tone] = {"tight": "good", "leak": "bad", "stop": "bad"}
TITLES = {"low": "Low pressure", "full": "Full pressure", "vacuum": "Vacuum"}
PRESSURES = ("kPa", "bar", "psi", "mbar", "inHg", "mmHg")
LET_DOWN = (
    "Close the supply, let the pressure down through the regulator, stand out of line with plugs "
    "and seals. Touch no plug, hose or seal before the gauge shows none."
)


def leak_card(view: CircuitView, style: Style) -> Card:
    """The next test of a circuit, or what its last one asks for."""
    line = view.line.next_test
    assert line is not None
    name = view.line.circuit.name
    form = ask_log(view, line, style)
    own = [text for text in view.cautions if "local codes" not in text]
    dangers = (Caution(" ".join(own[:3])),) if own else ()
    if line.word == "leak":
        where = Table(
            "Where to look first", ("Place", "Why"), _place_rows(view)[:3], "no place is told"
        )
        return Card(f"Find the leak: {name}", (*_brief(line, style), where, *dangers, form))
    if line.word == "not proven yet":
        return Card(f"Hold on: {name}", (*_brief(line, style), *dangers, form))
    if line.judged is not None:
        why = Say(line.judged.message, "unsure")
        return Card(f"Test again: {name}, {TITLES[line.test.name].lower()}", (why, *dangers, form))
    return Card(
        f"{TITLES[line.test.name]} test: {name}", (Say(_printed(line, style)), *dangers, form)
    )


def _brief(line: TestLine, style: Style) -> Iterator[Block]:
    """The verdict in two lines for the card, its figures folded away."""
    judged = line.judged
    assert judged is not None
    yield from _still_needed(judged)
    if judged.limit is not None:
        limit = _throughput(judged.limit.leak_rate)
        tone: Tone = "bad" if line.word == "leak" else "plain"
        yield Say(f"Leak rate {rate_words(line)}; the limit is {limit}.", tone)
    yield Fold("The figures", tuple(_verdict(line, style)))


def _still_needed(judged: JudgedLog) -> Iterator[Block]:
    verdict = judged.verdict
    if judged.word != "not proven yet" or verdict is None:
        return
    if verdict.time_still_needed is not None and verdict.word == judged.word:
        yield Say(
            f"Go on holding about {lasting(verdict.time_still_needed)}; paste the whole log.",
            "estimate",
        )


def stop_card(view: CircuitView, style: Style) -> Card:
    """The pressure passed the ceiling: stop, before anything else in the room."""
    _, judged = view.line.over[-1]
    ceiling = view.line.circuit.ceiling
    most = say(judged.highest, "pressure", style)
    printed = ceiling.text if ceiling else "the ceiling"
    blocks: list[Block] = [
        Caution(LET_DOWN, "Stop"),
        Say(f"The log reached {most}; the sheet's ceiling is {printed}.", "bad"),
        Say("Seals, plugs and case are to be looked at again before any further test."),
    ]
    test = view.line.next_test
    if test is not None:
        again = Fold("Test again, below the ceiling", (ask_log(view, test, style),))
        blocks.append(again)
    return Card(f"Stop: too much pressure in {view.line.circuit.name}", tuple(blocks))


def leak_section(view: CircuitView, style: Style) -> Section:
    """Everything about one circuit's sealing."""
    circuit = view.line.circuit
    blocks: list[Block] = list(_over(view, style))
    blocks += [Say(f"{text}. This test isn't offered.", "bad") for text in view.refusals]
    blocks += list(cautions(view.cautions))
    blocks.append(Facts(tuple(_facts(view, style))))
    blocks.append(_table(view, style))
    for line in view.line.tests:
        blocks += list(_one(view, line, style))
    if view.places:
        blocks.append(
            Table("Where to look, with soap and water", ("Place", "Why"), _place_rows(view))
        )
    if not view.line.tests:
        blocks.append(
            Say("No sealing test: tightness stays unproven unless a test is agreed on.", "gap")
        )
        blocks.append(Fold("Keep a log all the same", (_ask_any(view, style),)))
    blocks += list(_forms(view, style))
    return Section(f"leak-{circuit.key}", f"Sealing test: {circuit.name}", tuple(blocks))


def _over(view: CircuitView, style: Style) -> Iterator[Block]:
    for kept, judged in view.line.over:
        yield Caution(
            f"In the {kept.body.test} log of {kept.happened_at[:10]} the pressure reached "
            f"{say(judged.highest, 'pressure', style)}, over this circuit's ceiling. {LET_DOWN}",
            "Stop",
        )


def _facts(view: CircuitView, style: Style) -> Iterator[tuple[str, str]]:
    circuit = view.line.circuit
    ceiling = circuit.ceiling.text if circuit.ceiling else "not in the sheet: ask the maker first"
    yield "Ceiling", f"{ceiling}; never above it"
    yield "Volume", _volume(view, style)
    if view.energy is not None:
        yield (
            "Stored energy at the highest test",
            f"{view.energy.expansion:.0f} J, as one kilogram falling "
            f"{say(view.energy.drop_of_one_kilogram, 'length', Style({'length': 'm'}), 0)}",
        )
    if circuit.source:
        yield "Source", circuit.source


def _volume(view: CircuitView, style: Style) -> str:
    """The volume with where it comes from; what the sheet says beside a measured one."""
    known, printed = view.line.volume, view.line.circuit.volume
    if known is None:
        return "not in the sheet"
    if known.measured is None:
        return printed.text if printed else f"{say(known.value, 'volume', style)}, {known.origin}"
    doubt = 2 * known.measured.uncertainty
    said = (
        say_pm(known.value, doubt, "volume", style) if doubt else say(known.value, "volume", style)
    )
    beside = f"; the sheet says {printed.text}" if printed else ""
    return f"{said}, {known.origin}{beside}"


def _table(view: CircuitView, style: Style) -> Table:
    rows = tuple(
        (TITLES[line.test.name], _printed(line, style), Cell(line.word, HATCH.get(line.word, "")),
         rate_words(line))
        for line in view.line.tests
    )  # fmt: skip
    return Table("", ("Test", "As printed", "Verdict", "Leak rate"), rows, "no test in the sheet")


def _printed(line: TestLine, style: Style) -> str:
    """The manual's own words, and the drop converted beside them."""
    test = line.test
    if test.pressure is None or test.hold is None:
        return "not in the sheet"
    said = f"{test.pressure.text} for {test.hold.text}"
    if test.drop is None:
        return f"{said}; no limit for the drop"
    limit = line.judged.limit if line.judged else None
    said = f"{said}, drop at most {test.drop.text}"
    return said + (f" = {_throughput(limit.leak_rate)}" if limit else "")


def _throughput(value: float) -> str:
    return f"{value * 1e3:.2f} Pa·L/s"


def rate_words(line: TestLine) -> str:
    """The leak rate of a test with its doubt, temperature taken out; empty where there is none."""
    judged = line.judged
    if judged is None or judged.estimate is None:
        return ""
    one = judged.estimate
    return f"{one.leak_rate * 1e3:.2f} ± {2 * one.uncertainty * 1e3:.2f} Pa·L/s"


def _one(view: CircuitView, line: TestLine, style: Style) -> Iterator[Block]:
    if line.judged is None:
        return
    blocks: list[Block] = []
    if line.judged.trace is not None:
        blocks.append(draw_leak(_picture(view, line, line.judged), style))
    blocks += list(_verdict(line, style))
    if line.judged.verdict is not None and line.log is not None:
        blocks.append(_snapshot(view, line, style))
    is_open = line.word not in ("tight", "no limit in the sheet")
    yield Fold(f"{TITLES[line.test.name]}: {line.word}", tuple(blocks), open=is_open)


def _snapshot(view: CircuitView, line: TestLine, style: Style) -> Fold:
    """A verdict as it stands, for who went by it; the log itself is an entry of its own."""
    judged = line.judged
    assert judged is not None
    assert judged.verdict is not None
    assert line.log is not None
    inputs = {"log": line.log.id, "as printed": _printed(line, style)}
    inputs["volume"] = say(judged.volume, "volume", style) if judged.volume_known else "not known"
    outputs = {"in words": line.word, **dict(_verdict_facts(judged, style))}
    name = f"sealing test: {view.line.circuit.name}, {line.test.name}"
    return went_by(name, inputs, outputs, judged.verdict.working)


def _picture(view: CircuitView, line: TestLine, judged: JudgedLog) -> LeakPicture:
    trace, ceiling = judged.trace, view.line.circuit.ceiling
    assert trace is not None
    return LeakPicture(
        trace.seconds, trace.gauge, trace.corrected, trace.kelvin, trace.used,
        judged.limit.slope if judged.limit else None,
        ceiling.value if ceiling else None,
        f"{view.line.circuit.name}, {TITLES[line.test.name].lower()} test",
    )  # fmt: skip


def _verdict(line: TestLine, style: Style) -> Iterator[Block]:
    """The verdict in sentences, drift apart, and the working."""
    judged = line.judged
    if judged is None:
        return
    if judged.message:
        yield Say(judged.message, TONE.get(judged.word, "unsure"))
    verdict = judged.verdict
    if verdict is not None:
        yield from (Say(text) for text in _reasons(judged, verdict))
        yield from _still_needed(judged)
    yield Facts(tuple(_verdict_facts(judged, style)))
    for note in judged.notes:
        yield Say(note)
    if verdict is not None:
        yield working_fold("How the verdict came about", verdict.working, style)


def _reasons(judged: JudgedLog, verdict: LeakVerdict) -> Iterator[str]:
    """The verdict's reasons; doubt of its moment that the whole log has settled is left out."""
    settled = judged.estimate is not None and judged.estimate.correction_trusted
    for text in verdict.reasons:
        settles = settled and "not trustworthy" in text and verdict.word != "not proven yet"
        if not settles and not text.startswith("Hold about"):
            yield text
    if verdict.word != "not proven yet":
        yield f"Decided after {lasting(verdict.seconds)}."


def _verdict_facts(judged: JudgedLog, style: Style) -> Iterator[tuple[str, str]]:
    if judged.trace is not None:
        yield (
            "Held",
            f"{lasting(judged.trace.seconds[-1])}, "
            f"from {say(judged.start, 'pressure', style)} over the atmosphere",
        )
    if judged.printed_drop is not None:
        yield (
            "As the manual reads it",
            f"the gauge lost {say(judged.printed_drop, 'pressure', style)} over the printed hold",
        )
    if (one := judged.estimate) is not None:
        yield (
            "Leak rate, temperature taken out",
            f"{one.leak_rate * 1e3:.2f} ± {2 * one.uncertainty * 1e3:.2f} Pa·L/s",
        )
        yield "Drift from temperature", f"{one.temperature_drift * 1e3:+.2f} Pa·L/s"
        lag = f"{one.lag:.0f} s" if one.correction_trusted else f"{one.lag:.0f} s, not certain yet"
        yield "Air behind the wall", lag
    if judged.limit is not None:
        yield "Limit as a rate", _throughput(judged.limit.leak_rate)
    if judged.limit is not None and judged.estimate is not None:
        share = max(judged.estimate.leak_rate, 0.0) / judged.limit.leak_rate
        yield "Share of the limit", f"{100 * share:.0f} %"
    if judged.verdict is not None:
        yield "The bare gauge would have said", judged.verdict.uncorrected_word


def _place_rows(view: CircuitView) -> tuple[tuple[str, str], ...]:
    """Places with the sheet's own seals named where a lip's direction decides."""
    rows = []
    for place in view.places:
        names: tuple[str, ...] = ()
        if "facing into" in place.where:
            names = view.lips_in
        elif "facing outwards" in place.where:
            names = view.lips_out
        elif "gaskets" in place.where:
            names = view.joints
        rows.append((f"{place.where}: {', '.join(names)}" if names else place.where, place.because))
    return tuple(rows)


def _forms(view: CircuitView, style: Style) -> Iterator[Block]:
    open_tests = [line for line in view.line.tests if not _refused(view, line)]
    for line in open_tests:
        again = "another log" if line.logs else "the log"
        yield Fold(f"{TITLES[line.test.name]}: {again}", (ask_log(view, line, style),))
    yield Fold("Measure the volume by a known bleed", bleed_blocks(view, style))


def _refused(view: CircuitView, line: TestLine) -> bool:
    return any(text.startswith(f"{line.test.name}:") for text in view.refusals)


def ask_log(view: CircuitView, line: TestLine, style: Style) -> Ask:
    """The form for one log; gauge or absolute has no default, it must be said."""
    circuit = view.line.circuit
    ceiling = f" Never above {circuit.ceiling.text}." if circuit.ceiling else ""
    fields = _log_fields(view.line.volume is None, style)
    if line.word == "not proven yet" and line.log is not None:
        fields = _going_on(fields, line.log.body)
    return Ask(
        "leak-log",
        f"{circuit.name}: {TITLES[line.test.name].lower()}",
        "Judge this log",
        fields,
        {"circuit": circuit.key, "test": line.test.name, "occasion": "final"},
        caution=f"Drained case, regulator and relief valve, stand aside of plugs.{ceiling}",
    )


def _going_on(fields: tuple[Field, ...], body: LeakLogged) -> tuple[Field, ...]:
    """The form of a hold that goes on: what was said of the same log stands, more is added."""
    said = {
        "text": body.text, "relative_to": body.relative_to, "pressure_unit": body.pressure_unit,
        "temperature_unit": body.temperature_unit, "resolution": body.resolution,
        "volume": body.volume, "without_temperature": "true" if body.without_temperature else "",
    }  # fmt: skip
    return tuple(replace(field, value=said.get(field.name) or field.value) for field in fields)


def _log_fields(ask_volume: bool, style: Style) -> tuple[Field, ...]:
    """Fields of a leak log."""
    volume = (Field("volume", "Volume of the circuit with hose", "text", hint="as 1.6 L"),)
    return (
        Field(
            "text", "Time, pressure, case temperature; one reading a line", "words", needed=True,
            hint="Paste from the gauge, or type: 0, 70.0, 21.4. A fourth column x marks a shaft "
            "that was being turned. A first line may name columns and units.",
        ),
        Field(
            "relative_to", "The pressures are", "choice", needed=True,
            choices=(
                ("gauge", "gauge: 0 in open air"),
                ("absolute", "absolute: 101 kPa in open air"),
            ),
        ),
        Field(
            "pressure_unit", "Pressure in", "choice", value=style.unit("pressure"),
            choices=tuple((unit, unit) for unit in PRESSURES),
        ),
        Field(
            "temperature_unit", "Temperature in", "choice", value=style.unit("temperature"),
            choices=(("°C", "°C"), ("°F", "°F"), ("K", "K")),
        ),
        Field("resolution", "Smallest step that the gauge shows", "text", hint="as 0.1 kPa"),
        *(volume if ask_volume else ()),
        Field(
            "without_temperature",
            "There are no temperatures; I know that drift can't then be told from a leak",
            "yes",
        ),
    )  # fmt: skip


def _ask_any(view: CircuitView, style: Style) -> Ask:
    """A log of a test that no sheet orders."""
    choices = tuple((key, words) for key, words in TITLES.items())
    return Ask(
        "leak-log",
        view.line.circuit.name,
        "Keep this log",
        (
            Field("test", "Which test", "choice", choices=choices, needed=True),
            *_log_fields(view.line.volume is None, style),
        ),
        {"circuit": view.line.circuit.key, "occasion": "final"},
        caution="No ceiling in the sheet: the maker's comes first, and low pressure before high.",
    )
