"""The findings of a family file with their answers, and where each answer comes from."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.job.evidence import Evidence, answers, contradicting, derived
from casewright.job.state import State
from casewright.reasoning.cause_network import Network


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding: its question, where it is looked for, the answer and whose it is.

    `past` says that the strip-down has gone beyond the point at which it could be seen.
    """

    key: str
    label: str
    where: str
    minutes: float
    evidence: Evidence | None
    past: bool

    @property
    def answer(self) -> str:
        """Yes, no, unknown; empty where nobody has looked."""
        return self.evidence.answer if self.evidence else ""


@dataclass(frozen=True, slots=True)
class Differing:
    """What a person said against what other entries say, on one finding."""

    label: str
    said: Evidence
    derived: Evidence


def finding_lines(state: State, network: Network) -> tuple[FindingLine, ...]:
    """Every finding of the file, in its order."""
    found = answers(state)
    apart = _is_apart(state)
    return tuple(
        FindingLine(
            item.key, item.label, item.where, item.minutes, found.get(item.key),
            apart and item.key not in found and _gone_once_apart(item.where),
        )
        for item in network.findings
    )  # fmt: skip


def _is_apart(state: State) -> bool:
    """Whether a housing has been parted."""
    return any(joint.separation and joint.key in state.steps for joint in state.lookup.sheet.joints)


def _gone_once_apart(where: str) -> bool:
    """What needs the leg whole; the owner can be asked, and a part looked at, at any time."""
    gone = (
        "still holds air",
        "soapy water",
        "afloat",
        "before the gears come out",
        "first touched",
    )
    return any(words in where for words in gone) or where in (
        "strip, drain plug with the vent closed",
    )


def differing(state: State, network: Network) -> tuple[Differing, ...]:
    """Where a person and the job's other entries disagree."""
    labels = {item.key: item.label for item in network.findings}
    return tuple(
        Differing(labels[spoken.key], spoken, other)
        for spoken, other in contradicting(state)
        if spoken.key in labels
    )


def unused(state: State, network: Network) -> tuple[str, ...]:
    """Findings of the job that this family file doesn't know: kept, not used."""
    known = {item.key for item in network.findings}
    mine = derived(state)
    return tuple(key for key in answers(state) if key not in known and key not in mine)
