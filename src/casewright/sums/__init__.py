"""Bench sums: a dozen small calculations usable without a job, declared once for every face.

    from casewright.sums import work_out
    work_out("press-fit", {"shaft": "40.051 mm", "bore": "40.018 mm", "length": "20 mm"}).answer

Each function behind a sum (`fits.press_fit`, `heat.heat_bore`, ...) takes SI values by name.
"""

from casewright.sums.answer import Answer, Levers, Line, Scale, Told, Zones
from casewright.sums.form import Given, Sum, Worked, signs, unit_for
from casewright.sums.registry import GROUPS, SUMS, sum_named, work_out

__all__ = [
    "GROUPS", "SUMS", "Answer", "Given", "Levers", "Line", "Scale", "Sum", "Told", "Worked",
    "Zones", "signs", "sum_named", "unit_for", "work_out",
]  # fmt: skip
