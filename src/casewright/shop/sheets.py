"""Drive sheets at the shop: what there is, and a check of one's own with every mistake at once."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from casewright.drive.load import check
from casewright.shop import library, pages


@require_http_methods(["GET", "POST"])
def sheets(request: HttpRequest) -> HttpResponse:
    """List the sheets; check a pasted one; keep it in the shop's folder where it is right."""
    text = request.POST.get("text", "")
    kept = ""
    findings = None
    if request.method == "POST":
        sheet, findings = check(text)
        right = sheet is not None and all(found.weight == "warning" for found in findings)
        if right and sheet is not None and request.POST.get("keep"):
            library.folder().mkdir(parents=True, exist_ok=True)
            path = library.folder() / f"{sheet.sheet.key}.toml"
            path.write_text(text, "utf-8")
            kept = sheet.sheet.name
    elif start := request.GET.get("from"):
        text = library.texts().get(start, ("", False))[0]
    context = {"sheets": library.names(), "text": text, "findings": findings, "kept": kept}
    return render(request, "sheets.html", pages.around(request, context))
