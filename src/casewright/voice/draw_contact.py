"""Contact patterns on the outline of a gear's tooth, drive and coast, to the tooth's own scale.

Each flank is drawn as one looks at it with the tooth's top up: what lies to the left on the drive
flank lies to the right on the coast flank, the tooth's other side. A computed patch is hatched. A
tapped patch shows its cells; a typed middle is a dashed ring as wide as it is sure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from casewright.mechanics.contact_cells import Marks
from casewright.mechanics.contact_pattern import SeenPatch
from casewright.phases.setup import Computed, Gallery, Look, PatternLine, SeenFlank
from casewright.voice.document import Picture

WIDE, GAP, TOP, TEXT = 290, 30, 54, 18
Point = tuple[float, float]
# Where no size is in the sheet: a tooth half as high as long, marked as not to scale.
PLAIN = Gallery((0.0, 1.0), (0.2, 0.25), (-0.2, -0.25), (-0.24, -0.3), (), "not to scale")


@dataclass(frozen=True, slots=True)
class Side:
    """One flank's picture: the tooth, where its left edge stands, on which hand the heel lies."""

    shape: Gallery
    x: float
    heel_left: bool

    @property
    def scale(self) -> float:
        """Picture units for one metre."""
        return WIDE / (max(self.shape.from_toe) or 1.0)

    @property
    def tall(self) -> float:
        """Height from the highest tip to the lowest root."""
        return (max(self.shape.tip) - min(self.shape.root)) * self.scale

    def at(self, from_toe: float, height: float) -> Point:
        """A place on the tooth, in metres from the toe and over the pitch line."""
        across = from_toe * self.scale
        x = WIDE - across if self.heel_left else across
        return self.x + x, TOP + (max(self.shape.tip) - height) * self.scale

    def spot(self, along: float, up: float) -> Point:
        """A place in shares of the working flank: toe 0 to heel 1, root 0 to top 1."""
        from_toe = along * max(self.shape.from_toe)
        tip = between(self.shape.from_toe, self.shape.tip, from_toe)
        low = between(self.shape.from_toe, self.shape.active_root, from_toe)
        return self.at(from_toe, low + up * (tip - low))


def between(xs: tuple[float, ...], ys: tuple[float, ...], x: float) -> float:
    """Linear interpolation between the outline's points."""
    for x1, x2, y1, y2 in zip(xs, xs[1:], ys, ys[1:], strict=False):
        if x <= x2:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return ys[-1]


def seen_picture(line: PatternLine) -> Picture:
    """What was seen on both flanks, over what drawn flanks give in their right place."""
    computed = line.gallery.pictures[0] if line.gallery and line.gallery.pictures else None
    flanks = (("drive", line.drive), ("coast", line.coast))
    body = "".join(
        _flank(line, index, name, _look(computed, name), seen)
        for index, (name, seen) in enumerate(flanks)
    )
    said = [f"{name} flank {where_seen(seen)}" for name, seen in flanks]
    alt = f"Pattern of the {line.name} on the gear: {'; '.join(said)}."
    title = "squares or ring: as seen, the cross its middle and how sure it is"
    if computed:
        title += " · hatched, line their path: drawn flanks in their place, an estimate"
        alt += f" Drawn flanks in their place: {_computed_words(computed)}."
    return Picture(_svg(line, body), alt, title)


def expected_picture(line: PatternLine) -> Picture | None:
    """What drawn flanks show in their place, to hold the tooth against; None without sizes."""
    if line.gallery is None or not line.gallery.pictures:
        return None
    drawn = gallery_picture(line, line.gallery.pictures[0])
    return Picture(drawn.svg, drawn.alt, "expected in its place, from drawn flanks: an estimate")


def gallery_picture(line: PatternLine, one: Computed) -> Picture:
    """One picture of the gallery: both flanks for one move."""
    body = "".join(
        _flank(line, index, name, _look(one, name), None)
        for index, name in enumerate(("drive", "coast"))
    )
    return Picture(
        _svg(line, body), f"Drawn flanks, {one.title}: {_computed_words(one)}.", one.title
    )


def _computed_words(one: Computed) -> str:
    looks = (("drive", one.drive), ("coast", one.coast))
    return ", ".join(
        f"{name} {where((look.along, look.up)) if look else 'no patch'}" for name, look in looks
    )


def _look(computed: Computed | None, name: str) -> Look | None:
    return None if computed is None else (computed.drive if name == "drive" else computed.coast)


def heel_left(line: PatternLine, name: str) -> bool:
    """Whether the heel lies to the left of whoever looks at this flank."""
    return line.heel_left if name == "drive" else not line.heel_left


def _flank(
    line: PatternLine, index: int, name: str, look: Look | None, seen: SeenFlank | None
) -> str:
    """One flank: tooth, computed patch, seen patch, and the words at its edges."""
    side = Side(line.gallery or PLAIN, index * (WIDE + GAP) + 10, heel_left(line, name))
    parts = [tooth_lines(side)]
    if look is not None:
        spots = [side.spot(along, up) for along, up in look.outline]
        parts.append(_closed(spots, 'fill="url(#wiped)" stroke="currentColor" stroke-width="1"'))
        parts.append(_path(side, look))
    if seen is not None and seen.marks is not None:
        parts += _cells(side, seen.marks)
    if seen is not None and seen.patch is not None:
        parts.append(_middle(side, seen.patch, ring=seen.marks is None))
    return "".join(parts) + _labels(side, f"{name} flank")


def _path(side: Side, look: Look) -> str:
    """The path of contact as a line on the tooth, dots where it begins and ends."""
    if len(look.path) < 2:
        return ""
    spots = [side.spot(min(max(a, 0.0), 1.0), min(max(u, 0.0), 1.0)) for a, u in look.path]
    ends = "".join(
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="currentColor"/>'
        for x, y in (spots[0], spots[-1])
    )
    line = f'<path d="M{_points(spots)}" fill="none" stroke="currentColor" stroke-width="3"/>'
    return line + ends


def tooth_lines(side: Side) -> str:
    """Outline of the tooth and the line where its mate's tip stops working."""
    shape = side.shape
    rim = [side.at(a, t) for a, t in zip(shape.from_toe, shape.tip, strict=True)]
    rim += [side.at(a, r) for a, r in zip(shape.from_toe[::-1], shape.root[::-1], strict=True)]
    active = [side.at(a, r) for a, r in zip(shape.from_toe, shape.active_root, strict=True)]
    return _closed(rim, 'fill="none" stroke="currentColor" stroke-width="2"') + (
        f'<path d="M{_points(active)}" fill="none" stroke="currentColor" stroke-width="0.8" '
        'stroke-dasharray="2 4"/>'
    )


def _points(spots: Sequence[Point]) -> str:
    return " L".join(f"{x:.1f} {y:.1f}" for x, y in spots)


def _closed(spots: Sequence[Point], style: str) -> str:
    return f'<path d="M{_points(spots)}Z" {style}/>'


def _cells(side: Side, marks: Marks) -> list[str]:
    """The tapped cells, as shares of the flank."""
    wide, tall = marks.grid
    style = 'fill="url(#tapped)" stroke="currentColor" stroke-width="1.6"'
    return [
        _closed(
            [
                side.spot(a / wide, u / tall)
                for a, u in ((a - 1, u - 1), (a, u - 1), (a, u), (a - 1, u))
            ],
            style,
        )
        for a, u in marks.cells
    ]


def _middle(side: Side, seen: SeenPatch, ring: bool) -> str:
    """A cross as long as the middle is unsure each way; a dashed ring where only it was typed."""
    left, right = (
        side.spot(min(1.0, max(0.0, seen.along + sign * seen.along_doubt)), seen.up)
        for sign in (-1, 1)
    )
    low, high = (
        side.spot(seen.along, min(1.0, max(0.0, seen.up + sign * seen.up_doubt)))
        for sign in (-1, 1)
    )
    cx, cy = side.spot(seen.along, seen.up)
    made = (
        f'<path d="M{_points([left, right])} M{_points([low, high])}" fill="none" '
        'stroke="currentColor" stroke-width="3"/>'
    )
    if ring:
        rx, ry = abs(right[0] - left[0]) / 2, max(abs(high[1] - low[1]) / 2, 6.0)
        made += (
            f'<ellipse cx="{cx:.1f}" cy="{cy:.1f}" rx="{rx:.1f}" ry="{ry:.1f}" fill="none" '
            'stroke="currentColor" stroke-width="2.4" stroke-dasharray="6 3"/>'
        )
    return made


def _svg(line: PatternLine, body: str) -> str:
    side = Side(line.gallery or PLAIN, 0, False)
    width, height = 2 * WIDE + GAP + 20, side.tall + TOP + 36
    return (
        f'<svg viewBox="0 0 {width:.0f} {height:.0f}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="{TEXT}">{DEFS}{body}</svg>'
    )


DEFS = (
    '<defs><pattern id="wiped" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<path d="M0 6L6 0" stroke="currentColor" stroke-width="1"/></pattern>'
    '<pattern id="tapped" width="7" height="7" patternUnits="userSpaceOnUse">'
    '<path d="M0 0L7 7" stroke="currentColor" stroke-width="1.8"/></pattern></defs>'
)


def _labels(side: Side, name: str) -> str:
    low = TOP + side.tall + 24
    left, right = ("heel", "toe") if side.heel_left else ("toe", "heel")
    said = (
        (0, low, "start", left), (WIDE, low, "end", right), (WIDE / 2, low, "middle", "root"),
        (WIDE / 2, TOP - 8, "middle", "top"), (0, TOP - 32, "start", name),
    )  # fmt: skip
    return "".join(
        f'<text x="{side.x + px:.0f}" y="{py:.0f}" text-anchor="{anchor}" fill="currentColor">'
        f"{escape(text)}</text>"
        for px, py, anchor, text in said
    )


def where_seen(seen: SeenFlank) -> str:
    """A seen flank in words: middle with its doubt, extents, edges that it runs out to."""
    if seen.patch is None and seen.marks is None:
        return "not looked at"
    said = []
    if seen.patch is not None:
        one = seen.patch
        said.append(
            f"middle {100 * one.along:.0f} ± {100 * one.along_doubt:.0f} % from toe to heel, "
            f"{100 * one.up:.0f} ± {100 * one.up_doubt:.0f} % from root to top"
        )
    if seen.marks is not None:
        said.append(extents(seen.marks))
    return "; ".join(said)


def extents(marks: Marks) -> str:
    """How far the wiped cells reach, and which edges they run out to."""
    text = (
        f"wiped from {100 * marks.along_from:.0f} to {100 * marks.along_to:.0f} % along and "
        f"{100 * marks.up_from:.0f} to {100 * marks.up_to:.0f} % up"
    )
    if marks.edges:
        text += f", out to the {' and the '.join(marks.edges)}"
    if marks.islands > 1:
        text += f", in {marks.islands} places that lie apart: no middle is told"
    return text


def where(place: Point) -> str:
    """A middle in words."""
    return f"{100 * place[0]:.0f} % from toe to heel, {100 * place[1]:.0f} % from root to top"
