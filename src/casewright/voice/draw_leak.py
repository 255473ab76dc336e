"""A leak test as it is watched: pressure, the same at the first temperature, limit, and the wall.

Two curves that differ in dash and have their words beside them; cut spans are hatched. The same
drawing serves a log on the page and a stream from a gauge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from casewright.voice.document import Picture
from casewright.voice.quantities import Style, say

WIDTH, LEFT, RIGHT, TOP = 640, 64, 150, 22
PLOT, GAP, STRIP = 210, 26, 54
MOST_POINTS = 400


@dataclass(frozen=True, slots=True)
class LeakPicture:
    """What is drawn: seconds, gauge pressures [Pa], temperatures [K], rows used, limit, ceiling."""

    seconds: Sequence[float]
    gauge: Sequence[float]
    corrected: Sequence[float]
    kelvin: Sequence[float]
    used: Sequence[bool]
    limit_slope: float | None = None
    ceiling: float | None = None
    title: str = ""


@dataclass(frozen=True, slots=True)
class _Frame:
    """From seconds and pascals to the drawing."""

    last: float
    low: float
    high: float

    def x(self, seconds: float) -> float:
        """Across."""
        return LEFT + (WIDTH - LEFT - RIGHT) * seconds / self.last

    def y(self, pascals: float) -> float:
        """Down."""
        return TOP + PLOT * (self.high - pascals) / (self.high - self.low)


def draw_leak(shown: LeakPicture, style: Style) -> Picture:
    """The picture of a log, with words that say the same."""
    frame = _frame(shown)
    height = TOP + PLOT + GAP + (STRIP + 8 if shown.kelvin else 0) + 18
    parts = [_DEFS, *_axes(frame, style), *_cuts(shown, frame), *_limits(shown, frame)]
    parts += _curves(shown, frame)
    if shown.kelvin:
        parts += list(_strip(shown, frame, style))
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="12">{"".join(parts)}</svg>'
    )
    return Picture(svg, _words(shown, style), shown.title)


_DEFS = (
    '<defs><pattern id="leak-cut" width="7" height="7" patternUnits="userSpaceOnUse">'
    '<path d="M0 7L7 0" stroke="currentColor" stroke-width="1"/></pattern></defs>'
)


def _frame(shown: LeakPicture) -> _Frame:
    """Bounds that hold both curves and the limit, with a little air."""
    last = max(shown.seconds[-1], 1.0)
    values = [*shown.gauge, *shown.corrected]
    if shown.limit_slope is not None:
        values.append(_limit_at(shown, last))
    low, high = min(values), max(values)
    if shown.ceiling is not None and high > 0.9 * shown.ceiling:
        high = max(high, shown.ceiling)
    air = max(0.08 * (high - low), 0.002 * max(abs(low), abs(high)), 20.0)
    return _Frame(last, low - air, high + air)


def _limit_at(shown: LeakPicture, seconds: float) -> float:
    """The pressure that a leak at the limit would leave: towards the atmosphere, never past it."""
    start = shown.corrected[0]
    moved = (shown.limit_slope or 0.0) * seconds
    return max(start - moved, 0.0) if start >= 0 else min(start + moved, 0.0)


def _axes(frame: _Frame, style: Style) -> Iterator[str]:
    right, bottom = WIDTH - RIGHT, TOP + PLOT
    yield (
        f'<path d="M{LEFT} {TOP}V{bottom}H{right}" fill="none" stroke="currentColor" '
        'stroke-width="1"/>'
    )
    for value in _ticks(frame.low, frame.high):
        y = frame.y(value)
        yield f'<path d="M{LEFT - 4} {y:.1f}H{LEFT}" stroke="currentColor"/>'
        yield _text(LEFT - 7, y + 4, say(value, "pressure", style).split(" ")[0], "end")
    yield _text(6, TOP - 8, f"{style.unit('pressure')} over the atmosphere", "start")
    minutes = frame.last / 60
    for value in _ticks(0, minutes):
        x = frame.x(60 * value)
        yield f'<path d="M{x:.1f} {bottom}V{bottom + 4}" stroke="currentColor"/>'
        yield _text(x, bottom + 17, f"{value:g}", "middle")
    yield _text(right + 20, bottom + 17, "minutes", "start")


def _ticks(low: float, high: float) -> list[float]:
    """Four to seven round values within a span."""
    raw = (high - low) / 5
    power = 10 ** math.floor(math.log10(raw)) if raw > 0 else 1.0
    step = next((m * power for m in (1, 2, 5, 10) if m * power >= raw), 10 * power)
    first = math.ceil(low / step)
    return [round(k * step, 9) for k in range(first, math.floor(high / step) + 1)]


def _cuts(shown: LeakPicture, frame: _Frame) -> Iterator[str]:
    """Spans that don't count, hatched, with their word."""
    rows = [i for i, used in enumerate(shown.used) if not used]
    for index in rows:
        before = shown.seconds[max(index - 1, 0)]
        after = shown.seconds[min(index + 1, len(shown.seconds) - 1)]
        x, width = frame.x(before), max(frame.x(after) - frame.x(before), 2.0)
        yield f'<rect x="{x:.1f}" y="{TOP}" width="{width:.1f}" height="{PLOT}" fill="url(#leak-cut)" opacity="0.5"/>'  # noqa: E501
    if rows:
        yield _text(frame.x(shown.seconds[rows[0]]), TOP + 12, "shaft turned: cut", "start")


def _limits(shown: LeakPicture, frame: _Frame) -> Iterator[str]:
    right = WIDTH - RIGHT
    if shown.limit_slope is not None:
        points = [(t, _limit_at(shown, t)) for t in _spread(frame.last)]
        yield _line(points, frame, 'stroke-dasharray="2 5" stroke-width="1.5"')
        yield _text(right + 6, frame.y(points[-1][1]) + 4, "the sheet's limit", "start")
    if shown.ceiling is not None and frame.low <= shown.ceiling <= frame.high:
        y = frame.y(shown.ceiling)
        yield f'<path d="M{LEFT} {y:.1f}H{right}" stroke="currentColor" stroke-width="3"/>'
        yield _text(right + 6, y + 4, "ceiling: stop", "start")


def _spread(last: float) -> list[float]:
    return [last * k / 20 for k in range(21)]


def _curves(shown: LeakPicture, frame: _Frame) -> Iterator[str]:
    step = max(1, len(shown.seconds) // MOST_POINTS)
    rows = range(0, len(shown.seconds), step)
    gauge = [(shown.seconds[i], shown.gauge[i]) for i in rows]
    yield _line(gauge, frame, 'stroke-dasharray="6 3" stroke-width="1.5"')
    ends = [("gauge as read", shown.gauge[-1])]
    if shown.kelvin:
        corrected = [(shown.seconds[i], shown.corrected[i]) for i in rows]
        yield _line(corrected, frame, 'stroke-width="2.5"')
        ends.append(("at first temperature", shown.corrected[-1]))
    yield from _end_words(ends, shown, frame)


def _end_words(ends: list[tuple[str, float]], shown: LeakPicture, frame: _Frame) -> Iterator[str]:
    """Words at the curves' ends, kept apart from each other and from the limit's."""
    taken: list[float] = []
    if shown.limit_slope is not None:
        taken.append(frame.y(_limit_at(shown, frame.last)) + 4)
    for words, value in sorted(ends, key=lambda end: -end[1]):
        y = frame.y(value) + 4
        while any(abs(y - other) < 14 for other in taken):
            y += 14
        taken.append(y)
        yield _text(WIDTH - RIGHT + 6, y, words, "start")


def _line(points: list[tuple[float, float]], frame: _Frame, how: str) -> str:
    drawn = " ".join(f"{frame.x(t):.1f},{frame.y(p):.1f}" for t, p in points)
    return f'<polyline points="{drawn}" fill="none" stroke="currentColor" {how}/>'


def _strip(shown: LeakPicture, frame: _Frame, style: Style) -> Iterator[str]:
    """The case's temperature in its own strip below."""
    top = TOP + PLOT + GAP
    low, high = min(shown.kelvin), max(shown.kelvin)
    span = max(high - low, 0.5)
    step = max(1, len(shown.seconds) // MOST_POINTS)
    drop = (STRIP - 8) / span
    drawn = " ".join(
        f"{frame.x(shown.seconds[i]):.1f},{top + 4 + drop * (high - shown.kelvin[i]):.1f}"
        for i in range(0, len(shown.seconds), step)
    )
    yield f'<path d="M{LEFT} {top}V{top + STRIP}H{WIDTH - RIGHT}" fill="none" stroke="currentColor" stroke-width="1"/>'  # noqa: E501
    yield f'<polyline points="{drawn}" fill="none" stroke="currentColor" stroke-width="1.5"/>'
    yield _text(LEFT - 7, top + 10, say(high, "temperature", style).split(" ")[0], "end")
    if high - low > 0.05:
        yield _text(LEFT - 7, top + STRIP, say(low, "temperature", style).split(" ")[0], "end")
    yield _text(WIDTH - RIGHT + 6, top + STRIP / 2, f"case, {style.unit('temperature')}", "start")


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor">'
        f"{escape(words)}</text>"
    )


def _words(shown: LeakPicture, style: Style) -> str:
    """What the picture shows, for whoever can't see it."""
    said = [
        f"Pressure over {shown.seconds[-1] / 60:.1f} minutes: from "
        f"{say(shown.gauge[0], 'pressure', style)} to {say(shown.gauge[-1], 'pressure', style)}"
    ]
    if shown.kelvin:
        said.append(f"at the first temperature to {say(shown.corrected[-1], 'pressure', style)}")
        ends = (say(value, "temperature", style) for value in (shown.kelvin[0], shown.kelvin[-1]))
        said.append(f"case from {' to '.join(ends)}")
    if shown.limit_slope is not None:
        limit = say(_limit_at(shown, shown.seconds[-1]), "pressure", style)
        said.append(f"a leak at the sheet's limit would have ended at {limit}")
    return "; ".join(said) + "."
