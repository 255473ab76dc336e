"""The tables of a sheet that set-up rests on: gauges, windows, adjusters, duties, bearing data."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from casewright.drive.measures import (
    Angle,
    AnyMeasure,
    Change,
    Force,
    Length,
    Offset,
    Power,
    Speed,
    Thrust,
    Torque,
)
from casewright.drive.schema_base import Item, Key, Keyed, Sign


class BearingData(Item):
    """What a bearing's maker prints of it: ratings, angle, sizes, for estimates only.

    Of a taper the cone's part carries it. `outside` is the outer diameter where it sits in the
    housing, `pitch_diameter` that of the rolling elements.
    """

    kind: Literal["ball", "taper", "cylindrical", "needle"]
    dynamic_rating: Force | None = None
    static_rating: Force | None = None
    contact_angle: Angle | None = None
    thrust_factor: float | None = Field(None, gt=0, description="Y of a taper, else from its angle")
    outside: Length | None = None
    pitch_diameter: Length | None = None
    rollers: int | None = Field(None, ge=3)
    roller_length: Length | None = None
    source: str = ""


class Duty(Item):
    """A load for estimates: torque or power of a mesh's pinion shaft at a speed, and its way round.

    `turns` is the pinion's, seen from its heel towards the crossing of the axes: spiral teeth need
    it. `thrust` pushes the gear's shaft along itself, + towards 100 of `along` (a propeller's).
    """

    mesh: Key
    speed: Speed | None = None
    torque: Torque | None = None
    power: Power | None = None
    turns: Literal["", "clockwise", "counter-clockwise"] = ""
    thrust: Thrust | None = None
    source: str = ""


class Lever(Item):
    """Where the lash indicator stands: radius on a shaft of the mesh."""

    radius: Length
    on: Literal["pinion shaft", "gear shaft"] = "pinion shaft"


class Gauge(Item):
    """How a response is read: the kind of gauge, its constant, its doubt.

    What is counted is what the gauge shows + `constant`, and + or − the number etched on the piece
    (`etched` names its line in `dry_readings`) as `etched_sign` says.
    """

    kind: Literal[
        "feeler-under-block", "depth-from-datum", "dial-on-dummy-shaft", "bar-over-cup", "none",
        "indicator-on-lever", "push-pull", "turning-torque", "depth-gauge",
    ]  # fmt: skip
    constant: Offset | None = None
    etched: Key | None = None
    etched_sign: Sign | None = Field(
        None, description="+1: the etched number is added to what the gauge shows; -1: taken off"
    )
    doubt: AnyMeasure | None = None
    resolution: AnyMeasure | None = None
    how: str = ""


class Window(Item):
    """A window as the manual prints it, with its conditions; converted beside, never rewritten."""

    low: AnyMeasure | None = None
    high: AnyMeasure | None = None
    counts: Literal["mean", "every reading"] = "mean"
    bearings: Literal["any", "new", "used"] = "any"
    seals: Literal["any", "in", "out"] = "any"
    source: str = ""


class Response(Keyed):
    """What set-up must bring into its window: pinion height, lash, end play, preload."""

    kind: Literal["pinion-height", "lash", "end-play", "preload", "turning-torque"]
    mesh: Key | None = None
    shaft: Key | None = None
    windows: tuple[Window, ...] = ()
    gauge: Gauge | None = None
    lever: Lever | None = None
    conditions: tuple[str, ...] = ()
    positions: int = Field(3, ge=1)
    minutes: float = Field(10.0, gt=0)
    as_found_before: tuple[Key, ...] = ()


class Effect(Item):
    """What one adjuster does to one response, per 1 mm more, with its doubt and source."""

    response: Key
    per_mm: Change
    doubt: AnyMeasure | None = None
    source: str = ""


# Adjusters that a pack or one piece sets; the others are turned.
PACKED = ("shim-pack", "selective-spacer")


class Adjuster(Keyed):
    """A shim pack, selective spacer, crush sleeve, nut or threaded ring, and the side it sits on.

    `thicker_moves` tells the direction of the member that it moves when the pack grows (or the nut
    is turned in): away from or towards the mesh; `thicker_makes` what it does to the shaft's play.
    """

    kind: Literal["shim-pack", "selective-spacer", "crush-sleeve", "torque-nut", "threaded-ring"]
    position: Key
    moves: Key
    sits: str
    thicker_moves: Literal["away from the mesh", "towards the mesh", "not at all"]
    thicker_makes: Literal["tighter", "looser", "no change"] = "no change"
    shaft: Key | None = None
    sizes: tuple[Length, ...] = ()
    size_doubt: Length | None = None
    most_shims: int = Field(6, ge=1)
    least: Length | None = None
    most: Length | None = None
    effects: tuple[Effect, ...] = ()
    deviation: Length | None = None
    etched: str = ""
    pitch: Length | None = Field(None, description="how far one turn moves a nut or ring")
    notches: int = Field(0, ge=0, description="locking places in one turn")


class SetupStep(Item):
    """One step of the set-up order: what is done, what is read, what may be changed."""

    does: str
    reads: tuple[Key, ...] = ()
    adjusts: tuple[Key, ...] = ()
    conditions: tuple[str, ...] = ()
    minutes: float = Field(30.0, gt=0)


class DryReading(Keyed):
    """A dimension that old and new part share: read both before the first assembly.

    `etched`: the maker etched its deviation on the part. Then old and new each say something alone,
    and a number without a unit counts so many times `step`.
    """

    position: Key
    adjuster: Key
    sign: Sign = Field(description="+1: one more here calls for that much more pack")
    minutes: float = Field(5.0, gt=0)
    doubt: Length | None = None
    etched: bool = False
    step: Length | None = None


class PullSpec(Item):
    """The pull with which a member is held while a response is read."""

    response: Key
    force: Force
    how: str = ""
