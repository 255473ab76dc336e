"""One piece of the inspection: its verdict, its features, rework, wear, damage, the working."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.job.measured import OneReading
from casewright.job.state import KeptReading
from casewright.phases.inspect import FeatureLine, LaterPiece, PieceLine
from casewright.reasoning.verdict import Choice
from casewright.voice.document import (
    Ask,
    Block,
    Cell,
    Facts,
    Fold,
    Link,
    Picture,
    Say,
    Section,
    Table,
)
from casewright.voice.draw_damage import draw_damage
from casewright.voice.draw_reading import ReadingRow, draw_readings
from casewright.voice.quantities import Style, say_change, working_rows
from casewright.voice.quantities import say as say_value
from casewright.voice.say_inspect_asks import (
    ask_damage,
    ask_feature,
    ask_limit,
    ask_reworked,
    ask_verdict,
    asks_new,
)
from casewright.voice.say_inspect_bend import bend_blocks
from casewright.voice.say_inspect_gauged import brought_facts, brought_words, guess_blocks
from casewright.voice.say_inspect_used import asks_used, used
from casewright.voice.say_inspect_words import (
    TONE,
    capital,
    decision_cell,
    inside_words,
    outcome_cell,
    read_words,
    why_open,
    window_words,
)

COLUMNS = ("What", "Found", "Limits", "That says", "Truly inside")


def piece_section(
    piece: PieceLine, style: Style, trial: str, here: bool, photos: tuple[tuple[str, str], ...] = ()
) -> Section:
    """Everything about one piece; folded on a page unless the next thing is `here`."""
    inner: tuple[Block, ...] = (
        *_verdict(piece),
        *_features(piece, style),
        *_reworks(piece),
        *_lives(piece, style),
        *used(piece, style),
        *_damage(piece),
        *_later(piece, style, trial),
        *_workings(piece.features, style),
        _forms(piece, style, photos),
    )
    fold = None if here else _standing(piece)
    return Section(f"piece-{piece.position}", capital(piece.name), inner, fold)


def _standing(piece: PieceLine) -> Cell:
    """How a piece stands in a word, with why: what its folded section says."""
    if piece.verdict is not None:
        return decision_cell(piece.verdict.decision, piece.verdict.reason)
    if not piece.on_bench:
        return Cell("still in the leg", "gap")
    return Cell("open", "next", why_open(piece))


def _verdict(piece: PieceLine) -> Iterator[Block]:
    found = piece.verdict
    if found is None:
        yield Say(f"Not judged yet: {why_open(piece)}.")
    else:
        by = "" if found.by in ("readings", "the sheet's rule") else f" ({found.by})"
        said = f"{found.decision.capitalize()}: {found.reason}{by}."
        yield Say(said.replace("..", "."), TONE.get(found.decision, "unsure"))
    alone = piece.tool
    if found and alone and alone.decision != found.decision:
        yield Say(f"By itself the tool would say {alone.decision}: {alone.reason}.", "estimate")
    if piece.one_time:
        yield Say(f"A one-time part: {piece.one_time}.")
    if piece.mates:
        yield Say(f"A matched set: stays or goes with {', '.join(piece.mates)}.")
    if piece.consequence == "safety":
        yield Say("If this fails somebody can be hurt: in doubt it is replaced.", "bad")


def _features(piece: PieceLine, style: Style) -> Iterator[Block]:
    asked = piece.on_bench and not piece.is_settled
    shown = tuple(line for line in piece.features if line.word != "unread" or asked)
    if not shown:
        return
    yield _table("", shown, style)
    picture = _picture(shown, style, f"{piece.name}: readings against their limits")
    if picture is not None:
        yield picture
    for line in shown:
        yield from _remarks(line, style)


def _table(title: str, lines: tuple[FeatureLine, ...], style: Style) -> Table:
    rows = tuple(
        (
            line.feature.name,
            Cell(read_words(line, style), "", _by(line)),
            window_words(line, style),
            outcome_cell(line),
            inside_words(line),
        )
        for line in lines
    )
    return Table(title, COLUMNS, rows)


def _by(line: FeatureLine) -> str:
    if line.verdict is None:
        return line.look.who if line.look else ""
    reading = line.verdict.measured.stands.reading
    return f"{line.verdict.measured.stands.instrument.name}, {reading.who}"


def _picture(lines: tuple[FeatureLine, ...], style: Style, title: str) -> Picture | None:
    rows = [row for line in lines if (row := _row(line, style)) is not None]
    return draw_readings(rows, title) if rows else None


def _row(line: FeatureLine, style: Style) -> ReadingRow | None:
    found = line.verdict.measured.stands if line.verdict else None
    if found is None or found.conformance is None or found.sized is None:
        return None
    size, limits = found.sized.budget, line.limits
    assert size is not None
    low, high = (
        say_value(end, limits.dimension, style) if end is not None else ""
        for end in (limits.low, limits.high)
    )
    return ReadingRow(
        line.feature.name, size.value, size.expanded_uncertainty, limits.low, limits.high,
        say_value(size.value, limits.dimension, style), low, high,
        f"{say_value(size.value, limits.dimension, style)}: {line.choice}",
    )  # fmt: skip


def _remarks(line: FeatureLine, style: Style) -> Iterator[Block]:
    """What else is to be said of a feature: gaps, weak instruments, form, what keeping it means."""
    name = capital(line.feature.name)
    if not line.limits.known and not line.is_look:
        yield Say(f"{name}: no limit, so readings are kept and nobody can judge them.", "gap")
    yield from guess_blocks(line, style)
    if line.before is not None:
        yield Say(f"{name}: {_before(line.before)}")
    if line.verdict is None:
        return
    found = line.verdict
    if found.verdict and found.verdict.choice is not Choice.USE_AGAIN and found.what_if:
        yield Say(f"{name}: {found.verdict.because}; {found.what_if.words}.")
    if line.warning and found.verdict and found.verdict.choice is Choice.READ_AGAIN:
        yield Say(f"{name}: {line.warning}", "unsure")
    yield from _form(line, found.measured.stands, style)


def _before(reading: KeptReading) -> str:
    body = reading.body
    values = ", ".join(body.values[:8])
    unit = f" {body.unit}" if body.unit and body.unit not in values else ""
    at = f" at {body.hours}" if body.hours else ""
    return (
        f"read on an earlier visit ({reading.happened_at[:10]}{at}): {values}{unit}. Read it again "
        "and the wear between follows."
    )


def _form(line: FeatureLine, stands: OneReading, style: Style) -> Iterator[Block]:
    sized = stands.sized
    if sized is None:
        return
    said = [*_form_words(stands, style)]
    if sized.brought is not None:
        said += brought_words(sized.brought, style)
    if sized.correction is not None:
        change = say_change(sized.correction.correction, "length", style)
        said.append(f"brought to 20 °C: {change}")
    if said:
        yield Say(f"{capital(line.feature.name)}: {'; '.join(said)}.")
    if sized.bend is not None:
        yield from bend_blocks(sized.bend, line.feature.name, style)
    for note in sized.notes:
        yield Say(f"{capital(line.feature.name)}: {note[:1].lower()}{note[1:]}", "unsure")


def _form_words(stands: OneReading, style: Style) -> Iterator[str]:
    form, turn = (stands.sized.form, stands.sized.turn) if stands.sized else (None, None)
    if form is not None:
        yield f"mean {say_value(form.size, 'length', style)}"
        if form.ovality is not None:
            yield f"ovality {say_value(form.ovality, 'length', style)}"
        if form.taper_over_length is not None:
            yield f"taper {say_value(abs(form.taper_over_length), 'length', style)} over its height"
    if turn is not None:
        yield f"eccentricity {say_value(turn.eccentricity, 'length', style)}"
        yield f"the dial moved {say_value(turn.raw_span, 'length', style)} in all"
        yield f"high spot at {turn.high_spot * 57.29578:.0f}° from the mark"


def _reworks(piece: PieceLine) -> Iterator[Block]:
    """Reworks for features that are out: on what terms, and what is measured afterwards."""
    wanted = piece.verdict is not None and piece.verdict.decision == "rework"
    by_tool = piece.verdict is None or piece.verdict.by == "readings"
    for line in piece.features:
        out = line.choice in ("rework", "replace")
        if line.verdict is None or not (out and (wanted or by_tool)):
            continue
        for offer in line.verdict.reworks:
            rows = [("For", line.feature.name)]
            if offer.barred or offer.only_if:
                rows.append(("Not" if offer.barred else "Only", offer.barred or offer.only_if))
            rows += [("If", text) for text in offer.conditions]
            rows += [("Measure afterwards", text) for text in offer.measure_after]
            rows += [("Caution", text) for text in offer.cautions]
            yield Facts(tuple(rows), f"Rework: {offer.label}")
    if wanted and not any(one.origin == "reworked" for one in piece.later):
        yield ask_reworked(piece)


def _lives(piece: PieceLine, style: Style) -> Iterator[Block]:
    for line in piece.features:
        if line.life is None:
            continue
        life, apart = line.life, _hours(line.life.apart)
        by = " by the calendar" if life.by_calendar else " of running"
        worn = say_change(life.later - life.earlier, "length", style)
        said = f"{capital(line.feature.name)}: {worn} in {apart}{by}; "
        even, early = life.found.even_chance, life.found.cautious
        if even is None:
            said += "as far as the readings can tell it doesn't wear."
        else:
            said += f"even chance to reach the limit after {_hours(even)} more"
            said += f", one in ten sooner than {_hours(early)}." if early is not None else "."
        yield Say(said, "estimate")


def _hours(seconds: float) -> str:
    hours = seconds / 3600
    return f"{hours:.0f} h" if hours < 20000 else f"{hours / 8766:.0f} years"


def _damage(piece: PieceLine) -> Iterator[Block]:
    if not piece.damages:
        return
    rows = tuple(
        (
            one.name,
            one.severity or "not said",
            one.known.step(one.severity) if one.known else "",
            one.words,
            one.who,
        )
        for one in piece.damages
    )
    yield Table("Damage found", ("What", "How bad", "Means", "In words", "Who"), rows)
    for one in piece.damages:
        if one.photo:
            yield Link(f"Photograph: {one.name}", f"photo:{one.photo}")
    for known in dict.fromkeys(one.known for one in piece.damages if one.known):
        yield draw_damage(known)
        yield Say(f"{known.name.capitalize()} mostly comes from: {known.comes_from}.")


def _later(piece: PieceLine, style: Style, trial: str) -> Iterator[Block]:
    """Pieces that came for this place: what was read on them, and the forms to read them."""
    for one in piece.later:
        read = tuple(line for line in one.features if line.word != "unread")
        if read:
            yield _table(f"Read on {one.piece} ({one.origin})", read, style)
            picture = _picture(read, style, f"{one.piece}: readings against their limits")
            if picture is not None:
                yield picture
        elif one.features:
            yield Say(
                f"{one.piece} ({one.origin}) came for this place; nothing was read on it yet."
            )
        if one.word is not None:
            body = one.word.body
            said = f"{one.piece}: {body.decision}, {body.reason} ({one.word.who})."
            yield Say(said, TONE.get(body.decision, "unsure"))
        asks = tuple(_later_asks(piece, one, style, trial))
        yield Fold(f"Read or judge {one.piece}", _each_folded(asks), key=f"judge-{one.piece}")


def _later_asks(piece: PieceLine, one: LaterPiece, style: Style, trial: str) -> Iterator[Ask]:
    for line in one.features:
        if line.word == "unread":
            yield ask_feature(piece, line, style, of=one.piece, occasion=trial)
    yield ask_verdict(piece, of=one.piece)


def _workings(lines: tuple[FeatureLine, ...], style: Style) -> Iterator[Block]:
    """The working behind every size and verdict of the piece, in one fold."""
    facts = [block for line in lines for block in _working(line, style)]
    if facts:
        yield Fold("The working: doubt and verdict of each reading", tuple(facts))


def _working(line: FeatureLine, style: Style) -> Iterator[Block]:
    found = line.verdict
    if found is None or found.measured.stands.sized is None:
        return
    sized, name = found.measured.stands.sized, line.feature.name
    if sized.budget is not None:
        notes = tuple(("Note", note) for note in found.measured.stands.instrument.notes)
        yield Facts((*working_rows(sized.budget.working, style), *notes), f"{name}: doubt")
    if sized.brought is not None:
        yield brought_facts(sized.brought, name, style)
    for part in (sized.form, sized.turn, sized.bend):
        if part is not None:
            yield Facts(working_rows(part.working, style), f"{name}: form")
    if found.verdict is not None:
        yield Facts(_verdict_rows(line, style), f"{name}: verdict")


def _verdict_rows(line: FeatureLine, style: Style) -> tuple[tuple[str, str], ...]:
    found = line.verdict
    assert found is not None
    assert found.verdict is not None
    # The verdict's working speaks of lengths; other kinds of quantity show their options only.
    is_length = line.limits.dimension == "length"
    rows = working_rows(found.verdict.working, style) if is_length else ()
    options = tuple(
        (f"{option.choice.value} {option.detail}".strip(), option.barred or "open")
        for option in found.verdict.options
    )
    kept = (("Kept as it is", found.what_if.words),) if found.what_if else ()
    return (*rows, *options, *kept)


def _forms(piece: PieceLine, style: Style, photos: tuple[tuple[str, str], ...]) -> Fold:
    """Every form of the piece, fetched when asked for: the page is read more than written."""
    lines = sorted(piece.features, key=lambda line: line.word != "unread")
    limits = (
        ask_limit(line, style)
        for line in piece.features
        if not line.limits.known and not line.is_look
    )
    asks = (
        *(ask_feature(piece, line, style) for line in lines),
        ask_damage(piece, photos),
        ask_verdict(piece),
        *limits,
        *asks_new(piece),
        *asks_used(piece, style),
    )
    title = f"Read, look at or judge the {piece.name}"
    return Fold(title, _each_folded(asks), key=f"judge-{piece.position}")


def _each_folded(asks: tuple[Ask, ...]) -> tuple[Fold, ...]:
    """A list of what can be recorded, the first open: a long row of forms is hard to search."""
    return tuple(Fold(ask.title, (ask,), open=number == 0) for number, ask in enumerate(asks))
