"""The sheet's vocabulary, version 1. Strict: an unknown key is a mistake, not a comment.

Everything a leg is made of has a key that never changes; words beside it may. A limit that the
manual doesn't give is left out: "not in the sheet" is an answer, a guess isn't.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from casewright.drive.measures import (
    Angle,
    AnyMeasure,
    Force,
    Length,
    Mass,
    Offset,
    Places,
    Pressure,
    Resistance,
    Temperature,
    Time,
    Torque,
    Volume,
)
from casewright.drive.schema_base import Chance, Item, Key, Keyed
from casewright.drive.schema_gears import GearData, PatternMove
from casewright.drive.schema_setup import (
    PACKED,
    Adjuster,
    BearingData,
    DryReading,
    Duty,
    Effect,
    Gauge,
    Lever,
    PullSpec,
    Response,
    SetupStep,
    Window,
)

SHEET_VERSION = 1


class Head(Item):
    """What the sheet is of, who wrote it and from what."""

    sheet_version: int
    key: Key
    name: str
    family: Literal["twin-gear leg", "single-gear box", "leg under a hull", "other"] = "other"
    invented: bool = False
    lengths_in: Literal["mm", "in"] = "mm"
    torques_in: Literal["N·m", "ft·lb", "in·lb"] = "N·m"
    pressures_in: Literal["kPa", "bar", "psi"] = "kPa"
    written_by: str = ""
    manual: str = ""
    notes: str = ""


class LegUnit(Keyed):
    """A unit of the leg: lower, intermediate, upper housing, mounting side."""

    mass: Mass | None = None
    people_to_lift: int = 1


class Part(Keyed):
    """A kind of part; several positions may hold one kind."""

    kind: Literal[
        "housing", "gear", "shaft", "clutch", "bearing", "cup", "cone", "needle-bearing", "seal",
        "o-ring", "gasket", "shim-pack", "spacer", "nut", "ring", "washer", "carrier", "fastener",
        "anode", "pump", "pin", "bush", "propeller", "other",
    ]  # fmt: skip
    material: Literal[
        "steel", "stainless", "aluminium", "bronze", "brass", "cast-iron", "rubber", "other"
    ] = "steel"
    one_time: bool = False
    one_time_when: str = ""
    consequence: Literal["safety", "breakdown", "nuisance"] = "breakdown"
    condemn_chance: Chance | None = None
    price: str = ""
    part_number: str = ""
    returnable: bool = True
    seal_kind: Literal["", "NBR", "HNBR", "ACM", "FKM", "VMQ"] = ""
    reworks: tuple[Literal["sleeve", "fresh-track", "thread-insert", "weld", "skim"], ...] = ()
    mass: Mass | None = None
    bearing: BearingData | None = None


class Position(Keyed):
    """A place in the leg that holds a piece of a part; where it is drawn on the schematic."""

    part: Key
    unit: Key
    quantity: int = Field(1, ge=1)
    on: Key | None = None
    along: float | None = Field(None, description="place along its shaft, 0 to 100")
    faces: Literal["", "in", "out"] = ""
    from_crossing: Offset | None = Field(
        None,
        description="load centre of a bearing, or the gear's teeth, from the crossing of the axes; "
        "+ towards 100 of `along`",
    )


class MatchedSet(Keyed):
    """Positions whose pieces stay together or go together."""

    positions: tuple[Key, ...] = Field(min_length=2)


class HiddenPlace(Item):
    """A fastener that is easily forgotten, and where to look for it."""

    place: int = Field(ge=1)
    look: str


class Fasteners(Item):
    """The fasteners of a joint: size, count, class, hand, way to turn, locking."""

    count: int = Field(ge=1)
    thread: str
    head: str = ""
    property_class: str = ""
    hand: Literal["right", "left"] = "right"
    turns_out: Literal["anticlockwise", "clockwise"] = "anticlockwise"
    into: Literal["aluminium", "steel", "stainless", "bronze", "cast-iron", ""] = ""
    engagement: Length | None = None
    torque_steps: tuple[Torque, ...] = ()
    torque_tolerance: Annotated[float, Field(gt=0, lt=1)] | None = None
    order: tuple[int, ...] = ()
    lubricated: Literal["", "dry", "oiled", "compound"] = ""
    locking: str = ""
    one_time: bool = False
    hidden: tuple[HiddenPlace, ...] = ()
    from_sides: tuple[str, ...] = ()


class Fit(Item):
    """A press fit: joint diameter and length, sizes of hub and bore, letters or limits."""

    diameter: Length
    length: Length | None = None
    hub_outside: Length | None = None
    inner_bore: Length | None = None
    hole: str = ""
    shaft: str = ""
    interference_low: Length | None = None
    interference_high: Length | None = None
    hub_material: str = "aluminium"
    shaft_material: str = "steel"


class Joint(Keyed):
    """What holds positions together and how it opens and closes."""

    kind: Literal[
        "fasteners", "press-fit", "carrier", "ring-nut", "retaining-ring", "locking-tab", "taper",
        "spline", "adhesive", "lift-off", "drain", "other",
    ]  # fmt: skip
    holds: tuple[Key, ...] = Field(min_length=1)
    fasteners: Fasteners | None = None
    fit: Fit | None = None
    tool: str = "hand"
    posture: Literal["upright", "on its side", "upside down", "bench", "hung"] = "upright"
    minutes: float = Field(5.0, gt=0)
    people: int = Field(1, ge=1)
    separation: bool = False
    ladder: str = ""
    seizure: dict[str, float] = Field(default_factory=dict)
    at_risk: dict[str, tuple[Key, ...]] = Field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    how: str = ""


class Block(Item):
    """A joint that can be opened only when others are: all of `after`, one way of `after_any`."""

    joint: Key
    after: tuple[Key, ...] = ()
    after_any: tuple[tuple[Key, ...], ...] = ()
    because: str = ""


class Shaft(Keyed):
    """A shaft, its axis on the schematic, its bearings and which way the thrust goes."""

    unit: Key
    axis: Literal["vertical", "horizontal"] = "vertical"
    bearings: tuple[Key, ...] = ()
    arrangement: Literal["", "face-to-face", "back-to-back", "single", "needle"] = ""
    thrust: str = ""
    span: Length | None = None
    cold_preload_low: Force | None = None
    cold_preload_high: Force | None = None


class Mesh(Keyed):
    """A pinion and a gear that run together; which way the leg then drives."""

    pinion: Key
    gear: Key
    pinion_teeth: int = Field(ge=5)
    gear_teeth: int = Field(ge=5)
    shaft_angle: Angle | None = None
    drives: Literal["ahead", "astern", "both", "only"] = "only"
    gear_data: GearData = GearData()
    pattern_moves: tuple[PatternMove, ...] = ()


class Feature(Keyed):
    """Something to measure or look at on a position, with the limit as printed."""

    position: Key
    kind: Literal[
        "diameter", "bore", "run-out", "ovality", "flatness", "squareness", "wear", "thickness",
        "length", "thread", "tooth", "look", "twist", "hardness",
    ]  # fmt: skip
    low: AnyMeasure | None = None
    high: AnyMeasure | None = None
    consequence: Literal["safety", "breakdown", "nuisance", ""] = ""
    instrument: str = ""
    directions: int = Field(1, ge=1)
    heights: int = Field(1, ge=1)
    along: Places = Field((), description="run-out at places along a shaft: '20, 150, 300 mm'")
    supports: Places = Field((), max_length=2, description="where it lies, from the same end")
    held: Literal["", "v-blocks", "centres"] = ""
    at_height: Length | None = Field(
        None, description="of a tooth: below the tip, where the printed chord holds"
    )
    thread: str = Field("", description="of a thread: its designation, like M24x2 or 1-8 UN")
    wire: Length | None = Field(
        None, description="of a thread: the wires over which its pitch diameter is measured"
    )
    minutes: float = Field(3.0, gt=0)
    look_for: str = ""


class CircuitTest(Item):
    """One hold of a sealing test as the manual prints it."""

    name: Literal["low", "full", "vacuum"]
    pressure: Pressure
    hold: Time
    drop: Pressure | None = None


class Circuit(Keyed):
    """A closed space and the seals that bound it; a sealing test belongs to a circuit."""

    medium: Literal["oil", "water", "exhaust", "air", "hydraulic"]
    seals: tuple[Key, ...] = ()
    volume: Volume | None = None
    ceiling: Pressure | None = None
    tests: tuple[CircuitTest, ...] = ()


class Linkage(Keyed):
    """A shift or trim linkage and how it is adjusted."""

    positions: tuple[Key, ...] = ()
    adjustment: str = ""


class FunctionalTest(Keyed):
    """Something the finished leg must do, and the plain limit if there is one."""

    how: str
    expect: str
    low: AnyMeasure | None = None
    high: AnyMeasure | None = None


class Anode(Keyed):
    """A sacrificial anode, the alloy it protects and the bond to be proved."""

    position: Key
    alloy: Literal["zinc", "aluminium", "magnesium"] = "aluminium"
    bond_most: Resistance | None = None
    mass: Mass | None = None


class Oil(Item):
    """Gear oil: grade, capacity, and the order of fill and vent."""

    grade: str = ""
    capacity: Volume | None = None
    fill: str = ""
    vent: str = ""
    rest: Time | None = None
    source: str = ""


class HeatCeiling(Item):
    """A temperature that a unit must not pass when it is warmed, as the manual gives it."""

    unit: Key
    most: Temperature
    source: str = ""


class Caution(Item):
    """A caution and where it comes up: a joint, a circuit, a room or everywhere."""

    where: str
    text: str


class DriveSheet(Item):
    """A whole sheet. Lists may be empty; a half-filled sheet works and says what each gap costs."""

    sheet: Head
    units: tuple[LegUnit, ...] = ()
    parts: tuple[Part, ...] = ()
    positions: tuple[Position, ...] = ()
    matched_sets: tuple[MatchedSet, ...] = ()
    joints: tuple[Joint, ...] = ()
    blocks: tuple[Block, ...] = ()
    shafts: tuple[Shaft, ...] = ()
    meshes: tuple[Mesh, ...] = ()
    duties: tuple[Duty, ...] = ()
    adjusters: tuple[Adjuster, ...] = ()
    responses: tuple[Response, ...] = ()
    setup: tuple[SetupStep, ...] = ()
    pulls: tuple[PullSpec, ...] = ()
    dry_readings: tuple[DryReading, ...] = ()
    features: tuple[Feature, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    linkages: tuple[Linkage, ...] = ()
    functional_tests: tuple[FunctionalTest, ...] = ()
    anodes: tuple[Anode, ...] = ()
    oil: Oil = Oil()
    heat_ceilings: tuple[HeatCeiling, ...] = ()
    cautions: tuple[Caution, ...] = ()


__all__ = [
    "PACKED", "Adjuster", "Anode", "BearingData", "Block", "Caution", "Chance", "Circuit",
    "CircuitTest", "DriveSheet", "DryReading", "Duty", "Effect", "Fasteners", "Feature",
    "Fit", "FunctionalTest", "Gauge", "GearData", "Head", "HeatCeiling", "HiddenPlace",
    "Item", "Joint", "Key", "Keyed", "LegUnit", "Lever", "Linkage", "MatchedSet", "Mesh",
    "Oil", "Part", "Position", "PullSpec", "Response", "SetupStep", "Shaft", "Window",
]  # fmt: skip
