"""Contact patterns on the outline of a gear's tooth, drive and coast, to the tooth's own scale.

Toe on the left, heel on the right, top above, root below. The seen patch is a dashed ring about its
tapped centre, ten per cent of the face wide; a computed patch is hatched.
"""

from __future__ import annotations

from html import escape

from casewright.phases.setup import Computed, Gallery, Look, PatternLine
from casewright.voice.document import Picture

WIDE, GAP, TOP = 290, 40, 40
SEEN = 0.10
Point = tuple[float, float]
# Where no size is in the sheet: a tooth half as high as long, marked as not to scale.
PLAIN = Gallery((0.0, 1.0), (0.2, 0.25), (-0.2, -0.25), (-0.24, -0.3), (), "not to scale")


def seen_pattern(line: PatternLine) -> Picture:
    """What was seen on both flanks, beside what drawn flanks give in their right place."""
    shape = line.gallery or PLAIN
    computed = shape.pictures[0] if shape.pictures else None
    tall = _height(shape)
    sides = (
        ("drive flank", line.drive, computed.drive if computed else None),
        ("coast flank", line.coast, computed.coast if computed else None),
    )
    body = _defs()
    for index, (name, seen, look) in enumerate(sides):
        body += _tooth(shape, index * (WIDE + GAP) + 10, name, look, _centre(seen))
    said = [f"{name}: {_where(_centre(seen))}" for name, seen, _ in sides]
    alt = f"Pattern of the {line.name} on the gear, {'; '.join(said)}."
    title = "ring: as seen (a tap is good to a tenth of the face)"
    if computed:
        title += " · hatched: drawn flanks in their place, an estimate"
    return Picture(_svg(2 * WIDE + GAP + 20, tall + TOP + 34, body), alt, title)


def gallery_picture(shape: Gallery, one: Computed) -> Picture:
    """One picture of the gallery: both flanks for one move."""
    body = _defs()
    for index, (name, look) in enumerate((("drive flank", one.drive), ("coast flank", one.coast))):
        body += _tooth(shape, index * (WIDE + GAP) + 10, name, look, None)
    said = [
        f"{name} {_where((look.along, look.up)) if look else 'no patch'}"
        for name, look in (("drive", one.drive), ("coast", one.coast))
    ]
    alt = f"Drawn flanks, {one.title}: {', '.join(said)}."
    return Picture(_svg(2 * WIDE + GAP + 20, _height(shape) + TOP + 34, body), alt, one.title)


def _svg(width: float, height: float, body: str) -> str:
    return (
        f'<svg viewBox="0 0 {width:.0f} {height:.0f}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="13">{body}</svg>'
    )


def _defs() -> str:
    return (
        '<defs><pattern id="wiped" width="6" height="6" patternUnits="userSpaceOnUse">'
        '<path d="M0 6L6 0" stroke="currentColor" stroke-width="1.2"/></pattern></defs>'
    )


def _scale(shape: Gallery) -> float:
    return WIDE / (max(shape.from_toe) or 1.0)


def _height(shape: Gallery) -> float:
    return (max(shape.tip) - min(shape.root)) * _scale(shape)


def _tooth(shape: Gallery, x: float, name: str, look: Look | None, seen: Point | None) -> str:
    """One flank: outline, active root, patches and the words at its edges."""
    scale, top = _scale(shape), max(shape.tip)

    def at(along: float, height: float) -> str:
        return f"{x + along * scale:.1f} {TOP + (top - height) * scale:.1f}"

    outline = [at(a, t) for a, t in zip(shape.from_toe, shape.tip, strict=True)]
    outline += [at(a, r) for a, r in zip(shape.from_toe[::-1], shape.root[::-1], strict=True)]
    active = [at(a, r) for a, r in zip(shape.from_toe, shape.active_root, strict=True)]
    parts = [
        f'<path d="M{" L".join(outline)}Z" fill="none" stroke="currentColor" stroke-width="2"/>',
        f'<path d="M{" L".join(active)}" fill="none" stroke="currentColor" '
        'stroke-width="0.8" stroke-dasharray="2 4"/>',
    ]
    if look is not None:
        points = [_spot(shape, a, u, x) for a, u in look.outline]
        path = " L".join(f"{px:.1f} {py:.1f}" for px, py in points)
        parts.append(
            f'<path d="M{path}Z" fill="url(#wiped)" stroke="currentColor" stroke-width="1"/>'
        )
    if seen is not None:
        parts.append(_ring(shape, seen, x))
    return "".join(parts) + _labels(shape, x, name)


def _spot(shape: Gallery, along: float, up: float, x: float) -> Point:
    """A place in shares of the tooth as a place in the picture."""
    length, scale = max(shape.from_toe), _scale(shape)
    tip = _between(shape.from_toe, shape.tip, along * length)
    low = _between(shape.from_toe, shape.active_root, along * length)
    height = low + up * (tip - low)
    return x + along * length * scale, TOP + (max(shape.tip) - height) * scale


def _between(xs: tuple[float, ...], ys: tuple[float, ...], x: float) -> float:
    """Linear interpolation between the outline's points."""
    for x1, x2, y1, y2 in zip(xs, xs[1:], ys, ys[1:], strict=False):
        if x <= x2:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return ys[-1]


def _ring(shape: Gallery, seen: Point, x: float) -> str:
    cx, cy = _spot(shape, seen[0], seen[1], x)
    _, high = _spot(shape, seen[0], min(1.0, seen[1] + SEEN), x)
    tall = max(abs(cy - high), 6.0)
    return (
        f'<ellipse cx="{cx:.1f}" cy="{cy:.1f}" rx="{SEEN * WIDE:.1f}" ry="{tall:.1f}" fill="none" '
        'stroke="currentColor" stroke-width="2.4" stroke-dasharray="6 3"/>'
        f'<circle cx="{cx:.1f}" cy="{cy:.1f}" r="3" fill="currentColor"/>'
    )


def _labels(shape: Gallery, x: float, name: str) -> str:
    low = TOP + _height(shape) + 22
    middle = x + WIDE / 2
    said = (
        (x, low, "start", "toe"), (x + WIDE, low, "end", "heel"), (middle, low, "middle", "root"),
        (middle, TOP - 6, "middle", "top"), (x, TOP - 22, "start", name),
    )  # fmt: skip
    return "".join(
        f'<text x="{px:.0f}" y="{py:.0f}" text-anchor="{anchor}" fill="currentColor">'
        f"{escape(text)}</text>"
        for px, py, anchor, text in said
    )


def _centre(seen: object) -> Point | None:
    along, up = getattr(seen, "along", None), getattr(seen, "up", None)
    return None if along is None or up is None else (float(along), float(up))


def _where(place: Point | None) -> str:
    if place is None:
        return "not looked at"
    return f"{100 * place[0]:.0f} % from toe to heel, {100 * place[1]:.0f} % from root to top"
