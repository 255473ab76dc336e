"""What take-in says."""

from __future__ import annotations

from casewright.phases.takein import LookLine, ReadingLine, TakeinView
from casewright.voice.document import (
    Ask,
    Block,
    Card,
    Caution,
    Cell,
    Document,
    Facts,
    Field,
    Fold,
    Say,
    Section,
    Table,
)
from casewright.voice.quantities import Style, say_minutes, say_window
from casewright.voice.quantities import say as say_value

ANSWERS = (("yes", "yes"), ("no", "no"), ("unknown", "can't tell"))
HATCH = {"yes": "bad", "no": "good", "unknown": "unsure"}


def hand_caution() -> Caution:
    """Before hands come near the propeller."""
    return Caution("Battery and ignition disconnected before hands come near the propeller.")


def say(view: TakeinView, style: Style) -> Document:
    """The room's document."""
    sections = (
        Section("owner", "What the owner says", _owner(view)),
        Section("look", "Looked at before touching", _looks(view)),
        Section("readings", "As-received readings", _readings(view, style)),
        Section("remarks", "Other findings", _remarks(view)),
    )
    return Document("takein", "Take-in", _card(view), sections)


def _card(view: TakeinView) -> Card | None:
    """First the owner's words, then the next thing to look at while nothing has been opened."""
    if view.complaint is None:
        return Card("What does the owner say?", (_ask_complaint(),), view.sheet_name)
    if view.touched or not view.open_looks:
        return None
    first = view.open_looks[0]
    left = len(view.open_looks) - 1
    why = f"Worth {say_minutes(first.minutes)}: once the leg is apart it can't be seen any more."
    rest = (Say(f"{left} more to look at after this; skip what this job doesn't need."),)
    caution = (hand_caution(),) if "propeller" in first.label.lower() else ()
    return Card(f"{first.label}?", (Say(why), *caution, _ask_look(first), *rest[: bool(left)]))


def _ask_complaint() -> Ask:
    return Ask(
        "complaint",
        "The owner's words",
        "Record",
        (
            Field("words", "Complaint, in the owner's words", "words", needed=True),
            Field("hours", "Hours run", "text", hint="on the engine's counter"),
            Field("last_service", "Last service", "text"),
            Field("hit", "What was hit, if anything", "text"),
        ),
    )


def _ask_look(line: LookLine) -> Ask:
    return Ask(
        "finding",
        line.label,
        "Record",
        (
            Field("words", "In words", "text"),
            Field("answer", "Seen?", "tap", choices=ANSWERS, needed=True),
        ),
        {"key": line.key, "occasion": "as-received"},
    )


def _owner(view: TakeinView) -> tuple[Block, ...]:
    if view.complaint is None:
        return (Say("Not asked yet."),)
    body = view.complaint.body
    rows = [("Complaint", body.words), ("Hours", body.hours), ("Last service", body.last_service)]
    rows += [("Hit", body.hit), ("Works at", view.duty)]
    return (Facts(tuple((label, text) for label, text in rows if text)),)


def _looks(view: TakeinView) -> tuple[Block, ...]:
    rows = tuple(
        (line.label, Cell(line.answer, HATCH[line.answer]), line.words)  # type: ignore[arg-type]
        for line in view.looks
        if line.answer
    )
    table = Table("", ("What", "Seen", "In words"), rows, "nothing looked at yet")
    asks = tuple(_ask_look(line) for line in view.open_looks)
    left = "not looked at before the leg was opened; answer only what was seen"
    title = f"{len(asks)} {left if view.touched else 'still to look at, in any order'}"
    more = (Fold(title, asks),) if asks else ()
    return (table, *more)


def _readings(view: TakeinView, style: Style) -> tuple[Block, ...]:
    rows = tuple(
        (line.name, _numbers(line, style), _window(line, style), _judged(line))
        for line in view.readings
        if line.values
    )
    table = Table(
        "", ("What", "Read", "Window", "As received"), rows, "none taken; they are a bonus here"
    )
    asks = tuple(_ask_reading(line, style) for line in view.readings)
    leaks = tuple(_ask_leak(key, name, style) for key, name in view.circuits)
    blocks: list[Block] = [table]
    if asks:
        blocks.append(Fold("Take a reading as received", asks))
    if leaks:
        blocks.append(Fold("Sealing test as received, where the case still holds air", leaks))
    return tuple(blocks)


def _ask_leak(circuit: str, name: str, style: Style) -> Ask:
    """A short hold at low pressure; its rate and verdict stand in the proof room."""
    relative = (("gauge", "gauge (zero in the open)"), ("absolute", "absolute"))
    units = tuple((sign, sign) for sign in ("kPa", "bar", "psi", "mbar"))
    return Ask(
        "leak-log", f"{name}: low pressure, as received", "Record",
        (
            Field("text", "Time, pressure and temperature, a row each", "words", needed=True),
            Field("relative_to", "The gauge shows", "choice", choices=relative, needed=True),
            Field("pressure_unit", "In", "choice", choices=units, value=style.unit("pressure")),
            Field("resolution", "One step of the gauge", "text", hint="as 0.1 kPa"),
        ),
        {"circuit": circuit, "test": "low", "occasion": "as-received"},
        caution="Air stores energy: low pressure only, drained, regulator and relief, stand aside.",
    )  # fmt: skip


def _numbers(line: ReadingLine, style: Style) -> str:
    style = style.near(line.limits)
    return ", ".join(say_value(value, line.limits.dimension, style) for value in line.values)


def _window(line: ReadingLine, style: Style) -> str:
    return say_window(
        line.limits.low, line.limits.high, line.limits.dimension, style.near(line.limits)
    )


def _judged(line: ReadingLine) -> Cell:
    if not line.limits.known:
        return Cell("no window: kept, no verdict", "gap")
    mean = sum(line.values) / len(line.values)
    inside = line.limits.holds(mean)
    return Cell("mean inside" if inside else "mean outside", "good" if inside else "bad")


def _ask_reading(line: ReadingLine, style: Style) -> Ask:
    dimension = line.limits.dimension
    field = Field(
        "values", "Read", "quantity", dimension, style.near(line.limits).unit(dimension),
        boxes=line.boxes, hint=f"Window {_window(line, style)}",
    )  # fmt: skip
    return Ask(
        "reading",
        line.name,
        "Record",
        (field,),
        {"target": line.target, "occasion": "as-received"},
    )


def _remarks(view: TakeinView) -> tuple[Block, ...]:
    rows = tuple((words, position) for words, position in view.remarks)
    ask = Ask(
        "finding",
        "Something else was seen",
        "Record",
        (Field("words", "What", "words", needed=True),),
        {"occasion": "as-received"},
    )
    return (Table("", ("What", "Where"), rows, "none"), ask)
