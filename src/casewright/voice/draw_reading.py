"""A reading with its doubt against its limits, as a picture: is it inside, and by how much?

Each row is drawn to its own scale, so that the room to the limits can be compared by eye.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from zlib import crc32

from casewright.voice.document import Picture

WIDTH, ROW, LEFT, RIGHT = 480, 62, 14, 466
# Letters that fit beside each other in the first line of a row.
LINE = 60


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One row: name, value ± doubt and limits in one unit, what is written at each, the word."""

    name: str
    value: float
    doubt: float
    low: float | None
    high: float | None
    said: str
    said_low: str
    said_high: str
    word: str


def draw_readings(rows: Sequence[ReadingRow], title: str) -> Picture:
    """Rows one below the other, with words that say the same."""
    # A page holds several of these: a name of its own keeps each hatching with its picture.
    hatch = f"out-{crc32(title.encode()):08x}"
    height = ROW * len(rows) + 6
    drawn = "".join(part for number, row in enumerate(rows) for part in _row(row, number, hatch))
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="12">{_defs(hatch)}{drawn}</svg>'
    )
    alt = " ".join(f"{row.name}: {row.said}, {_limits(row)}: {row.word}." for row in rows)
    return Picture(svg, alt, title)


def _defs(hatch: str) -> str:
    return (
        f'<defs><pattern id="{hatch}" width="6" height="6" patternUnits="userSpaceOnUse">'
        '<path d="M0 6L6 0" stroke="currentColor" stroke-width="1"/></pattern></defs>'
    )


def _limits(row: ReadingRow) -> str:
    if row.low is not None and row.high is not None:
        return f"limits {row.said_low} to {row.said_high}"
    return f"at least {row.said_low}" if row.low is not None else f"at most {row.said_high}"


def _span(row: ReadingRow) -> tuple[float, float]:
    """What the row shows: the limits with as much air again as the reading needs, but no more."""
    ends = [end for end in (row.low, row.high) if end is not None]
    if len(ends) == 1:
        ends = [*ends, 0.0] if _from_zero(row) else [*ends, row.value]
    low, high = min(ends), max(ends)
    room = (high - low) or row.doubt * 4 or 1.0
    low, high = min(low, row.value - row.doubt), max(high, row.value + row.doubt)
    low, high = max(low, min(ends) - 2 * room), min(high, max(ends) + 2 * room)
    return low - 0.25 * room, high + 0.25 * room


def _from_zero(row: ReadingRow) -> bool:
    """A single high limit near nothing: run-out, wear, flatness."""
    return row.high is not None and 0 <= row.value < 20 * row.high


def _row(row: ReadingRow, number: int, hatch: str) -> Iterator[str]:
    first, last = _span(row)
    top = ROW * number

    def x(value: float) -> float:
        place = LEFT + (RIGHT - LEFT) * (value - first) / (last - first)
        return min(max(place, LEFT), RIGHT)

    line = top + 36
    yield _text(LEFT, top + 14, row.name, "start", ' font-weight="600"')
    yield _text(RIGHT, top + 14, _beside(row), "end")
    low = x(row.low) if row.low is not None else LEFT
    high = x(row.high) if row.high is not None else RIGHT
    yield from _window(row, low, high, line, hatch)
    yield from _mark(x(row.value), x(row.value - row.doubt), x(row.value + row.doubt), line)
    if not first <= row.value <= last:
        far = "end" if row.value > last else "start"
        yield _text(x(row.value) + (-8 if row.value > last else 8), line + 23, "far out", far)


def _beside(row: ReadingRow) -> str:
    """Reading and verdict beside the name; beside a long name the verdict alone has room."""
    return row.word if len(row.name) + len(row.word) <= LINE else row.word.rpartition(": ")[2]


def _window(row: ReadingRow, low: float, high: float, line: float, hatch: str) -> Iterator[str]:
    """The room inside the limits as an open bar; outside is hatched."""
    for start, end, given in ((LEFT, low, row.low), (high, RIGHT, row.high)):
        if given is not None and end > start:
            yield (
                f'<rect x="{start:.1f}" y="{line - 8}" width="{end - start:.1f}" height="16" '
                f'fill="url(#{hatch})" opacity="0.45"/>'
            )
    yield (
        f'<path d="M{low:.1f} {line - 8}H{high:.1f}M{low:.1f} {line + 8}H{high:.1f}" fill="none" '
        'stroke="currentColor" stroke-width="1"/>'
    )
    close = row.low is not None and row.high is not None and high - low < 120
    ends = (
        (low, row.low, row.said_low, "end" if close else "middle"),
        (high, row.high, row.said_high, "start" if close else "middle"),
    )
    for place, limit, said, anchor in ends:
        if limit is not None:
            yield (
                f'<path d="M{place:.1f} {line - 11}V{line + 11}" stroke="currentColor" '
                'stroke-width="2"/>'
            )
            yield _text(min(max(place, LEFT + 30), RIGHT - 30), line + 23, said, anchor)


def _mark(middle: float, low: float, high: float, line: float) -> Iterator[str]:
    """The reading as a thick stroke, its doubt as a bar with ends."""
    yield (
        f'<path d="M{low:.1f} {line}H{high:.1f}M{low:.1f} {line - 4}v8M{high:.1f} {line - 4}v8" '
        'fill="none" stroke="currentColor" stroke-width="2"/>'
        f'<path d="M{middle:.1f} {line - 9}v18" stroke="currentColor" stroke-width="5"/>'
    )


def _text(x: float, y: float, words: str, anchor: str, more: str = "") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor"{more}>'
        f"{escape(words)}</text>"
    )
