"""Inspection: what can be used again, by readings, by eye and by the sheet's rules."""

from casewright.phases.inspect.damages import DamageLine
from casewright.phases.inspect.life import Life
from casewright.phases.inspect.oddities import Oddity
from casewright.phases.inspect.tools import ToolLine
from casewright.phases.inspect.used import PairDuty, UsedBearing, UsedGear
from casewright.phases.inspect.view import FeatureLine, InspectView, LaterPiece, PieceLine, view

__all__ = [
    "DamageLine",
    "FeatureLine",
    "InspectView",
    "LaterPiece",
    "Life",
    "Oddity",
    "PairDuty",
    "PieceLine",
    "ToolLine",
    "UsedBearing",
    "UsedGear",
    "view",
]
