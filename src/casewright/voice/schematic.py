"""The bench schematic: axes, gears, bearings, seats and seals as symbols, drawn from the sheet.

Not a section drawing: a map. Shafts follow each other from the top in the order of the sheet:
vertical ones run down, horizontal ones to the right; a symbol stands where its position says
(`along`, 0 to 100). Words carry the state.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from casewright.drive.schema import Position, Shaft
from casewright.job.state import State
from casewright.voice.document import Picture
from casewright.voice.marks import marks_of

WIDTH, TOP, LEFT = 640, 46, 120
DOWN, RIGHT = 300, 470
# Slanted names of a horizontal shaft, and the room that its symbols take beside it.
NAMES, BESIDE = 190, 40


@dataclass(frozen=True, slots=True)
class Axis:
    """Where a shaft starts on the drawing [px], and whether its names stand above it."""

    shaft: Shaft
    y: float
    names_above: bool = False

    @property
    def vertical(self) -> bool:
        """Whether the shaft runs down."""
        return self.shaft.axis == "vertical"

    def place(self, along: float) -> tuple[float, float]:
        """The point at a share (0 to 100) of the shaft's length [px]."""
        if self.vertical:
            return LEFT, self.y + DOWN * along / 100
        return LEFT - 40 + RIGHT * along / 100, self.y


def axes_of(shafts: Sequence[Shaft]) -> tuple[dict[str, Axis], float]:
    """Shafts one below the other, none on top of another, and the height of it all [px]."""
    axes: dict[str, Axis] = {}
    y, upright = float(TOP), False
    for shaft in shafts:
        if shaft.axis == "vertical":
            axes[shaft.key], y, upright = Axis(shaft, y), y + DOWN + BESIDE, True
        elif upright:
            axes[shaft.key], y = Axis(shaft, y), y + BESIDE + 20 + NAMES
        else:
            axes[shaft.key], y = Axis(shaft, y + NAMES, True), y + NAMES + BESIDE + 34
    return axes, y


def place_of(state: State, key: str) -> str:
    """The position where something of the sheet is: itself, a joint's, an adjuster's, a mesh's.

    Of a joint's positions one that is drawn on a shaft goes first; "" where nothing is known.
    """
    lookup = state.lookup
    if key in lookup.positions:
        return key
    if key in lookup.adjusters:
        return lookup.adjusters[key].position
    if key in lookup.responses:
        one = lookup.responses[key]
        if mesh := lookup.meshes.get(one.mesh or ""):
            return mesh.pinion if one.kind == "pinion-height" else mesh.gear
        shaft = lookup.shafts.get(one.shaft or "")
        return next(iter(shaft.bearings), "") if shaft else ""
    held = lookup.joints[key].holds if key in lookup.joints else ()
    known = [one for one in held if one in lookup.positions]
    drawn = [one for one in known if lookup.positions[one].along is not None]
    return next(iter((*drawn, *known)), "")


def schematic(state: State, here: str = "", tags: Mapping[str, str] | None = None) -> Picture:
    """The map of the leg with what is known about each position; `here` is where the next thing is.

    What isn't on a shaft (a housing) stands around them: it is named at the foot. With `tags`,
    words for positions, only these and the gears are named: the map then tells of them.
    """
    tags = tags or {}
    sheet = state.lookup.sheet
    axes, height = axes_of(sheet.shafts)
    marks = marks_of(state)
    placed = [p for p in sheet.positions if p.on in axes and p.along is not None]
    parts = [_hatchings(), *(_axis(axis) for axis in axes.values())]
    parts += [_symbol(state, axes, one, marks.get(one.key, "")) for one in placed]
    for axis in axes.values():
        parts += _names(axis, _named(state, placed, axis.shaft.key, here, tags), here, tags)
    if here in state.lookup.positions:
        parts.append(_here(axes, state.lookup.positions[here], height))
        height += 0 if any(one.key == here for one in placed) else 24
    svg = (
        f'<svg viewBox="0 0 {WIDTH} {height:.0f}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="12">{"".join(parts)}</svg>'
    )
    said = [f"{p.name}: {marks[p.key]}" for p in placed if p.key in marks]
    said += [f"{p.name}: {tags[p.key]}" for p in placed if p.key in tags]
    if here in state.lookup.positions:
        said.insert(0, f"the next thing is at: {state.lookup.name_of(here)}")
    alt = f"Bench schematic of {sheet.sheet.name}. " + ("; ".join(said) or "Nothing is marked yet.")
    return Picture(svg, alt, "Bench schematic: symbols along their shafts, not to scale")


def _named(
    state: State, placed: Sequence[Position], shaft: str, here: str, tags: Mapping[str, str]
) -> list[Position]:
    """Positions of a shaft that get their name."""
    mine = [one for one in placed if one.on == shaft]
    if not tags:
        return mine
    return [p for p in mine if p.key in tags or p.key == here
            or state.lookup.parts[p.part].kind == "gear"]  # fmt: skip


def _hatchings() -> str:
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


def _axis(axis: Axis) -> str:
    (x1, y1), (x2, y2) = axis.place(-4), axis.place(104)
    x, y = (x1 + 8, y1 - 8) if axis.vertical else (x2 - 60, y1 + (20 if axis.names_above else -8))
    return (
        f'<line x1="{x1:.0f}" y1="{y1:.0f}" x2="{x2:.0f}" y2="{y2:.0f}" stroke="currentColor" '
        'stroke-width="1" stroke-dasharray="12 4 2 4"/>'
        f'<text x="{x:.0f}" y="{y:.0f}" fill="currentColor" '
        f'font-size="11" font-style="italic">{escape(axis.shaft.name)}</text>'
    )


def _symbol(state: State, axes: Mapping[str, Axis], position: Position, mark: str) -> str:
    """A trade-like symbol for a kind of part, hatched by what is known of its piece."""
    axis = axes[str(position.on)]
    x, y = axis.place(float(position.along or 0))
    kind = state.lookup.part_at(position.key).kind
    shape = _SHAPES.get(kind, _box)(x, y, axis.vertical, position.faces)
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


def _names(
    axis: Axis, placed: Sequence[Position], here: str, tags: Mapping[str, str]
) -> Iterator[str]:
    """Names in the order along the shaft, far enough apart to be read, each with its line."""
    last = -99.0
    for position in sorted(placed, key=lambda one: one.along or 0):
        x, y = axis.place(float(position.along or 0))
        spot = max(y + 4, last + 13) if axis.vertical else max(x, last + 15)
        last = spot
        draw = _name_beside if axis.vertical else _name_slanted
        is_here, tag = position.key == here, tags.get(position.key, "")
        label = f"{'▶ ' if is_here else ''}{position.name}  {tag}".rstrip()
        yield draw(axis, label, x, y, spot, is_here or bool(tag))


def _name_beside(axis: Axis, label: str, x: float, y: float, spot: float, bold: bool) -> str:
    return (
        f'<line x1="{x + 42:.0f}" y1="{y:.0f}" x2="{x + 62:.0f}" y2="{spot - 4:.0f}" '
        'stroke="currentColor" stroke-width=".7"/>'
        f'<text x="{x + 66:.0f}" y="{spot:.0f}" fill="currentColor"{_weight(bold)}>'
        f"{escape(label)}</text>"
    )


def _weight(bold: bool) -> str:
    return ' font-weight="700"' if bold else ""


def _here(axes: Mapping[str, Axis], position: Position, height: float) -> str:
    """A frame around the place of the next thing, or its name at the foot."""
    axis = axes.get(str(position.on))
    if axis is None or position.along is None:
        return (
            f'<text x="8" y="{height + 16:.0f}" fill="currentColor" font-weight="700">'
            f"▶ {escape(position.name)}, around or beside these</text>"
        )
    x, y = axis.place(float(position.along))
    across, along = (46, 17) if axis.vertical else (17, 46)
    return (
        f'<rect x="{x - across:.0f}" y="{y - along:.0f}" width="{2 * across}" '
        f'height="{2 * along}" rx="8" fill="none" stroke="currentColor" stroke-width="4"/>'
    )


def _name_slanted(axis: Axis, label: str, x: float, y: float, spot: float, bold: bool) -> str:
    way = -1 if axis.names_above else 1
    return (
        f'<line x1="{x:.0f}" y1="{y + 38 * way:.0f}" x2="{spot:.0f}" y2="{y + 50 * way:.0f}" '
        'stroke="currentColor" stroke-width=".7"/>'
        f'<text transform="translate({spot - 2 * way:.0f} {y + (60 if way > 0 else -54):.0f}) '
        f'rotate({48 * way})" fill="currentColor"{_weight(bold)}>'
        f"{escape(label)}</text>"
    )
