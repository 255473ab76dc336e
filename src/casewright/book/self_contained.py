"""The book as one HTML file that needs nothing else: styles inside, pictures inside."""

from __future__ import annotations

from importlib import resources

from casewright.book.book import Book, imprint
from casewright.book.html import Page, environment, render_document
from casewright.voice.document import Document, Section


def self_contained(made: Book) -> str:
    """The whole book as HTML text."""
    last = Document("log", "The log", None, (Section("log", "What the log is", (imprint(made),)),))
    chapters = [made.summary, *made.chapters, last, made.working]
    style = resources.files("casewright.shop").joinpath("static/casewright/casewright.css")
    page = Page()
    return (
        environment()
        .get_template("book.html")
        .render(
            made=made,
            style=style.read_text("utf-8"),
            chapters=[(one, render_document(one, page)) for one in chapters],
            page=page,
        )
    )
