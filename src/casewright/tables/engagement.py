"""Practical lengths of thread engagement, as tabled for workshop use."""

from __future__ import annotations

from types import MappingProxyType

from casewright.errors import InputError

# (property class, parent) to engagement over diameter, coarse thread, without countersink.
PRACTICAL = MappingProxyType(
    {
        ("8.8", "steel over 360 MPa"): 1.0,
        ("10.9", "steel over 360 MPa"): 1.25,
        ("8.8", "steel over 500 MPa"): 0.9,
        ("8.8", "steel over 800 MPa"): 0.8,
        ("10.9", "steel over 800 MPa"): 0.9,
        ("8.8", "aluminium over 180 MPa"): 2.0,
        ("10.9", "aluminium over 180 MPa"): 2.5,
    }
)

INCH = 0.0254
# Parent to (diameters, added length [m]) for studs.
STUD_RULES = MappingProxyType(
    {
        "steel or iron": (1.5, 0.0),
        "hardened steel or bronze": (1.0, 0.0),
        "aluminium or magnesium": (1.5, 0.062 * INCH),
        "aluminium or magnesium, shock": (2.0, 0.062 * INCH),
    }
)


def practical_engagement(class_name: str, parent: str) -> float:
    """Smallest practical engagement over diameter, coarse thread, countersink not counted.

    Args:
        class_name: property class, "8.8" or "10.9" [-].
        parent: tapped material as the table names it, e.g. "aluminium over 180 MPa" [-].
    Returns:
        engagement over nominal diameter [-].
    Valid: coarse metric threads.
    Raises: InputError for a pair that the table doesn't hold: no value is filled in between.
    Source: ENGTAB practical minimum engagement
    """
    found = PRACTICAL.get((class_name, parent))
    if found is None:
        pairs = "; ".join(f"{one} in {other}" for one, other in PRACTICAL)
        raise InputError("engagement", f"{class_name} in {parent}", f"one of: {pairs}")
    return found


def stud_engagement(parent: str, diameter: float) -> float:
    """Rule-of-thumb engagement of a stud; 1 to 2 diameters by material, plus 0.062 in in aluminium.

    Args:
        parent: material as the rule names it [-].
        diameter: nominal diameter [m].
    Returns:
        engagement [m].
    Valid: a rule of thumb; `stripping` computes.
    Raises: InputError for a material that the rule doesn't name.
    Source: STUDRULE stud engagement
    """
    if parent not in STUD_RULES:
        raise InputError("parent", parent, "one of: " + "; ".join(STUD_RULES))
    factor, added = STUD_RULES[parent]
    return factor * diameter + added
