"""What the strip-down says: card, list with its pictures, counts, readings, packs, record."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.strip import CountLine, PackLine, StepLine, StripView
from casewright.voice.document import (
    Block,
    Card,
    Cell,
    Document,
    Facts,
    Fold,
    Hatch,
    Link,
    Say,
    Section,
    Table,
)
from casewright.voice.draw_strip import draw_graph, draw_plan
from casewright.voice.quantities import Style, say_minutes, say_window
from casewright.voice.quantities import say as say_value
from casewright.voice.say_strip_card import card, out_alone
from casewright.voice.say_strip_forms import (
    ask_any_step,
    ask_condemn,
    ask_found,
    ask_list,
    ask_new_joint,
    ask_pack,
    ask_reading,
    ask_several,
    ask_stud,
    counting,
)
from casewright.voice.say_strip_ladder import ladder_blocks

OUTCOME_HATCH: dict[str, Hatch] = {
    "done": "done", "broke something": "bad", "found something": "unsure", "skipped": "",
}  # fmt: skip
PLACE_HATCH: dict[str, Hatch] = {
    "out": "done", "absent": "gap", "broken, stays in": "bad", "not original": "unsure",
}  # fmt: skip


def say(view: StripView, style: Style) -> Document:
    """The room's document."""
    if not view.has_sheet:
        none = Say("No drive sheet is adopted yet: there is nothing to take apart by.", "gap")
        return Document("strip", "Strip-down", None, (Section("list", "What is left", (none,)),))
    sections = [Section("list", "What is left", tuple(_list(view)))]
    if view.stuck:
        sections.append(Section("stuck", "What sticks", tuple(_stuck(view, style))))
    sections += [
        Section("counts", "Fasteners counted off", tuple(_counts(view))),
        Section("readings", "As-found readings", tuple(_readings(view, style))),
        Section("packs", "Packs by seat", tuple(_packs(view, style))),
        Section("wanted", "What has to come out", tuple(_wanted(view))),
        Section("record", "Done so far", tuple(_record(view))),
        Section("more", "Something else", tuple(_more(view))),
    ]
    return Document("strip", "Strip-down", _card(view, style), tuple(sections))


def _card(view: StripView, style: Style) -> Card | None:
    if view.trouble:
        return Card(
            "The list can't be put in order",
            (Say(view.trouble, "bad"), Say("Everything recorded so far is kept. Mend the sheet's "
             "blocks, or add what is missing below."), Link("Add a joint", "strip", "more")),
        )  # fmt: skip
    return card(view, style)


# ---- the list ----------------------------------------------------------------------------------


def _list(view: StripView) -> Iterator[Block]:
    if view.trouble:
        yield Say(f"No order: {view.trouble}", "bad")
    if view.plan is None or not view.lines:
        yield Say(_nothing(view), "good" if not view.trouble else "plain")
        yield from _graph(view)
        return
    yield Say(_in_all(view))
    if view.changed:
        yield Say(f"The latest entry ({view.changed}) changed the list: {_moved(view)}.", "lead")
    columns = ("", "Step", "With", "Time", "Mind")
    rows = tuple(_row(view, number, line) for number, line in enumerate(view.lines, 1))
    table = Table("", columns, rows)
    yield Fold("The whole list, in its order", (table,), open=True, wide=True)
    yield Fold("Tick steps off", tuple(_ticks(view)))
    if view.plan.minutes > 0:
        yield Fold("The plan over the minutes", (draw_plan(view.lines, view.plan.minutes),))
    yield from _graph(view)
    yield Fold("How the order was found", (_working(view),))


def _moved(view: StripView) -> str:
    """Steps that moved or came in, and those that aren't needed any more."""
    moved = [f"{line.name} ({line.mark})" for line in view.lines if line.mark]
    parts = ["; ".join(moved[:6]) + (f" and {len(moved) - 6} more" if len(moved) > 6 else "")]
    if view.gone:
        number = len(view.gone)
        named = "; ".join(view.gone[:3]) + (f" and {number - 3} more" if number > 3 else "")
        parts.append(f"no longer needed: {named}")
    return "; ".join(part for part in parts if part)


def _nothing(view: StripView) -> str:
    if view.trouble:
        return "Take apart by hand and eye till this is mended; the rest of the job goes on."
    if not view.nodes:
        return "The sheet lists no joints, so there is no list. Record findings, add joints below."
    return "Everything that has to come out is out."


def _in_all(view: StripView) -> str:
    assert view.plan is not None
    steps = len(view.lines)
    spent = f" {say_minutes(view.minutes_spent)} recorded so far." if view.minutes_spent else ""
    return (
        f"{steps} step{'s' if steps > 1 else ''} left, about {say_minutes(view.plan.minutes)}, of "
        f"which {say_minutes(view.plan.change_minutes)} for changing tools, posture and hands."
        f"{spent}"
    )


def _row(view: StripView, number: int, line: StepLine) -> tuple[Cell | str, ...]:
    stuck = line.key in {one.joint for one in view.stuck}
    state: Hatch = "bad" if stuck else "next" if view.next_line == line else ""
    shut = line.lock is not None and line.lock.shut and bool(line.lock.uncounted)
    state = state or ("locked" if shut else "")
    mark = " · ".join(part for part in (line.mark, "stuck" if stuck else "", _shut(line)) if part)
    tools = [line.tool, line.posture, f"{line.people} people" if line.people > 1 else ""]
    return (
        str(number),
        Cell(line.name, state, mark),
        ", ".join(one for one in tools if one) or "what is at hand",
        say_minutes(line.minutes),
        _mind(line),
    )


def _shut(line: StepLine) -> str:
    uncounted = len(line.lock.uncounted) if line.lock and line.lock.shut else 0
    return f"locked: {uncounted} not counted" if uncounted else ""


def _mind(line: StepLine) -> str:
    """What a step calls for besides its tool, in a few words."""
    parts = list(line.cautions)
    if line.count and line.count.hidden:
        parts += [f"place {place} hidden: {look}" for place, look in line.count.hidden.items()]
    parts += [line.turns] if line.turns else []
    parts += [f"one-time: {', '.join(line.one_time)}"] if line.one_time else []
    parts += [f"measure: {', '.join(line.packs)}"] if line.packs else []
    parts += [line.why] if line.kind in ("reading", "photo") else []
    return " · ".join(parts)


def _ticks(view: StripView) -> Iterator[Block]:
    yield Say("In this order; a step that is locked is refused and says why. Readings and packs "
              "have their own boxes below.")  # fmt: skip
    sticking = {one.joint for one in view.stuck}
    yield ask_several([o for o in view.lines if o.kind != "reading" and o.key not in sticking])
    yield ask_any_step(view.lines)


def _graph(view: StripView) -> Iterator[Block]:
    if view.nodes:
        yield Fold("What blocks what", (draw_graph(view.nodes),))


def _working(view: StripView) -> Facts:
    assert view.plan is not None
    plan = view.plan
    proven = "no order takes less" if plan.proven else f"none takes less than {plan.bound:.0f} min"
    rows = [
        ("Method", f"least minutes of work and changes; {plan.method}"),
        ("Proven", proven),
        ("Sets of open joints looked at", str(plan.down_sets or "too many to count")),
        ("Times", "the sheet's, with a change of tool 1.5 min, of posture 4 min, calling a hand "
                  "3 min, a pack 3 min, a photograph 1 min: assumed, unless this job sets its own"),
        ("Standing", "an estimate; maker's manual, local codes and licensed practice come first"),
    ]  # fmt: skip
    return Facts(tuple(rows))


def _stuck(view: StripView, style: Style) -> Iterator[Block]:
    for stuck in view.stuck:
        yield Facts((("Joint", stuck.name),))
        yield from ladder_blocks(view, stuck, style)


# ---- counts, readings, packs -------------------------------------------------------------------


def _counts(view: StripView) -> Iterator[Block]:
    telling = [line for line in view.counts if line.separation or line.count.states]
    rows = tuple(row for line in telling for row in _places(line))
    yield Table("", ("Joint", "Place", "What it is"), rows, "nothing to count off")
    for line in view.counts:
        if line.count.missing:
            yield Fold(f"Count off: {line.name}", counting(line))
    for joint, place, key, position in view.studs:
        name = next((line.name for line in view.counts if line.joint == joint), joint)
        yield ask_stud(joint, name, place, key, position)


def _places(line: CountLine) -> Iterator[tuple[Cell | str, ...]]:
    by_state: dict[str, list[int]] = {}
    for place, said in sorted(line.count.states.items()):
        by_state.setdefault(said, []).append(place)
    for said, places in by_state.items():
        yield line.name, _numbers(places), Cell(said, PLACE_HATCH.get(said, ""))
    if line.count.missing:
        hidden = [p for p in line.count.missing if p in line.count.hidden]
        look = "; ".join(f"{p} is hidden: {line.count.hidden[p]}" for p in hidden)
        mark: Hatch = "locked" if line.separation else "gap"
        yield line.name, _numbers(line.count.missing), Cell("not counted yet", mark, look)


def _numbers(places: list[int] | tuple[int, ...]) -> str:
    return ", ".join(str(place) for place in places)


def _readings(view: StripView, style: Style) -> Iterator[Block]:
    rows = tuple(
        (
            Cell(line.name, "next" if line.next else ""),
            say_window(
                line.limits.low, line.limits.high, line.limits.dimension, style.near(line.limits)
            ),
            "; ".join(line.deadlines),
        )
        for line in view.readings
    )
    yield Table("Still to take", ("What", "Window", "Before"), rows, "none open")
    for name, joint in view.lost:
        yield Say(f"{name}: not taken, and “{joint}” has ended it. Set-up goes on without.", "gap")
    asks = tuple(ask_reading(line, style) for line in view.readings)
    if asks:
        yield Fold("Several readings in one go", asks)


def _packs(view: StripView, style: Style) -> Iterator[Block]:
    rows = tuple((line.name, line.sits, _pack_cell(line, style)) for line in view.packs)
    yield Table("", ("Pack", "Sits", "As found"), rows, "the sheet lists no packs")
    open_ = tuple(ask_pack(line) for line in view.packs if line.found is None and not line.due)
    if open_:
        yield Fold("Measure a pack", open_)


def _pack_cell(line: PackLine, style: Style) -> Cell:
    if line.found is None:
        return Cell("out, not measured", "bad") if line.due else Cell("not out yet")
    if line.found.setting:
        return Cell(line.found.setting, "done")
    total = say_value(line.found.total, "length", style)
    texts = " + ".join(line.found.texts) or "empty"
    return Cell(total, "done", texts)


# ---- what is wanted, the record, the rest ------------------------------------------------------


def _wanted(view: StripView) -> Iterator[Block]:
    names = [name for _, name in view.wanted]
    yield Say(f"Only as far as: {', '.join(names)}." if names else "Everything: the full strip.")
    for name, stays in view.given_up:
        kept = f"; with it stay in: {', '.join(stays)}" if stays else ""
        yield Say(f"Given up: {name}{kept}.", "bad")
    if view.guarded:
        yield Say(f"Protected: {', '.join(name for _, name in view.guarded)}.")
    if view.missing_tools:
        yield Say(f"Tools that the shop doesn't own: {', '.join(view.missing_tools)}.")
    wanted = [key for key, _ in view.wanted]
    if view.groups:
        more = "Something else as well" if wanted else "I need only some of it out"
        yield Fold(more, out_alone(view))
    if wanted:
        choices = tuple((key, f"the {name}") for key, name in view.choices)
        asks = ask_list("strip-wanted", "", "", wanted, choices, "everything")[1:]
        yield Fold("Less of it, or the full strip again", asks)


def _record(view: StripView) -> Iterator[Block]:
    rows = tuple(
        (
            line.name,
            Cell(line.outcome, OUTCOME_HATCH.get(line.outcome, "")),
            say_minutes(line.minutes) if line.minutes is not None else "",
            line.words,
            Cell(line.who, note=line.when),
        )
        for line in view.done
    )
    yield Table("", ("Step", "How it went", "Time", "In words", "Who, when"), rows)
    if rows:
        yield Link("Something recorded wrongly? Correct it in the log; nothing is erased", "log")


def _more(view: StripView) -> Iterator[Block]:
    yield ask_found()
    if view.choices:
        yield Fold("A piece is scrap, one can see it already", (ask_condemn(view.choices),))
        ask = ask_new_joint(view.bench_key, view.choices)
        yield Fold("A joint that the sheet doesn't list", (ask,))
