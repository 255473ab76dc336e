"""Set-up: adjusters that are turned."""

from __future__ import annotations

from casewright.phases.setup import SetupView, SideEffect, TurnedLine, side_effects
from casewright.reasoning.shim_adjusters import NextSetting, turns_for_move
from casewright.units import write
from casewright.voice.document import Block, Caution, Say, Section, Table
from casewright.voice.quantities import Style, say, say_pm

WAY = {
    "in": "turn it in (tighter)", "out": "turn it out (slacker)", "there": "leave it",
    "new part": "a new part", "": "read first", "too": "moves it too",
}  # fmt: skip


def turned_section(view: SetupView, style: Style) -> Section | None:
    """Sleeve, nut and ring: which way, how far, learned from this leg's own trials."""
    if not view.turned:
        return None
    rows = tuple(
        (
            line.adjuster.name, line.response.name, line.limits.printed,
            _last(line, style),
            f"{WAY[line.way]}: {line.why}", how_far(line, style),
        )
        for line in view.turned
    )  # fmt: skip
    columns = ("Adjuster", "Sets", "Window", "Read", "Which way", "How far")
    pitched = any(line.pitch for line in view.turned)
    note = Say(
        "How much a turn gives is learned from two readings at two settings of this leg. A torque "
        "is never computed: friction laws are no better than half as much again."
        + (" Where the sheet has the pitch, turns, degrees and mm are one." if pitched else "")
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


def _last(line: TurnedLine, style: Style) -> str:
    near = style.near(line.limits)
    return say(line.last.mean if line.last else None, line.limits.dimension, near)


def how_far(line: TurnedLine, style: Style) -> str:
    """The next step in the setting's own unit, and what it is good for."""
    if not line.sets:
        return "read it again after each turn"
    if line.rate is None and line.trials > 1:
        return "no rate from these settings: two that differ are needed, and more is further in"
    if line.rate is None or line.move is None:
        return f"{line.trials} of two trials with their setting recorded"
    rate = line.rate.rate * line.sign
    step, per = _one(line), f"1 {line.unit}".replace("×", "turn")
    if line.dimension == "length":
        inches = style.unit("length") == "in"
        step, per = (25.4e-6, "0.001 in") if inches else (1e-5, "0.01 mm")
    dimension, length, style = line.limits.dimension, style.unit("length"), style.near(line.limits)
    origin = f"from {line.rate.trials} trials"
    if line.source != "trials":
        origin = f"{line.source}'s rate and the pitch: an estimate until two trials tell"
    learned = (
        f"{say_pm(rate * step, line.rate.deviation * step, dimension, style)} for {per}, {origin}"
    )
    return f"{_move_words(line, line.move, length)}; {learned}"


def _one(line: TurnedLine) -> float:
    from casewright.units import parse

    return parse(f"1 {line.unit}", line.dimension, line.unit).value


def _move_words(line: TurnedLine, move: NextSetting, length: str) -> str:
    if move.word == "stop":
        return "stop here"
    if move.word == "new sleeve":
        return "a new sleeve"
    way = "in" if move.move > 0 else "out"
    unit = length if line.dimension == "length" else line.unit
    amount = write(abs(move.move), line.dimension, unit)
    if line.dimension == "count":
        amount = f"{abs(move.move):.2f} turns"
    elif line.dimension == "length" and line.pitch:
        turns = turn_words(abs(move.move), line.pitch, line.adjuster.notches, length)
        amount = f"{turns} ({amount})"
    return f"{amount} further {way} ({move.reason})"


def turn_words(travel: float, pitch: float, notches: int, length: str = "mm") -> str:
    """Travel along a thread as turns, degrees and whole notches; what they miss in `length`.

    >>> turn_words(0.25e-3, 1.5e-3, 24)
    '0.17 turns, 60°, 4 notches'
    """
    turns, steps, missed = turns_for_move(travel, pitch, notches)
    said = f"{turns:.2f} turns, {360 * turns:.0f}°"
    if notches:
        said += f", {steps} notch{'' if steps == 1 else 'es'}"
        if abs(missed) > 1e-6:
            way = "short of" if missed > 0 else "past"
            said += f", {write(abs(missed), 'length', length)} {way} it"
    return said


def effect_words(effect: SideEffect, style: Style) -> str:
    """What a turn does to a reading that another adjuster sets."""
    name = effect.line.response.name
    if effect.after is None or effect.line.last is None or effect.back is not None:
        return f"It moves the {name} too: read that again after it."
    dimension, near = effect.line.limits.dimension, style.near(effect.line.limits)
    now, after = (say(value, dimension, near) for value in (effect.line.last.mean, effect.after))
    return f"It moves the {name} too, from {now} to about {after}: read that again after it."


def slacken_words(effect: SideEffect, style: Style) -> str:
    """The setter goes back first where a turn would take more play than there is; "" else."""
    if effect.back is None:
        return ""
    setter = effect.setter
    length = style.unit("length")
    far = write(abs(effect.back), "length", length)
    if setter.pitch:
        far = turn_words(abs(effect.back), setter.pitch, setter.adjuster.notches, length)
    way = "out" if effect.back < 0 else "in"
    return (
        f"First turn the {setter.adjuster.name} {way} by about {far}: there is less "
        f"{effect.line.response.name} than this turn takes, and the bearings would be squeezed."
    )


def effects(line: TurnedLine, view: SetupView, style: Style) -> list[Block]:
    """What the turn does besides, and what has to be slackened before it."""
    blocks: list[Block] = []
    for effect in side_effects(line, view.turned):
        if slack := slacken_words(effect, style):
            blocks.append(Caution(slack))
        blocks.append(Say(effect_words(effect, style)))
    return blocks
