"""Bodies of building and proving: pieces, packs, torques, tests, oil, signature."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from casewright.job.bodies_base import (
    Body,
    Needed,
    Occasion,
    Reason,
    Short,
    Slot,
    Words,
)


class PieceKnown(Body):
    """A physical thing enters the job: a new cup, a donor gear, the bare housing."""

    KIND = "piece-known"
    piece: Needed
    position: Short = ""
    part: Short = ""
    origin: Literal["came in", "new", "donor", "exchange", "made", "reworked", "shelf"]
    marks: Short = ""
    was: Short = ""
    part_number: Short = ""
    words: Words = ""


class PiecePlaced(Body):
    """A piece is fitted into a position on an occasion; what was there before is out.

    A piece that the job doesn't know yet becomes known with it: `origin`, `marks` and number.
    """

    KIND = "piece-placed"
    piece: Needed
    position: Needed
    occasion: Occasion
    origin: Literal["", "new", "donor", "exchange", "made", "reworked", "shelf"] = ""
    marks: Short = ""
    part_number: Short = ""

    def slots(self) -> tuple[Slot, ...]:
        """One piece in a position on an occasion."""
        return (("placed", self.position, self.occasion),)


class PackFitted(Body):
    """The shims (or the setting) at an adjuster on an occasion; as-found is what came out.

    `gone_by` is the advice that was followed, as a plain snapshot; empty where none was.
    """

    KIND = "pack-fitted"
    adjuster: Needed
    occasion: Occasion
    shims: tuple[Needed, ...] = ()
    setting: Short = ""
    measured: bool = False
    words: Words = ""
    gone_by: dict[str, Any] = Field(default_factory=dict)

    def slots(self) -> tuple[Slot, ...]:
        """One pack an adjuster and occasion."""
        return (("pack", self.adjuster, self.occasion),)

    def as_answered(self) -> PackFitted:
        """The shims alone: two who fitted the same by different pages did the same."""
        return self.model_copy(update={"gone_by": {}})


class ShelfLine(BaseModel):
    """One size on the shelf: nominal as marked, how many, and what it really measures."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    size: Needed
    count: Annotated[int, Field(ge=0)]
    measured: Short = ""


class ShelfCounted(Body):
    """What lies on the shim shelf now; packs fitted later are taken off by the fold."""

    KIND = "shelf-counted"
    lines: tuple[ShelfLine, ...]

    def slots(self) -> tuple[Slot, ...]:
        """One count at a time."""
        return (("shelf",),)


class SignConfirmed(Body):
    """A person has confirmed, once, what more of an adjuster does; packs are advised from then."""

    KIND = "sign-confirmed"
    adjuster: Needed
    says: Words
    agreed: bool = True

    def slots(self) -> tuple[Slot, ...]:
        """One confirmation an adjuster."""
        return (("sign", self.adjuster),)


ToothCell = Annotated[str, StringConstraints(strip_whitespace=True, pattern=r"^\d{1,2}-\d{1,2}$")]


class PatternSeen(Body):
    """A contact pattern as marked on the gear, drive and coast flank: wiped cells, or the middle.

    A cell is "along-up", counted from 1 at toe and root on a tooth of `grid` cells; the middle is
    in per cent from toe to heel and from root to top. A flank is tapped or typed, not both.
    """

    KIND = "pattern-seen"
    mesh: Needed
    occasion: Occasion
    drive_along: Annotated[float, Field(ge=0, le=100)] | None = None
    drive_up: Annotated[float, Field(ge=0, le=100)] | None = None
    coast_along: Annotated[float, Field(ge=0, le=100)] | None = None
    coast_up: Annotated[float, Field(ge=0, le=100)] | None = None
    grid: Annotated[str, StringConstraints(pattern=r"^[1-9]\d?x[1-9]\d?$")] = "6x4"
    drive_cells: tuple[ToothCell, ...] = ()
    coast_cells: tuple[ToothCell, ...] = ()
    words: Words = ""


class Torqued(Body):
    """A torque step done: joint, step number, the value read, the tool and adapter used."""

    KIND = "torque"
    joint: Needed
    step: Annotated[int, Field(ge=1)] = 1
    places: tuple[int, ...] = ()
    value: Needed
    unit: Short = ""
    tool: Short = ""
    tool_most: Short = ""
    wrench_length: Short = ""
    adapter_length: Short = ""
    adapter_angle: Short = ""
    lubricated: Literal["", "dry", "oiled", "compound"] = ""
    locked_by: Short = ""
    occasion: Occasion = "final"

    def slots(self) -> tuple[Slot, ...]:
        """One value a joint, step, places and occasion."""
        places = ",".join(str(place) for place in self.places)
        return (("torque", self.joint, str(self.step), places, self.occasion),)


class LeakLogged(Body):
    """A sealing test's log as pasted or streamed, with what its pressure is relative to."""

    KIND = "leak-log"
    circuit: Needed
    test: Literal["low", "full", "vacuum"]
    occasion: Occasion = "final"
    relative_to: Literal["gauge", "absolute"]
    text: str
    pressure_unit: Short = "kPa"
    temperature_unit: Short = "°C"
    resolution: Short = ""
    volume: Short = ""
    without_temperature: bool = False
    words: Words = ""


class OilFilled(Body):
    """Oil went in: how much, of what, and the steps of the level procedure that were kept."""

    KIND = "oil-filled"
    volume: Needed
    unit: Short = ""
    grade: Short = ""
    upper_plug_first: bool = False
    rested: Short = ""
    level_checked: bool = False
    words: Words = ""

    def slots(self) -> tuple[Slot, ...]:
        """One fill."""
        return (("oil",),)


class OilRead(Body):
    """What the oil shows: water, particles, viscosity, metals, appearance."""

    KIND = "oil-read"
    occasion: Occasion
    water: Short = ""
    particles: Short = ""
    viscosity: Short = ""
    metals: dict[str, str] = Field(default_factory=dict)
    appearance: Short = ""
    hours: Short = ""
    words: Words = ""


class AnodeRead(Body):
    """An anode: potential against a reference electrode, bond, paint, how much is left."""

    KIND = "anode-read"
    anode: Needed
    occasion: Occasion = "final"
    potential: Short = ""
    electrode: Short = ""
    bond: Short = ""
    painted: bool = False
    left: Short = ""
    words: Words = ""


class FunctionTested(Body):
    """A functional test of the sheet: passed or not, with its value if it has one."""

    KIND = "function-tested"
    test: Needed
    passed: bool
    value: Short = ""
    words: Words = ""

    def slots(self) -> tuple[Slot, ...]:
        """One result a test."""
        return (("function", self.test),)


class NamedException(BaseModel):
    """A named and reasoned exception at sign-off."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    item: Needed
    reason: Reason


class SignedOff(Body):
    """The build is signed off by a person, with every exception named and reasoned."""

    KIND = "signed-off"
    signed_by: Needed
    exceptions: tuple[NamedException, ...] = ()
    words: Words = ""

    def slots(self) -> tuple[Slot, ...]:
        """One signature."""
        return (("signed",),)
