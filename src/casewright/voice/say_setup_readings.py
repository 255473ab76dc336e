"""Set-up: responses against their windows, forecasts with their doubt, forms for readings."""

from __future__ import annotations

from dataclasses import replace

from casewright.phases.setup import ResponseLine, SetupView, Taken
from casewright.voice.document import (
    Ask,
    Block,
    Cell,
    Facts,
    Field,
    Fold,
    Hatch,
    Picture,
    Say,
    Section,
    Table,
)
from casewright.voice.draw_setup import Bar, bars, parts_of_doubt
from casewright.voice.quantities import Style, say, say_chance, say_change, say_pm, say_window
from casewright.voice.say_setup_words import PLACES, big, in_unit, interval, occasion_words

ALL_HOLD, NOT_ALL = "All of these hold: record", "Not all: keep it, don't count it"


def ask_reading(
    line: ResponseLine, occasion: str, style: Style, waves: bool = False, setting: str = ""
) -> Ask:
    """One response read on an occasion; its conditions answered with the same touch.

    `setting` names the nut, ring or sleeve whose place is typed with it.
    """
    response, style = line.response, style.near(line.limits)
    labels = line.wave_labels if waves else line.labels
    boxes = len(labels) or response.positions
    what = "What the gauge shows" if line.as_shown else "Read"
    fields: list[Field] = [
        Field(
            "values", f"{what}{' at these places' if labels else ''}", "quantity",
            line.limits.dimension, style.unit(line.limits.dimension), needed=True, boxes=boxes,
            labels=labels, hint=_window_hint(line, style),
        )
    ]  # fmt: skip
    if setting:
        hint = "like 2.25 turns, 90° or 3 notches from one start; more is further in"
        fields.append(Field("setting", f"Setting of the {setting}", "text", hint=hint))
    fixed: dict[str, object] = {"target": response.key, "occasion": occasion}
    if line.as_shown:
        fixed["as_shown"] = True
    if labels:
        fixed["at"] = labels
    button = "Record"
    if response.conditions:
        held = ";".join(response.conditions)
        fields.append(
            Field("conditions", "Conditions of the sheet", "tap",
                  choices=((held, ALL_HOLD), ("not all held", NOT_ALL)), needed=True)
        )  # fmt: skip
    title = big(response.name) + (": six places, for the waves" if waves else "")
    return Ask("reading", title, button, tuple(fields), fixed)


def _window_hint(line: ResponseLine, style: Style) -> str:
    """The window as printed, and where the gauge itself then stands."""
    hint = f"Window {line.limits.printed}"
    if not line.as_shown or line.added.needs or not line.limits.known:
        return hint
    low, high = (
        end if end is None else end - line.added.total
        for end in (line.limits.low, line.limits.high)
    )
    return f"{hint}: the gauge should show {say_window(low, high, 'length', style)}"


def added_rows(line: ResponseLine, style: Style) -> list[tuple[str, str]]:
    """What the tool adds to what the gauge shows, each with its sign."""
    gauge, rows = line.response.gauge, []
    if gauge is None or not line.as_shown:
        return []
    if gauge.constant and gauge.constant.value:
        way = "added to" if gauge.constant.value > 0 else "taken off"
        rows.append(
            ("Gauge constant", f"{gauge.constant}: {way} what the gauge shows, by the tool. Type "
             "what it shows.")
        )  # fmt: skip
    if line.etched is not None:
        way = "added to" if gauge.etched_sign == 1 else "taken off"
        number = "not typed yet: no reading counts before it is"
        if not line.added.needs:
            number = say_change(line.added.etched * (gauge.etched_sign or 1), "length", style)
        rows.append((big(line.etched.name), f"{number}; {way} what the gauge shows, by the tool"))
    return rows


def sum_words(one: Taken, style: Style) -> str:
    """How a reading came about: shown, plus constant, plus or minus the etched number."""
    if not one.shown:
        return ""
    shown = ", ".join(say(v, "length", style).rsplit(" ", 1)[0] for v in one.shown)
    parts = [f"shows {shown}"]
    if one.added.constant:
        parts.append(f"{say_change(one.added.constant, 'length', style)} constant")
    if one.added.etched_name:
        parts.append(f"{say_change(one.added.etched, 'length', style)} {one.added.etched_name}")
    return "; ".join(parts)


def how_to_read(line: ResponseLine, style: Style) -> tuple[Block, ...]:
    """Gauge, pull, places and conditions, before the form."""
    rows: list[tuple[str, str]] = []
    gauge = line.response.gauge
    if gauge and gauge.how:
        rows.append(("Gauge", gauge.how))
    rows += added_rows(line, style)
    if line.pull:
        rows.append(("Hold", line.pull))
    rows += [("Must hold", condition) for condition in line.response.conditions]
    if line.response.kind == "lash" and line.response.lever is not None:
        lever = line.response.lever
        rows.append(("At the mark", f"{lever.radius} out on the {lever.on}"))
    if line.tooth_factor > 1:
        rows.append(
            ("Teeth", f"they share the factor {line.tooth_factor}: mark a pair and meet it again")
        )
    return (Facts(tuple(rows)),) if rows else ()


def readings_section(view: SetupView, style: Style) -> Section:
    """Windows, readings and forecasts in numbers; the working, the forms."""
    rows = tuple(_row(line, style, view.standing == "final") for line in view.lines)
    columns = ("Response", "Window as printed", "Read now", "Expected", "In window")
    blocks: list[Block] = [Table("", columns, rows, "no responses in the sheet")]
    blocks += [Say(f"{big(line.response.name)}: {line.left_out}.", "gap")
               for line in view.lines if line.left_out and not line.limits.known]  # fmt: skip
    blocks += [
        Facts(tuple(added_rows(line, style)), f"Added to the gauge: {line.response.name}")
        for line in view.lines
        if line.as_shown
    ]
    blocks += _not_counted(view)
    blocks += _folds(view, style)
    return Section("readings", f"Readings, {occasion_words(view.standing)}", tuple(blocks))


def windows_picture(view: SetupView, style: Style) -> Picture | None:
    """Every response against its window on one picture; None where there is nothing to draw."""
    made = tuple(bar for line in view.lines if (bar := _bar(line, style)) is not None)
    title = "Each response against its window, with the packs fitted now"
    return bars(made, title) if made else None


def _bar(line: ResponseLine, style: Style) -> Bar | None:
    style = style.near(line.limits)
    dimension = line.limits.dimension
    counted = [one for one in line.now if one.counts and one.values]
    told = line.forecast
    if not line.limits.known and not counted:
        return None
    read = counted[-1].mean if counted else None
    return Bar(
        line.response.name,
        in_unit(line.limits.low, dimension, style), in_unit(line.limits.high, dimension, style),
        in_unit(read, dimension, style), in_unit(told.mean if told else None, dimension, style),
        in_unit(told.low if told else None, dimension, style),
        in_unit(told.high if told else None, dimension, style),
        line.limits.printed, interval(told, dimension, style),
        say(read, dimension, style) if read is not None else "",
    )  # fmt: skip


def _row(line: ResponseLine, style: Style, final: bool) -> tuple[Cell | str, ...]:
    dimension, style = line.limits.dimension, style.near(line.limits)
    counted = [one for one in line.now if one.counts and one.values]
    read = say(counted[-1].mean, dimension, style) if counted else ""
    told = line.forecast
    expected = say_pm(told.mean, 1.96 * told.deviation, dimension, style) if told else ""
    return (
        line.response.name,
        _window_cell(line, style),
        read,
        expected,
        _verdict(line, None if final else told),
    )


def _window_cell(line: ResponseLine, style: Style) -> Cell:
    beside = [
        f"{PLACES.get(place, place)} {say_window(low, high, _dimension(place), style)}"
        for place, low, high in line.beside
        if place in ("mean", "angle")
    ]
    return Cell(line.limits.printed, "" if line.limits.known else "gap", "; ".join(beside))


def _dimension(place: str) -> str:
    return "angle" if place == "angle" else "length"


def _verdict(line: ResponseLine, told: object) -> Cell:
    """The forecast's chance; without one, and of the final build, how the reading stands."""
    from casewright.reasoning.shim_choice import ResponseForecast

    if not line.limits.known:
        return Cell("no window: kept, no verdict", "gap")
    if isinstance(told, ResponseForecast):
        hatch: Hatch = "good" if told.chance > 0.95 else "bad" if told.chance < 0.3 else "unsure"
        return Cell(say_chance(told.chance), hatch)
    if not line.read_now:
        return Cell("not read yet", "next", line.left_out)
    word = inside_word(line)
    return Cell(word, "good" if word == "inside" else "bad", line.left_out)


def inside_word(line: ResponseLine) -> str:
    """Inside or outside, by the last reading that counts."""
    mean = next((one.mean for one in reversed(line.now) if one.counts), None)
    if mean is None:
        return "not read"
    return "inside" if line.limits.holds(mean) else "outside"


def _not_counted(view: SetupView) -> list[Block]:
    return [
        Say(
            f"{big(line.response.name)}, {occasion_words(one.occasion)}: kept, not counted; "
            f"{one.why_not}.",
            "unsure",
        )
        for line in view.lines
        for one in line.readings
        if one.why_not and (one.occasion == view.standing or not line.read_now)
    ]


def _folds(view: SetupView, style: Style) -> list[Block]:
    blocks: list[Block] = []
    occasion = view.standing
    forms = [with_constant(ask_reading(line, occasion, style), line) for line in view.lines]
    waves = [ask_reading(line, occasion, style, True) for line in view.lines if line.wave_labels]
    if forms:
        blocks.append(Fold(f"Take any reading, {occasion_words(occasion)}", tuple(forms)))
    if waves:
        note = Say(
            "Four places give the mean. Six or more also give the waves of gear and pinion and the "
            "least and most lash over the whole round."
        )
        blocks.append(Fold("Read lash at six places", (note, *waves)))
    if doubt := _doubt(view):
        blocks.append(Fold("Which part of the doubt comes from what", doubt))
    history = tuple(_history(line, style) for line in view.lines if line.readings)
    if history:
        blocks.append(Fold("Every reading so far", history))
    if view.plan and view.plan.rates:
        blocks.append(Fold("How much each adjuster moves, as known now", (_rates(view, style),)))
    return blocks


def with_constant(ask: Ask, line: ResponseLine) -> Ask:
    """The same form with the gauge's constant open to a better one, found on a master."""
    gauge = line.response.gauge
    if gauge is None or not line.as_shown:
        return ask
    own = Field(
        "constant", "Gauge constant, added", "text",
        value=str(gauge.constant) if gauge.constant else "0 mm",
        hint="another one, found on a master, counts for this reading",
    )  # fmt: skip
    return replace(ask, fields=(*ask.fields[:1], own, *ask.fields[1:]))


def _doubt(view: SetupView) -> tuple[Block, ...]:
    blocks = []
    for line in view.lines:
        rows = tuple((_source(view, s.source), s.share) for s in line.shares if abs(s.share) > 0.02)
        if rows:
            blocks.append(parts_of_doubt(rows[:6], f"{big(line.response.name)}: its doubt"))
    return tuple(blocks)


def _source(view: SetupView, key: str) -> str:
    return view.labels.get(key, key.partition(":")[2] or key)


def _history(line: ResponseLine, style: Style) -> Table:
    rows = tuple(_history_row(line, one, style) for one in line.readings)
    columns = ("When", "Read", "Mean", "Round the turn", "Counts")
    return Table(big(line.response.name), columns, rows)


def _history_row(line: ResponseLine, one: Taken, style: Style) -> tuple[Cell | str, ...]:
    dimension, style = line.limits.dimension, style.near(line.limits)
    numbers = (say(value, dimension, style).rsplit(" ", 1)[0] for value in one.values)
    values = Cell(", ".join(numbers), "", sum_words(one, style))
    mean = say(one.mean, dimension, style) if one.values else ""
    counts = (
        Cell("kept, not counted", "unsure", one.why_not) if one.why_not else Cell("yes", "done")
    )
    return (occasion_words(one.occasion), values, mean, _waves(one, dimension, style), counts)


def _waves(one: Taken, dimension: str, style: Style) -> str:
    found = one.waves
    if found is None or found.swing is None or found.low is None or found.high is None:
        return one.waves_note
    return (
        f"gear ± {say(found.gear_swing, dimension, style)}, pinion ± "
        f"{say(found.pinion_swing, dimension, style)}; "
        f"{say_window(found.low, found.high, dimension, style)}, each ± "
        f"{say(found.swing_deviation, dimension, style)}"
    )


def _rates(view: SetupView, style: Style) -> Table:
    assert view.plan is not None
    seats = {walk.adjuster.key: walk.adjuster.name for walk in view.walks}
    lines = {line.response.key: line for line in view.lines}
    rows = tuple(
        (
            seats[rate.adjuster],
            lines[rate.response].response.name,
            say_pm(rate.value * 1e-4, rate.deviation * 1e-4,
                   lines[rate.response].limits.dimension, style),
            rate.source,
        )
        for rate in view.plan.rates
    )  # fmt: skip
    return Table(
        "For 0.10 mm more, ± one standard deviation", ("Adjuster", "Moves", "By", "From"), rows
    )
