"""Ranges of money as bars: one in ten cheaper to one in ten dearer, a stroke at the even chance.

Earlier ranges lie behind as open outlines, the ceiling is a dashed line with its word; every bar
has its label and figures above it, so that the drawing reads on a telephone and without colour.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from casewright.voice.document import Picture

WIDTH, SIDE, ROW, BAR = 480, 10, 54, 20


@dataclass(frozen=True, slots=True)
class RangeBar:
    """A range; `low` is None where only even chance and one in ten dearer were kept."""

    label: str
    low: float | None
    even: float
    high: float
    earlier: bool = False


@dataclass(frozen=True, slots=True)
class _Scale:
    """From money to the drawing."""

    low: float
    high: float

    def x(self, money: float) -> float:
        """Across."""
        return SIDE + (WIDTH - 2 * SIDE) * (money - self.low) / (self.high - self.low)


def draw_ranges(
    bars: Sequence[RangeBar], currency: str, title: str, ceiling: float | None = None
) -> Picture:
    """Bars under each other on one scale."""
    scale = _scale(bars, ceiling)
    bottom = 8 + ROW * len(bars)
    limit = None if ceiling is None else scale.x(ceiling)
    parts = [_DEFS]
    for place, bar in enumerate(bars):
        parts += _bar(bar, scale, 8 + ROW * place)
        parts += [] if limit is None else [_limit(limit, 8 + ROW * place)]
    if limit is not None and ceiling is not None:
        anchor = "end" if limit > WIDTH / 2 else "start"
        parts.append(_text(limit, bottom + 13, f"up to {write_sum(ceiling)}", anchor))
    parts += _axis(scale, bottom + (18 if ceiling is not None else 4), currency)
    return Picture(_svg(parts, bottom + 56), _words(bars, currency, ceiling), title)


def draw_movers(rows: Sequence[tuple[str, float, str]], title: str) -> Picture:
    """Label, share of the whole spread (0 to 1) and words: a bar for each."""
    parts = [_DEFS]
    for place, (label, share, words) in enumerate(rows):
        top = 8 + ROW * place
        width = (WIDTH - 2 * SIDE) * min(1.0, share)
        parts.append(_text(SIDE, top + 13, f"{label}: {words}"))
        parts.append(
            f'<rect x="{SIDE}" y="{top + 19}" width="{WIDTH - 2 * SIDE}" height="{BAR - 4}" '
            'fill="none" stroke="currentColor" stroke-dasharray="2 3"/>'
            f'<rect x="{SIDE}" y="{top + 19}" width="{width:.1f}" height="{BAR - 4}" '
            'fill="url(#range-lines)" stroke="currentColor"/>'
        )
    said = "; ".join(f"{label}, {words}" for label, _, words in rows)
    return Picture(_svg(parts, 8 + ROW * len(rows)), said, title)


def write_sum(value: float) -> str:
    """A round sum with a fixed space between thousands: an estimate doesn't have cents.

    >>> write_sum(2714.2) == "2\u00a0710", write_sum(-35.2)
    (True, '-35')
    """
    unit = 10 if abs(value) >= 1000 else 5 if abs(value) >= 300 else 1
    return f"{unit * math.floor(value / unit + 0.5):,}".replace(",", "\u00a0")


_DEFS = (
    '<defs><pattern id="range-lines" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<path d="M0 6L6 0" stroke="currentColor" stroke-width="1.4"/></pattern></defs>'
)


def _svg(parts: Sequence[str], height: int) -> str:
    return (
        f'<svg viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="13.5">{"".join(parts)}</svg>'
    )


def _scale(bars: Sequence[RangeBar], ceiling: float | None) -> _Scale:
    ends = [end for bar in bars for end in (bar.low, bar.even, bar.high) if end is not None]
    ends += [] if ceiling is None else [ceiling]
    low, high = min(ends), max(ends)
    low = 0.0 if 0 <= low < 0.5 * high else low
    air = 0.04 * (high - low) or max(1.0, 0.1 * abs(high))
    return _Scale(low if low == 0 else low - air, high + air)


def _bar(bar: RangeBar, scale: _Scale, top: int) -> Iterator[str]:
    """Label above; an open outline for an earlier range, hatched for the present one."""
    start = scale.x(bar.even if bar.low is None else bar.low)
    even, end = scale.x(bar.even), scale.x(bar.high)
    y, height = (top + 21, BAR - 8) if bar.earlier else (top + 19, BAR)
    fill, dash = ("none", ' stroke-dasharray="5 3"') if bar.earlier else ("url(#range-lines)", "")
    yield _text(SIDE, top + 13, _label(bar))
    yield (
        f'<rect x="{start:.1f}" y="{y}" width="{max(2.0, end - start):.1f}" height="{height}" '
        f'fill="{fill}" stroke="currentColor" stroke-width="1.5"{dash}/>'
    )
    yield (
        f'<path d="M{even:.1f} {y - 4}V{y + height + 4}" stroke="currentColor" stroke-width="3.5"/>'
    )


def _label(bar: RangeBar) -> str:
    label = bar.label if len(bar.label) <= 32 else f"{bar.label[:31]}…"
    return f"{label}: {write_sum(bar.even)}, one in ten over {write_sum(bar.high)}"


def _limit(x: float, top: int) -> str:
    """The ceiling beside one bar: a dashed stroke that keeps clear of the label."""
    return (
        f'<path d="M{x:.1f} {top + 16}V{top + ROW - 6}" stroke="currentColor" stroke-width="1.8" '
        'stroke-dasharray="7 3 2 3"/>'
    )


def _axis(scale: _Scale, y: int, currency: str) -> Iterator[str]:
    yield f'<path d="M{SIDE} {y}H{WIDTH - SIDE}" stroke="currentColor"/>'
    for value in _ticks(scale.low, scale.high):
        x = scale.x(value)
        yield f'<path d="M{x:.1f} {y}v5" stroke="currentColor"/>'
        yield _text(min(max(x, 18), WIDTH - 26), y + 19, write_sum(value), "middle")
    yield _text(WIDTH - SIDE, y + 35, currency, "end")


def _ticks(low: float, high: float) -> list[float]:
    """Three to six round sums within a span."""
    raw = (high - low) / 4
    power = 10 ** math.floor(math.log10(raw)) if raw > 0 else 1.0
    step = next((m * power for m in (1, 2, 5, 10) if m * power >= raw), 10 * power)
    first = math.ceil(low / step)
    return [round(k * step, 6) for k in range(first, math.floor(high / step) + 1)]


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor">'
        f"{escape(words)}</text>"
    )


def _words(bars: Sequence[RangeBar], currency: str, ceiling: float | None) -> str:
    said = [
        f"{bar.label}{' (told earlier)' if bar.earlier else ''}: even chance "
        f"{write_sum(bar.even)} {currency}, one in ten dearer than {write_sum(bar.high)} {currency}"
        for bar in bars
    ]
    said += [] if ceiling is None else [f"the owner's ceiling is {write_sum(ceiling)} {currency}"]
    return "; ".join(said)
