"""Bench sums of anodes and oil, and units at the door."""

from __future__ import annotations

import re

from casewright.errors import InputError
from casewright.mechanics.anode_design import anode_life
from casewright.mechanics.corrosion import convert_potential, judge_bond, judge_potential
from casewright.mechanics.oil import (
    check_fill,
    viscosity_at,
    viscosity_grade,
    viscosity_index,
    walther_constants,
)
from casewright.mechanics.oil_analysis import wear_trend
from casewright.sums.answer import Answer, Line, Scale, Told, Tone
from casewright.tables.anodes import UTILISATION, anode_alloy
from casewright.units import DIMENSIONS, Quantity
from casewright.working import Term, Working

STANDING = "Maker's manual, local codes and licensed practice come first."
SHORE = "Shore power and chargers off while a potential is read; leads and battery clear of water."
PAINT = "Never paint an anode; never drill or weld near oil or fuel."
HOT_OIL = "Hot oil burns: gloves and eye protection. Used oil is harmful, and goes into the drum."
SEA = "silver chloride sea water"


def potential(*, reading: float, electrode: str, metal: str, to: str) -> Answer:
    """A potential read against one electrode as another would show it, and against its window.

    Args: reading [V]; electrodes by name; the metal whose window counts.
    Raises: RangeError for a reading out of reach (millivolts typed as volts, leads swapped).
    """
    found = judge_potential(reading, electrode, metal)
    low, high = found.window
    lines = (
        Line("Against silver chloride in sea water", found.potential, "potential", lead=True),
        Line(f"Against {to}", convert_potential(reading, electrode, to), "potential"),
        Line(f"Window of {metal}", low, "potential", high),
    )
    tone: Tone = "good" if found.word == "protected" else "bad"
    words = (Told(_big(found.word) + ".", tone), *(Told(text) for text in found.findings))
    scale = Scale(
        "potential", low, high, (("read", found.potential),),
        "The reading in its window, against silver chloride in sea water", "protected",
    )  # fmt: skip
    return Answer(
        lines, words, cautions=(SHORE, PAINT, STANDING), drawing=scale,
        workings=(("Protection window", found.working),),
    )  # fmt: skip


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def bond(*, resistance: float, most: float | None) -> Answer:
    """A strap or an anode's mount by its resistance.

    Args: resistance and the maker's most [ohm].
    Raises: nothing here.
    """
    word = judge_bond(resistance)
    tone: Tone = "good" if word == "good" else "unsure" if word == "doubtful" else "bad"
    told = Told(f"{_big(word)}, by common practice (0.1 Ω good, over 1 Ω open).", tone)
    if most is not None:
        inside = resistance <= most
        told = Told(
            "Within what the maker allows." if inside else "Over what the maker allows.",
            "good" if inside else "bad",
        )
    working = Working(
        method="bond by its resistance",
        formula="R against the maker's most, else 0.1 and 1 Ω",
        inputs=(Term("resistance", resistance, "ohm", "R"),),
        outputs=(Term("resistance", resistance, "ohm"),),
        source="common practice, no source; the maker's figure wins",
    )
    ways = Told("Dry, out of the water, read both ways round; bare metal to bare metal.")
    return Answer(
        (Line("Bond", resistance, "resistance", lead=True),), (told, ways),
        cautions=(PAINT, STANDING), workings=(("Bond", working),),
    )  # fmt: skip


def life_of_anode(*, mass: float, alloy: str, current: float, shape: str, water: str) -> Answer:
    """How long an anode lasts at a mean current, and whether its alloy fits the water.

    Args: mass of alloy left [kg]; alloy; mean current [A]; shape; salt, brackish or fresh.
    Raises: RangeError as the formula.
    """
    one = anode_alloy(alloy)
    used = UTILISATION[shape]
    life = anode_life(mass, current, one.capacity, used)
    words = [Told("A well painted leg draws less, and its anode lasts longer.", "estimate")]
    if water not in one.waters:
        words.insert(0, Told(f"{_big(alloy)} is the wrong alloy for {water} water.", "bad"))
    working = Working(
        method="anode life at a mean current",
        formula="t = m·u·ε/I",
        inputs=(
            Term("mass of alloy", mass, "kg", "m"),
            Term("share that may be used", used, "", "u"),
            Term("capacity", one.capacity, "C/kg", "ε"),
            Term("mean current", current, "A", "I"),
        ),
        outputs=(Term("life", life, "s", "t"),),
        source=f"DNV-RP-B401 form; capacity: {one.known}",
        estimate=True,
    )
    lines = (
        Line("Lasts", life, "days", lead=True),
        Line("Renew when half is gone, in", life / (2 * used), "days"),
    )
    return Answer(
        lines, tuple(words), cautions=(PAINT, STANDING), workings=(("Anode life", working),)
    )


def viscosity(
    *, at_40: float, second: float, second_at: float, wanted: float, grade: float | None
) -> Answer:
    """An oil's viscosity at a temperature from two points, its grade and index.

    Args: viscosities in mm²/s; temperatures [K]; grade asked by the sheet.
    Raises: RangeError where it does not fall with temperature.
    """
    kelvin_40 = 313.15
    line = walther_constants(at_40 * 1e-6, kelvin_40, second * 1e-6, second_at)
    there = viscosity_at(line, wanted) * 1e6
    at_100 = viscosity_at(line, 373.15) * 1e6
    found = viscosity_grade(at_40 * 1e-6)
    lines = [
        Line("Viscosity there", there, "plain", unit="mm²/s", lead=True),
        Line("Grade at 40 °C", f"ISO VG {found}" if found else "between two grades", lead=True),
        Line("At 100 °C", at_100, "plain", unit="mm²/s"),
    ]
    if at_100 >= 2:
        index = viscosity_index(at_40 * 1e-6, at_100 * 1e-6)
        lines.append(Line("Viscosity index", f"{index:.0f}"))
    words = []
    if grade is not None and found != round(grade):
        words.append(Told(f"The sheet asks for {grade:.0f}: wrong oil, water, or worn out.", "bad"))
    working = Working(
        method="viscosity and temperature",
        formula="log₁₀ log₁₀(ν + 0.7 + …) = A − B·log₁₀ T",
        inputs=(
            Term("at 40 °C", at_40, "mm²/s"),
            Term("second point", second, "mm²/s"),
            Term("its temperature", second_at, "K"),
            Term("wanted at", wanted, "K", "T"),
        ),
        steps=(Term("A", line.a), Term("B", line.b)),
        outputs=(Term("viscosity there", there, "mm²/s", "ν"),),
        source="ASTM D341; ISO 3448 for grades; ASTM D2270 for the index",
    )
    return Answer(
        tuple(lines), tuple(words), cautions=(HOT_OIL, STANDING),
        workings=(("Viscosity and temperature", working),),
    )  # fmt: skip


def trapped_air(*, filled: float, capacity: float) -> Answer:
    """Oil that went in against the capacity: what is missing is trapped air.

    Args: volumes [m³].
    Raises: RangeError as the formula.
    """
    found = check_fill(filled, capacity)
    name = "Room left, trapped air at most" if found.missing >= 0 else "More than it holds by"
    tone: Tone = "good" if found.word == "full" else "bad"
    return Answer(
        (Line(name, abs(found.missing), "volume", lead=True),
         Line("Share of the capacity", abs(found.share), "share")),
        (Told(_big(found.word) + ".", tone), *(Told(text) for text in found.advice)),
        cautions=(HOT_OIL, STANDING), workings=(("Fill against capacity", found.working),),
    )  # fmt: skip


def wear_metal(*, metal: str, samples: str) -> Answer:
    """A metal over the leg's running hours, from the samples of all its jobs.

    Args: metal; samples as "hours ppm", one after the other.
    Raises: InputError for a sample that isn't two numbers.
    """
    hours, contents = [], []
    for text in re.split(r"[;\n]+", samples.strip("; \n")):
        match = re.fullmatch(
            r"\s*(\d+(?:[.,]\d+)?)\s*h?[\s:,]+(\d+(?:[.,]\d+)?)\s*(?:ppm)?\s*", text
        )
        if match is None:
            raise InputError("samples", text.strip(), "hours and ppm, like 120 14")
        hours.append(float(match[1].replace(",", ".")) * 3600)
        contents.append(float(match[2].replace(",", ".")) * 1e-6)
    found = wear_trend(hours, contents, metal)
    lines = [Line("Trend", found.word, lead=True), Line("Samples", str(found.readings))]
    if found.slope is not None and found.half_width is not None:
        rate = 1e6 * 3600 * 100
        lines.append(
            Line("In a hundred hours", found.slope * rate, "plain", doubt=found.half_width * rate,
                 unit="ppm", lead=True)
        )  # fmt: skip
    terms = zip(hours, contents, strict=True)
    working = Working(
        method="straight line by least squares",
        formula="content = a + b·t; rising where b is beyond its 95 % half width",
        inputs=tuple(Term(f"at {t / 3600:.0f} h", c * 1e6, "ppm") for t, c in terms),
        outputs=(Term("slope", found.slope or 0.0, "1/s", "b"),),
        source="least squares; metals by where they come from: practice",
        notes=("An oil change starts the content anew: sample before it, at like hours of oil.",),
        estimate=True,
    )
    return Answer(
        tuple(lines), tuple(Told(hint) for hint in found.hints), cautions=(HOT_OIL, STANDING),
        workings=(("The trend", working),),
    )  # fmt: skip


def unit(*, value: Quantity) -> Answer:
    """A value in every unit of its kind.

    Args: value: a quantity as read at the door.
    Raises: nothing.
    """
    kind = DIMENSIONS[value.dimension]
    lines = tuple(
        Line(sign, value.value, f"in:{kind.name}", unit=sign, lead=place < 4)
        for place, sign in enumerate(kind.signs)
        if sign != value.unit
    )
    return Answer(lines, (Told(f"{value.text}, a {kind.name}.", "lead"),))
