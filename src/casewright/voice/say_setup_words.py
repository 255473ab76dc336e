"""Set-up's small words: sign lines, pack changes, occasions, intervals."""

from __future__ import annotations

import math

from casewright.drive.schema import PACKED
from casewright.phases.setup import DryLine, PackStep, SeatLine, SetupView, SignLine, Walk
from casewright.phases.setup.signs import STEP
from casewright.reasoning.shim_choice import ResponseForecast
from casewright.units import DIMENSIONS, write
from casewright.voice.quantities import Style, say_chance, say_change, say_minutes

UP_DOWN = {
    "pinion-height": ("reads more", "reads less"),
    "lash": ("opens", "closes"),
    "end-play": ("grows", "shrinks"),
    "preload": ("rises", "falls"),
    "turning-torque": ("rises", "falls"),
}
# Thicknesses nearer together than this are the same to a technician [m].
SAME_SIZE = 5e-7
PLACES = {
    "mean": "at the mean of the teeth",
    "outer": "at the outer end", "normal": "square to the teeth",
    "normal outer": "square to the teeth, outer end", "angle": "as an angle",
}  # fmt: skip


def big(text: str) -> str:
    """With a capital at the start."""
    return text[:1].upper() + text[1:]


def shim(size: float, style: Style) -> str:
    """A shim's thickness without its unit: 0.10, or .004 where inches are shown."""
    places = 4 if style.unit("length") == "in" else 2
    fine = abs(size * 1e5 - round(size * 1e5)) > 1e-3 and places == 2
    return write(size, "length", style.unit("length"), 3 if fine else places).rsplit(" ", 1)[0]


def thickness(size: float, style: Style) -> str:
    """A shim's or pack's thickness with its unit."""
    return f"{shim(size, style)} {style.unit('length')}"


def step_for(style: Style) -> float:
    """One step of the sign walk as a round number of the unit shown [m]."""
    return 0.004 * 25.4e-3 if style.unit("length") == "in" else STEP


def sign_line(line: SignLine, style: Style) -> str:
    """How one response changes: "ahead lash opens by about 0.09 mm"."""
    word = UP_DOWN[line.kind][0 if line.sign > 0 else 1]
    if line.change is None:
        return f"{line.name} {word}; how much is learned from two trials"
    amount = write(
        abs(line.change) * step_for(style) / STEP, line.dimension, style.unit(line.dimension)
    )
    about = "about " if line.source != "sheet" or line.deviation > 0.05 * abs(line.change) else ""
    return f"{line.name} {word} by {about}{amount}"


def walk_says(walk: Walk, style: Style) -> str:
    """The whole sentence that a person confirms."""
    turned = walk.adjuster.kind not in PACKED
    step = "turned in" if turned else f"{thickness(step_for(style), style)} more here"
    moves = {
        "away from the mesh": f"the {walk.member} goes away from the mesh",
        "towards the mesh": f"the {walk.member} goes towards the mesh",
        "not at all": "no gear moves",
    }[walk.adjuster.thicker_moves]
    lines = "; ".join(
        f"{line.name} {UP_DOWN[line.kind][0 if line.sign > 0 else 1]}" if turned
        else sign_line(line, style)
        for line in walk.lines
    )  # fmt: skip
    return f"{step}: {moves}; {lines or 'no reading of the sheet changes'}"


def sizes_text(sizes: tuple[float, ...], style: Style, total: float | None = None) -> str:
    """A pack as marked: 0.10 + 0.13 + 0.30 = 0.53 mm; its measured total where that differs."""
    if not sizes:
        return "nothing"
    if total is not None and abs(total - sum(sizes)) > SAME_SIZE:
        marked = " + ".join(shim(size, style) for size in sorted(sizes))
        return f"{marked}, measured {thickness(total, style)}"
    parts = " + ".join(shim(size, style) for size in sorted(sizes))
    if len(sizes) == 1:
        return f"{parts} {style.unit('length')}"
    return f"{parts} = {thickness(sum(sizes), style)}"


HANDS = "Battery and ignition disconnected before hands come near shafts, gears or propeller."
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def count_word(number: int) -> str:
    """Small numbers in words."""
    return COUNTS[number] if 0 <= number < len(COUNTS) else str(number)


def change_words(seat: SeatLine, style: Style) -> str:
    """The change at a seat: "take one 0.10 out, put one 0.13 in"; "stays as it is"."""
    if not seat.change:
        return "stays as it is"
    return ", ".join(_step_words(step, style) for step in seat.change)


def _step_words(step: PackStep, style: Style) -> str:
    """By the size that is marked on the shim; what it measures only where that differs."""
    verb = "take" if step.action == "out" else "put"
    said = f"{verb} {count_word(step.count)} {shim(step.nominal, style)} {step.action}"
    if abs(step.thickness - step.nominal) <= SAME_SIZE:
        return said
    return f"{said} ({shim(step.thickness, style)} by the micrometer)"


def occasion_words(occasion: str) -> str:
    """trial-2 as people say it."""
    if occasion.startswith("trial-"):
        return f"trial {occasion.removeprefix('trial-')}"
    return {"as-found": "as found", "as-received": "as received", "final": "final build"}.get(
        occasion, occasion
    )


def interval(one: ResponseForecast | None, dimension: str, style: Style) -> str:
    """A forecast as its 95 % interval; no shaft turns with less than no torque."""
    if one is None:
        return ""
    unit, least = style.unit(dimension), 0.0 if dimension == "torque" else -math.inf
    ends = (max(value, least) for value in (one.low, one.high))
    low, high = (write(value, dimension, unit).rsplit(" ", 1)[0] for value in ends)
    return f"{low} to {high} {unit}"


def in_unit(value: float | None, dimension: str, style: Style) -> float | None:
    """A value as a plain number of the person's unit, for pictures."""
    if value is None:
        return None
    unit = style.unit(dimension)
    sign = next(u for u in DIMENSIONS[dimension].units if u.sign == unit).sign
    return float(write(value, dimension, sign, 6).rsplit(" ", 1)[0])


def dry_says(line: DryLine, style: Style) -> str:
    """What a dry difference calls for: "0.07 mm less pack"."""
    if line.pack_change is None:
        return ""
    more = "more" if line.pack_change > 0 else "less"
    if abs(line.pack_change) < 5e-7:
        return "the same: no change of pack"
    return (
        f"{say_change(line.difference or 0.0, 'length', style)}: alone it calls for "
        f"{thickness(abs(line.pack_change), style)} {more} pack"
    )


def seat_name(view: SetupView, key: str) -> str:
    """An adjuster's name."""
    return next((w.adjuster.name for w in view.walks if w.adjuster.key == key), key)


def response_name(view: SetupView, key: str) -> str:
    """A response's name."""
    return next((one.response.name for one in view.lines if one.response.key == key), key)


def named(view: SetupView, text: str) -> str:
    """Keys in a sentence of the core replaced by the sheet's names."""
    for walk in view.walks:
        text = text.replace(walk.adjuster.key, walk.adjuster.name)
    for line in view.lines:
        text = text.replace(line.response.key, line.response.name)
    return text


def price_words(view: SetupView) -> str:
    """What one more assembly costs against what it may bring."""
    stop = view.plan.stop if view.plan else None
    if stop is None:
        return ""
    whole = all(one.forecast for one in view.lines)
    far = "In window now" if whole else "In window now, what packs set"
    return (
        f"{far}: {say_chance(stop.chance)}. With the best packs: "
        f"{say_chance(stop.chance_after)}. One more assembly takes "
        f"{say_minutes(view.trial_minutes)}, {view.trial_price:.0f} {view.currency}."
    )
