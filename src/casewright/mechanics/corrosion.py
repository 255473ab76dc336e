"""Corrosion in sea water: rates, potentials against the protection window, couples and bonding."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from casewright.errors import RangeError
from casewright.tables.anodes import FARADAY
from casewright.tables.electrodes import SAME_METAL
from casewright.tables.galvanic import series_potential
from casewright.working import Term, Working

# One coulomb a second for a year of 8760 hours, as the anode codes count.
YEAR = 8760 * 3600.0

# Window of a metal against Ag/AgCl in sea water [V]: over-protected below, under-protected above.
WINDOWS = {
    "aluminium hull": (-1.100, -0.900),
    "aluminium drive": (-1.050, -0.900),
}
# Never past this for aluminium, IR-free: −1.20 V against copper sulphate [V, Ag/AgCl sea water].
ALUMINIUM_FLOOR = -1.130
ALERT_GAP = 0.200
# Bonding: what a good strap reads, and what is no connection at all [ohm].
BOND_GOOD, BOND_POOR = 0.1, 1.0


def theoretical_capacity(molar_mass: float, electrons: int) -> float:
    """Charge that a kilogram of metal gives up (Faraday); zF/M.

    Args:
        molar_mass: molar mass M [kg/mol].
        electrons: electrons given up by one atom z [-].
    Returns:
        capacity [C/kg].
    Valid: all metal dissolves at this valence; real anodes give less.
    Raises: RangeError for values not above zero.
    Source: own: Faraday's law.
    Example:
        >>> round(theoretical_capacity(65.38e-3, 2) / 3600)
        820
    """
    if not (molar_mass > 0 and electrons > 0):
        raise RangeError("molar mass and electrons", (molar_mass, electrons), "above zero")
    return electrons * FARADAY / molar_mass


def consumption(capacity: float) -> float:
    """Metal that an ampere eats; 1/capacity.

    Args:
        capacity: charge that a kilogram gives [C/kg].
    Returns:
        consumption [kg/C]; times `YEAR` for a year's ampere.
    Valid: any.
    Raises: RangeError for a capacity not above zero.
    Source: own: definition.
    """
    if not capacity > 0:
        raise RangeError("capacity", capacity, "above zero")
    return 1 / capacity


def equivalent_weight(
    molar_masses: Sequence[float], electrons: Sequence[int], fractions: Sequence[float]
) -> float:
    """Equivalent weight of an alloy; 1/Σ(n·f/W).

    Args:
        molar_masses: molar mass W of each element [kg/mol], shape (k,).
        electrons: valence n of each [-], shape (k,).
        fractions: mass fraction f of each [-], shape (k,).
    Returns:
        mass of alloy that gives one mole of electrons [kg/mol].
    Valid: elements under 1 % are left out by custom; the fractions are scaled to one.
    Raises: RangeError for lists of unlike length or values not above zero.
    Source: G102 Eq. 2.
    """
    if not len(molar_masses) == len(electrons) == len(fractions) or not molar_masses:
        raise RangeError("elements", len(molar_masses), "three lists of one length")
    if min(molar_masses) <= 0 or min(electrons) <= 0 or min(fractions) <= 0:
        raise RangeError("elements", tuple(fractions), "values above zero")
    total = sum(fractions)
    return total / sum(
        n * f / w for w, n, f in zip(molar_masses, electrons, fractions, strict=True)
    )


@dataclass(frozen=True, slots=True)
class CorrosionRate:
    """Depth [m/s] and mass [kg/(m²·s)] lost."""

    penetration: float
    mass_loss: float


def corrosion_rate(current_density: float, equivalent_mass: float, density: float) -> CorrosionRate:
    """Metal lost to a current density; i·EW/(F·ρ) and i·EW/F.

    Args:
        current_density: corrosion current density i [A/m²].
        equivalent_mass: equivalent weight EW [kg/mol].
        density: density of the alloy ρ [kg/m³].
    Returns:
        penetration [m/s] and mass loss [kg/(m²·s)].
    Valid: even attack; pits go deeper.
    Raises: RangeError for an equivalent mass or density not above zero.
    Source: G102 Eq. 3 and 5 (constants 3.27e-3 and 8.954e-3 follow from F).
    """
    if not (equivalent_mass > 0 and density > 0):
        raise RangeError("equivalent mass and density", (equivalent_mass, density), "above zero")
    mass = current_density * equivalent_mass / FARADAY
    return CorrosionRate(mass / density, mass)


def convert_potential(potential: float, electrode: str, to_electrode: str) -> float:
    """A potential read against one reference electrode, as another would read it.

    Args:
        potential: the reading [V].
        electrode: electrode that it was read with, a name of `SAME_METAL` [-].
        to_electrode: electrode wanted [-].
    Returns:
        the reading against the other electrode [V].
    Valid: near 25 °C in sea water; good to about 5 mV.
    Raises: RangeError for an electrode not known.
    Source: RULES-OF-THUMB p. 206.
    Example:
        >>> round(convert_potential(-0.850, "copper sulphate", "zinc"), 3)
        0.25
    """
    for field, name in (("electrode", electrode), ("to electrode", to_electrode)):
        if name not in SAME_METAL:
            raise RangeError(field, name, "one of " + ", ".join(SAME_METAL))
    return potential - SAME_METAL[electrode] + SAME_METAL[to_electrode]


@dataclass(frozen=True, slots=True)
class Protection:
    """A potential judged against its window, with what to look for."""

    word: str
    potential: float
    window: tuple[float, float]
    findings: tuple[str, ...]
    working: Working


def judge_potential(
    potential: float, electrode: str = "silver chloride sea water", metal: str = "aluminium drive"
) -> Protection:
    """A potential against the protection window: under, protected or over.

    Args:
        potential: reading of the metal [V]; negative in use, since a dry or reversed lead is
            the usual cause of a positive one.
        electrode: electrode that it was read with [-].
        metal: "aluminium drive" (also one on a plastic hull) or "aluminium hull" [-].
    Returns:
        word, potential against Ag/AgCl in sea water [V], window [V] and findings [-].
    Valid: sea water; anodes fitted for a day; not while shore power or a charger is on.
    Raises: RangeError for a metal or electrode not known, or a potential out of reach.
    Source: ABYC-E2 (window, as reproduced); MIL1004 para 3.3.1.2 for the floor of aluminium.
    """
    if metal not in WINDOWS:
        raise RangeError("metal", metal, "one of " + ", ".join(WINDOWS))
    here = convert_potential(potential, electrode, "silver chloride sea water")
    if not -2.0 < here < 0.3:
        raise RangeError(
            "potential", potential, "volts between about −2 and +0.3", "Millivolts? Leads swapped?"
        )
    low, high = WINDOWS[metal]
    word = "under-protected" if here > high else "over-protected" if here < low else "protected"
    working = Working(
        method="protection window",
        formula="low ≤ E ≤ high, against Ag/AgCl in sea water",
        inputs=(Term("potential", potential, "V", "E"),),
        outputs=(Term("against Ag/AgCl sea water", here, "V"),),
        steps=(Term("low", low, "V"), Term("high", high, "V")),
        source="ABYC E-2 as reproduced; MIL-HDBK-1004/10",
    )
    return Protection(word, here, (low, high), _potential_findings(word, here), working)


def _potential_findings(word: str, here: float) -> tuple[str, ...]:
    """What to look for, by the word."""
    if word == "under-protected":
        findings = ["Anodes spent, painted, missing or not connected; strap broken; stray current."]
        if here > -0.75:
            findings.append("Nearer to a bare, unprotected or coupled metal: check at once.")
        return tuple(findings)
    if word == "over-protected":
        findings = [
            "Aluminium is harmed by too much protection (alkali, blistered paint): "
            "magnesium anode in salt water, impressed current set too high, or stray current."
        ]
        if here < ALUMINIUM_FLOOR:
            findings.append("Past the floor for aluminium: disconnect the source.")
        return tuple(findings)
    return ()


@dataclass(frozen=True, slots=True)
class Couple:
    """Two metals joined in sea water: which one is eaten, and how far apart they stand [V]."""

    anode: str
    cathode: str
    gap_least: float
    gap_most: float
    needs_protection: bool
    cautions: tuple[str, ...]


def galvanic_couple(first: str, second: str, cathode_to_anode_area: float | None = None) -> Couple:
    """Which of two metals is eaten, and the range of the gap between their potentials.

    Args:
        first: a name of the galvanic series [-].
        second: the other metal [-].
        cathode_to_anode_area: wetted area of the nobler metal over that of the lesser; many
            times one is bad for the lesser [-], or none.
    Returns:
        anode and cathode, least and most gap [V]; whether protection is asked for [-].
    Valid: flowing sea water, both wetted and joined by metal; ranges that overlap can swap.
    Raises: RangeError for a name not in the series.
    Source: GALVANIC-ACA; the alert at 0.2 V is common practice of a yard's chart.
    """
    a, b = series_potential(first), series_potential(second)
    anode, cathode = (first, second) if a.middle <= b.middle else (second, first)
    low, high = series_potential(anode), series_potential(cathode)
    least, most = high.low - low.high, high.high - low.low
    cautions = []
    if least < 0:
        cautions.append("Their ranges overlap: which one is eaten can change with the water.")
    if "passive" in cathode or "passive" in anode:
        cautions.append("Starved of oxygen (under a seal, a growth), stainless turns active.")
    if cathode_to_anode_area is not None and cathode_to_anode_area > 1:
        cautions.append("A large noble part beside a small lesser one: attack is concentrated.")
    return Couple(anode, cathode, max(least, 0.0), most, most > ALERT_GAP, tuple(cautions))


def judge_bond(resistance: float) -> str:
    """A bonding strap or anode mount by its resistance: good, doubtful or open.

    Args:
        resistance: from bare metal to bare metal, leads subtracted [ohm].
    Returns:
        "good" up to 0.1 ohm, "doubtful" up to 1 ohm, else "open" [-].
    Valid: measured dry, the leg out of the water, both ways round.
    Raises: RangeError for a resistance below zero (subtract the leads, swap them).
    Source: common practice, no source; the maker's figure wins.
    Example:
        >>> judge_bond(0.02)
        'good'
    """
    if not resistance >= 0:
        raise RangeError("resistance", resistance, "zero or more")
    return "good" if resistance <= BOND_GOOD else "doubtful" if resistance <= BOND_POOR else "open"
