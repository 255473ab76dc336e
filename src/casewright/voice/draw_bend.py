"""A shaft read along its length, from the side: its supports, and how far it swings at each place.

Drawn in the plane in which it swings most; what goes across the shaft is enlarged.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from math import degrees

from casewright.mechanics.shaft_bend import ShaftBend, Station, plane_of
from casewright.voice.document import Picture
from casewright.voice.quantities import Style
from casewright.voice.quantities import say as say_value

WIDTH, HEIGHT, LEFT, RIGHT, AXIS, SWING = 480, 190, 34, 446, 84, 44


def draw_bend(bend: ShaftBend, name: str, style: Style) -> Picture:
    """The shaft with its supports, places and run-outs; the words say the same."""
    ends = [*bend.supports, *(one.along for one in bend.stations)]
    low, high = min(ends), max(ends)
    largest = max(one.offset for one in bend.stations) or 1.0
    offsets = plane_of(bend.stations, bend.worst.phase)

    def x(along: float) -> float:
        return LEFT + (RIGHT - LEFT) * (along - low) / (high - low)

    points = sorted(
        [(x(one.along), AXIS - SWING * off / largest)
         for one, off in zip(bend.stations, offsets, strict=True)]
        + [(x(end), float(AXIS)) for end in bend.supports if not _is_read(bend, end)]
    )  # fmt: skip
    parts = [
        *_axis(),
        *_line(points),
        *(part for end in bend.supports for part in _support(x(end))),
    ]
    for one, off in zip(bend.stations, offsets, strict=True):
        parts += _place(x(one.along), AXIS - SWING * off / largest, one, style)
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="12">{"".join(parts)}</svg>'
    )
    alt = f"{name} from the side. " + " ".join(_said(one, style) for one in bend.stations)
    title = f"{name}: run-out at each place, swing enlarged"
    return Picture(svg, alt, title)


def _is_read(bend: ShaftBend, end: float) -> bool:
    return any(abs(one.along - end) < 1e-6 for one in bend.stations)


def _said(one: Station, style: Style) -> str:
    where = say_value(one.along, "length", style, 0)
    return (
        f"At {where}: run-out {say_value(one.run_out, 'length', style)}, high at "
        f"{degrees(one.phase):.0f}°."
    )


def _axis() -> Iterator[str]:
    yield (
        f'<path d="M{LEFT - 20} {AXIS}H{RIGHT + 20}" stroke="currentColor" stroke-width="1" '
        'stroke-dasharray="12 4 2 4"/>'
    )


def _line(points: list[tuple[float, float]]) -> Iterator[str]:
    path = "L".join(f"{px:.1f} {py:.1f}" for px, py in points)
    yield (
        f'<path d="M{path}" fill="none" stroke="currentColor" stroke-width="6" '
        'stroke-linejoin="round" stroke-linecap="round"/>'
    )


def _support(place: float) -> Iterator[str]:
    yield (
        f'<path d="M{place:.1f} {AXIS + 8}l-12 26h24Z" fill="none" stroke="currentColor" '
        'stroke-width="2"/>'
    )


def _place(place: float, height: float, one: Station, style: Style) -> Iterator[str]:
    """A dial at the place, its run-out above, where it stands and its high spot below."""
    yield f'<circle cx="{place:.1f}" cy="{height:.1f}" r="6" fill="currentColor"/>'
    below = (say_value(one.along, "length", style, 0), f"high {degrees(one.phase):.0f}°")
    yield _text(place, 22, say_value(one.run_out, "length", style), True)
    for row, words in enumerate(below):
        yield _text(place, HEIGHT - 30 + 16 * row, words, False)


def _text(x: float, y: float, words: str, bold: bool) -> str:
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle" fill="currentColor"{weight}>'
        f"{escape(words)}</text>"
    )
