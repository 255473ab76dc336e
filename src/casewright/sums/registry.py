"""Every bench sum, declared once: page, terminal and Python call come from this list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from casewright.errors import InputError
from casewright.mechanics.leak import DRAIN, REGULATOR
from casewright.mechanics.oil_analysis import METAL_SOURCES
from casewright.sums import asks, fits, fluids, heat, sealing, torque
from casewright.sums.form import Given, Sum, Worked, work_out_sum
from casewright.tables.anodes import ALLOYS, UTILISATION
from casewright.tables.electrodes import SAME_METAL
from casewright.tables.temperature_ceilings import CAUTIONS, COOLANTS, RELEASES

FITS, HEAT, TORQUE = "Fits", "Heat and cold", "Threads and torque"
SEALING, WATER, DOOR = "Sealing tests", "Anodes and oil", "Units"
GROUPS = (FITS, HEAT, TORQUE, SEALING, WATER, DOOR)


def _words(names: Sequence[str]) -> tuple[tuple[str, str], ...]:
    return tuple((name, name) for name in names)


_HEATED = (
    asks.length("diameter", "Diameter of the joint", needed=True),
    asks.fine("interference", "Interference at 20 °C, the most", needed=True),
    asks.wanted(),
    asks.metal("hub", "Housing or hub", "aluminium"),
)
_FITS = (
    Sum(
        "limits", "Limits of a fit by its letters", "What do H7 and k6 allow at this size?", FITS,
        (
            asks.length("size", "Size", needed=True, high=0.5, low=1e-4, bounds="0.1 to 500 mm"),
            Given("hole", "Hole", "words", front=True, hint="as H7; capital letter"),
            Given("shaft", "Shaft", "words", front=True, hint="as k6; or: bearing"),
        ),
        fits.limits_of_size,
    ),
    Sum(
        "press-fit", "Press fit from two readings",
        "Will the press do, and does it still grip warm?", FITS,
        (
            asks.length("shaft", "Shaft, as measured", needed=True),
            asks.length("bore", "Bore, as measured", needed=True),
            asks.fine("shaft_doubt", "Doubt of the shaft, ±", value="3 µm", front=True),
            asks.fine("bore_doubt", "Doubt of the bore, ±", value="5 µm", front=True),
            asks.length("length", "Length of the joint", needed=True),
            asks.length("hub_outside", "Hub's outside diameter", front=True,
                        hint="empty: a big block, which grips most"),
            asks.length("shaft_bore", "Bore through the shaft or ring", from_zero=True),
            asks.metal("hub", "Housing or hub", "aluminium"),
            asks.metal("ring", "Shaft or ring", "bearing-steel"),
            Given("press", "Press, as rated", "quantity", "force", "tf", needed=True,
                  value="10 tf"),
            asks.work("at_work", "Temperature at work", needed=True, value="60 °C"),
            Given("torque", "Torque it must hold", "quantity", "torque", "N·m"),
            *asks.FRICTIONS,
            asks.fine("hub_rz", "Roughness Rz of the bore", hint="Rz, not Ra"),
            asks.fine("shaft_rz", "Roughness Rz of the shaft"),
            Given("smoothed", "Share of Rz smoothed away", "number", value="0.8", low=0.0,
                  high=1.0, bounds="0 to 1", hint="0.8 is safe for holding"),
            Given("lost", "Share of the interference lost when pressed out once", "number",
                  low=0.0, high=1.0, bounds="0 to 1", hint="the shop's own experience, as 0.2"),
        ),
        fits.press_fit,
        blames={"hub outside diameter": "hub_outside", "joint diameter": "shaft",
                "hub temperature": "at_work", "shaft temperature": "at_work"},
    ),
)  # fmt: skip
_HEAT = (
    Sum(
        "heat-bore", "Heat a bore, drop the ring in",
        "How hot must the housing get, and may it?", HEAT,
        (
            *_HEATED,
            asks.metal("ring", "Ring or shaft", "bearing-steel"),
            asks.hot(), asks.ceiling(), asks.mass("Mass that is heated"),
            Given("soak", "Time at temperature", "quantity", "time", "min", value="60 min"),
        ),
        heat.heat_bore,
    ),
    Sum(
        "chill-shaft", "Chill a shaft or ring", "Does the freezer or dry ice do it?", HEAT,
        (
            *_HEATED,
            asks.metal("ring", "Shaft or ring that is chilled", "bearing-steel", asks.CHILLED),
            Given("cold", "Cold from", "choice", needed=True, value="dry-ice",
                  choices=tuple((key, one.name) for key, one in COOLANTS.items())),
            asks.hot(), asks.ceiling(), asks.mass("Mass of the chilled part"),
        ),
        heat.chill_shaft,
    ),
    Sum(
        "take-out", "Take a ring out of a heated casting",
        "How hot, when the ring gets warm with it?", HEAT,
        (
            *_HEATED, asks.metal("ring", "Ring", "bearing-steel"), asks.hot(), asks.ceiling(),
            Given("compound", "Compound in the joint", "choice",
                  choices=tuple((key, one.name) for key, one in RELEASES.items())),
        ),
        heat.take_out,
    ),
    Sum(
        "working-time", "Seconds to put it together", "How long does the clearance last?", HEAT,
        (
            asks.fine("clearance", "Clearance at the start", needed=True),
            asks.length("diameter", "Diameter of the joint", needed=True),
            asks.metal("part", "The hot or cold part", "aluminium"),
            Given("mass", "Its mass", "quantity", "mass", "kg", needed=True),
            asks.heat("start", "Its temperature at the start", needed=True),
            asks.gas("shop", "Temperature of the shop", needed=True, value="20 °C"),
        ),
        heat.clearance_left,
    ),
)  # fmt: skip
_TORQUE = (
    Sum(
        "preload", "Preload from a torque", "What does this torque do to the bolt?", TORQUE,
        (
            asks.thread(),
            Given("torque", "Torque at the fastener", "quantity", "torque", "N·m", needed=True),
            Given("surface", "Thread is", "choice", choices=asks.SURFACES, value="oiled",
                  front=True),
            asks.bolt_class(),
            *asks.FRICTIONS,
            asks.length("face", "Mean diameter of the turned face",
                        front=True,
                        hint="for ring nuts and odd heads; empty: a plain hexagon"),
            Given("tool_most", "Largest torque of the wrench's scale", "quantity", "torque",
                  "N·m"),
        ),
        torque.preload,
        blames={"property class": "bolt_class", "class": "bolt_class", "thread": "designation",
                "friction diameter": "face", "largest torque of the tool": "tool_most"},
    ),
    Sum(
        "strip", "Will the thread strip?", "Aluminium hole, engagement, or a thread insert.",
        TORQUE,
        (
            asks.thread(),
            asks.length("engagement", "Full thread in engagement", needed=True),
            asks.bolt_class(needed=True),
            Given("parent_strength", "Tensile strength of the housing", "quantity", "pressure",
                  "MPa", hint="empty: an ordinary casting"),
            Given("parent_shear", "Its shear over tensile strength", "number", value="0.7",
                  low=0.3, high=1.2, bounds="0.3 to 1.2",
                  hint="aluminium 0.7, steel 0.6, grey iron 0.9"),
            asks.length("insert", "Length of a thread insert", front=True,
                        hint="to see it as rework"),
        ),
        torque.strip,
        blames={"property class": "bolt_class", "class": "bolt_class", "thread": "designation",
                "length": "engagement"},
    ),
    Sum(
        "adapter", "Wrench with an offset adapter", "What must the wrench show?", TORQUE,
        (
            Given("torque", "Torque", "quantity", "torque", "N·m", needed=True),
            Given("shown", "That is", "choice", needed=True, value="wanted",
                  choices=(("wanted", "wanted at the fastener"), ("read", "what it read"))),
            asks.length("wrench", "Wrench, drive to hand mark", needed=True),
            asks.length("offset", "Adapter, drive to fastener", needed=True),
            Given("angle", "Angle: 0 straight ahead, 90 square", "quantity", "angle", "°",
                  needed=True, value="0 °"),
        ),
        torque.adapter,
        blames={"wrench length": "wrench", "adapter length": "offset", "adapter angle": "angle",
                "setting": "torque"},
    ),
    Sum(
        "lever", "Lever of a ring-nut tool", "How hard is the pull at the bar's end?", TORQUE,
        (
            Given("torque", "Torque of the ring nut", "quantity", "torque", "N·m", needed=True),
            asks.length("bar", "Axis to hand", needed=True),
            Given("angle", "Angle between pull and bar", "quantity", "angle", "°", needed=True,
                  value="90 °"),
            asks.length("circle", "Circle on which lugs or pins bear"),
            Given("contacts", "How many lugs or pins", "number", value="2"),
        ),
        torque.lever,
        blames={"lever": "bar"},
    ),
)  # fmt: skip
_SEALING = (
    Sum(
        "leak", "Did it leak, or only cool down?", "Two readings of pressure and temperature.",
        SEALING,
        (
            Given("relative", "The pressures are", "choice", needed=True,
                  choices=(("gauge", "gauge: 0 in open air"),
                           ("absolute", "absolute: 101 kPa in open air"))),
            Given("volume", "Volume of the circuit with hose", "quantity", "volume", "L",
                  needed=True),
            asks.pressure("before", "Pressure before", needed=True),
            asks.gas("before_at", "Temperature before", needed=True,
                     hint="of the case; without it a drop says nothing"),
            asks.pressure("after", "Pressure after", needed=True),
            asks.gas("after_at", "Temperature after", needed=True),
            Given("minutes", "Time between", "quantity", "time", "min", needed=True),
            Given("ceiling", "Ceiling of the circuit, gauge", "quantity", "pressure", "kPa",
                  front=True, hint="above 97 kPa it must be given"),
            Given("drop", "Drop allowed, as printed", "quantity", "pressure", "kPa"),
            Given("hold", "in", "quantity", "time", "min"),
            Given("step", "Smallest step of the gauge", "quantity", "pressure", "kPa"),
            Given("warmth", "Smallest step of the thermometer, in kelvin or °C", "number",
                  low=0.0, high=10.0, bounds="0 to 10", value="0.5"),
            Given("air", "Air around, absolute", "quantity", "pressure", "kPa",
                  value="101.325 kPa", low=50e3, high=110e3, bounds="50 to 110 kPa"),
        ),
        sealing.leak,
        blames={"pressure start": "before", "pressure end": "after", "seconds": "minutes",
                "test pressure": "before", "pressure ceiling": "ceiling"},
    ),
    Sum(
        "bleed", "Volume by a known bleed", "How big is the circuit?", SEALING,
        (
            Given("bleed", "Bleed, as air at open air", "quantity", "flow", "ml/min",
                  needed=True),
            Given("minutes", "Time it was open", "quantity", "time", "min", needed=True),
            asks.pressure("before", "Gauge before", needed=True),
            asks.pressure("after", "Gauge after", needed=True),
            Given("own", "Its own drop in the same time, bleed shut", "quantity", "pressure",
                  "kPa", from_zero=True),
            Given("bleed_doubt", "Doubt of the bleed, ±", "quantity", "flow", "ml/min",
                  from_zero=True),
            Given("step", "Smallest step of the gauge", "quantity", "pressure", "kPa"),
        ),
        sealing.bleed_volume,
        blames={"bleed rate": "bleed", "own drop": "own", "time": "minutes"},
    ),
    Sum(
        "bottle", "Volume by a known bottle", "How big is the circuit?", SEALING,
        (
            Given("bottle", "Volume of the bottle", "quantity", "volume", "L", needed=True),
            asks.pressure("before", "Gauge before the valve opens", needed=True),
            asks.pressure("after", "Gauge after, at rest", needed=True),
            Given("step", "Smallest step of the gauge", "quantity", "pressure", "kPa"),
        ),
        sealing.bottle_volume,
        blames={"pressure after": "after", "vessel volume": "bottle"},
    ),
)  # fmt: skip
_WATER = (
    Sum(
        "potential", "Potential of an anode or case", "Is it protected?", WATER,
        (
            Given("reading", "Reading, with its sign", "quantity", "potential", "mV",
                  needed=True),
            Given("electrode", "Read against", "choice", needed=True, choices=_words([*SAME_METAL]),
                  value=fluids.SEA),
            Given("metal", "Of an", "choice", needed=True, value="aluminium drive",
                  choices=_words(("aluminium drive", "aluminium hull"))),
            Given("to", "Also wanted against", "choice", needed=True, value="zinc",
                  choices=_words([*SAME_METAL])),
        ),
        fluids.potential,
        blames={"potential": "reading"},
    ),
    Sum(
        "bond", "Bond of an anode or strap", "Is it metal to metal?", WATER,
        (
            Given("resistance", "Resistance, leads taken off", "quantity", "resistance", "Ω",
                  needed=True, from_zero=True),
            Given("most", "Most that the maker allows", "quantity", "resistance", "Ω", front=True),
        ),
        fluids.bond,
    ),
    Sum(
        "anode-life", "Life of an anode", "How long does it last at this current?", WATER,
        (
            Given("mass", "Mass of alloy left", "quantity", "mass", "kg", needed=True),
            Given("alloy", "Alloy", "choice", needed=True, choices=_words([*ALLOYS])),
            Given("current", "Mean current in milliamperes", "number", needed=True),
            Given("shape", "Shape", "choice", needed=True, value="short flush",
                  choices=_words([*UTILISATION])),
            Given("water", "Water", "choice", needed=True, value="salt",
                  choices=_words(("salt", "brackish", "fresh"))),
        ),
        lambda *, current, **more: fluids.life_of_anode(current=current / 1000, **more),
    ),
    Sum(
        "viscosity", "Oil's viscosity at a temperature", "How thick is it there?", WATER,
        (
            Given("at_40", "At 40 °C, mm²/s", "number", needed=True),
            Given("second", "At the second temperature, mm²/s", "number", needed=True),
            asks.heat("second_at", "Second temperature", needed=True, value="100 °C"),
            asks.heat("wanted", "Wanted at", needed=True),
            Given("grade", "Grade that the sheet asks for", "number", hint="as 150"),
        ),
        fluids.viscosity,
        blames={"viscosities": "second", "viscosity at 100 °C": "second"},
    ),
    Sum(
        "wear-metal", "Wear metal over the leg's hours", "Is it rising from job to job?", WATER,
        (
            Given("metal", "Metal", "choice", needed=True, value="iron",
                  choices=_words([*METAL_SOURCES])),
            Given("samples", "Hours and ppm of each sample", "words", needed=True,
                  hint="as 120 14; 310 22; 480 35"),
        ),
        fluids.wear_metal,
        blames={"contents": "samples"},
    ),
    Sum(
        "trapped-air", "Trapped air after filling", "Did it take what it holds?", WATER,
        (
            Given("filled", "Oil that went in", "quantity", "volume", "L", needed=True),
            Given("capacity", "Capacity by the sheet", "quantity", "volume", "L", needed=True),
        ),
        fluids.trapped_air,
    ),
)  # fmt: skip
_DOOR = (
    Sum(
        "unit", "A value in other units", "What is that in the units here?", DOOR,
        (Given("value", "Value with its unit", "any", needed=True,
               hint="as 12 thou, 80 ft·lb, 10 psi, 95 °F"),),
        fluids.unit,
    ),
)  # fmt: skip

# What can hurt where these sums are used; it stands in the form, before there is an answer.
DANGERS: Mapping[str, str] = MappingProxyType(
    {
        FITS: CAUTIONS["press"],
        HEAT: f"{CAUTIONS['hot-part']} {CAUTIONS['oil-residue']}",
        TORQUE: torque.HAND,
        SEALING: f"{DRAIN} {REGULATOR}",
        WATER: fluids.SHORE,
    }
)
_ALL = (*_FITS, *_HEAT, *_TORQUE, *_SEALING, *_WATER, *_DOOR)
SUMS: Mapping[str, Sum] = MappingProxyType(
    {one.key: replace(one, caution=DANGERS.get(one.group, fluids.STANDING)) for one in _ALL}
)


def sum_named(key: str) -> Sum:
    """The sum of that key, or an error that lists them."""
    if key not in SUMS:
        raise InputError("sum", key, "one of " + ", ".join(SUMS))
    return SUMS[key]


def work_out(
    key: str,
    given: Mapping[str, str | Sequence[str]],
    likes: Mapping[str, str] = MappingProxyType({}),
) -> Worked:
    """Work a bench sum out from texts with units, as page and terminal do.

    `given`: field name to text ("40.051 mm"); `NAME.unit` is the unit of a bare number. `likes`:
    dimension to the unit that a bare number is in. Returns what was typed and the answer, in SI,
    with its workings. Raises FormErrors with every mistake at once, each by the name of its field.

    >>> given = {"torque": "100 N·m", "wrench": "400", "offset": "50", "angle": "45"}
    >>> round(work_out("adapter", given).answer.lines[0].value, 3)
    91.879
    """
    return work_out_sum(sum_named(key), given, likes)
