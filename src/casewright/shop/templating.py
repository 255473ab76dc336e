"""The Jinja environment of the pages: Django's loader with the book's block filters."""

from __future__ import annotations

from typing import Any

from django.templatetags.static import static
from django.urls import reverse
from jinja2 import Environment, StrictUndefined

from casewright.book.html import install


def environment(**options: Any) -> Environment:
    """Called by Django once."""
    made = Environment(**{**options, "undefined": StrictUndefined})
    install(made)
    made.globals.update({"static": static, "url": reverse})
    return made
