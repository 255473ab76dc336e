"""Set-up: what heat does to a pair, life and static safety, the forms for their figures."""

from __future__ import annotations

from casewright.phases.setup import Carried, HeatLine, LifeLine, LoadLine, SetupView
from casewright.phases.setup.bearings import WarmPreload
from casewright.voice.document import (
    Ask,
    Block,
    Cell,
    Facts,
    Field,
    Fold,
    Say,
    Section,
    Table,
)
from casewright.voice.quantities import Style, say, working_rows
from casewright.voice.say_ratings import ask_rating, given_words
from casewright.voice.say_setup_words import big


def bearings_section(view: SetupView, style: Style) -> Section | None:
    """Heat, life and static safety: estimates beside the sheet's windows."""
    if not view.heat and not view.bearing_places and not view.loads:
        return None
    blocks: list[Block] = []
    for line in view.heat:
        blocks += _heat(line, style)
    for one in view.loads:
        blocks += _loads(one, style)
    blocks += [_life(line) for line in view.lives]
    if view.undutied:
        names = ", ".join(name for _, name in view.undutied)
        blocks.append(
            Say(
                f"Torque and speed of the {names}: no load on the bearings is told for it, and no "
                "life or static safety. Nothing else depends on them.", "gap",
            )
        )  # fmt: skip
        asks = tuple(_ask_duty(key, name) for key, name in view.undutied)
        blocks.append(Fold("Torque and speed, as the owner or the manual says", asks))
    if view.bearing_places:
        asks = tuple(
            ask_rating(big(one.name), one.position, one.known, style) for one in view.bearing_places
        )
        blocks.append(Fold("Life of a bearing, from its maker's figures", asks))
    return Section("bearings", "Bearings", tuple(blocks))


def _force(newtons: float, style: Style) -> str:
    """Loads are estimates: three digits of them, whole newtons or pounds."""
    places = 2 if style.unit("force") in ("kN", "kgf") else 0
    return say(float(f"{newtons:.3g}"), "force", style, places)


def _heat(line: HeatLine, style: Style) -> list[Block]:
    if line.low is None or line.high is None:
        return [Say(f"{big(line.gap)}.", "gap")]
    looser = line.low + line.high > 0
    low, high = sorted((abs(line.low), abs(line.high)))
    amount = say(high, "length", style)
    if low != high:
        amount = f"{say(low, 'length', style).rsplit(' ', 1)[0]} to {amount}"
    effect = f"a pair set cold {'loses preload' if looser else 'gains preload'} at work"
    if line.hold is not None and line.changes[0] < 0 < line.changes[1]:
        effect = "which way it goes hangs on how far the cups follow the housing"
    text = (
        f"{big(line.name)}: from cold to 40 K warmer the play grows "
        f"{'larger' if looser else 'smaller'} by {amount} at most: {effect}. "
        "The sheet's cold window rules."
    )
    folds = (Fold("Working", (Facts(working_rows(line.working, style)),)),) if line.working else ()
    return [Say(text, "estimate"), *_newtons(line, style), *folds]


def _newtons(line: HeatLine, style: Style) -> list[Block]:
    """The change of preload in newtons, or what the sheet would have to hold for it."""
    if line.hold is None:
        gap = line.spring_gap or "both rows' contact angle, rollers and roller length"
        return [Say(f"{big(gap)}: the change isn't told in newtons.", "gap")]
    blocks: list[Block] = [Say(_hold_words(line, style), "estimate")]
    if line.settings:
        rows = tuple(_warm_row(one, style) for one in line.settings)
        blocks.append(Table("Cold and at work", ("Set cold", "At work, 40 K warmer"), rows))
    return blocks


def _hold_words(line: HeatLine, style: Style) -> str:
    assert line.hold is not None
    low, high = (_force(end, style) for end in line.hold)
    between = "for a cup that follows the housing not at all and wholly"
    if line.changes[0] >= 0:
        words = f"heat takes up to {high} of cold preload away ({low} to {high}, {between})"
    elif line.changes[1] <= 0:
        words = f"set to no play and no preload cold, the pair comes to {low} to {high} at work"
    else:
        words = f"heat may loosen or tighten the pair, by up to {high} ({between})"
    stiff = ""
    if line.stiffness:
        per = _force(line.stiffness * 1e-5, style)
        stiff = f" Near there 0.01 mm is about {per}: a pair this stiff is set by torque or play."
    return f"{big(line.name)}: {words}.{stiff} A housing that gives makes it less."


def _warm_row(one: WarmPreload, style: Style) -> tuple[Cell | str, ...]:
    parts = []
    if one.preload[1] > 0:
        low, high = (_force(end, style) for end in one.preload)
        parts.append(f"preload {low}" if low == high else f"preload {low} to {high}")
    if one.play[1] > 0:
        low, high = (say(end, "length", style) for end in one.play)
        parts.append(f"play {low}" if low == high else f"play {low} to {high}")
    cold = _force(one.cold_preload, style) if one.cold_preload else ""
    cold = cold or f"play {say(one.cold_play, 'length', style)}"
    return (Cell(cold, "", one.words), ", or ".join(parts) or "no play and no preload")


def _loads(line: LoadLine, style: Style) -> list[Block]:
    """A shaft's bearings under its mesh's duty; or what is missing to tell."""
    title = f"{big(line.name)}, {line.mesh} driving"
    if line.missing:
        missing = "; ".join(line.missing)
        return [Say(f"{title}: life and static safety aren't told. Missing: {missing}.", "gap")]
    rows = tuple(_carried(one, style) for one in line.bearings)
    columns = ("Bearing", "Radial", "Axial", "Nine in ten reach", "Static safety")
    blocks: list[Block] = [
        Table(title, columns, rows),
        Say("Life by ISO 281, static safety by ISO 76: an estimate, the maker's limits rule. Under "
            "1 dents stay; shocks want 2 or more.", "estimate"),
    ]  # fmt: skip
    if line.working is not None:
        blocks.append(Fold("Working", (Facts(working_rows(line.working, style)),)))
    return blocks


def _carried(one: Carried, style: Style) -> tuple[Cell | str, ...]:
    life = f"{one.revolutions / 1e6:.0f} million turns" if one.revolutions else "not told"
    if one.hours is not None:
        life = "over 100 000 h" if one.hours > 1e5 else f"{one.hours:,.0f} h".replace(",", " ")
    safety = "not told" if one.safety is None else f"{one.safety:.1f}"
    low = one.safety is not None and one.safety < 1
    gap = f"no {one.gap} in the sheet" if one.gap else ""
    return (
        Cell(one.name, "gap" if one.gap else "", gap), _force(one.radial, style),
        _force(one.axial, style), life, Cell(safety, "bad" if low else ""),
    )  # fmt: skip


def _ask_duty(key: str, name: str) -> Ask:
    """Torque or power at a speed, typed at the bench; kept with the sheet of this job."""
    ways = (("clockwise", "clockwise"), ("counter-clockwise", "counter-clockwise"))
    fields = (
        Field("item.power", "Power at the pinion", "text", hint="like 30 kW or 40 hp; or torque"),
        Field("item.torque", "or torque on the pinion shaft", "text", hint="like 95 N·m"),
        Field("item.speed", "Speed of the pinion shaft", "text", hint="like 2800 rpm"),
        Field("item.thrust", "Propeller's thrust on the gear's shaft", "text",
              hint="like 3 kN, + towards the end of the drawing, - the other way"),
        Field("item.turns", "Pinion turns, seen from its heel to the crossing", "choice",
              choices=ways, hint="spiral teeth need it"),
        Field("item.source", "Who says so", "text"),
    )  # fmt: skip
    return Ask(
        "sheet-added", big(name), "Keep and reckon", fields,
        {"table": "duties", "item": {"mesh": key}},
    )  # fmt: skip


def _life(line: LifeLine) -> Say:
    if line.trouble:
        return Say(f"{big(line.name)}: {line.trouble}.", "unsure")
    said = [f"{(line.revolutions or 0) / 1e6:.0f} million turns that nine in ten reach"]
    if line.hours is not None:
        said.append(f"{line.hours:.0f} h at the speed given")
    if line.safety is not None:
        said.append(f"static safety {line.safety:.1f}")
    words = f"{big(line.name)}: {', '.join(said)}.{given_words(line.given)}"
    return Say(words, "estimate")
