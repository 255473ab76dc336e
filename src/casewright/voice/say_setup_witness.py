"""Set-up: adjusters that are turned, the contact pattern as a second witness, bearings."""

from __future__ import annotations

from casewright.phases.setup import PatternLine, SetupView, TurnedLine
from casewright.reasoning.shim_adjusters import NextSetting, turns_for_move
from casewright.units import write
from casewright.voice.document import Ask, Block, Caution, Field, Fold, Say, Section, Table
from casewright.voice.draw_contact import gallery_picture, seen_pattern
from casewright.voice.quantities import Style, say, say_pm
from casewright.voice.say_setup_words import big, occasion_words

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


def how_far(line: TurnedLine, style: Style) -> str:
    """The next step in the setting's own unit, and what it is good for."""
    if line.rate is None or line.move is None:
        return f"{line.trials} of two trials with their setting recorded"
    rate = line.rate.rate * line.sign
    step = 1e-5 if line.dimension == "length" else _one(line)
    per = "0.01 mm" if line.dimension == "length" else f"1 {line.unit}".replace("×", "turn")
    dimension = line.limits.dimension
    origin = f"from {line.rate.trials} trials"
    if line.source != "trials":
        origin = f"{line.source}'s rate and the pitch: an estimate until two trials tell"
    learned = (
        f"{say_pm(rate * step, line.rate.deviation * step, dimension, style)} for {per}, {origin}"
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
    if line.dimension == "count":
        amount = f"{abs(move.move):.2f} turns"
    elif line.dimension == "length" and line.pitch:
        amount = f"{turn_words(abs(move.move), line.pitch, line.adjuster.notches)} ({amount})"
    return f"{amount} further {way} ({move.reason})"


def turn_words(travel: float, pitch: float, notches: int) -> str:
    """Travel along a thread as turns, degrees and whole notches.

    >>> turn_words(0.25e-3, 1.5e-3, 24)
    '0.17 turns, 60°, 4 notches'
    """
    turns, steps, missed = turns_for_move(travel, pitch, notches)
    said = f"{turns:.2f} turns, {360 * turns:.0f}°"
    if notches:
        said += f", {steps} notch{'' if steps == 1 else 'es'}"
        if abs(missed) > 1e-6:
            said += f" ({abs(missed) * 1e3:.3f} mm {'short' if missed > 0 else 'past'} it)"
    return said


def pattern_section(view: SetupView) -> Section | None:
    """What the compound shows, flank by flank, and what it may say."""
    if not view.patterns:
        return None
    blocks: list[Block] = [
        Say(
            "A second witness beside height and lash: it gives a direction and can forbid to stop. "
            "It gives shims only once two known moves were seen on this leg."
        )
    ]
    for line in view.patterns:
        blocks += _mesh(line)
        blocks.append(Fold(f"Record the pattern of the {line.name}", (ask_pattern(line, view),)))
    return Section("pattern", "Contact pattern", tuple(blocks))


def _mesh(line: PatternLine) -> list[Block]:
    blocks: list[Block] = []
    if line.seen is not None and line.statement is not None:
        words = line.witness.words if line.witness else line.statement.words
        tone = "bad" if line.veto else "plain"
        when = occasion_words(line.seen.body.occasion)
        blocks.append(
            Say(f"{big(line.name)}, {when}: {'; '.join(words)}.", tone)  # type: ignore[arg-type]
        )
    if line.seen is not None or line.gallery is not None:
        blocks.append(seen_pattern(line))
    if line.moves is not None:
        blocks.append(Say(_moves(line), "estimate"))
    elif line.learning and line.seen is not None:
        blocks.append(Say(f"No shims from this pattern: {line.learning}"))
    blocks += _gallery(line)
    return blocks


def _moves(line: PatternLine) -> str:
    moves = line.moves
    assert moves is not None
    said = [
        f"{member} {abs(size) * 1e3:.2f} ± {doubt * 1e3:.2f} mm {'out' if size > 0 else 'in'}"
        for member, size, doubt in (
            ("pinion", moves.pinion, moves.pinion_deviation),
            ("gear", moves.gear, moves.gear_deviation),
        )
    ]
    return f"by what two known moves taught on this leg: {', '.join(said)}"


def _gallery(line: PatternLine) -> list[Block]:
    if line.gallery is None:
        return [Say(f"{big(line.gallery_gap)}.", "gap")]
    note = Say(
        f"From drawn flanks, {line.gallery.assumed}. True flanks are the maker's and differ: "
        "use the directions, not the places.",
        "estimate",
    )
    pictures = tuple(gallery_picture(line.gallery, one) for one in line.gallery.pictures)
    return [Fold(f"What to expect for 0.10 mm more or less, {line.name}", (note, *pictures))]


def ask_pattern(line: PatternLine, view: SetupView) -> Ask:
    """Centres of the marked patches in per cent of the gear's tooth."""
    along = "0 toe, 50 middle, 100 heel"
    up = "0 root, 50 middle, 100 top"
    fields = (
        Field("drive_along", "Drive flank: along", "number", hint=along),
        Field("drive_up", "Drive flank: up", "number", hint=up),
        Field("coast_along", "Coast flank: along", "number", hint=along),
        Field("coast_up", "Coast flank: up", "number", hint=up),
        Field("words", "In words", "text", hint="light brake, how many teeth were painted"),
    )
    occasion = view.occasion
    return Ask(
        "pattern-seen", f"{big(line.name)}: middle of the patch on the gear", "Record",
        fields, {"mesh": line.mesh, "occasion": occasion},
        caution="Turn by hand only, engine and battery locked out, fingers clear of the teeth.",
    )  # fmt: skip
