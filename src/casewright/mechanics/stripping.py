"""Thread stripping and needed engagement (FED-STD-H28, Alexander, ISO/TR 16224)."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from casewright.errors import InputError, RangeError
from casewright.mechanics.threads import geometry
from casewright.tables.threads import limits
from casewright.working import Term, Working

TAN_30 = 1 / sqrt(3)
BENDING_LIMIT = 0.897
# The standard's fit of the internal factor holds above 0.4; below it the curve keeps falling,
# which is the safe side, and soft aluminium with an 8.8 bolt lies there.
LOWEST_STRENGTH_RATIO = 0.2
HIGHEST_STRENGTH_RATIO = 2.2
INCOMPLETE_TURNS = 0.8


@dataclass(frozen=True, slots=True)
class ShearAreas:
    """Shear areas [m²] of the nut's and of the bolt's thread over an engagement; their basis."""

    internal: float
    external: float
    basis: str


@dataclass(frozen=True, slots=True)
class Stripping:
    """Which gives first: bolt, its thread or the tapped one [N]; engagement for balance [m]."""

    breaking: float
    external: float
    internal: float
    strength_ratio: float
    nut_factor: float
    external_factor: float
    internal_factor: float
    weakest: str
    margin: float
    balanced_length: float
    needed_length: float
    notes: tuple[str, ...]
    working: Working


@dataclass(frozen=True, slots=True)
class HandbookEngagement:
    """The handbook's older rule: equal-strength length [m], J, and length for the material [m]."""

    equal_length: float
    strength_ratio: float
    needed_length: float


def shear_areas(designation: str, length: float, basis: str = "limits") -> ShearAreas:
    """Shear areas; ASn = πL/P d (P/2 + tan30 (d − D2)), ASs = πL/P D1 (P/2 + tan30 (d2 − D1)).

    Args:
        designation: thread [-].
        length: full thread in engagement, chamfers not counted [m].
        basis: "limits" (least material, 6g/6H or 2A/2B) or "basic" (28 to 30 % larger, unsafe) [-].
    Returns:
        internal (nut, housing) and external (bolt) shear area [m²].
    Valid: threads within their limits; worn or re-tapped ones are weaker.
    Raises: RangeError for a length of zero or less; InputError for another basis.
    Source: FEDH28 table II.B.1 formulas (2a) and (4a)
    """
    if not length > 0:
        raise RangeError("engagement", length, "more than zero")
    size = geometry(designation)
    if basis == "limits":
        edge = limits(designation)
        major, nut_pitch = edge.bolt_major, edge.nut_pitch
        minor, bolt_pitch = edge.nut_minor, edge.bolt_pitch
    elif basis == "basic":
        major, nut_pitch = size.major, size.pitch_diameter
        minor, bolt_pitch = size.minor_diameter, size.pitch_diameter
    else:
        raise InputError("basis", basis, '"limits" or "basic"')
    turns = pi * length / size.pitch
    return ShearAreas(
        internal=turns * major * (0.5 * size.pitch + TAN_30 * (major - nut_pitch)),
        external=turns * minor * (0.5 * size.pitch + TAN_30 * (bolt_pitch - minor)),
        basis=basis,
    )


def simplified_shear_areas(designation: str, length: float) -> ShearAreas:
    """Shear areas without limits of size; ASn = 0.75 π D2 L, ASs = 0.625 π d2 L.

    Args:
        designation: thread, 1/4 inch or 6 mm and more [-].
        length: engagement [m].
    Returns:
        internal and external shear area [m²].
    Valid: a quick look; about the basic-size areas.
    Raises: RangeError for a length of zero or less.
    Source: FEDH28 table II.B.1 formulas (3) and (5)
    """
    if not length > 0:
        raise RangeError("engagement", length, "more than zero")
    band = pi * geometry(designation).pitch_diameter * length
    return ShearAreas(0.75 * band, 0.625 * band, "simplified")


def nut_dilation_factor(width_ratio: float, form: str = "Alexander") -> float:
    """Weakening by a thin nut's dilation; C1 = 3.8 x − x² − 2.61 for 1.4 ≤ x < 1.9, else 1.

    Args:
        width_ratio: width across flats over thread diameter; a housing block counts as large [-].
        form: "Alexander" (2.61, to 1.9) or "ISO/TR 16224" (2.6, to 1.8) [-].
    Returns:
        C1 [-].
    Valid: x ≥ 1.4; the two forms differ by 0.01.
    Raises: RangeError below 1.4; InputError for another form.
    Source: ALEX77 factor C1; ISO/TR 16224
    """
    constants = {"Alexander": (2.61, 1.9), "ISO/TR 16224": (2.6, 1.8)}
    if form not in constants:
        raise InputError("form", form, " or ".join(constants))
    constant, end = constants[form]
    if not width_ratio >= 1.4:
        raise RangeError("width over diameter", width_ratio, "1.4 or more")
    return 1.0 if width_ratio >= end else 3.8 * width_ratio - width_ratio**2 - constant


def external_bending_factor(ratio: float) -> float:
    """Weakening of the bolt's thread by bending; C2 by the strength ratio Rs.

    Args:
        ratio: Rs, nut thread's strength over the bolt thread's [-].
    Returns:
        C2 [-].
    Valid: Rs above 0; beyond 2.2 the value at 2.2 is kept.
    Raises: RangeError for a ratio of zero or less.
    Source: ALEX77 factor C2
    """
    if not ratio > 0:
        raise RangeError("strength ratio", ratio, "more than zero")
    r = min(ratio, HIGHEST_STRENGTH_RATIO)
    if r <= 1:
        return BENDING_LIMIT
    return 5.594 - 13.682 * r + 14.107 * r**2 - 6.057 * r**3 + 0.9353 * r**4


def internal_bending_factor(ratio: float) -> float:
    """Weakening of the tapped thread by bending; C3 by the strength ratio Rs.

    Args:
        ratio: Rs, nut thread's strength over the bolt thread's [-].
    Returns:
        C3 [-].
    Valid: published for Rs > 0.4; from 0.2 to 0.4 the same curve, which keeps falling.
    Raises: RangeError below 0.2.
    Source: ALEX77 factor C3
    """
    if not ratio >= LOWEST_STRENGTH_RATIO:
        raise RangeError("strength ratio", ratio, f"{LOWEST_STRENGTH_RATIO} or more")
    if ratio >= 1:
        return BENDING_LIMIT
    return 0.728 + 1.769 * ratio - 2.896 * ratio**2 + 1.296 * ratio**3


def _check_strengths(**values: float) -> None:
    for name, value in values.items():
        if not value > 0:
            raise RangeError(name.replace("_", " "), value, "more than zero")


def stripping(
    designation: str,
    length: float,
    bolt_strength: float,
    parent_strength: float,
    parent_shear_ratio: float,
    bolt_shear_ratio: float = 0.6,
    width_ratio: float = 2.0,
) -> Stripping:
    """What gives first in a tapped joint; As Rm against ASs τs C1 C2 and ASn τn C1 C3.

    Args:
        designation: thread [-].
        length: full thread in engagement, chamfers not counted [m].
        bolt_strength: tensile strength of the bolt [Pa].
        parent_strength: tensile strength of nut or housing [Pa].
        parent_shear_ratio: shear over tensile strength: aluminium 0.70, steel 0.60 to 0.65, grey
            iron about 0.9 [-].
        bolt_shear_ratio: the same for the bolt [-].
        width_ratio: nut width over thread diameter, a block 2 [-].
    Returns:
        loads [N], factors [-], the weakest, margin = least strip load over breaking load [-],
        net length for balance and with 0.8 P for incomplete turns [m].
    Valid: static load, threads within 6g/6H or 2A/2B, sound metal (not corroded).
    Raises: RangeError for strengths of zero or less, or a strength ratio below 0.2.
    Source: ALEX77 stripping strength; ISO/TR 16224; VDI 2230 for the 0.8 P
    """
    _check_strengths(bolt_strength=bolt_strength, parent_strength=parent_strength)
    _check_strengths(shear_ratio=parent_shear_ratio, bolt_shear_ratio=bolt_shear_ratio)
    size, areas = geometry(designation), shear_areas(designation, length)
    nut_shear = areas.internal * parent_strength * parent_shear_ratio
    bolt_shear = areas.external * bolt_strength * bolt_shear_ratio
    ratio = nut_shear / bolt_shear
    c1 = nut_dilation_factor(width_ratio)
    c2, c3 = external_bending_factor(ratio), internal_bending_factor(ratio)
    breaking = size.stress_area * bolt_strength
    external, internal = bolt_shear * c1 * c2, nut_shear * c1 * c3
    loads = {"bolt breaks": breaking, "bolt thread strips": external, "hole strips": internal}
    balanced = breaking / (min(external, internal) / length)
    inputs = (
        Term("engagement", length, "m", "L"),
        Term("bolt tensile strength", bolt_strength, "Pa", "Rm"),
        Term("hole tensile strength", parent_strength, "Pa"),
        Term("hole shear over tensile", parent_shear_ratio),
        Term("bolt shear over tensile", bolt_shear_ratio),
    )
    factors = (ratio, c1, c2, c3)
    return Stripping(
        breaking=breaking,
        external=external,
        internal=internal,
        strength_ratio=ratio,
        nut_factor=c1,
        external_factor=c2,
        internal_factor=c3,
        weakest=min(loads, key=lambda name: loads[name]),
        margin=min(external, internal) / breaking,
        balanced_length=balanced,
        needed_length=balanced + INCOMPLETE_TURNS * size.pitch,
        notes=_stripping_notes(ratio),
        working=_stripping_working(inputs, areas, factors, loads),
    )


def _stripping_working(
    inputs: tuple[Term, ...],
    areas: ShearAreas,
    factors: tuple[float, float, float, float],
    loads: dict[str, float],
) -> Working:
    names = ("strength ratio", "nut dilation", "bolt thread bending", "hole bending")
    symbols = ("Rs", "C1", "C2", "C3")
    return Working(
        method="stripping against breaking",
        formula="bolt As·Rm; bolt thread ASs·τs·C1·C2; hole ASn·τn·C1·C3",
        inputs=inputs,
        steps=(
            Term("bolt thread shear area", areas.external, "m²", "ASs"),
            Term("hole shear area", areas.internal, "m²", "ASn"),
            *(
                Term(name, value, "", symbol)
                for name, value, symbol in zip(names, factors, symbols, strict=True)
            ),
        ),
        outputs=tuple(Term(name, load, "N") for name, load in loads.items()),
        source="Alexander 1977; ISO/TR 16224; VDI 2230",
    )


def _stripping_notes(ratio: float) -> tuple[str, ...]:
    notes = ["Count only full thread; a worn, corroded or chased thread carries less."]
    if ratio <= 0.4:
        notes.append("The hole is so soft that the bending factor is beyond its published range.")
    if ratio >= HIGHEST_STRENGTH_RATIO:
        notes.append("The bolt is so soft that the bending factor is kept at its last value.")
    return tuple(notes)


def handbook_engagement(
    designation: str, bolt_strength: float, parent_strength: float, basis: str = "limits"
) -> HandbookEngagement:
    """Handbook rule; Le = 2 At/ASs per length, J = ASs Rm_ext/(ASn Rm_int), Q = J Le.

    Args:
        designation: thread [-].
        bolt_strength: tensile strength of the bolt [Pa].
        parent_strength: tensile strength of the tapped part [Pa].
        basis: as `shear_areas` [-].
    Returns:
        equal-strength length [m], J [-], length needed in the weaker part [m].
    Valid: the factor 2 already takes shear as half of tensile strength: no 0.6 on top.
    Raises: RangeError for a strength of zero or less.
    Source: MH screw thread strength formulas (1) to (6)
    """
    _check_strengths(bolt_strength=bolt_strength, parent_strength=parent_strength)
    per_length = shear_areas(designation, 1.0, basis)
    equal = 2 * geometry(designation).stress_area / per_length.external
    ratio = per_length.external * bolt_strength / (per_length.internal * parent_strength)
    return HandbookEngagement(equal, ratio, max(1.0, ratio) * equal)


def shear_only_engagement(
    designation: str,
    bolt_strength: float,
    parent_strength: float,
    parent_shear_ratio: float,
    basis: str = "limits",
) -> float:
    """Engagement by the hole's shear alone, without bending factors; L = As Rm/(ASn τn) per length.

    Args:
        designation: thread [-].
        bolt_strength: tensile strength of the bolt [Pa].
        parent_strength: tensile strength of the tapped part [Pa].
        parent_shear_ratio: shear over tensile strength of the tapped part [-].
        basis: as `shear_areas`; basic sizes come out about 28 % short [-].
    Returns:
        engagement at which bolt and hole are equal [m].
    Valid: a second, coarser way beside `stripping`.
    Raises: RangeError for a value of zero or less.
    Source: FEDH28 formula (16)
    """
    _check_strengths(bolt_strength=bolt_strength, parent_strength=parent_strength)
    _check_strengths(shear_ratio=parent_shear_ratio)
    area = shear_areas(designation, 1.0, basis).internal
    load = geometry(designation).stress_area * bolt_strength
    return load / (area * parent_strength * parent_shear_ratio)
