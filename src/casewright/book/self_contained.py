"""The book, or one paper, as an HTML file that needs nothing else: styles and pictures inside."""

from __future__ import annotations

from importlib import resources

from casewright.book.book import Book, imprint
from casewright.book.html import Page, environment, render_document
from casewright.voice.document import Document, Section


def self_contained(made: Book) -> str:
    """The whole book as HTML text."""
    last = Document("log", "The log", None, (Section("log", "What the log is", (imprint(made),)),))
    chapters = [made.summary, *made.chapters, last, made.working]
    page = Page()
    return (
        environment()
        .get_template("book.html")
        .render(
            made=made,
            style=_style(),
            chapters=[(one, render_document(one, page)) for one in chapters],
            page=page,
        )
    )


def paper_html(document: Document, title: str) -> str:
    """One document alone as HTML text: the quote that the owner gets."""
    html = render_document(document, Page())
    template = environment().get_template("paper.html")
    return template.render(title=title, style=_style(), document=document, html=html)


def _style() -> str:
    style = resources.files("casewright.shop").joinpath("static/casewright/casewright.css")
    return style.read_text("utf-8")
