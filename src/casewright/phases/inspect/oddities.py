"""What is odd about the readings: said plainly, kept, and still used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.job.build import positions_out
from casewright.job.instruments import places_of
from casewright.job.limits import dimension_of, target_name
from casewright.job.measured import Measured, OneReading, has_place, measured
from casewright.job.sizes import SIZES, repeats
from casewright.job.state import State


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something odd, in words, about a target on a position."""

    about: str
    words: str
    position: str = ""
    values: tuple[float, ...] = ()
    outlier: int | None = None
    spread: float = 0.0
    allowed: float = 0.0
    dimension: str = "length"


def oddities(state: State) -> tuple[Oddity, ...]:
    """Everything odd, in the order of the sheet."""
    found: list[Oddity] = []
    for item in measured(state):
        found += [Oddity(item.feature.name, note, item.feature.position) for note in item.notes]
        for one in (*item.others, item.stands):
            found += _of_reading(state, item, one)
    return tuple(dict.fromkeys((*found, *_strangers(state))))


def _of_reading(state: State, item: Measured, one: OneReading) -> Iterator[Oddity]:
    name, position = item.feature.name, item.feature.position
    if one.problem:
        yield Oddity(name, f"This reading can't be judged: {one.problem}", position)
    if one.instrument.instrument.overdue:
        said = (
            f"{one.instrument.name} was past its calibration date ({one.instrument.due}) when it "
            "read this. The reading counts; check the instrument before money hangs on it."
        )
        yield Oddity(name, said, position)
    if words := _wrong_tool(item, one):
        yield Oddity(name, words, position)
    if not is_on_bench(state, position) and _in_the_leg(state, item, one):
        where = state.lookup.name_of(position)
        said = f"Read although the {where} isn't on the bench yet: is it this piece?"
        yield Oddity(name, said, position)
    yield from _disagreeing(item, one)


def _wrong_tool(item: Measured, one: OneReading) -> str:
    """An instrument whose range can't hold what was typed with it."""
    known = one.instrument
    if known.span is None or item.feature.kind not in SIZES or not one.values:
        return ""
    low, high = known.span
    if low <= min(one.values) and max(one.values) <= high:
        return ""
    return f"{known.name} doesn't reach there: was it another instrument? Its doubt is counted."


def _in_the_leg(state: State, item: Measured, one: OneReading) -> bool:
    """Whether the reading claims the piece that came in, as if it had been taken out."""
    came_in = item.piece == state.occupant(item.feature.position, "as-found")
    return came_in and one.reading.body.occasion != "as-received"


def _disagreeing(item: Measured, one: OneReading) -> Iterator[Oddity]:
    if one.typed is None:
        return
    count = places_of(item.feature)
    for place, check in enumerate(repeats(one.typed)):
        if not check.agree:
            where = f" at place {place + 1}" if count > 1 else ""
            said = f"Repeats{where} disagree by more than {one.instrument.name} explains."
            yield Oddity(
                item.feature.name, said, item.feature.position, one.values, check.outlier,
                check.spread, check.allowed, item.limits.dimension,
            )  # fmt: skip


def is_on_bench(state: State, position: str) -> bool:
    """Whether a position's piece is out; true where no joint holds it, or nothing is stripped."""
    if state.opened is not None and "strip" not in state.rooms:
        return True
    held = any(position in joint.holds for joint in state.lookup.sheet.joints)
    return not held or position in positions_out(state)


def _strangers(state: State) -> Iterator[Oddity]:
    """Readings of things that the sheet doesn't have, and of pieces that nobody knows."""
    for reading in state.readings:
        target = reading.body.target
        if dimension_of(state, target) is None:
            said = "The sheet has no such feature or response: the reading is kept, nobody judges."
            yield Oddity(target, said)
        elif target in state.lookup.features and not has_place(state, target):
            said = "It stands at a position that the sheet doesn't have: kept, nobody judges."
            yield Oddity(target_name(state, target), said)
        elif reading.piece and reading.piece not in state.pieces:
            said = f"It was taken on the piece {reading.piece}, which this job doesn't know."
            yield Oddity(target_name(state, target), said, reading.position)
