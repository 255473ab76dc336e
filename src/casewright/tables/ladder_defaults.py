"""Family default ladders for stuck joints: where a shop starts until it has counts of its own.

Which methods there are, their order from gentle to rough, their cautions and load paths are
common practice, no source. Every number (minutes, chances, shares, harm) is invented for this
project, chosen to be of a believable size and to be overwritten. `origin` says which is which.

Grades: *tight* (never moved since it was built), *seized* (corroded or galled), *welded* (grown
together by corrosion). Pieces are roles of the joint; a sheet says which part plays which role.
"""

from __future__ import annotations

from collections.abc import Mapping

from casewright.tables.ladder_form import (
    COLD,
    CUTTING,
    DRILLING,
    FLYING,
    GRADES,
    HEAT,
    HOLD,
    INVENTED,
    LEVER,
    PAIR_CAUTIONS,
    PENETRANT,
    PRACTICE,
    PRESSING,
    STANDING_LINE,
    WELDING,
    DefaultPairCaution,
    DefaultRung,
    Family,
    origin,
)

__all__ = [
    "FAMILIES",
    "GRADES",
    "INVENTED",
    "PAIR_CAUTIONS",
    "PRACTICE",
    "STANDING_LINE",
    "DefaultPairCaution",
    "DefaultRung",
    "Family",
    "origin",
]


def _prep(id: str, name: str, minutes: float, wait: float = 0.0, **more: object) -> DefaultRung:
    return DefaultRung(id, name, "preparation", minutes, wait=wait, **more)  # type: ignore[arg-type]


def _try(
    id: str, name: str, minutes: float, chances: tuple[float, ...], **more: object
) -> DefaultRung:
    return DefaultRung(id, name, "attempt", minutes, chances, **more)  # type: ignore[arg-type]


_PRESS_FIT = Family(
    "press-fit",
    "press fit, steel in aluminium",
    {"inner": "the steel part pressed in", "housing": "the casting around it",
     "seals": "seals near it"},
    (0.55, 0.35, 0.10),
    (
        _prep(
            "penetrant", "penetrant, left to creep", 4, 480, marks=("penetrant",),
            cautions=(PENETRANT,), eases={"puller": (0.85,), "slide": (0.85,), "press": (0.9,)},
        ),
        _try(
            "puller", "internal puller", 12, (0.55, 0.20, 0.03), repeats=2, tool="internal puller",
            harm={"inner": 0.10}, cautions=(FLYING,), path=("inner", "housing"),
        ),
        _try(
            "slide", "slide hammer", 14, (0.60, 0.28, 0.05), tool="slide hammer", marks=("blow",),
            harm={"inner": 0.25, "housing": 0.01}, cautions=(FLYING,), path=("inner",),
        ),
        _prep(
            "heat", "warm the casting evenly", 18, tool="hot-air gun", marks=("heat",),
            harm={"seals": 0.95, "housing": 0.01}, cautions=(HEAT,),
            eases={"puller": (0.35, 0.5, 0.8), "slide": (0.4, 0.5, 0.8), "press": (0.4, 0.5, 0.75)},
        ),
        _prep(
            "cold", "chill the inner part", 12, tool="dry ice", marks=("cold",), cautions=(COLD,),
            eases={"puller": (0.6,), "press": (0.65,)},
        ),
        _try(
            "press", "press out with a fitted ring", 25, (0.90, 0.65, 0.25), tool="shop press",
            harm={"inner": 0.20, "housing": 0.03}, cautions=(PRESSING,), path=("inner", "housing"),
        ),
        _try(
            "cut", "grind the inner part through and collapse it", 40, (0.97, 0.95, 0.85),
            tool="die grinder", marks=("sparks",), harm={"inner": 1.0, "housing": 0.08},
            cautions=(CUTTING,), path=("inner",),
        ),
    ),
)  # fmt: skip

_RING_NUT = Family(
    "ring-nut",
    "large ring nut with lugs",
    {"nut": "the ring nut", "housing": "the thread in the casting",
     "carrier": "the carrier behind it",
     "seals": "seals near it"},
    (0.45, 0.40, 0.15),
    (
        _prep(
            "clean", "clean the thread and free the locking tab", 8,
            eases={"bar": (0.85,), "impact": (0.9,)},
        ),
        _prep(
            "penetrant", "penetrant, left to creep", 4, 480, marks=("penetrant",),
            cautions=(PENETRANT,), eases={"bar": (0.8,), "impact": (0.85,)},
        ),
        _try(
            "bar", "lug tool with a long bar", 10, (0.60, 0.20, 0.03), repeats=2, tool="lug tool",
            harm={"nut": 0.04}, cautions=(LEVER,), path=("nut", "housing"),
        ),
        _prep(
            "tighten", "tighten a hair first", 4, tool="lug tool", harm={"nut": 0.03},
            cautions=(LEVER,), eases={"bar": (0.85,), "impact": (0.85,)}, path=("nut", "housing"),
        ),
        _prep(
            "heat", "warm the casting around the nut", 15, tool="torch", marks=("flame", "heat"),
            harm={"seals": 0.95, "housing": 0.02}, cautions=(HEAT,),
            eases={"bar": (0.5, 0.55, 0.8), "impact": (0.5, 0.55, 0.8)},
        ),
        _try(
            "impact", "impact gun on the lug tool", 8, (0.80, 0.50, 0.12), tool="impact gun",
            marks=("blow",), harm={"nut": 0.25, "housing": 0.02}, cautions=(FLYING,),
            path=("nut", "housing"),
        ),
        _try(
            "drill", "drill the nut and split it with a chisel", 35, (0.97, 0.95, 0.88),
            tool="drill", marks=("sparks", "blow"),
            harm={"nut": 1.0, "housing": 0.10, "carrier": 0.05},
            cautions=(DRILLING, FLYING), path=("nut",),
        ),
    ),
)  # fmt: skip

_CARRIER = Family(
    "carrier",
    "bearing carrier with O-rings in a corroded bore",
    {"carrier": "the bearing carrier", "housing": "the bore in the casting",
     "shaft": "the shaft in it",
     "bearing": "the bearings on that shaft", "gear": "the gear behind them", "seals": "its seals"},
    (0.35, 0.45, 0.20),
    (
        _prep(
            "penetrant", "penetrant, left to creep", 4, 480, marks=("penetrant",),
            cautions=(PENETRANT,), eases={"turn": (0.85,), "jack": (0.85,), "puller": (0.85,)},
        ),
        _try(
            "turn", "turn it a few degrees to break the corrosion, then draw", 12,
            (0.50, 0.12, 0.01), tool="pin spanner", harm={"carrier": 0.04}, cautions=(LEVER,),
            path=("carrier",),
        ),
        _try(
            "jack", "jacking screws against the flange", 20, (0.70, 0.30, 0.06),
            tool="jacking screws", harm={"carrier": 0.12, "housing": 0.02},
            cautions=(PRESSING, HOLD),
            path=("carrier", "housing"),
        ),
        _prep(
            "heat", "warm the bore, cool, warm again", 25, tool="torch", marks=("flame", "heat"),
            harm={"seals": 0.95, "housing": 0.02}, cautions=(HEAT,),
            eases={"turn": (0.55,), "jack": (0.5, 0.55, 0.75), "puller": (0.5, 0.55, 0.75),
                   "shaft-pull": (0.5, 0.55, 0.75)},
        ),
        _try(
            "puller", "puller on the carrier's ribs", 25, (0.75, 0.45, 0.12), tool="carrier puller",
            harm={"carrier": 0.25, "housing": 0.03}, cautions=(PRESSING, FLYING, HOLD),
            path=("carrier", "housing"),
        ),
        _try(
            "shaft-pull", "pull the carrier by the shaft with a slide hammer", 20,
            (0.80, 0.50, 0.15), tool="slide hammer", marks=("blow",),
            harm={"bearing": 0.70, "gear": 0.08, "shaft": 0.04, "carrier": 0.06},
            cautions=(FLYING, HOLD), path=("shaft", "bearing", "gear", "carrier"),
        ),
        _try(
            "relief", "relief cuts in the carrier", 18, (0.96, 0.93, 0.80), tool="die grinder",
            marks=("sparks",), harm={"carrier": 1.0, "housing": 0.06}, cautions=(CUTTING,),
            path=("carrier",),
        ),
        _try(
            "bore", "bore the carrier out on a machine", 150, (1.0, 1.0, 0.98),
            tool="boring set-up", harm={"carrier": 1.0, "housing": 0.03},
            cautions=(DRILLING, HOLD), path=("carrier",),
        ),
    ),
)  # fmt: skip

_TAPER = Family(
    "tapered-hub",
    "hub on a taper",
    {"hub": "the hub", "shaft": "the tapered shaft", "bearing": "the bearings behind it"},
    (0.50, 0.38, 0.12),
    (
        _prep(
            "penetrant", "penetrant, left to creep", 3, 480, marks=("penetrant",),
            cautions=(PENETRANT,), eases={"puller": (0.9,), "shock": (0.9,)},
        ),
        _try(
            "puller", "puller tightened, nut left on by two threads", 12, (0.60, 0.25, 0.04),
            repeats=2, tool="hub puller", harm={"hub": 0.03, "shaft": 0.01},
            cautions=(PRESSING, FLYING), path=("hub", "shaft"),
        ),
        _try(
            "shock", "puller tight, blow on its screw or across the hub", 6, (0.70, 0.40, 0.10),
            tool="hub puller", marks=("blow",), after=("puller",),
            harm={"hub": 0.06, "shaft": 0.02, "bearing": 0.12}, cautions=(FLYING,),
            path=("hub", "shaft", "bearing"),
        ),
        _prep(
            "heat", "warm the hub quickly", 10, tool="torch", marks=("flame", "heat"),
            harm={"hub": 0.03}, cautions=(HEAT,),
            eases={"puller": (0.35, 0.45, 0.7), "shock": (0.35, 0.45, 0.7)},
        ),
        _try(
            "hydraulic", "hydraulic puller", 20, (0.92, 0.75, 0.35), tool="hydraulic puller",
            harm={"hub": 0.12, "shaft": 0.03}, cautions=(PRESSING, FLYING), path=("hub", "shaft"),
        ),
        _try(
            "split", "cut the hub to the keyway and split it", 30, (0.98, 0.97, 0.92),
            tool="die grinder", marks=("sparks",), harm={"hub": 1.0, "shaft": 0.07},
            cautions=(CUTTING,), path=("hub",),
        ),
    ),
)  # fmt: skip

_SPLINE = Family(
    "splined-shaft",
    "splined shaft stuck in its mate",
    {"shaft": "the splined shaft", "mate": "the part around it", "bearing": "bearings in the path"},
    (0.45, 0.38, 0.17),
    (
        _prep(
            "penetrant", "penetrant, left to creep", 4, 480, marks=("penetrant",),
            cautions=(PENETRANT,),
            eases={"rock": (0.8,), "bar": (0.85,), "slide": (0.85,), "press": (0.9,)},
        ),
        _try(
            "rock", "rock it back and forth and draw by hand", 8, (0.35, 0.06, 0.01), repeats=2,
            path=("shaft", "mate"),
        ),
        _try(
            "bar", "pry evenly from both sides", 10, (0.50, 0.18, 0.02), tool="pry bars",
            harm={"mate": 0.06}, cautions=(LEVER,), path=("shaft", "mate"),
        ),
        _try(
            "slide", "slide hammer on the shaft end", 15, (0.70, 0.40, 0.10), tool="slide hammer",
            marks=("blow",), harm={"bearing": 0.30, "shaft": 0.03}, cautions=(FLYING,),
            path=("shaft", "bearing", "mate"),
        ),
        _prep(
            "heat", "warm the part around it", 15, tool="torch", marks=("flame", "heat"),
            harm={"mate": 0.04}, cautions=(HEAT,),
            eases={"bar": (0.6,), "slide": (0.5, 0.6, 0.8), "press": (0.5, 0.6, 0.8)},
        ),
        _try(
            "press", "press it out, the mate supported", 25, (0.92, 0.75, 0.35), tool="shop press",
            harm={"shaft": 0.06, "mate": 0.10}, cautions=(PRESSING,), path=("shaft", "mate"),
        ),
        _try(
            "cut", "cut the shaft and take it out with its mate", 25, (0.99, 0.98, 0.95),
            tool="cutting disc", marks=("sparks",), harm={"shaft": 1.0, "mate": 0.5},
            cautions=(CUTTING,), path=("shaft",),
        ),
    ),
)  # fmt: skip

_SCREW = Family(
    "screw",
    "steel screw in aluminium",
    {"screw": "the screw", "thread": "the thread in the casting",
     "housing": "the casting around it",
     "seals": "seals near it"},
    (0.60, 0.30, 0.10),
    (
        _prep("shock", "a sharp blow on the head, driver seated", 2, marks=("blow",),
              eases={"driver": (0.8,), "impact": (0.85,), "bar": (0.85,)}),
        _prep(
            "penetrant", "penetrant, left to creep", 3, 480, marks=("penetrant",),
            cautions=(PENETRANT,), eases={"bar": (0.85,), "impact": (0.85,)},
        ),
        _try(
            "bar", "good socket and a steady long bar", 4, (0.65, 0.20, 0.03), repeats=2,
            harm={"screw": 0.05}, breaks=0.06, cautions=(LEVER,), path=("screw", "thread"),
        ),
        _try(
            "driver", "hand impact driver", 5, (0.75, 0.35, 0.06), tool="hand impact driver",
            marks=("blow",), harm={"screw": 0.12}, breaks=0.04, cautions=(FLYING,),
            path=("screw", "thread"),
        ),
        _prep("tighten", "tighten a hair first", 1, harm={"screw": 0.02}, path=("screw", "thread"),
              eases={"bar": (0.85,), "impact": (0.9,)}),
        _prep(
            "heat", "warm the boss around it", 8, tool="hot-air gun", marks=("heat",),
            harm={"seals": 0.5, "housing": 0.005}, cautions=(HEAT,),
            eases={"bar": (0.5, 0.55, 0.8), "driver": (0.5, 0.55, 0.8), "impact": (0.5, 0.55, 0.8)},
        ),
        _try(
            "impact", "light impact gun, in short bursts", 4, (0.80, 0.50, 0.12), tool="impact gun",
            marks=("blow",), harm={"screw": 0.10}, breaks=0.08, cautions=(FLYING,),
            path=("screw", "thread"),
        ),
        _try(
            "drill-head", "drill the head off and take the part over the shank", 15,
            (0.95, 0.93, 0.90), tool="drill", marks=("sparks",),
            harm={"screw": 1.0, "thread": 0.05},
            cautions=(DRILLING,), path=("screw",),
        ),
    ),
)  # fmt: skip

_STUD = Family(
    "stud",
    "seized or broken-off stud",
    {"stud": "the stud", "thread": "the thread in the casting", "housing": "the casting around it"},
    (0.30, 0.45, 0.25),
    (
        _prep(
            "penetrant", "penetrant, left to creep", 3, 480, marks=("penetrant",),
            cautions=(PENETRANT,), eases={"nuts": (0.85,), "gripper": (0.85,), "weld": (0.9,)},
        ),
        _try(
            "nuts", "two nuts locked together, or a stud tool", 8, (0.55, 0.15, 0.02), repeats=2,
            harm={"stud": 0.10}, cautions=(LEVER,), path=("stud", "thread"),
        ),
        _prep(
            "heat", "warm the boss, cool, warm again", 15, tool="torch", marks=("flame", "heat"),
            harm={"housing": 0.01}, cautions=(HEAT,),
            eases={"nuts": (0.5, 0.55, 0.8), "gripper": (0.5, 0.55, 0.8), "weld": (0.7,)},
        ),
        _try(
            "gripper", "gripping pliers or a collet on the shank", 6, (0.60, 0.25, 0.04),
            harm={"stud": 0.6}, path=("stud", "thread"),
        ),
        _try(
            "weld", "weld a nut on and turn it out as it cools", 25, (0.85, 0.65, 0.35),
            tool="welder", marks=("flame", "sparks"), repeats=2,
            harm={"stud": 1.0, "housing": 0.02}, cautions=(HEAT, WELDING),
            path=("stud", "thread"),
        ),
        _try(
            "extractor", "drill and extractor", 25, (0.50, 0.30, 0.08), tool="extractor set",
            harm={"stud": 1.0, "thread": 0.10}, cautions=(DRILLING,), path=("stud", "thread"),
        ),
        _try(
            "drill", "drill it out on centre and fit a thread insert", 45, (0.97, 0.95, 0.93),
            tool="drill guide", harm={"stud": 1.0, "thread": 1.0, "housing": 0.04},
            cautions=(DRILLING,), path=("stud",),
        ),
    ),
)  # fmt: skip

FAMILIES: Mapping[str, Family] = {
    family.id: family
    for family in (_PRESS_FIT, _RING_NUT, _CARRIER, _TAPER, _SPLINE, _SCREW, _STUD)
}
