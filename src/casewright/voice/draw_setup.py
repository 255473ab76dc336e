"""Set-up's pictures: each response against its window, and which part of its doubt comes from what.

One bar a response, drawn on its own scale: the window as a box, the reading as a mark, the forecast
as a whisker. Shapes tell everything; nothing depends on colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from casewright.voice.document import Picture

# Narrow, so that words are still read on a telephone, where the picture is made smaller.
WIDTH, ROW, LEFT, RIGHT = 440, 62, 8, 8


@dataclass(frozen=True, slots=True)
class Bar:
    """One response in numbers of one unit: window, reading, forecast with its 95 % interval."""

    name: str
    low: float | None
    high: float | None
    reading: float | None
    mean: float | None
    least: float | None
    most: float | None
    window_text: str
    forecast_text: str
    reading_text: str


def bars(rows: tuple[Bar, ...], title: str) -> Picture:
    """All responses one under the other, each on a scale of its own."""
    height = ROW * len(rows) + 34
    body = "".join(_bar(row, 10 + ROW * index) for index, row in enumerate(rows))
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="14">{body}{_key(height - 10)}</svg>'
    )
    return Picture(svg, ". ".join(_words(row) for row in rows), title)


def _words(row: Bar) -> str:
    said = [f"{row.name}: window {row.window_text}"]
    if row.reading_text:
        said.append(f"read {row.reading_text}")
    if row.forecast_text:
        said.append(f"expected {row.forecast_text}")
    return ", ".join(said)


def _scale(row: Bar) -> tuple[float, float]:
    ends = [row.low, row.high, row.reading, row.least, row.most, row.mean]
    known = [one for one in ends if one is not None]
    if not known:
        return 0.0, 1.0
    least, most = min(known), max(known)
    room = 0.12 * (most - least) or 0.1 * abs(most) or 1.0
    return least - room, most + room


def _bar(row: Bar, top: int) -> str:
    left, right = _scale(row)
    span = (WIDTH - LEFT - RIGHT) / (right - left)

    def at(value: float) -> float:
        return LEFT + (value - left) * span

    parts = [
        f'<text x="{LEFT}" y="{top + 13}" fill="currentColor" font-weight="600">'
        f"{escape(row.name)}</text>"
        f'<text x="{WIDTH - RIGHT}" y="{top + 13}" fill="currentColor" text-anchor="end">'
        f"{escape(row.forecast_text or row.reading_text)}</text>",
        _line(LEFT, top + 36, WIDTH - RIGHT, top + 36, 0.7),
    ]
    x1 = at(row.low) if row.low is not None else float(LEFT)
    x2 = at(row.high) if row.high is not None else float(WIDTH - RIGHT)
    if row.low is not None or row.high is not None:
        parts.append(
            f'<rect x="{x1:.1f}" y="{top + 26}" width="{max(x2 - x1, 1):.1f}" height="20" '
            'fill="currentColor" fill-opacity=".12" stroke="currentColor" stroke-width="1.4"/>'
        )
    if row.least is not None and row.most is not None and row.mean is not None:
        a, b, m = at(row.least), at(row.most), at(row.mean)
        parts += [_line(a, top + 36, b, top + 36, 3), _line(a, top + 30, a, top + 42, 2)]
        parts += [_line(b, top + 30, b, top + 42, 2), _line(m, top + 28, m, top + 44, 3)]
    if row.reading is not None:
        x = at(row.reading)
        parts.append(f'<path d="M{x:.1f} {top + 26}l6 -9h-12Z" fill="currentColor" stroke="none"/>')
    return "".join(parts)


def _line(x1: float, y1: float, x2: float, y2: float, width: float) -> str:
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" '
        f'stroke="currentColor" stroke-width="{width}"/>'
    )


def _key(y: float) -> str:
    return (
        f'<text x="{LEFT}" y="{y}" fill="currentColor" font-size="12">'
        "box: window · whisker: forecast, 19 in 20 lie within · triangle: as read</text>"
    )


def parts_of_doubt(rows: tuple[tuple[str, float], ...], title: str) -> Picture:
    """Shares of a response's spread as one bar each, largest first."""
    height = 44 * len(rows) + 8
    body = "".join(
        f'<text x="0" y="{16 + 44 * i}" fill="currentColor">{100 * share:.0f} %  '
        f"{escape(name)}</text>"
        f'<rect x="0" y="{22 + 44 * i}" width="{max(2.0, WIDTH * max(share, 0)):.0f}" height="14" '
        'fill="currentColor" fill-opacity=".35" stroke="currentColor"/>'
        for i, (name, share) in enumerate(rows)
    )
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="14">{body}</svg>'
    )
    alt = "; ".join(f"{name} {100 * share:.0f} %" for name, share in rows)
    return Picture(svg, alt, title)
