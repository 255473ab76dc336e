"""Shaft seals and O-rings: surface speed, land finish and run-out, squeeze, fill and stretch."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.errors import RangeError

# Practice of one seal maker: shaft to bore, dynamic run-out (total reading), and their sum [m].
MISALIGNMENT = 0.003 * 0.0254
RUN_OUT = 0.005 * 0.0254
ECCENTRICITY_SUM = 0.008 * 0.0254
# RMA OS-1-1 land finish [m]; under the lower figure the lip runs dry.
LAND_ROUGHNESS = (0.20e-6, 0.43e-6)
LAND_LEAD = math.radians(0.05)
# Above this surface speed a hardened land (55 HRC) is asked for [m/s].
HARD_LAND_SPEED = 4.0


def surface_speed(diameter: float, turns_per_second: float) -> float:
    """Speed of the land under the lip; v = π·d·n.

    Args:
        diameter: shaft diameter under the lip [m].
        turns_per_second: speed of rotation [1/s].
    Returns:
        surface speed [m/s].
    Valid: any.
    Raises: RangeError for a diameter not above zero or a speed below zero.
    Source: own: geometry.
    Example:
        >>> round(surface_speed(0.030, 50.0), 3)
        4.712
    """
    if not (diameter > 0 and turns_per_second >= 0):
        raise RangeError("diameter and speed", (diameter, turns_per_second), "above zero")
    return math.pi * diameter * turns_per_second


@dataclass(frozen=True, slots=True)
class LandJudgement:
    """What is wrong with a seal land, in sentences; none where nothing is."""

    accepted: bool
    findings: tuple[str, ...]


def judge_land(
    roughness: float | None = None,
    misalignment: float | None = None,
    run_out: float | None = None,
    lead_angle: float | None = None,
    speed: float | None = None,
    hardness: float | None = None,
) -> LandJudgement:
    """A seal land against practice: finish, lead, run-out, misalignment, hardness at speed.

    Args:
        roughness: arithmetic mean roughness Ra [m].
        misalignment: shaft centre to seal bore centre [m].
        run_out: dynamic run-out, total indicator reading [m].
        lead_angle: lead of the finish [rad].
        speed: surface speed [m/s].
        hardness: Rockwell C hardness [-].
    Returns:
        accepted or not, with the findings [-].
    Valid: default limits where the sheet has none; the maker's figure wins.
    Raises: nothing.
    Source: RMA-OS1 for finish and lead; common practice of a seal maker for run-out.
    """
    findings = []
    if roughness is not None and roughness < LAND_ROUGHNESS[0]:
        findings.append("Land too smooth: the lip runs dry.")
    if roughness is not None and roughness > LAND_ROUGHNESS[1]:
        findings.append("Land too rough: the lip wears.")
    if lead_angle is not None and abs(lead_angle) > LAND_LEAD:
        findings.append("Land has lead: it pumps oil one way.")
    if misalignment is not None and misalignment > MISALIGNMENT:
        findings.append("Shaft out of line with the seal bore.")
    if run_out is not None and run_out > RUN_OUT:
        findings.append("Shaft runs out under the lip.")
    if (misalignment or 0.0) + (run_out or 0.0) > ECCENTRICITY_SUM * (1 + 1e-9):
        findings.append("Run-out and misalignment together are too much.")
    if speed is not None and hardness is not None and speed > HARD_LAND_SPEED and hardness < 55:
        findings.append("Land too soft for this speed: 55 HRC or more.")
    return LandJudgement(not findings, tuple(findings))


@dataclass(frozen=True, slots=True)
class Squeeze:
    """How far a ring is pressed: lengths [m] and shares of its section [-]."""

    least: float
    most: float
    least_share: float
    most_share: float


def o_ring_squeeze(
    section: float, section_tolerance: float, depth_least: float, depth_most: float
) -> Squeeze:
    """Squeeze of an O-ring at worst cases; (W ∓ t − depth)/(W ∓ t).

    Args:
        section: section diameter of the ring W [m].
        section_tolerance: its tolerance t, plus and minus [m].
        depth_least: least gland depth, clearance included [m].
        depth_most: greatest gland depth [m].
    Returns:
        least and most squeeze [m] and as a share of the section [-].
    Valid: unstretched section; a negative least squeeze means that it doesn't seal.
    Raises: RangeError for a section not above its tolerance, or depths in the wrong order.
    Source: GLAND-TABLE; own arithmetic.
    """
    if not (section > section_tolerance >= 0 and 0 < depth_least <= depth_most):
        raise RangeError("O-ring and gland", (section, depth_least, depth_most), "section > depth")
    least, most = section - section_tolerance, section + section_tolerance
    return Squeeze(
        least - depth_most,
        most - depth_least,
        (least - depth_most) / least,
        (most - depth_least) / most,
    )


def o_ring_fill(section: float, depth: float, width: float) -> float:
    """Share of the gland that the ring fills; (π/4·W²)/(depth·width).

    Args:
        section: section diameter of the ring W [m].
        depth: gland depth [m].
        width: gland width [m].
    Returns:
        share of the gland's area [-].
    Valid: practice: static up to 0.85 to 0.90, moving up to 0.80 to 0.85; swelling not counted.
    Raises: RangeError for anything not above zero.
    Source: own: geometry; limits common practice.
    Example:
        >>> round(o_ring_fill(0.139, 0.113, 0.195), 3)
        0.689
    """
    if not (section > 0 and depth > 0 and width > 0):
        raise RangeError("ring and gland", (section, depth, width), "above zero")
    return math.pi / 4 * section**2 / (depth * width)


def o_ring_stretch(gland_diameter: float, ring_diameter: float) -> float:
    """Stretch of the installed ring; (gland − ring)/ring.

    Args:
        gland_diameter: diameter that the ring sits on [m].
        ring_diameter: inside diameter of the free ring [m].
    Returns:
        stretch [-].
    Valid: practice: 0.01 to 0.03 installed, under 0.5 while being fitted.
    Raises: RangeError for diameters not above zero.
    Source: own: definition; limits common practice.
    """
    if not (gland_diameter > 0 and ring_diameter > 0):
        raise RangeError("diameters", (gland_diameter, ring_diameter), "above zero")
    return (gland_diameter - ring_diameter) / ring_diameter
