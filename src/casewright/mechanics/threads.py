"""Thread geometry, stress areas, proof and breaking load (ISO 68-1, ISO 724, ISO 898-1)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan, pi, sqrt

from casewright.errors import MissingError, RangeError
from casewright.tables.property_classes import PropertyClass, property_class
from casewright.tables.threads import limits, tabled_stress_area, thread
from casewright.working import Term, Working


@dataclass(frozen=True, slots=True)
class ThreadGeometry:
    """Basic sizes of a thread [m], [m²], lead angle [rad]."""

    major: float
    pitch: float
    pitch_diameter: float
    minor_diameter: float
    root_diameter: float
    stress_diameter: float
    stress_area: float
    lead_angle: float
    fundamental_height: float


@dataclass(frozen=True, slots=True)
class ProofMargin:
    """Preload against proof and breaking load; `share` of proof (of yield for stainless)."""

    preload: float
    limit_load: float
    breaking_load: float
    share: float
    limit_name: str
    exceeded: bool
    working: Working


@lru_cache(maxsize=512)
def geometry(designation: str) -> ThreadGeometry:
    """Basic sizes of a 60 degree thread; d2 = d − 3H/4, D1 = d − 5H/4, d3 = d − 17H/12.

    Args:
        designation: thread [-].
    Returns:
        diameters [m], stress area [m²], lead angle at the pitch diameter [rad].
    Valid: basic sizes. Metric stress area π/4 ((d2 + d3)/2)², inch π/4 (D − 9√3/16 P)²:
        two constants on purpose, never interchanged.
    Raises: InputError when the designation can't be read.
    Source: ISO724 basic dimensions; ISO 898-1 stress area; FED-STD-H28 inch stress area
    Example:
        >>> round(geometry("M10").stress_area * 1e6, 3)
        57.99
    """
    this = thread(designation)
    height = sqrt(3) / 2 * this.pitch
    pitch_diameter = this.major - 0.75 * height
    root = this.major - 17 / 12 * height
    if this.system == "metric":
        stress_diameter = 0.5 * (pitch_diameter + root)
    else:
        stress_diameter = this.major - 9 * sqrt(3) / 16 * this.pitch
    return ThreadGeometry(
        major=this.major,
        pitch=this.pitch,
        pitch_diameter=pitch_diameter,
        minor_diameter=this.major - 1.25 * height,
        root_diameter=root,
        stress_diameter=stress_diameter,
        stress_area=pi / 4 * stress_diameter**2,
        lead_angle=atan(this.pitch / (pi * pitch_diameter)),
        fundamental_height=height,
    )


def high_strength_stress_area(designation: str) -> float:
    """Stress area of inch bolts above 180 000 psi; At = π (d2min/2 − 3√3/32 P)².

    Args:
        designation: inch thread [-].
    Returns:
        area from the smallest pitch diameter [m²].
    Valid: inch threads of steel above 180 000 psi tensile strength.
    Raises: RangeError for a metric thread.
    Source: MH formula (2b) of screw thread strength
    """
    this = thread(designation)
    if this.system != "inch":
        raise RangeError("thread", designation, "an inch thread", "Metric areas have one formula.")
    return pi * (limits(designation).bolt_pitch / 2 - 3 * sqrt(3) / 32 * this.pitch) ** 2


def nominal_stress_area(designation: str) -> float:
    """The area that load tables are made of: as tabled, else by formula.

    Args:
        designation: thread [-].
    Returns:
        stress area [m²].
    Valid: any 60 degree thread.
    Raises: InputError when the designation can't be read.
    Source: ISO898-1 nominal stress area
    """
    return tabled_stress_area(designation) or geometry(designation).stress_area


def proof_load(designation: str, class_name: str) -> float:
    """Proof load; nominal stress area × proof stress.

    Args:
        designation: thread [-].
        class_name: property class or grade [-].
    Returns:
        proof load [N].
    Valid: full-size bolts; printed tables round to three figures (0.5 %).
    Raises: MissingError for stainless steel, whose standard gives no proof stress.
    Source: ISO898-1 proof loads; SAE J429
    Example:
        >>> round(proof_load("M10", "8.8"))
        33640
    """
    strengths = property_class(class_name, thread(designation).major)
    if strengths.proof is None:
        raise MissingError(
            "proof stress",
            f"a class with a proof load; {strengths.name} has only a 0.2 % proof strength",
            "Use the yield load instead.",
        )
    return nominal_stress_area(designation) * strengths.proof


def breaking_load(designation: str, class_name: str) -> float:
    """Smallest breaking load; nominal stress area × tensile strength.

    Args:
        designation: thread [-].
        class_name: property class or grade [-].
    Returns:
        breaking load [N].
    Valid: full-size bolts pulled straight; printed tables round (0.6 %).
    Raises: InputError for an unknown class.
    Source: ISO898-1 smallest ultimate tensile loads
    """
    strengths = property_class(class_name, thread(designation).major)
    return nominal_stress_area(designation) * strengths.tensile


def _limit_stress(strengths: PropertyClass) -> tuple[float, str]:
    if strengths.proof is None:
        return strengths.yielding, "0.2 % yield load"
    return strengths.proof, "proof load"


def proof_margin(designation: str, class_name: str, preload: float) -> ProofMargin:
    """How much of the proof load a preload uses; share = F/(As Sp).

    Args:
        designation: thread [-].
        class_name: property class or grade [-].
        preload: bolt force [N].
    Returns:
        loads [N], share [-] and whether it is exceeded [-].
    Valid: tension alone; `combined_stress` adds the twist while tightening. For stainless steel
        the limit is the 0.2 % yield load.
    Raises: RangeError for a negative preload; InputError for an unknown class.
    Source: ISO898-1 proof load test
    """
    if not preload >= 0:
        raise RangeError("preload", preload, "zero or more")
    strengths = property_class(class_name, thread(designation).major)
    stress, name = _limit_stress(strengths)
    area = nominal_stress_area(designation)
    limit, breaking = area * stress, area * strengths.tensile
    working = Working(
        method="preload against the bolt's limit load",
        formula="share = F / (As · Sp)",
        inputs=(
            Term("preload", preload, "N", "F"),
            Term("nominal stress area", area, "m²", "As"),
            Term("limit stress of the class", stress, "Pa", "Sp"),
        ),
        outputs=(Term(name, limit, "N"), Term("share used", preload / limit)),
        source=strengths.standard,
    )
    return ProofMargin(
        preload, limit, breaking, preload / limit, name, bool(preload > limit), working
    )
