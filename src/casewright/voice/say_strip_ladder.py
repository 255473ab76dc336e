"""A stuck joint in full: its ladder, what it is worth against other ways, what it stands on."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.strip import StripView, StuckView
from casewright.reasoning.ladder_compare import CloseCall, Saving
from casewright.reasoning.ladder_explain import sentence
from casewright.reasoning.ladder_plan import LadderPlan, PlanStep
from casewright.voice.document import Block, Cell, Facts, Fold, Say, Table
from casewright.voice.draw_strip import draw_ladder
from casewright.voice.quantities import Style, say_chance, say_minutes, working_rows
from casewright.voice.say_strip_bars import bars, rung_name, trouble
from casewright.voice.say_strip_card import amount
from casewright.voice.say_strip_forms import (
    ask_attempt_in_full,
    ask_chance,
    ask_family,
    ask_list,
    ask_minutes,
    ask_stop,
    ask_waiting,
)

OUTCOMES = {
    "released": "came free", "held": "held", "prepared": "prepared", "abandoned": "stopped here",
}  # fmt: skip


def ladder_blocks(view: StripView, stuck: StuckView, style: Style) -> tuple[Block, ...]:
    """Everything about one stuck joint."""
    blocks: list[Block] = [_tried(stuck)] if stuck.tries else []
    if stuck.locked:
        blocks.append(Say(f"No force yet: {stuck.locked}.", "bad"))
    if stuck.plan is None:
        ask = () if stuck.family else (ask_family(stuck.joint),)
        blocks += [trouble(stuck), *bars(stuck), *ask]
        return (*blocks, *_changing(view, stuck))
    blocks += _changed(stuck)
    blocks += _waiting(view, stuck.plan)
    blocks += [_summary(view, stuck, stuck.plan), *_compared(view, stuck)]
    whole: tuple[Block, ...] = (
        _table(view, stuck.plan), draw_ladder(stuck.plan), *_left_out(view, stuck),
        *_turns(stuck.plan), *_calls(view, stuck), _pieces(view, stuck),
        *_reasons(view, stuck.plan),
        Facts(_working(view, stuck.plan, style), "Working"),
        Say("Methods and their order are common practice; chances, minutes and shares are "
            "invented until the shop sets its own. The maker's manual, local codes and licensed "
            "practice come first.", "estimate"),
    )  # fmt: skip
    rungs = len(stuck.plan.steps)
    blocks.append(Fold(f"The whole ladder: {rungs} step{'s' if rungs != 1 else ''}", whole))
    return (*blocks, *_changing(view, stuck))


def _working(view: StripView, plan: LadderPlan, style: Style) -> tuple[tuple[str, str], ...]:
    """The working with the job's currency where it says money."""
    rows = working_rows(plan.working, style)
    return tuple((label, text.replace(" money", f" {view.currency}")) for label, text in rows)


def _tried(stuck: StuckView) -> Table:
    rows = tuple(
        (
            rung_name(stuck, kept.body.rung),
            Cell(OUTCOMES[kept.body.outcome], "good" if kept.body.outcome == "released" else ""),
            say_minutes(kept.body.minutes) if kept.body.minutes is not None else "",
            kept.body.words,
        )
        for kept in stuck.tries
    )
    return Table("Tried so far", ("Method", "What came of it", "Minutes", "In words"), rows)


def _changed(stuck: StuckView) -> Iterator[Block]:
    """What the latest entry changed in this ladder."""
    if stuck.before is None or stuck.plan is None:
        return
    tried = stuck.tries[-1].body.rung if stuck.tries else ""
    old = list(stuck.before)
    if old[:1] == [tried]:
        old = old[1:]
    if tuple(old) != stuck.plan.order:
        names = [rung_name(stuck, rung) for rung in old]
        was = "; ".join(names) or "stop"
        yield Say(f"The latest entry changed this ladder. Before it, what is left read: {was}.")


def _waiting(view: StripView, plan: LadderPlan) -> Iterator[Block]:
    """Where nobody has said what waiting costs, what it is counted as, and the form to say it."""
    if view.waiting_assumed is not None and any(step.wait for step in plan.steps):
        day = amount(view.waiting_assumed, view.currency)
        yield Say(
            f"What a day of waiting costs isn't said: counted as {day}, half a bench hour, "
            "assumed. Soaking over night hangs on it.", "unsure",
        )  # fmt: skip
        yield ask_waiting(view.currency)


def _summary(view: StripView, stuck: StuckView, plan: LadderPlan) -> Say:
    out, money = plan.outlook, view.currency
    return Say(
        f"Chance to have it free from here: {say_chance(out.released)}. On average "
        f"{amount(out.mean, money)} in time and harm, one in ten dearer than "
        f"{amount(out.one_in_ten, money)}; {say_minutes(out.minutes)} of work"
        f"{_wait(out.waiting)}.",
        "estimate",
    )


def _work(usual: float, planned: float) -> str:
    if abs(usual - planned) < 1:
        return ", in harm and waiting"
    return f" ({say_minutes(usual)} of work instead of {say_minutes(planned)})"


def _wait(minutes: float) -> str:
    return f", with {say_minutes(minutes)} of waiting" if minutes >= 1 else ""


def _compared(view: StripView, stuck: StuckView) -> Iterator[Block]:
    """The usual order beside the plan, and what saving each piece costs."""
    if stuck.usual is not None and stuck.plan is not None:
        plan, gentle = stuck.plan.outlook, stuck.usual
        dearer = gentle.mean - plan.mean
        if dearer < 0.5:
            yield Say("The usual order from gentle to rough would cost as much on this job.")
        else:
            yield Say(
                f"The usual order from gentle to rough would cost {amount(dearer, view.currency)} "
                f"more on average on this job{_work(gentle.minutes, plan.minutes)}."
            )
    names = {piece.id: piece.name for piece in stuck.pieces}
    for saving in stuck.savings:
        if saving.possible and abs(saving.minutes) < 1 and abs(saving.money) < 1:
            continue
        yield Say(_saving(names.get(saving.piece, saving.piece), saving, view.currency))


def _saving(name: str, saving: Saving, currency: str) -> str:
    if not saving.possible:
        return f"Nothing on this ladder saves the {name} for sure: every method harms it often."
    more = f"{say_minutes(abs(saving.minutes))} {'more' if saving.minutes >= 0 else 'less'} work"
    cost = f"{amount(abs(saving.money), currency)} {'more' if saving.money >= 0 else 'less'} in all"
    return (
        f"Saving the {name} costs {more}{_wait(saving.waiting)}, {cost}, than giving it up: it "
        f"survives {say_chance(saving.saved_if_protected)} instead of "
        f"{say_chance(saving.saved_if_given_up)}."
    )


def _table(view: StripView, plan: LadderPlan) -> Table:
    rows = tuple(_row(view, number, step) for number, step in enumerate(plan.steps, 1))
    stop = (
        str(len(plan.steps) + 1), "stop and order what stays shut in", "", "", "", "",
        amount(plan.last_cost, view.currency),
    )  # fmt: skip
    columns = ("", "Method", "Frees it now", "By then", "Time", "Puts at risk", "A try costs")
    return Table("In this order, while nothing releases and nothing is harmed", columns,
                 (*rows, stop))  # fmt: skip


def _row(view: StripView, number: int, step: PlanStep) -> tuple[Cell | str, ...]:
    wait = f" + {say_minutes(step.wait)} wait" if step.wait else ""
    risks = "; ".join(f"{one.name}: {say_chance(one.chance)}" for one in step.risks)
    return (
        str(number),
        Cell(step.name, "next" if number == 1 else "", step.tool),
        say_chance(step.chance) if step.kind == "attempt" else "helps the next",
        say_chance(step.cumulative) if step.cumulative > 0 else "",
        say_minutes(step.minutes) + wait,
        risks or "nothing that you keep",
        amount(step.expected_cost, view.currency),
    )


def _left_out(view: StripView, stuck: StuckView) -> Iterator[Block]:
    assert stuck.plan is not None
    for rung, extra in stuck.plan.left_out:
        cost = amount(extra, view.currency)
        yield Say(f"Left out: {rung_name(stuck, rung)}; to do it now would cost {cost} more.")
    yield from bars(stuck)


def _turns(plan: LadderPlan) -> Iterator[Block]:
    """Where harm on the way changes what comes next."""
    names = {step.rung: step.name for step in plan.steps}
    for step in plan.steps:
        for piece, then in step.if_harmed:
            risk = next(one.name for one in step.risks if one.piece == piece)
            following = names.get(then, then) if then else "stop"
            yield Say(f"If “{step.name}” harms the {risk}, next comes: {following}.")


def _calls(view: StripView, stuck: StuckView) -> Iterator[Block]:
    if not stuck.calls:
        yield Say("No chance that is wrong by 30 % would change the next step so that it matters.")
    for call in stuck.calls[:4]:
        yield Say(f"Close call: {_call(view, stuck, call)}")


def _call(view: StripView, stuck: StuckView, call: CloseCall) -> str:
    who = "all chances are" if call.rung == "all" else f"“{rung_name(stuck, call.rung)}” is"
    way = "30 % worse" if call.factor < 1 else "30 % better"
    then = rung_name(stuck, call.instead) if call.instead else "stopping"
    return (
        f"if {who} {way} than assumed, place {call.place + 1} would be {then}; keeping to the plan "
        f"would then cost {amount(call.loss, view.currency)} more."
    )


def _pieces(view: StripView, stuck: StuckView) -> Table:
    rows = tuple(
        (
            Cell(one.name, "locked" if one.protected else "", "protected" if one.protected else ""),
            amount(one.price, view.currency),
            Cell(one.spared_why, "done") if one.spared_why else amount(one.at_stake, view.currency),
            one.basis,
        )
        for one in stuck.pieces
    )
    return Table("What losing a piece costs on this job", ("Piece", "Worth", "At stake", "From"),
                 rows, "nothing near it that the sheet names")  # fmt: skip


def _reasons(view: StripView, plan: LadderPlan) -> Iterator[Block]:
    """Why each step stands where it does."""
    rows = tuple(
        (
            f"{number} {step.name}",
            " ".join(sentence(one, lambda value: amount(value, view.currency))
                     for one in step.reasons),
        )
        for number, step in enumerate(plan.steps, 1)
    )  # fmt: skip
    if rows:
        yield Facts(rows, "Why each stands there")


def _changing(view: StripView, stuck: StuckView) -> Iterator[Block]:
    """What a person can change: chances, minutes, protection, kind of ladder, stopping."""
    asks: list[Block] = []
    if stuck.family:
        asks += [ask_chance(stuck), ask_minutes(stuck)]
    near = tuple((p, one.name) for one in stuck.pieces for p in one.positions)
    guarded = [key for key, _ in view.guarded]
    if near:
        names = dict(view.choices)
        choices = tuple((p, f"the {names.get(p, p)}") for p, _ in near)
        asks += ask_list("protect", "Protect a piece: methods that harm it often are barred",
                         "Protect it", guarded, choices, "protect nothing")  # fmt: skip
    asks.append(ask_family(stuck.joint))
    if view.waiting_assumed is None:
        asks.append(ask_waiting(view.currency))
    yield Fold("Change what the ladder stands on", tuple(asks))
    if stuck.family:
        tries = (ask_attempt_in_full(stuck, view.choices), ask_stop(stuck))
        yield Fold("Record a try, or stop", tries)
