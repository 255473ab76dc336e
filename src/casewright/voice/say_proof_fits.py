"""Press fits: press or heat, how hot at most, how long it takes, and what grips at work."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.job.torque_log import closing
from casewright.phases.proof import FitSum
from casewright.voice.document import (
    Block,
    Caution,
    Cell,
    Facts,
    Fold,
    Hatch,
    Link,
    Say,
    Section,
    Table,
)
from casewright.voice.quantities import Style
from casewright.voice.say_proof_parts import (
    STANDING,
    cautions,
    degrees,
    force,
    lasting,
    small,
    went_by,
    working_fold,
)

WAYS: dict[str, tuple[str, Hatch]] = {
    "heat": ("heat the housing", "good"),
    "chill": ("chill the part, warm the housing", "good"),
    "press": ("press", "unsure"),
    "slides": ("slides in by hand", "good"),
    "none": ("no safe way found", "bad"),
    "": ("not told", "gap"),
}


def fits_section(fits: tuple[FitSum, ...], tonnes: float, style: Style) -> Section:
    """All press fits of the sheet, those that were opened first."""
    if not fits:
        gap = Say("No fits: press force and heat are not told; the maker's manual is.", "gap")
        return Section("fits", "Press fits", (gap, Caution(STANDING)))
    rows = tuple(_row(one, style) for one in fits if one.opened)
    columns = ("Fit", "Interference", "Way", "Heat the housing", "Press force")
    table = Table("", columns, rows, "no press fit was opened in this job")
    blocks: list[Block] = [Caution(STANDING), table]
    blocks += [_fold(one, tonnes, style) for one in fits if one.opened]
    others = tuple(_fold(one, tonnes, style) for one in fits if not one.opened)
    if others:
        blocks.append(Fold("Fits that weren't opened in this job", others))
    return Section("fits", "Press fits", tuple(blocks))


def _row(one: FitSum, style: Style) -> tuple[Cell | str, ...]:
    words, hatch = ("refused", "bad") if one.refusal else WAYS[one.way]
    return (
        closing(one.name), _span(one, style), Cell(words, hatch),  # type: ignore[arg-type]
        _heat(one, style), _press(one, style),
    )  # fmt: skip


def _span(one: FitSum, style: Style) -> str:
    if one.span is None:
        return "not known"
    low, high = one.span.least, one.span.most
    if high <= 0:
        return f"clear by {small(-high, style)} to {small(-low, style)}"
    return f"{small(low, style)} to {small(high, style)}"


def _heat(one: FitSum, style: Style) -> str:
    if one.heat is None:
        return "not needed" if one.way == "slides" else ""
    window = one.heat.window
    if window.is_open:
        return f"{degrees(window.low, style)} to {degrees(window.high, style)}, never above"
    return f"no: needs {degrees(window.low, style)}, at most {degrees(window.high, style)}"


def _press(one: FitSum, style: Style) -> str:
    if one.press is None:
        return ""
    return (
        f"{force(max(one.press.force.least, 0.0), style)} to {force(one.press.force.most, style)}"
    )


def _fold(one: FitSum, tonnes: float, style: Style) -> Fold:
    return Fold(closing(one.name), tuple(_details(one, tonnes, style)))


def _details(one: FitSum, tonnes: float, style: Style) -> Iterator[Block]:
    if one.refusal:
        yield Say(one.refusal, "bad")
        yield from cautions(())
        return
    if one.heat is not None:
        flames = (text for times in one.times for text in times.time.cautions)
        yield from cautions((*one.heat.cautions, *flames))
        yield Caution(
            f"Never above {degrees(one.heat.window.high, style)}: {one.heat.window.limiting}.",
            "Hard limit",
        )
    yield Facts(tuple(_facts(one, tonnes, style)))
    if one.heat is not None:
        yield Say(_first_big(one.heat.advice) + ".", "estimate")
    if one.left:
        yield Say(
            "Still in this unit and warmed with it: " + ", ".join(one.left) + ". Take seals out "
            "first, or keep below their ceiling."
        )
    if one.press is not None and one.press.yields:
        yield Say("At the most interference the seat yields: it would not hold again.", "bad")
    yield from _grip(one, style)
    yield from (Say(gap, "gap" if "not in the sheet" in gap else "plain") for gap in one.gaps)
    yield from _workings(one, style)
    if one.press is not None or one.heat is not None:
        yield _snapshot(one, tonnes, style)
    if one.span is not None and one.span.most > 0:
        yield Link("Other figures: the bench sum of this fit", "sum:heat-bore", given=_given(one))


def _facts(one: FitSum, tonnes: float, style: Style) -> Iterator[tuple[str, str]]:
    if one.span is not None:
        yield "Interference", f"{_span(one, style)}, from {one.span.origin}"
    for words, reading in (("Shaft", one.shaft), ("Bore", one.bore)):
        if reading is not None:
            size = f"{reading.diameter * 1e3:.4f} ± {2e3 * reading.uncertainty:.4f} mm"
            yield words, f"{size} ({reading.feature})"
    if one.press is not None and one.capacity is not None:
        yield "Press force, full depth", _press(one, style)
        verdict = one.capacity
        yield f"A press of {tonnes:g} t", f"{verdict.verdict}: {verdict.reason}"
    if one.heat is not None:
        yield "Heat the housing to", _heat(one, style)
        for option in one.heat.chilled:
            window = option.window
            said = window.advice if window.is_open else "no safe window either"
            yield f"Part from the {option.coolant.name}", said
    for times in one.times:
        span = f"{lasting(times.time.quickest)} to {lasting(times.time.slowest)}"
        place = f" set to {degrees(times.set_to, style)}" if times.set_to else ""
        yield f"{_first_big(times.source)}{place}", f"{span}, {one.heated} ({times.time.outcome})"
    if one.carry is not None:
        span = f"{lasting(one.carry.quickest)} to {lasting(one.carry.slowest)}"
        yield "Clearance lasts in still air", f"{span}; once they touch, seconds"


def _grip(one: FitSum, style: Style) -> Iterator[Block]:
    """What holds at work; a ring that would spin is said."""
    if one.grip_likely is None or one.press is None:
        return
    likely, worst = one.grip_likely, one.press.grip
    yield Say(
        f"At 60 °C at work: {likely.advice} (likely interference); {worst.advice} (least).",
        "bad" if likely.would_spin else "unsure" if worst.would_spin else "estimate",
    )
    if worst.would_spin:
        yield Say(
            "Read shaft and bore: if it is near the least, the seat is worn, or it needs the "
            "maker's retaining compound or another part."
        )


def _workings(one: FitSum, style: Style) -> Iterator[Block]:
    if one.press is not None:
        yield working_fold("Press force and grip", one.press.working, style)
    if one.heat is not None:
        yield working_fold("Heat window", one.heat.window.working, style)
    for times in one.times:
        yield working_fold(f"Time: {times.source}", times.time.working, style)


def _snapshot(one: FitSum, tonnes: float, style: Style) -> Fold:
    """The figures of this fit as they stand, for who went by them."""
    inputs = {words: text for words, text in _facts(one, tonnes, style) if words in READ}
    outputs = {words: text for words, text in _facts(one, tonnes, style) if words not in READ}
    outputs = {"in words": WAYS[one.way][0], **outputs}
    working = one.press.working if one.press is not None else None
    if working is None and one.heat is not None:
        working = one.heat.window.working
    return went_by(f"press fit: {closing(one.name)}", inputs, outputs, working)


def _given(one: FitSum) -> dict[str, str]:
    """What the bench sum of heat needs of this fit."""
    assert one.span is not None
    return {
        "diameter": f"{one.fit.diameter.value * 1e3:.3f} mm",
        "interference": f"{one.span.most * 1e6:.1f} µm",
        "hub": one.fit.hub_material,
        "ring": one.fit.shaft_material,
        **({"ceiling": f"{one.heat.window.high - 273.15:.1f} °C"} if one.heat else {}),
    }


READ = ("Interference", "Shaft", "Bore")


def _first_big(text: str) -> str:
    return text[:1].upper() + text[1:]
