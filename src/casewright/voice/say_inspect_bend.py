"""A shaft read along its length, in words: run-out place by place, bow, lobes, what isn't seen."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from casewright.mechanics.shaft_bend import ShaftBend, Station
from casewright.voice.document import Block, Say, Table
from casewright.voice.draw_bend import draw_bend
from casewright.voice.quantities import Style
from casewright.voice.quantities import say as say_value

HELD = {"v-blocks": "in V-blocks", "centres": "between centres"}


def bend_blocks(bend: ShaftBend, name: str, style: Style) -> Iterator[Block]:
    """Picture, the places, the bow, and what this way of holding it can't show."""
    yield draw_bend(bend, name, style)
    yield Say(_bow(bend, name, style))
    columns = ("Place", "Eccentric", "High spot", "Run-out about the supports", "Form")
    yield Table("", columns, tuple(_row(one, style) for one in bend.stations))
    for note in bend.notes:
        yield Say(note, "unsure")


def _row(one: Station, style: Style) -> tuple[str, ...]:
    doubt = "" if one.uncertainty is None else f" ± {_length(4 * one.uncertainty, style)}"
    return (
        say_value(one.along, "length", style, 0),
        _length(one.fit.eccentricity, style),
        f"{degrees(one.phase):.0f}° from the mark",
        f"{_length(one.run_out, style)}{doubt}",
        _form(one, style),
    )


def _form(one: Station, style: Style) -> str:
    """A form wave that stands out: it moves the dial, and no straightening takes it away."""
    if one.lobes is None:
        return "round, as far as the readings tell"
    kind = "oval" if one.lobes.order == 2 else f"{one.lobes.order} lobes"
    return f"{kind}: {_length(one.lobes.span, style)} of the dial's movement is form, not bend"


def _bow(bend: ShaftBend, name: str, style: Style) -> str:
    held = HELD[bend.held]
    worst = bend.worst
    said = (
        f"{name[:1].upper()}{name[1:]}, held {held}: most at "
        f"{say_value(worst.along, 'length', style, 0)}, {_length(worst.run_out, style)} run-out, "
        f"high at {degrees(worst.phase):.0f}° from the mark"
    )
    if bend.bow is None:
        return f"{said}."
    bow = bend.bow
    return (
        f"{said}. Between the supports it is bowed {_length(bow.bow, style)} at "
        f"{say_value(bow.bow_at, 'length', style, 0)}; if that is one sharp bend it is "
        f"{degrees(bow.bend_angle):.2f}°."
    )


def _length(value: float, style: Style) -> str:
    return say_value(value, "length", style)
