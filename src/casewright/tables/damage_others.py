"""Damage of housings, shafts and seals. Names are shop words; all of it is common practice."""

from __future__ import annotations

from casewright.tables.damage_form import CASE_KINDS, SHOP, Damage

_CRACK = (
    "a mark that may be a crack: dye it",
    "a crack in a fin or plate, away from seats and seals",
    "a crack at a seat, a joint face or a water passage",
    "a crack through a wall, or a piece out",
)
_EATEN = (
    "bloom or stain, paint lifts",
    "pits under 0.5 mm, none at a seal or seat",
    "pits over 0.5 mm, or at a seal land or joint face",
    "wall eaten through",
)
_THREAD = (
    "first turn damaged, a tap cleans it",
    "one or two turns gone",
    "a bolt pulls before its torque",
    "no thread left",
)
_SHAFT = (
    "seen, not felt",
    "felt with a nail, inside the limit",
    "outside the limit or with a step",
    "cracked, twisted or torn",
)
_SEAL = (
    "lip bright over less than a third of its edge",
    "lip flattened",
    "lip hard, cut or turned",
    "lip gone or melted",
)


def _row(
    key: str, name: str, group: str, looks: str, comes_from: str, steps: tuple[str, str, str, str],
    picture: str, kinds: tuple[str, ...] = CASE_KINDS, finding: str = "",
) -> Damage:  # fmt: skip
    return Damage(key, name, group, SHOP, looks, comes_from, steps, picture, kinds, finding)


_SHAFTS, _SEALS = ("shaft",), ("seal", "o-ring", "gasket")

# One row, one line: a table is read across.
# ruff: noqa: E501
# fmt: off
OTHER_DAMAGE: tuple[Damage, ...] = (
    _row("case-crack", "crack in the housing", "cracks", "a line that dye draws again after wiping", "a blow, or ice", _CRACK, "case-crack", finding="crack-seen"),
    _row("skeg-broken", "skeg or plate bent or broken", "cracks", "edge scraped, bent or gone", "struck something", ("scraped", "bent or a corner gone, bores true", "a third or more gone", "broken into the gearcase"), "skeg", finding="skeg-damaged"),
    _row("ice-bulge", "wall or passage bulged by ice", "cracks", "outward bulge, plug pushed out", "water froze inside", ("hardly seen", "bulged, no crack under dye", "bulged with a crack", "burst"), "case-crack", finding="bulged-water-passage"),
    _row("white-bloom", "white bloom under paint", "corrosion", "white powder, blistered paint", "anodes spent, painted or not bonded", _EATEN, "bloom", finding="white-bloom"),
    _row("pitting-corrosion", "pitting of the housing", "corrosion", "holes with white powder", "stray current, or anodes spent for long", _EATEN, "case-pits"),
    _row("one-sided-pits", "deep pits on one side", "corrosion", "pits only towards the dock or a neighbour", "current leaves there into the water", _EATEN, "case-pits", finding="deep-pits-one-side"),
    _row("crevice", "crevice corrosion at a seal land or O-ring groove", "corrosion", "dark pits under the ring", "sea water that stood under a ring", _EATEN, "case-pits"),
    _row("seat-worn", "seat worn by a turning ring", "seats", "bright, stepped or oval seat", "the ring turned in it", ("bright, inside limits", "inside limits, oval", "outside limits", "stepped, nothing left to sleeve"), "seat", finding="cup-spun-in-bore"),
    _row("thread-stripped", "thread stripped", "threads", "metal on the bolt, turns missing in the hole", "pulled too tight, or seized by corrosion", _THREAD, "thread"),
    _row("face-warped", "joint face warped or dented", "faces", "light under a straight edge, lever marks", "prised apart, or welded near it", ("a dent that can be stoned off", "inside the flatness limit", "outside it, metal for a skim", "outside it, no metal left"), "face"),
    _row("seal-groove", "groove of a seal in its land", "shafts", "bright ring under the lip's place", "a worn lip with grit in it, line", _SHAFT, "groove", _SHAFTS, "seal-groove-bright"),
    _row("shaft-bent", "shaft bent", "shafts", "the dial moves once per turn", "struck, or dropped", _SHAFT, "bend", _SHAFTS, "shaft-run-out-high"),
    _row("shaft-twisted", "shaft twisted at its splines", "shafts", "spline teeth run askew to a straight edge", "the propeller stopped and the engine didn't", _SHAFT, "twist", _SHAFTS, "drive-shaft-twisted"),
    _row("spline-worn", "splines worn or red", "shafts", "steps on one side, red powder", "out of line, or dry", _SHAFT, "spline", _SHAFTS, "input-splines-worn"),
    _row("shaft-crack", "crack in a shaft", "shafts", "a line at a step, keyway or spline end", "bending or torsion, load after load", _CRACK, "crack", _SHAFTS),
    _row("shaft-pitted", "journal pitted by rust", "shafts", "rust pits where rollers or a lip run", "water in the oil while it stood", _SHAFT, "stain", _SHAFTS),
    _row("lip-cut", "seal lip cut, hard or melted", "seals", "nick, hard edge or molten line in it", "line, heat, a dry start, or a careless fitting", _SEAL, "lip", _SEALS, "seal-lip-cut"),
    _row("ring-pinched", "O-ring pinched or twisted", "seals", "flat, cut or spiral marks", "fitted dry or over a burr", _SEAL, "lip", _SEALS, "o-ring-pinched"),
    _row("blade-bent", "blades bent or chipped", "propeller", "edge turned, chips", "struck something", ("nicks that file out", "an edge bent", "a blade bent, or a chip over 10 mm", "a blade gone"), "blade", ("propeller",), "blade-bent-or-chipped"),
)
# fmt: on
