"""Take-in: complaint, hours, what was seen before touching, as-received readings."""

from casewright.phases.takein.view import LookLine, ReadingLine, TakeinView, view

__all__ = ["LookLine", "ReadingLine", "TakeinView", "view"]
