"""The form for a bearing's rating figures, the same wherever it is asked for."""

from __future__ import annotations

from dataclasses import replace

from casewright.job.bearing_figures import LIFE, METHOD
from casewright.job.ratings import Ratings
from casewright.voice.document import Ask, Field
from casewright.voice.quantities import Style, say

CAPACITY = Field(
    "inputs.capacity", "Dynamic load rating C", "text", needed=True,
    hint="from the bearing maker's list, like 54 kN",
)  # fmt: skip
LOAD = Field("inputs.load", "Equivalent load P", "text", needed=True, hint="like 6.2 kN")
SPEED = Field("inputs.speed", "Speed", "text", needed=True, hint="like 1500 rpm")
RUN = Field("inputs.run", "Hours it has run", "text", hint="empty: the owner's hours")
STATIC = Field("inputs.static_capacity", "Static load rating C0", "text", hint="like 62 kN")
MOST = Field("inputs.static_load", "Greatest static load", "text", hint="P if empty")


def ask_rating(title: str, position: str, known: Ratings, style: Style) -> Ask:
    """Figures for a bearing's life; what the sheet holds may be left empty, and says its value."""
    fields = tuple(_known(one, known, style) for one in (CAPACITY, LOAD, SPEED, RUN, STATIC, MOST))
    fixed: dict[str, object] = {"name": LIFE + position, "outputs": {}, "method": METHOD}
    return Ask("calculation", title, "Reckon", fields, fixed)


def _known(field: Field, known: Ratings, style: Style) -> Field:
    key = field.name.removeprefix("inputs.")
    if key not in known.given:
        return field
    value = getattr(known, key)
    shown = say(value, "speed" if key == "speed" else "force", style)
    return replace(field, needed=False, hint=f"empty: {shown}, {known.given[key]}")


def given_words(given: tuple[str, ...]) -> str:
    """What came from the sheet, as a sentence; nothing where all was typed."""
    return f" Not typed: {', '.join(given)}." if given else ""
