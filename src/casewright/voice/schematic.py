"""The bench schematic: axes, gears, bearings, seats and seals as symbols, drawn from the sheet.

Not a section drawing: a map. Vertical shafts run down, horizontal ones to the right from the last
vertical one; a symbol stands where its position says (`along`, 0 to 100). Words carry the state.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from casewright.drive.schema import Position, Shaft
from casewright.job.state import State
from casewright.voice.document import Picture
from casewright.voice.marks import marks_of

WIDTH, TOP, LEFT = 640, 46, 120
DOWN, RIGHT = 300, 470
SYMBOL_SIZE = 13


def schematic(state: State, room: str) -> Picture:
    """The map of the leg with what is known about each position."""
    sheet = state.lookup.sheet
    shafts = list(sheet.shafts)
    height = TOP + DOWN + (240 if any(s.axis == "horizontal" for s in shafts) else 40)
    parts = [_frame(height)]
    for shaft in shafts:
        parts.append(_axis(shaft))
    marks = marks_of(state)
    placed = [p for p in sheet.positions if p.on and p.along is not None]
    parts += [_symbol(state, position, marks.get(position.key, "")) for position in placed]
    parts += list(_labels(state, placed))
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="12">{"".join(parts)}</svg>'
    )
    said = [f"{p.name}: {marks[p.key]}" for p in placed if p.key in marks]
    alt = f"Bench schematic of {sheet.sheet.name}. " + ("; ".join(said) or "Nothing is marked yet.")
    return Picture(svg, alt, "Bench schematic: symbols along their shafts, not to scale")


def _frame(height: int) -> str:
    shapes = {
        "good": '<path d="M0 2H8M0 6H8" stroke="currentColor" stroke-width="1.6"/>',
        "bad": '<path d="M0 0L8 8M8 0L0 8" stroke="currentColor" stroke-width="1.6"/>',
        "unsure": '<circle cx="4" cy="4" r="1.5" fill="currentColor"/>',
    }
    patterns = "".join(
        f'<pattern id="h-{name}" width="8" height="8" patternUnits="userSpaceOnUse">'
        f"{shape}</pattern>"
        for name, shape in shapes.items()
    )
    return f"<defs>{patterns}</defs>"


def _place(shaft: Shaft, along: float) -> tuple[float, float]:
    if shaft.axis == "vertical":
        return LEFT, TOP + DOWN * along / 100
    return LEFT - 40 + RIGHT * along / 100, TOP + DOWN + 40


def _axis(shaft: Shaft) -> str:
    (x1, y1), (x2, y2) = _place(shaft, -4), _place(shaft, 104)
    flat = shaft.axis == "horizontal"
    return (
        f'<line x1="{x1:.0f}" y1="{y1:.0f}" x2="{x2:.0f}" y2="{y2:.0f}" stroke="currentColor" '
        'stroke-width="1" stroke-dasharray="12 4 2 4"/>'
        f'<text x="{x2 - 60 if flat else x1 + 8:.0f}" y="{y1 - 8:.0f}" fill="currentColor" '
        f'font-size="11" font-style="italic">{escape(shaft.name)}</text>'
    )


def _symbol(state: State, position: Position, mark: str) -> str:
    """A trade-like symbol for a kind of part, hatched by what is known of its piece."""
    shaft = state.lookup.shafts[str(position.on)]
    x, y = _place(shaft, float(position.along or 0))
    kind = state.lookup.part_at(position.key).kind
    vertical = shaft.axis == "vertical"
    shape = _SHAPES.get(kind, _box)(x, y, vertical, position.faces)
    fill = {"use again": "url(#h-good)", "new": "url(#h-good)", "replace": "url(#h-bad)"}.get(
        mark, "url(#h-unsure)" if mark else "none"
    )
    title = f"{position.name}{': ' + mark if mark else ''}"
    return (
        f'<g fill="{fill}" stroke="currentColor" stroke-width="1.6">'
        f"<title>{escape(title)}</title>{shape}</g>"
    )


def _pair(x: float, y: float, vertical: bool, draw: str, gap: float) -> str:
    """A symbol on both sides of its shaft."""
    a, b = ((x - gap, y), (x + gap, y)) if vertical else ((x, y - gap), (x, y + gap))
    return "".join(f'<g transform="translate({p[0]:.1f} {p[1]:.1f})">{draw}</g>' for p in (a, b))


def _gear(x: float, y: float, vertical: bool, faces: str) -> str:
    draw = (
        '<path d="M-12 -4L12 -4L8 6L-8 6Z"/>'
        if vertical
        else '<path d="M-5 -14L5 -10L5 10L-5 14Z"/>'
    )
    return _pair(x, y, vertical, draw, 13 if vertical else 18)


def _bearing(x: float, y: float, vertical: bool, faces: str) -> str:
    draw = (
        '<rect x="-8" y="-5" width="16" height="10"/><path d="M-8 -5L8 5M8 -5L-8 5" fill="none"/>'
    )
    return _pair(x, y, vertical, draw, 20)


def _seal(x: float, y: float, vertical: bool, faces: str) -> str:
    turn = (180 if faces == "out" else 0) + (90 if vertical else 0)
    draw = f'<path d="M-7 -6L7 0L-7 6" fill="none" transform="rotate({turn})"/>'
    return _pair(x, y, vertical, draw, 16)


def _ring(x: float, y: float, vertical: bool, faces: str) -> str:
    return _pair(x, y, vertical, '<circle r="5"/>', 24)


def _shims(x: float, y: float, vertical: bool, faces: str) -> str:
    draw = '<path d="M-10 -3H10M-10 0H10M-10 3H10" fill="none"/>'
    turned = draw if vertical else f'<g transform="rotate(90)">{draw}</g>'
    return _pair(x, y, vertical, turned, 28)


def _shaft(x: float, y: float, vertical: bool, faces: str) -> str:
    w, h = (8, 60) if vertical else (120, 8)
    return f'<rect x="{x - w / 2:.1f}" y="{y - h / 2:.1f}" width="{w}" height="{h}"/>'


def _box(x: float, y: float, vertical: bool, faces: str) -> str:
    return _pair(x, y, vertical, '<rect x="-7" y="-7" width="14" height="14" rx="3"/>', 32)


_SHAPES = {
    "gear": _gear, "bearing": _bearing, "cone": _bearing, "cup": _bearing,
    "needle-bearing": _bearing, "seal": _seal, "o-ring": _ring, "shim-pack": _shims,
    "spacer": _shims, "shaft": _shaft,
}  # fmt: skip


def _labels(state: State, placed: list[Position]) -> Iterator[str]:
    """Names beside vertical shafts; numbers above horizontal ones, with a list below."""
    vertical = [p for p in placed if state.lookup.shafts[str(p.on)].axis == "vertical"]
    last = -99.0
    for position in sorted(vertical, key=lambda p: p.along or 0):
        _, y = _place(state.lookup.shafts[str(position.on)], float(position.along or 0))
        spot = max(y + 4, last + 13)
        last = spot
        yield (
            f'<line x1="{LEFT + 42}" y1="{y:.0f}" x2="{LEFT + 62}" y2="{spot - 4:.0f}" '
            'stroke="currentColor" stroke-width=".7"/>'
            f'<text x="{LEFT + 66}" y="{spot:.0f}" fill="currentColor">'
            f"{escape(position.name)}</text>"
        )
    flat = [p for p in placed if state.lookup.shafts[str(p.on)].axis == "horizontal"]
    yield from _flat_labels(state, flat)


def _flat_labels(state: State, flat: list[Position]) -> Iterator[str]:
    """Slanted names below a horizontal shaft, far enough apart to be read."""
    last = -99.0
    for position in sorted(flat, key=lambda p: p.along or 0):
        x, y = _place(state.lookup.shafts[str(position.on)], float(position.along or 0))
        spot = max(x, last + 15)
        last = spot
        yield (
            f'<line x1="{x:.0f}" y1="{y + 38:.0f}" x2="{spot:.0f}" y2="{y + 50:.0f}" '
            'stroke="currentColor" stroke-width=".7"/>'
            f'<text transform="translate({spot - 2:.0f} {y + 60:.0f}) rotate(48)" '
            f'fill="currentColor">{escape(position.name)}</text>'
        )
