"""What take-in shows: the owner's words, the look-before-touching list, as-received readings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.drive.schema import Response
from casewright.job.kinds import Complaint
from casewright.job.limits import Limits, limits_of, values_of
from casewright.job.settings import Settings
from casewright.job.state import Kept, KeptReading, State
from casewright.job.strip_state import opened as opened_joints

OCCASION = "as-received"


@dataclass(frozen=True, slots=True)
class LookLine:
    """One thing to look at before touching, and the answer where there is one."""

    key: str
    label: str
    minutes: float
    answer: str
    words: str


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """A response that can be read as received, with the readings so far [SI] and its limits."""

    target: str
    name: str
    values: tuple[float, ...]
    limits: Limits
    boxes: int


@dataclass(frozen=True, slots=True)
class TakeinView:
    """Everything that the room shows."""

    title: str
    complaint: Kept[Complaint] | None
    looks: tuple[LookLine, ...]
    readings: tuple[ReadingLine, ...]
    remarks: tuple[tuple[str, str], ...]
    duty: str
    sheet_name: str
    circuits: tuple[tuple[str, str], ...] = ()
    touched: bool = False

    @property
    def open_looks(self) -> tuple[LookLine, ...]:
        """What hasn't been looked at yet."""
        return tuple(line for line in self.looks if not line.answer)


def view(state: State, settings: Settings) -> TakeinView:
    """Take-in of a job as it stands."""
    opened = state.opened.body if state.opened else None
    return TakeinView(
        title=opened.title if opened else "",
        complaint=state.complaint,
        looks=tuple(_looks(state, settings)),
        readings=tuple(_readings(state)),
        remarks=tuple(
            (kept.body.words, kept.body.position)
            for kept in state.findings
            if kept.body.occasion == OCCASION and not kept.body.key
        ),
        duty=opened.duty if opened else "",
        sheet_name=state.lookup.sheet.sheet.name,
        circuits=tuple((c.key, c.name) for c in state.lookup.sheet.circuits if c.tests),
        touched=bool(opened_joints(state)),
    )


def _looks(state: State, settings: Settings) -> Iterator[LookLine]:
    """Findings of the cause network that can be answered before anything is touched."""
    answers = {kept.body.key: kept.body for kept in state.findings if kept.body.key}
    for key, about in settings.cause_family.get("finding", {}).items():
        if "take-in" in about.get("where", ""):
            said = answers.get(key)
            yield LookLine(
                key,
                about["label"],
                float(about.get("minutes", 1)),
                said.answer if said else "",
                said.words if said else "",
            )


def _readings(state: State) -> Iterator[ReadingLine]:
    for response in state.lookup.sheet.responses:
        if response.kind in ("lash", "end-play", "turning-torque"):
            limits = limits_of(state, response.key)
            assert limits is not None
            yield ReadingLine(
                response.key, response.name, _values(state, response), limits, response.positions
            )


def _values(state: State, response: Response) -> tuple[float, ...]:
    found: list[KeptReading] = list(state.readings_of(response.key, occasion=OCCASION))
    return tuple(value for reading in found for value in values_of(state, reading))
