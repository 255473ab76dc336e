"""What the cause room shows: each cause's chance and why, likely stories, what to check next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from casewright.job.kinds import RemedySettled
from casewright.job.open_causes import Answers, answers_for, diagnosis, duty_of, family, model
from casewright.job.settings import Settings
from casewright.job.state import Kept, State
from casewright.phases.cause.evidence import (
    Differing,
    FindingLine,
    differing,
    finding_lines,
    unused,
)
from casewright.reasoning.cause_checks import Check, next_checks
from casewright.reasoning.cause_evidence import CauseEvidence, Surprise, Withouts, weigh
from casewright.reasoning.cause_leave_out import leave_each_out, surprises
from casewright.reasoning.cause_network import Network
from casewright.reasoning.causes import Story

# Causes shown with their reasons; a check that brings less than this isn't worth asking for.
SHOWN, LEAST_BITS = 5, 0.02
WORTH_A_LOOK = 0.05


@dataclass(frozen=True, slots=True)
class CauseLine:
    """A root cause: chance before and now, what speaks for and against, its remedy if it is open.

    `asks` says that it is above the threshold; `settled` how its remedy ended, if it did.
    """

    key: str
    label: str
    prior: float
    chance: float
    remedy: str
    asks: bool
    settled: Kept[RemedySettled] | None
    evidence: CauseEvidence | None


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One likely story: causes, what followed in the leg, findings that it explains."""

    chance: float
    roots: tuple[str, ...]
    mechanisms: tuple[str, ...]
    explains: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CauseView:
    """Everything that the room shows; `problem` says why there is no diagnosis."""

    title: str
    note: str
    problem: str
    duty: str
    duty_note: str
    threshold: float
    causes: tuple[CauseLine, ...]
    stories: tuple[StoryLine, ...]
    checks: tuple[Check, ...]
    findings: tuple[FindingLine, ...]
    differing: tuple[Differing, ...]
    set_aside: tuple[str, ...]
    surprises: tuple[Surprise, ...]
    unused: tuple[str, ...]
    signed: bool
    currency: str = "EUR"

    @property
    def next_check(self) -> Check | None:
        """The check worth doing now, if one tells enough for its minutes."""
        return next((check for check in self.checks if check.bits >= LEAST_BITS), None)

    @property
    def open(self) -> tuple[CauseLine, ...]:
        """Causes that ask for a remedy."""
        return tuple(cause for cause in self.causes if cause.asks and cause.settled is None)

    @property
    def answered(self) -> int:
        """How many findings have a yes or a no."""
        return sum(1 for line in self.findings if line.answer in ("yes", "no"))


def view(state: State, settings: Settings) -> CauseView:
    """The cause of a job's failure as far as it is known."""
    found = family(settings)
    if found.network is None:
        return _without(found.problem or MISSING, settings)
    duty, note = duty_of(state, found.network)
    given = answers_for(state, found.network)
    lines = finding_lines(state, found.network)
    told = diagnosis(found.text, duty, given)
    withouts, surprising = _reasons(found.text, duty, given)
    return CauseView(
        found.network.title, found.network.note, "", duty, note, settings.cause_threshold,
        tuple(_causes(state, settings, found.text, duty, given, withouts)),
        tuple(_story(found.network, story, given) for story in told.stories),
        tuple(_checks(found.text, duty, given, settings.hourly_rate, lines)),
        lines, differing(state, found.network),
        tuple(_label(found.network, key) for key in told.set_aside),
        surprising, unused(state, found.network), state.signed is not None,
        state.opened.body.currency if state.opened else "EUR",
    )  # fmt: skip


MISSING = (
    "The family file of causes is missing: findings are kept, and nobody weighs them. "
    "Causes have to be judged by hand."
)


def _without(problem: str, settings: Settings) -> CauseView:
    return CauseView(
        "", "", problem, "", "", settings.cause_threshold, (), (), (), (), (), (), (), (), False
    )


def _causes(
    state: State, settings: Settings, text: str, duty: str, given: Answers, withouts: Withouts
) -> Iterator[CauseLine]:
    """Causes, likeliest first; reasons for the likely ones only."""
    for place, cause in enumerate(diagnosis(text, duty, given).causes):
        weighed = place < SHOWN and (cause.chance >= WORTH_A_LOOK or place < 2)
        yield CauseLine(
            cause.key, cause.label, cause.prior, cause.chance, cause.remedy,
            cause.chance >= settings.cause_threshold, state.remedies.get(cause.key),
            weigh(model(text, duty), withouts, cause.key) if weighed else None,
        )  # fmt: skip


@lru_cache(maxsize=64)
def _reasons(text: str, duty: str, given: Answers) -> tuple[Withouts, tuple[Surprise, ...]]:
    """Chances with each answer left out, and answers that sit badly with the rest."""
    withouts = leave_each_out(model(text, duty), dict(given))
    return withouts, surprises(model(text, duty), withouts)


def _checks(
    text: str, duty: str, given: Answers, rate: float, lines: tuple[FindingLine, ...]
) -> Iterator[Check]:
    """Checks that can still be done, and that nobody has answered with "can't tell"."""
    waiting = {line.key for line in lines if not line.answer and not line.past}
    return (check for check in _ranked(text, duty, given, rate) if check.finding in waiting)


@lru_cache(maxsize=64)
def _ranked(text: str, duty: str, given: Answers, rate: float) -> tuple[Check, ...]:
    return next_checks(model(text, duty), dict(given), rate / 60)


def _story(network: Network, story: Story, given: Answers) -> StoryLine:
    """The story in labels, with the seen findings that its causes and mechanisms lead to."""
    at_work = {*story.roots, *story.mechanisms}
    seen = {key for key, present in given if present}
    explains = [
        item.label
        for item in network.findings
        if item.key in seen and any(link.parent in at_work for link in item.links)
    ]
    return StoryLine(
        story.chance,
        tuple(_label(network, key) for key in story.roots),
        tuple(_label(network, key) for key in story.mechanisms),
        tuple(explains),
    )


def _label(network: Network, key: str) -> str:
    labels = {item.key: item.label for item in network.roots}
    labels |= {item.key: item.label for item in network.mechanisms}
    labels |= {item.key: item.label for item in network.findings}
    return labels.get(key, key)
