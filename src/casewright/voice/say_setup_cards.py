"""Set-up's bench card: the one next thing, why, the danger, and the form that records it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from casewright.phases.setup import ResponseLine, SeatLine, SetupView
from casewright.voice.document import (
    Ask,
    Block,
    Card,
    Caution,
    Facts,
    Fold,
    Link,
    Say,
)
from casewright.voice.quantities import Style, say_chance, say_minutes
from casewright.voice.quantities import say as say_value
from casewright.voice.say_setup_readings import ask_reading, how_to_read
from casewright.voice.say_setup_seats import (
    ask_sign,
    dry_asks,
    pack_asks,
    sign_blocks,
)
from casewright.voice.say_setup_witness import (
    WAY,
    how_far,
)
from casewright.voice.say_setup_words import (
    big,
    change_words,
    interval,
    named,
    occasion_words,
    sizes_text,
    thickness,
)

HANDS = "Battery and ignition disconnected before hands come near shafts, gears or propeller."


def card(view: SetupView, style: Style) -> Card | None:
    """The card of the stage that the bench is at; None where nothing is open."""
    return _CARDS[view.stage](view, style) if view.stage in _CARDS else None


def _sign_card(view: SetupView, style: Style) -> Card:
    open_walks = [walk for walk in view.walks if walk.open and not walk.against]
    walk = open_walks[0]
    rest = f"{len(open_walks) - 1} more after this." if len(open_walks) > 1 else "The last one."
    why = Say(f"Look at the leg, not at the manual: is it so? {rest}")
    sentence, *sources = sign_blocks(walk, style)
    blocks = (sentence, why, ask_sign(walk, style), *sources)
    title = f"Which way does the {walk.adjuster.name} go?"
    return Card(title, blocks, walk.adjuster.sits, walk.adjuster.position)


def _dry_card(view: SetupView, style: Style) -> Card:
    line = view.next_dry
    assert line is not None
    worth = (
        f"Takes {say_minutes(line.minutes)} and takes {line.narrowing:.2f} half windows off the "
        "doubt of the first guess: worth more per minute than any other reading left."
        if line.narrowing
        else f"Takes {say_minutes(line.minutes)}."
    )
    blocks = (Say(worth), *dry_asks(line, style))
    return Card(f"Measure old and new: {line.name}", blocks, position=line.position)


def _fit_card(view: SetupView, style: Style) -> Card:
    seat = next((one for one in view.seats if not one.recorded and one.advised), view.next_seat)
    assert seat is not None
    blocks: list[Block] = [Say(_fit_words(seat, style), "lead"), Say(seat.adjuster.sits)]
    blocks += _promise(view)
    if view.shelf is not None and not view.shelf.counted:
        blocks.append(Say("The shelf isn't counted: every size is taken as there.", "unsure"))
    blocks.append(Caution(HANDS))
    told, *others = pack_asks(seat, view.occasion, style, view)
    blocks.append(told)
    if others:
        blocks.append(Fold("Other shims went in", tuple(others)))
    left = sum(1 for one in view.seats if not one.recorded and one.advised) - 1
    if left > 0:
        blocks.append(Say(f"{left} more seats after this one."))
    pack = sizes_text(seat.advised_sizes, style, seat.advised_total)
    title = f"Fit at the {seat.adjuster.name}: {pack}"
    return Card(
        title, tuple(blocks), occasion_words(view.occasion), position=seat.adjuster.position
    )


def _fit_words(seat: SeatLine, style: Style) -> str:
    if seat.now is not None and seat.change:
        return f"{big(change_words(seat, style))}, at the {seat.adjuster.name}."
    if seat.now is not None:
        return f"The {seat.adjuster.name} stays as it is."
    if seat.as_found is None or not seat.as_found.sizes:
        return f"First guess for the {seat.adjuster.name}."
    more = sum(seat.advised_sizes) - seat.as_found.total
    if abs(more) < 5e-7:
        return "The same as came out."
    word = "more" if more > 0 else "less"
    return (
        f"{thickness(abs(more), style)} {word} than came out "
        f"({thickness(seat.as_found.total, style)})."
    )


def _promise(view: SetupView) -> list[Block]:
    best = view.plan.best if view.plan else None
    if best is None:
        return []
    return [Say(f"With all packs as told, all windows hold at once: {say_chance(best.chance)}.")]


def _read_card(view: SetupView, style: Style) -> Card | None:
    line = view.next_reading
    if line is None:
        return None
    blocks: list[Block] = [*how_to_read(line, style)]
    if line.added.needs and line.etched is not None:
        asks = [one for one in dry_asks(line.etched, style)
                if not (isinstance(one, Ask) and one.kind == "step-done")]  # fmt: skip
        why = Say("The gauge's reading means nothing without it: type 0 where none is etched.")
        return Card(
            f"Type the {line.etched.name} first", (why, *asks, *blocks),
            occasion_words(view.occasion),
        )  # fmt: skip
    if line.forecast is not None:
        shown = interval(line.forecast, line.limits.dimension, style.near(line.limits))
        blocks.append(Say(f"Expected, 19 times in 20: {shown}. Window {line.limits.printed}."))
    if any(one.why_not for one in line.now):
        blocks.append(Say("A reading is kept already, but its conditions weren't all said to hold.",
                          "unsure"))  # fmt: skip
    blocks.append(Caution(HANDS))
    turned = any(one.response.key == line.response.key for one in view.turned)
    blocks.append(ask_reading(line, view.occasion, style, setting=turned))
    left = sum(1 for one in view.lines if not one.read_now) - 1
    if left > 0:
        blocks.append(Say(f"{left} more readings after this one."))
    return Card(
        f"Read the {line.response.name}", tuple(blocks), occasion_words(view.occasion),
        line.response.key,
    )  # fmt: skip


def _turn_card(view: SetupView, style: Style) -> Card:
    wrong = [one for one in view.turned if one.way in ("in", "out", "new part")]
    # The adjuster that disturbs the fewest other responses goes first.
    line = min(wrong, key=lambda one: sum(x.adjuster == one.adjuster for x in view.turned))
    shown = next(one for one in view.lines if one.response.key == line.response.key)
    stands = f"{big(line.response.name)} is {line.why}: {WAY[line.way]}."
    if line.way == "new part":
        stands = f"{big(line.response.name)} is past its window: {line.why}."
    blocks: list[Block] = [Say(stands, "lead"), Say(how_far(line, style))]
    if line.adjuster.kind == "crush-sleeve":
        blocks.append(
            Caution("The sleeve goes one way: little by little, reading each time, never back.")
        )
    blocks.append(ask_reading(shown, view.occasion, style, setting=True))
    title = {"new part": f"Renew the {line.adjuster.name}"}.get(
        line.way, f"Turn the {line.adjuster.name} {line.way}"
    )
    return Card(title, tuple(blocks), occasion_words(view.occasion))


def _change_card(view: SetupView, style: Style) -> Card:
    """Take it apart: the first seat to change, what the trial costs, what it may bring."""
    seat = next(
        (one for one in view.seats if not one.recorded and one.change),
        next((one for one in view.seats if not one.recorded), None),
    )
    if seat is None:
        return _again_card(view, style)
    blocks: list[Block] = [Say(_fit_words(seat, style), "lead"), Say(seat.adjuster.sits)]
    others = [
        (one.adjuster.name, change_words(one, style)) for one in view.seats if one is not seat
    ]
    blocks.append(Facts(tuple(others), "The other seats"))
    blocks += [Say(price_words(view)), Caution(HANDS)]
    told, *other = pack_asks(seat, view.occasion, style, view)
    blocks += [told, Fold("Other shims went in", tuple(other))] if other else [told]
    return Card(
        "Take it apart and change packs", tuple(blocks), occasion_words(view.occasion),
        position=seat.adjuster.position,
    )  # fmt: skip


def price_words(view: SetupView) -> str:
    """What one more assembly costs against what it may bring."""
    stop = view.plan.stop if view.plan else None
    if stop is None:
        return ""
    return (
        f"In window now: {say_chance(stop.chance)}. With the best packs: "
        f"{say_chance(stop.chance_after)}. One more assembly takes "
        f"{say_minutes(view.trial_minutes)}, {view.trial_price:.0f} {view.currency}."
    )


def _again_card(view: SetupView, style: Style) -> Card:
    line = _to_read_again(view)
    stop = view.plan.stop if view.plan else None
    reasons = "; ".join(named(view, reason) for reason in stop.reasons) if stop else ""
    blocks: list[Block] = [Say(f"Not sure: {reasons}.", "lead")]
    if stop is not None:
        blocks.append(Say(price_words(view)))
    if line is None:
        return Card("Read again", tuple(blocks), occasion_words(view.occasion))
    blocks += [*how_to_read(line, style), Caution(HANDS), ask_reading(line, view.occasion, style)]
    return Card(
        f"Not sure: read the {line.response.name} again", tuple(blocks),
        occasion_words(view.occasion), line.response.key,
    )  # fmt: skip


def _to_read_again(view: SetupView) -> ResponseLine | None:
    """The suspect; else the response read least often and least sure."""
    if view.plan and view.plan.suspect:
        return next((x for x in view.lines if x.response.key == view.plan.suspect), None)
    told = [line for line in view.lines if line.forecast is not None]
    return min(told, key=_doubt_first, default=None)


def _doubt_first(line: ResponseLine) -> tuple[bool, int, float]:
    """In doubt before sure, seldom read before often."""
    chance = line.forecast.chance if line.forecast else 1.0
    return chance > 0.95, sum(one.counts for one in line.now), chance


def _stop_card(view: SetupView, style: Style) -> Card:
    stop = view.plan.stop if view.plan else None
    chance = f": {say_chance(stop.chance)}" if stop else ""
    seat = next((one for one in view.seats if one.final is None and one.now), None)
    blocks: list[Block] = [
        Say(f"All windows hold{chance}.", "good"),
        Say("Now the final build: one-time parts, compound, seals. Then every reading again."),
        Caution(HANDS),
    ]
    if stop is not None:
        blocks.insert(1, Say(price_words(view)))
    if seat is not None:
        blocks.append(_same_pack(seat))
    return Card("In window: stop. Build it for good", tuple(blocks), occasion_words(view.occasion))


def _same_pack(seat: SeatLine) -> Ask:
    pack = seat.now or seat.as_found
    fixed: dict[str, object] = {"adjuster": seat.adjuster.key, "occasion": "final"}
    if pack is not None:
        fixed |= {"shims": pack.texts, "measured": pack.measured}
    return Ask(
        "pack-fitted", f"{big(seat.adjuster.name)}, final build", "Same pack is in", (), fixed
    )


def _final_packs_card(view: SetupView, style: Style) -> Card:
    seat = next(one for one in view.seats if one.final is None and (one.now or one.as_found))
    pack = seat.now or seat.as_found
    assert pack is not None
    why = Say("The final build stands apart from the trials: record what really went in.")
    title = f"Final build: {seat.adjuster.name}, {sizes_text(pack.sizes, style)}"
    return Card(title, (why, _same_pack(seat)), "final build", seat.adjuster.position)


def _final_readings_card(view: SetupView, style: Style) -> Card:
    line = next(one for one in view.lines if not one.final_read)
    why = Say(
        f"{big(line.final.why)}: it moves this, so read it again." if line.final.why else
        "New one-time parts and compound can move it: the trial's reading doesn't count here.",
        "unsure" if line.final.why else "plain",
    )  # fmt: skip
    blocks = (why, *how_to_read(line, style), Caution(HANDS), ask_reading(line, "final", style))
    title = f"Final build: read the {line.response.name}"
    return Card(title, blocks, "final build", line.response.key)


def _outside_card(view: SetupView, style: Style) -> Card:
    line = next(one for one in view.lines if one.final.word == "outside")
    said = say_value(line.final.mean, line.limits.dimension, style.near(line.limits))
    blocks = (
        Say(f"{big(line.response.name)} reads {said}; window {line.final.limits.printed}.", "bad"),
        Say("Read it again. If it stands, open the build and change packs as a new trial."),
        ask_reading(line, "final", style),
    )
    return Card(f"Final build is out of window: {line.response.name}", blocks, "final build")


def _final_pattern_card(view: SetupView, style: Style) -> Card:
    line = next(one for one in view.patterns if one.veto)
    assert line.statement is not None
    blocks = (
        Say(f"Every window holds, but: {'; '.join(line.statement.words)}.", "bad"),
        Say(
            "Clean, paint and turn again. If the pattern stands, open the build for a new trial, "
            "or record in words why it stays."
        ),
        Link("To the pattern", "setup", "pattern"),
    )
    return Card(f"The pattern of the {line.name} speaks against it", blocks, "final build")


def _stuck_card(view: SetupView, style: Style) -> Card | None:
    out = [line for line in view.lines if line.read_now and line.limits.known]
    if not out:
        return None
    text = view.plan.trouble if view.plan and view.plan.trouble else "no pack can be told from here"
    return Card("Outside its window, and no pack can be told", (Say(big(text) + ".", "bad"),))


_CARDS: Mapping[str, Callable[[SetupView, Style], Card | None]] = {
    "signs": _sign_card,
    "dry": _dry_card,
    "fit": _fit_card,
    "read": _read_card,
    "turn": _turn_card,
    "change": _change_card,
    "again": _again_card,
    "stop": _stop_card,
    "stuck": _stuck_card,
    "final packs": _final_packs_card,
    "final readings": _final_readings_card,
    "final outside": _outside_card,
    "final pattern": _final_pattern_card,
}
