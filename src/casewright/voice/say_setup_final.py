"""Set-up's last cards: stop, the final build's packs and readings, and what stands against it."""

from __future__ import annotations

from dataclasses import replace

from casewright.phases.setup import ResponseLine, SeatLine, SetupView, TurnedLine
from casewright.voice.document import Ask, Block, Card, Caution, Field, Fold, Link, Say
from casewright.voice.quantities import Style, say_chance
from casewright.voice.quantities import say as say_value
from casewright.voice.say_setup_readings import ask_reading, how_to_read
from casewright.voice.say_setup_witness import WAY, effects, how_far
from casewright.voice.say_setup_words import (
    HANDS,
    big,
    occasion_words,
    price_words,
    sizes_text,
)


def stop_card(view: SetupView, style: Style) -> Card:
    """In window: the trials are over, and what no forecast covers is told as read."""
    stop = view.plan.stop if view.plan else None
    chance = f": {say_chance(stop.chance)}" if stop else ""
    seat = next((one for one in view.seats if one.final is None and one.now), None)
    turned = _as_read(view, style) if stop else []
    blocks: list[Block] = [
        Say(f"{'The windows that packs set' if turned else 'All windows'} hold{chance}.", "good"),
        *turned,
        Say("Now the final build: one-time parts, compound, seals. Then every reading again."),
        Caution(HANDS),
    ]
    if stop is not None:
        blocks.insert(1 + len(turned), Say(price_words(view)))
    if seat is not None:
        blocks.append(_same_pack(seat))
    return Card("In window: stop. Build it for good", tuple(blocks), occasion_words(view.occasion))


def _as_read(view: SetupView, style: Style) -> list[Block]:
    """Responses that no forecast covers, as read; at an edge the gauge can't tell in from out."""
    blocks: list[Block] = []
    for line in view.lines:
        if line.forecast is not None or not line.limits.known or not line.read_now:
            continue
        mean = next(one.mean for one in reversed(line.now) if one.counts)
        ends = [end for end in (line.limits.low, line.limits.high) if end is not None]
        edge = min(abs(mean - end) for end in ends) < line.doubt
        said = say_value(mean, line.limits.dimension, style.near(line.limits))
        words = f"{big(line.response.name)} was read inside its window: {said}"
        more = ", so near the edge that the gauge can't tell. Bring it towards the middle"
        blocks.append(Say(words + (more if edge else "") + ".", "unsure" if edge else "plain"))
    return blocks


def _same_pack(seat: SeatLine) -> Ask:
    pack = seat.now or seat.as_found
    fixed: dict[str, object] = {"adjuster": seat.adjuster.key, "occasion": "final"}
    if pack is not None:
        fixed |= {"shims": pack.texts, "measured": pack.measured}
    return Ask(
        "pack-fitted", f"{big(seat.adjuster.name)}, final build", "Same pack is in", (), fixed
    )


def final_packs_card(view: SetupView, style: Style) -> Card:
    """The packs of the last assembly, seat by seat, recorded for the final build."""
    seat = next(one for one in view.seats if one.final is None and (one.now or one.as_found))
    pack = seat.now or seat.as_found
    assert pack is not None
    why = Say("The final build stands apart from the trials: record what really went in.")
    title = f"Final build: {seat.adjuster.name}, {sizes_text(pack.sizes, style)}"
    return Card(title, (why, _same_pack(seat)), "final build", seat.adjuster.position)


def final_readings_card(view: SetupView, style: Style) -> Card:
    """The next reading of the final build."""
    line = next(one for one in view.lines if not one.final_read)
    why = Say(
        f"{big(line.final.why)}: it moves this, so read it again." if line.final.why else
        "New one-time parts and compound can move it: the trial's reading doesn't count here.",
        "unsure" if line.final.why else "plain",
    )  # fmt: skip
    blocks = (why, *how_to_read(line, style), Caution(HANDS), ask_reading(line, "final", style))
    title = f"Final build: read the {line.response.name}"
    return Card(title, blocks, "final build", line.response.key)


def outside_card(view: SetupView, style: Style) -> Card:
    """A final reading outside: read again, then turned where it is, or opened for a trial."""
    line = next(one for one in view.lines if one.final.word == "outside")
    said = say_value(line.final.mean, line.limits.dimension, style.near(line.limits))
    found = f"{big(line.response.name)} reads {said}; window {line.final.limits.printed}."
    wrong = (one for one in view.turned if one.sets and one.wrong)
    turned = next((one for one in wrong if one.response.key == line.response.key), None)
    then = _turn_in_place(turned, view, style) if turned else _open_again(line, view, style)
    again = ask_reading(line, "final", style)
    blocks: tuple[Block, ...] = (Say(found, "bad"), Say("Read it again first."), again, *then)
    return Card(f"Final build is out of window: {line.response.name}", blocks, "final build")


def _turn_in_place(line: TurnedLine, view: SetupView, style: Style) -> tuple[Block, ...]:
    """If it stands, the final build is turned as it is; what that moves is read again."""
    setting = Field("setting", "Where it stands now", "text", needed=True,
                    hint="like 2.25 turns, 90° or 3 notches; more is further in")  # fmt: skip
    fixed: dict[str, object] = {"adjuster": line.adjuster.key, "occasion": "final"}
    name = line.adjuster.name
    return (
        Say(f"If it stands: {WAY[line.way]}, the {name}. {big(how_far(line, style))}."),
        *effects(line, view, style),
        Ask("pack-fitted", f"{big(name)}, final build", "It is turned", (setting,), fixed),
    )


def _open_again(line: ResponseLine, view: SetupView, style: Style) -> tuple[Block, ...]:
    """If it stands, the build is a new trial with its packs, and this its first reading."""
    words = occasion_words(view.following)
    ask = ask_reading(line, view.following, style)
    say = Say(
        f"Record it as the first reading of {words}. Read the others too: they tell the packs."
    )
    titled = replace(ask, title=f"{ask.title}, {words}", button="Open the build: record")
    return (Fold(f"It stands: open the build as {words}", (say, titled)),)


def final_pattern_card(view: SetupView, style: Style) -> Card:
    """The pattern speaks against a build whose windows all hold."""
    line = next(one for one in view.patterns if one.veto)
    assert line.statement is not None
    blocks = (
        Say(f"Every window holds, but: {'; '.join(line.statement.words)}.", "bad"),
        Say(
            "Clean, paint and turn again. If the pattern stands, open the build for a new trial, "
            "or record in words why it stays."
        ),
        Link("To the pattern", "setup", "pattern"),
        Link("To the packs", "setup", "packs"),
    )
    return Card(f"The pattern of the {line.name} speaks against it", blocks, "final build")
