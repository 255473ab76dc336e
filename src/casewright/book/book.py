"""The rebuild book: what every room says, in order, without its questions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.voice.document import (
    Ask,
    Block,
    Card,
    Caution,
    Document,
    Facts,
    Fold,
    Link,
    Picture,
    Section,
)
from casewright.voice.rooms import TITLES, document
from casewright.voice.say_fitting import FITTING
from casewright.voice.summary import STANDING, summary


@dataclass(frozen=True, slots=True)
class Book:
    """Title, owner, chapters as documents, the working behind them, and the log's head hash."""

    title: str
    owner: str
    summary: Document
    chapters: tuple[Document, ...]
    working: Document
    head: str
    count: int
    map: Picture | None


def book(state: State, settings: Settings, owner: str = "") -> Book:
    """The book of a job as it stands."""
    settings = settings.with_job(state.settings)
    said = [document(room, state, settings, with_map=False) for room in state.rooms]
    chapters = tuple(_printed(said))
    map_ = document(state.rooms[0], state, settings).map if state.rooms else None
    return Book(
        title=state.opened.body.title if state.opened else "A job that isn't open yet",
        owner=owner,
        summary=summary(state, said),
        chapters=chapters,
        working=_working(said),
        head=state.head,
        count=state.count,
        map=map_,
    )


def _printed(said: list[Document]) -> Iterator[Document]:
    """Rooms as chapters: no forms, no links, no bench card; hand-over first, as most read on from
    there, and a section that two rooms show (the new pieces) only once.
    """
    shown: set[tuple[str, str]] = set()
    for one in sorted(said, key=lambda room: room.room != "handover"):
        sections, pictured = [], (one.beside,) if one.beside else ()
        for section in one.sections:
            blocks, pictured = (*pictured, *_still(section.blocks)), ()
            name = (section.key, section.title)
            if blocks and (section.key != FITTING or name not in shown):
                sections.append(Section(section.key, section.title, blocks))
            shown.add(name)
        yield Document(one.room, TITLES.get(one.room, one.title), None, tuple(sections))


def _still(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """Blocks of a chapter; what is folded away on the page goes to the working at the end."""
    kept: list[Block] = []
    for block in blocks:
        if isinstance(block, Ask | Link | Card) or _is_standing(block):
            continue
        if isinstance(block, Fold):
            inner = _still(block.blocks) if block.open else ()
            kept += [Fold(block.title, inner, open=True)] if inner else []
        else:
            kept.append(block)
    return tuple(kept)


def _is_standing(block: Block) -> bool:
    """The standing line is in the summary and at the foot of every page: once is enough."""
    return isinstance(block, Caution) and block.text == STANDING


def _working(said: list[Document]) -> Document:
    """What the pages keep folded: the working behind each number, chapter by chapter."""
    sections = tuple(
        Section(f"{one.room}-{section.key}", f"{TITLES[one.room]}: {section.title}", folded)
        for one in said
        for section in one.sections
        if (folded := tuple(_folded(section.blocks)))
    )
    return Document("working", "The working behind the numbers", None, sections)


def _folded(blocks: tuple[Block, ...]) -> Iterator[Block]:
    for block in blocks:
        if isinstance(block, Fold) and not block.open:
            if inner := _opened(block.blocks):
                yield Fold(block.title, inner, open=True)
        elif isinstance(block, Fold):
            yield from _folded(block.blocks)


def _opened(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """Everything inside a fold but its forms and links."""
    kept: list[Block] = []
    for block in blocks:
        if isinstance(block, Fold):
            inner = _opened(block.blocks)
            kept += [Fold(block.title, inner, open=True)] if inner else []
        elif not isinstance(block, Ask | Link | Card):
            kept.append(block)
    return tuple(kept)


def imprint(made: Book) -> Facts:
    """The facts at the end of the book: number of entries and the head of the chain."""
    return Facts((("Entries in the log", str(made.count)), ("Head of the hash chain", made.head)))
