"""The book: nothing in it is read as markup, the same state gives the same bytes, labels scan."""

from __future__ import annotations

import re
from datetime import date

import pypdfium2
import pytest

from casewright.book.book import book
from casewright.book.labels import labels_pdf
from casewright.book.pdf import document_pdf, pdf
from casewright.book.self_contained import self_contained
from casewright.book.typeset import block, text
from casewright.job import kinds
from casewright.job.fold import fold
from casewright.job.log import read_log
from casewright.store.shipped import demo_logs
from casewright.voice.document import (
    Ask,
    Caution,
    Cell,
    Document,
    Facts,
    Fold,
    Picture,
    Say,
    Section,
    Table,
)
from tests.phases.cast import SETTINGS, job
from tests.phases.test_cause import WITH

DAY = date(2026, 3, 4)
NASTY = 'a #let x = 1 $y$ *b* _c_ <d> @e [f] "g" \\h // i `j` & €'
SQUARE = '<svg viewBox="0 0 4 4" xmlns="http://www.w3.org/2000/svg"><rect width="4" height="4" fill="currentColor"/></svg>'


def words(content: bytes) -> str:
    return "\n".join(
        page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content)
    )


def every_block() -> Document:
    blocks = (
        Say(NASTY),
        Say("why", "estimate"),
        Caution(NASTY),
        Facts((("label", NASTY),), "facts"),
        Table("table", ("what", "verdict"), (("cup", Cell("replace", "bad", "spun")),)),
        Table("none", ("what",), (), "nothing yet"),
        Picture(SQUARE, "a square", "drawn"),
        Fold("working", (Say("inside"),), open=True),
        Ask("note", "ask", "record"),
    )
    return Document("proof", NASTY, None, (Section("s", "Section", blocks),))


def test_every_block_is_set_and_nothing_is_read_as_markup() -> None:
    said = words(document_pdf(every_block(), DAY))
    for part in (
        "#let x = 1 $y$ *b* _c_ <d> @e [f]",
        "Estimate.",
        "replace",
        "spun",
        "nothing yet",
        "inside",
    ):
        assert part in said.replace("\r\n", " ").replace("\n", " "), part
    assert "record" not in said


def test_the_same_state_gives_the_same_bytes() -> None:
    state = job(kinds.Complaint(words="hums"))
    first, second = (pdf(book(state, SETTINGS), DAY) for _ in range(2))
    assert first == second
    assert first.startswith(b"%PDF")


def test_the_book_prints_the_head_of_the_chain_and_the_owner_only_when_told() -> None:
    state = job(kinds.Complaint(words="hums"))
    assert state.head[:40] in words(pdf(book(state, SETTINGS), DAY)).replace("\r\n", "").replace(
        "\n", ""
    )
    assert "Winkle Oysters" in words(pdf(book(state, SETTINGS, "Winkle Oysters"), DAY))


def test_the_html_book_needs_nothing_else() -> None:
    page = self_contained(book(job(kinds.Complaint(words="<b>hums</b>")), SETTINGS))
    assert "&lt;b&gt;hums" in page
    for foreign in ("<script", "<link", "src=", "url(http", "<form"):
        assert foreign not in page


def test_labels_are_one_for_each_position() -> None:
    state = job()
    said = "".join(words(labels_pdf(state, "http://bench.example/job/1/", DAY)).split())
    for position in list(state.lookup.positions.values())[:5]:
        assert "".join(position.name.split()) in said


def test_the_summary_says_why_and_hand_over_comes_first_and_new_pieces_once() -> None:
    log = read_log(demo_logs()["oyster-boat"]).entries
    made = book(fold(log), WITH)
    short = next(one for one in made.summary.sections if one.key == "short")
    (facts,) = short.blocks
    assert isinstance(facts, Facts)
    assert facts.rows[0][0] == "Why it failed"
    assert made.chapters[0].room == "handover"
    keys = [section.key for chapter in made.chapters for section in chapter.sections]
    assert keys.count("fitting") == 1


def test_a_column_in_which_nothing_was_said_is_left_out_of_the_paper() -> None:
    table = Table("", ("Where", "Number"), (("cup", ""), ("cone", "")))
    said = words(document_pdf(Document("x", "t", None, (Section("s", "S", (table,)),)), DAY))
    assert "cone" in said and "Number" not in said


@pytest.mark.parametrize("given", [NASTY, "", "\n", "end\\", '"'])
def test_a_string_literal_of_any_text_can_be_set(given: str) -> None:
    assert text(given).startswith('#"')
    document_pdf(Document("x", given or "t", None, ()), DAY)


def test_a_picture_drawn_narrow_is_printed_narrow_so_that_its_words_keep_their_size() -> None:
    shares = []
    for width in (4, 320, 640, 900):
        svg = f'<svg viewBox="0 0 {width} 100" xmlns="http://www.w3.org/2000/svg"></svg>'
        shares.append(re.search(r"width: (\d+)%", block(Picture(svg, "a picture", ""), {})))
    assert [found and found[1] for found in shares] == ["40", "46", "92", "92"]
