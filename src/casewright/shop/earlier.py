"""Readings of an earlier job on the same leg, brought into this one from the shop's own logs."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST

from casewright.errors import CasewrightError, MissingError
from casewright.job.earlier import earlier_readings
from casewright.shop import desk, pages


@require_POST
def bring_earlier(request: HttpRequest, job: str) -> HttpResponse:
    """Append an earlier job's last readings; what was brought already isn't brought twice."""
    opened = pages._opened(job)
    back = reverse("room", args=[job, "inspect"])
    try:
        name, who = request.POST.get("from", ""), request.POST.get("by") or desk.who(request)
        theirs = desk.open_job(name).state
        found = earlier_readings(opened.state, theirs, name, who)
        if not found.readings:
            raise MissingError(
                "readings", f"a feature of this leg that {name} read on what went out with it"
            )
        here = {one.entry.id for one in opened.log.entries}
        for entry in found.entries:
            if entry.id not in here:
                desk.take(job, entry)
    except CasewrightError as error:
        context = pages.around(request, {"problem": str(error), "back": back})
        return render(request, "problem.html", context, status=422)
    return HttpResponseRedirect(back)
