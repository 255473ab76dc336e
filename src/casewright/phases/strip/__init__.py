"""Strip-down: the next step, the list, fasteners counted, locks, stuck joints, packs by seat."""

from casewright.phases.strip.steps import StepLine
from casewright.phases.strip.stuck import PieceLine, StuckView
from casewright.phases.strip.view import (
    CountLine,
    DoneLine,
    Node,
    PackLine,
    ReadingLine,
    StripView,
    view,
)

__all__ = [
    "CountLine",
    "DoneLine",
    "Node",
    "PackLine",
    "PieceLine",
    "ReadingLine",
    "StepLine",
    "StripView",
    "StuckView",
    "view",
]
