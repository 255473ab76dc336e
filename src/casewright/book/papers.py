"""Papers of the order room: the owner's quote, purchase orders, pick list, checks of goods."""

from __future__ import annotations

from datetime import date

from casewright.book.pdf import document_pdf
from casewright.book.self_contained import paper_html
from casewright.errors import InputError
from casewright.job.settings import Settings
from casewright.job.state import State

PAPERS = ("quote", "order", "pick-list", "goods")
NAMES = (
    "quote.pdf, quote.html, pick-list.pdf, order--SUPPLIER.pdf or .csv, order--NUMBER.pdf or .csv, "
    "goods--NUMBER.pdf"
)


def standing_papers(state: State, settings: Settings) -> tuple[str, ...]:
    """File names of all papers that there is something to write on, as the job stands."""
    from casewright.phases import order
    from casewright.voice.say_order_papers import order_names

    view = order.view(state, settings.with_job(state.settings))
    found = ["quote.pdf", "quote.html"] if view.quoting is not None else []
    for name in order_names(view):
        found += [f"order--{name}.pdf", f"order--{name}.csv"]
    if view.ordering.plan is not None and view.ordering.plan.shelf:
        found.append("pick-list.pdf")
    found += [f"goods--{order.slug_of(check)}.pdf" for check in view.orders]
    return tuple(found)


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
    if ending == "pdf" or (ending == "html" and kind == "quote"):
        style = style_for(state, settings)
        said = say_order_papers.paper(kind, which, view, state, style, day)
        if ending == "html":
            return paper_html(said, view.title).encode("utf-8"), "text/html; charset=utf-8"
        return document_pdf(said, day), "application/pdf"
    raise InputError("paper", name, NAMES)
