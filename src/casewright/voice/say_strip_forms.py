"""Forms of the strip room: what each records, with gloves first."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.phases.strip import CountLine, PackLine, ReadingLine, StepLine, StuckView
from casewright.reasoning.ladder_plan import PlanStep
from casewright.tables.ladder_defaults import FAMILIES
from casewright.voice.document import Ask, Block, Caution, Field, Fold, Say
from casewright.voice.quantities import Style, say_window

Choices = tuple[tuple[str, str], ...]
DONE, STUCK, FOUND = ("done", "done"), ("stuck", "stuck"), ("found something", "found something")
STATES: Choices = (
    ("out", "out"), ("absent", "absent"), ("broken, stays in", "broken, stays in"),
    ("not original", "not original"),
)  # fmt: skip
MINUTES = Field("minutes", "Minutes it took", "number", hint="may be left empty")
WORDS = Field("words", "In words", "words")


def ask_step(line: StepLine) -> Ask:
    """One touch: done, stuck, found something."""
    taps = (DONE,) if line.kind == "photo" else (DONE, STUCK, FOUND)
    field = Field("outcome", "How did it go?", "tap", choices=taps, needed=True)
    return Ask("step-done", line.name, "Record", (field,), {"step": line.key})


def ask_step_in_full(line: StepLine) -> Ask:
    """The same with minutes and words."""
    outcomes = (DONE, STUCK, FOUND, ("skipped", "not needed, or not there"))
    field = Field("outcome", "How did it go?", "choice", choices=outcomes, needed=True)
    return Ask("step-done", "With minutes and words", "Record", (field, MINUTES, WORDS),
               {"step": line.key})  # fmt: skip


def ask_not_done(line: StepLine) -> Ask:
    """A step that is locked: it can be reported stuck, or left out."""
    outcomes = (STUCK, ("skipped", "not needed, or not there"))
    field = Field("outcome", "How is it?", "choice", choices=outcomes, needed=True)
    return Ask("step-done", "Stuck, or not needed", "Record", (field, WORDS), {"step": line.key})


def ask_broke(line: StepLine, choices: Choices) -> Ask:
    """Something broke: which pieces; they are condemned from then on."""
    fields = (
        Field("broke.0", "What broke", "choice", choices=choices, needed=True),
        Field("broke.1", "And", "choice", choices=choices),
        MINUTES, WORDS,
    )  # fmt: skip
    return Ask("step-done", "Done, but something broke", "Record", fields,
               {"step": line.key, "outcome": "broke something"})  # fmt: skip


def ask_several(lines: Sequence[StepLine]) -> Ask:
    """Steps ticked off in one go, in the order of the list; they happened when the form says."""
    ticks = tuple((line.key, line.name) for line in lines)
    return Ask(
        "step-done", "Several in one go", "All ticked are done",
        (
            Field("also", "What is done", "ticks", choices=ticks, needed=True),
            Field("minutes", "Minutes for all of it", "number", hint="may be left empty"),
        ),
        {"outcome": "done"},
    )  # fmt: skip


def ask_any_step(lines: Sequence[StepLine]) -> Ask:
    """Any step of the list, with its own time: for what was done and is typed later."""
    steps = tuple((line.key, line.name) for line in lines if line.kind != "reading")
    outcomes = (DONE, STUCK, FOUND, ("skipped", "not needed, or not there"))
    return Ask(
        "step-done", "A step done earlier", "Record",
        (
            Field("step", "Step", "choice", choices=steps, needed=True),
            Field("outcome", "How did it go?", "choice", choices=outcomes, needed=True),
            MINUTES, WORDS,
        ),
    )  # fmt: skip


def ask_lock(line: StepLine) -> Ask:
    """A lock opens with a reason, which stays in the log."""
    return Ask(
        "lock-opened", f"Open the lock of: {line.name}", "Open it all the same",
        (Field("reason", "Why it may be opened", "words", needed=True),), {"lock": line.key},
        caution="A forgotten fastener cracks the housing when it is pried.",
    )  # fmt: skip


def counting(line: CountLine, sides: Sequence[str] = ()) -> tuple[Block, ...]:
    """Counting off: all in sight with one touch, each hidden one by itself, or place by place."""
    count = line.count
    seen = [place for place in count.missing if place not in count.hidden]
    blocks: list[Block] = []
    if sides:
        blocks.append(Say(f"They come from: {', '.join(sides)}."))
    if seen:
        shown = f"All {len(seen)} in sight are out" if len(seen) > 1 else f"Place {seen[0]} is out"
        blocks.append(
            Ask("fasteners-counted", f"Fasteners of: {line.name}", shown, (),
                {"joint": line.joint, "places": seen, "fastener_state": "out"}, quiet=True)
        )  # fmt: skip
    for place in count.missing:
        if place in count.hidden:
            blocks += [
                Caution(f"Place {place} is hidden. Look {_look(count.hidden[place])}.", "Hidden"),
                _ask_place(line, place, f"Place {place}, the hidden one"),
            ]
    if len(seen) > 1 or (seen and len(count.missing) == 1):
        one = _ask_places(line, seen)
        blocks.append(Fold("Place by place: absent, broken, not original", (one,)))
    return tuple(blocks)


def _look(words: str) -> str:
    return words.removeprefix("look ")


def _ask_place(line: CountLine, place: int, title: str) -> Ask:
    field = Field("fastener_state", "What is it?", "tap", choices=STATES, needed=True)
    return Ask("fasteners-counted", title, "Record", (field,),
               {"joint": line.joint, "places": [place]})  # fmt: skip


def _ask_places(line: CountLine, seen: Sequence[int]) -> Ask:
    places = tuple((str(place), f"place {place}") for place in seen)
    return Ask(
        "fasteners-counted", f"Fasteners of: {line.name}", "Record",
        (
            Field("places", "Which places", "ticks", choices=places, needed=True),
            Field("words", "In words", "text"),
            Field("fastener_state", "What is it?", "tap", choices=STATES, needed=True),
        ),
        {"joint": line.joint},
    )  # fmt: skip


def ask_reading(line: ReadingLine, style: Style) -> Ask:
    """An as-found reading with as many boxes as places."""
    dimension, style = line.limits.dimension, style.near(line.limits)
    window = say_window(line.limits.low, line.limits.high, dimension, style)
    field = Field(
        "values", "Read", "quantity", dimension, style.unit(dimension), boxes=line.boxes,
        needed=True, hint=f"Window for the finished leg: {window}",
    )  # fmt: skip
    return Ask(
        "reading", f"{line.name}, as found", "Record",
        (field, Field("instrument", "Instrument", "text")),
        {"target": line.target, "occasion": "as-found"},
    )  # fmt: skip


def ask_skip_reading(line: ReadingLine) -> Ask:
    """Doing without a reading, with a reason in words."""
    return Ask(
        "step-done", f"Do without: {line.name}", "Do without it",
        (Field("words", "Why", "text"),), {"step": f"read:{line.target}", "outcome": "skipped"},
    )  # fmt: skip


def ask_pack(line: PackLine) -> Ask:
    """A pack as it came out, shim by shim."""
    shims = Field(
        "shims", "Each shim, measured", "quantity", "length", "mm", boxes=line.most,
        hint="a bare number is mm; 0.004in is understood; leave boxes empty",
    )  # fmt: skip
    return Ask(
        "pack-fitted", f"{line.name}, as found", "Record",
        (shims, Field("words", "In words", "text", hint="order, rust, a torn one")),
        {"adjuster": line.adjuster, "occasion": "as-found", "measured": True},
    )  # fmt: skip


def ask_setting_found(line: PackLine) -> Ask:
    """An adjuster that holds no shims: its setting as found."""
    return Ask(
        "pack-fitted", f"{line.name}, as found", "Record",
        (Field("setting", "Setting as found", "text", needed=True, hint="turns, or a torque"),),
        {"adjuster": line.adjuster, "occasion": "as-found", "measured": True},
    )  # fmt: skip


def ask_attempt(stuck: StuckView, step: PlanStep) -> Ask:
    """One touch after a rung of the ladder."""
    fixed = {"joint": stuck.joint, "rung": step.rung}
    if step.kind != "attempt":
        taps: Choices = (("prepared", "done, go on"), ("released", "it came free"))
    else:
        taps = (("released", "it came free"), ("held", "it held"))
    field = Field("outcome", "What came of it?", "tap", choices=taps, needed=True)
    return Ask("attempt", step.name, "Record", (field,), fixed)


def ask_attempt_in_full(stuck: StuckView, choices: Choices) -> Ask:
    """Any rung, what it harmed, minutes and words."""
    rungs = tuple((rung.id, rung.name) for rung in FAMILIES[stuck.family].rungs)
    outcomes = (
        ("released", "it came free"), ("held", "it held"), ("prepared", "prepared, nothing pulled"),
    )  # fmt: skip
    return Ask(
        "attempt", "Another method, or something was harmed", "Record",
        (
            Field("rung", "Method", "choice", choices=rungs, needed=True),
            Field("outcome", "What came of it?", "choice", choices=outcomes, needed=True),
            Field("harmed.0", "Harmed", "choice", choices=choices),
            Field("harmed.1", "And", "choice", choices=choices),
            MINUTES, WORDS,
        ),
        {"joint": stuck.joint},
    )  # fmt: skip


def ask_stop(stuck: StuckView) -> Ask:
    """Stop here; what it holds stays in."""
    return Ask(
        "attempt", f"Stop: {stuck.name} stays shut", "Stop here",
        (Field("words", "Why", "text"),),
        {"joint": stuck.joint, "rung": "stop", "outcome": "abandoned"},
    )  # fmt: skip


def ask_family(joint: str) -> Ask:
    """Which kind of stuck joint it is."""
    kinds = tuple((key, family.name) for key, family in FAMILIES.items())
    return Ask(
        "setting", "What kind of stuck joint is it?", "Use this ladder",
        (Field("value", "Kind", "choice", choices=kinds, needed=True),),
        {"name": f"ladder.{joint}"},
    )  # fmt: skip


def ask_chance(stuck: StuckView) -> Ask:
    """A chance of the shop's own, in a word or a number."""
    rungs = tuple(
        (f"chance.{stuck.joint}.{rung.id}", rung.name)
        for rung in FAMILIES[stuck.family].rungs
        if rung.kind == "attempt"
    )
    return Ask(
        "setting", "How often does a method free it, in your hands?", "Use this chance",
        (
            Field("name", "Method", "choice", choices=rungs, needed=True),
            Field("value", "Chance", "text", needed=True,
                  hint="seldom, now and then, half, usually, nearly always, 7 in 10, 70 %"),
        ),
    )  # fmt: skip


def ask_minutes(stuck: StuckView) -> Ask:
    """How long a method takes in this shop."""
    rungs = tuple(
        (f"minutes.{stuck.joint}.{rung.id}", rung.name) for rung in FAMILIES[stuck.family].rungs
    )
    return Ask(
        "setting", "How long does a method take you?", "Use these minutes",
        (
            Field("name", "Method", "choice", choices=rungs, needed=True),
            Field("value", "Minutes", "number", needed=True),
        ),
    )  # fmt: skip


def ask_waiting(currency: str) -> Ask:
    """What a day of waiting costs on this job; the ladder prices penetrant over night by it."""
    field = Field("value", f"{currency} for a day", "number", needed=True)
    return Ask("setting", "What does a day of waiting cost?", "Use this", (field,),
               {"name": "waiting-per-day"})  # fmt: skip


def ask_stud(joint: str, joint_name: str, place: int, key: str, position: str) -> Ask:
    """A broken fastener becomes a joint of its own, with its own ladder."""
    item = {
        "key": key, "name": f"broken fastener {place} of: {joint_name}", "kind": "other",
        "holds": [position], "minutes": 15, "ladder": "seized stud",
    }  # fmt: skip
    return Ask(
        "sheet-added", f"Broken fastener {place} of: {joint_name}", "Put it on the list", (),
        {"table": "joints", "item": item, "because": f"place {place} of {joint} broke off"},
    )  # fmt: skip


def ask_new_joint(key: str, choices: Choices) -> Ask:
    """A joint that no sheet lists."""
    ladders = tuple((family.name, family.name) for family in FAMILIES.values())
    return Ask(
        "sheet-added", "Something that the sheet doesn't list", "Put it on the list",
        (
            Field("item.name", "What has to come apart", "text", needed=True),
            Field("item.holds.0", "What it holds", "choice", choices=choices, needed=True),
            Field("item.ladder", "If it sticks, it is a", "choice", choices=ladders),
            Field("item.minutes", "Minutes", "number", value="10"),
            Field("because", "How it came to that", "text"),
        ),
        {"table": "joints", "item": {"key": key, "kind": "other"}},
    )  # fmt: skip


def ask_list(
    name: str, title: str, button: str, chosen: Sequence[str], choices: Choices, nothing: str
) -> tuple[Ask, ...]:
    """Add one to a list that is kept as one setting, take one out, or empty it."""
    words = dict(choices)
    more = tuple((",".join((*chosen, key)), label) for key, label in choices if key not in chosen)
    more = tuple((value, label) for value, label in more if len(value) <= 200)
    which = Field("value", "Which", "choice", choices=more, needed=True)
    asks = [Ask("setting", title, button, (which,), {"name": name})]
    if chosen:
        left = {key: ",".join(one for one in chosen if one != key) or "none" for key in chosen}
        fewer = tuple((left[key], f"without {words.get(key, key)}") for key in chosen)
        asks.append(
            Ask("setting", "Change that", "Record",
                (Field("value", "Instead", "choice", choices=(*fewer, ("none", nothing)),
                       needed=True),), {"name": name})
        )  # fmt: skip
    return tuple(asks)


def ask_wanted(groups: Sequence[tuple[str, Choices]], chosen: Sequence[str]) -> tuple[Block, ...]:
    """One touch a piece, grouped as they sit: what has to come out, and no more."""
    asks: list[Block] = []
    for title, pieces in groups:
        taps = tuple((",".join((*chosen, key)), name) for key, name in pieces if key not in chosen)
        taps = tuple((value, name) for value, name in taps if len(value) <= 200)
        if taps:
            field = Field("value", f"Out: {title}", "tap", choices=taps, needed=True)
            fixed = {"name": "strip-wanted"}
            asks += [
                Say(f"{title[:1].upper()}{title[1:]}:"),
                Ask("setting", title, "Plan for it", (field,), fixed, quiet=True),
            ]
    return tuple(asks)


def ask_found() -> Ask:
    """Something seen on the way, in words."""
    return Ask(
        "finding", "Something was found", "Record",
        (Field("words", "What", "words", needed=True),), {"occasion": "as-found"},
    )  # fmt: skip


def ask_condemn(choices: Choices) -> Ask:
    """A verdict on sight: every plan that was sparing the piece is made again."""
    return Ask(
        "verdict", "Condemn a piece on sight", "It won't be used again",
        (
            Field("position", "Which piece", "choice", choices=choices, needed=True),
            Field("reason", "Why", "words", needed=True),
        ),
        {"decision": "replace"},
    )  # fmt: skip
