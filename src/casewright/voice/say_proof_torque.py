"""Torque: the next step with its way to turn, the record against the sheet, and what it does."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.job.torque_log import JointTorque, StepLine
from casewright.phases.proof import TorqueSum, open_step
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
)
from casewright.voice.quantities import Style, say, say_window
from casewright.voice.say_proof_parts import STANDING, force, went_by, working_fold

HATCH: dict[str, Hatch] = {
    "inside": "good", "outside": "bad", "above proof": "bad", "not proven": "unsure",
    "can't be judged": "unsure", "missing": "next", "not in the sheet": "gap",
}  # fmt: skip
SURFACES = (("dry", "dry"), ("oiled", "oiled"), ("compound", "compound"))
HAND = "Pull square and steady at the wrench's mark, feet firm: a slipping tool throws a person."


def torque_card(one: TorqueSum, style: Style) -> Card:
    """The next torque step of a joint."""
    line, step = one.line, open_step(one)
    assert step is not None
    count = f", {line.fasteners.count} fasteners" if line.fasteners.count > 1 else ""
    blocks: list[Block] = []
    if step.word in ("outside", "above proof"):
        telling = [reason for reason in step.reasons if "not computed" not in reason]
        blocks += [Say(reason, "bad") for reason in telling[:2]]
        blocks.append(
            Say("Slacken, look at thread and fastener, renew what is stretched, and start again.")
        )
    blocks += [Say(_how(line, step)), *_cautions(line, step, style)]
    blocks.append(ask_torque(line, step, style))
    blocks.append(
        Fold("An offset adapter was used", (ask_torque(line, step, style, adapter=True),))
    )
    title = f"Torque: {line.name}, step {step.step} of {max(len(line.steps), 1)}{count}"
    return Card(title, tuple(blocks), position=line.key)


def _how(line: JointTorque, step: StepLine) -> str:
    """Torque, way to turn, order, lubrication, places still open; in one breath."""
    nominal = line.fasteners.torque_steps[step.step - 1].text if step.nominal else "no torque given"
    said = [f"{nominal}, turn {line.way}"]
    if line.fasteners.hand == "left":
        said.append("left-hand thread")
    if line.fasteners.count > 1:
        said.append("in the order " + " ".join(map(str, line.order)))
    if line.fasteners.lubricated:
        said.append(f"thread {_surface(line)}")
    if step.open_places and len(step.open_places) < line.fasteners.count:
        said.append("still open: " + ", ".join(map(str, step.open_places)))
    return "; ".join(said) + "."


def _surface(line: JointTorque) -> str:
    return "with compound" if line.fasteners.lubricated == "compound" else line.fasteners.lubricated


def _cautions(line: JointTorque, step: StepLine, style: Style) -> Iterator[Caution]:
    high = f" Never above {say(step.high, 'torque', style)}." if step.high is not None else ""
    yield Caution(f"{HAND}{high}")
    for oddity in line.oddities:
        yield Caution(oddity, "Look first")


def ask_torque(line: JointTorque, step: StepLine, style: Style, adapter: bool = False) -> Ask:
    """The form for one step; with an adapter it asks for the lever too."""
    fields = [
        Field(
            "value", "Wrench shows", "quantity", "torque", style.unit("torque"), needed=True,
            hint=_window(step, style),
        )
    ]  # fmt: skip
    if adapter:
        fields += [
            Field(
                "wrench_length", "Wrench, drive to hand mark", "text", hint="as 400 mm", needed=True
            ),
            Field(
                "adapter_length", "Adapter, drive to fastener", "text", hint="as 50 mm", needed=True
            ),
            Field("adapter_angle", "Angle: 0 straight ahead, 90 square", "text", value="0 °"),
        ]
    if line.fasteners.count > 1:
        fields.append(
            Field("places", "Only these places (none: all, in order)", "text", hint="as 1; 4; 2")
        )
    fields += [
        Field(
            "tool_most",
            "Largest torque of the wrench's scale",
            "text",
            hint="as 60 N·m",
            value=line.tool_most,
        ),
        Field(
            "lubricated", "Thread was", "choice", choices=SURFACES, value=line.fasteners.lubricated
        ),
    ]
    if step.step == len(line.fasteners.torque_steps):
        hint = line.fasteners.locking
        fields.append(Field("locked_by", "Locked by", "text", hint=hint, value=line.locked_by))
    return Ask(
        "torque",
        f"{line.name}, step {step.step}" + (", with adapter" if adapter else ""),
        "Record this torque",
        tuple(fields),
        {"joint": line.key, "step": step.step, "occasion": "final"},
        caution=STANDING,
    )


def _window(step: StepLine, style: Style) -> str:
    if step.nominal is None:
        return "not in the sheet"
    if step.low is None or step.high is None:
        return f"{say(step.nominal, 'torque', style)}, no tolerance given"
    window = say_window(step.low, step.high, "torque", style)
    return f"{say(step.nominal, 'torque', style)} ({window})"


def torque_section(torques: tuple[TorqueSum, ...], style: Style) -> Section:
    """The torque record, joint by joint; what wasn't opened is folded away."""
    blocks: list[Block] = [Caution(HAND), Caution(STANDING)]
    mine = [one for one in torques if one.opened or (one.line.steps and _recorded(one))]
    others = [one for one in torques if one not in mine]
    rows = tuple(row for one in mine for row in _rows(one, style))
    empty = "nothing with fasteners was opened"
    blocks.append(Table("", ("Joint", "Step", "Sheet", "Read", "Verdict"), rows, empty))
    for one in mine:
        blocks += [Say(f"{one.line.name}: {words}", "bad") for words in one.line.order_words]
        blocks.append(Fold(one.line.name, tuple(_details(one, style))))
    if others:
        inner = tuple(Fold(o.line.name, tuple(_details(o, style))) for o in others)
        blocks.append(Fold(f"{len(others)} joints that weren't opened in this job", inner))
    return Section("torque", "Torque record", tuple(blocks))


def _recorded(one: TorqueSum) -> bool:
    return any(step.read is not None for step in one.line.steps)


def _rows(one: TorqueSum, style: Style) -> Iterator[tuple[Cell | str, ...]]:
    name = one.line.name
    for step in one.line.steps:
        read = say(step.at_fastener, "torque", style) if step.at_fastener is not None else ""
        note = step.reasons[0] if step.reasons and step.word != "inside" else ""
        if step.open_places and step.read is not None:
            note = "still open: place " + ", ".join(map(str, step.open_places))
        if step.read is not None and step.at_fastener != step.read:
            read += f" (wrench {say(step.read, 'torque', style)})"
        yield (
            name,
            str(step.step),
            _window(step, style),
            read,
            Cell(step.word, HATCH.get(step.word, ""), note),
        )
    if not one.line.steps:
        yield name, "", "not in the sheet", "", Cell("no torque in the sheet", "gap")


def _details(one: TorqueSum, style: Style) -> Iterator[Block]:
    """How the joint is tightened and what its last step does to bolt and hole."""
    line = one.line
    yield Facts(tuple(_facts(one, style)))
    for step in line.steps:
        for reason in step.reasons:
            yield Say(f"Step {step.step}: {reason}")
        if step.audit is not None:
            yield working_fold(f"Step {step.step}: the working", step.audit.working, style)
    for note in one.notes:
        yield Say(note)
    if one.preload is not None:
        yield working_fold("Preload", one.preload.working, style)
    if one.proof is not None and one.proof.exceeded:
        yield Say(
            f"At low friction the sheet's own torque may pass the {one.proof.limit_name}: ask the "
            "maker before it is used on a thread that is slicker than the sheet says.",
            "bad",
        )
    if one.strip is not None:
        yield Say(
            "Stripping is for a sound thread in an ordinary cast housing; a chased or corroded one "
            "carries less. A thread insert is the rework.",
            "estimate",
        )
        yield working_fold("Stripping", one.strip.working, style)
    for step in line.steps:
        if step.audit is not None:
            yield _snapshot(one, step, style)
    for step in line.steps:
        if step.read is not None or step.is_open:
            yield Fold(f"Record step {step.step} again", (ask_torque(line, step, style),))


def _snapshot(one: TorqueSum, step: StepLine, style: Style) -> Fold:
    """A torque as it was judged, for who went by it."""
    assert step.audit is not None
    read = say(step.read, "torque", style)
    inputs = {"sheet": _window(step, style), "wrench": read, "thread": one.line.designation}
    at, low, high = (
        say(value, "torque", style) for value in (step.at_fastener, step.audit.low, step.audit.high)
    )
    outputs = {"in words": step.word, "at the fastener": at, "with the tool": f"{low} to {high}"}
    if (span := step.audit.preload) is not None:
        outputs["preload"] = f"{force(span.low, style)} to {force(span.high, style)}"
    name = f"torque: {one.line.name}, step {step.step}"
    return went_by(name, inputs, outputs, step.audit.working)


def _facts(one: TorqueSum, style: Style) -> Iterator[tuple[str, str]]:
    line, f = one.line, one.line.fasteners
    yield "Thread", f"{f.thread}, {f.hand}-hand: turn {line.way} to tighten"
    if f.count > 1:
        yield "Order", " ".join(map(str, line.order))
    if f.lubricated:
        yield "Thread state", f.lubricated
    if f.locking:
        yield "Locking", f"{f.locking}; recorded: {line.locked_by or 'not said yet'}"
    if one.preload is not None:
        low, high = force(one.preload.low, style), force(one.preload.high, style)
        yield "Preload of the last step", f"{low} to {high} (friction and tool)"
    if one.proof is not None:
        yield "At most", f"{100 * one.proof.share:.0f} % of the {one.proof.limit_name}"
    if one.strip is not None and one.strip_share is not None:
        yield (
            "Aluminium thread",
            f"strips at about {force(one.strip.internal, style)}: the preload takes at most "
            f"{100 * one.strip_share:.0f} % of it",
        )
    if one.bars:
        pulls = ", ".join(
            f"{force(pull, Style({'force': 'N'} | dict(style.units)))} on "
            f"{say(bar, 'length', Style({'length': 'm'}), 1)}"
            for bar, pull in one.bars
        )
        yield "Pull at the bar's end", pulls
    if one.adapter is not None:
        yield (
            "With a 50 mm adapter straight ahead on a 400 mm wrench",
            f"set {say(one.adapter.setting, 'torque', style)}; square to it, no change",
        )
