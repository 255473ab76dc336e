"""Strength of bolts by class: ISO 898-1, ISO 3506-1 (stainless), SAE J429 (inch grades)."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from casewright.errors import InputError, RangeError

MEGAPASCAL = 1e6
KSI = 6894757.293168361
INCH = 0.0254


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """Proof stress, yield strength and tensile strength [Pa]; proof None for stainless."""

    name: str
    standard: str
    proof: float | None
    yielding: float
    tensile: float


# ISO 898-1: class to (proof, yield or 0.2 % proof strength, tensile), MPa. 8.8 steps at M16.
CARBON_STEEL = MappingProxyType(
    {
        "4.6": (225.0, 240.0, 400.0),
        "4.8": (310.0, 340.0, 420.0),
        "5.6": (280.0, 300.0, 500.0),
        "5.8": (380.0, 420.0, 520.0),
        "6.8": (440.0, 480.0, 600.0),
        "8.8": (580.0, 640.0, 800.0),
        "9.8": (650.0, 720.0, 900.0),
        "10.9": (830.0, 940.0, 1040.0),
        "12.9": (970.0, 1100.0, 1220.0),
    }
)
LARGE_8_8 = (600.0, 660.0, 830.0)
STEP_8_8 = 0.016

# ISO 3506-1: property class (of A1 to A5) to (0.2 % proof strength, tensile), MPa.
STAINLESS = MappingProxyType({"50": (210.0, 500.0), "70": (450.0, 700.0), "80": (600.0, 800.0)})

# SAE J429: grade to rows of (largest diameter in inches, proof, yield, tensile in ksi).
SAE_GRADES = MappingProxyType(
    {
        "1": ((1.5, 33.0, 36.0, 60.0),),
        "2": ((0.75, 55.0, 57.0, 74.0), (1.5, 33.0, 36.0, 60.0)),
        "5": ((1.0, 85.0, 92.0, 120.0), (1.5, 74.0, 81.0, 105.0)),
        "8": ((1.5, 120.0, 130.0, 150.0),),
    }
)


def property_class(name: str, diameter: float) -> PropertyClass:
    """Strengths of a bolt class: `8.8`, `A2-70`, `grade 5`.

    Args:
        name: class or grade as marked on the head or written on the sheet [-].
        diameter: nominal thread diameter, for the classes that step with size [m].
    Returns:
        proof, yield (or 0.2 % proof strength) and tensile strength [Pa].
    Valid: ISO 898-1 to M39; ISO 3506-1 to M24 (classes 70, 80), M39 (50); SAE J429 1/4 to 1 1/2.
    Raises: InputError for a class that no table here holds: nothing is filled from a guess.
    Source: ISO898-1 mechanical properties; ISO 3506-1; SAE J429
    Example:
        >>> property_class("8.8", 0.018).proof
        600000000.0
    """
    key = name.strip().lower().removeprefix("class").removeprefix("grade").strip().upper()
    if key in CARBON_STEEL:
        row = LARGE_8_8 if key == "8.8" and diameter > STEP_8_8 + 1e-9 else CARBON_STEEL[key]
        return PropertyClass(key, "ISO 898-1", *(value * MEGAPASCAL for value in row))
    material, _, strength = key.partition("-")
    if material in {"A1", "A2", "A3", "A4", "A5"} and strength in STAINLESS:
        yielding, tensile = STAINLESS[strength]
        stainless = yielding * MEGAPASCAL, tensile * MEGAPASCAL
        return PropertyClass(key, "ISO 3506-1", None, *stainless)
    if key in SAE_GRADES:
        return _sae(key, diameter)
    raise InputError(
        "property class",
        name,
        "an ISO 898-1 class (8.8), an ISO 3506-1 class (A2-70) or an SAE grade (grade 5)",
        "Read the mark on the head; without one its strength is not known.",
    )


def _sae(grade: str, diameter: float) -> PropertyClass:
    for largest, *row in SAE_GRADES[grade]:
        if 0.25 * INCH - 1e-9 <= diameter <= largest * INCH + 1e-9:
            return PropertyClass(f"grade {grade}", "SAE J429", *(value * KSI for value in row))
    raise RangeError("diameter", diameter, "1/4 to 1 1/2 inch for an SAE J429 grade")
