"""What inspection says: the next thing to read, verdicts, what is odd, then piece by piece."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.inspect import FeatureLine, InspectView, Oddity, PieceLine, ToolLine
from casewright.tables.damage import damage_for
from casewright.voice.document import (
    Block,
    Card,
    Cell,
    Document,
    Fold,
    Link,
    Say,
    Section,
    Table,
)
from casewright.voice.draw_damage import draw_damage_sheet
from casewright.voice.quantities import Style
from casewright.voice.quantities import say as say_value
from casewright.voice.say_inspect_asks import (
    ask_feature,
    ask_instrument,
    ask_other_verdict,
    ask_verdict,
    asks_money,
)
from casewright.voice.say_inspect_pieces import piece_section
from casewright.voice.say_inspect_words import (
    capital,
    cautions,
    decision_cell,
    why_open,
    window_words,
)


def say(view: InspectView, style: Style) -> Document:
    """The room's document."""
    if not view.has_sheet:
        none = Say("No drive sheet is adopted yet: nothing to measure against.", "gap")
        return Document("inspect", "Inspection", None, (Section("sheet", "Sheet", (none,)),))
    here = view.next[0].position if view.next else ""
    pieces = [
        piece_section(one, style, view.trial, one.position == here, view.photos)
        for one in _walk(view)
    ]
    split = sum(_is_open(piece) for piece in view.pieces)
    sections = [
        *pieces[:split],
        Section("verdicts", "What can be used again", tuple(_verdicts(view)), _counts(view)),
    ]
    if view.oddities:
        sections.append(Section("odd", "Odd, but kept", tuple(_odd(view, style))))
    sections += [*pieces[split:], *_rest(view, style)]
    return Document("inspect", "Inspection", _card(view, style), tuple(sections))


def _is_open(piece: PieceLine) -> bool:
    """On the bench, and something is still to be read: it stands first."""
    reading = any(line.choice == "read again" for line in piece.features)
    return piece.on_bench and not piece.is_settled and bool(piece.open or reading)


def _walk(view: InspectView) -> list[PieceLine]:
    """Open pieces first, then what is judged, then what is in the leg; each in bench order."""
    return sorted(view.pieces, key=lambda one: (not _is_open(one), one.verdict is None))


def _counts(view: InspectView) -> Cell:
    """How many pieces stand how: what the folded list says."""
    words = [piece.verdict.decision if piece.verdict else "open" for piece in view.pieces]
    counted = [f"{words.count(word)} {word}" for word in dict.fromkeys(words)]
    return Cell("; ".join(counted) or "nothing in the sheet", "")


def _rest(view: InspectView, style: Style) -> tuple[Section, ...]:
    """What stands behind the pieces: rules, a word on any other piece, instruments, money."""
    other = Fold(
        "Your own word on a piece without features", (ask_other_verdict(view.positions),),
        key="judge-another",
    )  # fmt: skip
    ruled = Cell(f"{len(view.by_rule)} pieces" if len(view.by_rule) != 1 else "1 piece")
    tools = Cell(f"{len(view.tools)} in the register")
    return (
        Section("rule", "Replaced by rule", (_by_rule(view),), ruled),
        Section("others", "Other pieces", (other,)),
        Section("instruments", "Instruments", tuple(_instruments(view, style)), tools),
        Section("money", "Money behind the verdicts", tuple(_money(view))),
    )


def _card(view: InspectView, style: Style) -> Card | None:
    word = next((piece for piece in view.pieces if piece.asks_word), None)
    if view.signed or not (view.next or view.waiting or word):
        return None
    if view.next is None:
        return _word_card(word) if word else _waiting_card(view)
    piece, line = view.next
    again = line.choice == "read again"
    verb = "Look at" if line.is_look else "Read again:" if again else "Read"
    ask = ask_feature(piece, line, style, brief=True)
    blocks: list[Block] = [Say(_why(piece, line, style)), *cautions(line, piece.kind), ask]
    if line.is_look:
        sheet = draw_damage_sheet(damage_for(piece.kind), "What it may look like")
        blocks.append(Fold("What it may look like", (sheet,)))
    if view.left:
        blocks.append(Say(f"{view.left} more after this; skip what this job doesn't need."))
    return Card(f"{verb} {line.feature.name}", tuple(blocks), piece.name, piece.position)


def _word_card(piece: PieceLine) -> Card:
    """All of it is read, and no reading can judge it."""
    said = Say(f"{capital(why_open(piece))}.")
    return Card(f"Your word on the {piece.name}", (said, ask_verdict(piece)), "", piece.position)


def _waiting_card(view: InspectView) -> Card:
    """Everything on the bench is judged; the rest is still in the leg."""
    names = ", ".join(view.waiting[:4])
    more = f" and {len(view.waiting) - 4} more" if len(view.waiting) > 4 else ""
    judged = "All that lies on the bench is judged" if _any_out(view) else "The bench is empty yet"
    said = (
        f"{judged}. Still in the leg: {names}{more}. What is out already can be read below all "
        "the same."
    )
    return Card("Take the next piece out", (Say(said), Link("To the strip-down", "strip")))


def _any_out(view: InspectView) -> bool:
    return any(piece.on_bench for piece in view.pieces)


def _why(piece: PieceLine, line: FeatureLine, style: Style) -> str:
    if line.is_look:
        look = f"Look for {line.feature.look_for}." if line.feature.look_for else ""
        worth = " One look may save all readings of this piece." if len(piece.features) > 1 else ""
        return f"{look}{worth}".strip() or "By eye, cleaned and in good light."
    found = line.verdict.verdict if line.verdict else None
    if found is not None:
        return f"{found.because[:1].upper()}{found.because[1:]}. {_tool(line, style)}"
    if not line.limits.known:
        return "No limit in the sheet: the reading is kept, and nobody can judge it yet."
    return f"Limits {window_words(line, style)}. {_tool(line, style)}"


def _tool(line: FeatureLine, style: Style) -> str:
    """Which instrument, and how well it can decide."""
    if not line.tools:
        return ""
    best = line.tools[0]
    doubt = say_value(2 * best.uncertainty, line.limits.dimension, style)
    if best.warning:
        warning = f"{best.warning[:1].upper()}{best.warning[1:]}"
        return f"Best at hand is the {best.instrument} (± {doubt}). {warning}"
    return f"The {best.instrument} can decide this: its doubt is ± {doubt}."


def _verdicts(view: InspectView) -> Iterator[Block]:
    rows = tuple(
        (
            piece.name,
            decision_cell(piece.verdict.decision) if piece.verdict else Cell("open", "gap"),
            piece.verdict.reason if piece.verdict else _open(piece),
            piece.verdict.by if piece.verdict else "",
        )
        for piece in view.pieces
    )
    columns = ("Piece", "Verdict", "Why", "On whose word")
    yield Table("", columns, rows, "the sheet lists nothing to measure or look at")
    if view.waiting:
        names = ", ".join(view.waiting)
        yield Say(f"Not on the bench yet, so not asked for: {names}.")


def _open(piece: PieceLine) -> str:
    names = [line.feature.name for line in piece.open]
    return f"still to read or look at: {'; '.join(names)}" if names else why_open(piece)


def _odd(view: InspectView, style: Style) -> Iterator[Block]:
    rows = tuple((one.about, _odd_words(one, style)) for one in view.oddities)
    yield Table("", ("About", "What is odd"), rows)
    yield Say("Nothing was thrown away: correct an entry in the log if it was mistyped.")
    yield Link("To the log", "log")


def _odd_words(one: Oddity, style: Style) -> str:
    """With the outlier named by its place and value, where one stands apart."""
    if not one.spread:
        return one.words
    spread, allowed = (say_value(v, one.dimension, style) for v in (one.spread, one.allowed))
    said = f"{one.words} They lie {spread} apart; {allowed} would be its doing."
    if one.outlier is not None and one.outlier < len(one.values):
        value = say_value(one.values[one.outlier], one.dimension, style)
        return f"{said} Number {one.outlier + 1}, {value}, stands apart: read it once more."
    return f"{said} Nobody can say which one is wrong: read once more."


def _by_rule(view: InspectView) -> Table:
    return Table("", ("Piece", "Why"), view.by_rule, "nothing that follows from rules alone")


def _instruments(view: InspectView, style: Style) -> Iterator[Block]:
    rows = tuple(
        (
            tool.bench.name,
            say_value(tool.bench.instrument.resolution, tool.measures, style, 4),
            _certificate(tool, style),
            _scatter(tool, style),
            _due(tool),
        )
        for tool in view.tools
    )
    columns = ("Instrument", "Step", "On its certificate", "Scatter of one reading", "Due")
    yield Table("", columns, rows, "none in the register: usual practice values stand in")
    yield Fold("An instrument for the register", (ask_instrument(),), key="instrument")


def _certificate(tool: ToolLine, style: Style) -> str:
    expanded = 2 * tool.bench.instrument.calibration_uncertainty
    note = "" if not tool.bench.notes else ", a practice value"
    return f"± {say_value(expanded, tool.measures, style, 4)}{note}"


def _scatter(tool: ToolLine, style: Style) -> str:
    found = tool.bench.instrument.repeatability
    if found is None:
        return "not known"
    said = say_value(found, tool.measures, style, 4)
    if tool.bench.learned:
        return f"{said}, {tool.bench.learned} repeats of this job in it"
    return f"{said}, a practice value"


def _due(tool: ToolLine) -> Cell:
    if not tool.bench.due:
        return Cell("no date", "gap")
    return Cell(f"{tool.bench.due}, overdue", "bad") if tool.overdue else Cell(tool.bench.due)


def _money(view: InspectView) -> Iterator[Block]:
    if dict(view.costs).get("comeback-cost"):
        yield Say(
            "Where a part's price is known too, the choice with the least cost on average is "
            "taken; where somebody can be hurt, never one with a chance over 1 % that it is bad."
        )
    else:
        yield Say(
            "No money was given, so a reading has to prove a piece good or bad at 95 %; what "
            "proves neither is read again."
        )
    yield Fold("Set what things cost", asks_money(view), key="costs")
