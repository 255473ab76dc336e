"""Oil, anodes and functional tests: their cards, forms and verdicts."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.job.fluids import AnodeLine
from casewright.mechanics.oil import APPEARANCE, PROCEDURE
from casewright.phases.proof import FunctionLine, OilReading, ProofView
from casewright.tables.electrodes import SAME_METAL
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
    Link,
    Say,
    Section,
    Table,
)
from casewright.voice.quantities import Style, say
from casewright.voice.say_proof_parts import STANDING, working_fold

OIL_CAUTION = "Used oil is harmful: gloves, and into the waste drum. New oil only, clean funnel."
TANK_CAUTION = "Propeller off or guarded, hands clear, leg fixed, water on before the engine runs."
ANODE_CAUTION = "Never paint an anode; never drill or weld near oil or fuel."
POTENTIAL_CAUTION = "Shore power and chargers off while a potential is read."
HATCH: dict[str, Hatch] = {
    "passed": "good", "not passed": "bad", "outside": "bad", "not done": "next",
}  # fmt: skip


def oil_card(view: ProofView, style: Style) -> Card:
    """Fill the case."""
    if view.oil.kept is not None:
        said = tuple(Say(problem, "bad") for problem in view.oil.problems)
        return Card("Put the oil fill right", (*said, *_order(view), _ask_oil(view, style)))
    return Card(
        "Fill the oil and check its level",
        (Say(_capacity(view)), *_order(view), _ask_oil(view, style)),
    )


def _capacity(view: ProofView) -> str:
    oil = view.oil_sheet
    size = oil.capacity.text if oil.capacity else "capacity not in the sheet"
    return f"{oil.grade or 'Grade not in the sheet'}, {size}."


def _order(view: ProofView) -> tuple[Block, ...]:
    """The procedure: the sheet's own words first, then the usual order."""
    oil = view.oil_sheet
    rest = f"Rest {oil.rest.text}, then check again." if oil.rest else ""
    lines = (oil.fill, oil.vent, rest)
    return (Caution(OIL_CAUTION), *(Say(_big(line)) for line in lines if line))


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def _ask_oil(view: ProofView, style: Style) -> Ask:
    return Ask(
        "oil-filled",
        "The fill",
        "Record the fill",
        (
            Field(
                "volume", "Oil that went in", "quantity", "volume", style.unit("volume"),
                needed=True,
            ),
            Field("grade", "Grade", "text", value=view.oil_sheet.grade),
            Field("upper_plug_first", "Upper plug was in before the pump came off below", "yes"),
            Field("rested", "Rested", "text", hint="as 20 min"),
            Field("level_checked", "Level checked again after the rest", "yes"),
        ),
        caution=OIL_CAUTION,
    )  # fmt: skip


def oil_section(view: ProofView, style: Style) -> Section:
    """Fill, level and samples."""
    blocks: list[Block] = [Caution(OIL_CAUTION), Caution(STANDING)]
    if not view.oil_sheet.capacity:
        blocks.append(Say("No capacity: trapped air can't be told from the volume filled.", "gap"))
    blocks += list(_fill(view, style))
    blocks += [Say(line) for line in PROCEDURE]
    blocks.append(Fold("Record a fill", (_ask_oil(view, style),)))
    blocks.append(_samples(view.samples))
    if any(sample.water_sign for sample in view.samples):
        blocks.append(Say("Water in the oil is a finding: say it where causes are weighed.", "bad"))
        blocks.append(Link("Go to the cause of the water", "cause"))
    for one in view.trends:
        hints = " ".join(one.trend.hints)
        over = f"over {one.samples} samples"
        if one.earlier:
            over += f", {one.earlier} of them in earlier jobs of this leg (oil changed between)"
        blocks.append(Say(f"{_big(one.metal)}, {over}: {one.trend.word}. {hints}", "estimate"))
    blocks.append(Fold("What the oil shows", (_ask_sample(),)))
    return Section("oil", "Oil", tuple(blocks))


def _fill(view: ProofView, style: Style) -> Iterator[Block]:
    oil = view.oil
    if oil.kept is None:
        yield Say("Not filled yet." if view.oil_asked else "The oil wasn't touched in this job.")
        return
    rows = [("Filled", oil.kept.body.volume + " " + oil.kept.body.unit)]
    if oil.filled is not None:
        rows = [("Filled", say(oil.filled, "volume", style))]
    rows.append(("Capacity", _capacity(view)))
    if oil.fill is not None:
        rows.append(("Against the capacity", oil.fill.word))
        missing = say(max(oil.fill.missing, 0.0), "volume", style)
        rows.append(("Room left, trapped air at most", missing))
    yield Facts(tuple(rows))
    for problem in oil.problems:
        yield Say(problem, "bad")
    if not oil.problems:
        yield Say("Filled, vented, rested and checked.", "good")
    if oil.fill is not None:
        yield working_fold("Fill against capacity", oil.fill.working, style)


def _samples(samples: tuple[OilReading, ...]) -> Table:
    rows = tuple(
        (one.kept.body.occasion, one.kept.happened_at[:10], " ".join(one.sentences) or "noted",
         Cell("water sign", "bad") if one.water_sign else "")
        for one in samples
    )  # fmt: skip
    return Table("Oil samples", ("When", "On", "What it says", ""), rows, "none")


def _ask_sample() -> Ask:
    occasions = (("as-received", "as received"), ("as-found", "as found"), ("final", "new fill"))
    return Ask(
        "oil-read",
        "What the oil shows",
        "Record",
        (
            Field(
                "occasion", "When", "choice", needed=True,
                choices=(*occasions, ("after-run", "after the run")),
            ),
            Field(
                "appearance", "Looks", "choice",
                choices=tuple((word, word) for word in APPEARANCE),
            ),
            Field("water", "Water", "text", hint="as 300 ppm or 0.1 %"),
            Field("viscosity", "Viscosity at 40 °C", "text", hint="mm²/s, as 150"),
            Field("particles", "Particles", "text", hint="code 18/16/13, or counts at 4; 6; 14 µm"),
            Field("metals.iron", "Iron", "text", hint="as 45 ppm"),
            Field("metals.copper", "Copper", "text", hint="as 12 ppm"),
            Field("metals.aluminium", "Aluminium", "text", hint="as 8 ppm"),
            Field("metals.sodium", "Sodium", "text", hint="as 20 ppm"),
            Field("hours", "Hours since the oil was new", "text", hint="as 120 h"),
            Field("words", "In words", "text"),
        ),
        caution="Hot plate and spitting oil: eye protection, one drop only.",
    )  # fmt: skip


def anode_card(line: AnodeLine, style: Style) -> Card:
    """Prove the bond of an anode that was off."""
    most = f"At most {line.anode.bond_most.text}." if line.anode.bond_most else ""
    why = Say(f"It was off: without metal to metal it protects nothing. {most}".strip())
    return Card(
        f"Prove the bond: {line.anode.name}", (why, Caution(ANODE_CAUTION), _ask_anode(line)),
        position=line.anode.position,
    )  # fmt: skip


def _ask_anode(line: AnodeLine) -> Ask:
    electrodes = tuple((name, name) for name in SAME_METAL)
    return Ask(
        "anode-read",
        line.anode.name,
        "Record the anode",
        (
            Field(
                "bond", "Bond, bare metal to bare metal, leads taken off", "text", hint="as 0.05 Ω"
            ),
            Field(
                "potential", "Potential in the water", "text", hint="as -950 mV; after a day afloat"
            ),
            Field("electrode", "Read against", "choice", choices=electrodes),
            Field("left", "Left of it", "text", hint="as 60 %; 100 % when new"),
            Field("painted", "It is painted", "yes"),
        ),
        {"anode": line.anode.key, "occasion": "final"},
        caution=ANODE_CAUTION,
    )


def anodes_section(anodes: tuple[tuple[AnodeLine, bool], ...], style: Style) -> Section:
    """Anodes: bond, potential, what is left."""
    blocks: list[Block] = [Caution(ANODE_CAUTION), Caution(POTENTIAL_CAUTION), Caution(STANDING)]
    if not anodes:
        blocks.append(Say("No anodes: bond and potential are not judged.", "gap"))
    rows = tuple(_anode_row(line, asked, style) for line, asked in anodes)
    columns = ("Anode", "Bond", "Potential, against silver chloride in sea water", "Verdict")
    blocks.append(Table("", columns, rows, "none in the sheet"))
    for line, _ in anodes:
        blocks += [Say(f"{line.anode.name}: {problem}", "bad") for problem in line.problems]
        if line.protection is not None:
            blocks.append(working_fold("Protection window", line.protection.working, style))
        blocks.append(Fold(f"Read the {line.anode.name}", (_ask_anode(line),)))
    return Section("anodes", "Anodes and bonding", tuple(blocks))


def _anode_row(line: AnodeLine, asked: bool, style: Style) -> tuple[Cell | str, ...]:
    bond = say(line.bond, "resistance", style) if line.bond is not None else ""
    volts = say(line.protection.potential, "potential", style) if line.protection else ""
    if line.kept is None:
        verdict = Cell("to be read", "next") if asked else Cell("not touched", "")
    else:
        verdict = Cell("good", "good") if line.is_good else Cell("not good", "bad")
    return line.anode.name, bond, volts, verdict


def function_card(line: FunctionLine, style: Style) -> Card:
    """The next functional test."""
    blocks: tuple[Block, ...] = (Say(line.test.how), Say(f"Expected: {line.test.expect}."))
    if line.word != "not done":
        blocks = (Say(f"{_big(line.word)}: {_said(line)}", "bad"), *blocks)
    return Card(f"Test: {line.test.name}", (*blocks, Caution(TANK_CAUTION), _ask_function(line)))


def _said(line: FunctionLine) -> str:
    words = line.kept.body.words if line.kept else ""
    return line.problem or words or "put it right and test again"


def _ask_function(line: FunctionLine) -> Ask:
    """The result at one touch; a value before it where the sheet gives limits."""
    fields = []
    if (limit := line.test.low or line.test.high) is not None:
        hint = f"as 3 {limit.unit}"
        fields.append(Field("value", "Value", "text", hint=hint, needed=True))
    answers = (("true", "yes"), ("false", "no"))
    fields.append(Field("words", "In words", "text"))
    fields.append(Field("passed", "As expected?", "tap", choices=answers, needed=True))
    return Ask(
        "function-tested", line.test.name, "Record the test", tuple(fields),
        {"test": line.test.key}, caution=TANK_CAUTION,
    )  # fmt: skip


def functions_section(functions: tuple[FunctionLine, ...], style: Style) -> Section:
    """Functional tests of the sheet."""
    blocks: list[Block] = [Caution(TANK_CAUTION), Caution(STANDING)]
    if not functions:
        blocks.append(Say("No functional tests: nothing tells that the leg works.", "gap"))
    rows = tuple(
        (line.test.name, line.test.expect, line.kept.body.value if line.kept else "",
         Cell(line.word, HATCH[line.word] if line.asked or line.kept else "", _note(line)))
        for line in functions
    )  # fmt: skip
    blocks.append(Table("", ("Test", "Expected", "Value", "Result"), rows, "none in the sheet"))
    blocks += [
        Fold(line.test.name, (Say(line.test.how), _ask_function(line))) for line in functions
    ]
    return Section("functions", "Functional tests", tuple(blocks))


def _note(line: FunctionLine) -> str:
    return _said(line) if line.word in ("not passed", "outside") else ""
