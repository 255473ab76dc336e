"""Own drawings of kinds of damage: a flank, a raceway, a shaft or a case, and what is seen on it.

Plain line drawings for recognising, not pictures of a real piece; the words beside them rule.
"""

# ruff: noqa: E501  (paths of drawings are read as one)

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape

from casewright.tables.damage import Damage
from casewright.voice.document import Picture

CELL, DRAWN, HIGH = 150, 140, 92
# Fixed scatter, so that a drawing is the same every time.
SPOTS = (
    (18, 52), (25, 61), (31, 48), (39, 57), (46, 66), (52, 50), (60, 60), (67, 47), (74, 63),
    (81, 54), (88, 49), (95, 62), (102, 55), (109, 48), (116, 60), (122, 52),
)  # fmt: skip

FLANK = '<path d="M12 74L24 26H116L128 74Z"/><path d="M12 74H4M128 74h8" />'
RACE = '<path d="M8 34Q70 14 132 34L126 76Q70 58 14 76Z"/>'
SHAFT = '<path d="M6 34H134M6 68H134M6 34v34M134 34v34" /><path d="M2 51H138" stroke-dasharray="8 3 2 3" stroke-width=".7"/>'
CASE = '<path d="M20 12H100Q112 12 112 26V44Q112 58 96 58H84L74 86H58L60 58H36Q20 58 20 44Z"/>'
FACE = '<path d="M8 40H132V72H8Z"/>'


def draw_damage(one: Damage) -> Picture:
    """One drawing with its name."""
    return Picture(
        _svg(DRAWN, HIGH, _cell(one.picture)), f"{one.name}: {one.looks}.", f"{one.name}, drawn"
    )


def draw_damage_sheet(offered: Sequence[Damage], title: str) -> Picture:
    """The drawings that are offered for a part, one for each look, named."""
    shown = list({one.picture: one for one in reversed(offered)}.values())[::-1]
    rows = -(-len(shown) // 3)
    cells = "".join(
        f'<g transform="translate({CELL * (k % 3)} {(HIGH + 22) * (k // 3)})">{_cell(one.picture)}'
        f"{_name(one.name)}</g>"
        for k, one in enumerate(shown)
    )
    alt = "; ".join(f"{one.name}: {one.looks}" for one in shown)
    return Picture(_svg(3 * CELL, rows * (HIGH + 22), cells), f"{alt}.", title)


def _svg(width: float, height: float, inner: str) -> str:
    return (
        f'<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="11">{inner}</svg>'
    )


def _name(name: str) -> str:
    """The name below its drawing, in two lines where it is long."""
    words = name.split(": ")[-1].split(" ")
    cut = next((k for k in range(1, len(words)) if len(" ".join(words[: k + 1])) > 22), len(words))
    rows = (" ".join(words[:cut]), " ".join(words[cut:]))
    return "".join(
        f'<text x="{DRAWN / 2}" y="{HIGH + 2 + 13 * k}" text-anchor="middle" '
        f'fill="currentColor">{escape(row)}</text>'
        for k, row in enumerate(rows)
    )


def _cell(picture: str) -> str:
    base, marks = _DRAWINGS.get(picture, (FLANK, lambda: ""))
    return (
        f'<g fill="none" stroke="currentColor" stroke-width="1.4">{base}'
        f'<g stroke-width="1.1">{marks()}</g></g>'
    )


def _path(d: str, more: str = "") -> str:
    return f'<path d="{d}" {more}/>'


def _lines(count: int, x: float, step: float, top: float, low: float, lean: float = 0) -> str:
    """Upright strokes side by side."""
    return _path(
        "".join(f"M{x + k * step + lean:.0f} {top}L{x + k * step:.0f} {low}" for k in range(count))
    )


def _dots(radius: float, filled: bool = True, spots: Sequence[tuple[int, int]] = SPOTS) -> str:
    fill = ' fill="currentColor"' if filled else ""
    return "".join(f'<circle cx="{x}" cy="{y}" r="{radius}"{fill}/>' for x, y in spots)


def _band(top: float, low: float) -> str:
    return _path(f"M20 {top}H120M18 {low}H122", 'stroke-dasharray="14 5"')


def _waves(step: float, rise: float) -> str:
    return "".join(
        _path(f"M22 {y}" + f"q{step / 2} -{rise} {step} 0" * int(94 / step))
        for y in (36, 46, 56, 66)
    )


def _blots() -> str:
    shapes = ("M26 40q8-9 15 0t-3 12q-12 4-12-12Z", "M62 52q10-7 18 1t-6 12q-13 1-12-13Z",
              "M96 38q8-6 13 2t-6 10q-10 0-7-12Z")  # fmt: skip
    return "".join(_path(shape, 'fill="currentColor" fill-opacity=".35"') for shape in shapes)


def _crater() -> str:
    return _path(
        "M40 44l10-7 14 3 12-4 13 8 6 11-9 9-14-3-11 5-13-6-9-7Z",
        'fill="currentColor" fill-opacity=".3"',
    ) + _path("M52 50l9 4 10-6 8 7")


def _bars() -> str:
    """Marks at roller pitch."""
    return "".join(
        f'<rect x="{22 + 20 * k}" y="{34 + 2 * abs(k - 2)}" width="7" height="30" rx="3" '
        'fill="currentColor" fill-opacity=".35"/>'
        for k in range(5)
    )


def _scuff() -> str:
    torn = "".join(
        _path(f"M{x} 30l3 8-4 9 5 8-3 13M{x + 5} 30l-3 10 4 10-4 9 3 9")
        for x in (34, 50, 66, 84, 100)
    )
    return torn


def _heat() -> str:
    bands = ((30, ".10"), (42, ".25"), (54, ".45"))
    return "".join(
        f'<rect x="20" y="{y}" width="100" height="11" fill="currentColor" fill-opacity="{o}" '
        'stroke="none"/>'
        for y, o in bands
    )


def _crack(d: str = "M40 74l8-8 3-9 9-5 4-10 10-3 6-8") -> str:
    return _path(d, 'stroke-width="2.2"')


def _net() -> str:
    return _path(
        "M30 40l18 10 14-9 20 12 18-10M42 62l6-12 16 14 18-11 14 12M62 41l2 23M82 53l-4 15"
    )


def _twist() -> str:
    return _path("".join(f"M{20 + 12 * k} 34q10 17 4 34" for k in range(9)))


_Marks = Callable[[], str]
_DRAWINGS: dict[str, tuple[str, _Marks]] = {
    "polish": (FLANK, lambda: _band(42, 62) + _path("M40 46h60M34 57h72")),
    "scratch": (FLANK, lambda: _lines(11, 26, 8, 30, 70, 4)),
    "root-groove": (FLANK, lambda: _path("M18 66H122M16 70H124", 'stroke-width="2.4"')),
    "stain": (FLANK, _blots),
    "heat": (FLANK, _heat),
    "micropits": (FLANK, lambda: _dots(0.9) + _dots(0.9, True, [(x + 4, y - 9) for x, y in SPOTS])),
    "craters": (FLANK, lambda: _dots(4.2, False, SPOTS[::3]) + _dots(1.4, True, SPOTS[::3])),
    "scuff": (FLANK, _scuff),
    "dent": (FLANK, lambda: _dots(3.2, False, SPOTS[::2])),
    "flow": (
        FLANK,
        lambda: _path("M22 28q48-14 96 0M22 24q50-16 96 0") + _lines(8, 30, 12, 34, 66),
    ),
    "ripple": (FLANK, lambda: _waves(12, 7)),
    "ridge": (FLANK, lambda: _lines(9, 28, 10, 28, 72, 3) + _lines(9, 31, 10, 28, 72, 3)),
    "pits": (FLANK, lambda: _dots(2.2)),
    "spall": (FLANK, _crater),
    "crack": (FLANK, _crack),
    "net": (FLANK, _net),
    "broken": (
        '<path d="M12 74L20 44l14-6 10 8 16-9 14 9 18-10 14 8 14-4L128 74Z"/>',
        lambda: _path("M24 68H116", 'stroke-dasharray="3 4"'),
    ),
    "corner": (
        '<path d="M12 74L24 26H84l8 12 12 5 14 2L128 74Z"/>',
        lambda: _path("M84 26q4 16 32 19", 'stroke-dasharray="3 3"'),
    ),
    "end-track": (
        FLANK,
        lambda: _path("M92 32h22l6 34H98Z", 'fill="currentColor" fill-opacity=".3"'),
    ),
    "dogs": (
        '<path d="M8 74V60H36V38q0-10 12-10h12q12 0 12 10V60H98V36q0-10 10-10h24"/>',
        lambda: _path("M36 26h12M72 26H60M98 24h10", 'stroke-dasharray="3 3"'),
    ),
    "roller-marks": (RACE, _bars),
    "seat-patches": (RACE, lambda: _blots() + _path("M20 30q50-16 100 0", 'stroke-width="2.2"')),
    "flake": (RACE, _crater),
    "washboard": (RACE, lambda: _lines(19, 20, 5.4, 36, 66)),
    "case-crack": (CASE, lambda: _crack("M40 58l8-9 3-10 9-5 3-10 8-12")),
    "skeg": (
        '<path d="M20 12H100Q112 12 112 26V44Q112 58 96 58H84l-6 16-6-6-5 8-3-8-4-10H36Q20 58 20 44Z"/>',
        lambda: _path("M74 86H58", 'stroke-dasharray="3 3"'),
    ),
    "bloom": (CASE, lambda: _dots(1.2, False, [(int(x * 0.7) + 14, y - 22) for x, y in SPOTS])),
    "case-pits": (CASE, lambda: _dots(2.4, True, [(int(x * 0.7) + 14, y - 20) for x, y in SPOTS])),
    "seat": (
        FACE,
        lambda: _path("M40 40a30 22 0 0 0 60 0M44 40a26 18 0 0 0 52 0") + _lines(6, 50, 8, 46, 56),
    ),
    "thread": (
        FACE,
        lambda: (
            _path("M52 40v32M88 40v32")
            + _path("M52 46l6 3-6 3M88 46l-6 3 6 3M52 58l3 3-3 3M88 60l-3 3 3 3")
        ),
    ),
    "face": (
        '<path d="M8 44Q70 32 132 44V74H8Z"/>',
        lambda: _path("M4 38H136", 'stroke-dasharray="6 4"'),
    ),
    "groove": (
        SHAFT,
        lambda: _path(
            "M62 34q3 6 0 10v14q3 4 0 10M74 34q-3 6 0 10v14q-3 4 0 10", 'stroke-width="2"'
        ),
    ),
    "bend": (
        '<path d="M6 44L72 34L134 52M6 62L72 52L134 70M6 44v18M134 52v18"/><path d="M2 53H138" stroke-dasharray="8 3 2 3" stroke-width=".7"/>',
        lambda: "",
    ),
    "twist": (SHAFT, _twist),
    "spline": (
        SHAFT,
        lambda: (
            _lines(9, 22, 12, 34, 68)
            + _path("".join(f"M{22 + 12 * k} 40h4v22h-4" for k in range(9)))
        ),
    ),
    "lip": ('<path d="M20 20H120V40H96L78 70L70 40H20Z"/>', lambda: _crack("M78 70l-3-9 5-7-4-8")),
    "blade": (
        '<path d="M70 78Q20 60 24 30Q50 8 84 20Q124 34 112 62Q96 78 70 78Z"/>',
        lambda: _path("M112 62l-12-6 4-9-12-4 10-8") + _crack("M24 30l10 3-4 7"),
    ),
}
