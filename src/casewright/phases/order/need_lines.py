"""The need list as the room shows it: why, what is fitted, on its way, and still to order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from casewright.job.needs import needs
from casewright.job.state import State
from casewright.phases.order.goods import serves_for
from casewright.reasoning.offers import Catalogue


@dataclass(frozen=True, slots=True)
class NeedLine:
    """A part that is needed, with how far it is: pieces fitted, here, on their way."""

    part: str
    name: str
    number: str
    quantity: int
    positions: tuple[str, ...]
    reasons: tuple[str, ...]
    fitted: int
    here: int
    coming: int

    @property
    def to_order(self) -> int:
        """Pieces that nobody has ordered yet: a piece fitted may be one of those that came in."""
        return max(0, self.quantity - max(self.fitted, self.here) - self.coming)


def need_lines(
    state: State, catalogue: Catalogue, coming: Mapping[str, int], here: Mapping[str, int]
) -> tuple[NeedLine, ...]:
    """Every need of the job's verdicts; pieces under any number that serves are counted."""
    found = []
    for need in needs(state):
        part = state.lookup.parts[need.part]
        numbers = serves_for(need.part, catalogue)
        found.append(
            NeedLine(
                part=need.part,
                name=need.name,
                number=part.part_number or part.key,
                quantity=need.quantity,
                positions=tuple(state.lookup.name_of(p) for p in need.positions),
                reasons=need.reasons,
                fitted=need.fitted,
                here=sum(here.get(number, 0) for number in numbers),
                coming=sum(coming.get(number, 0) for number in numbers),
            )
        )
    return tuple(found)
