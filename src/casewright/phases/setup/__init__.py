"""Set-up: sign walk, first guess, trials, packs to fit, when to stop, the final readings."""

from casewright.job.bearing_loads import Carried, LoadLine
from casewright.phases.setup.advice import Plan, RateNow
from casewright.phases.setup.bearings import HeatLine, LifeLine
from casewright.phases.setup.dry import DryLine
from casewright.phases.setup.pattern import (
    Computed,
    Gallery,
    Look,
    PatternLine,
    heel_setting,
)
from casewright.phases.setup.seen import SeenFlank
from casewright.phases.setup.signs import SignLine, Walk
from casewright.phases.setup.trials import Taken
from casewright.phases.setup.turned import (
    SideEffect,
    TurnedLine,
    first_to_turn,
    side_effects,
)
from casewright.phases.setup.view import PackStep, ResponseLine, SeatLine, SetupView, view

__all__ = [
    "Carried", "Computed", "DryLine", "Gallery", "HeatLine", "LifeLine", "LoadLine", "Look",
    "PackStep", "PatternLine", "Plan", "RateNow", "ResponseLine", "SeatLine", "SeenFlank",
    "SetupView", "SideEffect", "SignLine", "Taken", "TurnedLine", "Walk", "first_to_turn",
    "heel_setting", "side_effects", "view",
]  # fmt: skip
