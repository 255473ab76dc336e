"""A small invented sheet with teeth and a thread to gauge, and jobs on it."""

from __future__ import annotations

from casewright.job import kinds
from casewright.job.kinds import Body
from casewright.job.measured import Measured, measured_on
from casewright.job.state import State
from tests.phases.cast import job

GEAR, PINION, SHAFT = "lower.gear", "lower.pinion", "lower.shaft"

PARTS = "".join(
    f"""
[[parts]]
key = "{key}"
name = "{key}"
kind = "{kind}"
[[positions]]
key = "lower.{key}"
name = "{key}"
part = "{key}"
unit = "lower"
"""
    for key, kind in (("pinion", "gear"), ("gear", "gear"), ("shaft", "shaft"), ("loose", "gear"))
)
SHEET = f"""
[sheet]
sheet_version = 1
key = "gauged-1"
name = "Gauged size 1 (invented)"
invented = true
[[units]]
key = "lower"
name = "lower gearcase"
{PARTS}
[[meshes]]
key = "mesh"
name = "mesh"
pinion = "{PINION}"
gear = "{GEAR}"
pinion_teeth = 16
gear_teeth = 40
[meshes.gear_data]
outer_pitch_diameter = "160 mm"
pressure_angle = "20 °"
spiral_angle = "0 °"
[[features]]
key = "chord"
name = "gear, chord of a tooth"
position = "{GEAR}"
kind = "tooth"
low = "5.80 mm"
high = "6.20 mm"
at_height = "4.05 mm"
source = "p. 1"
instrument = "gear-tooth calliper 0.02"
[[features]]
key = "no-height"
name = "pinion, chord of a tooth"
position = "{PINION}"
kind = "tooth"
low = "7.20 mm"
source = "p. 1"
instrument = "gear-tooth calliper 0.02"
directions = 3
[[features]]
key = "loose-chord"
name = "loose gear, chord of a tooth"
position = "lower.loose"
kind = "tooth"
low = "5.80 mm"
at_height = "4.05 mm"
source = "p. 1"
instrument = "gear-tooth calliper 0.02"
[[features]]
key = "thread"
name = "thread for the nut"
position = "{SHAFT}"
kind = "thread"
thread = "M24x2"
wire = "1.155 mm"
low = "22.493 mm"
high = "22.663 mm"
source = "p. 2"
instrument = "micrometer 0-25"
[[features]]
key = "seen"
name = "thread of the plug"
position = "{SHAFT}"
kind = "thread"
"""


def gauged(*bodies: Body) -> State:
    """A job of inspection alone: all lies on the bench."""
    return job(*bodies, sheet=SHEET, rooms=("inspect",))


def read(target: str, *values: str, **more: object) -> kinds.Reading:
    """A reading in millimetres."""
    return kinds.Reading(target=target, values=values, **({"unit": "mm"} | more))  # type: ignore[arg-type]


def found(state: State, target: str, position: str = GEAR) -> Measured:
    """What was found of a feature on the piece that came in."""
    item = measured_on(state, target, f"in:{position}")
    assert item is not None
    return item
