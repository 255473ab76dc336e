"""What hand-over says: the next gap, the checks, the signature, and what goes with the leg."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.job.build import FinalPack, FinalReading
from casewright.job.fitting import FitLine
from casewright.job.leak_tests import CircuitLine
from casewright.job.torque_log import JointTorque
from casewright.phases.handover import Gap, HandoverView, PackLine
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
    Hatch,
    Link,
    Say,
    Section,
    Table,
)
from casewright.voice.quantities import Style, say_window
from casewright.voice.quantities import say as say_value
from casewright.voice.say_fitting import ORIGINS
from casewright.voice.say_proof_leak import HATCH, rate_words

STANDING = "Maker's manual, local codes and licensed practice come first."
OWNER_CAUTIONS = (
    "Battery and ignition disconnected before hands come near the propeller.",
    "After the first hours of running look at the oil again: milky or glittering oil is a stop.",
    "Never paint an anode; renew it when half is gone.",
)
SIGN_CAUTION = "Your name stands for this build. What isn't done is named, with your reason."
WORDS: dict[str, Hatch] = {
    "inside": "good", "outside": "bad", "missing": "next", "no window": "gap",
    "unreadable": "unsure",
}  # fmt: skip
ROOM_NAMES = {
    "inspect": "Inspection", "order": "Order and quote", "setup": "Set-up", "proof": "Proof",
    "cause": "Cause", "log": "the log",
}  # fmt: skip


def say(view: HandoverView, style: Style) -> Document:
    """The room's document."""
    if not view.has_sheet:
        none = Say("No drive sheet is adopted yet: nothing can be held against it.", "gap")
        blocks = (Caution(STANDING), none)
        return Document("handover", "Hand-over", None, (Section("gaps", "Checks", blocks),))
    sections = [Section("gaps", "What is still open", tuple(_gaps(view, style)))]
    if view.signed is None:
        sections.append(Section("sign", "Signature", tuple(_sign(view))))
    else:
        sections.append(Section("sign", "Signature", tuple(_signed(view))))
    sections += [
        Section("owner", "For the owner", tuple(_owner(view))),
        Section("next", "For the next technician", tuple(_next_technician(view, style))),
        Section("final", "The final build", tuple(_final(view, style))),
    ]
    return Document("handover", "Hand-over", _card(view, style), tuple(sections))


def _card(view: HandoverView, style: Style) -> Card | None:
    """The first gap with its way; the signature when nothing is open; none once signed."""
    if view.signed is not None:
        if not view.later:
            return None
        first = view.later[0]
        words = Say("It opened after the signature, or was never excepted.", "bad")
        return Card(f"Look again: {first.item}", (words, *_way(first, view, style)))
    if view.gaps:
        first, left = view.gaps[0], len(view.gaps) - 1
        more = (Say(f"{left} more after this; each can be excepted by name, with a reason."),)
        blocks = (Say(f"{_big(first.why)}."), Caution(STANDING), *_way(first, view, style))
        return Card(_title(first), (*blocks, *more[: bool(left)]))
    if not view.touched:
        return None
    return Card("Sign off the build", (Say("Everything asked of this build is done."), _ask(())))


def _title(gap: Gap) -> str:
    """What to do about a gap, in a few words."""
    head, _, name = gap.item.partition(": ")
    said = {
        "part": f"Fit another: {name}",
        "reading": f"Read on the final build: {name}",
        "pack": f"Record the pack: {name}",
        "torque": f"Record the torque: {name}",
        "remedy": f"Settle the remedy: {name}",
    }
    return said.get(head, f"Close: {gap.item}") if name else f"Close: {gap.item}"


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def _way(gap: Gap, view: HandoverView, style: Style) -> Iterator[Block]:
    """The form that closes a gap, where one entry does; and the room where it belongs."""
    if ask := _form(gap, view, style):
        yield ask
    if gap.room in view.rooms:
        yield Link(f"Close it in {ROOM_NAMES[gap.room]}", gap.room, gap.anchor)


def _form(gap: Gap, view: HandoverView, style: Style) -> Ask | None:
    """One entry that closes the gap from here: a new piece, a reading, a pack."""
    if gap.item.startswith("remedy:"):
        return _ask_remedy(gap)
    for line in view.waiting:
        if gap.item == f"part: {line.name}":
            return _ask_part(line)
    for reading in view.needed.readings:
        if gap.item == f"reading: {reading.name}":
            return _ask_reading(reading, style)
    for pack in view.needed.packs:
        if gap.item == f"pack: {pack.name}":
            return _ask_pack(pack, view)
    return None


def _ask_remedy(gap: Gap) -> Ask:
    outcomes = (("done", "done"), ("overruled", "overruled, with my reason"))
    return Ask(
        "remedy",
        _big(gap.item),
        "Settle it",
        (
            Field("reason", "What was done, or why not", "text", needed=True),
            Field("outcome", "The remedy is", "tap", choices=outcomes, needed=True),
        ),
        {"cause": gap.key},
    )


def _ask_part(line: FitLine) -> Ask:
    return Ask(
        "piece-placed",
        f"{_big(line.name)}: {line.part}",
        "It is fitted",
        (
            Field("marks", "Marks or number on it", "text"),
            Field("origin", "Where it is from", "tap", choices=ORIGINS),
        ),
        {"piece": line.suggested, "position": line.position, "occasion": "final"},
    )


def _ask_reading(reading: FinalReading, style: Style) -> Ask:
    style = style.near(reading.limits)
    unit = style.unit(reading.limits.dimension)
    window = say_window(reading.limits.low, reading.limits.high, reading.limits.dimension, style)
    field = Field(
        "values", "Read on the final build", "quantity", reading.limits.dimension, unit,
        needed=True, hint=f"window {window}", boxes=max(reading.fewer + len(reading.values), 1),
    )  # fmt: skip
    fixed = {"target": reading.target, "occasion": "final"}
    return Ask("reading", _big(reading.name), "Record", (field,), fixed)


def _ask_pack(pack: FinalPack, view: HandoverView) -> Ask:
    known = next((line for line in view.packs if line.name == pack.name), None)
    before = known.found if known else None
    return Ask(
        "pack-fitted",
        _big(pack.name),
        "This pack is in",
        (
            Field(
                "shims", "Shims, one a line", "words", hint="as 0.20 mm",
                value="\n".join(before.texts) if before else "",
            ),
            Field("setting", "Or its setting", "text", value=before.setting if before else ""),
        ),
        {"adjuster": pack.adjuster, "occasion": "final"},
    )  # fmt: skip


def _gaps(view: HandoverView, style: Style) -> Iterator[Block]:
    yield Caution(STANDING)
    rows = tuple(
        (name, str(asked) if asked else "", Cell(f"{left} open", "next") if left else _fine(asked))
        for name, asked, left in view.checks
    )
    yield Table("", ("Check", "Asked for", "State"), rows)
    if not view.gaps:
        yield Say("Nothing is open.", "good")
        return
    listed = tuple((Cell(gap.item, "next"), _big(gap.why)) for gap in view.gaps)
    yield Table("Open, by name", ("What", "Why"), listed)
    ways = tuple(Fold(f"Close: {gap.item}", tuple(_way(gap, view, style))) for gap in view.gaps)
    yield Fold("Close them here, one by one", ways)


def _fine(asked: int) -> Cell:
    return Cell("done", "good") if asked else Cell("nothing open", "done")


def _sign(view: HandoverView) -> Iterator[Block]:
    yield Caution(SIGN_CAUTION)
    if not view.gaps:
        yield _ask(())
        return
    count = len(view.gaps)
    title = f"Sign with {count} exceptions, each reasoned" if count > 1 else "Sign with 1 exception"
    yield Fold(title, (_ask(view.gaps),))


def _ask(gaps: tuple[Gap, ...]) -> Ask:
    """The signature; every open gap is an exception whose name is fixed and reason asked."""
    reasons = tuple(
        Field(
            f"exceptions.{index}.reason", f"Why without {gap.item}?", "text", needed=True,
            hint=_big(gap.why),
        )
        for index, gap in enumerate(gaps)
    )  # fmt: skip
    fixed: dict[str, object] = {}
    if gaps:
        fixed["exceptions"] = {str(index): {"item": gap.item} for index, gap in enumerate(gaps)}
    return Ask(
        "signed-off",
        "Signature",
        "Sign off this build",
        (
            *reasons,
            Field("signed_by", "Signed by", "text", needed=True),
            Field("words", "Words for the owner", "words"),
        ),
        fixed,
        caution=f"{SIGN_CAUTION} {STANDING}",
    )


def _signed(view: HandoverView) -> Iterator[Block]:
    signed = view.signed
    assert signed is not None
    rows = [("Signed by", signed.body.signed_by), ("On", signed.happened_at[:10])]
    rows += [(f"Exception: {e.item}", e.reason) for e in signed.body.exceptions]
    rows += [("Words", signed.body.words)] if signed.body.words else []
    yield Facts(tuple(rows))
    for gap in view.later:
        yield Say(f"Not excepted: {gap.item}, {gap.why}.", "bad")
    if view.later:
        yield Fold("Sign again, with these named", (_ask(view.gaps),))
    yield Link("Rebuild book, to print", "book-pdf")
    yield Link("Rebuild book, as one page", "book-html")


def _owner(view: HandoverView) -> Iterator[Block]:
    """What the owner should know, in few words."""
    yield Facts(
        (
            ("Job", view.title),
            ("New or other pieces", _names([one.name for one in view.replaced])),
            ("Came out and went back", _names(list(view.kept))),
            ("State", _state(view)),
        )
    )
    for text in dict.fromkeys((*view.cautions, *OWNER_CAUTIONS)):
        yield Caution(text)
    if view.signed is None:
        yield Link("Rebuild book as it stands, to print", "book-pdf")


def _names(names: list[str]) -> str:
    """How many, and which where they are few."""
    return f"{len(names)}: {', '.join(names)}" if 0 < len(names) <= 8 else str(len(names))


def _state(view: HandoverView) -> str:
    if view.signed is None:
        count = len(view.gaps)
        return f"not signed off; {count} open" if count else "not signed off; nothing open"
    count = len(view.signed.body.exceptions)
    return "signed off" + (f" with {count} named exceptions" if count else ", without exception")


def _next_technician(view: HandoverView, style: Style) -> Iterator[Block]:
    yield Table(
        "Shims by seat",
        ("Pack", "Seat", "As found", "Fitted"),
        tuple(_pack_row(line, style) for line in view.packs),
        "no pack was recorded",
    )
    yield Table(
        "Readings of the final build",
        ("Reading", "Mean", "Window", "Verdict"),
        tuple(_reading_row(reading, style) for reading in view.needed.readings),
        "none asked for in this scope",
    )
    yield Table(
        "Torques",
        ("Joint", "Step", "At the fastener", "Verdict", "Locked by"),
        tuple(row for line in view.torques for row in _torque_rows(line, style)),
        "no joint with a torque was opened",
    )
    yield Table(
        "Sealing tests",
        ("Circuit", "Test", "Verdict", "Leak rate"),
        tuple(row for line in view.circuits for row in _sealing_rows(line)),
        "no circuit was opened",
    )
    if view.oil.kept is not None:
        body = view.oil.kept.body
        filled = say_value(view.oil.filled, "volume", style)
        yield Facts((("Oil filled", f"{filled} {body.grade}".strip()),))
    for text in view.notes:
        yield Say(f"Note: {text}")


def _pack_row(line: PackLine, style: Style) -> tuple[Cell | str, ...]:
    def told(pack: object) -> str:
        if pack is None:
            return ""
        texts = getattr(pack, "texts", ())
        total = say_value(getattr(pack, "total", 0.0), "length", style)
        return f"{' + '.join(texts)} = {total}" if texts else getattr(pack, "setting", "")

    final: Cell | str = told(line.final) or Cell("not recorded", "next")
    return line.name, line.seat, told(line.found), final


def _reading_row(reading: FinalReading, style: Style) -> tuple[Cell | str, ...]:
    limits = reading.limits
    style = style.near(limits)
    mean = say_value(reading.mean, limits.dimension, style) if reading.mean is not None else ""
    window = say_window(limits.low, limits.high, limits.dimension, style)
    notes = [reading.why] if reading.why else []
    if reading.at_edge:
        notes.append("at the edge: the gauge's doubt reaches over it")
    if reading.fewer and reading.values:
        notes.append(f"{reading.fewer} places not read")
    word = "no window: kept, no verdict" if reading.word == "no window" else reading.word
    return reading.name, mean, window, Cell(word, WORDS[reading.word], "; ".join(notes))


def _sealing_rows(line: CircuitLine) -> Iterator[tuple[Cell | str, ...]]:
    for test in line.tests:
        hatch = HATCH.get(test.word, "")
        yield line.circuit.name, test.test.name, Cell(test.word, hatch), rate_words(test)


def _torque_rows(line: JointTorque, style: Style) -> Iterator[tuple[Cell | str, ...]]:
    for step in line.steps:
        value = say_value(step.at_fastener, "torque", style) if step.at_fastener else ""
        hatch: Hatch = "good" if step.word == "inside" else "bad"
        if step.is_open:
            hatch = "next"
        yield line.name, str(step.step), value, Cell(step.word, hatch), line.locked_by


def _final(view: HandoverView, style: Style) -> Iterator[Block]:
    origins = tuple(
        (one.name, one.part, one.origin or "not said", one.marks, one.part_number)
        for one in view.replaced
    )
    columns = ("Where", "Part", "Origin", "Marks", "Number")
    yield Table("Replaced", columns, origins, "nothing was replaced")
    kept = tuple((name,) for name in view.kept)
    yield Fold(
        f"Came out and went back in: {len(kept)}",
        (Table("", ("Where",), kept, "nothing came out"),),
    )
    asked = tuple(
        (part.name, part.why, Cell(part.word, "good" if part.word == "fitted" else "next"))
        for part in view.needed.parts
    )
    yield Fold("New pieces asked for", (Table("", ("Where", "Why", "State"), asked, "none"),))
