"""Terminal, page and book say the same numbers: three renderings of one document."""

from __future__ import annotations

import html
import io
import re
from collections import Counter
from datetime import date
from functools import cache
from typing import Any

import pytest

from casewright.book.book import book
from casewright.book.self_contained import self_contained
from casewright.job.kinds import ROOMS
from casewright.voice.document import Document, Fold, Section
from casewright.voice.plain import texts
from casewright.voice.rooms import document
from tests.journeys.bench import demo_log, demo_state, settings

JOB = "oyster-boat"
UNITS = r"(?:mm|µm|N·m|kPa|°C|%|Ω|mV|V|L|ml|EUR|N|kg|min|h|rpm|in|ft·lb|psi)"
NUMBER = re.compile(rf"(?<![\w.,])[+\-−]?\d[\d.,]*(?:\s?±\s?\d[\d.,]*)?(?=\s?{UNITS}(?!\w))")
BARE = re.compile(r"\d+(?:[.,]\d+)*")


def bare(text: str) -> set[str]:
    """All numbers of a text as written, without their signs."""
    return set(BARE.findall(text))


@cache
def said(room: str) -> Document:
    return document(room, demo_state(JOB), settings(), with_map=False)


@cache
def numbers(room: str) -> Counter[str]:
    """Every number with a unit in a room's sections, as the document writes it."""
    found = [n for text in texts(said(room)) for n in NUMBER.findall(text)]
    return Counter(part for number in found for part in BARE.findall(number))


@cache
def terminal(room: str) -> str:
    from rich.console import Console

    from casewright.voice.terminal import show

    out = io.StringIO()
    show(said(room), Console(file=out, width=4000, force_terminal=False))
    return out.getvalue()


@cache
def book_pdf_text() -> str:
    """The book's PDF as its reader sees it."""
    import pypdfium2

    from casewright.book.pdf import pdf

    made = pypdfium2.PdfDocument(pdf(book(demo_state(JOB), settings()), date(2026, 6, 1)))
    pages = [page.get_textpage().get_text_range() for page in made]
    return re.sub(r"\s+", " ", " ".join(pages))


def plain(page: str) -> str:
    """The text of a page: no drawings, no scripts, no markup."""
    page = re.sub(r"<(svg|script|style)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page)))


@pytest.fixture
def page(request: pytest.FixtureRequest, client: Any, transactional_db: None) -> Any:
    """Fetch a room's page of the demo job from the shop."""
    from casewright.shop.store import DatabaseStore

    DatabaseStore().bring_in(JOB, demo_log(JOB))

    def fetch(room: str) -> str:
        answer = client.get(f"/job/{JOB}/{room}/")
        assert answer.status_code == 200
        return plain(answer.content.decode("utf-8"))

    return fetch


@pytest.mark.parametrize("room", ROOMS)
def test_the_demo_gives_this_room_numbers_to_say(room: str) -> None:
    assert numbers(room) or room in ("cause", "takein"), f"{room} says no number with a unit"


@pytest.mark.parametrize("room", ROOMS)
def test_the_terminal_says_every_number(room: str) -> None:
    missing = set(numbers(room)) - bare(terminal(room))
    assert not missing


@pytest.mark.parametrize("room", ROOMS)
def test_the_terminal_says_every_text_whole(room: str) -> None:
    shown = re.sub(r"[\s│┃]+", "", terminal(room))
    for text in texts(said(room)):
        if NUMBER.search(text):
            assert re.sub(r"[\s│┃]+", "", text) in shown


@pytest.mark.django_db(transaction=True)
def test_the_pages_say_every_number_and_text(page: Any) -> None:
    for room in ROOMS:
        shown = page(room)
        assert not set(numbers(room)) - bare(shown), room
        squeezed = re.sub(r"\s+", "", shown)
        for text in texts(said(room)):
            if NUMBER.search(text):
                assert re.sub(r"\s+", "", text) in squeezed, (room, text)


@pytest.mark.parametrize("room", ROOMS)
def test_the_book_prints_every_number(room: str) -> None:
    missing = set(numbers(room)) - bare(book_pdf_text())
    assert not missing


@pytest.mark.parametrize("room", ROOMS)
def test_the_book_as_one_html_file_says_every_text(room: str) -> None:
    shown = re.sub(r"\s+", "", plain(self_contained(book(demo_state(JOB), settings()))))
    for text in texts(said(room)):
        if NUMBER.search(text):
            assert re.sub(r"\s+", "", text) in shown


def test_a_number_that_one_of_them_lacked_would_be_missed() -> None:
    """The test itself can fail: a document with another number isn't found in any rendering."""
    odd = Document("x", "x", None, (Section("s", "s", (Fold("f", ()),)),))
    assert list(texts(odd)) == ["s"]
    assert {"0.123456"} - bare(terminal("handover")) == {"0.123456"}
    assert {"0.123456"} - bare(book_pdf_text()) == {"0.123456"}
