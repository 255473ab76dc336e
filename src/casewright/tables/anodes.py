"""Sacrificial anode alloys: capacity, closed-circuit potential, and how much of one is usable.

Capacity and potential in sea water against Ag/AgCl. Sources (docs/theory/corrosion-and-oil.md):
B401 Table 10-6 for aluminium (read in worked tables) and zinc (memory); RULES-OF-THUMB p. 206 for
magnesium. Magnesium spends about half of itself on hydrogen.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import RangeError

AMPERE_HOUR = 3600.0
FARADAY = 96_485.33212


@dataclass(frozen=True, slots=True)
class AnodeAlloy:
    """Practical capacity [C/kg], potential against Ag/AgCl in sea water [V], and where it fits."""

    capacity: float
    potential: float
    waters: tuple[str, ...]
    known: str


ALLOYS: dict[str, AnodeAlloy] = {
    "aluminium": AnodeAlloy(2000 * AMPERE_HOUR, -1.05, ("salt", "brackish"), "read"),
    "zinc": AnodeAlloy(780 * AMPERE_HOUR, -1.00, ("salt",), "memory"),
    # 500 Ah/lb.
    "magnesium": AnodeAlloy(1100 * AMPERE_HOUR, -1.53, ("fresh",), "read"),
}

# Share of the anode that is used before it must be changed, by its shape (B401 Table 10-8).
UTILISATION = {"long slender": 0.90, "short slender": 0.85, "long flush": 0.85, "short flush": 0.80}

# Molar mass [kg/mol] and electrons given up by one atom.
METALS = {
    "zinc": (65.38e-3, 2),
    "aluminium": (26.9815e-3, 3),
    "magnesium": (24.305e-3, 2),
    "iron": (55.845e-3, 2),
}


def anode_alloy(name: str) -> AnodeAlloy:
    """Design values of an anode alloy.

    Args:
        name: "aluminium", "zinc" or "magnesium" [-].
    Returns:
        capacity [C/kg], potential against Ag/AgCl in sea water [V].
    Valid: sea water near 7 to 20 °C; in mud and in fresh water capacity and potential fall.
    Raises: RangeError for another name.
    Source: B401 Table 10-6; RULES-OF-THUMB p. 206 for magnesium.
    """
    if name not in ALLOYS:
        raise RangeError("anode alloy", name, "one of " + ", ".join(ALLOYS))
    return ALLOYS[name]
