"""Chords of teeth and threads over wires: what their forms ask, what was done to the reading."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.drive.schema import Feature
from casewright.errors import CasewrightError
from casewright.job.tooth_shape import ToothGuess
from casewright.job.typed import Brought
from casewright.mechanics.gauging import best_wire
from casewright.phases.inspect import FeatureLine, PieceLine
from casewright.tables.threads import thread
from casewright.voice.document import Ask, Block, Facts, Field, Fold, Say
from casewright.voice.quantities import Style, say_change, working_rows
from casewright.voice.quantities import say as say_value
from casewright.voice.say_inspect_words import capital

# Parts that may have a thread on their outside, where wires lie.
THREADED = ("shaft", "ring", "nut", "carrier", "fastener", "pin")


def gauged_fields(line: FeatureLine, style: Style) -> Iterator[Field]:
    """What a gear-tooth calliper or wires ask beside the reading; none for other features.

    Boxes like the reading's own, so that an instrument that types goes on from one to the next.
    """
    feature, unit = line.feature, style.unit("length")
    if feature.kind == "tooth":
        yield Field("at_height", "The calliper's height", "quantity", "length", unit,
                    hint=_height_hint(line, style))  # fmt: skip
        yield Field("tip_low", "Tip lower than new by", "quantity", "length", unit,
                    hint="from the outside diameter, or beside an unworn end; empty: as new. On a "
                    "low tip the blades stand too deep and read too thick")  # fmt: skip
    elif feature.kind == "thread" and feature.thread:
        yield Field("wire", "The wires' diameter", "quantity", "length", unit,
                    hint=_wire_hint(feature, style))  # fmt: skip


def _height_hint(line: FeatureLine, style: Style) -> str:
    if line.feature.at_height is not None:
        return f"below the tip, as its slide shows; empty: the printed {line.feature.at_height}"
    told = f"; {_guessed(line.guess, style)}: an estimate" if line.guess else ""
    return f"below the tip, as its slide shows; not in the sheet{told}"


def _wire_hint(feature: Feature, style: Style) -> str:
    try:
        best = say_value(best_wire(thread(feature.thread).pitch), "length", style)
    except CasewrightError:
        return "as marked on them"
    if feature.wire is None:
        return f"as marked on them, best {best}; empty: the reading is the pitch diameter itself"
    return f"as marked on them; empty: the sheet's {feature.wire}; 0 if it was read without wires"


def _guessed(guess: ToothGuess, style: Style) -> str:
    """Height and chord of a new tooth in words."""

    def pair(height: float, chord: float) -> str:
        shown = (say_value(value, "length", style, 2) for value in (height, chord))
        return "about {} with a chord of {} as new".format(*shown)

    said = f"by standard proportions {pair(guess.equal.height, guess.equal.thickness)}"
    if guess.unequal is None:
        return said
    return (
        f"{said}, with long and short addenda {pair(guess.unequal.height, guess.unequal.thickness)}"
    )


def guess_blocks(line: FeatureLine, style: Style) -> Iterator[Block]:
    """Height and chord by standard proportions where the sheet prints no height; its working."""
    if line.guess is None:
        return
    yield Say(
        f"{capital(line.feature.name)}: the sheet prints no height for the calliper; "
        f"{_guessed(line.guess, style)}. The maker's blank may differ: never a limit.",
        "estimate",
    )
    working = line.guess.working
    yield Fold(f"The working: {line.feature.name} as new", (Facts(working_rows(working, style)),))


def brought_words(brought: Brought, style: Style) -> Iterator[str]:
    """What was done to the reading and by how much; nothing where it was the size already."""
    if brought.change:
        yield f"{brought.how}: {say_change(brought.change, 'length', style)}"


def brought_facts(brought: Brought, name: str, style: Style) -> Facts:
    """The working of what was done to the reading."""
    return Facts(working_rows(brought.working, style), f"{name}: {brought.working.method}")


def how_gauged(feature: Feature) -> str:
    """How the places of a chord are taken, for the reading's own hint."""
    return f"{feature.directions} teeth, spread round the gear, all at one height"


def asks_gauged(piece: PieceLine, fixed: dict[str, str]) -> Iterator[Ask]:
    """A tooth's chord on a gear, a thread over wires where there may be one: for the list."""
    limits = (
        Field("item.low", "At least", "text", hint="with its unit; empty: not known"),
        Field("item.high", "At most", "text", hint="with its unit; empty: not known"),
        Field("item.source", "Where the limit is from", "text"),
    )
    if piece.kind == "gear":
        name = f"{piece.name}, chord of a tooth"
        yield Ask(
            "sheet-added", f"A tooth's chord to measure on the {piece.name}", "Put it on the list",
            (
                *limits,
                Field("item.at_height", "Height for which it is printed", "text",
                      hint="below the tip, with its unit; empty: the manual prints none"),
                Field("item.directions", "Teeth to read", "number", value="3"),
                Field("item.instrument", "Instrument", "text", value="gear-tooth calliper 0.02"),
            ),
            {"table": "features", "item": {**fixed, "name": name, "kind": "tooth"}},
        )  # fmt: skip
    if piece.kind in THREADED:
        name = f"{piece.name}, pitch diameter of its thread"
        yield Ask(
            "sheet-added", f"A thread to measure over wires on the {piece.name}",
            "Put it on the list",
            (
                Field("item.thread", "Thread", "text", needed=True, hint="like M24x2 or 1-8 UN"),
                *limits,
                Field("item.wire", "Wires that the manual names", "text",
                      hint="with its unit; empty: none named"),
                Field("item.instrument", "Instrument", "text", value="micrometer 25-50"),
            ),
            {"table": "features", "item": {**fixed, "name": name, "kind": "thread"}},
        )  # fmt: skip
