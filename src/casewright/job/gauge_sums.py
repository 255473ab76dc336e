"""From what a gauge shows to what is counted: its constant added, an etched number reckoned in."""

from __future__ import annotations

import re
from dataclasses import dataclass

from casewright.drive.schema import DryReading, Gauge
from casewright.errors import InputError, MissingError
from casewright.job.kinds import Reading
from casewright.job.state import AS_FOUND, KeptReading, State
from casewright.units import parse

_BARE = re.compile(r"^\s*[+\-−]?\s*\d+(?:[.,]\d+)?\s*$")


@dataclass(frozen=True, slots=True)
class GaugeSum:
    """What is added to each value that the gauge shows [m]; `needs` names what isn't typed yet."""

    constant: float = 0.0
    etched: float = 0.0
    etched_name: str = ""
    needs: str = ""

    @property
    def total(self) -> float:
        """Constant and etched number together, with their signs [m]."""
        return self.constant + self.etched


NOTHING_ADDED = GaugeSum()


def etched_value(dry: DryReading, text: str, unit: str = "") -> float:
    """An etched number [m]: a bare one so many times the sheet's step, else as typed."""
    if dry.step is not None and _BARE.match(text):
        return float(text.replace("−", "-").replace(",", ".").replace(" ", "")) * dry.step.value
    if _BARE.match(text) and float(re.sub(r"[^\d.]", "", text.replace(",", "."))) and not unit:
        expected = "the number with its unit, like +0.05 mm: the sheet doesn't say what one counts"
        raise InputError(dry.name, text, expected, "Type its unit, or 0 where none is etched.")
    return parse(text, "length", unit or "mm", dry.name).value


def etched_in(state: State, dry: DryReading, occasion: str) -> float | None:
    """The number etched on the piece of an occasion, as last typed [m]; None where nobody has.

    A new piece may be read before it is placed: its number then counts for the new build.
    """
    old = state.occupant(dry.position, "as-found")
    here = state.occupant(dry.position, occasion)
    found = state.readings_of(dry.key, piece=here)
    if here == old and occasion not in AS_FOUND:
        others = [one for one in state.readings_of(dry.key) if one.piece != old]
        found = tuple(others) or found
    if not found:
        return None
    return etched_value(dry, found[-1].body.values[-1], found[-1].body.unit)


def gauge_of(state: State, target: str) -> Gauge | None:
    """The gauge of a response; None for any other target."""
    response = state.lookup.responses.get(target)
    return response.gauge if response else None


def gauge_sum(state: State, reading: KeptReading) -> GaugeSum:
    """What belongs to a reading beside what was typed; nothing where it was typed as a whole."""
    body, gauge = reading.body, gauge_of(state, reading.body.target)
    if not body.as_shown or gauge is None:
        return GaugeSum()
    own = parse(body.constant, "length", "mm", "gauge constant").value if body.constant else None
    constant = own if own is not None else gauge.constant.value if gauge.constant else 0.0
    dry = state.lookup.dry_readings.get(gauge.etched or "")
    if dry is None or gauge.etched_sign is None:
        return GaugeSum(constant)
    number = etched_in(state, dry, body.occasion)
    if number is None:
        return GaugeSum(constant, etched_name=dry.name, needs=dry.name)
    return GaugeSum(constant, gauge.etched_sign * number, dry.name)


def added_by(state: State, body: Reading) -> float:
    """What is added to each value of a reading that is about to be taken [m]."""
    return gauge_sum(state, _about_to_be(body)).total


def _about_to_be(body: Reading) -> KeptReading:
    return KeptReading(body, body.position, body.piece, "", 0, "", "")


def sum_for(state: State, target: str, occasion: str) -> GaugeSum:
    """What the tool adds to a reading of this response on this occasion."""
    return gauge_sum(state, _about_to_be(Reading(
        target=target, occasion=occasion, values=("0 mm",), as_shown=True
    )))  # fmt: skip


def whole(state: State, reading: KeptReading, values: tuple[float, ...]) -> tuple[float, ...]:
    """Values as counted; MissingError while the etched number isn't typed."""
    added = gauge_sum(state, reading)
    if added.needs:
        raise MissingError(added.needs, "the number etched on this piece, or 0 where none is")
    return tuple(value + added.total for value in values)
