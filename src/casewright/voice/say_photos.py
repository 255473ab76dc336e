"""A photograph that came first is explained later: the form for it."""

from __future__ import annotations

from casewright.job.kinds import Photographed
from casewright.job.state import Kept, State
from casewright.tables.damage import damages
from casewright.voice.document import Ask, Field


def is_open(kept: Kept[Photographed]) -> bool:
    """Whether nobody has said yet what a photograph shows."""
    return not (kept.body.about or kept.body.damage)


def ask_explained(state: State, kept: Kept[Photographed]) -> Ask:
    """What a kept photograph shows, where, and which damage it is if it is one."""
    places = tuple((one.key, one.name) for one in state.lookup.sheet.positions)
    harm = tuple((key, one.name) for key, one in damages().items())
    return Ask(
        "photo", "What it shows", "Record",
        (
            Field("about", "In words", "text", value=kept.body.about),
            Field("position", "Where", "choice", choices=places, value=kept.body.position),
            Field("damage", "Damage, if it shows one", "choice", choices=harm),
        ),
        {"digest": kept.body.digest, "explains": kept.id},
    )  # fmt: skip
