"""Damage of gear teeth. Names after ISO 10825; descriptions and steps are common practice."""

from __future__ import annotations

from casewright.tables.damage_form import GEAR_KINDS, GEARS, SHOP, Damage

_WEAR = (
    "seen only in slanting light",
    "felt with a nail, the tooth's shape is whole",
    "a step at the end of the contact, lash has grown",
    "tooth thinned or hooked",
)
_PITS = (
    "a few pits smaller than a pinhead",
    "pits in a band, none larger than 1 mm",
    "pits join or grow over 1 mm, metal on the magnet",
    "pieces out of the flank",
)
_CRACK = (
    "a mark that may be a crack: dye it",
    "a crack that doesn't reach an edge",
    "a crack to an edge or at the root",
    "a piece is out or loose",
)
_BREAK = (
    "a nick at a tip or corner",
    "a corner chipped outside the contact",
    "part of a tooth gone",
    "a whole tooth gone",
)
_DENT = (
    "single dents without a raised edge",
    "dents with raised edges, they can be stoned off",
    "dents in most teeth",
    "flank deformed",
)
_HEAT = (
    "straw colour",
    "brown to purple",
    "blue, hardness has to be tested",
    "grey, soft or melted",
)
_STAIN = (
    "stain without depth",
    "dull, with depth one can't feel",
    "pits one can feel",
    "flank eaten away",
)


def _row(
    key: str, name: str, group: str, looks: str, comes_from: str, steps: tuple[str, str, str, str],
    picture: str, finding: str = "", standard: str = GEARS,
) -> Damage:  # fmt: skip
    return Damage(
        f"gear-{key}", name, group, standard, looks, comes_from, steps, picture, GEAR_KINDS, finding
    )


_WEARS, _HURT, _DEFORMED = "sliding wear", "surface disturbance", "permanent deformation"
_FATIGUE, _CRACKS, _BROKEN = "surface fatigue", "fissures and cracks", "tooth breakage"

# One row, one line: a table is read across.
# ruff: noqa: E501
# fmt: off
GEAR_DAMAGE: tuple[Damage, ...] = (
    _row("polishing", "polishing (normal wear)", _WEARS, "mirror-bright contact, tool marks gone", "slow running on a thin film", _WEAR, "polish"),
    _row("moderate-wear", "moderate wear", _WEARS, "contact band with a visible edge, pitch line left standing", "normal running over years", _WEAR, "polish"),
    _row("abrasive-wear", "abrasive wear", _WEARS, "fine scratches in the sliding direction, matt", "sand, rust or metal in the oil", _WEAR, "scratch"),
    _row("excessive-wear", "excessive wear", _WEARS, "profile worn hollow, a step at the root", "long running with dirt or water in the oil", _WEAR, "scratch"),
    _row("scratching", "moderate scratching (scoring)", _WEARS, "single deep lines in the sliding direction", "hard particles between the flanks", _WEAR, "scratch"),
    _row("severe-scratching", "severe scratching", _WEARS, "deep lines over the whole flank", "many hard particles, often from a failed bearing", _WEAR, "scratch"),
    _row("interference-wear", "interference wear", _WEARS, "groove at the root, tip edge of the mate rounded", "gears too close: wrong shims", _WEAR, "root-groove"),
    _row("chemical-corrosion", "chemical corrosion", _HURT, "brown or red stain, pits without a pattern", "water or acid in the oil, long lay-up", _STAIN, "stain"),
    _row("fretting-corrosion", "fretting corrosion", _HURT, "red-brown powder, matt patches on spline or bore", "small movement under load without oil", _STAIN, "stain"),
    _row("scaling", "scaling", _HURT, "raised rough spots outside the contact", "left by heat treatment", _STAIN, "stain"),
    _row("overheating", "overheating", _HURT, "temper colours from straw to blue, burnt oil", "too little oil, preload or lash far too small", _HEAT, "heat", "teeth-blued"),
    _row("cavitation", "cavitation erosion", _HURT, "sandblasted patches", "bubbles of air or water in the oil", _STAIN, "micropits"),
    _row("hydraulic-erosion", "hydraulic erosion", _HURT, "washed, smooth hollows", "oil jets with particles", _STAIN, "micropits"),
    _row("electric-erosion", "electric erosion", _HURT, "small round craters with a melted rim", "current through the gears: welding, stray current", _STAIN, "craters"),
    _row("scuffing", "scuffing", "scuffing", "rough torn bands in the sliding direction, metal moved from one flank to the other", "oil film lost: low, thin or watery oil", _WEAR, "scuff", "teeth-scuffed"),
    _row("indentation", "indentation", _DEFORMED, "dents, often the same on several teeth", "something hard went through the mesh", _DENT, "dent"),
    _row("plastic-rolling", "plastic deformation by rolling", _DEFORMED, "flow over the tip, a groove or ridge at the pitch line", "overload on a soft flank", _DENT, "flow"),
    _row("tooth-hammer", "plastic deformation by tooth hammer", _DEFORMED, "hammered facets across the flank", "rattling with too much lash, or shocks", _DENT, "flow"),
    _row("rippling", "rippling", _DEFORMED, "fish-scale waves square to the sliding direction", "slow running, high load, thin film", _DENT, "ripple"),
    _row("ridging", "ridging", _DEFORMED, "deep ridges and furrows in the sliding direction", "slow running under high load, soft case", _DENT, "ridge"),
    _row("burrs", "burrs", _DEFORMED, "sharp edge standing out at tip or side", "flow, scuffing or a careless tool", _DENT, "flow"),
    _row("initial-pitting", "initial pitting", _FATIGUE, "small pits near the pitch line that stop growing", "high spots of a new or newly placed mesh", _PITS, "pits"),
    _row("progressive-pitting", "progressive pitting", _FATIGUE, "pits that grow in size and number below the pitch line", "overload, wrong place of the gears, water in the oil", _PITS, "pits"),
    _row("micropitting", "micropitting", _FATIGUE, "grey frosted patches", "thin film, rough flanks", _PITS, "micropits"),
    _row("flake-pitting", "flake pitting", _FATIGUE, "shallow, wide, triangular flakes", "load too high for the case", _PITS, "spall"),
    _row("spalling", "spalling", _FATIGUE, "large deep hollows with steep edges", "pits that joined, or a crack under the case", _PITS, "spall"),
    _row("case-crushing", "case crushing", _FATIGUE, "long cracks and pieces out of a hard case", "overload: the core gave way under the case", _PITS, "spall"),
    _row("hardening-cracks", "hardening (quench) cracks", _CRACKS, "cracks from a sharp corner or a mark", "made with the heat treatment", _CRACK, "crack"),
    _row("grinding-cracks", "grinding cracks", _CRACKS, "fine net or parallel cracks on the flank", "ground too hot", _CRACK, "net"),
    _row("fatigue-cracks", "fatigue cracks", _CRACKS, "a line along the root fillet", "bending, load after load", _CRACK, "crack"),
    _row("brittle-fracture", "overload breakage, brittle fracture", _BROKEN, "coarse bright break, no lines", "one blow", _BREAK, "broken", "teeth-broken"),
    _row("ductile-fracture", "overload breakage, ductile fracture", _BROKEN, "grey fibrous break, tooth bent", "one heavy load on a tough tooth", _BREAK, "broken", "teeth-broken"),
    _row("semi-brittle-fracture", "overload breakage, semi-brittle fracture", _BROKEN, "break partly bright, partly fibrous", "one heavy load", _BREAK, "broken", "teeth-broken"),
    _row("tooth-shear", "tooth shear", _BROKEN, "smooth break as if cut", "a jammed mesh with the engine driving on", _BREAK, "broken", "teeth-broken"),
    _row("smeared-fracture", "breakage after plastic deformation (smeared fracture)", _BROKEN, "hot, smeared stump", "ran on without oil after it had given way", _BREAK, "broken", "teeth-broken"),
    _row("bending-fatigue", "bending fatigue breakage", _BROKEN, "beach lines from the root fillet, last part coarse", "overload or gears out of place, over a long time", _BREAK, "broken", "teeth-broken"),
    _row("tooth-end-breakage", "tooth end breakage", _BROKEN, "a corner of the tooth gone, with beach lines", "load on one end of the teeth: gears out of place", _BREAK, "corner", "teeth-broken"),
    _row("end-contact", "worn track at one end of the teeth", _WEARS, "bright track at heel or toe only", "gears out of place", _WEAR, "end-track", "contact-at-end-of-teeth", SHOP),
    _row("dogs-rounded", "dogs rounded", _WEARS, "corners of the dogs round and bright", "half engaged: linkage short, or shifted too slowly", _WEAR, "dogs", "dogs-worn", SHOP),
)
# fmt: on
