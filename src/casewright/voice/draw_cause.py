"""Causes as bars: how likely now, and a mark where each stood before anything was found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from casewright.voice.document import Picture

WIDTH, ROW, LEFT, RIGHT = 480, 46, 8, 400


@dataclass(frozen=True, slots=True)
class CauseBar:
    """One bar: its words, chance before and now, the chance in words."""

    label: str
    prior: float
    chance: float
    said: str


def draw_causes(bars: Sequence[CauseBar], threshold: float, title: str) -> Picture:
    """Bars one below the other, the threshold as a dashed line."""
    height = ROW * len(bars) + 28
    drawn = "".join(part for number, bar in enumerate(bars) for part in _bar(bar, ROW * number))
    line, foot = _x(threshold), ROW * len(bars)
    marks = "".join(f"M{line:.1f} {ROW * number + 17}v24" for number in range(len(bars)))
    end = (
        f'<path d="{marks}M{line:.1f} {foot}v8" stroke="currentColor" stroke-dasharray="4 3"/>'
        + _text(line, foot + 21, "from here on it asks for a remedy", "middle")
    )
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="13">{_DEFS}{drawn}{end}</svg>'
    )
    alt = "; ".join(f"{bar.label}: {bar.said}, before {100 * bar.prior:.0f} %" for bar in bars)
    return Picture(svg, f"{alt}.", title)


_DEFS = (
    '<defs><pattern id="cause-bar" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<path d="M0 6L6 0M-1 1L1 -1M5 7L7 5" stroke="currentColor" stroke-width="2"/></pattern></defs>'
)


def _x(chance: float) -> float:
    return LEFT + (RIGHT - LEFT) * chance


def _bar(bar: CauseBar, top: float) -> Iterator[str]:
    yield _text(LEFT, top + 15, bar.label, "start")
    yield (
        f'<rect x="{LEFT}" y="{top + 21}" width="{RIGHT - LEFT}" height="14" fill="none" '
        'stroke="currentColor" stroke-width=".7"/>'
        f'<rect x="{LEFT}" y="{top + 21}" width="{max(_x(bar.chance) - LEFT, 1):.1f}" height="14" '
        'fill="url(#cause-bar)" stroke="currentColor" stroke-width="1.2"/>'
        f'<path d="M{_x(bar.prior):.1f} {top + 18}v20" stroke="currentColor" stroke-width="2.5"/>'
    )
    yield _text(RIGHT + 8, top + 33, _short(bar.chance), "start")


def _short(chance: float) -> str:
    """Per cent, without claiming certainty."""
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor">'
        f"{escape(words)}</text>"
    )
