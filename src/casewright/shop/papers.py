"""Files of a job: the book, labels, the log, photographs, papers of the order room."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from casewright.book.book import book
from casewright.book.labels import labels_pdf
from casewright.book.papers import PAPERS, make_paper
from casewright.book.pdf import pdf
from casewright.book.self_contained import self_contained
from casewright.errors import CasewrightError
from casewright.job.entry import Entry
from casewright.job.log import read_log, write_log
from casewright.shop import desk, pages, photos
from casewright.shop.models import Owner, Photo


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response


def _owner_name(key: str) -> str:
    row = Owner.objects.filter(key=key).first() if key else None
    return str(row) if row else ""


@require_GET
def book_pdf(request: HttpRequest, job: str) -> HttpResponse:
    """The rebuild book as PDF."""
    opened = pages._opened(job)
    owner = _owner_name(opened.state.opened.body.owner) if opened.state.opened else ""
    made = book(opened.state, desk.settings_for(request, opened), owner)
    return _file(pdf(made, desk.today()), "application/pdf", f"{job}.pdf")


@require_GET
def book_html(request: HttpRequest, job: str) -> HttpResponse:
    """The rebuild book as one HTML file."""
    opened = pages._opened(job)
    owner = _owner_name(opened.state.opened.body.owner) if opened.state.opened else ""
    text = self_contained(book(opened.state, desk.settings_for(request, opened), owner))
    return _file(text.encode("utf-8"), "text/html; charset=utf-8", f"{job}.html")


@require_GET
def labels(request: HttpRequest, job: str) -> HttpResponse:
    """Bag labels with QR codes."""
    opened = pages._opened(job)
    address = request.build_absolute_uri(reverse("job", args=[job]))
    made = labels_pdf(opened.state, address, desk.today())
    return _file(made, "application/pdf", f"{job}-labels.pdf")


@require_GET
def paper(request: HttpRequest, job: str, paper: str) -> HttpResponse:
    """A paper of the order room: the owner's quote, a purchase order, a pick list."""
    opened = pages._opened(job)
    stem = paper.partition(".")[0].partition("--")[0]
    if stem not in PAPERS:
        raise Http404(f"There is no paper {paper!r}; there are {', '.join(PAPERS)}.")
    try:
        content, kind = make_paper(
            paper, opened.state, desk.settings_for(request, opened), desk.today()
        )
    except CasewrightError as error:
        raise Http404(str(error)) from None
    return _file(content, kind, f"{job}-{paper}")


@require_GET
def log_file(request: HttpRequest, job: str) -> HttpResponse:
    """The log as a `.jsonl` file: import it anywhere, the hashes are the same."""
    opened = pages._opened(job)
    text = write_log(opened.log.entries)
    response = _file(text.encode("utf-8"), "application/jsonl; charset=utf-8", f"{job}.jsonl")
    response["Content-Disposition"] = f'attachment; filename="{job}.jsonl"'
    return response


@require_http_methods(["GET", "POST"])
def bring_in(request: HttpRequest) -> HttpResponse:
    """Import a log from a file."""
    problem = ""
    if request.method == "POST":
        upload = request.FILES.get("log")
        name = request.POST.get("job", "").strip()
        try:
            if upload is None or not upload.name:
                raise CasewrightError("Choose a .jsonl file of a job first.")
            log = read_log(upload.read().decode("utf-8"))
            job = name or upload.name.removesuffix(".jsonl")
            desk.store().bring_in(job, log)
            return HttpResponseRedirect(reverse("job", args=[job]))
        except UnicodeDecodeError:
            problem = "This file isn't UTF-8 text; a job's log is."
        except CasewrightError as error:
            problem = str(error)
    context = pages.around(request, {"problem": problem})
    return render(request, "bring_in.html", context, status=422 if problem else 200)


@require_POST
def take_photo(request: HttpRequest, job: str) -> HttpResponse:
    """Keep a photograph: checked, turned upright, resized, location data taken out."""
    opened = pages._opened(job)
    room = request.POST.get("room", "inspect")
    upload = request.FILES.get("photo")
    try:
        if upload is None:
            raise CasewrightError("Choose or take a photograph first.")
        kept = photos.keep(upload.read())
        body = {"digest": kept.digest, "name": (upload.name or "")[:200]}
        body |= {
            name: request.POST[name]
            for name in ("about", "position", "damage", "explains")
            if request.POST.get(name)
        }
        moment = desk._moment(request.POST.get("happened_at", ""))
        who = request.POST.get("by") or desk.who(request)
        entry_id = request.POST.get("id") or desk.new_id()
        desk.take(opened.job, Entry(entry_id, "photo", body, who, moment))
    except CasewrightError as error:
        context = pages.around(request, {"problem": str(error), "back": _room(job, room)})
        return render(request, "problem.html", context, status=422)
    return HttpResponseRedirect(_room(job, room) + "#photos")


def _room(job: str, room: str) -> str:
    return reverse("room", args=[job, room])


@require_GET
def photo(request: HttpRequest, job: str, digest: str) -> HttpResponse:
    """A photograph by its hash."""
    row = Photo.objects.filter(digest=digest).first()
    if row is None:
        raise Http404("This photograph isn't kept here.")
    return _file(bytes(row.content), "image/jpeg", f"{digest[:12]}.jpg")
