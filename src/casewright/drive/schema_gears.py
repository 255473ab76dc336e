"""The sheet's words for teeth: what is printed of them, and what trials taught of patterns."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from casewright.drive.measures import Angle, Length
from casewright.drive.schema_base import Item


class GearData(Item):
    """Tooth data, where known; manuals seldom print it."""

    pressure_angle: Angle | None = None
    spiral_angle: Angle | None = None
    hand: Literal["", "right", "left"] = ""
    face_width: Length | None = None
    outer_pitch_diameter: Length | None = Field(
        default=None,
        description="of the gear (the larger member), at the heel: module times its teeth",
    )


class PatternMove(Item):
    """How the middle of the pattern on the gear goes for 1 mm of one member, out from the apex.

    In shares of the tooth, + to the heel and to the top, as measured on legs of this family by
    trials with known moves; `doubt` is one standard deviation. Never from a drawing.
    """

    member: Literal["pinion", "gear"]
    drive_along: float
    drive_up: float
    coast_along: float
    coast_up: float
    doubt: float = Field(gt=0)
    trials: int = Field(ge=3)
    source: str = ""
