"""Sacrificial anodes: mass, life, resistance to the water, output, and a look at what is left."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.working import Term, Working


def _positive(**values: float) -> None:
    """Refuse what must be above zero, by name."""
    for name, value in values.items():
        if not value > 0:
            raise RangeError(name.replace("_", " "), value, "a value above zero")


def protection_current(areas: Sequence[float], densities: Sequence[float]) -> float:
    """Current that bare areas ask for; Σ A·i.

    Args:
        areas: bare wetted areas [m²], shape (k,).
        densities: current density of each [A/m²], shape (k,).
    Returns:
        current [A].
    Valid: bare metal; paint in good state asks for a few per cent of it.
    Raises: RangeError for lists of unlike length or values below zero.
    Source: MIL1004 p. 209.
    """
    if len(areas) != len(densities) or min((*areas, *densities), default=-1.0) < 0:
        raise RangeError("areas and densities", (len(areas), len(densities)), "pairs, zero or more")
    return sum(a * i for a, i in zip(areas, densities, strict=True))


def output_by_resistivity(constant: float, resistivity: float) -> float:
    """Anode output by a handbook's constant of its kind; C/ρ.

    Args:
        constant: output times resistivity C [A·ohm·m].
        resistivity: of soil or water ρ [ohm·m].
    Returns:
        current [A].
    Valid: the anode, metal and spacing that the constant was given for.
    Raises: RangeError for anything not above zero.
    Source: MIL1004 p. 186.
    """
    _positive(constant=constant, resistivity=resistivity)
    return constant / resistivity


def anode_mass(current: float, seconds: float, capacity: float, utilisation: float) -> float:
    """Anode mass for a mean current and a time; I·t/(u·ε).

    Args:
        current: mean current I [A].
        seconds: time t [s].
        capacity: practical capacity ε [C/kg].
        utilisation: share of the anode that may be used u [-].
    Returns:
        net mass [kg].
    Valid: mean current, not the first days' higher one.
    Raises: RangeError for anything not above zero or a utilisation above one.
    Source: B401 mass requirement.
    """
    _positive(current=current, seconds=seconds, capacity=capacity, utilisation=utilisation)
    if utilisation > 1:
        raise RangeError("utilisation", utilisation, "a share up to 1")
    return current * seconds / (utilisation * capacity)


def anode_life(mass: float, current: float, capacity: float, utilisation: float) -> float:
    """Time until an anode is used to its share; m·u·ε/I.

    Args:
        mass: net mass of anode alloy m [kg].
        current: mean current I [A].
        capacity: practical capacity ε [C/kg].
        utilisation: share of the anode that may be used u [-].
    Returns:
        life [s].
    Valid: as `anode_mass`.
    Raises: RangeError as `anode_mass`.
    Source: B401 mass requirement, solved for the time.
    """
    return mass / anode_mass(current, 1.0, capacity, utilisation)


def resistance_slender(resistivity: float, length: float, radius: float) -> float:
    """Resistance of a stand-off rod to the water; ρ/(2πL)·(ln(4L/r) − 1), or the short form.

    Args:
        resistivity: of the water ρ [ohm·m].
        length: of the anode L [m].
        radius: r, perimeter/(2π) where not round [m].
    Returns:
        resistance [ohm].
    Valid: 0.3 m off the structure or more; below L = 4r the short form is taken.
    Raises: RangeError for anything not above zero.
    Source: B401 Table 10-7, slender stand-off, long and short.
    """
    _positive(resistivity=resistivity, length=length, radius=radius)
    front = resistivity / (2 * math.pi * length)
    if length >= 4 * radius:
        return front * (math.log(4 * length / radius) - 1)
    half = radius / (2 * length)
    root = math.sqrt(1 + half**2)
    return front * (math.log(2 * length / radius * (1 + root)) + half - root)


def resistance_flush(resistivity: float, length: float, width: float, thickness: float) -> float:
    """Resistance of a flat anode on the surface; ρ/(2S), S = (L + w)/2, or 0.315·ρ/√A when short.

    Args:
        resistivity: of the water ρ [ohm·m].
        length: of the anode L [m].
        width: of the anode w [m].
        thickness: of the anode [m].
    Returns:
        resistance [ohm].
    Valid: L ≥ 4w and L ≥ 4t take the long form; else exposed area L·w plus the four sides.
    Raises: RangeError for anything not above zero.
    Source: B401 Table 10-7, flush-mounted, long and short.
    """
    _positive(resistivity=resistivity, length=length, width=width, thickness=thickness)
    if length >= 4 * width and length >= 4 * thickness:
        return resistivity / (length + width)
    area = length * width + 2 * thickness * (length + width)
    return resistance_by_area(resistivity, area)


def resistance_by_area(resistivity: float, area: float) -> float:
    """Resistance of a compact anode (a drive's own); 0.315·ρ/√A.

    Args:
        resistivity: of the water ρ [ohm·m].
        area: exposed area A [m²].
    Returns:
        resistance [ohm].
    Valid: short flush, bracelet and other shapes.
    Raises: RangeError for anything not above zero.
    Source: B401 Table 10-7.
    """
    _positive(resistivity=resistivity, area=area)
    return 0.315 * resistivity / math.sqrt(area)


def resistance_by_shape(resistivity: float, length: float, shape_factor: float) -> float:
    """Resistance by a tabled shape factor; R[ohm] = ρ[ohm·cm]·K/L[ft].

    Args:
        resistivity: of the water ρ [ohm·m].
        length: of the anode L [m].
        shape_factor: K as tabled, for ohm·cm and feet [ft/cm].
    Returns:
        resistance [ohm].
    Valid: shapes of the handbook.
    Raises: RangeError for anything not above zero.
    Source: MIL1004 p. 209.
    """
    _positive(resistivity=resistivity, length=length, shape_factor=shape_factor)
    # The tabled factor carries the handbook's own units, centimetres a foot.
    return resistivity * shape_factor * 30.48 / length


@dataclass(frozen=True, slots=True)
class AnodeOutput:
    """What an anode gives [A], its resistance [ohm] and its life at that [s]."""

    current: float
    resistance: float
    life: float
    working: Working


def anode_output(
    resistance: float,
    anode_potential: float,
    protected_potential: float,
    mass: float,
    capacity: float,
    utilisation: float = 0.80,
) -> AnodeOutput:
    """Current of an anode at the protected potential, and the life at that current; (E_c − E_a)/R.

    Args:
        resistance: of the anode to the water R [ohm].
        anode_potential: closed-circuit potential of the alloy E_a [V].
        protected_potential: of the metal when protected E_c, same electrode [V].
        mass: net mass of the anode [kg].
        capacity: practical capacity [C/kg].
        utilisation: share that may be used; 0.80 for compact anodes [-].
    Returns:
        current [A], life [s], with the working.
    Valid: the most that the anode gives; a well painted leg draws less and the anode lasts longer.
    Raises: RangeError where the alloy is not more negative than the metal.
    Source: B401 anode current output.
    """
    _positive(resistance=resistance)
    if not anode_potential < protected_potential:
        raise RangeError(
            "anode potential", anode_potential, f"below the metal's {protected_potential} V"
        )
    current = (protected_potential - anode_potential) / resistance
    life = anode_life(mass, current, capacity, utilisation)
    working = Working(
        method="anode output and life",
        formula="I = (E_c − E_a)/R; t = m·u·ε/I",
        inputs=(
            Term("resistance", resistance, "ohm", "R"),
            Term("anode potential", anode_potential, "V", "E_a"),
            Term("protected potential", protected_potential, "V", "E_c"),
            Term("mass", mass, "kg", "m"),
        ),
        outputs=(Term("current", current, "A", "I"), Term("life", life, "s", "t")),
        source="DNV-RP-B401",
        estimate=True,
    )
    return AnodeOutput(current, resistance, life, working)


@dataclass(frozen=True, slots=True)
class AnodeLook:
    """What a look at an anode says: renew or keep, with reasons."""

    renew: bool
    share_left: float | None
    findings: tuple[str, ...]


def look_at_anode(
    mass: float | None,
    new_mass: float | None,
    painted: bool,
    contact_resistance: float | None = None,
    alloy: str = "aluminium",
    water: str = "salt",
) -> AnodeLook:
    """An anode as found: what is left, paint, contact and the right alloy for the water.

    Args:
        mass: mass now [kg], or none.
        new_mass: mass when new [kg], or none.
        painted: paint or antifouling on its face [-].
        contact_resistance: anode to housing, bare to bare [ohm], or none.
        alloy: "aluminium", "zinc" or "magnesium" [-].
        water: "salt", "brackish" or "fresh" [-].
    Returns:
        renew or not, share left [-], findings.
    Valid: half left is the usual mark for renewal; the maker's figure wins.
    Raises: RangeError for masses that can't be, or an alloy not known.
    Source: common practice, no source.
    """
    from casewright.tables.anodes import anode_alloy

    findings, share = [], None
    if mass is not None and new_mass is not None:
        if not 0 <= mass <= 1.1 * new_mass:
            raise RangeError("anode mass", mass, f"between zero and {new_mass} kg new")
        share = mass / new_mass
        if share <= 0.5:
            findings.append("Half gone or more: renew.")
        if share > 0.97 and not painted:
            findings.append("Hardly used: check that it is connected.")
    if painted:
        findings.append("Painted: it gives nothing. Never paint an anode; renew or clean it bare.")
    if contact_resistance is not None and contact_resistance > 0.1:
        findings.append("Poor contact to the housing: clean the seat, check the strap.")
    if water not in anode_alloy(alloy).waters:
        findings.append(_wrong_alloy(alloy, water))
    return AnodeLook(painted or (share is not None and share <= 0.5), share, tuple(findings))


def _wrong_alloy(alloy: str, water: str) -> str:
    """Why an alloy doesn't suit the water."""
    if alloy == "magnesium":
        return "Magnesium in salt or brackish water over-protects aluminium and is soon gone."
    return f"{alloy.capitalize()} in {water} water can skin over and go to sleep."
