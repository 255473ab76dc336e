"""Galvanic series in flowing sea water, volts against saturated calomel, with each range.

Source: GALVANIC-ACA (docs/theory/corrosion-and-oil.md), the same data as the chart of ASTM G82;
read on the association's teaching page. Materials from anodic (corrodes) to cathodic (protected).
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import RangeError


@dataclass(frozen=True, slots=True)
class Potential:
    """Range of the corrosion potential against SCE [V], the more negative end first."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Middle of the range [V]."""
        return (self.low + self.high) / 2


SERIES: dict[str, Potential] = {
    "magnesium": Potential(-1.63, -1.60),
    "zinc": Potential(-1.03, -0.98),
    "aluminium alloy": Potential(-1.00, -0.76),
    "mild steel": Potential(-0.72, -0.60),
    "cast iron": Potential(-0.72, -0.60),
    "low alloy steel": Potential(-0.63, -0.57),
    "stainless 304 active": Potential(-0.58, -0.44),
    "stainless 316 active": Potential(-0.46, -0.33),
    "aluminium bronze": Potential(-0.40, -0.31),
    "naval brass": Potential(-0.40, -0.31),
    "copper": Potential(-0.37, -0.30),
    "manganese bronze": Potential(-0.34, -0.26),
    "silicon bronze": Potential(-0.29, -0.25),
    "copper nickel 90/10": Potential(-0.28, -0.22),
    "nickel aluminium bronze": Potential(-0.22, -0.14),
    "stainless 304 passive": Potential(-0.10, -0.04),
    "stainless 316 passive": Potential(-0.10, 0.0),
    "titanium": Potential(0.04, 0.06),
    "graphite": Potential(0.2, 0.3),
}


def series_potential(material: str) -> Potential:
    """Range of a material's potential in flowing sea water.

    Args:
        material: a name of `SERIES` [-].
    Returns:
        range against the saturated calomel electrode [V].
    Valid: flowing sea water near 10 to 27 °C; other waters shift and even swap neighbours.
    Raises: RangeError for a name that isn't in the series.
    Source: GALVANIC-ACA, table of flowing sea water.
    """
    if material not in SERIES:
        raise RangeError("material", material, "one of " + ", ".join(SERIES))
    return SERIES[material]
