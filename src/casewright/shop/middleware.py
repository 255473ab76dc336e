"""Headers of every answer: nothing but our own scripts, styles and pictures may load."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

POLICY = (
    "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; "
    "frame-ancestors 'none'; base-uri 'self'; form-action 'self'"
)


class OnlyOurOwnContent:
    """Adds the content policy; pages of a job are never kept by a cache."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer with its headers."""
        response = self.get_response(request)
        response.setdefault("Content-Security-Policy", POLICY)
        response.setdefault("Referrer-Policy", "same-origin")
        if not request.path.startswith("/static/"):
            response.setdefault("Cache-Control", "no-store")
        return response
