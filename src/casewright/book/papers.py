"""Papers of the order room: the owner's quote, purchase orders, the pick list."""

from __future__ import annotations

from datetime import date

from casewright.book.pdf import document_pdf
from casewright.errors import InputError
from casewright.job.settings import Settings
from casewright.job.state import State

PAPERS = ("quote", "order", "pick-list")


def make_paper(name: str, state: State, settings: Settings, day: date) -> tuple[bytes, str]:
    """Content and kind of a paper by its file name: `quote.pdf`, `order--SUPPLIER.csv`."""
    from casewright.phases import order
    from casewright.voice import say_order_papers
    from casewright.voice.rooms import style_for

    stem, _, ending = name.rpartition(".")
    kind, _, which = stem.partition("--")
    settings = settings.with_job(state.settings)
    view = order.view(state, settings)
    if ending == "csv" and kind == "order":
        return say_order_papers.order_csv(view, which).encode("utf-8"), "text/csv; charset=utf-8"
    if ending == "pdf":
        style = style_for(state, settings)
        said = say_order_papers.paper(kind, which, view, state, style, day)
        return document_pdf(said, day), "application/pdf"
    raise InputError("paper", name, "quote.pdf, pick-list.pdf, order--SUPPLIER.pdf or .csv")
