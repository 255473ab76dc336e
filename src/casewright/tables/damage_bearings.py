"""Damage of rolling bearings. Names after ISO 15243; descriptions and steps common practice."""

from __future__ import annotations

from casewright.tables.damage_form import BEARING_KINDS, BEARINGS, SHOP, Damage

_FLAKE = (
    "one spot smaller than a pinhead",
    "spots one can feel, no piece out",
    "flakes out, rough when turned",
    "raceway broken up",
)
_MARK = (
    "seen only in slanting light",
    "seen plainly, not felt with a nail",
    "felt with a nail or heard when turned",
    "deep, with loose metal",
)
_RUST = (
    "light stain that wipes off with oil",
    "stain that stays, no depth",
    "pits at roller pitch, rough when turned",
    "rusted or eaten through",
)
_CRACK = (
    "a mark that may be a crack: dye it",
    "a crack that doesn't reach an edge",
    "a crack through the ring or cage",
    "in pieces",
)


def _row(
    key: str, name: str, group: str, looks: str, comes_from: str, steps: tuple[str, str, str, str],
    picture: str, finding: str = "", standard: str = BEARINGS,
) -> Damage:  # fmt: skip
    kinds = BEARING_KINDS
    return Damage(
        f"bearing-{key}", name, group, standard, looks, comes_from, steps, picture, kinds, finding
    )


_FATIGUE, _WEAR, _RUSTED = "rolling contact fatigue", "wear", "corrosion"
_CURRENT, _DEFORMED, _BROKEN = "electrical erosion", "plastic deformation", "cracking and fracture"

# Salt water: moisture corrosion, fretting under cups in aluminium and false brinelling come first.
# One row, one line: a table is read across.
# ruff: noqa: E501
# fmt: off
BEARING_DAMAGE: tuple[Damage, ...] = (
    _row("moisture-corrosion", "moisture corrosion", _RUSTED, "rust or dark etching, often as bars at roller pitch", "water in the oil while the leg stood", _RUST, "roller-marks", "raceway-etched"),
    _row("fretting-corrosion", "frictional corrosion: fretting corrosion", _RUSTED, "red-brown or black patches on the seat side of the ring", "the ring works in its seat: loose fit, aluminium grown warm", _RUST, "seat-patches"),
    _row("false-brinelling", "frictional corrosion: false brinelling", _RUSTED, "bright or red hollows at roller pitch, no raised edge", "shaking at rest: transport, engine idling with the leg out of gear", _MARK, "roller-marks"),
    _row("subsurface-fatigue", "subsurface initiated fatigue", _FATIGUE, "deep flakes with steep edges in the loaded part", "life used up, or overload", _FLAKE, "flake", "raceway-spalled"),
    _row("surface-fatigue", "surface initiated fatigue", _FATIGUE, "fine pits and shallow flakes, matt", "thin film, dirt or water in the oil", _FLAKE, "pits", "raceway-spalled"),
    _row("abrasive-wear", "abrasive wear", _WEAR, "matt raceway, rollers thinner, play grown", "sand, rust or metal in the oil", _MARK, "scratch"),
    _row("adhesive-wear", "adhesive wear", _WEAR, "smeared streaks, metal moved", "rollers skid: no preload or no film", _MARK, "scuff"),
    _row("current-erosion", "excessive current erosion", _CURRENT, "single craters with a melted rim", "welding current through the bearing", _MARK, "craters"),
    _row("current-leakage", "current leakage erosion", _CURRENT, "washboard of grey bars along the raceway", "small current for a long time: stray current", _MARK, "washboard"),
    _row("overload", "overload deformation", _DEFORMED, "dents at roller pitch with raised edges (true brinelling)", "a blow, or pressed on through the rollers", _MARK, "roller-marks"),
    _row("particle-dents", "indentations from particles", _DEFORMED, "many small dents without a pattern", "metal or sand in the oil", _MARK, "dent"),
    _row("handling-dents", "indentation by handling", _DEFORMED, "nicks on rollers or edges", "dropped or struck", _MARK, "dent"),
    _row("forced-fracture", "forced fracture", _BROKEN, "coarse fresh break of ring or flange", "struck or pressed askew", _CRACK, "crack"),
    _row("fatigue-fracture", "fatigue fracture", _BROKEN, "break with beach lines", "bending of a ring in a loose or uneven seat", _CRACK, "crack"),
    _row("thermal-cracking", "thermal cracking", _BROKEN, "fine cracks across a heated face", "a ring that slid, or heated with a flame", _CRACK, "net"),
    _row("heat-colours", "heat colours", "overheating", "straw to blue rollers or raceway", "oil film lost, or preload far too high", ("straw", "brown to purple", "blue: soft", "melted or seized"), "heat", "rollers-blue", SHOP),
    _row("spun-ring", "ring turned in its seat", "seat", "ring's seat side polished round, seat bright or stepped", "fit lost: preload lost, seized, or aluminium too warm", ("witness mark moved", "polished, still held by hand force", "turns by hand, seat stepped", "seat worn through its limits"), "seat-patches", "cup-spun-in-bore", SHOP),
    _row("rough", "turns rough", "feel", "cleaned and oiled, fingers feel pits", "fatigue, rust or dirt", ("one soft spot", "felt all round", "catches", "locks"), "pits", "bearing-rough", SHOP),
)
# fmt: on
