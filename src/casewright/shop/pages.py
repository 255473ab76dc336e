"""The pages: home, a job at a glance, its rooms, its log. Each is a pure function of the state."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.views import LoginView
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from markupsafe import Markup, escape

from casewright.book.html import Page, Trouble, Troubles
from casewright.errors import CasewrightError, LogError
from casewright.job.kinds import ROOMS, Photographed
from casewright.job.state import Kept
from casewright.shop import desk, library
from casewright.shop.models import Job, Owner
from casewright.units import DIMENSIONS
from casewright.voice.document import Fold, Link
from casewright.voice.glance import glance
from casewright.voice.logbook import logbook
from casewright.voice.rooms import TITLES, document
from casewright.voice.say_photos import ask_explained, is_open

UNIT_CHOICES = ("length", "torque", "pressure", "temperature", "volume")


class Login(LoginView):
    """Sign in, where the shop is reached over its network."""

    template_name = "login.html"

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        """The frame of every page around the form."""
        return around(self.request, super().get_context_data(**given))


@require_GET
def home(request: HttpRequest) -> HttpResponse:
    """Every job, latest touched first, and the way to open one."""
    jobs = [(job, _next_thing(job.key)) for job in Job.objects.all()[:200]]
    context = {"jobs": jobs, "sheets": library.names(), "typed": {}, "errors": {}}
    return render(request, "home.html", around(request, context))


def _next_thing(job: str) -> str:
    try:
        opened = desk.open_job(job)
        return glance(opened.state, desk.settings_for()).next_words
    except CasewrightError as error:
        return str(error)


@require_POST
def open_job(request: HttpRequest) -> HttpResponse:
    """Open a job from a sheet: two entries, and the owner's contact outside the log."""
    typed = {name: request.POST.get(name, "") for name in request.POST}
    try:
        job = library.open_from_form(typed, desk.who(request) or typed.get("who", ""))
    except CasewrightError as error:
        context = {
            "jobs": [(one, "") for one in Job.objects.all()[:200]],
            "sheets": library.names(),
            "typed": typed,
            "errors": desk.errors_by_field(error) or {"title": str(error)},
        }
        return render(request, "home.html", around(request, context), status=422)
    if typed.get("who"):
        request.session["who"] = typed["who"]
    return HttpResponseRedirect(reverse("job", args=[job]))


@require_http_methods(["GET", "POST"])
def you(request: HttpRequest) -> HttpResponse:
    """Who is at this bench and which units they like, kept for this browser."""
    if request.method == "POST":
        request.session["who"] = request.POST.get("who", "").strip()[:80]
        chosen = {name: request.POST.get(name, "") for name in UNIT_CHOICES}
        request.session["units"] = {
            name: sign for name, sign in chosen.items() if sign in DIMENSIONS[name].signs
        }
        return HttpResponseRedirect(request.POST.get("back") or reverse("home"))
    units = [(name, DIMENSIONS[name].signs) for name in UNIT_CHOICES]
    likes = request.session.get("units", {})
    return render(request, "you.html", around(request, {"units": units, "likes": likes}))


@require_GET
def overview(request: HttpRequest, job: str) -> HttpResponse:
    """The job at a glance: the next thing, and how far each room is."""
    opened = _opened(job)
    seen = glance(opened.state, desk.settings_for(request, opened))
    page = _page(request, opened, "")
    context = {"opened": opened, "glance": seen, "page": page, "document": seen.document}
    return render(request, "job.html", around(request, context))


@require_GET
def room(request: HttpRequest, job: str, room: str) -> HttpResponse:
    """One room of a job."""
    if room not in ROOMS:
        raise Http404(f"There is no room {room!r}.")
    return _room(request, _opened(job), room, Troubles(), 200)


def _room(
    request: HttpRequest, opened: desk.Opened, name: str, troubles: Troubles, status: int
) -> HttpResponse:
    said = document(name, opened.state, desk.settings_for(request, opened))
    page = _page(request, opened, name, troubles)
    context = {"opened": opened, "document": said, "page": page, "room": name}
    context |= {"unexplained": lambda kept: _unexplained(opened, kept)}
    context |= {"other_jobs": _other_jobs(opened.job) if name == "inspect" else ()}
    return render(request, "room.html", around(request, context), status=status)


def _other_jobs(job: str) -> tuple[tuple[str, str], ...]:
    """Every other job of the shop by id and title, latest touched first."""
    rows = Job.objects.exclude(key=job).values_list("key", "title")[:200]
    return tuple((key, title or key) for key, title in rows)


def _unexplained(opened: desk.Opened, kept: Kept[Photographed]) -> Fold | None:
    """The form for a photograph that nobody has explained; fetched when asked for."""
    if not is_open(kept):
        return None
    ask = ask_explained(opened.state, kept)
    return Fold("Say what it shows", (ask,), key=f"photo-{kept.id}")


@require_POST
def record(request: HttpRequest, job: str) -> HttpResponse:
    """Take the entry that a form says, or show the form again with all that was typed."""
    posted = dict(request.POST.lists())
    where = (posted.get("room") or [""])[-1]
    kind = (posted.get("kind") or [""])[-1]
    fixed = (posted.get("fixed") or ["{}"])[-1]
    try:
        accepted, questions = desk.take(job, desk.entry_from_form(request, posted))
        if accepted is not None:
            return HttpResponseRedirect(_back(job, where))
        trouble = Trouble(
            " ".join(q.because for q in questions), {}, posted, questions=True, fixed=fixed
        )
    except CasewrightError as error:
        trouble = Trouble(str(error), desk.errors_by_field(error), posted, fixed=fixed)
    troubles = Troubles(kind, trouble)
    if where in ROOMS:
        return _room(request, _opened(job), where, troubles, 422)
    return _log(request, _opened(job), troubles, 422)


def _back(job: str, where: str) -> str:
    if where in ROOMS:
        return reverse("room", args=[job, where]) + "#next-thing"
    return reverse("log", args=[job]) if where == "log" else reverse("job", args=[job])


@require_GET
def log(request: HttpRequest, job: str) -> HttpResponse:
    """Every entry of a job, what counts and what was taken back, and conflicts to settle."""
    return _log(request, _opened(job), Troubles(), 200)


def _log(
    request: HttpRequest, opened: desk.Opened, troubles: Troubles, status: int
) -> HttpResponse:
    said = logbook(opened.log, opened.state)
    page = _page(request, opened, "log", troubles)
    context = {"opened": opened, "document": said, "page": page, "room": "log"}
    return render(request, "room.html", around(request, context), status=status)


@require_http_methods(["GET", "POST"])
def owner(request: HttpRequest, key: str) -> HttpResponse:
    """An owner's contact: shown, changed or erased; the logs carry only its id."""
    row = Owner.objects.filter(key=key).first()
    if row is None:
        raise Http404("There is no such owner.")
    if request.method == "POST":
        if request.POST.get("erase") == "yes":
            row.name, row.contact, row.erased = "", "", True
        else:
            row.name = request.POST.get("name", "")[:200]
            row.contact = request.POST.get("contact", "")
        row.save()
        return HttpResponseRedirect(reverse("owner", args=[key]))
    return render(request, "owner.html", around(request, {"owner": row}))


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The page was open longer than its token: say so, and keep what was typed on the page."""
    return render(request, "stale.html", around(request, {}), status=403)


def _opened(job: str) -> desk.Opened:
    try:
        return desk.open_job(job)
    except LogError as error:
        raise Http404(str(error)) from None


def _page(
    request: HttpRequest, opened: desk.Opened, name: str, troubles: Troubles | None = None
) -> Page:
    token = escape(get_token(request))
    return Page(
        room=name,
        action=reverse("record", args=[opened.job]),
        who=desk.who(request),
        seen=opened.state.count,
        can_ask=True,
        csrf=Markup('<input type="hidden" name="csrfmiddlewaretoken" value="{}">').format(token),
        trouble=troubles or Troubles(),
        new_id=desk.new_id,
        link_to=lambda link: _address(opened.job, link),
        opened=request.GET.get("open", ""),
    )


def _address(job: str, link: Link) -> str:
    anchor = f"#{link.anchor}" if link.anchor else ""
    if link.room in ROOMS:
        return reverse("room", args=[job, link.room]) + anchor
    if link.room.startswith("sum:"):
        given = urlencode({"job": job, **link.given})
        return f"{reverse('sum', args=[link.room.removeprefix('sum:')])}?{given}"
    if link.room.startswith("photo:"):
        return reverse("photo", args=[job, link.room.removeprefix("photo:")])
    if link.room.startswith("paper:"):
        return reverse("paper", args=[job, link.room.removeprefix("paper:")])
    return reverse(link.room, args=[job]) + anchor


def around(request: HttpRequest, context: dict[str, Any]) -> dict[str, Any]:
    """What the frame of every page needs."""
    opened = context.get("opened")
    return {
        "rooms": [(name, TITLES[name]) for name in ROOMS],
        "who": desk.who(request),
        "csrf": get_token(request),
        "room": "",
        "opened": None,
        "sheet_changed": library.changed_since(opened.state) if opened else "",
        **context,
    }
