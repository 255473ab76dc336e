"""Set-up's bench card: the one next thing, why, the danger, and the form that records it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from casewright.phases.setup import (
    PatternLine,
    ResponseLine,
    SeatLine,
    SetupView,
    first_to_turn,
)
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
from casewright.voice.say_setup_final import (
    final_packs_card,
    final_pattern_card,
    final_readings_card,
    outside_card,
    stop_card,
)
from casewright.voice.say_setup_readings import ask_reading, how_to_read
from casewright.voice.say_setup_seats import (
    ask_sign,
    dry_asks,
    pack_asks,
    sign_blocks,
)
from casewright.voice.say_setup_witness import (
    WAY,
    effects,
    how_far,
)
from casewright.voice.say_setup_words import (
    HANDS,
    big,
    change_words,
    interval,
    named,
    occasion_words,
    price_words,
    sizes_text,
    thickness,
)


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
    seat = view.next_seat
    assert seat is not None
    if seat.untold:
        return _untold_card(seat, view, style)
    blocks: list[Block] = [Say(_fit_words(seat, style), "lead"), Say(seat.adjuster.sits)]
    if seat.why_not:
        blocks.append(Say(f"Left as it is: {seat.why_not}.", "unsure"))
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
        blocks.append(Say(f"{left} more {'seat' if left == 1 else 'seats'} after this one."))
    pack = sizes_text(seat.advised_sizes, style, seat.advised_total)
    title = f"Fit at the {seat.adjuster.name}: {pack}"
    return Card(
        title, tuple(blocks), occasion_words(view.occasion), position=seat.adjuster.position
    )


def _untold_card(seat: SeatLine, view: SetupView, style: Style) -> Card:
    """No pack is told at this seat: what a person fits there is recorded, the others follow it."""
    blocks: tuple[Block, ...] = (
        Say(f"No pack is told here: {seat.why_not}.", "bad"),
        Say(f"{big(seat.adjuster.sits)}. Record what you fit: the other packs follow it."),
        Caution(HANDS),
        *pack_asks(seat, view.occasion, style, view),
    )
    title = f"Say what you fit at the {seat.adjuster.name}"
    return Card(title, blocks, occasion_words(view.occasion), position=seat.adjuster.position)


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
        last = next(one.why_not for one in reversed(line.now) if one.why_not)
        blocks.append(Say(f"A reading is kept already, but not counted: {last}.", "unsure"))
    blocks.append(Caution(HANDS))
    setter = next((one.adjuster.name for one in view.turned
                   if one.sets and one.response.key == line.response.key), "")  # fmt: skip
    blocks.append(ask_reading(line, view.occasion, style, setting=setter))
    left = sum(1 for one in view.lines if not one.read_now) - 1
    if left > 0:
        more = "reading" if left == 1 else "readings"
        blocks.append(Say(f"{left} more {more} after this one."))
    return Card(
        f"Read the {line.response.name}", tuple(blocks), occasion_words(view.occasion),
        line.response.key,
    )  # fmt: skip


def _turn_card(view: SetupView, style: Style) -> Card:
    line = first_to_turn(view.turned, tuple(one.response.key for one in view.lines))
    assert line is not None
    shown = next(one for one in view.lines if one.response.key == line.response.key)
    stands = f"{big(line.response.name)} is {line.why}: {WAY[line.way]}."
    if line.way == "new part":
        stands = f"{big(line.response.name)} is past its window: {line.why}."
    blocks: list[Block] = [Say(stands, "lead"), Say(how_far(line, style))]
    blocks += effects(line, view, style)
    if line.adjuster.kind == "crush-sleeve":
        blocks.append(
            Caution("The sleeve goes one way: little by little, reading each time, never back.")
        )
    blocks.append(ask_reading(shown, view.occasion, style, setting=line.adjuster.name))
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
    unread = [one for one in view.lines if not one.read_now]
    names = ", ".join(one.response.name for one in unread)
    early = f"Put it right before the rest is built: {names} not read yet."
    blocks += [Say(early if unread else price_words(view)), Caution(HANDS)]
    told, *other = pack_asks(seat, view.occasion, style, view)
    blocks += [told, Fold("Other shims went in", tuple(other))] if other else [told]
    if unread:
        forms = tuple(ask_reading(one, view.standing, style) for one in unread)
        blocks.append(Fold("It is built already: read on first", forms))
    return Card(
        "Take it apart and change packs", tuple(blocks), occasion_words(view.occasion),
        position=seat.adjuster.position,
    )  # fmt: skip


def _witness_card(line: PatternLine, view: SetupView) -> Card:
    """No gauge settles what the pattern says: look at it again, or follow it."""
    assert line.statement is not None
    blocks = (
        Say(f"Not sure: {'; '.join(line.statement.words)}.", "lead"),
        Say(price_words(view)),
        Say(
            "Clean, paint and turn again. If it stands, begin another trial with packs that follow "
            "it, or record in words why it stays."
        ),
        Link("To the pattern", "setup", "pattern"),
    )
    title = f"The pattern of the {line.name} speaks against it"
    return Card(title, blocks, occasion_words(view.occasion))


def _again_card(view: SetupView, style: Style) -> Card:
    against = next((one for one in view.patterns if one.veto), None)
    if against is not None and view.plan is not None and not view.plan.suspect:
        return _witness_card(against, view)
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
    "stop": stop_card,
    "stuck": _stuck_card,
    "final packs": final_packs_card,
    "final readings": final_readings_card,
    "final outside": outside_card,
    "final pattern": final_pattern_card,
}
