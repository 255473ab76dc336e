"""Set-up: adjusters that are turned, and bearings."""

from __future__ import annotations

from casewright.phases.setup import HeatLine, LifeLine, SetupView, TurnedLine
from casewright.reasoning.shim_adjusters import NextSetting
from casewright.units import write
from casewright.voice.document import Ask, Block, Caution, Facts, Field, Fold, Say, Section, Table
from casewright.voice.quantities import Style, say, say_pm, working_rows
from casewright.voice.say_setup_words import big

WAY = {
    "in": "turn it in (tighter)", "out": "turn it out (slacker)", "there": "leave it",
    "new part": "a new part", "": "read first",
}  # fmt: skip


def turned_section(view: SetupView, style: Style) -> Section | None:
    """Sleeve, nut and ring: which way, how far, learned from this leg's own trials."""
    if not view.turned:
        return None
    rows = tuple(
        (
            line.adjuster.name, line.response.name, line.limits.printed,
            say(line.last.mean if line.last else None, line.limits.dimension, style),
            f"{WAY[line.way]}: {line.why}", how_far(line, style),
        )
        for line in view.turned
    )  # fmt: skip
    columns = ("Adjuster", "Sets", "Window", "Read", "Which way", "How far")
    note = Say(
        "How much a turn gives is learned from two readings at two settings of this leg. It is "
        "never computed: friction laws are no better than half as much again."
    )
    sleeve = any(line.adjuster.kind == "crush-sleeve" for line in view.turned)
    cautions = (
        (
            Caution(
                "A crush sleeve goes one way. Past its window it is scrap: never back the nut off."
            ),
        )
        if sleeve
        else ()
    )
    return Section("turned", "Sleeve, nut and ring", (note, *cautions, Table("", columns, rows)))


def how_far(line: TurnedLine, style: Style) -> str:
    """The next step in the setting's own unit, and what it is good for."""
    if line.rate is None or line.move is None:
        return f"{line.trials} of two trials with their setting recorded"
    rate = line.rate.rate * line.sign
    step = 1e-5 if line.dimension == "length" else _one(line)
    per = "0.01 mm" if line.dimension == "length" else f"1 {line.unit}".replace("×", "turn")
    dimension = line.limits.dimension
    learned = (
        f"{say_pm(rate * step, line.rate.deviation * step, dimension, style)} for {per}, from "
        f"{line.rate.trials} trials"
    )
    return f"{_move_words(line, line.move)}; {learned}"


def _one(line: TurnedLine) -> float:
    from casewright.units import parse

    return parse(f"1 {line.unit}", line.dimension, line.unit).value


def _move_words(line: TurnedLine, move: NextSetting) -> str:
    if move.word == "stop":
        return "stop here"
    if move.word == "new sleeve":
        return "a new sleeve"
    way = "in" if move.move > 0 else "out"
    amount = write(abs(move.move), line.dimension, line.unit)
    amount = amount if line.dimension != "count" else f"{abs(move.move):.2f} turns"
    return f"{amount} further {way} ({move.reason})"


def bearings_section(view: SetupView, style: Style) -> Section | None:
    """Heat, life and static safety: estimates beside the sheet's windows."""
    if not view.heat and not view.bearing_positions:
        return None
    blocks: list[Block] = []
    for line in view.heat:
        blocks += _heat(line, style)
    blocks += [_life(line) for line in view.lives]
    if not view.lives:
        blocks.append(
            Say(
                "Load ratings of the bearings: life and static safety aren't told. Nothing else "
                "depends on them.",
                "gap",
            )
        )
    if view.bearing_positions:
        asks = tuple(_ask_life(key, name) for key, name in view.bearing_positions)
        blocks.append(Fold("Life of a bearing, from its maker's figures", asks))
    return Section("bearings", "Bearings", tuple(blocks))


def _heat(line: HeatLine, style: Style) -> list[Block]:
    if line.low is None or line.high is None:
        return [Say(f"{big(line.gap)}.", "gap")]
    looser = line.low + line.high > 0
    low, high = sorted((abs(line.low), abs(line.high)))
    text = (
        f"{big(line.name)}: from cold to 40 K warmer the play grows "
        f"{'larger' if looser else 'smaller'} by {say(low, 'length', style).rsplit(' ', 1)[0]} to "
        f"{say(high, 'length', style)} at most: a pair set cold "
        f"{'loses preload' if looser else 'gains preload'} at work. "
        "The sheet's cold window rules."
    )
    folds = (Fold("Working", (Facts(working_rows(line.working, style)),)),) if line.working else ()
    return [Say(text, "estimate"), *folds]


def _life(line: LifeLine) -> Say:
    if line.trouble:
        return Say(f"{big(line.name)}: {line.trouble}.", "unsure")
    said = [f"{(line.revolutions or 0) / 1e6:.0f} million turns that nine in ten reach"]
    if line.hours is not None:
        said.append(f"{line.hours:.0f} h at the speed given")
    if line.safety is not None:
        said.append(f"static safety {line.safety:.1f}")
    return Say(f"{big(line.name)}: {', '.join(said)}.", "estimate")


def _ask_life(key: str, name: str) -> Ask:
    fields = (
        Field("inputs.capacity", "Dynamic load rating C", "text", needed=True, hint="like 54 kN"),
        Field("inputs.load", "Equivalent load P", "text", needed=True, hint="like 6.2 kN"),
        Field("inputs.static_capacity", "Static load rating C0", "text", hint="like 62 kN"),
        Field("inputs.static_load", "Greatest static load", "text", hint="P is taken if empty"),
        Field("inputs.speed", "Speed", "text", hint="like 1500 rpm"),
    )
    fixed: dict[str, object] = {
        "name": f"bearing-life:{key}", "outputs": {}, "method": "ISO 281, ISO 76",
    }  # fmt: skip
    return Ask("calculation", big(name), "Keep and reckon", fields, fixed)
