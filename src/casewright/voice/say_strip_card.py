"""The bench card of the strip-down: the one next thing, why, the danger, how it went."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from casewright.phases.strip import CountLine, PackLine, StepLine, StripView, StuckView
from casewright.reasoning.ladder_explain import sentence
from casewright.reasoning.ladder_plan import PlanStep
from casewright.voice.document import Ask, Block, Card, Caution, Facts, Fold, Link, Say
from casewright.voice.quantities import Style, say_chance, say_minutes
from casewright.voice.say_strip_bars import bars, trouble
from casewright.voice.say_strip_forms import (
    ask_attempt,
    ask_attempt_in_full,
    ask_broke,
    ask_family,
    ask_lock,
    ask_not_done,
    ask_pack,
    ask_reading,
    ask_setting_found,
    ask_skip_reading,
    ask_step,
    ask_step_in_full,
    ask_stop,
    ask_wanted,
    counting,
)

PROPELLER = "Battery and ignition disconnected before hands come near the propeller."
TAKES_OFF = re.compile(r"^(?P<what>.+?) (?P<way>off|out|apart)(?P<rest>[ ,].*)?$")
VERBS = {
    "drain", "lift", "press", "pull", "take", "turn", "mark", "cut", "unbolt", "remove", "split",
    "draw", "screw", "open", "loosen", "disconnect",
}  # fmt: skip
STICKS_HINT = "If it doesn't move: don't force it, touch “stuck”."


def amount(value: float, currency: str) -> str:
    """Money for a decision, in whole units, or to a tenth under ten.

    >>> amount(127.4, "EUR"), amount(0.42, "EUR")
    ('127 EUR', '0.4 EUR')
    """
    return f"{value:.0f} {currency}" if abs(value) >= 9.95 else f"{value:.1f} {currency}"


def imperative(name: str) -> str:
    """A step's name as something to do.

    >>> imperative("carrier ring nut off"), imperative("drain the oil")
    ('Take the carrier ring nut off', 'Drain the oil')
    """
    match = TAKES_OFF.match(name)
    if match and name.split()[0] not in VERBS:
        verb = "Take" if match["way"] != "apart" else "Take apart:"
        what = match["what"] if match["what"].startswith(("the ", "a ")) else f"the {match['what']}"
        if match["way"] == "apart":
            return f"{verb} {what}{match['rest'] or ''}"
        return f"{verb} {what} {match['way']}{match['rest'] or ''}"
    return name[:1].upper() + name[1:]


def card(view: StripView, style: Style) -> Card | None:
    """The next thing: a pack that lies unmeasured, then what sticks, then the list."""
    if view.signed:
        return None
    if (pack := view.next_pack) is not None:
        return replace(_pack_card(pack), position=pack.adjuster)
    if (stuck := view.next_stuck) is not None:
        return replace(_stuck_card(view, stuck, style), position=stuck.joint)
    if (line := view.next_line) is None:
        return None
    return replace(_line_card(view, line, style), position=line.about)


def _pack_card(pack: PackLine) -> Card:
    sits = f"It sat {pack.sits}." if pack.sits else ""
    ask = ask_pack(pack)
    return Card(
        f"Measure the {pack.name} now",
        (
            Say(f"{sits} It is out and not measured yet; mixed up it is lost, and set-up starts "
                "from it. Keep it with its seat, bagged and labelled.".strip(), "lead"),
            ask,
            Fold("It holds no shims, or they can't be measured", (ask_setting_found(pack),)),
        ),
        "packs are kept by seat",
    )  # fmt: skip


# ---- a step of the list ------------------------------------------------------------------------


def _line_card(view: StripView, line: StepLine, style: Style) -> Card:
    if line.kind == "reading":
        return _reading_card(view, line, style)
    if line.kind == "photo":
        return Card(
            line.name[:1].upper() + line.name[1:],
            (Say(line.why, "lead"), ask_step(line), Link("Take it here", "strip", "photos")),
            say_minutes(line.minutes),
        )
    if line.lock is not None and line.lock.shut:
        return _locked_card(view, line)
    alone = (
        ()
        if view.done or view.wanted or not view.groups
        else (Fold("I need only some of it out", out_alone(view)),)
    )
    blocks = (*_joint_blocks(view, line), *alone)
    return Card(imperative(line.name), blocks, _where(line))


def out_alone(view: StripView) -> tuple[Block, ...]:
    """What has to come out, one touch each; the list is planned for it at once."""
    said = Say("Touch what has to come out; the list is cut to the way to it.")
    return (said, *ask_wanted(view.groups, [key for key, _ in view.wanted]))


def _where(line: StepLine) -> str:
    parts = [line.tool, line.posture, f"{line.people} people" if line.people > 1 else ""]
    parts.append(f"about {say_minutes(line.minutes)}")
    return " · ".join(part for part in parts if part)


def _reading_card(view: StripView, line: StepLine, style: Style) -> Card:
    reading = next(one for one in view.readings if one.target == line.about)
    blocks: list[Block] = [Say(line.why, "lead")]
    if reading.conditions:
        blocks.append(Say(f"With: {'; '.join(reading.conditions)}, as far as the leg allows it."))
    if reading.how:
        blocks.append(Say(reading.how))
    blocks += [ask_reading(reading, style), Fold("Do without it", (ask_skip_reading(reading),))]
    return Card(f"Read the {reading.name} as found", tuple(blocks), _where(line))


def _joint_blocks(view: StripView, line: StepLine) -> Iterator[Block]:
    if line.changes:
        yield Say(f"First: {'; '.join(line.changes)}.")
    yield Say(line.why, "lead")
    if line.how:
        yield Say(line.how)
    yield from _facts(line)
    if line.lock and line.lock.opened_because:
        yield Say(f"Its lock was opened: {line.lock.opened_because}", "unsure")
    yield from (Caution(text) for text in _cautions(line))
    yield ask_step(line)
    yield Say(STICKS_HINT)
    yield Fold("Something broke", (ask_broke(line, view.choices),))
    yield Fold("With minutes and words, or not needed", (ask_step_in_full(line),))
    if line.count and line.count.missing:
        count = CountLine(line.key, line.name, line.count, False)
        yield Fold("Count its fasteners off", counting(count, line.sides))


def _cautions(line: StepLine) -> tuple[str, ...]:
    """The step's own cautions; the propeller's where the sheet doesn't say it."""
    near = "propeller" in line.name and not any("ignition" in text for text in line.cautions)
    return (*((PROPELLER,) if near else ()), *line.cautions)


def _facts(line: StepLine) -> Iterator[Block]:
    rows = [("Turns", line.turns), ("From", ", ".join(line.sides))]
    rows += [("Never used again", ", ".join(line.one_time))]
    rows += [("Comes out with it", ", ".join(f"{one}: measure at once" for one in line.packs))]
    rows += [("Source", line.source)]
    kept = tuple((label, text) for label, text in rows if text)
    if kept:
        yield Facts(kept)


def _locked_card(view: StripView, line: StepLine) -> Card:
    """A separation whose fasteners aren't all counted: that comes first."""
    assert line.lock is not None
    blocks: list[Block] = []
    title = f"{imperative(line.name)}: locked"
    if line.lock.uncounted and line.count:
        many = len(line.lock.uncounted)
        title = f"Count off {many} fastener{'s' if many > 1 else ''} first"
        blocks.append(
            Say("This separation is locked till each place is answered: one forgotten fastener "
                "cracks the housing when it is pried.", "lead")
        )  # fmt: skip
        if line.turns:
            blocks.append(Facts((("Turns", line.turns),)))
        blocks += [Caution(text) for text in _cautions(line)]
        blocks += counting(CountLine(line.key, line.name, line.count, True), line.sides)
    if line.lock.waits_for:
        blocks.append(Say(f"It waits: {line.lock_words}.", "lead"))
    blocks.append(Fold("Open the lock with a reason", (ask_lock(line),)))
    blocks.append(Fold("It is stuck, or not needed", (ask_not_done(line),)))
    return Card(title, tuple(blocks), f"{line.name} · {_where(line)}")


# ---- what sticks -------------------------------------------------------------------------------


def _stuck_card(view: StripView, stuck: StuckView, style: Style) -> Card:
    where = f"stuck: {stuck.name}"
    if stuck.locked:
        line = next((one for one in view.lines if one.key == stuck.joint), None)
        force = Caution(f"No force yet: {stuck.locked}. It may be held, not stuck.")
        if line is not None:
            locked = _locked_card(view, line)
            return Card(locked.title, (force, *locked.blocks), where)
        return Card("Don't force it", (force,), where)
    if stuck.plan is None:
        return _no_ladder_card(stuck, where)
    if not stuck.plan.steps:
        return _stop_card(view, stuck, where)
    return _rung_card(view, stuck, where, style)


def _no_ladder_card(stuck: StuckView, where: str) -> Card:
    blocks: list[Block] = [trouble(stuck), *bars(stuck)]
    ask: Ask = ask_stop(stuck) if stuck.family else ask_family(stuck.joint)
    title = "No method can be used here" if stuck.family else "Which kind of joint sticks?"
    if stuck.family:
        blocks.append(Say("Give a hire price for a tool, lift a protection, or stop here.", "lead"))
    return Card(title, (*blocks, ask, Link("Protect, prices, tools", "strip", "stuck")), where)


def _stop_card(view: StripView, stuck: StuckView, where: str) -> Card:
    assert stuck.plan is not None
    cost = amount(stuck.plan.last_cost, view.currency)
    stays = f" What stays in with it: {', '.join(stuck.behind)}." if stuck.behind else ""
    return Card(
        "Stop here, and order what stays in",
        (
            Say(f"On these chances every method left costs more than stopping ({cost}).{stays}",
                "lead"),
            Say("The chances are assumed; the maker's manual and your hands come first.",
                "estimate"),
            ask_stop(stuck),
            Fold("Try a method all the same", (ask_attempt_in_full(stuck, view.choices),)),
        ),
        where,
    )  # fmt: skip


def _rung_card(view: StripView, stuck: StuckView, where: str, style: Style) -> Card:
    assert stuck.plan is not None
    step = stuck.plan.steps[0]
    said = [sentence(one, lambda value: amount(value, view.currency)) for one in step.reasons]
    blocks: list[Block] = []
    if stuck.creeping:
        wait = say_minutes(stuck.creeping)
        blocks.append(Say(f"What was put on wants {wait} in all before this.", "lead"))
    if step.kind == "attempt":
        chance = say_chance(step.chance)
        blocks.append(Say(f"Frees it {chance}, after what was tried. {said[0]}", "lead"))
    else:
        blocks.append(Say(said[0] if said else "It helps what comes after it.", "lead"))
    blocks.append(Facts(tuple(rung_facts(step, view.currency))))
    blocks += [Caution(text) for text in step.cautions]
    blocks += _before_it_is_free(view, stuck)
    blocks.append(ask_attempt(stuck, step))
    more = [Say(text) for text in said[1:]]
    blocks.append(
        Fold("Why this one now", (*more, Say("From assumed chances and prices.", "estimate")))
    )
    blocks += _meanwhile(view, stuck, style)
    full = (ask_attempt_in_full(stuck, view.choices), ask_stop(stuck))
    blocks.append(Fold("Something was harmed, another method, or stop", full))
    blocks.append(Link("The whole ladder", "strip", "stuck"))
    name = step.name[:1].upper() + step.name[1:]
    title = f"Wait, then: {step.name}" if stuck.creeping else name
    return Card(title, tuple(blocks), f"{where} · about {say_minutes(step.minutes)}")


def rung_facts(step: PlanStep, currency: str) -> Iterator[tuple[str, str]]:
    """Tool, waiting and what a rung risks, as label and text."""
    if step.tool:
        yield "Tool", step.tool
    if step.wait:
        yield "Then wait", f"{say_minutes(step.wait)}; go on with something else meanwhile"
    words = [
        f"{one.name} ({amount(one.cost, currency)}), harmed {say_chance(one.chance)}"
        for one in step.risks
    ]
    yield "Risks", "; ".join(words) or "nothing that you keep"


def _before_it_is_free(view: StripView, stuck: StuckView) -> Iterator[Block]:
    """Readings and photographs that are lost as soon as this joint lets go."""
    due = [line.name for line in view.lines if stuck.joint in line.deadlines]
    if due:
        yield Caution(f"{'; '.join(due)}. Lost once this is off.", "Still to do first")
        yield Link("To the readings", "strip", "readings")


def _meanwhile(view: StripView, stuck: StuckView, style: Style) -> Iterator[Block]:
    """While penetrant creeps: what can be done on the leg meanwhile."""
    if stuck.creeping and view.next_line is not None:
        other = _line_card(view, view.next_line, style)
        short = tuple(one for one in other.blocks if not isinstance(one, Fold))
        yield Fold(f"Meanwhile: {other.title}", short, open=True)
