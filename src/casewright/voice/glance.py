"""A job at a glance: how far each room is, and the one next thing."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.voice.document import Card, Cell, Document, Link, Picture, Say, Section, Table
from casewright.voice.rooms import TITLES, document


@dataclass(frozen=True, slots=True)
class Glance:
    """What the job's first page shows: the next thing, its room, and the whole document."""

    next_room: str
    next_words: str
    document: Document


def glance(state: State, settings: Settings) -> Glance:
    """The first room of the scope that still asks for something, with its bench card."""
    title = state.opened.body.title if state.opened else "A job that isn't open yet"
    rows: list[tuple[Cell | str, ...]] = []
    found: tuple[str, Card] | None = None
    map_: Picture | None = None
    for room in state.rooms:
        said = document(room, state, settings)
        map_ = map_ or said.map
        rows.append((TITLES[room], _how_far(said.card)))
        if said.card is not None and found is None:
            found = (room, said.card)
    blocks = (Table("", ("Room", "Next there"), tuple(rows), "no room is in this job's scope"),)
    card = _card(found)
    whole = Document("", title, card, (Section("rooms", "The rooms", blocks),), map_)
    return Glance(found[0] if found else "", card.title, whole)


def _how_far(card: Card | None) -> Cell:
    return Cell(card.title, "next") if card else Cell("nothing open", "done")


def _card(found: tuple[str, Card] | None) -> Card:
    if found is None:
        return Card("Nothing is open", (Say("Every room of this job's scope is done."),))
    room, card = found
    cautions = tuple(block for block in card.blocks if type(block).__name__ == "Caution")
    return Card(
        card.title, (*cautions, Link(f"Go to {TITLES[room]}", room, "next-thing")), card.where
    )
