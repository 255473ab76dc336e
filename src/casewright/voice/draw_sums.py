"""Pictures of bench sums, to scale: tolerance zones, a value against its limit, wrench and adapter.

Hatching and words, never colour alone; everything is drawn in the ink of the page.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from html import escape

from casewright.sums import Levers, Scale, Zones
from casewright.voice.document import Picture
from casewright.voice.quantities import Style, say
from casewright.voice.say_proof_parts import degrees, force, small

WIDTH, SIDE = 480, 12
Teller = Callable[[float], str]


def draw(shown: Zones | Scale | Levers, style: Style) -> Picture:
    """The picture that a sum asks for, with words that say the same."""
    if isinstance(shown, Zones):
        return _zones(shown, style)
    if isinstance(shown, Scale):
        return _scale(shown, style)
    return _levers(shown, style)


_DEFS = (
    '<defs><pattern id="sum-lines" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<path d="M0 6L6 0" stroke="currentColor" stroke-width="1.4"/></pattern>'
    '<pattern id="sum-cross" width="8" height="8" patternUnits="userSpaceOnUse">'
    '<path d="M0 8L8 0M0 0L8 8" stroke="currentColor" stroke-width="1"/></pattern></defs>'
)


def _svg(parts: list[str], height: float) -> str:
    return (
        f'<svg viewBox="0 0 {WIDTH} {height:.0f}" width="{WIDTH}" '
        'xmlns="http://www.w3.org/2000/svg" font-family="system-ui, sans-serif" font-size="14">'
        f"{_DEFS}{''.join(parts)}</svg>"
    )


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor">'
        f"{escape(words)}</text>"
    )


def _line(x1: float, y1: float, x2: float, y2: float, width: float = 1.5, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="currentColor" '
        f'stroke-width="{width}"{dashed}/>'
    )


def _across(low: float, high: float) -> Callable[[float], float]:
    air = 0.08 * (high - low) or 1.0
    return lambda value: SIDE + (WIDTH - 2 * SIDE) * (value - low + air) / (high - low + 2 * air)


def _zones(shown: Zones, style: Style) -> Picture:
    """A bar for each zone on one scale of deviations, the nominal size as a dashed line."""
    ends = [0.0, *(end for _, low, high in shown.bars for end in (low, high))]
    x = _across(min(ends), max(ends))
    parts, words, row = [], [], 58
    for place, (label, low, high) in enumerate(shown.bars):
        top = row * place
        span = f"{_signed(low, style)} to {_signed(high, style)}"
        hatch = ("sum-lines", "sum-cross")[place % 2]
        parts.append(_text(SIDE, top + 14, f"{label}: {span}"))
        parts.append(
            f'<rect x="{x(low):.1f}" y="{top + 20}" width="{max(2.0, x(high) - x(low)):.1f}" '
            f'height="24" fill="url(#{hatch})" stroke="currentColor" stroke-width="1.5"/>'
        )
        parts.append(_line(x(0.0), top + 19, x(0.0), top + 46, 1.5, "6 4"))
        words.append(f"{label} {span}")
    bottom = row * len(shown.bars)
    nominal = say(shown.nominal, "length", style)
    anchor = "end" if x(0.0) > WIDTH / 2 else "start"
    parts.append(_text(x(0.0), bottom + 10, f"dashed: {nominal}", anchor))
    return Picture(_svg(parts, bottom + 20), f"From {nominal}: " + "; ".join(words), shown.title)


def _signed(value: float, style: Style) -> str:
    text = small(value, style)
    return text if text.startswith("-") else f"+{text}"


def _teller(kind: str, style: Style) -> Teller:
    if kind == "temperature":
        return lambda value: degrees(value, style)
    if kind == "force":
        return lambda value: force(value, style)
    return lambda value: say(value, kind, style)


def _scale(shown: Scale, style: Style) -> Picture:
    """A bar to its limit, what lies beyond hatched, and each mark with its words above it."""
    tell = _teller(shown.kind, style)
    limits = [one for one in (shown.low, shown.high) if one is not None]
    ends = [*limits, *(at for _, at in shown.marks)]
    ends += [0.0] if shown.kind == "force" else []
    x, low, high = _across(min(ends), max(ends)), min(ends), max(ends)
    marks = sorted(shown.marks, key=lambda mark: mark[1])
    top = 24 * len(marks) + 16
    parts = [
        f'<rect x="{SIDE}" y="{top}" width="{WIDTH - 2 * SIDE}" height="26" fill="none" '
        'stroke="currentColor" stroke-width="1.5"/>'
    ]
    parts += list(_beyond(shown, x, top))
    for place, (label, at) in enumerate(marks):
        parts += _mark(x(at), top, 24 * (place + 1), f"{label} {tell(at)}")
    for one in limits:
        parts.append(_line(x(one), top - 4, x(one), top + 34, 3))
    under = " to ".join(tell(one) for one in limits)
    under = f"{under}, {shown.window}" if len(limits) > 1 else f"{shown.window} {under}"
    parts.append(_text(WIDTH / 2, top + 52, under, "middle"))
    words = "; ".join(f"{label} {tell(at)}" for label, at in marks)
    said = f"{under}; {words}" if limits else words
    return Picture(_svg(parts, top + 62), f"{said}; from {tell(low)} to {tell(high)}", shown.title)


def _beyond(shown: Scale, x: Callable[[float], float], top: float) -> Iterator[str]:
    """What is over the limit is crossed out; the window itself is lined."""
    if shown.high is not None:
        width = WIDTH - SIDE - x(shown.high)
        yield (
            f'<rect x="{x(shown.high):.1f}" y="{top}" width="{max(0.0, width):.1f}" height="26" '
            'fill="url(#sum-cross)"/>'
        )
    if shown.low is not None and shown.high is not None:
        yield (
            f'<rect x="{x(shown.low):.1f}" y="{top}" '
            f'width="{max(0.0, x(shown.high) - x(shown.low)):.1f}" height="26" '
            'fill="url(#sum-lines)"/>'
        )


def _mark(x: float, top: float, y: float, words: str) -> Iterator[str]:
    anchor = "end" if x > WIDTH / 2 else "start"
    yield _line(x, y - 12, x, top + 26, 2)
    yield _text(x + (-6 if anchor == "end" else 6), y, words, anchor)


def _levers(shown: Levers, style: Style) -> Picture:
    """Wrench lying, hand at its left end, the adapter turned by its angle at the drive."""
    total = shown.wrench + shown.adapter
    one = (WIDTH - 2 * SIDE - 40) / total
    hand_x, y = SIDE + 20.0, 40 + one * shown.adapter
    drive = hand_x + one * shown.wrench
    end_x = drive + one * shown.adapter * math.cos(shown.angle)
    end_y = y - one * shown.adapter * math.sin(shown.angle)
    wrench, adapter = (say(v, "length", style, 0 if style.unit("length") == "mm" else None)
                       for v in (shown.wrench, shown.adapter))  # fmt: skip
    angle = f"{math.degrees(shown.angle):.0f}°"
    parts = [
        _line(hand_x, y, drive, y, 8), _line(drive, y, end_x, end_y, 5),
        _line(hand_x, y + 34, hand_x, y + 6, 2),
        f'<circle cx="{drive:.1f}" cy="{y:.1f}" r="7" fill="none" stroke="currentColor" '
        'stroke-width="3"/>',
        f'<circle cx="{end_x:.1f}" cy="{end_y:.1f}" r="11" fill="none" stroke="currentColor" '
        'stroke-width="3"/>',
        _text(hand_x + 6, y + 48, "hand, at the mark"),
        _text((hand_x + drive) / 2, y - 12, f"wrench {wrench}", "middle"),
        _text(WIDTH - SIDE, y + 48, f"adapter {adapter} at {angle}", "end"),
    ]  # fmt: skip
    height = y + 60 + one * shown.adapter * max(0.0, -math.sin(shown.angle))
    words = f"wrench of {wrench} from hand to drive, adapter of {adapter} at {angle} to it"
    return Picture(_svg(parts, height), words, shown.title)
