"""The page of bench sums: usable without a job; kept with one where somebody went by the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST

from casewright.book.html import Page
from casewright.errors import CasewrightError, InputError
from casewright.job.entry import Entry
from casewright.shop import desk, pages
from casewright.shop.models import Job
from casewright.sums import GROUPS, SUMS, Sum, Worked, sum_named, work_out
from casewright.voice.quantities import Style
from casewright.voice.rooms import style_for
from casewright.voice.say_sums import answer_document, fields, snapshot

# What the page's address carries beside the sum's own fields.
OURS = ("job", "kept", "id", "who", "csrfmiddlewaretoken")


@require_GET
def index(request: HttpRequest) -> HttpResponse:
    """All sums by group."""
    return render(request, "sums.html", pages.around(request, _list(request)))


@require_GET
def one(request: HttpRequest, key: str) -> HttpResponse:
    """One sum: its form, and its answer where something was typed."""
    found, given = _named(key), _typed(request.GET)
    style = _style(request)
    worked, error = _worked(found, given, style) if given else (None, None)
    return _render(request, found, given, worked, error, style)


@require_POST
def keep(request: HttpRequest, key: str) -> HttpResponse:
    """Keep the answer with a job, as a snapshot; sent twice it is one entry."""
    found, given, style = _named(key), _typed(request.POST), _style(request)
    worked, error = _worked(found, given, style)
    if worked is None:
        return _render(request, found, given, None, error, style)
    job = request.POST.get("job", "")
    try:
        if job not in desk.store().jobs():
            raise InputError("job", job, "one of the open jobs")
        entry = Entry(
            id=request.POST.get("id") or desk.new_id(),
            kind="calculation",
            body=snapshot(worked, style),
            who=desk.who(request) or request.POST.get("who", ""),
            happened_at=desk.now(),
        )
        desk.take(job, entry)
    except CasewrightError as wrong:
        return _render(request, found, given, worked, wrong, style)
    if request.POST.get("who"):
        request.session["who"] = request.POST["who"].strip()[:80]
    back = urlencode({**given, "job": job, "kept": "yes"}, doseq=True)
    return HttpResponseRedirect(f"{reverse('sum', args=[key])}?{back}")


def _named(key: str) -> Sum:
    if key not in SUMS:
        raise Http404(f"There is no bench sum {key!r}.")
    return sum_named(key)


def _typed(posted: Any) -> dict[str, list[str]]:
    return {name: list(values) for name, values in posted.lists() if name not in OURS}


def _style(request: HttpRequest) -> Style:
    """The person's units; the job's sheet's where the page was opened from a job."""
    likes = desk.settings_for(request)
    job = request.POST.get("job") or request.GET.get("job", "")
    if job and job in desk.store().jobs():
        return style_for(desk.open_job(job).state, likes)
    return Style(likes.units)


def _worked(
    found: Sum, given: Mapping[str, Sequence[str]], style: Style
) -> tuple[Worked | None, CasewrightError | None]:
    try:
        return work_out(found.key, given, style.units), None
    except CasewrightError as error:
        return None, error


def _list(request: HttpRequest) -> dict[str, Any]:
    grouped = [(name, [s for s in SUMS.values() if s.group == name]) for name in GROUPS]
    job = request.GET.get("job", "")
    return {"groups": grouped, "job": job if job in desk.store().jobs() else ""}


def _render(
    request: HttpRequest,
    found: Sum,
    given: Mapping[str, Sequence[str]],
    worked: Worked | None,
    error: CasewrightError | None,
    style: Style,
) -> HttpResponse:
    shown = {ask.name for ask in found.asks if ask.shown}
    errors = {
        name: _beside(name, text)
        for name, text in (desk.errors_by_field(error) if error else {}).items()
    }
    every = fields(found, style)
    context = {
        **_list(request),
        "sum": found,
        "front": [field for field in every if field.name in shown],
        "behind": [field for field in every if field.name not in shown],
        "typed": given,
        "errors": errors,
        "trouble": str(error) if error and not set(errors) & {f.name for f in every} else "",
        "open": any(given.get(f.name, [""])[0] or f.name in errors
                    for f in every if f.name not in shown),
        "document": answer_document(worked, style) if worked else None,
        "page": Page(room="sums"),
        "jobs": [(job.key, job.title or job.key) for job in Job.objects.all()[:50]],
        "job": request.POST.get("job") or request.GET.get("job", ""),
        "kept": request.GET.get("kept", ""),
        "new_id": desk.new_id(),
    }  # fmt: skip
    status = 422 if error else 200
    return render(request, "sum.html", pages.around(request, context), status=status)


def _beside(name: str, text: str) -> str:
    """A message that stands beside its field needs not name it."""
    said = text.removeprefix(f"{name}: ")
    return said[:1].upper() + said[1:]
