"""Hand-over: the final build checked, signed off, and told to owner and next technician."""

from casewright.job.gaps import Gap, gaps
from casewright.phases.handover.view import HandoverView, PackLine, Replaced, view

__all__ = ["Gap", "HandoverView", "PackLine", "Replaced", "gaps", "view"]
